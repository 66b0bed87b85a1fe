package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// pieceBytes is how a file is cut up, so that none has to be in memory whole.
const pieceBytes = 256 << 10

type fileRow struct {
	bun.BaseModel `bun:"table:stored_file"`

	SHA256   string `bun:"sha256,pk"`
	Bytes    int64
	Pieces   int64
	Checksum int64
}

func (r *fileRow) values() []any  { return []any{r.SHA256, r.Bytes, r.Pieces} }
func (r *fileRow) stored() *int64 { return &r.Checksum }

type pieceRow struct {
	bun.BaseModel `bun:"table:file_piece"`

	SHA256   string `bun:"sha256,pk"`
	Piece    int64  `bun:",pk"`
	Content  []byte
	Checksum int64
}

func (r *pieceRow) values() []any  { return []any{r.SHA256, r.Piece, r.Content} }
func (r *pieceRow) stored() *int64 { return &r.Checksum }

// keepFile stores a file under its SHA-256, once.
func keepFile(ctx context.Context, tx bun.Tx, sum string, size int64, content io.Reader) error {
	there, err := tx.NewSelect().Model((*fileRow)(nil)).Where("sha256 = ?", sum).Exists(ctx)
	if err != nil || there {
		return err
	}
	file := &fileRow{SHA256: sum, Bytes: size, Pieces: (size + pieceBytes - 1) / pieceBytes}
	seal(file)
	if _, err := tx.NewInsert().Model(file).Exec(ctx); err != nil {
		return err
	}
	buffer := make([]byte, pieceBytes)
	for i := range file.Pieces {
		n, err := io.ReadFull(content, buffer[:min(pieceBytes, size-i*pieceBytes)])
		if err != nil {
			return fmt.Errorf("store: the file ended after %d of %d bytes: %w", i*pieceBytes+int64(n), size, err)
		}
		piece := &pieceRow{SHA256: sum, Piece: i, Content: buffer[:n]}
		seal(piece)
		if _, err := tx.NewInsert().Model(piece).Exec(ctx); err != nil {
			return err
		}
	}
	return nil
}

// ReadFile writes a stored file to w. It returns record.ErrDamaged, after having
// written what there is, for one that is not what was sent.
func (s *Store) ReadFile(ctx context.Context, sum string, w io.Writer) error {
	return readFile(ctx, s.read, sum, w)
}

func readFile(ctx context.Context, db bun.IDB, sum string, w io.Writer) error {
	file := new(fileRow)
	if err := db.NewSelect().Model(file).Where("sha256 = ?", sum).Scan(ctx); err != nil {
		return fault("stored file", err)
	}
	if err := intact("stored file", sum, file); err != nil {
		return err
	}
	whole := sha256.New()
	for i := range file.Pieces {
		if err := readPiece(ctx, db, sum, i, w, whole); err != nil {
			return err
		}
	}
	if got := hex.EncodeToString(whole.Sum(nil)); got != sum {
		return fmt.Errorf("store: stored file %s: %w: its SHA-256 is %s", sum, record.ErrDamaged, got)
	}
	return nil
}

func readPiece(ctx context.Context, db bun.IDB, sum string, i int64, w io.Writer, whole hash.Hash) error {
	piece := new(pieceRow)
	err := fault("stored file", db.NewSelect().Model(piece).Where("sha256 = ? AND piece = ?", sum, i).Scan(ctx))
	if errors.Is(err, record.ErrNotFound) {
		return fmt.Errorf("store: stored file %s: %w: piece %d is missing", sum, record.ErrDamaged, i)
	}
	if err != nil {
		return err
	}
	if err := intact("piece of stored file", sum, piece); err != nil {
		return err
	}
	if _, err := io.MultiWriter(w, whole).Write(piece.Content); err != nil {
		return fmt.Errorf("store: writing a stored file: %w", err)
	}
	return nil
}

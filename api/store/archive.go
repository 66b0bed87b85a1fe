package store

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"strconv"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// The archive is text in UTF-8, a JSON object a line (JSON Lines):
//
//	{"archive":"pourpath","format":1,"step":4,"made_at":"2026-11-25T14:30:00.000000Z"}
//	{"table":"wine","row":{"id":"...","name":"Tank 4",...}}
//	...
//	{"rows":1234,"sha256":"..."}
//
// The first line says which step the database was at. Each further line is one
// row with all its columns but the checksum, each after the rows it refers to;
// null stands for a value that is not there, and bytes are in base64. The last
// line counts the rows, and its SHA-256 is over all lines before it: an archive
// that was cut off or changed is told by it.

// archiveFormat is the version of that form.
const archiveFormat = 1

// longestLine is how long a line of an archive may be: a piece of a file in
// base64, or a row with the longest scan.
const longestLine = 16 << 20

type archiveHead struct {
	Archive string         `json:"archive"`
	Format  int            `json:"format"`
	Step    int64          `json:"step"`
	MadeAt  record.Instant `json:"made_at"`
}

type archiveRow struct {
	Table string                     `json:"table"`
	Row   map[string]json.RawMessage `json:"row"`
}

type archiveEnd struct {
	Rows   *int64 `json:"rows"`
	SHA256 string `json:"sha256"`
}

// Archive writes everything that is stored, as it is at one moment, while others
// may go on working. It returns how many rows it wrote, and record.ErrDamaged
// where one is not what was written.
func (s *Store) Archive(ctx context.Context, w io.Writer) (rows int64, err error) {
	buffered := bufio.NewWriterSize(w, 1<<20)
	sum := sha256.New()
	out := json.NewEncoder(io.MultiWriter(buffered, sum))
	out.SetEscapeHTML(false)
	err = s.inSnapshot(ctx, "archiving", func(ctx context.Context, tx bun.Tx) error {
		step, err := stepOf(ctx, tx)
		if err != nil {
			return err
		}
		if err := out.Encode(archiveHead{Archive: "pourpath", Format: archiveFormat, Step: step, MadeAt: s.instant()}); err != nil {
			return err
		}
		for _, t := range tables {
			err := t.each(ctx, tx, func(values []any) error {
				rows++
				line, err := t.line(values)
				if err != nil {
					return err
				}
				return out.Encode(line)
			}, nil)
			if err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return rows, err
	}
	end, err := json.Marshal(archiveEnd{Rows: &rows, SHA256: hex.EncodeToString(sum.Sum(nil))})
	if err == nil {
		_, err = buffered.Write(append(end, '\n'))
	}
	if err := errors.Join(err, buffered.Flush()); err != nil {
		return rows, fmt.Errorf("store: archiving: %w", err)
	}
	return rows, nil
}

// line makes a line of a row.
func (t table) line(values []any) (archiveRow, error) {
	row := archiveRow{Table: t.name, Row: make(map[string]json.RawMessage, len(values))}
	for i, c := range t.columns[:len(t.columns)-1] {
		text, err := json.Marshal(values[i])
		if err != nil {
			return row, err
		}
		row.Row[c.name] = text
	}
	return row, nil
}

// stepOf is the migration step that a database is at.
func stepOf(ctx context.Context, db bun.IDB) (step int64, err error) {
	err = db.NewRaw("SELECT max(version_id) FROM goose_db_version").Scan(ctx, &step)
	return step, err
}

// ArchiveError is that an archive cannot be restored, with the line.
type ArchiveError struct {
	Line    int64
	Message string
}

func (e *ArchiveError) Error() string {
	return fmt.Sprintf("archive, line %d: %s", e.Line, e.Message)
}

// NotEmptyError is that a store holds records already, so that an archive is not
// restored into it.
type NotEmptyError struct{ Table string }

func (e *NotEmptyError) Error() string {
	return fmt.Sprintf("store: there are records already (in table %s): restore into an empty folder or database", e.Table)
}

// Restore brings an archive into an empty store: all of it with the same
// identifiers, or nothing. It returns an *ArchiveError or a *NotEmptyError.
func (s *Store) Restore(ctx context.Context, r io.Reader) (rows int64, err error) {
	err = s.inTx(ctx, "restoring", func(ctx context.Context, tx bun.Tx) error {
		for _, t := range tables {
			there, err := tx.NewSelect().TableExpr(t.name).ColumnExpr("1").Limit(1).Exists(ctx)
			if err != nil {
				return err
			}
			if there {
				return &NotEmptyError{Table: t.name}
			}
		}
		in := restoring{store: s, tx: tx, sum: sha256.New()}
		err := in.read(ctx, r)
		rows = in.rows
		if err != nil {
			return err
		}
		return allFigures(ctx, tx.Tx, s.postgres, bottledAsTold)
	})
	return rows, err
}

// restoring is an archive that is being read.
type restoring struct {
	store *Store
	tx    bun.Tx
	sum   hash.Hash
	line  int64
	rows  int64
	ended bool
}

func (in *restoring) faultf(format string, args ...any) error {
	return &ArchiveError{Line: in.line, Message: fmt.Sprintf(format, args...)}
}

func (in *restoring) read(ctx context.Context, r io.Reader) error {
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, 1<<20), longestLine)
	for lines.Scan() {
		in.line++
		text := lines.Bytes()
		var err error
		switch {
		case in.ended:
			return in.faultf("there is text after the last line")
		case in.line == 1:
			err = in.head(ctx, text)
		default:
			err = in.row(ctx, text)
		}
		if err != nil {
			return err
		}
		in.sum.Write(text)
		in.sum.Write([]byte{'\n'})
	}
	if err := lines.Err(); err != nil {
		return in.faultf("the text cannot be read on: %v", err)
	}
	if !in.ended {
		return in.faultf("the archive ends here, without the line that closes it: it was cut off; take another backup")
	}
	return nil
}

func (in *restoring) head(ctx context.Context, text []byte) error {
	var head archiveHead
	if err := json.Unmarshal(text, &head); err != nil || head.Archive != "pourpath" {
		return in.faultf("this is no archive of records: its first line is not {\"archive\":\"pourpath\",...}")
	}
	step, err := stepOf(ctx, in.tx)
	if err != nil {
		return err
	}
	if head.Format != archiveFormat || head.Step > step {
		return in.faultf("the archive was written by a later version of this program (form %d, step %d; this one knows %d, %d): use that version", head.Format, head.Step, archiveFormat, step)
	}
	return nil
}

func (in *restoring) row(ctx context.Context, text []byte) error {
	var line struct {
		archiveRow
		archiveEnd
	}
	if err := json.Unmarshal(text, &line); err != nil {
		return in.faultf("the line is not JSON: %v; the archive was damaged, take another backup", err)
	}
	if line.Table == "" && line.archiveEnd.Rows != nil {
		return in.end(*line.archiveEnd.Rows, line.SHA256)
	}
	for _, t := range tables {
		if t.name == line.Table {
			in.rows++
			return in.insert(ctx, t, line.Row)
		}
	}
	return in.faultf("there is no table %q", line.Table)
}

func (in *restoring) end(rows int64, sum string) error {
	in.ended = true
	if got := hex.EncodeToString(in.sum.Sum(nil)); got != sum {
		return in.faultf("the SHA-256 of the lines before is not the one that stands here: the archive was changed or damaged; take another backup")
	}
	if rows != in.rows {
		return in.faultf("%d rows are announced and %d were there", rows, in.rows)
	}
	return nil
}

// insert writes a row with its checksum. Columns that the archive does not have
// were added to the table after it was made; they are empty.
func (in *restoring) insert(ctx context.Context, t table, row map[string]json.RawMessage) error {
	values := make([]any, len(t.columns))
	for i, c := range t.columns[:len(t.columns)-1] {
		text, there := row[c.name]
		if !there || string(text) == "null" {
			continue
		}
		var err error
		if values[i], err = c.parse(text); err != nil {
			return in.faultf("%s.%s: %v", t.name, c.name, err)
		}
		delete(row, c.name)
	}
	for name := range row {
		if string(row[name]) != "null" {
			return in.faultf("table %s has no column %q", t.name, name)
		}
	}
	values[len(values)-1] = t.checksum(values)
	_, err := in.tx.Tx.ExecContext(ctx, "INSERT INTO "+t.name+" ("+t.names()+") VALUES ("+in.store.parameters(1, len(values))+")", values...)
	if err != nil && kindOf(err) == nil {
		return in.faultf("%s: the row is refused: %v", t.name, err)
	}
	return err
}

// parse reads a value of the column's kind.
func (c column) parse(text json.RawMessage) (any, error) {
	switch c.kind {
	case intColumn:
		return strconv.ParseInt(string(text), 10, 64)
	case floatColumn:
		return strconv.ParseFloat(string(text), 64)
	case bytesColumn:
		var b []byte
		err := json.Unmarshal(text, &b)
		return b, err
	case textColumn:
	}
	var s string
	err := json.Unmarshal(text, &s)
	return s, err
}

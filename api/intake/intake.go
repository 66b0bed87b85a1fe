// Package intake brings a laboratory's file into the records: the service and
// the command take files through it, so that both do the same with each.
package intake

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"maps"

	"pourpath/api/labfile"
	"pourpath/api/record"
	"pourpath/api/store"
)

// Options say how a file is read and taken.
type Options struct {
	// Sheet names the sheet of a workbook; "" is the first.
	Sheet string
	// Mapping says which field a column holds, by its header as it stands in the
	// file; it is remembered for the next file with that header. nil asks for
	// what was remembered.
	Mapping map[string]string
	store.ImportOptions
}

// Content is a file on disk, or one in memory.
type Content interface {
	io.ReaderAt
	io.ReadSeeker
}

// Take imports a file. The error is a *calc.Problem where the file as a whole
// cannot be read or, with AllOrNothing, has a bad row; errors of the store are
// those of package record.
func Take(ctx context.Context, s *store.Store, name string, content Content, o Options) (record.Import, error) {
	sum := sha256.New()
	size, err := io.Copy(sum, content)
	if err != nil {
		return record.Import{}, fmt.Errorf("intake: reading the file: %w", err)
	}
	if _, err := content.Seek(0, io.SeekStart); err != nil {
		return record.Import{}, fmt.Errorf("intake: reading the file: %w", err)
	}
	mapping := maps.Clone(o.Mapping)
	file, err := labfile.Open(content, size, name, labfile.Options{
		Sheet: o.Sheet, Mapping: o.Mapping,
		Remembered: func(header []string) (map[string]string, error) {
			known, err := s.MappingFor(ctx, header)
			mapping = known
			return known, err
		},
	})
	if err != nil {
		return record.Import{}, err
	}
	imported, err := s.Import(ctx, store.LabFile{
		Name: file.Name(), SHA256: hex.EncodeToString(sum.Sum(nil)), Bytes: size, Content: content,
		Format: file.Format(), Layout: file.Layout(), Header: file.Header(), Columns: file.Columns(),
		Entries: file.Entries(), Warnings: file.Warnings,
		Sheet: o.Sheet, Mapping: mapping, Given: o.Mapping != nil,
	}, o.ImportOptions)
	return imported, errors.Join(err, file.Close())
}

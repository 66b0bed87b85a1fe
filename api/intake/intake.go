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

	"pourpath/api/calc"
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
	// NoHeader says that the table begins with a reading.
	NoHeader bool
	// Corrections are cells that are to be read as something else, and rows that
	// are to be left out; the file is kept as it came.
	Corrections []record.Correction
	store.ImportOptions
}

func (o Options) reading(mapping map[string]string) labfile.Options {
	return labfile.Options{Sheet: o.Sheet, Mapping: mapping, NoHeader: o.NoHeader, Corrections: o.Corrections}
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
	sum, size, err := measure(content)
	if err != nil {
		return record.Import{}, err
	}
	file, mapping, err := open(ctx, s, content, size, name, o)
	if err != nil {
		return record.Import{}, err
	}
	imported, err := s.Import(ctx, labFile(file, sum, size, content, mapping, o), o.ImportOptions)
	return imported, errors.Join(err, file.Close())
}

// measure reads a file once, for its checksum and its size.
func measure(content Content) (sum string, size int64, err error) {
	hash := sha256.New()
	if _, err = content.Seek(0, io.SeekStart); err == nil {
		size, err = io.Copy(hash, content)
	}
	if err == nil {
		_, err = content.Seek(0, io.SeekStart)
	}
	if err != nil {
		return "", 0, fmt.Errorf("intake: reading the file: %w", err)
	}
	return hex.EncodeToString(hash.Sum(nil)), size, nil
}

// labFile is an opened file as the store takes it.
func labFile(file *labfile.File, sum string, size int64, content io.Reader, mapping map[string]string, o Options) store.LabFile {
	return store.LabFile{
		Name: file.Name(), SHA256: sum, Bytes: size, Content: content,
		Format: file.Format(), Layout: file.Layout(), Header: file.Header(), Columns: file.Columns(),
		Entries: file.Entries(), Warnings: file.Warnings, Corrections: file.Corrections,
		Sheet: o.Sheet, Mapping: mapping, NoHeader: o.NoHeader, Given: o.Mapping != nil,
	}
}

// open opens a file with the mapping that was given, or else with the one that
// was remembered for its header. A header that is not understood without one
// may not even be found; then the remembered ones are tried, and one is taken
// if it was given for just the header that it finds.
func open(ctx context.Context, s *store.Store, content Content, size int64, name string, o Options) (*labfile.File, map[string]string, error) {
	with := func(mapping map[string]string) (*labfile.File, error) {
		return labfile.Open(content, size, name, o.reading(mapping))
	}
	file, err := with(o.Mapping)
	if o.Mapping != nil || err != nil && calc.AsProblem(err) == nil {
		return file, o.Mapping, err
	}
	if err == nil {
		known, err := s.MappingFor(ctx, file.Header())
		if err != nil || known == nil {
			return file, nil, err
		}
		if err := file.Close(); err != nil {
			return nil, nil, err
		}
		file, err = with(known)
		return file, known, err
	}
	list, failed := s.Mappings(ctx)
	if failed != nil {
		return nil, nil, failed
	}
	for _, mapping := range list {
		file, failed := with(mapping)
		if failed != nil {
			continue
		}
		known, failed := s.MappingFor(ctx, file.Header())
		if failed == nil && known != nil && maps.Equal(known, mapping) {
			return file, known, nil
		}
		if failed := errors.Join(failed, file.Close()); failed != nil {
			return nil, nil, failed
		}
	}
	return nil, nil, err
}

package labfile

import (
	"io"
	"iter"
	"path"
	"strings"
	"unicode"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// Options are what the user says of a file. The zero value leaves everything to
// the file.
type Options struct {
	// Sheet names the sheet of an XLSX file; "" is the first.
	Sheet string
	// Mapping tells what columns hold: header as it stands in the file to a
	// name of Fields, or to "" for a column to be left out. Headers that the
	// file does not have are passed over, so that one mapping serves many files.
	// A column without a header, or one that shares it, is named column C, as the
	// third.
	Mapping map[string]string
	// NoHeader says that the table begins with a reading: its columns are named by
	// their letters, as column A.
	NoHeader bool
	// Corrections are cells that are to be read as something else, and rows that
	// are to be left out.
	Corrections []record.Correction
}

// File is a laboratory's file, opened. It is not safe for concurrent use.
type File struct {
	name    string
	format  string
	layout  string
	plan    *plan
	options Options
	seen    seen
	mending *mending
	// entries yields what the file holds; a false return ends it.
	entries  func(yield func(record.Entry, error) bool)
	warnings warnings
	closers  []io.Closer
}

// Open looks at a file and decides how it is to be read. r is read more than
// once and must stay usable until Close. name is the file's own name; folders
// before it are dropped. It serves messages, and names the wine where a file
// with one scan does not.
//
// Errors: a *calc.Problem where the file cannot be used, with a fault for each
// column that was not understood; or the error of r, wrapped.
func Open(r io.ReaderAt, size int64, name string, o Options) (*File, error) {
	f := &File{name: BaseName(name), options: o}
	if err := f.open(r, size, o); err != nil {
		_ = f.Close() // the first error says more
		return nil, err
	}
	return f, nil
}

func (f *File) open(r io.ReaderAt, size int64, o Options) error {
	if err := checkMapping(o.Mapping); err != nil {
		return err
	}
	if size > MaxBytes {
		return refuse("the file has %d bytes; at most %d are read: split it", size, int64(MaxBytes))
	}
	head := make([]byte, min(size, headBytes))
	if n, err := r.ReadAt(head, 0); int64(n) < int64(len(head)) {
		return wrap("reading the file", err)
	}
	form, err := formOf(head)
	switch {
	case err != nil:
		return err
	case form == formXLSX:
		return f.openXLSX(r, size, o)
	case form == formJCAMP && len(o.Corrections) > 0:
		return calc.Refuse(calc.Fault{Location: "/corrections", Message: "a JCAMP-DX file has no cells to correct: mend it and send it again"})
	case form == formJCAMP:
		f.openJCAMP(r, size)
		return nil
	}
	return f.openText(r, size, head, o)
}

// Name is the file's name without folders and control characters.
func (f *File) Name() string { return f.name }

// Format is what the file was read as: csv (whatever the separator but a tab),
// tsv, xlsx or jcamp-dx.
func (f *File) Format() string { return f.format }

// Layout is how the file holds readings, in words.
func (f *File) Layout() string { return f.layout }

// Header lists the column headers as they stand in the file; nil for JCAMP-DX.
func (f *File) Header() []string {
	if f.plan == nil {
		return nil
	}
	return f.plan.header
}

// Columns tells what each column was taken for; nil for JCAMP-DX.
func (f *File) Columns() []record.Column {
	if f.plan == nil {
		return nil
	}
	return f.plan.columns
}

// Warnings are what must be known of the whole file, each once; complete after
// Entries has ended.
func (f *File) Warnings() []calc.Warning { return f.warnings.list }

// Entries yields the file's readings in its order, accepted and rejected ones.
// An error is about the file as a whole, and the last that is yielded: a
// *calc.Problem where it goes past a limit or is cut off, or the reader's error,
// wrapped. It may be ranged over more than once.
func (f *File) Entries() iter.Seq2[record.Entry, error] { return f.entries }

// Corrections are those of the options that changed something, with what the cells
// hold in the file, in its order; complete after Entries has ended.
func (f *File) Corrections() []record.Correction {
	if f.mending == nil {
		return nil
	}
	return f.mending.made()
}

// Close frees what was taken to read the file, such as temporary files. It
// leaves the reader given to Open alone.
func (f *File) Close() error {
	var first error
	for _, c := range f.closers {
		if err := c.Close(); err != nil && first == nil {
			first = wrap("closing", err)
		}
	}
	f.closers = nil
	return first
}

// BaseName reduces the name of a file to its last element, whichever system it
// comes from, without control characters and at most 200 characters long. What
// has no name is called "file".
func BaseName(name string) string {
	name = strings.ReplaceAll(strings.ToValidUTF8(name, "\uFFFD"), `\`, "/")
	name = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) {
			return -1
		}
		return r
	}, name)
	name = strings.TrimSpace(path.Base(name))
	if len(name) == 2 && name[1] == ':' || name == "." || name == ".." || name == "/" {
		return "file"
	}
	if r := []rune(name); len(r) > maxText {
		name = string(r[:maxText])
	}
	return name
}

package labfile

import (
	"bytes"
	"errors"
	"io"
)

// separators are what may stand between cells, the likelier first.
const separators = "\t;,|"

// openText prepares a file of separated text.
func (f *File) openText(r io.ReaderAt, size int64, head []byte, o Options) error {
	whole := int64(len(head)) == size
	c, err := charsetOf(head, whole)
	if err != nil {
		return err
	}
	if c == windows1252 {
		f.warnings.addf("encoding_assumed", "The file is not UTF-8 and was read as Windows-1252. Look at the accents in the names; if they are wrong, save the file as UTF-8.")
	}
	text, err := io.ReadAll(c.decoded(bytes.NewReader(head)))
	if err != nil {
		return wrap("decoding the file", err)
	}
	eol := byte('\n')
	if bytes.IndexByte(text, '\n') < 0 && bytes.IndexByte(text, '\r') >= 0 {
		eol = '\r'
	}
	best, err := bestSeparator(text, c, eol, whole, o)
	if err != nil {
		return err
	}
	f.format = "csv"
	if best.separator == '\t' {
		f.format = "tsv"
	}
	if best.plan == nil {
		f.see(best.rows, "")
		return f.notUnderstood()
	}
	return f.prepare(best.plan, best.rows, best.index, func() (rowReader, error) {
		return newScanner(io.NewSectionReader(r, 0, size), c, best.separator, eol), nil
	})
}

// separated is what the start of a file gives with one separator.
type separated struct {
	separator byte
	rows      []row
	plan      *plan
	index     int
	width     int // cells of the widest row
}

// bestSeparator tries all separators; the one with which most of the header is
// understood is right.
func bestSeparator(text []byte, c charset, eol byte, whole bool, o Options) (best separated, err error) {
	if c != ascii {
		c = utf8Text // text is decoded already
	}
	for i, separator := range []byte(separators) {
		s := separated{separator: separator}
		var failed error
		s.rows, failed = headOf(text, c, separator, eol, whole)
		if failed != nil && (err == nil || separator == ',') {
			err = failed
		}
		for _, r := range s.rows {
			s.width = max(s.width, filled(r.cells))
		}
		s.plan, s.index = findHeader(s.rows, o)
		if i == 0 || s.better(best) {
			best = s
		}
	}
	switch {
	case best.plan != nil:
		if fault := faultAt(best.rows, best.index); fault != "" {
			return best, refuse("row %d: %s", best.plan.at, fault)
		}
		return best, nil
	case err != nil:
		return best, err
	case len(best.rows) == 0:
		return best, (&scanner{}).tooLong(1)
	}
	for _, r := range best.rows[:min(len(best.rows), maxTitleRows)] {
		if r.fault != "" {
			return best, refuse("row %d: %s", r.number, r.fault)
		}
	}
	return best, nil
}

func (s separated) better(than separated) bool {
	switch {
	case (s.plan != nil) != (than.plan != nil):
		return s.plan != nil
	case s.plan != nil && s.plan.score != than.plan.score:
		return s.plan.score > than.plan.score
	}
	return s.plan == nil && s.width > than.width
}

// headOf reads the first rows of text. Where the file goes on, the last row may
// be cut and is left out.
func headOf(text []byte, c charset, separator, eol byte, whole bool) (rows []row, err error) {
	s := newScanner(bytes.NewReader(text), plainOf(c), separator, eol)
	for len(rows) < headRows {
		r, err := s.next()
		if errors.Is(err, io.EOF) {
			if !whole && len(rows) > 0 {
				rows = rows[:len(rows)-1]
			}
			return rows, nil
		}
		if err != nil {
			if whole {
				return rows, err
			}
			return rows, nil
		}
		rows = append(rows, r)
	}
	return rows, nil
}

// plainOf is the charset of text that was decoded.
func plainOf(c charset) charset {
	if c == ascii {
		return ascii
	}
	return utf8Text
}

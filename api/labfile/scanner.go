package labfile

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"pourpath/api/calc"
)

// row is one row of a table. Its cells are its own.
type row struct {
	number int // line or row in the file, from 1
	cells  []string
	// fault says why the row cannot be read, and what would be right; "" for
	// one that can.
	fault string
}

// rowReader gives the rows of a table in their order, and io.EOF after them.
type rowReader interface {
	next() (row, error)
	io.Closer
}

// scanner reads rows of separated text (RFC 4180, with any separator and any
// line end). It does what encoding/csv does, and three things more that messy
// files need: rows that end in CR alone, a bound on what a missing quote can
// swallow, and the line that every row starts at.
type scanner struct {
	in      *bufio.Reader
	comma   byte
	eol     byte
	charset charset
	line    int // lines read so far
	first   bool
	// text and ends hold a row with quotes while it is put together.
	text []byte
	ends []int
	// legacy is set once a row was decoded from Windows-1252 though the file
	// began as ASCII.
	legacy  bool
	columns int // of the widest row so far
}

func newScanner(r io.Reader, c charset, comma, eol byte) *scanner {
	return &scanner{in: bufio.NewReaderSize(c.decoded(r), MaxLineBytes+2), comma: comma, eol: eol, charset: c, first: true}
}

// Close implements rowReader.
func (s *scanner) Close() error { return nil }

// next implements rowReader.
func (s *scanner) next() (row, error) {
	line, err := s.readLine()
	if err != nil {
		return row{}, err
	}
	r := row{number: s.line}
	text := ""
	if bytes.IndexByte(line, '"') < 0 {
		text = string(line)
		r.cells = s.split(text)
	} else if r.cells, text, err = s.quotedRow(line); err != nil {
		return row{}, err
	}
	s.columns = max(s.columns, len(r.cells))
	s.check(&r, text)
	return r, nil
}

// readLine gives the next line without its end, valid until the next call.
func (s *scanner) readLine() ([]byte, error) {
	line, err := s.in.ReadSlice(s.eol)
	if len(line) == 0 && errors.Is(err, io.EOF) {
		return nil, io.EOF
	}
	s.line++
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		return nil, s.tooLong(s.line)
	case err != nil && !errors.Is(err, io.EOF):
		return nil, fmt.Errorf("labfile: reading after line %d: %w", s.line-1, err)
	}
	if n := len(line); n > 0 && line[n-1] == s.eol {
		line = line[:n-1]
	}
	if n := len(line); n > 0 && line[n-1] == '\r' {
		line = line[:n-1]
	}
	if s.first {
		s.first = false
		line = bytes.TrimPrefix(line, []byte(bomUTF8))
	}
	return line, nil
}

func (s *scanner) tooLong(line int) error {
	return calc.Refuse(calc.Fault{Location: fmt.Sprintf("row %d", line), Message: fmt.Sprintf("the row is longer than %d bytes, which no row of readings is: export the table again, one row a line", MaxLineBytes)})
}

// split cuts a row without quotes at the separators.
func (s *scanner) split(text string) []string {
	n := strings.Count(text, string(rune(s.comma))) + 1
	cells := make([]string, 0, min(n, MaxColumns+1))
	for len(cells) < MaxColumns {
		i := strings.IndexByte(text, s.comma)
		if i < 0 {
			break
		}
		cells = append(cells, text[:i])
		text = text[i+1:]
	}
	return append(cells, text)
}

// quotedRow reads a row that holds quotes, over as many lines as it takes. A
// quote counts where it opens a cell; elsewhere it is a character.
func (s *scanner) quotedRow(line []byte) ([]string, string, error) {
	start, inside := s.line, false
	s.text, s.ends = s.text[:0], s.ends[:0]
	for {
		inside = s.scanLine(line, inside)
		if !inside {
			break
		}
		if len(s.text) > MaxLineBytes {
			return nil, "", s.unclosed(start)
		}
		s.text = append(s.text, '\n')
		var err error
		if line, err = s.readLine(); errors.Is(err, io.EOF) {
			return nil, "", s.unclosed(start)
		} else if err != nil {
			return nil, "", err
		}
	}
	s.ends = append(s.ends, len(s.text))
	text := string(s.text)
	cells := make([]string, 0, min(len(s.ends), MaxColumns+1))
	from := 0
	for _, end := range s.ends[:min(len(s.ends), MaxColumns+1)] {
		cells = append(cells, text[from:end])
		from = end
	}
	return cells, text, nil
}

func (s *scanner) unclosed(line int) error {
	return calc.Refuse(calc.Fault{Location: fmt.Sprintf("row %d", line), Message: "a quotation mark that opens here is not closed: the file is cut off, or the mark has to go"})
}

// scanLine appends the cells of one line; inside says whether the line starts,
// and the result whether it ends, within quotes.
func (s *scanner) scanLine(line []byte, inside bool) bool {
	atStart := !inside
	for i := 0; i < len(line); i++ {
		c := line[i]
		switch {
		case inside && c == '"' && i+1 < len(line) && line[i+1] == '"':
			s.text = append(s.text, '"')
			i++
		case inside && c == '"':
			inside = false
		case inside:
			s.text = append(s.text, c)
		case c == s.comma:
			s.ends = append(s.ends, len(s.text))
			atStart = true
			continue
		case c == '"' && atStart:
			inside = true
		case c == ' ' && atStart && bytes.HasPrefix(bytes.TrimLeft(line[i:], " "), []byte{'"'}):
			continue // a blank between separator and quote
		default:
			s.text = append(s.text, c)
		}
		atStart = false
	}
	return inside
}

// check finds what makes a row unreadable as such.
func (s *scanner) check(r *row, text string) {
	if len(r.cells) > MaxColumns {
		r.cells = r.cells[:MaxColumns]
		r.fault = fmt.Sprintf("the row has more than %d columns: turn the table round, or leave out columns that hold no readings", MaxColumns)
		return
	}
	if len(text) > MaxCellBytes {
		for i, cell := range r.cells {
			if len(cell) > MaxCellBytes {
				r.fault = fmt.Sprintf("cell %d is longer than %d bytes: shorten it", i+1, MaxCellBytes)
			}
		}
	}
	if (s.charset == ascii || s.charset == utf8Text) && !utf8.ValidString(text) {
		s.mend(r)
	} else if s.charset == ascii && len(text) > 0 && !isASCII([]byte(text)) {
		s.charset = utf8Text
	}
}

// mend reads a row that is not UTF-8. In a file that was ASCII so far it is
// Windows-1252; in one that had UTF-8 before, nobody can know.
func (s *scanner) mend(r *row) {
	if s.charset == utf8Text && !s.legacy {
		r.fault = "the row is not valid UTF-8 though rows before it are: save the whole file in one encoding, best UTF-8"
		for i, cell := range r.cells {
			r.cells[i] = strings.ToValidUTF8(cell, "\uFFFD")
		}
		return
	}
	s.legacy = true
	for i, cell := range r.cells {
		r.cells[i] = fromWindows1252(cell)
	}
}

package labfile

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// survey is what is found out of a sheet before its rows are read: the merged
// cells, which stand after them, and the number of its last row, which tells
// whether all were read.
type survey struct {
	merges  []merge
	lastRow int
}

// merge is a range of merged cells, all counted from 1.
type merge struct{ row, column, lastRow, lastColumn int }

const (
	// maxMerges is the most merged ranges of a sheet.
	maxMerges = 20_000
	// maxRun is the most bytes of one text or tag, and maxElement of a row or
	// shared text, with all its tags.
	maxRun, maxElement = 1 << 20, 16 << 20
)

// surveySheet reads through the parts that will be streamed.
func surveySheet(z *zip.Reader, sheet string) (s survey, err error) {
	if part := partNamed(z, "xl/sharedStrings.xml"); part != nil {
		if err := s.scan(part, false); err != nil {
			return s, err
		}
	}
	name, err := partOf(z, sheet)
	if err != nil {
		return s, refuse("the workbook's list of sheets is damaged (%v): open it in a spreadsheet program and save it again", err)
	}
	if part := partNamed(z, name); part != nil {
		err = s.scan(part, true)
	}
	slices.SortStableFunc(s.merges, func(a, b merge) int { return a.row - b.row })
	return s, err
}

func partNamed(z *zip.Reader, name string) *zip.File {
	for _, part := range z.File {
		if strings.EqualFold(strings.ReplaceAll(part.Name, `\`, "/"), name) {
			return part
		}
	}
	return nil
}

// partOf finds the part that a sheet's cells are in.
func partOf(z *zip.Reader, sheet string) (string, error) {
	var book struct {
		Sheets []struct {
			Name string     `xml:"name,attr"`
			Any  []xml.Attr `xml:",any,attr"`
		} `xml:"sheets>sheet"`
	}
	var links struct {
		Relationship []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		}
	}
	if err := decodePart(z, "xl/workbook.xml", &book); err != nil {
		return "", err
	}
	if err := decodePart(z, "xl/_rels/workbook.xml.rels", &links); err != nil {
		return "", err
	}
	for _, s := range book.Sheets {
		if s.Name != sheet {
			continue
		}
		for _, a := range s.Any {
			for _, l := range links.Relationship {
				if a.Name.Local == "id" && l.ID == a.Value {
					if t, absolute := strings.CutPrefix(l.Target, "/"); absolute {
						return t, nil
					}
					return path.Join("xl", l.Target), nil
				}
			}
		}
	}
	return "", errors.New("labfile: no part for the sheet")
}

func decodePart(z *zip.Reader, name string, into any) error {
	part := partNamed(z, name)
	if part == nil {
		return errors.New("labfile: there is no " + name)
	}
	r, err := part.Open()
	if err != nil {
		return err //nolint:wrapcheck // goes into a Problem
	}
	defer r.Close()
	return xml.NewDecoder(io.LimitReader(r, maxPart)).Decode(into) //nolint:wrapcheck // goes into a Problem
}

// scan reads a part once, piece by piece between two "<".
func (s *survey) scan(part *zip.File, cells bool) error {
	damaged := func(err error) error {
		return refuse("the workbook is damaged in %s (%v): open it in a spreadsheet program and save it again", part.Name, err)
	}
	r, err := part.Open()
	if err != nil {
		return damaged(err)
	}
	defer r.Close()
	in := bufio.NewReaderSize(r, maxRun)
	element := 0
	for {
		piece, err := in.ReadSlice('<')
		if errors.Is(err, bufio.ErrBufferFull) || element > maxElement {
			return refuse("the workbook holds a cell or row that is longer than any reading (in %s): save the sheet as CSV", part.Name)
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return damaged(err)
		}
		if element += len(piece); bytes.HasPrefix(piece, []byte("/row>")) || bytes.HasPrefix(piece, []byte("/si>")) || bytes.HasPrefix(piece, []byte("row ")) {
			element = 0
		}
		if cells {
			s.tag(piece)
		}
		if err != nil {
			return nil // the end
		}
	}
}

// tag looks at what stands after a "<".
func (s *survey) tag(piece []byte) {
	switch {
	case bytes.HasPrefix(piece, []byte("row ")):
		if n, err := strconv.Atoi(attribute(piece, ` r="`)); err == nil {
			s.lastRow = max(s.lastRow, n)
		}
	case bytes.HasPrefix(piece, []byte("mergeCell ")) && len(s.merges) < maxMerges:
		from, to, ok := strings.Cut(attribute(piece, ` ref="`), ":")
		c1, r1, err1 := excelize.CellNameToCoordinates(from)
		c2, r2, err2 := excelize.CellNameToCoordinates(to)
		if ok && err1 == nil && err2 == nil && r1 <= r2 && c1 <= c2 {
			s.merges = append(s.merges, merge{r1, c1, r2, c2})
		}
	}
}

func attribute(piece []byte, name string) string {
	_, rest, ok := bytes.Cut(piece, []byte(name))
	if !ok {
		return ""
	}
	value, _, _ := bytes.Cut(rest, []byte{'"'})
	return string(value)
}

// mergeFiller gives every cell of a merged range the value of its first.
type mergeFiller struct {
	todo   []merge
	active []filling
}

type filling struct {
	merge
	value string
}

func (m *mergeFiller) fill(number int, cells []string) []string {
	for len(m.todo) > 0 && m.todo[0].row <= number {
		next := m.todo[0]
		m.todo = m.todo[1:]
		if next.row == number && next.column <= len(cells) && cells[next.column-1] != "" {
			m.active = append(m.active, filling{next, cells[next.column-1]})
		}
	}
	if len(m.active) == 0 || filled(cells) == 0 { // a blank row stays blank
		return cells
	}
	m.active = slices.DeleteFunc(m.active, func(f filling) bool { return f.lastRow < number })
	for _, f := range m.active {
		for c := f.column; c <= min(f.lastColumn, MaxColumns); c++ {
			for len(cells) < c {
				cells = append(cells, "")
			}
			if cells[c-1] == "" {
				cells[c-1] = f.value
			}
		}
	}
	return cells
}

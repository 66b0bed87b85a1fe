package labfile

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"maps"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// mostCorrections is how many corrections are taken of one file.
const mostCorrections = 1000

// mending reads cells as something else than a file holds, and passes over rows
// that are left out.
type mending struct {
	p    *plan
	rows map[int]*mendedRow
}

// mendedRow is what is to become of one row.
type mendedRow struct {
	out   bool
	held  string // what a row holds that is left out
	cells []mendedCell
	met   bool // the file has the row
	place int  // among the corrections, for one that cannot be made
}

// mendedCell is one cell. From is what the file holds, once the row was met.
type mendedCell struct {
	column int
	given  record.Correction
	place  int
	from   string
}

// newMending finds the columns of corrections. The error is a *calc.Problem.
func newMending(p *plan, list []record.Correction) (*mending, error) {
	m := &mending{p: p, rows: map[int]*mendedRow{}}
	if len(list) > mostCorrections {
		return nil, calc.Refuse(calc.Fault{Location: "/corrections", Message: fmt.Sprintf("there are %d corrections; at most %d are taken: mend the file itself and send it again", len(list), mostCorrections)})
	}
	var faults []calc.Fault
	for i, c := range list {
		if fault := m.add(i, c); fault != "" {
			faults = append(faults, calc.Fault{Location: correctionAt(i), Value: c, Message: fault})
		}
	}
	if faults != nil {
		return nil, calc.Refuse(faults...)
	}
	return m, nil
}

func correctionAt(i int) string { return fmt.Sprintf("/corrections/%d", i) }

// add takes one correction, or says what is wrong with it.
func (m *mending) add(i int, c record.Correction) string {
	switch {
	case c.Row <= m.p.at && m.p.at > 0:
		return fmt.Sprintf("row %d is the row of headers or above it: corrections are of the rows below row %d, and a mapping says what a column holds", c.Row, m.p.at)
	case c.Row < 1:
		return "rows are counted from 1"
	case c.LeaveOut && (c.Column != "" || c.To != nil):
		return "a row that is left out has no column and no value: give one of the two"
	case !c.LeaveOut && c.To == nil:
		return "say with \"to\" what the cell is to be read as, empty for nothing, or leave the row out with \"leave_out\""
	case c.To != nil && len(*c.To) > MaxCellBytes:
		return fmt.Sprintf("the value is longer than %d bytes: shorten it", MaxCellBytes)
	}
	row := m.rows[c.Row]
	if row == nil {
		row = &mendedRow{place: i}
		m.rows[c.Row] = row
	}
	if c.LeaveOut {
		row.out = true
		return ""
	}
	column, fault := m.p.columnOf(c.Column)
	if fault != "" {
		return fault
	}
	if slices.ContainsFunc(row.cells, func(other mendedCell) bool { return other.column == column }) {
		return "this cell is corrected twice: give one of the two"
	}
	row.cells = append(row.cells, mendedCell{column: column, given: c, place: i})
	return ""
}

// columnOf finds a column by its header, or by its letter as column C.
func (p *plan) columnOf(name string) (column int, fault string) {
	found := -1
	for i, h := range p.header {
		switch {
		case strings.EqualFold(name, letterName(i)):
			return i, ""
		case strings.TrimSpace(h) != strings.TrimSpace(name) || strings.TrimSpace(h) == "":
		case found >= 0:
			return -1, fmt.Sprintf("the columns %s and %s have this header: name one of them by its letter, as %s", letters(found), letters(i), letterName(found))
		default:
			found = i
		}
	}
	if found < 0 {
		names := make([]string, len(p.header))
		for i := range names {
			names[i] = p.keyOf(i)
		}
		return -1, fmt.Sprintf("the table has no column %s; its columns are %s", quoted(name), listed(names))
	}
	return found, ""
}

var likeLetter = regexp.MustCompile(`(?i)^column [a-z]{1,3}$`)

// keyOf names a column so that columnOf finds it, and a mapping. A header in several
// lines comes back from a form with other line ends, and one such as column B would
// be taken for that column: both go by their letters.
func (p *plan) keyOf(i int) string {
	h := strings.TrimSpace(p.header[i])
	if h == "" || likeLetter.MatchString(h) || strings.ContainsFunc(h, unicode.IsControl) {
		return letterName(i)
	}
	for k, other := range p.header {
		if k != i && strings.TrimSpace(other) == h {
			return letterName(i)
		}
	}
	return h
}

// head corrects the first rows, which decide how the others are read.
func (m *mending) head(rows []row) []row {
	var out []row
	for _, r := range rows {
		if r, kept := m.mend(r); kept {
			out = append(out, r)
		}
	}
	return out
}

// mend gives a row as it is to be read; kept is false for one that is left out.
func (m *mending) mend(r row) (_ row, kept bool) {
	fix := m.rows[r.number]
	if fix == nil {
		return r, true
	}
	fix.met = true
	if fix.out {
		fix.held = cutTo(strings.Join(r.cells, " | "), maxText)
		return r, false
	}
	r.cells = slices.Clone(r.cells)
	for i := range fix.cells {
		c := &fix.cells[i]
		for len(r.cells) <= c.column {
			r.cells = append(r.cells, "")
		}
		c.from = r.cells[c.column]
		r.cells[c.column] = m.p.written(c.column, *c.given.To)
	}
	return r, true
}

// written is a value as the column's numbers are written: whoever mends a cell may
// use either decimal sign.
func (p *plan) written(column int, text string) string {
	sign := p.sign(column)
	if sign == either || !p.isNumeric(column) {
		return text
	}
	other, own := ".", ","
	if sign == point {
		other, own = own, other
	}
	if text = strings.TrimSpace(text); decimalIn(text) != other[0] {
		return text
	}
	return strings.Replace(text, other, own, 1)
}

// isNumeric says whether a column holds numbers.
func (p *plan) isNumeric(column int) bool {
	if p.layout == scansInColumns || column == p.ordinate {
		return true
	}
	switch f := p.meanings[column].field; f {
	case fWave, fStock, fPath, fPathCM, fDilution, fU, fL, fA, fB, fTemperature, fMinutes, fReplicate, fNM, fAbsorbance, fTransmittance:
		return p.columns[column].Field != ""
	default:
		return false
	}
}

// through gives tables with their rows corrected.
func (m *mending) through(open opener) opener {
	return func() (rowReader, error) {
		in, err := open()
		if err != nil {
			return nil, err
		}
		for _, fix := range m.rows {
			fix.met = false
		}
		return &mendedRows{rowReader: in, mending: m}, nil
	}
}

// mendedRows reads a table with corrections.
type mendedRows struct {
	rowReader
	mending *mending
}

// next implements rowReader. After the last row the error is a *calc.Problem where
// a correction could not be made.
func (m *mendedRows) next() (row, error) {
	for {
		r, err := m.rowReader.next()
		if errors.Is(err, io.EOF) {
			if err := m.mending.unmet(); err != nil {
				return row{}, err
			}
			return row{}, io.EOF
		}
		if err != nil {
			return row{}, err
		}
		if r, kept := m.mending.mend(r); kept {
			return r, nil
		}
	}
}

// unmet refuses corrections of rows that the file does not have, and of cells that
// hold something else than was said.
func (m *mending) unmet() error {
	var faults []calc.Fault
	for _, number := range m.numbers() {
		fix := m.rows[number]
		if !fix.met {
			faults = append(faults, calc.Fault{Location: correctionAt(fix.place), Value: number, Message: fmt.Sprintf("the table has no row %d", number)})
			continue
		}
		for _, c := range fix.cells {
			if given := c.given.From; given != nil && strings.TrimSpace(*given) != strings.TrimSpace(c.from) {
				faults = append(faults, calc.Fault{Location: correctionAt(c.place), Value: *given, Message: fmt.Sprintf("this cell holds %s: look at the file again", quoted(c.from))})
			}
		}
	}
	if faults == nil {
		return nil
	}
	return calc.Refuse(faults...)
}

// cutTo cuts a text to so many characters.
func cutTo(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

func (m *mending) numbers() []int { return slices.Sorted(maps.Keys(m.rows)) }

// made are the corrections that changed something.
func (m *mending) made() []record.Correction {
	var out []record.Correction
	for _, number := range m.numbers() {
		fix := m.rows[number]
		if fix.out {
			held := fix.held
			out = append(out, record.Correction{Row: number, From: &held, LeaveOut: true})
			continue
		}
		slices.SortFunc(fix.cells, func(a, b mendedCell) int { return cmp.Compare(a.column, b.column) })
		for _, c := range fix.cells {
			if strings.TrimSpace(*c.given.To) != strings.TrimSpace(c.from) {
				from := c.from
				out = append(out, record.Correction{Row: number, Column: m.p.keyOf(c.column), From: &from, To: c.given.To})
			}
		}
	}
	return out
}

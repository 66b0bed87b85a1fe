package labfile

import (
	"io"
	"regexp"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// seen is what is known of a file before its entries are read, also where they
// cannot be.
type seen struct {
	Sheets []string
	Sheet  string
	rows   []row // the first ones
	likely *plan // the table's columns, where they are not understood
}

// see keeps the first rows of a table.
func (f *File) see(rows []row, sheet string) {
	f.seen.rows = rows
	if f.plan != nil {
		return
	}
	if !f.options.NoHeader {
		f.seen.likely = likeliest(rows, sheet, f.options.Mapping)
	} else if n := widthOf(rows); n > 0 {
		f.seen.likely = &plan{sheet: sheet, header: make([]string, n)}
	}
}

// Seen is how a table would be read, for whoever is to say what its columns hold.
type Seen struct {
	// Sheets are those of a workbook, and Sheet is the one that is read.
	Sheets []string
	Sheet  string
	// HeaderRow is where the headers stand; 0 where the table has none.
	HeaderRow int
	// LooksHeadless says that no row of headers was found and that the table seems
	// to begin with a reading.
	LooksHeadless bool
	// Understood says that the columns are enough to read it. Beside are the faults
	// of columns that no mapping would mend, where they are not.
	Understood bool
	Beside     []calc.Fault
	// Columns are empty for a file that is no table.
	Columns []SeenColumn
}

// SeenColumn is a column of a table, with some of its values.
type SeenColumn struct {
	record.Column
	// Key names the column in a mapping and in a correction, and Letter is that of
	// a spreadsheet.
	Key, Letter string
	Examples    []string
}

// Look tells how a file would be read. The error is that of Open; what is known
// of the file is told beside it.
func Look(r io.ReaderAt, size int64, name string, o Options) (Seen, error) {
	f := &File{name: BaseName(name), options: o}
	err := f.open(r, size, o)
	told := f.Seen()
	_ = f.Close() // nothing was read that is not told already
	return told, err
}

// Examples of a column: so many values, each so long.
const mostExamples, longestExample = 3, 40

// Seen tells how the file is read.
func (f *File) Seen() Seen {
	out := Seen{Sheets: f.seen.Sheets, Sheet: f.seen.Sheet}
	p := f.plan
	if out.Understood = p != nil; p == nil {
		out.LooksHeadless = !f.options.NoHeader && looksHeadless(f.seen.rows)
		if p = f.seen.likely; p == nil {
			return out
		}
		out.Beside = p.unusable(f.options.Mapping)
	}
	out.HeaderRow = p.at
	for i, h := range p.header {
		c := SeenColumn{Column: record.Column{Header: strings.TrimSpace(h), By: "none"}, Key: p.keyOf(i), Letter: letters(i)}
		if i < len(p.columns) {
			c.Column = p.columns[i]
		} else if m := mapped(i, strings.TrimSpace(h), f.options.Mapping); m.field != noField || m.by == "mapping" {
			c.Field, c.By = m.name(), m.by
		}
		c.Examples = f.examples(i, p.at)
		out.Columns = append(out.Columns, c)
	}
	return out
}

// examples are values of a column below row at.
func (f *File) examples(column, at int) (out []string) {
	for _, r := range f.seen.rows {
		if r.number <= at || column >= len(r.cells) {
			continue
		}
		text := strings.Join(strings.Fields(r.cells[column]), " ")
		if cut := []rune(text); len(cut) > longestExample {
			text = string(cut[:longestExample]) + "…"
		}
		if text == "" {
			continue
		}
		if out = append(out, text); len(out) == mostExamples {
			break
		}
	}
	return out
}

// The places that faults name: a row, with a column or a wavelength that a row
// further down holds.
var (
	placeOfRow = regexp.MustCompile(`^(?:sheet .*, )?row (\d+)(?:, (.*))?$`)
	placeOfNM  = regexp.MustCompile(`^[0-9.e+]+ nm \(row (\d+)\)$`)
)

// CellAt finds the cell that the location of a fault names, and the column's name
// in a correction. column is "" where the fault is the row's.
func (f *File) CellAt(location string) (row int, column string, index int) {
	found := placeOfRow.FindStringSubmatch(location)
	if found == nil || f.plan == nil {
		return 0, "", -1
	}
	row, err := strconv.Atoi(found[1])
	if err != nil {
		return 0, "", -1
	}
	if nm := placeOfNM.FindStringSubmatch(found[2]); nm != nil && f.plan.ordinate >= 0 {
		if row, err = strconv.Atoi(nm[1]); err != nil {
			return 0, "", -1
		}
		return row, f.plan.keyOf(f.plan.ordinate), f.plan.ordinate
	}
	for i := range f.plan.header {
		if found[2] == f.plan.columnName(i) {
			return row, f.plan.keyOf(i), i
		}
	}
	return row, "", -1
}

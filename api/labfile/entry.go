package labfile

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/celltext"
	"pourpath/api/record"
)

// draft is an entry in the making, with what its faults need.
type draft struct {
	record.Entry
	p     *plan
	w     *warnings
	cells []string
	// points are the columns of the readings, in their order.
	points []int
	nm, y  []float64
	// last is the kind of the row before: few files change it often.
	last struct {
		text string
		kind record.Kind
		ok   bool
	}
}

func (d *draft) start(r row) {
	d.Entry = record.Entry{Row: r.number, Place: d.p.place(r.number), Raw: r.cells}
	d.cells = r.cells
	d.points, d.nm, d.y = d.points[:0], d.nm[:0], d.y[:0]
}

// faultf rejects the entry for what stands in a column; -1 is the row.
func (d *draft) faultf(column int, format string, args ...any) {
	f := calc.Fault{Location: d.Place, Message: fmt.Sprintf(format, args...)}
	if column >= 0 {
		f.Location += ", " + d.p.columnName(column)
		f.Value = d.cell(column)
	}
	d.Faults = append(d.Faults, f)
}

func (d *draft) warnf(code, format string, args ...any) {
	d.Warnings = append(d.Warnings, calc.Warning{Code: code, Message: fmt.Sprintf(format, args...)})
}

// cell is the text in a column, "" where the row is too short.
func (d *draft) cell(column int) string {
	if column < 0 || column >= len(d.cells) {
		return ""
	}
	return strings.TrimSpace(d.cells[column])
}

// value is what a row, or else the title of the file, says for a field; column
// is -1 where it comes from the title.
func (d *draft) value(f field) (text string, column int) {
	if c := d.p.column[f]; c >= 0 {
		if text = d.cell(c); !isBlank(text) {
			return text, c
		}
	}
	return d.p.title[f], -1
}

// number reads a field that may be left out.
func (d *draft) number(f field) (x float64, column int, ok bool) {
	text, column := d.value(f)
	if text == "" {
		return 0, column, false
	}
	x, fault := parseNumber(text, d.p.sign(column))
	if fault != "" {
		d.badValue(f, column, text, fault)
		return 0, column, false
	}
	return x, column, true
}

// badValue rejects a value, in its cell or in the title.
func (d *draft) badValue(f field, column int, text, message string) {
	if column >= 0 {
		d.faultf(column, "%s", message)
		return
	}
	d.Faults = append(d.Faults, calc.Fault{Location: "above the header, " + f.String(), Value: text, Message: message})
}

// text reads a field of at most maxText characters on one line.
func (d *draft) text(f field) string {
	text, column := d.value(f)
	if d.p.sheet == "" {
		text = celltext.Bare(text)
	}
	if len(text) > maxText && len([]rune(text)) > maxText {
		d.badValue(f, column, text, fmt.Sprintf("this is longer than %d characters: shorten it", maxText))
		return ""
	}
	if strings.ContainsAny(text, "\n\r\t") {
		text = strings.Join(strings.Fields(text), " ")
	}
	return text
}

// read streams a table's entries. The error is about the file as a whole.
func (f *File) read(p *plan, open opener, yield func(record.Entry, error) bool) error {
	rows, err := open()
	if err != nil {
		return err
	}
	defer rows.Close()
	var each func(row) bool
	finish := func() error { return nil }
	switch p.layout {
	case oneARow:
		d := &draft{p: p, w: &f.warnings}
		each = func(r row) bool { d.wine(r); return yield(d.Entry, nil) }
	case longFormat:
		g := newGatherer(p, &f.warnings, yield)
		each, finish = g.add, g.finish
	case scansInColumns:
		s := newTurner(f, p, yield)
		each, finish = s.add, s.finish
	}
	for {
		r, err := rows.next()
		if errors.Is(err, io.EOF) {
			return finish()
		}
		if err != nil {
			return err
		}
		if r.number <= p.at || p.isSkipped(r.cells) && r.fault == "" {
			continue
		}
		if !each(r) {
			return nil
		}
	}
}

// isSkipped says whether a row holds no reading and is none that went wrong: it
// is blank, a remark, or the header again.
func (p *plan) isSkipped(cells []string) bool {
	first := ""
	for _, c := range cells {
		if first = strings.TrimSpace(c); first != "" {
			break
		}
	}
	switch {
	case first == "":
		return true
	case first[0] == '#':
		return !p.hasReading(cells)
	case len(cells) >= len(p.header) && cells[0] == p.header[0]:
		return slices.Equal(cells[:len(p.header)], p.header)
	}
	return false
}

// hasReading tells a wine whose name begins with a number sign from a remark.
func (p *plan) hasReading(cells []string) bool {
	has := func(c int) bool {
		if c < 0 || c >= len(cells) || strings.TrimSpace(cells[c]) == "" {
			return false
		}
		_, fault := parseNumber(cells[c], either)
		return fault == ""
	}
	return has(p.column[fL]) || has(p.column[fNM]) || has(p.ordinate) ||
		slices.ContainsFunc(p.waves[:min(len(p.waves), 20)], func(w wave) bool { return has(w.column) })
}

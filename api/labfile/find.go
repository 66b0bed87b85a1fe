package labfile

import (
	"fmt"
	"strconv"
	"strings"

	"pourpath/api/calc"
)

// findHeader finds the row of headers among the first rows: the one of which
// most is understood, and the first of equals. index is its place in rows; the
// plan is nil where no row will do.
func findHeader(rows []row, o Options) (best *plan, index int) {
	if o.NoHeader {
		return headless(rows, o.Mapping), -1
	}
	mapping := o.Mapping
	var above []string
	for i, r := range rows[:min(len(rows), maxTitleRows+1)] {
		if filled(r.cells) == 0 {
			above = nil
			continue
		}
		p := planOf(r.cells, above, mapping)
		above = r.cells
		if p == nil || best != nil && p.score <= best.score {
			continue
		}
		if p.layout == scansInColumns && !p.hasWavelengths(rows[i+1:]) {
			continue
		}
		p.at = r.number
		best, index = p, i
	}
	if best != nil {
		return best, index
	}
	return findByValues(rows, mapping)
}

// hasWavelengths says whether numbers that can be wavelengths stand below the
// header of scans in columns.
func (p *plan) hasWavelengths(rows []row) bool {
	for _, r := range rows[:min(len(rows), 20)] {
		if c := p.column[fNM]; c < len(r.cells) && wavelengthIn(r.cells[c]) {
			return true
		}
	}
	return false
}

func wavelengthIn(cell string) bool {
	x, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(cell), ",", ".", 1), 64)
	return err == nil && x >= minHeaderNM && x <= 5000
}

// findByValues finds scans in columns whose column of wavelengths has no name
// that is known: ten rows of wavelengths that go one way, below a row of names.
func findByValues(rows []row, mapping map[string]string) (*plan, int) {
	for i := 0; i+10 < len(rows) && i <= maxTitleRows; i++ {
		cells := rows[i].cells
		if len(cells) < 2 || wavelengthIn(cells[0]) || filled(cells[1:]) == 0 {
			continue
		}
		if _, given := mapping[strings.TrimSpace(cells[0])]; given || !goesOneWay(rows[i+1:i+11]) {
			continue
		}
		named := append([]string{"nm"}, cells[1:]...)
		p := planOf(named, nil, mapping)
		if p == nil || p.layout != scansInColumns {
			continue
		}
		p.header[0], p.columns[0].Header, p.columns[0].By = cells[0], cells[0], "values"
		p.at = rows[i].number
		return p, i
	}
	return nil, 0
}

// goesOneWay says whether the first cells are wavelengths that rise, or fall.
func goesOneWay(rows []row) bool {
	var last, step float64
	for i, r := range rows {
		if len(r.cells) == 0 || !wavelengthIn(r.cells[0]) {
			return false
		}
		x, _ := parseNumber(r.cells[0], either)
		if i > 0 {
			d := x - last
			if d == 0 || d*step < 0 {
				return false
			}
			step = d
		}
		last = x
	}
	return true
}

// likeliest is the row of a table without a header that can be used that comes
// nearest to one; nil for none.
func likeliest(rows []row, sheet string, mapping map[string]string) *plan {
	p := &plan{sheet: sheet}
	best := -1
	for _, r := range rows[:min(len(rows), maxTitleRows+1)] {
		if len(r.cells) > 0 && strings.HasPrefix(strings.TrimSpace(r.cells[0]), "#") {
			continue
		}
		known := 0
		for i, c := range r.cells {
			c = strings.TrimSpace(c)
			if _, number := bareNumber(c); !number && mapped(i, c, mapping).field != noField {
				known++
			}
		}
		n := filled(r.cells)
		if score := known*100 + min(n, 50); n >= 2 && score > best {
			best, p.at, p.header = score, r.number, r.cells
		}
	}
	if best < 0 {
		return nil
	}
	return p
}

// notUnderstood makes the problem of a table without a header that can be used.
func (f *File) notUnderstood() error {
	switch p := f.seen.likely; {
	case p == nil:
		return refuse("no table was found in the first %d rows: a row of headers is needed with a column of names and columns of readings, such as name, a420, a520, a620, path_mm", maxTitleRows)
	case f.options.NoHeader:
		return refuse("what the columns of a table without headers hold must be said: give a mapping from column A, column B and so on to name, and to a420, a520 and a620, or to L, a, b and path_mm")
	default:
		return p.explain(f.options.Mapping)
	}
}

// unusable lists the columns with relative values.
func (p *plan) unusable(mapping map[string]string) (faults []calc.Fault) {
	for i, h := range p.header {
		if h = strings.TrimSpace(h); mapped(i, h, mapping).relative {
			faults = append(faults, relativeFault(p.place(p.at)+", "+p.columnName(i), h))
		}
	}
	return faults
}

// explain lists what a header lacks and what could be given.
func (p *plan) explain(mapping map[string]string) error {
	place := p.place(p.at)
	faults := []calc.Fault{{
		Location: place, Value: strings.Join(p.header[:min(len(p.header), 20)], " | "),
		Message: fmt.Sprintf("this row of headers is not understood. Needed are a column \"name\" and readings: a420, a520 and a620; or L, a, b and path_mm; or columns of wavelengths; or nm with absorbance or transmittance. Rename the columns, or give a mapping from each header to one of %s (any wavelength as a460 or t460), or to nothing to leave it out", strings.Join(Fields(), ", ")),
	}}
	for i, h := range p.header {
		h = strings.TrimSpace(h)
		if m := mapped(i, h, mapping); !m.relative && m.field == noField && h != "" && m.by != "mapping" {
			faults = append(faults, calc.Fault{Location: place + ", " + p.columnName(i), Value: h, Message: "what this column holds is not known: map its header to a field, or to nothing to leave it out"})
		}
	}
	return calc.Refuse(append(faults, p.unusable(mapping)...)...)
}

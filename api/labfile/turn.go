package labfile

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// turner reads scans in columns: it gathers the whole table, of at most
// maxValues values, and then yields a scan for each column.
type turner struct {
	f     *File
	p     *plan
	yield func(record.Entry, error) bool
	// nm holds the wavelengths of each axis, and rows where they stand.
	nm   [][]float64
	rows []int
	// scans holds the values of each column; NaN where a cell is empty.
	scans  [][]float64
	faults [][]calc.Fault
	// meta are rows between the header and the first wavelength, such as a
	// path for each column.
	meta map[field][]string
	unit map[field]unit
	all  [][]calc.Fault // faults of wavelengths, by axis
	left []string       // rows without numbers
	full bool
}

// missing stands for an empty cell.
var missing = math.NaN()

// faultsPerScan bounds the list of one scan's faults.
const faultsPerScan = 12

func newTurner(f *File, p *plan, yield func(record.Entry, error) bool) *turner {
	return &turner{f: f, p: p, yield: yield, nm: make([][]float64, len(p.axes)), all: make([][]calc.Fault, len(p.axes)), scans: make([][]float64, len(p.wines)), faults: make([][]calc.Fault, len(p.wines)),
		meta: map[field][]string{}, unit: map[field]unit{}}
}

// add takes a row. It never ends the stream.
func (t *turner) add(r row) bool {
	if t.full || r.fault == "" && t.rows == nil && t.isMeta(t.cell(r, t.p.axes[0]), r.cells) {
		return true
	}
	if r.fault == "" && !t.hasNumber(r) { // such as the settings that follow a scan
		t.left = append(t.left, t.p.place(r.number))
		return true
	}
	if (len(t.p.wines)+len(t.p.axes))*(len(t.rows)+1) > maxValues {
		t.full = true
		return true
	}
	t.rows = append(t.rows, r.number)
	for i, c := range t.p.axes {
		t.nm[i] = append(t.nm[i], t.wavelength(r, i, c))
	}
	for i, c := range t.p.wines {
		t.scans[i] = append(t.scans[i], t.value(r, i, c))
	}
	return true
}

func (t *turner) hasNumber(r row) bool {
	return slices.ContainsFunc(slices.Concat(t.p.axes, t.p.wines), func(c int) bool {
		_, fault := parseNumber(t.cell(r, c), either)
		return fault == ""
	})
}

func (t *turner) cell(r row, c int) string {
	if c < len(r.cells) {
		return strings.TrimSpace(r.cells[c])
	}
	return ""
}

// wavelength reads the cell of an axis. One that is empty ends a scan that is
// shorter than others.
func (t *turner) wavelength(r row, axis, column int) float64 {
	text := t.cell(r, column)
	if text == "" && len(t.p.axes) > 1 && r.fault == "" {
		return missing
	}
	nm, fault := parseNumber(text, t.p.sign(column))
	if fault = cmp.Or(r.fault, fault); fault == "" {
		return nm
	}
	if len(t.all[axis]) < faultsPerScan {
		t.all[axis] = append(t.all[axis], calc.Fault{Location: t.p.place(r.number) + ", " + t.p.columnName(column), Value: text, Message: "wavelength: " + fault})
	}
	return missing
}

// value reads one cell; what is no number is a fault of that column's scan.
func (t *turner) value(r row, i, c int) float64 {
	text := t.cell(r, c)
	if isBlank(text) && !isNaN(text) {
		return missing
	}
	x, fault := parseNumber(text, t.p.sign(c))
	if fault != "" {
		if len(t.faults[i]) < faultsPerScan {
			t.faults[i] = append(t.faults[i], calc.Fault{Location: t.p.place(r.number) + ", " + t.p.columnName(c), Value: text, Message: fault})
		}
		return missing
	}
	return scaled(x, t.p.scale)
}

// isMeta takes a row above the first wavelength that says something of each
// scan, such as its path.
func (t *turner) isMeta(text string, cells []string) bool {
	m := meaningOf(text)
	if m.field < 0 || m.field == fName || m.field == fNM || quantityOf(m.field) != unnamed || t.meta[m.field] != nil {
		return false
	}
	values := make([]string, len(t.p.wines))
	for i, c := range t.p.wines {
		if c < len(cells) {
			values[i] = strings.TrimSpace(cells[c])
		}
	}
	t.meta[m.field], t.unit[m.field] = values, m.unit
	return true
}

// finish yields the scans.
func (t *turner) finish() error {
	if t.full {
		return refuse("the table has more than %d values in %d columns of scans: split it by wines", maxValues, len(t.p.wines))
	}
	if t.left != nil {
		t.f.warnings.addf("rows_left_out", "Rows below the header without numbers were left out: %s.", listed(t.left))
	}
	d := &draft{p: t.p, w: &t.f.warnings}
	orders := make([][]int, len(t.nm))
	for i, nm := range t.nm {
		orders[i] = ascending(nm)
	}
	for i, c := range t.p.wines {
		t.scan(d, orders[t.p.axis[i]], i, c)
		if !t.yield(d.Entry, nil) {
			return nil
		}
	}
	return nil
}

// ascending lists the places of wavelengths in their order, without missing
// ones; equal ones stay in the order of the file.
func ascending(nm []float64) []int {
	order := make([]int, 0, len(nm))
	for i, x := range nm {
		if x == x {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(nm[a], nm[b]) })
	return order
}

// scan makes the entry of one column.
func (t *turner) scan(d *draft, order []int, i, c int) {
	place := fmt.Sprintf("column %s", letters(c))
	if t.p.sheet != "" {
		place = fmt.Sprintf("sheet %s, column %s", t.p.sheet, letters(c))
	}
	d.start(row{number: c + 1})
	d.Place = place
	t.describe(d, i)
	d.Wine.Name = t.nameOf(d, c, t.p.axes[t.p.axis[i]])
	axis := t.p.axis[i]
	d.Faults = append(d.Faults, t.all[axis]...)
	d.Faults = append(d.Faults, t.faults[i]...)
	lacking := 0
	for _, k := range order {
		if y := t.scans[i][k]; y == y {
			d.points, d.nm, d.y = append(d.points, t.rows[k]), append(d.nm, t.nm[axis][k]), append(d.y, y)
		} else {
			lacking++
		}
	}
	switch {
	case len(d.Faults) > 0:
		return
	case len(d.nm) == 0:
		d.faultf(-1, "the column %s holds no values", quoted(t.p.header[c]))
		return
	case lacking > 0:
		d.warnf("values_missing", "%d of %d wavelengths have no value and were left out.", lacking, len(order))
	}
	q := t.p.quantity
	if q == transmittance && !isScan(d.nm) {
		for k, y := range d.y {
			d.y[k] = d.asAbsorbance(-1, y)
		}
		q = absorbance
	}
	if len(d.Faults) == 0 {
		d.finish(q, d.conditions(), nil)
		d.tellRows()
	}
}

// describe hands the rows above the first wavelength to the draft as if they
// were a row's cells.
func (t *turner) describe(d *draft, i int) {
	if len(t.meta) == 0 {
		d.circumstances()
		return
	}
	own := *t.p
	own.header, own.meanings, own.signs = nil, nil, nil
	for f := range own.column {
		own.column[f] = -1
	}
	var values []string
	for f, v := range t.meta {
		own.column[f] = len(values)
		own.header = append(own.header, f.String())
		own.meanings = append(own.meanings, meaning{field: f, unit: t.unit[f]})
		values = append(values, v[i])
	}
	d.p, d.cells = &own, values
	d.aboutWine()
	d.circumstances()
}

// nameOf is the wine's name: the column's header, or, where that only says
// what is read, what stands above it, or what the title or the file is called.
func (t *turner) nameOf(d *draft, c, axis int) string {
	name := strings.Join(strings.Fields(t.p.header[c]), " ")
	m := t.p.meanings[c]
	if m.quantity != unnamed && m.field != fWave || m.field == fOrdinate || m.field == fA {
		name = t.otherName(c, axis)
	}
	switch n := len([]rune(name)); {
	case n == 0:
		d.faultf(-1, "the column %s does not name its wine: write the name into its header, or above it", quoted(t.p.header[c]))
	case n > maxText:
		d.faultf(-1, "the name is longer than %d characters: shorten it", maxText)
		return ""
	}
	return name
}

func (t *turner) otherName(c, axis int) string {
	above := row{cells: t.p.above}
	if name := cmp.Or(t.cell(above, c), t.cell(above, axis)); len(t.p.wines) > 1 {
		return strings.Join(strings.Fields(name), " ")
	}
	name := t.p.title[fName]
	if name == "" {
		name = t.f.name
		if i := strings.LastIndexByte(name, '.'); i > 0 {
			name = name[:i]
		}
		t.f.warnings.addf("name_from_file", "The file does not name its wine; it is called %s after the file.", quoted(name))
	}
	return name
}

package labfile

import (
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// layoutKind is how a table holds readings.
type layoutKind int

const (
	oneARow layoutKind = iota
	longFormat
	scansInColumns
)

// wave is a column with readings at one wavelength.
type wave struct {
	column int
	nm     float64
	quantity
	scale float64
}

// plan is how a table is read.
type plan struct {
	layout   layoutKind
	sheet    string // of a workbook, else ""
	at       int    // row of the header
	header   []string
	meanings []meaning
	columns  []record.Column
	// column holds the column of each field, -1 where there is none.
	column [fieldCount]int
	// waves are the readings of one wine a row, ascending; scan says that they
	// make a spectrum.
	waves []wave
	scan  bool
	// wines are the columns of scans in columns, axes those of their
	// wavelengths, and axis the one of each wine.
	wines, axes, axis []int
	// above is the row above the header, which may name the wines.
	above []string
	// ordinate is the column of readings in the long format, and quantity what
	// the readings without a name of their own are.
	ordinate int
	quantity quantity
	scale    float64 // from the file to absorbance or per cent transmittance
	signs    []decimalSign
	order    dateOrder
	// title are the values from above the header that hold for all rows.
	title map[field]string
	// score counts the columns that were understood.
	score int
}

// planOf tries cells as the header. It is nil where they are none.
func planOf(cells, above []string, mapping map[string]string) *plan {
	p := &plan{ordinate: -1, scale: 1, header: slices.Clone(cells), above: above}
	for i := range p.column {
		p.column[i] = -1
	}
	if n := filled(above); n >= 2 { // a header of two rows
		for i := range p.header[:min(len(p.header), len(above))] {
			if strings.TrimSpace(p.header[i]) == "" {
				p.header[i] = above[i]
			}
		}
	}
	for len(p.header) > 0 && strings.TrimSpace(p.header[len(p.header)-1]) == "" {
		p.header = p.header[:len(p.header)-1]
	}
	p.meanings = make([]meaning, len(p.header))
	for i, h := range p.header {
		p.meanings[i] = mapped(i, strings.TrimSpace(h), mapping)
	}
	p.claim()
	if !p.arrange() {
		return nil
	}
	return p
}

// mapped is what the mapping says of column i, by its letter or its header, or
// else what the header says.
func mapped(i int, header string, mapping map[string]string) meaning {
	name, ok := mapping[letterName(i)]
	if !ok && header != "" {
		name, ok = mapping[header]
	}
	if ok {
		own := meaningOf(header)
		m, ok := fieldNamed(name)
		if !ok {
			return meaning{field: noField, by: "mapping"}
		}
		m.unit = own.unit
		if m.field == fNM || m.field == fName {
			m.unit = noUnit
		}
		m.relative = own.relative
		return m
	}
	return meaningOf(header)
}

// claim gives each field its column: mapped before named before weak, and the
// leftmost of equals.
func (p *plan) claim() {
	rank := func(m meaning) int {
		switch {
		case m.by == "mapping":
			return 2
		case !m.weak:
			return 1
		}
		return 0
	}
	for i, m := range p.meanings {
		if m.field < 0 {
			continue
		}
		if had := p.column[m.field]; had < 0 || rank(m) > rank(p.meanings[had]) {
			p.column[m.field] = i
		}
	}
}

func (p *plan) has(f field) bool { return p.column[f] >= 0 }

// arrange finds the layout that the columns make.
func (p *plan) arrange() bool {
	for i, m := range p.meanings {
		if m.field == fWave {
			p.waves = append(p.waves, wave{column: i, nm: m.nm, quantity: m.quantity, scale: scaleOf(m.unit)})
		}
	}
	lab := p.has(fL) && p.has(fA) && p.has(fB)
	switch {
	case p.has(fNM) && p.arrangeByNM():
	case (len(p.waves) >= 3 || lab) && p.nameColumn():
		p.layout = oneARow
		p.arrangeWaves()
	default:
		return false
	}
	p.settle()
	return true
}

// arrangeByNM tells the long format from scans in columns.
func (p *plan) arrangeByNM() bool {
	p.pickOrdinate()
	if p.has(fName) && p.ordinate >= 0 {
		p.layout = longFormat
		p.waves = nil
		return true
	}
	if p.has(fName) && len(p.waves) >= 3 {
		return false
	}
	p.layout = scansInColumns
	p.waves = nil
	p.pairColumns()
	return len(p.wines) > 0
}

// pairColumns gives each scan the column of wavelengths to its left: some
// programs repeat the wavelengths beside every scan.
func (p *plan) pairColumns() {
	for i, h := range p.header {
		m := p.meanings[i]
		switch {
		case m.field == fNM:
			p.axes = append(p.axes, i)
		case strings.TrimSpace(h) != "" && (m.by != "mapping" || i == p.ordinate):
			p.wines = append(p.wines, i)
			p.axis = append(p.axis, max(0, len(p.axes)-1))
		}
	}
}

// pickOrdinate finds the column of readings beside a column of wavelengths.
func (p *plan) pickOrdinate() {
	for _, f := range []field{fAbsorbance, fTransmittance, fOrdinate} {
		if c := p.column[f]; c >= 0 {
			p.ordinate, p.quantity = c, quantityOf(f)
			p.scale = scaleOf(p.meanings[c].unit)
			return
		}
	}
	// "A" and "T" alone, which are no names by themselves.
	for i, h := range p.header {
		switch folded(h) {
		case "a":
			p.ordinate, p.quantity = i, absorbance
			p.meanings[i] = meaning{field: fAbsorbance, quantity: absorbance, by: "name"}
			p.column[fA] = -1
		case "t":
			p.ordinate, p.quantity = i, transmittance
			p.meanings[i] = meaning{field: fTransmittance, quantity: transmittance, by: "name"}
		}
	}
}

// nameColumn makes sure that there is a column of names: a first column without
// a header is one.
func (p *plan) nameColumn() bool {
	if p.has(fName) {
		return true
	}
	if len(p.header) > 0 && strings.TrimSpace(p.header[0]) == "" && p.meanings[0].field == noField && p.meanings[0].by != "mapping" {
		p.column[fName] = 0
		p.meanings[0] = meaning{field: fName, by: "values"}
		return true
	}
	return false
}

// arrangeWaves sorts the wavelengths and tells whether they make a scan: it
// covers 400 to 700 nm at 10 nm or finer, or lacks one of the three wavelengths
// that make readings.
func (p *plan) arrangeWaves() {
	slices.SortStableFunc(p.waves, func(a, b wave) int {
		switch {
		case a.nm < b.nm:
			return -1
		case a.nm > b.nm:
			return 1
		}
		return 0
	})
	nm := make([]float64, len(p.waves))
	for i, w := range p.waves {
		nm[i] = w.nm
	}
	p.scan = len(nm) > 0 && isScan(nm)
}

// settle says what became of each column.
func (p *plan) settle() {
	p.columns = make([]record.Column, len(p.header))
	for i, m := range p.meanings {
		used := m.field == fWave && p.layout == oneARow || m.field >= 0 && p.column[m.field] == i && p.uses(m.field)
		c := record.Column{Header: p.header[i], By: "none"}
		switch {
		case p.layout == scansInColumns && slices.Contains(p.wines, i):
			c.Field, c.By = "scan", "values"
		case used || i == p.ordinate || p.layout == scansInColumns && m.field == fNM:
			c.Field, c.By = m.name(), m.by
			p.score++
		case m.by == "mapping":
			c.By = "mapping"
		}
		p.columns[i] = c
	}
	if p.layout == scansInColumns {
		p.score += min(len(p.wines), 20)
	}
}

// uses says whether the layout has a use for a field.
func (p *plan) uses(f field) bool {
	switch f {
	case fNM:
		return p.layout != oneARow
	case fAbsorbance, fTransmittance, fOrdinate:
		return false
	case fL, fA, fB:
		return p.layout == oneARow && p.has(fL) && p.has(fA) && p.has(fB)
	}
	return p.layout != scansInColumns
}

// leftOut lists the headers that nothing was made of.
func (p *plan) leftOut() (names []string) {
	for i, c := range p.columns {
		if c.By == "none" && strings.TrimSpace(c.Header) != "" {
			names = append(names, strings.TrimSpace(p.header[i]))
		}
	}
	return names
}

// layoutName is the layout in words.
func (p *plan) layoutName() string {
	switch {
	case p.layout == longFormat:
		return "name, nm, " + map[quantity]string{unnamed: "absorbance", absorbance: "absorbance", transmittance: "transmittance"}[p.quantity]
	case p.layout == scansInColumns:
		return "scans in columns"
	case p.scan:
		return "wavelengths as columns, one wine a row"
	}
	return "one wine a row"
}

// relative makes the problem of a spectrum without a scale, or nil.
func (p *plan) relative() error {
	var faults []calc.Fault
	for i, m := range p.meanings {
		if m.relative {
			faults = append(faults, relativeFault(p.place(p.at)+", "+p.columnName(i), p.header[i]))
		}
	}
	if faults == nil {
		return nil
	}
	return calc.Refuse(faults...)
}

func relativeFault(place, text string) calc.Fault {
	return calc.Fault{Location: place, Value: text, Message: "the header says that these values are relative or normalised: how much light the wine takes away cannot be told from them; export the absorbance as read, with the path of the cell"}
}

// place names a row for people.
func (p *plan) place(number int) string {
	if p.sheet != "" {
		return "sheet " + p.sheet + ", row " + strconv.Itoa(number)
	}
	return "row " + strconv.Itoa(number)
}

// columnName names a column for people: by its header, or else by its letter.
func (p *plan) columnName(i int) string {
	if i < len(p.header) {
		if h := strings.Join(strings.Fields(p.header[i]), " "); h != "" {
			return h
		}
	}
	return letterName(i)
}

// letterName names a column by its letter.
func letterName(i int) string { return "column " + letters(i) }

// letters is a column's name in a spreadsheet: A, B, …, Z, AA.
func letters(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('A'+(i-1)%26)) + s
	}
	return s
}

// filled counts the cells of a row that hold something.
func filled(cells []string) (n int) {
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			n++
		}
	}
	return n
}

// scaleOf is what an ordinate in unit u is multiplied with. Whether a
// transmittance without a unit is in per cent its values tell.
//
// The factor is 1, 100, or 0.001, which scaled divides by 1000 for the sake of
// the last digit.
func scaleOf(u unit) float64 {
	if u == unitMilliAU {
		return 0.001
	}
	return 1
}

func scaled(x, scale float64) float64 {
	if scale == 0.001 {
		return x / 1000
	}
	return x * scale
}

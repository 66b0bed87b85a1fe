package labfile

import (
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// maxAbsorbance is where a reading is saturated; the core refuses it.
const maxAbsorbance = 6

// check appends the faults of the measurement, at the places a person finds.
func (d *draft) check(columnOf func(int) int) {
	var faults calc.Faults
	calc.CheckAsRead(d.Measurement.Wine(""), &faults)
	d.checkRange(&faults)
	if len(d.Faults) > 0 {
		defer func() { d.Measurement = record.Measurement{} }()
	}
	err := faults.Err()
	if err == nil {
		return
	}
	problem := calc.AsProblem(err)
	for _, f := range problem.Errors {
		column, what := d.locate(f.Location, columnOf)
		out := calc.Fault{Location: d.Place, Message: f.Message, Value: f.Value}
		if column >= 0 {
			out.Location += ", " + d.p.columnName(column)
			if text := d.cell(column); d.Raw != nil && text != "" {
				out.Value = text
			}
		} else if what != "" {
			out.Location += ", " + what
		}
		d.Faults = append(d.Faults, out)
	}
	d.Measurement = record.Measurement{}
}

// checkRange adds what the interface's schema asks for beyond the core's checks.
func (d *draft) checkRange(f *calc.Faults) {
	if d.Readings != nil && len(d.Readings.Extra) > 100 {
		f.Addf("/readings/extra", nil, "%d further readings; at most 100 are kept", len(d.Readings.Extra))
	}
	if d.Spectrum != nil && len(d.Spectrum.NM) > maxPoints {
		f.Addf("/spectrum/nm", nil, "%d wavelengths; at most %d are kept: export them 1 nm apart", len(d.Spectrum.NM), maxPoints)
	}
}

// locate turns a JSON Pointer into a column, or into words where none has it.
func (d *draft) locate(pointer string, columnOf func(int) int) (column int, what string) {
	names := strings.Split(strings.TrimPrefix(pointer, "/"), "/")
	last := names[len(names)-1]
	switch last {
	case "path_mm":
		if c := d.p.column[fPath]; c < 0 && d.p.uses(fPathCM) {
			return d.p.column[fPathCM], last
		}
		return d.p.column[fPath], last
	case "dilution":
		return d.p.column[fDilution], last
	case "u_absorbance":
		return d.p.column[fU], last
	case "L":
		return d.p.column[fL], last
	case "a":
		return d.p.column[fA], last
	case "b":
		return d.p.column[fB], last
	case "illuminant":
		return d.p.column[fIlluminant], last
	case "observer":
		return d.p.column[fObserver], last
	}
	i := d.pointOf(names)
	if i < 0 || i >= len(d.nm) {
		return -1, ""
	}
	what = strconv.FormatFloat(d.nm[i], 'g', -1, 64) + " nm"
	if columnOf != nil {
		return columnOf(i), what
	}
	return -1, what
}

// pointOf finds the point of d.nm that a pointer means, or -1.
func (d *draft) pointOf(names []string) int {
	if len(names) < 2 {
		return -1
	}
	number := func(s string) int {
		if n, err := strconv.Atoi(s); err == nil {
			return n
		}
		return -1
	}
	switch {
	case names[0] == "spectrum" && len(names) == 3:
		return number(names[2])
	case names[1] == "extra" && len(names) >= 3:
		return d.extraPoint(number(names[2]))
	case names[0] == "readings" && len(names[1]) == 4:
		nm := float64(number(names[1][1:]))
		for i, x := range d.nm {
			if x == nm {
				return i
			}
		}
	}
	return -1
}

// extraPoint is the point of the n-th reading beyond the three.
func (d *draft) extraPoint(n int) int {
	var seen [3]bool
	for i, x := range d.nm {
		if at := map420(x); at >= 0 && !seen[at] {
			seen[at] = true
			continue
		}
		if n == 0 {
			return i
		}
		n--
	}
	return -1
}

// tellRows adds the row to faults at a wavelength, where points are rows.
func (d *draft) tellRows() {
	for i := range d.Faults {
		for k, nm := range d.nm {
			tail := ", " + strconv.FormatFloat(nm, 'g', -1, 64) + " nm"
			if strings.HasSuffix(d.Faults[i].Location, tail) {
				d.Faults[i].Location += " (row " + strconv.Itoa(d.points[k]) + ")"
				break
			}
		}
	}
}

package labfile

import (
	"math"
	"slices"
	"strings"

	"pourpath/api/calc"
)

// conditions are the cell and the uncertainty of a reading; nil where the file
// does not say.
type conditions struct{ path, dilution, u *float64 }

// measure reads the row's readings, spectrum or L*a*b*.
func (d *draft) measure() {
	if d.p.waves != nil && (d.anyWave() || !d.anyLab()) {
		d.waves()
		return
	}
	d.lab()
}

func (d *draft) anyWave() bool {
	for _, w := range d.p.waves {
		if d.cell(w.column) != "" {
			return true
		}
	}
	return false
}

func (d *draft) anyLab() bool {
	return d.cell(d.p.column[fL]) != "" && d.cell(d.p.column[fA]) != "" && d.cell(d.p.column[fB]) != ""
}

// waves reads the columns of wavelengths.
func (d *draft) waves() {
	q, mixed := d.p.waves[0].quantity, false
	for _, w := range d.p.waves {
		mixed = mixed || w.quantity != q
	}
	missing := 0
	for _, w := range d.p.waves {
		text := d.cell(w.column)
		if isBlank(text) && !isNaN(text) {
			missing++
			if !d.p.scan && (w.nm == 420 || w.nm == 520 || w.nm == 620) {
				d.faultf(w.column, "the reading is missing: 420, 520 and 620 nm are needed")
				d.points, d.nm, d.y = append(d.points, w.column), append(d.nm, w.nm), append(d.y, stopgap)
			}
			continue
		}
		x, fault := parseNumber(text, d.p.sign(w.column))
		x = scaled(x, w.scale)
		if fault != "" {
			d.faultf(w.column, "%s", fault)
			x = stopgap
		} else if w.quantity == transmittance && (mixed || !d.p.scan) {
			x = d.asAbsorbance(w.column, x)
		}
		d.points, d.nm, d.y = append(d.points, w.column), append(d.nm, w.nm), append(d.y, x)
	}
	if missing > 0 && d.p.scan && len(d.nm) > 0 {
		d.warnf("values_missing", "%d of %d wavelengths have no value and were left out.", missing, len(d.p.waves))
	}
	if mixed || !d.p.scan {
		q = absorbance
	}
	d.finish(q, d.conditions(), d.waveColumn)
}

// stopgap stands for a reading with a fault of its own, so that the others of
// its row are checked too; as an absorbance and in per cent it is no fault.
const stopgap = 1

func isNaN(text string) bool { return strings.EqualFold(text, "nan") }

// asAbsorbance turns a transmittance in per cent into absorbance.
func (d *draft) asAbsorbance(column int, percent float64) float64 {
	a := 2 - math.Log10(percent)
	if !(percent > 0 && percent <= 100*most) {
		d.faultf(column, "a transmittance must be above 0 and at most 112 %% of the blank: with no light left use a shorter cell, with more than that zero the instrument on water again")
		return stopgap
	}
	d.w.addf("transmittance_converted", "Transmittances at single wavelengths were turned into absorbance, A = 2 - log10(T%%).")
	return a
}

func (d *draft) waveColumn(i int) int { return d.points[i] }

// conditions reads path, dilution and uncertainty.
func (d *draft) conditions() (c conditions) {
	if x, ok := d.pathMM(); ok {
		c.path = &x
	} else {
		d.w.addf("path_assumed", pathAssumed)
	}
	if x, ok := d.dilution(); ok {
		c.dilution = &x
	}
	if x, _, ok := d.number(fU); ok {
		c.u = &x
	}
	return c
}

// pathMM reads the path in mm: a number in the header's unit, or with its own.
func (d *draft) pathMM() (float64, bool) {
	for _, f := range []field{fPath, fPathCM} {
		text, column := d.value(f)
		if text == "" {
			continue
		}
		if mm, ok := length(text); ok { // "1 cm" in the cell
			return mm, true
		}
		x, fault := parseNumber(text, d.p.sign(column))
		if fault != "" {
			d.badValue(f, column, text, "the path is not a number: a number of mm such as 10 is expected here")
			return 0, true
		}
		if f == fPathCM || column >= 0 && d.p.meanings[column].unit == unitCM {
			x *= 10
		}
		return x, true
	}
	return 0, false
}

// dilution reads total volume over wine volume: "10", "10x" or "1:10".
func (d *draft) dilution() (float64, bool) {
	text, column := d.value(fDilution)
	if text == "" {
		return 0, false
	}
	bare := strings.TrimRight(strings.TrimSpace(text), "xX× ")
	if one, total, ok := strings.Cut(strings.ReplaceAll(bare, "/", ":"), ":"); ok && strings.TrimSpace(one) == "1" {
		d.w.addf("dilution_ratio_assumed", "Dilutions such as 1:10 were read as one part of wine made up to ten, which is a dilution of 10. Where 1 + 10 is meant, write 11.")
		bare = strings.TrimSpace(total)
	}
	x, fault := parseNumber(bare, d.p.sign(column))
	if fault != "" {
		d.badValue(fDilution, column, text, "this is no dilution: total volume over wine volume is expected here, 1 for neat wine, 10 for 1 mL made up to 10 mL")
	}
	return x, true
}

// hasThree says whether 420, 520 and 620 nm are among ascending wavelengths.
func hasThree(nm []float64) bool {
	for _, x := range []float64{420, 520, 620} {
		if _, ok := slices.BinarySearch(nm, x); !ok {
			return false
		}
	}
	return true
}

// isScan says whether wavelengths, ascending, make a spectrum: they cover 400 to
// 700 nm at 10 nm or finer, or are not the three with at most a hundred more.
func isScan(nm []float64) bool {
	if !hasThree(nm) || len(nm) > 103 {
		return true
	}
	if nm[0] > 400.51 || nm[len(nm)-1] < 699.49 {
		return false
	}
	for i := 1; i < len(nm); i++ {
		if nm[i]-nm[i-1] > 10.51 && nm[i] > 400 && nm[i-1] < 700 {
			return false
		}
	}
	return true
}

// fewPoints is from how many wavelengths on they are looked at as a scan.
const fewPoints = 10

// finish makes the measurement of d.nm and d.y, checks it and warns of it.
// columnOf gives the column of a point, or -1.
func (d *draft) finish(q quantity, c conditions, columnOf func(int) int) {
	if len(d.nm) < fewPoints && !hasThree(d.nm) {
		if len(d.Faults) == 0 {
			d.faultf(-1, "there are %d readings, but not 420, 520 and 620 nm: these three are needed, or a scan of 400-700 nm at 10 nm or finer", len(d.nm))
		}
		return
	}
	if isScan(d.nm) {
		d.Spectrum = spectrumOf(d.nm, d.y, q, c)
	} else {
		d.Readings = readingsOf(d.nm, d.y, c)
	}
	d.check(columnOf)
}

func spectrumOf(nm, y []float64, q quantity, c conditions) *calc.Spectrum {
	both := make([]float64, 2*len(nm))
	n, v := both[:len(nm):len(nm)], both[len(nm):]
	copy(n, nm)
	copy(v, y)
	s := &calc.Spectrum{NM: n, PathMM: c.path, Dilution: c.dilution, UAbsorbance: c.u}
	if q == transmittance {
		s.TransmittancePercent = v
	} else {
		s.Absorbance = v
	}
	return s
}

func readingsOf(nm, y []float64, c conditions) *calc.Readings {
	r := &calc.Readings{PathMM: c.path, Dilution: c.dilution, UAbsorbance: c.u}
	var seen [3]bool
	for i, x := range nm {
		at := map420(x)
		if at >= 0 && !seen[at] {
			seen[at] = true
			*[]*float64{&r.A420, &r.A520, &r.A620}[at] = y[i]
			continue
		}
		r.Extra = append(r.Extra, calc.Reading{NM: x, Absorbance: y[i]})
	}
	return r
}

// map420 is 0, 1, 2 for the three wavelengths, -1 for others.
func map420(nm float64) int {
	switch nm {
	case 420:
		return 0
	case 520:
		return 1
	case 620:
		return 2
	}
	return -1
}

// lab reads L*, a*, b* from a report.
func (d *draft) lab() {
	var lab calc.CIELAB
	for i, to := range []*calc.Decimal{&lab.L, &lab.A, &lab.B} {
		column := d.p.column[fL+field(i)]
		text := d.cell(column)
		if isBlank(text) {
			d.faultf(column, "the value is missing: L*, a* and b* are all needed")
			continue
		}
		if fault := decimal(to, text, d.p.sign(column)); fault != "" {
			d.faultf(column, "%s", fault)
		}
	}
	var ok bool
	if lab.PathMM, ok = d.pathMM(); !ok {
		d.faultf(max(-1, d.p.column[fPath]), "the depth of wine that L*a*b* are stated for is missing: add path_mm, 10 for a result for 10 mm; a red read in a 1 mm cell and stated for 10 mm is a different colour")
	}
	if !ok {
		lab.PathMM = 10 // so that the rest is checked too
	}
	d.view(&lab)
	d.CIELAB = &lab
	d.check(nil)
}

// view reads light and observer, which may stand in one cell: "D65/10°".
func (d *draft) view(lab *calc.CIELAB) {
	light, _ := d.value(fIlluminant)
	observer, _ := d.value(fObserver)
	if i := strings.IndexAny(light, "/ "); i > 0 && observer == "" {
		light, observer = light[:i], light[i+1:]
	}
	lab.Illuminant = calc.Illuminant(strings.ToUpper(light))
	lab.Observer = calc.Observer(strings.TrimRight(strings.TrimSpace(observer), "°º deg"))
	if light == "" || observer == "" {
		d.w.addf("view_assumed", "Not every L*a*b* has its light and observer; D65 and 10° were taken. Add columns illuminant and observer.")
	}
}

// decimal reads a number with its digits, which tell how finely it was rounded.
func decimal(to *calc.Decimal, text string, sign decimalSign) string {
	if _, fault := parseNumber(text, sign); fault != "" {
		return fault
	}
	text = strings.NewReplacer("\u2212", "-", "+", "", ",", ".").Replace(text)
	if err := to.UnmarshalJSON([]byte(text)); err != nil {
		return "this is not a number: a number such as 71.2 is expected here"
	}
	return ""
}

package record

import (
	"fmt"
	"math"
	"time"

	"pourpath/api/calc"
	"pourpath/colour"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// Suspicions are what gives reason to doubt a reading of a wine of that kind.
// They refuse nothing. before is the wine's reading before this one, nil where
// there is none. What each warning means stands with what makes it: see
// reading.Readings.Suspicions, reading.DiluentNotGiven, reading.DilutedRed, the
// warning reading_window of spectrum.FromReadings, and changed.
//
// The spectrum is estimated only where the cell may cost colour, which takes a
// millisecond or two; all else takes about one microsecond, a scan a quarter of a
// millisecond. A reading that cannot be computed with has no suspicions.
func Suspicions(kind Kind, r Reading, before *Reading) []calc.Warning {
	var out suspicions
	m, ok := r.Measurement.asRead()
	if !ok {
		return nil
	}
	var cell reading.Cell
	if m.readings != nil {
		cell = m.readings.Cell
		out.add(m.readings.Suspicions()...)
		if spectrum.MayCost(*m.readings) {
			out.addWindow(spectrum.FromReadings(*m.readings))
		}
	} else {
		cell = m.scan.Cell
		out.add(m.scan.Suspicions()...)
		out.addWindow(spectrum.FromScan(*m.scan))
	}
	if w, ok := reading.DiluentNotGiven(cell); ok && r.Diluent == "" {
		out.add(w)
	}
	if w, ok := reading.DilutedRed(cell); ok && kind == Red {
		out.add(w)
	}
	if before != nil {
		if was, ok := before.Measurement.asRead(); ok {
			out.addChanged(changed(m, was, before.At()))
		}
	}
	return out
}

type suspicions []calc.Warning

func (s *suspicions) add(list ...colour.Warning) {
	for _, w := range list {
		*s = append(*s, calc.Warning{Code: w.Code, Message: w.Message})
	}
}

func (s *suspicions) addChanged(w calc.Warning, ok bool) {
	if ok {
		*s = append(*s, w)
	}
}

// addWindow takes from an estimate what it says of the cell.
func (s *suspicions) addWindow(w spectrum.Wine, err error) {
	if err != nil {
		return // whoever takes readings in says what is wrong with them
	}
	for _, warning := range w.Warnings {
		if warning.Code == "reading_window" {
			s.add(warning)
		}
	}
}

// asRead is a measurement of absorbance in the core's types, one of the two.
type asRead struct {
	readings *reading.Readings
	scan     *reading.Scan
}

// asRead is what m is; ok is false for a colour from a report and for what is no
// measurement.
func (m Measurement) asRead() (out asRead, ok bool) {
	switch {
	case m.Readings != nil:
		core := m.Readings.Core()
		return asRead{readings: &core}, core.Validate() == nil
	case m.Spectrum != nil:
		scan, err := scanOf(*m.Spectrum)
		return asRead{scan: &scan}, err == nil
	}
	return out, false
}

// sameNM is how near two wavelengths are that count as one.
const sameNM = 0.5

// at is the absorbance per 10 mm at a wavelength with its standard uncertainty:
// the reading's, and cellTolerance of the absorbance. ok is false where nothing
// was read.
func (a asRead) at(nm float64) (per10MM, u float64, ok bool) {
	var value, uOne, factor float64
	if a.scan != nil {
		value, uOne, factor = a.scan.At(nm), a.scan.UAbsorbance, a.scan.Per10MM()
		ok = !math.IsNaN(value)
	} else {
		uOne, factor = a.readings.UAbsorbance, a.readings.Per10MM()
		for _, at := range a.readings.All() {
			if math.Abs(at.NM-nm) <= sameNM {
				value, ok = at.Absorbance, true
				break
			}
		}
	}
	per10MM = value * factor
	return per10MM, math.Hypot(reading.Uncertainty(value, uOne)*factor, cellTolerance*per10MM), ok
}

// wavelengths are those that a is compared at, in nm.
func (a asRead) wavelengths() (nm []float64) {
	if a.scan == nil {
		for _, at := range a.readings.All() {
			nm = append(nm, at.NM)
		}
		return nm
	}
	for x := 400.0; x <= 700; x += 10 {
		nm = append(nm, x)
	}
	return nm
}

const (
	// cellTolerance is the relative standard uncertainty of one cell's path and
	// one dilution together. Common practice, no source.
	cellTolerance = 0.01
	// coverage is the factor k that two readings must be apart by: beyond it are
	// 0.3 % of repeats, and of several wavelengths the farthest is looked at
	// (JCGM 100:2008, 6.3 and G.1.3; clause numbers from memory).
	coverage = 3
)

// changed warns that a wine's reading differs from the one before by more than
// the instrument, the cell and the dilution can explain, at the wavelength where
// it does so most. ok is false where it does not, and where no wavelength is
// common to both.
func changed(now, was asRead, then Instant) (w calc.Warning, ok bool) {
	nm := now.wavelengths()
	if now.scan != nil && was.scan == nil {
		nm = was.wavelengths()
	}
	var farthest, at, difference, explained, old float64
	for _, x := range nm {
		a, ua, here := now.at(x)
		b, ub, there := was.at(x)
		if !here || !there {
			continue
		}
		u := math.Hypot(ua, ub)
		if d := math.Abs(a-b) / u; d > farthest {
			farthest, at, difference, explained, old = d, x, a-b, coverage*u, b
		}
	}
	if !(farthest > coverage) {
		return w, false
	}
	direction := "above"
	if difference < 0 {
		direction = "below"
	}
	return calc.Warning{Code: "changed", Message: fmt.Sprintf(
		"At %g nm this reading is %.3f per 10 mm %s the one before, of %s (%.3f), where instrument, cell and dilution explain %.3f. Either the wine has changed, or cells or instruments differ, or the sample was another: read it again, and correct or archive the reading that is wrong. (k = %d, JCGM 100; 1 %% for cell and dilution is common practice, no source.)",
		at, math.Abs(difference), direction, then.UTC().Format(time.DateOnly), old, explained, coverage)}, true
}

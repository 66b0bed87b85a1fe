package blend

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// NewPathUnread is NewPathWith where the addition was not read: it is taken from
// rungs that were poured into the base and read, as it colours there. What the
// strongest rung has beyond its share of the base stands, for the whole of the
// addition, for the reading that was not made. Give the same rungs to Calibrate:
// the path before that knows of the strongest alone. Its warnings have the code
// addition_not_read.
//
// Errors: those of NewPathWith; colour.FieldErrors on "measured" where there is no
// rung, and on "measured/i/wine" where the strongest rung has no more colour at
// 520 nm than the base.
func NewPathUnread(base spectrum.Wine, held []Held, rungs []Measured) (*Path, error) {
	host, volume, err := holding(base, held)
	if err != nil {
		return nil, err
	}
	addition, err := additionFrom(host, volume, rungs)
	if err != nil {
		return nil, err
	}
	return newPath(host, addition, volume), nil
}

// twice is by how much the uncertainty of the rung that stands for the addition is
// widened, as Calibrate takes in the same rung again: with it the intervals hold
// what they say (TestUnreadAddition).
const twice = 2

// additionFrom is the addition, from rungs in so many mL of base and what is held
// in it for 100 mL of base alone.
func additionFrom(base spectrum.Wine, volume float64, rungs []Measured) (spectrum.Wine, error) {
	if len(rungs) == 0 {
		return spectrum.Wine{}, colour.FieldErrors{{Field: "measured", Message: "the addition was not read, so one measured rung at least is needed: pour one, 5 to 15 mL per 100 mL of base, and read it"}}
	}
	strongest := 0
	for i, m := range rungs {
		if m.Dose > rungs[strongest].Dose {
			strongest = i
		}
	}
	m := &rungs[strongest]
	uRung, uBase := readU(&m.Wine), readU(&base)
	if !(m.Wine.At(520) > base.At(520)+2*math.Hypot(uRung, uBase)) {
		return spectrum.Wine{}, colour.FieldErrors{{
			Field: fmt.Sprintf("measured/%d/wine", strongest), Value: given(m.Wine.At(520)),
			Message: fmt.Sprintf("this rung has no more colour at 520 nm than the base, %.3g per 10 mm: was the right glass read? Without a reading of the addition nothing is known of it", base.At(520)),
		}}
	}
	f := float64(m.Dose) / (volume + float64(m.Dose))
	// Read as if in a cell so thin that it is no darker than the rung in its own.
	cell := reading.Cell{PathMM: math.Max(10*f, thinnestMM), Dilution: 1}
	at := func(nm float64) float64 { return (m.Wine.At(nm) - (1-f)*base.At(nm)) / f * cell.PathMM / 10 }
	r := reading.Readings{
		Cell: cell, A420: at(420), A520: at(520), A620: at(620),
		UAbsorbance: twice * math.Hypot(uRung, (1-f)*uBase) / f * cell.PathMM / 10,
	}
	for _, nm := range furtherNM {
		if m.reads(nm) {
			r.Extra = append(r.Extra, reading.At{NM: nm, Absorbance: at(nm)})
		}
	}
	w, err := spectrum.FromReadings(r)
	if err != nil {
		return spectrum.Wine{}, fmt.Errorf("blend: addition from a rung: %w", err)
	}
	w.Warnings = []colour.Warning{{Code: "addition_not_read", Message: "The addition was not read: it is known from measured rungs alone, as it colours in this base. Doses far from those rungs are less sure."}}
	return w, nil
}

// thinnestMM is the thinnest cell that a reading may be made in.
const thinnestMM = 0.01

// furtherNM are where a scanned rung tells more than three readings do.
var furtherNM = []float64{460, 490, 560, 590, 680}

// reads says whether something was measured near a wavelength.
func (m *Measured) reads(nm float64) bool {
	i := cie.Index(nm)
	for _, o := range m.Wine.Observed {
		if o.Row[i] > 0.5 && o.Row[i] <= 1 {
			return true
		}
	}
	return false
}

// readU is the standard uncertainty of the absorbance per 10 mm at 420, 520 or 620
// nm, whichever is largest.
func readU(w *spectrum.Wine) float64 {
	largest := 0.0
	for _, nm := range []float64{420, 520, 620} {
		var variance float64
		for _, t := range w.Terms {
			x := t.Effect[cie.Index(nm)]
			variance += x * x
		}
		largest = math.Max(largest, variance)
	}
	return math.Sqrt(largest)
}

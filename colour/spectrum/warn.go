package spectrum

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/reading"
)

// worthTelling is the cost in ΔE00 from which a reading's uncertainty is worth
// a warning: half of what the eye sees side by side.
const worthTelling = 0.5

// blackToWhite is the ΔE00 between black and white, the most that an error is
// counted for.
const blackToWhite = 100

// rosePale is the absorbance per 10 mm at 520 nm of a pale rosé: the depth at
// which the colour of a red in a blend is judged. Common practice, no source.
const rosePale = 0.35

// cost is how far the errors of one cause move the colour of w, in ΔE00: at
// 10 mm or, for a red, at the depth at which it is as pale as a rosé, which
// shows what it will do in a blend. D65, 10°.
func (w *Wine) cost(cause Cause) float64 {
	v := cie.OIV()
	weighting, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		return math.NaN()
	}
	depth := paleDepth(w.Absorbance[cie.Index(520)])
	l0, a0, b0 := weighting.AbsorbanceLab(&w.Absorbance, depth)
	var sum float64
	for _, t := range w.Terms {
		if t.Cause != cause {
			continue
		}
		moved := w.Absorbance
		for i := range moved {
			moved[i] += t.Effect[i]
		}
		l, a, b := weighting.AbsorbanceLab(&moved, depth)
		d := difference.DeltaE00(l0, a0, b0, l, a, b)
		if !(d <= blackToWhite) { // the light that such an error adds has no bound
			d = blackToWhite
		}
		sum += d * d
	}
	return math.Sqrt(sum)
}

// paleDepth is the depth, at most 10 mm, at which a wine of that A520 per 10 mm
// is as pale as a rosé.
func paleDepth(a520 float64) float64 {
	depth := cie.OIV().DepthMM
	if a520 > rosePale {
		depth *= rosePale / a520
	}
	return depth
}

// warnOfReadings tells when the cell costs colour (the window 0.3-0.7 of
// OIV-MA-AS2-07B matters only then), and which cell would do.
func (w *Wine) warnOfReadings(r reading.Readings) {
	if c := w.cost(Reading); c > worthTelling {
		w.Warnings = append(w.Warnings, cellWarning(c, r.Cell, math.Max(r.A420, r.A520)))
	}
	if blue, ok := reading.BlueAboveRed(r.A520, r.A620); ok {
		w.Warnings = append(w.Warnings, blue)
	}
}

func (w *Wine) warnOfScan(c reading.Cell, a []float64) {
	if d := w.cost(Reading); d > worthTelling {
		var top float64
		for _, x := range a[nearestVisible(len(a)):] {
			top = math.Max(top, x)
		}
		w.Warnings = append(w.Warnings, cellWarning(d, c, top))
	}
}

// nearestVisible leaves out the violet end of a scan, where every wine absorbs
// strongly and little is seen.
func nearestVisible(n int) int { return n / 10 }

// cellWarning names the cell that brings the highest reading nearest to the
// middle of 0.3-0.7.
func cellWarning(cost float64, c reading.Cell, highest float64) colour.Warning {
	best := reading.BetterCell(c.PathMM, highest)
	advice := fmt.Sprintf("Read it in a %g mm cell", best)
	switch {
	case best == c.PathMM && highest > 1:
		advice = "Dilute it with a model wine, and state dilution and diluent"
	case best == c.PathMM:
		advice = "Read it several times and give the mean with a smaller u_absorbance"
	}
	return colour.Warning{Code: "reading_window", Message: fmt.Sprintf(
		"In the %g mm cell the readings leave the colour uncertain by ΔE00 %.1f. %s (OIV-MA-AS2-07B asks for 0.3-0.7 in the cell).", c.PathMM, cost, advice)}
}

// warnOfNegative tells when the estimate needs less than no absorbance.
func (w *Wine) warnOfNegative() {
	lowest, at := 0.0, 0
	for i, a := range w.Absorbance {
		if a < lowest {
			lowest, at = a, i
		}
	}
	if lowest < -0.01-0.03*w.Absorbance[cie.Index(520)] {
		w.Warnings = append(w.Warnings, colour.Warning{Code: "negative_spectrum", Message: fmt.Sprintf(
			"No wine-like spectrum fits these values: the absorbance per 10 mm would be %.3f at %g nm. Check the blank, the cell and the columns.", lowest, cie.FirstNM+cie.StepNM*float64(at))})
	}
}

package spectrum

import (
	"math"

	"pourpath/colour/cie"
)

// Indices are the colour indices of OIV-MA-AS2-07B, for 10 mm. A value that
// cannot be had is NaN.
type Indices struct {
	// A420, A520 and A620 are absorbances per 10 mm.
	A420, A520, A620 float64
	// Intensity is A420 + A520 + A620.
	Intensity float64
	// Tint, OIV's shade N, is A420/A520; NaN when A520 is not above 0.
	Tint float64
	// YellowPercent, RedPercent and BluePercent are the shares of A420, A520
	// and A620 in the intensity, in per cent; NaN when it is not above 0.
	YellowPercent, RedPercent, BluePercent float64
}

// IndicesOf computes the indices from three absorbances per 10 mm.
//
// Source: OIV-MA-AS2-07B.
func IndicesOf(a420, a520, a620 float64) Indices {
	sum := a420 + a520 + a620
	ix := Indices{a420, a520, a620, sum, math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	if a520 > 0 {
		ix.Tint = a420 / a520
	}
	if sum > 0 {
		ix.YellowPercent, ix.RedPercent, ix.BluePercent = 100*a420/sum, 100*a520/sum, 100*a620/sum
	}
	return ix
}

// Indices computes the indices of w.
func (w *Wine) Indices() Indices {
	a := &w.Absorbance
	return IndicesOf(a[cie.Index(420)], a[cie.Index(520)], a[cie.Index(620)])
}

// PerTerm gives what one standard deviation of a term changes in the
// quantities that are judged: L*, a*, b* given the Jacobian of the colour, and
// A420, A520, A620 per 10 mm.
func (t *Term) PerTerm(jacobian *[3]cie.Curve) (lab, absorbance [3]float64) {
	for c := range 3 {
		lab[c] = jacobian[c].Dot(&t.Effect)
	}
	return lab, [3]float64{t.Effect[cie.Index(420)], t.Effect[cie.Index(520)], t.Effect[cie.Index(620)]}
}

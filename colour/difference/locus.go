package difference

import (
	"math"

	"pourpath/colour/cie"
)

// maxReach is how far from the reference, in units of a*b*, an outline is
// looked for: further than any colour of a light that passed a filter.
const maxReach = 512

// Locus returns the outline, in the a*b* plane at the given L*, of the colours
// whose ΔE00 from reference is tolerance: n points (a*, b*) by bearing, evenly
// from +a* towards +b*; the last joins the first. Seen from the reference each
// is the first crossing outward, as ΔE00 does not always grow with distance.
// Where the formula jumps across the tolerance (opposite hues) the point is
// that of the jump.
//
// It returns nil where there is no outline: the lightness gap alone exceeds
// tolerance; some bearing never reaches it, as ΔE00 levels off near 40; n is
// below 3; or an input is not a finite number, or the tolerance not above 0.
//
// Source: Sharma2005 for ΔE00; the search is bisection.
func Locus(reference cie.Lab, lightness, tolerance float64, n int) [][2]float64 {
	return LocusWeighted(reference, lightness, tolerance, n, Weights{1, 1, 1})
}

// LocusWeighted is Locus with the parametric factors k. It returns nil also where
// one of them is not above 0.
func LocusWeighted(reference cie.Lab, lightness, tolerance float64, n int, k Weights) [][2]float64 {
	if !(k.KL > 0 && k.KC > 0 && k.KH > 0) || n < 3 || !(tolerance > 0 && tolerance < maxReach) || finite("reference", reference) != nil {
		return nil
	}
	excess := func(a, b float64) float64 {
		return DeltaE00Weighted(reference.L, reference.A, reference.B, lightness, a, b, k) - tolerance
	}
	if !(excess(reference.A, reference.B) <= 0) { // NaN too
		return nil
	}
	outline := make([][2]float64, n)
	for i := range outline {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r, found := firstCrossing(tolerance*min(1, k.KC, k.KH), func(r float64) float64 {
			return excess(reference.A+r*cos, reference.B+r*sin)
		})
		if !found {
			return nil
		}
		outline[i] = [2]float64{reference.A + r*cos, reference.B + r*sin}
	}
	return outline
}

// firstCrossing walks outward from 0, where f is not above 0, until it is, and
// bisects the last stride down to the last bit. Strides begin at a quarter of
// the tolerance, which is well below any width of its ellipse, and lengthen by
// a twentieth of the way gone.
func firstCrossing(tolerance float64, f func(r float64) float64) (r float64, found bool) {
	inside, outside := 0.0, tolerance/4
	for f(outside) <= 0 {
		if outside > maxReach {
			return 0, false
		}
		inside, outside = outside, outside*1.05+tolerance/4
	}
	for {
		middle := (inside + outside) / 2
		if middle <= inside || middle >= outside {
			return inside, true
		}
		if f(middle) <= 0 {
			inside = middle
		} else {
			outside = middle
		}
	}
}

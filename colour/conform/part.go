package conform

import (
	"math"
	"slices"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

// state is everything that a verdict depends on: the sample's L*, a*, b* and
// its A420, A520, A620 per 10 mm, then the reference's L*, a*, b*.
type state [dims]float64

const (
	dims      = 9
	absorbing = 3 // place of the sample's A420
	reference = 6 // place of the reference's L*
)

// edge is how far beyond a limit still counts as on it, so that the last bit of
// a sum in binary never decides.
const edge = 1e-9

// part is one requirement: a quantity and its limits, both included.
type part struct {
	quantity     Quantity
	lower, upper float64
	weights      difference.Weights // of DeltaE00
	region       *region            // of T2
	warning      *[2]float64        // nil for none
}

// parts lists what s, which has no faults, asks for: the tolerances first, then
// the limits, then the ellipsoid.
func (s Spec) parts() []part {
	var out []part
	if s.Tolerance > 0 {
		out = append(out, part{quantity: DeltaE00, upper: s.Tolerance, weights: s.weights()})
	}
	if s.ToleranceAB > 0 {
		out = append(out, part{quantity: DeltaEab, upper: s.ToleranceAB})
	}
	for _, q := range Quantities() {
		if limits, ok := s.Limits[q]; ok {
			out = append(out, part{quantity: q, lower: limits[0], upper: limits[1]})
		}
	}
	if s.Ellipsoid != nil {
		r, ok := s.Ellipsoid.region()
		if !ok {
			panic("conform: a specification that was not validated")
		}
		out = append(out, part{quantity: T2, upper: s.Ellipsoid.Limit(), region: r})
	}
	s.warnAt(out)
	return out
}

// needsIndices reports whether a specification asks for more than L*a*b*.
func (c *judged) needsIndices() bool {
	return c.reference != nil && c.reference.Intensity != nil ||
		slices.ContainsFunc(c.parts, func(p part) bool { return p.quantity.ofAbsorbance() })
}

// value is the part's quantity of x; NaN for the tint of a wine that has no A520.
func (p *part) value(x *state) float64 {
	switch p.quantity {
	case DeltaE00:
		return difference.DeltaE00Weighted(x[reference], x[reference+1], x[reference+2], x[0], x[1], x[2], p.weights)
	case DeltaEab:
		l, a, b := x[0]-x[reference], x[1]-x[reference+1], x[2]-x[reference+2]
		return math.Sqrt(l*l + a*a + b*b)
	case T2:
		return p.region.t2(x[0], x[1], x[2])
	}
	return p.quantity.value(x)
}

// value is the quantity of x, of those that may have limits.
func (q Quantity) value(x *state) float64 {
	switch q {
	case L:
		return x[0]
	case A:
		return x[1]
	case B:
		return x[2]
	case Chroma:
		return cie.Lab{A: x[1], B: x[2]}.Chroma()
	case Hue:
		return cie.Lab{A: x[1], B: x[2]}.Hue()
	case Intensity:
		return spectrum.IndicesOf(x[absorbing], x[absorbing+1], x[absorbing+2]).Intensity
	case Tint:
		return spectrum.IndicesOf(x[absorbing], x[absorbing+1], x[absorbing+2]).Tint
	case Yellow:
		return spectrum.IndicesOf(x[absorbing], x[absorbing+1], x[absorbing+2]).YellowPercent
	case Red:
		return spectrum.IndicesOf(x[absorbing], x[absorbing+1], x[absorbing+2]).RedPercent
	case Blue:
		return spectrum.IndicesOf(x[absorbing], x[absorbing+1], x[absorbing+2]).BluePercent
	}
	return math.NaN()
}

// excess is how far value lies outside the limits, 0 or less within them; NaN
// counts as infinitely far.
func (p *part) excess(value float64) float64 {
	switch {
	case math.IsNaN(value):
		return math.Inf(1)
	case p.quantity == Hue:
		return p.hueExcess(value)
	}
	return max(p.lower-value, value-p.upper)
}

// hueExcess measures along the circle, from the middle of the allowed arc.
func (p *part) hueExcess(value float64) float64 {
	half := p.hueSpan() / 2
	return math.Abs(math.Remainder(value-p.lower-half, 360)) - half
}

// hueSpan is the width of the allowed arc, in degrees.
func (p *part) hueSpan() float64 {
	if p.upper < p.lower {
		return p.upper - p.lower + 360
	}
	return p.upper - p.lower
}

// met reports whether a value is within the limits, edges included.
func (p *part) met(value float64) bool { return p.excess(value) <= edge }

// off is value less nominal, along the shorter arc for a hue.
func (p *part) off(value, nominal float64) float64 {
	if p.quantity == Hue {
		return math.Remainder(value-nominal, 360)
	}
	return value - nominal
}

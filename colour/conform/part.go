package conform

import (
	"math"

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
}

// parts lists what s asks for, the tolerance first.
func (s Spec) parts() []part {
	var out []part
	if s.Tolerance > 0 {
		out = append(out, part{DeltaE00, 0, s.Tolerance})
	}
	for _, q := range Quantities() {
		if limits, ok := s.Limits[q]; ok {
			out = append(out, part{q, limits[0], limits[1]})
		}
	}
	return out
}

// needsIndices reports whether the parts ask for more than L*a*b*.
func needsIndices(parts []part) bool {
	for _, p := range parts {
		if p.quantity == Intensity || p.quantity == Tint {
			return true
		}
	}
	return false
}

// value is the quantity of x; NaN for the tint of a wine that has no A520.
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
	case DeltaE00:
		return difference.DeltaE00(x[reference], x[reference+1], x[reference+2], x[0], x[1], x[2])
	}
	return math.NaN()
}

// excess is how far value lies outside the limits, 0 or less within them; NaN
// counts as infinitely far.
func (p part) excess(value float64) float64 {
	switch {
	case math.IsNaN(value):
		return math.Inf(1)
	case p.quantity == Hue:
		return p.hueExcess(value)
	}
	return max(p.lower-value, value-p.upper)
}

// hueExcess measures along the circle, from the middle of the allowed arc.
func (p part) hueExcess(value float64) float64 {
	half := p.hueSpan() / 2
	return math.Abs(math.Remainder(value-p.lower-half, 360)) - half
}

// hueSpan is the width of the allowed arc, in degrees.
func (p part) hueSpan() float64 {
	if p.upper < p.lower {
		return p.upper - p.lower + 360
	}
	return p.upper - p.lower
}

// met reports whether a value is within the limits, edges included.
func (p part) met(value float64) bool { return p.excess(value) <= edge }

// off is value less nominal, along the shorter arc for a hue.
func (p part) off(value, nominal float64) float64 {
	if p.quantity == Hue {
		return math.Remainder(value-nominal, 360)
	}
	return value - nominal
}

package drift

import (
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

// Quantity is what may have limits.
type Quantity string

// The quantities: absorbances per 10 mm, intensity (A420 + A520 + A620), tint
// (A420/A520) and the shares of A420, A520 and A620 in the intensity in per cent of
// OIV-AS2-07B, and L*, a*, b*, chroma C*, hue angle h in degrees, ΔE00 and ΔE*ab
// from a reference in a view.
const (
	A420      Quantity = "a420"
	A520      Quantity = "a520"
	A620      Quantity = "a620"
	Intensity Quantity = "intensity"
	Tint      Quantity = "tint"
	Yellow    Quantity = "yellow_percent"
	Red       Quantity = "red_percent"
	Blue      Quantity = "blue_percent"
	L         Quantity = "L"
	A         Quantity = "a"
	B         Quantity = "b"
	Chroma    Quantity = "C"
	Hue       Quantity = "h"
	DeltaE00  Quantity = "delta_e_00"
	DeltaEab  Quantity = "delta_e_ab"
)

// Quantities lists them in the order of reports.
func Quantities() []Quantity {
	return []Quantity{A420, A520, A620, Intensity, Tint, Yellow, Red, Blue, L, A, B, Chroma, Hue, DeltaE00, DeltaEab}
}

func (q Quantity) needsColour() bool {
	return slices.Contains([]Quantity{L, A, B, Chroma, Hue, DeltaE00, DeltaEab}, q)
}

func (q Quantity) needsReference() bool { return q == DeltaE00 || q == DeltaEab }

// Limits is what a lot has to stay within.
type Limits struct {
	// Within are the least and the most of a quantity, both included; an infinite
	// one is an open side. Hue has none, and [350, 20] runs through 0.
	Within map[Quantity][2]float64
	// View is that of all limits on a colour, and of Reference, from which ΔE00
	// and ΔE*ab are counted. Neither is needed without such a limit.
	View      cie.View
	Reference *cie.Lab
	// Weights are the parametric factors of ΔE00; the zero value stands for 1:1:1.
	Weights difference.Weights
}

// Validate returns colour.FieldErrors at "limits", "limits/L" and so on, "view" and
// "reference", or nil.
func (l Limits) Validate() error {
	var faults colour.FieldErrors
	if len(l.Within) == 0 {
		faults.Addf("limits", nil, "there is no limit to leave: give at least one")
	}
	coloured := false
	for q, in := range l.Within {
		if !slices.Contains(Quantities(), q) {
			faults.Addf("limits/"+string(q), nil, "there is no such quantity: there are %q", Quantities())
			continue
		}
		coloured = coloured || q.needsColour()
		if q == Hue {
			if !(math.Abs(in[0]) <= 360 && math.Abs(in[1]) <= 360) || in[0] == in[1] {
				faults.Addf("limits/"+string(q), nil, "the limits of the hue are two different angles from 0 to 360 degrees")
			}
			continue
		}
		if !(in[0] < in[1]) || math.IsInf(in[0], -1) && math.IsInf(in[1], 1) {
			faults.Addf("limits/"+string(q), nil, "the lower limit must be below the upper one, and one of them a number")
		}
	}
	if coloured {
		if err := l.View.Validate(); err != nil {
			faults.Addf("view", nil, "%v", err)
		}
	}
	for q := range l.Within {
		if q.needsReference() && (l.Reference == nil || l.Reference.View != l.View) {
			faults.Addf("reference", nil, "ΔE00 and ΔE*ab need a reference in the view of the limits")
			break
		}
	}
	slices.SortFunc(faults, func(a, b colour.FieldError) int {
		if a.Field < b.Field {
			return -1
		}
		return 1
	})
	return faults.Err()
}

// part is one limit.
type part struct {
	quantity     Quantity
	lower, upper float64
	weights      difference.Weights
}

func (l Limits) parts() (out []part, coloured bool) {
	weights := l.Weights
	if weights == (difference.Weights{}) {
		weights = difference.Weights{KL: 1, KC: 1, KH: 1}
	}
	for _, q := range Quantities() {
		if in, ok := l.Within[q]; ok {
			out = append(out, part{q, in[0], in[1], weights})
			coloured = coloured || q.needsColour()
		}
	}
	return out, coloured
}

// excess is how far outside the limit a wine is that reads a and looks lab; 0 or less
// within.
func (p part) excess(a, lab [bands]float64, reference *cie.Lab) float64 {
	v := p.value(a, lab, reference)
	switch {
	case math.IsNaN(v):
		return math.Inf(1)
	case p.quantity == Hue:
		width := turned(p.upper - p.lower)
		return math.Abs(turned(v-p.lower-width/2+180)-180) - width/2
	}
	return math.Max(p.lower-v, v-p.upper)
}

// turned is an angle from 0 to below 360 degrees.
func turned(degrees float64) float64 {
	d := math.Mod(degrees, 360)
	if d < 0 {
		d += 360
	}
	return d
}

func (p part) value(a, lab [bands]float64, reference *cie.Lab) float64 {
	i := spectrum.IndicesOf(a[0], a[1], a[2])
	switch p.quantity {
	case A420:
		return a[0]
	case A520:
		return a[1]
	case A620:
		return a[2]
	case Intensity:
		return i.Intensity
	case Tint:
		return i.Tint
	case Yellow:
		return i.YellowPercent
	case Red:
		return i.RedPercent
	case Blue:
		return i.BluePercent
	}
	return p.colour(lab, reference)
}

func (p part) colour(lab [bands]float64, reference *cie.Lab) float64 {
	switch p.quantity {
	case L:
		return lab[0]
	case A:
		return lab[1]
	case B:
		return lab[2]
	case Chroma:
		return math.Hypot(lab[1], lab[2])
	case Hue:
		return math.Atan2(lab[2], lab[1]) * 180 / math.Pi
	case DeltaE00:
		return difference.DeltaE00Weighted(reference.L, reference.A, reference.B, lab[0], lab[1], lab[2], p.weights)
	}
	return math.Sqrt(square(lab[0]-reference.L) + square(lab[1]-reference.A) + square(lab[2]-reference.B))
}

func square(x float64) float64 { return x * x }

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

// The quantities: absorbances per 10 mm, intensity (A420 + A520 + A620) and tint
// (A420/A520) of OIV-AS2-07B, and L*, a*, b* and ΔE00 from a reference in a view.
const (
	A420      Quantity = "a420"
	A520      Quantity = "a520"
	A620      Quantity = "a620"
	Intensity Quantity = "intensity"
	Tint      Quantity = "tint"
	L         Quantity = "L"
	A         Quantity = "a"
	B         Quantity = "b"
	DeltaE00  Quantity = "delta_e_00"
)

// Quantities lists them in the order of reports.
func Quantities() []Quantity {
	return []Quantity{A420, A520, A620, Intensity, Tint, L, A, B, DeltaE00}
}

func (q Quantity) needsColour() bool { return q == L || q == A || q == B || q == DeltaE00 }

// Limits is what a lot has to stay within.
type Limits struct {
	// Within are the least and the most of a quantity, both included; an infinite
	// one is an open side.
	Within map[Quantity][2]float64
	// View is that of L*, a*, b* and ΔE00, and of Reference, from which ΔE00 is
	// counted. Neither is needed without such a limit.
	View      cie.View
	Reference *cie.Lab
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
		if !(in[0] < in[1]) || math.IsInf(in[0], -1) && math.IsInf(in[1], 1) {
			faults.Addf("limits/"+string(q), nil, "the lower limit must be below the upper one, and one of them a number")
		}
	}
	if coloured {
		if err := l.View.Validate(); err != nil {
			faults.Addf("view", nil, "%v", err)
		}
	}
	if _, ok := l.Within[DeltaE00]; ok && (l.Reference == nil || l.Reference.View != l.View) {
		faults.Addf("reference", nil, "ΔE00 needs a reference in the view of the limits")
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
}

func (l Limits) parts() (out []part, coloured bool) {
	for _, q := range Quantities() {
		if in, ok := l.Within[q]; ok {
			out = append(out, part{q, in[0], in[1]})
			coloured = coloured || q.needsColour()
		}
	}
	return out, coloured
}

// excess is how far outside the limit a wine is that reads a and looks lab; 0 or less
// within.
func (p part) excess(a, lab [bands]float64, reference *cie.Lab) float64 {
	var v float64
	switch p.quantity {
	case A420:
		v = a[0]
	case A520:
		v = a[1]
	case A620:
		v = a[2]
	case Intensity:
		v = spectrum.IndicesOf(a[0], a[1], a[2]).Intensity
	case Tint:
		v = spectrum.IndicesOf(a[0], a[1], a[2]).Tint
	case L:
		v = lab[0]
	case A:
		v = lab[1]
	case B:
		v = lab[2]
	case DeltaE00:
		v = difference.DeltaE00(reference.L, reference.A, reference.B, lab[0], lab[1], lab[2])
	}
	if math.IsNaN(v) {
		return math.Inf(1)
	}
	return math.Max(p.lower-v, v-p.upper)
}

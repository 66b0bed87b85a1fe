package conform

import (
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/spectrum"
)

// Rule says how a specification is decided.
type Rule string

const (
	// Simple passes when every part is met at face value, edges included.
	Simple Rule = "simple"
	// Guarded passes when the probability of conforming to all parts together
	// is at least 1 - MaxRisk, fails when it is at most MaxRisk, and is
	// inconclusive in between. Source: JCGM106, 8.3 (from memory).
	Guarded Rule = "guarded"
)

// Quantity names what is held against limits.
type Quantity string

// The quantities. L* , a*, b*, C* and h are in the view of the judgement; the
// hue h is in degrees, 0-360, and its limits may run through 0: from 350 to 20.
// Intensity (A420 + A520 + A620) and tint (A420/A520) are for 10 mm.
const (
	L         Quantity = "L"
	A         Quantity = "a"
	B         Quantity = "b"
	Chroma    Quantity = "C"
	Hue       Quantity = "h"
	Intensity Quantity = "intensity"
	Tint      Quantity = "tint"
	// DeltaE00 is the difference from the reference; its limit is the
	// tolerance. It is not a key of Spec.Limits.
	DeltaE00 Quantity = "delta_e_00"
)

// Quantities lists what may have limits, in the order of reports.
func Quantities() []Quantity { return []Quantity{L, A, B, Chroma, Hue, Intensity, Tint} }

// possible is the range in which a quantity can lie at all.
func (q Quantity) possible() (lower, upper float64) {
	switch q {
	case L:
		return 0, 110 // noise and a dark blank bring clear whites above 100
	case A, B:
		return -150, 150
	case Hue:
		return 0, 360
	}
	return 0, math.Inf(1)
}

// Reference is what a lot is compared with. Either a colour is given (Stated,
// Wine, or both for one wine known by its L*a*b*), or Intensity and Tint.
type Reference struct {
	// Stated is a colour as stated. In the view of the judgement it is taken as
	// given, with the rounding of its digits; under another view Wine is needed.
	Stated *spectrum.Stated
	// Wine is the reference's spectrum.
	Wine *spectrum.Wine
	// Intensity and Tint, given together, are compared and not judged: limits
	// say how far each may be off.
	Intensity, Tint *float64
}

// Spec is what a lot must meet. At least one part, Tolerance or a limit, is
// given.
type Spec struct {
	Name      string
	Reference *Reference // nil where nothing is compared
	// Tolerance is the largest ΔE00 from the reference, above 0; 0 for none.
	Tolerance float64
	// Limits are the least and the most of a quantity, both included; an
	// infinite one is an open side. Hue has no open side.
	Limits map[Quantity][2]float64
	Rule   Rule
	// MaxRisk is the accepted probability of passing a lot that does not
	// conform, above 0 and below 0.5. The simple rule does not use it.
	MaxRisk float64
}

const maxTolerance = 100

// Validate returns every fault of s at once, as colour.FieldErrors at "target",
// "target/...", "tolerance/delta_e_00", "limits/L" and so on, "rule",
// "max_risk", or "" when there is nothing to judge; or nil.
func (s Spec) Validate() error {
	var faults colour.FieldErrors
	if !(s.Tolerance >= 0 && s.Tolerance <= maxTolerance) {
		faults.Addf("tolerance/delta_e_00", given(s.Tolerance), "the tolerance is a ΔE00 above 0 and at most %d; 1 to 3 is usual", maxTolerance)
	}
	s.validateReference(&faults)
	s.validateLimits(&faults)
	if s.Tolerance == 0 && len(s.Limits) == 0 {
		faults.Addf("", nil, "there is nothing to judge: give a target with a tolerance, or limits, or both")
	}
	switch s.Rule {
	case Simple:
	case Guarded:
		if !(s.MaxRisk > 0 && s.MaxRisk < 0.5) {
			faults.Addf("max_risk", given(s.MaxRisk), "the accepted risk is a probability above 0 and below 0.5; 0.05 is usual")
		}
	default:
		faults.Addf("rule", string(s.Rule), "the rule must be %q or %q", Simple, Guarded)
	}
	return faults.Err()
}

func (s Spec) validateReference(faults *colour.FieldErrors) {
	r := s.Reference
	if r == nil {
		if s.Tolerance > 0 {
			faults.Addf("target", nil, "a tolerance needs a target to be taken from")
		}
		return
	}
	isColour, isIndices := r.Stated != nil || r.Wine != nil, r.Intensity != nil || r.Tint != nil
	switch {
	case isColour && isIndices:
		faults.Addf("target", nil, "the target is given twice: give either a colour or intensity and tint")
	case !isColour && !isIndices:
		faults.Addf("target", nil, "the target is empty: give a colour, a wine, or intensity and tint")
	case isIndices && s.Tolerance > 0:
		faults.Addf("tolerance/delta_e_00", s.Tolerance, "an intensity and tint do not fix a colour, so no ΔE00 can be taken from them: give limits on intensity and tint instead")
	}
	if isIndices {
		for _, index := range []struct {
			field string
			value *float64
		}{{"target/intensity", r.Intensity}, {"target/tint", r.Tint}} {
			if index.value == nil {
				faults.Addf(index.field, nil, "intensity and tint go together: give both")
			} else if !(*index.value > 0 && *index.value <= 1000) {
				faults.Addf(index.field, given(*index.value), "must be above 0 and at most 1000")
			}
		}
	}
	if r.Stated != nil {
		validateStated(r.Stated, "target/cielab", faults)
	}
}

// validateStated adds the faults of stated values, and of their rounding.
func validateStated(s *spectrum.Stated, field string, faults *colour.FieldErrors) {
	faults.AddUnder(field, s.Validate())
	for _, half := range []float64{s.HalfStepL, s.HalfStepAB} {
		if !(half >= 0 && half <= 10) {
			faults.Addf(field, given(half), "half of the last printed digit must be from 0 to 10")
		}
	}
}

func (s Spec) validateLimits(faults *colour.FieldErrors) {
	known := Quantities()
	var unknown []Quantity
	for q := range s.Limits {
		if !slices.Contains(known, q) {
			unknown = append(unknown, q)
		}
	}
	slices.Sort(unknown) // a map has no order of its own
	for _, q := range unknown {
		faults.Addf("limits/"+string(q), nil, "unknown quantity: limits may be on %v", known)
	}
	for _, q := range known {
		pair, ok := s.Limits[q]
		if !ok {
			continue
		}
		field, lower, upper := "limits/"+string(q), pair[0], pair[1]
		least, most := q.possible()
		switch {
		case math.IsNaN(lower) || math.IsNaN(upper):
			faults.Addf(field, nil, "a limit is not a number")
		case q == Hue && !(lower >= 0 && lower <= 360 && upper >= 0 && upper <= 360):
			faults.Addf(field, givenPair(pair), "hue limits are degrees from 0 to 360; [350, 20] runs through 0")
		case q == Hue:
		case lower > upper:
			faults.Addf(field, givenPair(pair), "the limits contradict each other: the least, %g, is above the most, %g", lower, upper)
		case lower > most || upper < least:
			faults.Addf(field, givenPair(pair), "no wine can meet these limits: %s lies between %g and %g", q, least, most)
		}
	}
}

// given is v as a fault may carry it: JSON has no NaN and no infinity.
func given(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return v
}

func givenPair(p [2]float64) any { return []any{given(p[0]), given(p[1])} }

package conform

import (
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

// Rule says how a specification is decided.
type Rule string

const (
	// Simple passes when every part is met at face value, edges included.
	Simple Rule = "simple"
	// Guarded passes when the probability of conforming to all parts together
	// is at least 1 - MaxRisk. It fails when that is at most MaxRisk and so is
	// the chance that a lot on the nearest limit is measured as far outside:
	// see Judgement.RejectionRisk. It is inconclusive in between. Source:
	// JCGM106, 8.3 (from memory).
	Guarded Rule = "guarded"
)

// Quantity names what is held against limits.
type Quantity string

// The quantities. L* , a*, b*, C* and h are in the view of the judgement; the
// hue h is in degrees, 0-360, and its limits may run through 0: from 350 to 20.
// Intensity (A420 + A520 + A620) and tint (A420/A520) are for 10 mm; the shares
// are those of A420, A520 and A620 in the intensity, in per cent.
const (
	L         Quantity = "L"
	A         Quantity = "a"
	B         Quantity = "b"
	Chroma    Quantity = "C"
	Hue       Quantity = "h"
	Intensity Quantity = "intensity"
	Tint      Quantity = "tint"
	Yellow    Quantity = "yellow_percent"
	Red       Quantity = "red_percent"
	Blue      Quantity = "blue_percent"
	// DeltaE00 and DeltaEab are differences from the reference; their limits are
	// the tolerances. T2 is Hotelling's T² from the mean of the approved lots;
	// its limit is that of the Ellipsoid. None is a key of Spec.Limits.
	DeltaE00 Quantity = "delta_e_00"
	DeltaEab Quantity = "delta_e_ab"
	T2       Quantity = "hotelling_t2"
)

// Quantities lists what may have limits, in the order of reports.
func Quantities() []Quantity {
	return []Quantity{L, A, B, Chroma, Hue, Intensity, Tint, Yellow, Red, Blue}
}

// ofAbsorbance reports whether q is one of the OIV's indices, which no L*a*b*
// holds.
func (q Quantity) ofAbsorbance() bool {
	return slices.Contains([]Quantity{Intensity, Tint, Yellow, Red, Blue}, q)
}

// possible is the range in which a quantity can lie at all.
func (q Quantity) possible() (lower, upper float64) {
	switch q {
	case L:
		return 0, 110 // noise and a dark blank bring clear whites above 100
	case A, B:
		return -150, 150
	case Hue:
		return 0, 360
	case Yellow, Red, Blue:
		return -10, 110 // noise about an absorbance near 0
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

// Spec is what a lot must meet. At least one part, a tolerance, a limit or an
// ellipsoid, is given; all parts that are given must be met together.
type Spec struct {
	Name      string
	Reference *Reference // nil where nothing is compared
	// Tolerance is the largest ΔE00 from the reference, above 0; 0 for none.
	Tolerance float64
	// Weights are the parametric factors of that ΔE00, each from 0.1 to 10; the
	// zero value stands for 1:1:1.
	Weights difference.Weights
	// ToleranceAB is the largest ΔE*ab from the reference, above 0; 0 for none.
	ToleranceAB float64
	// Limits are the least and the most of a quantity, both included; an
	// infinite one is an open side. Hue has no open side.
	Limits map[Quantity][2]float64
	// Ellipsoid is the region of the approved lots; nil for none. Where there is
	// no Reference, its mean is the reference.
	Ellipsoid *Ellipsoid
	// Warning holds limits inside those above.
	Warning WarningLimits
	// Setup is how lots are to be read; nil where that is not laid down.
	Setup *Setup
	Rule  Rule
	// MaxRisk is the accepted probability of passing a lot that does not
	// conform, from 0.001 and below 0.5. The simple rule does not use it.
	MaxRisk float64
}

const (
	maxTolerance            = 100
	leastWeight, mostWeight = 0.1, 10
	// leastRisk leaves sixteen of the draws beyond it.
	leastRisk = 0.001
)

// Validate returns every fault of s at once, as colour.FieldErrors at "target",
// "target/...", "tolerance/delta_e_00", "tolerance/kL", "limits/L" and so on,
// "ellipsoid/...", "warning/...", "reading_method/...", "rule", "max_risk", or ""
// when there is nothing to judge; or nil. Whether the reference meets s's own limits depends
// on the view: see ValidateIn.
func (s Spec) Validate() error {
	var faults colour.FieldErrors
	s.validateTolerances(&faults)
	s.validateReference(&faults)
	s.validateLimits(&faults)
	s.Ellipsoid.validate("ellipsoid", &faults)
	if s.Setup != nil {
		s.Setup.validate("reading_method", &faults)
		if r := s.Reference; s.Setup.SameSession && (r == nil || r.Wine == nil || r.Stated != nil) {
			faults.Addf("reading_method/same_session", true, "the target is no reading, so no session can be shared with it: leave this out, or give a wine with its reading as the target")
		}
	}
	if s.Tolerance == 0 && s.ToleranceAB == 0 && len(s.Limits) == 0 && s.Ellipsoid == nil {
		faults.Addf("", nil, "there is nothing to judge: give a target with a tolerance, limits, an ellipsoid of approved lots, or several of them")
	}
	if len(faults) == 0 {
		s.validateWarning(&faults)
	}
	switch s.Rule {
	case Simple:
	case Guarded:
		if !(s.MaxRisk >= leastRisk && s.MaxRisk < 0.5) {
			faults.Addf("max_risk", given(s.MaxRisk), "the accepted risk is a probability from %g to below 0.5; 0.05 is usual. The probability of conforming is counted over %d draws, and a smaller risk cannot be told from none", leastRisk, Draws)
		}
	default:
		faults.Addf("rule", string(s.Rule), "the rule must be %q or %q", Simple, Guarded)
	}
	return faults.Err()
}

func (s Spec) validateTolerances(faults *colour.FieldErrors) {
	if !(s.Tolerance >= 0 && s.Tolerance <= maxTolerance) {
		faults.Addf("tolerance/delta_e_00", given(s.Tolerance), "the tolerance is a ΔE00 above 0 and at most %d; 1 to 3 is usual", maxTolerance)
	}
	if !(s.ToleranceAB >= 0 && s.ToleranceAB <= maxTolerance) {
		faults.Addf("tolerance/delta_e_ab", given(s.ToleranceAB), "the tolerance is a ΔE*ab above 0 and at most %d; 2 to 5 is usual", maxTolerance)
	}
	if s.Weights == (difference.Weights{}) {
		return
	}
	for _, k := range []struct {
		name  string
		value float64
	}{{"kL", s.Weights.KL}, {"kC", s.Weights.KC}, {"kH", s.Weights.KH}} {
		switch {
		case !(k.value >= leastWeight && k.value <= mostWeight):
			faults.Addf("tolerance/"+k.name, given(k.value), "a parametric factor of ΔE00 is from %g to %g: 1 for the reference conditions, 2 makes a difference count half", leastWeight, float64(mostWeight))
		case s.Tolerance == 0:
			faults.Addf("tolerance/"+k.name, k.value, "parametric factors belong to a ΔE00, and there is no tolerance delta_e_00: give one, or leave the factors out")
			return
		}
	}
}

// weights are those that ΔE00 is taken with.
func (s Spec) weights() difference.Weights {
	if s.Weights == (difference.Weights{}) {
		return difference.Weights{KL: 1, KC: 1, KH: 1}
	}
	return s.Weights
}

// reference is what a difference is taken from: the one given, else the mean
// of the approved lots, which is then what is wanted and has no error.
func (s Spec) reference() *Reference {
	if s.Reference == nil && s.Ellipsoid != nil {
		return &Reference{Stated: &spectrum.Stated{Lab: s.Ellipsoid.Mean}}
	}
	return s.Reference
}

func (s Spec) validateReference(faults *colour.FieldErrors) {
	r := s.Reference
	if r == nil {
		if (s.Tolerance > 0 || s.ToleranceAB > 0) && s.Ellipsoid == nil {
			faults.Addf("target", nil, "a tolerance needs a target to be taken from: give one, or approved lots whose mean it is")
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
	case isIndices && s.ToleranceAB > 0:
		faults.Addf("tolerance/delta_e_ab", s.ToleranceAB, "an intensity and tint do not fix a colour, so no ΔE*ab can be taken from them: give limits on intensity and tint instead")
	}
	if isIndices {
		r.validateIndices(faults)
	}
	if r.Stated != nil {
		validateStated(r.Stated, "target/cielab", faults)
	}
}

func (r *Reference) validateIndices(faults *colour.FieldErrors) {
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

// validateStated adds the faults of stated values, and of their rounding.
func validateStated(s *spectrum.Stated, field string, faults *colour.FieldErrors) {
	faults.AddUnder(field, s.Validate())
	for _, half := range []float64{s.HalfStepL, s.HalfStepAB} {
		if !(half >= 0 && half <= 10) {
			faults.Addf(field, given(half), "half of the last printed digit must be from 0 to 10")
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

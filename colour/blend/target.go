package blend

import (
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
)

// Target is the colour to reach: exactly one of Lab, or Intensity and Tint
// together.
type Target struct {
	// Lab is the wanted colour with the view it holds under; a search must be
	// made under the same view.
	Lab *cie.Lab
	// Intensity is A420 + A520 + A620 for 10 mm, above 0; Tint is A420/A520,
	// above 0. Source: OIV-AS2-07B.
	Intensity, Tint *float64
	// Tolerance is the largest ΔE00 that still counts as the target, 0 where
	// none is given. It needs a Lab: intensity and tint alone do not fix a
	// colour.
	Tolerance float64
}

// reachedDeltaE00 is how near counts as reached where no tolerance is given:
// a tenth of what an eye tells apart side by side.
const reachedDeltaE00 = 0.1

// reachedMisfit is the same for an intensity and tint, as a relative misfit:
// 1 % more absorbance moves a rosé by about ΔE00 0.1.
const reachedMisfit = 0.01

// The largest L*, and the largest |a*| and |b*|, that are taken for a colour.
const (
	maxL  = 110
	maxAB = 150
)

const maxTolerance = 100

// Validate returns every fault of t at once, as colour.FieldErrors at
// "cielab/L", "cielab/a", "cielab/b", "cielab", "intensity", "tint",
// "tolerance/delta_e_00" or "" (which of the two kinds is meant), or nil.
func (t Target) Validate() error {
	var faults colour.FieldErrors
	indices := t.Intensity != nil || t.Tint != nil
	switch {
	case t.Lab != nil && indices:
		faults.Addf("", nil, "the target is given twice: give either a colour or intensity and tint")
	case t.Lab == nil && !indices:
		faults.Addf("", nil, "the target is empty: give a colour, or intensity and tint")
	case t.Lab == nil && t.Tint == nil:
		faults.Addf("tint", nil, "intensity and tint go together: give tint (A420/A520) too")
	case t.Lab == nil && t.Intensity == nil:
		faults.Addf("intensity", nil, "intensity and tint go together: give intensity (A420 + A520 + A620 for 10 mm) too")
	}
	if t.Lab != nil {
		validateLab(*t.Lab, &faults)
	}
	for _, index := range []struct {
		field string
		value *float64
	}{{"intensity", t.Intensity}, {"tint", t.Tint}} {
		if index.value != nil && !(*index.value > 0 && *index.value <= 1000) {
			faults.Addf(index.field, given(*index.value), "%s must be above 0 and at most 1000", index.field)
		}
	}
	if !(t.Tolerance >= 0 && t.Tolerance <= maxTolerance) {
		faults.Addf("tolerance/delta_e_00", given(t.Tolerance), "the tolerance is a ΔE00 above 0 and at most %d; 1 to 3 is usual", maxTolerance)
	}
	return faults.Err()
}

func validateLab(lab cie.Lab, faults *colour.FieldErrors) {
	if !(lab.L >= 0 && lab.L <= maxL) {
		faults.Addf("cielab/L", given(lab.L), "L* must be from 0 to %d", maxL)
	}
	for _, axis := range []struct {
		field string
		value float64
	}{{"cielab/a", lab.A}, {"cielab/b", lab.B}} {
		if !(math.Abs(axis.value) <= maxAB) {
			faults.Addf(axis.field, given(axis.value), "a* and b* must be from %d to %d", -maxAB, maxAB)
		}
	}
	if err := lab.View.Validate(); err != nil {
		faults.Addf("cielab", nil, "the colour's conditions: %v", err)
	}
}

// reached is the largest misfit that counts as having met t.
func (t Target) reached() float64 {
	switch {
	case t.Lab == nil:
		return reachedMisfit
	case t.Tolerance > 0:
		return t.Tolerance
	}
	return reachedDeltaE00
}

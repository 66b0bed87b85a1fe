package conform

import (
	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// ValidateIn is Validate for a specification that holds in the view v. It also
// finds what depends on that: a reference that misses s's own limits, so that a
// lot which equals it would fail, or its warning limits; a region of approved lots that holds for other
// conditions; and a reference stated for other conditions with no spectrum to
// bring it here.
//
// Errors: colour.FieldErrors at the places of Validate, and at "view".
func (s Spec) ValidateIn(v cie.View) error {
	if err := s.Validate(); err != nil {
		return err
	}
	if err := v.Validate(); err != nil {
		return colour.FieldErrors{{Field: "view", Value: v.String(), Message: err.Error()}}
	}
	var faults colour.FieldErrors
	s.seen(v, &faults)
	return faults.Err()
}

// seen is the reference under v, nil without a reference colour. s and v have no
// faults of their own.
func (s Spec) seen(v cie.View, faults *colour.FieldErrors) *side {
	if e := s.Ellipsoid; e != nil && e.Mean.View != v {
		faults.Addf("ellipsoid", nil, "the region of the approved lots holds for %v and the specification for %v: a region cannot be converted; estimate it from the lots' colours for %v", e.Mean.View, v, v)
		return nil
	}
	r := s.reference()
	if r == nil {
		return nil
	}
	var ref *side
	if r.Intensity == nil {
		if ref = seen(r.Stated, r.Wine, v, "target", faults); ref == nil {
			return nil
		}
	}
	s.excluded(r, ref, faults)
	return ref
}

// excluded finds the limits that the reference itself misses.
func (s Spec) excluded(r *Reference, ref *side, faults *colour.FieldErrors) {
	var x state
	if ref != nil {
		x[0], x[1], x[2] = ref.lab.L, ref.lab.A, ref.lab.B
		copy(x[reference:], x[:absorbing])
	}
	hasIndices := r.Intensity != nil
	switch {
	case hasIndices: // any three absorbances with that intensity and tint
		a520 := *r.Intensity / (1 + *r.Tint)
		x[absorbing], x[absorbing+1] = *r.Tint*a520, a520
	case r.Wine != nil && r.Wine.Source != spectrum.CIELAB: // an L*a*b* has them only by estimate
		ix := r.Wine.Indices()
		x[absorbing], x[absorbing+1], x[absorbing+2] = ix.A420, ix.A520, ix.A620
		hasIndices = true
	}
	for _, p := range s.parts() {
		known := ref != nil
		if p.quantity.ofAbsorbance() {
			share := p.quantity != Intensity && p.quantity != Tint
			known = hasIndices && (!share || r.Intensity == nil)
		}
		value := p.value(&x)
		switch {
		case known && p.met(value) && p.beyondWarning(value):
			s.warnsOfItself(&p, value, faults)
			continue
		case !known || p.met(value):
			continue
		}
		if p.quantity == T2 {
			faults.Addf("ellipsoid", given(value), "the target lies outside the region of the approved lots: its T² is %.4g and %.4g is the most; a lot that equals the target would fail", value, p.upper)
			continue
		}
		faults.Addf("limits/"+string(p.quantity), []any{given(p.lower), given(p.upper)},
			"the target does not meet these limits: its %s is %.4g, and they are %g to %g; a lot that equals the target would fail", p.quantity, value, p.lower, p.upper)
	}
}

// warnsOfItself adds the fault of warning limits that the reference is beyond.
func (s Spec) warnsOfItself(p *part, value float64, faults *colour.FieldErrors) {
	if p.quantity == T2 {
		faults.Addf("warning/ellipsoid/confidence", s.Warning.Confidence, "the target lies outside this region of the approved lots: its T² is %.4g and %.4g is the most; a lot that equals the target would be warned of", value, p.warning[1])
		return
	}
	faults.Addf("warning/limits/"+string(p.quantity), givenPair(*p.warning),
		"the target is beyond these warning limits: its %s is %.4g, and they are %g to %g; a lot that equals the target would be warned of", p.quantity, value, p.warning[0], p.warning[1])
}

package conform

import (
	"math"

	"pourpath/colour"
)

// WarningLimits are limits inside those of a specification. They decide
// nothing: a result beyond one says so. Each belongs to a part that the
// specification has, and lies within it.
type WarningLimits struct {
	// Tolerance and ToleranceAB are ΔE00, with the specification's parametric
	// factors, and ΔE*ab; 0 for none.
	Tolerance, ToleranceAB float64
	// Confidence is that of an ellipsoid about the same approved lots, below the
	// specification's own; 0 for none.
	Confidence float64
	// Limits are as in Spec.
	Limits map[Quantity][2]float64
}

// validateWarning finds warning limits that have no limit to warn of, or are
// not inside it. It asks for a specification without other faults.
func (s Spec) validateWarning(faults *colour.FieldErrors) {
	w := s.Warning
	for _, t := range []struct {
		field         string
		inner, action float64
		what          string
	}{
		{"warning/tolerance/delta_e_00", w.Tolerance, s.Tolerance, "tolerance delta_e_00"},
		{"warning/tolerance/delta_e_ab", w.ToleranceAB, s.ToleranceAB, "tolerance delta_e_ab"},
	} {
		switch {
		case t.inner == 0:
		case !(t.inner > 0):
			faults.Addf(t.field, given(t.inner), "a warning limit is a difference above 0")
		case t.action == 0:
			faults.Addf(t.field, t.inner, "there is no %s to warn of: a warning limit lies inside one of the specification's own", t.what)
		case t.inner > t.action:
			faults.Addf(t.field, given(t.inner), "the warning limit lies outside the tolerance of %g that it is to warn of", t.action)
		}
	}
	if w.Confidence != 0 {
		const field = "warning/ellipsoid/confidence"
		before := len(*faults)
		validateConfidence(w.Confidence, field, faults)
		switch {
		case len(*faults) > before:
		case s.Ellipsoid == nil:
			faults.Addf(field, w.Confidence, "there is no ellipsoid to warn of: a warning limit lies inside one of the specification's own")
		case w.Confidence > s.Ellipsoid.Confidence:
			faults.Addf(field, w.Confidence, "the warning ellipsoid is larger than the one at confidence %g that it is to warn of", s.Ellipsoid.Confidence)
		}
	}
	before := len(*faults)
	validateLimits(w.Limits, "warning/limits/", faults)
	if len(*faults) > before {
		return
	}
	for _, q := range Quantities() {
		inner, ok := w.Limits[q]
		if !ok {
			continue
		}
		field := "warning/limits/" + string(q)
		action, ok := s.Limits[q]
		switch {
		case !ok:
			faults.Addf(field, givenPair(inner), "there are no limits on %s to warn of: a warning limit lies inside one of the specification's own", q)
		case !inside(q, inner, action):
			faults.Addf(field, givenPair(inner), "the warning limits must lie within the limits %g to %g that they are to warn of", action[0], action[1])
		}
	}
}

// inside reports whether the limits inner lie within outer, edges included. An
// arc of hues lies within another when its ends do, in their order.
func inside(q Quantity, inner, outer [2]float64) bool {
	if q != Hue {
		return inner[0] >= outer[0] && inner[1] <= outer[1]
	}
	in, out := part{quantity: q, lower: inner[0], upper: inner[1]}, part{quantity: q, lower: outer[0], upper: outer[1]}
	start := math.Mod(inner[0]-outer[0]+720, 360)
	return start+in.hueSpan() <= out.hueSpan()+edge || out.hueSpan() >= 360
}

// warnAt adds the warning limits to the parts that have one.
func (s Spec) warnAt(parts []part) {
	for k := range parts {
		p := &parts[k]
		switch p.quantity {
		case DeltaE00:
			p.warn(0, s.Warning.Tolerance, s.Warning.Tolerance > 0)
		case DeltaEab:
			p.warn(0, s.Warning.ToleranceAB, s.Warning.ToleranceAB > 0)
		case T2:
			if s.Warning.Confidence > 0 {
				p.warn(0, s.Ellipsoid.limit(s.Warning.Confidence), true)
			}
		default:
			limits, ok := s.Warning.Limits[p.quantity]
			p.warn(limits[0], limits[1], ok)
		}
	}
}

func (p *part) warn(lower, upper float64, ok bool) {
	if ok {
		p.warning = &[2]float64{lower, upper}
	}
}

// beyondWarning reports whether value is beyond the warning limits of p.
func (p part) beyondWarning(value float64) bool {
	if p.warning == nil {
		return false
	}
	inner := part{quantity: p.quantity, lower: p.warning[0], upper: p.warning[1]}
	return !inner.met(value)
}

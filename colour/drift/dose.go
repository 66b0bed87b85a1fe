package drift

import (
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// DoseAim is the dose to pour today so that the blend is nearest to its target on the
// day of release. Doses are in mL per 100 mL of base.
type DoseAim struct {
	// WithoutDrift is the dose that is nearest today; Dose the one to pour, and
	// More what it is more (above 0) or less than that.
	WithoutDrift, Dose blend.Dose
	More               float64
	// MoreInterval95 holds More for one lot more with 95 %, over what is uncertain
	// about the drift alone; first order.
	MoreInterval95 [2]float64
	// Interval95 holds Dose over the drift and all that is uncertain about the
	// path; nil where Dose is an end of the ladder.
	Interval95 *[2]float64
	AtEnd      bool
	Today      [3]float64 // absorbances per 10 mm of the blend at Dose, in the order of NMs
	AtRelease  Forecast   // the same on the day of release
	// Warnings are those of the drift and of the nearest dose.
	Warnings []colour.Warning
}

// doseSteps is how often an aim is refined; each brings it about ten times nearer.
const doseSteps = 6

// doseNear is what two refinements may differ by, in mL per 100 mL.
const doseNear = 1e-3

// doseSearch looks for a dose whose colour drifts to a target.
type doseSearch struct {
	class          *Class
	path           *blend.Path
	target         blend.Target
	view           cie.View
	weighting      *cie.Weighting
	largest        blend.Dose
	today, release float64
}

// AimDose finds the dose from 0 to largest whose blend, poured on day today, is
// nearest to the target on day release: the target is moved back by what the blend at
// that dose will drift, and the dose nearest to where it then is looked for. For a
// colour the move is the difference of the colours that the readings have before and
// after, through spectrum.FromReadings, so that what the estimate has wrong about the
// shape largely cancels; for an intensity and tint it is exact.
//
// Errors: ErrUnknown (errors.Is); colour.FieldErrors as of Aim and of
// blend.Path.Nearest; those of spectrum.FromReadings for a blend that drifts out of
// what can be a wine.
func (c *Class) AimDose(p *blend.Path, target blend.Target, v cie.View, largest blend.Dose, today, release float64) (DoseAim, error) {
	warnings, err := c.reach(today, release)
	if err != nil {
		return DoseAim{}, err
	}
	plain, err := p.Nearest(target, v, largest)
	if err != nil {
		return DoseAim{}, err
	}
	w, err := weightingOf(v)
	if err != nil {
		return DoseAim{}, err
	}
	s := doseSearch{c, p, target, v, w, largest, today, release}
	best, err := s.find(plain.Dose, [bands]float64{}, doseSteps)
	if err != nil {
		return DoseAim{}, err
	}
	margin, err := s.margin(best.Dose)
	if err != nil {
		return DoseAim{}, err
	}
	out := DoseAim{WithoutDrift: plain.Dose, Dose: best.Dose, More: float64(best.Dose - plain.Dose), AtEnd: best.AtEnd}
	out.MoreInterval95 = [2]float64{out.More - margin, out.More + margin}
	if in := best.Interval95; in != nil {
		dose := float64(best.Dose)
		out.Interval95 = &[2]float64{
			math.Max(dose-math.Hypot(dose-in[0], margin), 0),
			math.Min(dose+math.Hypot(in[1]-dose, margin), float64(largest)),
		}
	}
	i := best.Wine.Indices()
	out.Today = [3]float64{i.A420, i.A520, i.A620}
	if out.AtRelease, err = c.After(certain(out.Today), today, release); err != nil {
		return DoseAim{}, err
	}
	out.AtRelease.Warnings = nil // they are those of the aim
	out.Warnings = slices.Concat(warnings, best.Warnings)
	return out, nil
}

// certain is a reading without uncertainty to speak of.
func certain(a [bands]float64) Reading {
	const u = 1e-9
	return Reading{a[0], a[1], a[2], u, u, u}
}

// find refines a dose; off moves each band's drift from its mean, in halves of its 95 %
// interval.
func (s *doseSearch) find(dose blend.Dose, off [bands]float64, steps int) (n blend.Nearest, err error) {
	for range steps {
		moved, err := s.movedBack(dose, off)
		if err != nil {
			return n, err
		}
		if n, err = s.path.Nearest(moved, s.view, s.largest); err != nil {
			return n, err
		}
		if math.Abs(float64(n.Dose-dose)) < doseNear {
			break
		}
		dose = n.Dose
	}
	return n, nil
}

// movedBack is the target less what the blend at a dose will drift.
func (s *doseSearch) movedBack(dose blend.Dose, off [bands]float64) (blend.Target, error) {
	wine := s.path.At(dose)
	i := wine.Indices()
	now := [bands]float64{i.A420, i.A520, i.A620}
	y, _, err := s.class.fitted(certain(now))
	if err != nil {
		return s.target, err
	}
	var then [bands]float64
	for b := range bands {
		ch := &s.class.choices[b]
		mean, _, _ := ch.curve.change(s.today, s.release)
		lo, hi := ch.interval(s.today, s.release, 0)
		then[b] = ch.curve.motion.scale.read(y[b] + mean + off[b]*(hi-lo)/2)
	}
	t := s.target
	if t.Lab == nil {
		after := spectrum.IndicesOf(then[0], then[1], then[2])
		intensity, tint := *t.Intensity*i.Intensity/after.Intensity, *t.Tint*i.Tint/after.Tint
		t.Intensity, t.Tint = &intensity, &tint
		return t, nil
	}
	before, err := labOf(now, s.weighting, s.view)
	if err != nil {
		return t, err
	}
	after, err := labOf(then, s.weighting, s.view)
	if err != nil {
		return t, err
	}
	lab := *t.Lab
	lab.L, lab.A, lab.B = lab.L-after[0]+before[0], lab.A-after[1]+before[1], lab.B-after[2]+before[2]
	t.Lab = &lab
	return t, nil
}

// margin is half of the 95 % interval of the dose over the drift: what half of each
// band's interval moves it, as the bands go together in the lots.
func (s *doseSearch) margin(dose blend.Dose) (float64, error) {
	var moves [bands]float64
	for b := range bands {
		var off [bands]float64
		off[b] = 1
		n, err := s.find(dose, off, 2)
		if err != nil {
			return 0, err
		}
		moves[b] = float64(n.Dose - dose)
	}
	return s.class.together(moves), nil
}

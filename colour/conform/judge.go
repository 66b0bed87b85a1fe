package conform

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

// Verdict is the outcome of a judgement.
type Verdict string

// The verdicts. The simple rule never gives Inconclusive.
const (
	Pass         Verdict = "pass"
	Fail         Verdict = "fail"
	Inconclusive Verdict = "inconclusive"
)

// Sample is the lot at hand: its L*a*b* as stated, its spectrum, or both where
// it is known by L*a*b* and a wine-like spectrum has that colour.
type Sample struct {
	Stated *spectrum.Stated
	Wine   *spectrum.Wine
	// SameSession says that sample and reference were read in one session on one
	// instrument, so that what that session makes wrong is wrong of both.
	SameSession bool
}

// Result is how one part of a specification is met.
type Result struct {
	Quantity     Quantity
	Value        float64 // NaN for a tint that the wine does not have
	Lower, Upper float64 // limits, both included; infinite on an open side
	// Uncertainty is the standard deviation (k = 1) of the quantity over the
	// draws. That of DeltaE00 is not of a Gaussian number: it is never negative.
	Uncertainty float64
	Within      bool    // at face value, edges included
	Probability float64 // of conforming to this part alone
	// Weights are the parametric factors of a DeltaE00; zero for others.
	Weights difference.Weights
	// Warning are the warning limits, nil where there are none, and BeyondWarning
	// whether the value is beyond one of them, at face value.
	Warning       *[2]float64
	BeyondWarning bool
}

// IndexDifference is sample minus reference.
type IndexDifference struct {
	Intensity, Tint float64 // tint: NaN where the sample has none
}

// Judgement is a verdict with its reasons.
type Judgement struct {
	Verdict Verdict
	// Probability is that of the true colour conforming to all parts together,
	// given what was measured; ProbabilitySE is its standard error, from the
	// scatter among the Draws. Under the simple rule they inform only.
	Probability, ProbabilitySE float64
	// RejectionRisk is the largest chance, 0 to 1, that a lot which just conforms
	// is measured as far outside as this one: the rate at which lots on the limit
	// fail. It is looked for, and not NaN, under the guarded rule where
	// Probability is at most MaxRisk.
	RejectionRisk float64
	// BeyondWarning tells that some result is beyond a warning limit.
	BeyondWarning bool
	// Results are the tolerances first, then the limits in the order of
	// Quantities, then the ellipsoid.
	Results []Result
	// Difference is sample minus reference; nil without a reference colour.
	Difference *difference.Comparison
	// IndexDifference is set where the reference is an intensity and tint.
	IndexDifference *IndexDifference
	// BestProbability is that of a sample at the best place this specification
	// has, measured as well as this one. It is looked for, and not NaN, only
	// under the guarded rule and when the sample did not pass.
	BestProbability float64
	// CanNeverPass tells that even BestProbability is below 1 - MaxRisk: no lot
	// measured in this way against this reference could pass.
	CanNeverPass bool
	// DominantCause adds the most to the uncertainty of the part that is least
	// sure; empty where nothing is uncertain.
	DominantCause spectrum.Cause
	// Budget is what that part's uncertainty is made of, largest share first.
	Budget []Share
	// Remedies are what could be done to the readings, each with what the verdict
	// would be at the same colour. They are looked for when it is Inconclusive.
	Remedies []Remedy
	// Warnings: can_never_pass, beyond_warning, method_not_expected,
	// methods_differ, conditions_converted, few_lots, no_remedy.
	Warnings []colour.Warning
}

// Judge holds a sample against a specification under v.
//
// Values stated under v are compared as given, never through a spectrum; their
// uncertainty is then the rounding of their digits and nothing else. Everything
// else is computed from spectra, with the errors they carry. Where sample and
// reference were read in the same way, what their common method cannot see of a
// spectrum's shape is taken as correlated (0.9), so it largely cancels in their
// difference; read in one session, their common reading errors cancel too.
//
// The judgement is a function of its arguments alone: the draws are a fixed
// sequence, so the same arguments give the same figures to the last bit, with
// the same version of the program on the same kind of processor.
//
// Errors: colour.FieldErrors, all faults of the specification under "spec", or
// else those of the sample under "wine", of the view under "view" and at
// "same_session".
//
// Source: JCGM106, 7.3 and 8.3 (clauses from memory); propagation of the errors
// to first order, JCGM100, 5.1.2.
func Judge(spec Spec, sample Sample, v cie.View) (Judgement, error) {
	c, err := newCase(spec, sample, v)
	if err != nil {
		return Judgement{}, err
	}
	j := Judgement{BestProbability: math.NaN()}
	if err := c.compare(&j); err != nil {
		return Judgement{}, err
	}
	got := c.decide()
	j.Verdict, j.RejectionRisk = got.verdict, got.rejectionRisk
	j.Probability, j.ProbabilitySE = got.all, got.allSE
	for k := range c.parts {
		r := c.parts[k].result(&c.middle)
		r.Uncertainty, r.Probability = got.spreads[k], got.each[k]
		j.BeyondWarning = j.BeyondWarning || r.BeyondWarning
		j.Results = append(j.Results, r)
	}
	j.Budget = c.budget(leastSure(got.each))
	j.DominantCause = dominant(j.Budget)
	if spec.Rule == Guarded && j.Verdict != Pass {
		j.BestProbability = c.best()
		j.CanNeverPass = j.BestProbability < 1-spec.MaxRisk
	}
	if j.Verdict == Inconclusive {
		j.Remedies = c.remedies()
	}
	j.Warnings = c.warnings(&j)
	return j, nil
}

// result is how p is met at x, but for what is uncertain of it.
func (p *part) result(x *state) Result {
	value := p.value(x)
	return Result{
		Quantity: p.quantity, Value: value, Lower: p.lower, Upper: p.upper, Within: p.met(value),
		Weights: p.weights, Warning: p.warning, BeyondWarning: p.beyondWarning(value),
	}
}

// decision is a verdict with the chances that it was taken by.
type decision struct {
	chance
	verdict       Verdict
	rejectionRisk float64 // NaN where it was not asked for
}

// decide applies the rule of the specification.
func (c *judged) decide() decision {
	risk := c.spec.MaxRisk
	if c.spec.Rule == Simple {
		risk = 0 // it only informs
	}
	return c.decideBy(c.factor.sure(c.parts, &c.middle, risk))
}

// decideBy applies the rule to what was counted.
func (c *judged) decideBy(counted chance) decision {
	d, risk := decision{chance: counted, verdict: Inconclusive, rejectionRisk: math.NaN()}, c.spec.MaxRisk
	switch {
	case c.spec.Rule == Simple && c.met(&c.middle):
		d.verdict = Pass
	case c.spec.Rule == Simple:
		d.verdict = Fail
	case d.all >= 1-risk:
		d.verdict = Pass
	case d.all <= risk:
		d.rejectionRisk = c.rejectionRisk(d.spreads, d.draws)
		if d.rejectionRisk <= risk {
			d.verdict = Fail
		}
	}
	return d
}

// met reports whether all parts are met at x, at face value.
func (c *judged) met(x *state) bool {
	for k := range c.parts {
		if p := &c.parts[k]; !p.met(p.value(x)) {
			return false
		}
	}
	return true
}

// judged is a specification and a sample brought to numbers.
type judged struct {
	spec        Spec
	reference   *Reference
	parts       []part
	sample, ref *side // ref is nil without a reference colour
	sameSession bool
	middle      state
	columns     []column
	factor      factor
}

func newCase(spec Spec, sample Sample, v cie.View) (*judged, error) {
	var wrong colour.FieldErrors
	wrong.AddUnder("spec", spec.Validate())
	if len(wrong) > 0 {
		return nil, wrong
	}
	if err := v.Validate(); err != nil {
		return nil, colour.FieldErrors{{Field: "view", Value: v.String(), Message: err.Error()}}
	}
	c := &judged{spec: spec, reference: spec.reference(), parts: spec.parts(), sameSession: sample.SameSession}
	if c.ref = spec.seen(v, &wrong); len(wrong) > 0 {
		return nil, wrong.Under("spec")
	}
	var faults colour.FieldErrors
	if sample.Stated != nil {
		validateStated(sample.Stated, "wine/cielab", &faults)
	}
	if len(faults) == 0 {
		c.sample = seen(sample.Stated, sample.Wine, v, "wine", &faults)
	}
	if c.needsIndices() && sample.Wine == nil && len(faults) == 0 {
		faults.Addf("wine", nil, "intensity, tint and shares need a spectrum, and there is none for this sample: give readings or a scan")
	}
	if sample.SameSession && (c.ref == nil || c.ref.wine == nil || c.ref.stated != nil) {
		faults.Addf("same_session", true, "the reference is no reading, so no session is shared with it: leave this out, or give the reference wine's own reading of that session")
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	c.middle[0], c.middle[1], c.middle[2] = c.sample.lab.L, c.sample.lab.A, c.sample.lab.B
	if sample.Wine != nil {
		ix := sample.Wine.Indices()
		c.middle[absorbing], c.middle[absorbing+1], c.middle[absorbing+2] = ix.A420, ix.A520, ix.A620
	}
	if c.ref != nil {
		c.middle[reference], c.middle[reference+1], c.middle[reference+2] = c.ref.lab.L, c.ref.lab.A, c.ref.lab.B
	}
	c.columns = jointColumns(c.sample, c.ref, c.sameSession)
	c.factor = factorOf(c.columns)
	return c, nil
}

// seen is a colour under v: as given where it is stated for v, else from the
// spectrum. It adds to faults and returns nil where there is neither.
func seen(stated *spectrum.Stated, wine *spectrum.Wine, v cie.View, field string, faults *colour.FieldErrors) *side {
	s := &side{wine: wine}
	switch {
	case stated != nil && stated.Lab.View == v:
		s.lab, s.stated = stated.Lab, stated
	case wine == nil && stated == nil:
		faults.Addf(field, nil, "there is no colour: give L*a*b*, readings or a scan")
		return nil
	case wine == nil:
		faults.Addf(field, nil, "the colour is stated for %v and judged for %v, which needs a spectrum, and no wine-like spectrum has it: judge it for %v, or give readings", stated.Lab.View, v, stated.Lab.View)
		return nil
	}
	if wine == nil {
		return s
	}
	for i, a := range wine.Absorbance {
		if math.IsNaN(a) || math.IsInf(a, 0) {
			faults.Addf(field, nil, "the absorbance at %g nm is not a number", cie.FirstNM+cie.StepNM*float64(i))
			return nil
		}
	}
	weighting, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil { // v has been validated
		panic(fmt.Sprintf("conform: %v", err))
	}
	lab, jacobian := weighting.AbsorbanceJacobian(&wine.Absorbance, v.DepthMM)
	s.jacobian = &jacobian
	if s.stated == nil {
		s.lab = cie.Lab{L: lab[0], A: lab[1], B: lab[2], View: v}
	}
	return s
}

// compare fills in the differences.
func (c *judged) compare(j *Judgement) error {
	if r := c.reference; r != nil && r.Intensity != nil {
		j.IndexDifference = &IndexDifference{
			Intensity: Intensity.value(&c.middle) - *r.Intensity,
			Tint:      Tint.value(&c.middle) - *r.Tint,
		}
	}
	if c.ref == nil {
		return nil
	}
	d, err := difference.Compare(c.ref.lab, c.sample.lab)
	if err != nil {
		return fmt.Errorf("conform: %w", err)
	}
	j.Difference = &d
	return nil
}

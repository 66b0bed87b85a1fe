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
	Results                    []Result // the tolerance first, then the limits in the order of Quantities
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
	// Warnings: can_never_pass, reference_outside_limits, methods_differ.
	Warnings []colour.Warning
}

// Judge holds a sample against a specification under v.
//
// Values stated under v are compared as given, never through a spectrum; their
// uncertainty is then the rounding of their digits and nothing else. Everything
// else is computed from spectra, with the errors they carry. Where sample and
// reference were read in the same way, what their common method cannot see of a
// spectrum's shape is taken as correlated (0.9), so it largely cancels in their
// difference.
//
// Errors: colour.FieldErrors, all faults of the specification under "spec", or
// else those of the sample under "wine" and of the view under "view".
//
// Source: JCGM106, 7.3 and 8.3 (clauses from memory); propagation of the errors
// to first order, JCGM100, 5.1.2.
func Judge(spec Spec, sample Sample, v cie.View) (Judgement, error) {
	c, err := newCase(spec, sample, v)
	if err != nil {
		return Judgement{}, err
	}
	j := Judgement{Verdict: Fail, BestProbability: math.NaN()}
	if err := c.compare(&j); err != nil {
		return Judgement{}, err
	}
	got := c.factor.probability(c.parts, &c.middle, Draws)
	j.Probability, j.ProbabilitySE = got.all, got.allSE
	met := true
	for k, p := range c.parts {
		value := p.quantity.value(&c.middle)
		j.Results = append(j.Results, Result{p.quantity, value, p.lower, p.upper, got.spreads[k], p.met(value), got.each[k]})
		met = met && p.met(value)
	}
	j.DominantCause = c.dominant(j.Results)
	switch {
	case spec.Rule == Simple && met:
		j.Verdict = Pass
	case spec.Rule == Simple:
	case j.Probability >= 1-spec.MaxRisk:
		j.Verdict = Pass
	case j.Probability > spec.MaxRisk:
		j.Verdict = Inconclusive
	}
	if spec.Rule == Guarded && j.Verdict != Pass {
		j.BestProbability = c.best()
		j.CanNeverPass = j.BestProbability < 1-spec.MaxRisk
	}
	j.Warnings = c.warnings(&j)
	return j, nil
}

// judged is a specification and a sample brought to numbers.
type judged struct {
	spec        Spec
	parts       []part
	sample, ref *side // ref is nil without a reference colour
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
	c := &judged{spec: spec, parts: spec.parts()}
	indices := needsIndices(c.parts) || spec.Reference != nil && spec.Reference.Intensity != nil
	var faults colour.FieldErrors
	if sample.Stated != nil {
		validateStated(sample.Stated, "wine/cielab", &faults)
	}
	if len(faults) == 0 {
		c.sample = seen(sample.Stated, sample.Wine, v, "wine", &faults)
	}
	if indices && sample.Wine == nil && len(faults) == 0 {
		faults.Addf("wine", nil, "intensity and tint need a spectrum, and there is none for this sample: give readings or a scan")
	}
	if r := spec.Reference; r != nil && r.Intensity == nil {
		c.ref = seen(r.Stated, r.Wine, v, "spec/target", &faults)
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
	c.columns = jointColumns(c.sample, c.ref)
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
	if r := c.spec.Reference; r != nil && r.Intensity != nil {
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

// dominant is the cause that adds most to the variance of the least sure part.
func (c *judged) dominant(results []Result) spectrum.Cause {
	least := 0
	for k, r := range results {
		if r.Probability < results[least].Probability {
			least = k
		}
	}
	variance := map[spectrum.Cause]float64{}
	slope := c.parts[least].quantity.slope(&c.middle)
	for _, col := range c.columns {
		if c.parts[least].quantity == DeltaE00 {
			// On the reference ΔE00 has no slope; the plain distance ranks as well.
			for k := range absorbing {
				d := col.effect[k] - col.effect[reference+k]
				variance[col.cause] += d * d
			}
			continue
		}
		var sum float64
		for i, s := range slope {
			sum += s * col.effect[i]
		}
		variance[col.cause] += sum * sum
	}
	var first spectrum.Cause
	for _, cause := range spectrum.Causes() {
		if variance[cause] > 0 && variance[cause] > variance[first] {
			first = cause
		}
	}
	return first
}

// slope is the derivative of a quantity by the state, from central differences;
// a hue is followed along the shorter arc.
func (q Quantity) slope(x *state) (slope state) {
	const step = 1e-5
	for i := range slope {
		up, down := *x, *x
		up[i] += step
		down[i] -= step
		slope[i] = part{quantity: q}.off(q.value(&up), q.value(&down)) / (2 * step)
	}
	return slope
}

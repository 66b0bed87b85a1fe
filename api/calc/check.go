package calc

import (
	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour/cie"
	"pourpath/colour/conform"
	"pourpath/colour/spectrum"
)

// CheckRequest asks whether a wine conforms to a specification.
type CheckRequest struct {
	Spec Spec  `json:"spec" doc:"The specification."`
	Wine Wine  `json:"wine" doc:"The wine to judge."`
	View *View `json:"view,omitempty" doc:"Conditions that the specification holds for. D65, 10°, 10 mm where left out."`
}

// Spec is what a wine must meet: a tolerance around a target, limits, or both.
type Spec struct {
	Name      string     `json:"name,omitempty" maxLength:"200" doc:"What the specification is called."`
	Target    *Target    `json:"target,omitempty" doc:"The colour that the wine is compared with."`
	Tolerance *Tolerance `json:"tolerance,omitempty" doc:"The largest difference from the target's colour."`
	Limits    *Limits    `json:"limits,omitempty" doc:"The least and the most of single quantities."`
	Rule      string     `json:"rule,omitempty" enum:"simple,guarded" default:"simple" doc:"simple compares the values; guarded asks for the probability of conforming to all parts together (JCGM 106)."`
	MaxRisk   *float64   `json:"max_risk,omitempty" exclusiveMinimum:"0" exclusiveMaximum:"0.5" default:"0.05" doc:"guarded only: pass when the probability of conforming is at least 1 - max_risk, fail when at most max_risk, else inconclusive."`
}

// Limits are the least and the most of quantities, both included.
type Limits struct {
	L         *[2]float64 `json:"L,omitempty" doc:"L*."`
	A         *[2]float64 `json:"a,omitempty" doc:"a*."`
	B         *[2]float64 `json:"b,omitempty" doc:"b*."`
	C         *[2]float64 `json:"C,omitempty" doc:"Chroma C*."`
	H         *[2]float64 `json:"h,omitempty" doc:"Hue angle in degrees; [350, 20] runs through 0."`
	Intensity *[2]float64 `json:"intensity,omitempty" doc:"Colour intensity for 10 mm."`
	Tint      *[2]float64 `json:"tint,omitempty" doc:"Tint A420 / A520."`
}

// CheckResponse is a verdict.
type CheckResponse struct {
	Verdict      string        `json:"verdict" enum:"pass,fail,inconclusive" doc:"Whether the wine conforms."`
	Probability  *float64      `json:"probability" minimum:"0" maximum:"1" doc:"Probability that the wine conforms to all parts together, given what is uncertain; null where it cannot be had."`
	CanNeverPass bool          `json:"can_never_pass" doc:"guarded only: true when no wine measured in this way could pass, even at the best place in the specification."`
	Results      []CheckResult `json:"results" doc:"One for each part of the specification."`
	Colour       WineColour    `json:"colour" doc:"The wine's colour."`
	Difference   *Difference   `json:"difference" doc:"Wine less target; null where the specification has no target."`
	Warnings     []Warning     `json:"warnings" doc:"What must be known about the verdict, such as that this setup could never pass."`
	Provenance
}

// TransformSchema lets difference be null.
func (CheckResponse) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	orNull(s, "difference")
	return s
}

type checkInput struct {
	spec   conform.Spec
	sample subject
	view   cie.View
	target *targeted
}

func (r CheckRequest) resolve(f *Faults) (in checkInput) {
	in.view = r.View.resolve(f)
	in.sample = r.Wine.resolveSubject("/wine", in.view, f)
	in.spec = conform.Spec{
		Name: r.Spec.Name, Limits: r.Spec.Limits.core(), Rule: conform.Simple, MaxRisk: orDefault(r.Spec.MaxRisk, 0.05),
	}
	if r.Spec.Rule != "" {
		in.spec.Rule = conform.Rule(r.Spec.Rule)
	}
	in.spec.Tolerance = r.Spec.tolerance(f)
	before := len(f.list)
	in.target = r.Spec.Target.untolerated().resolve("/spec/target", in.view, f)
	if in.target != nil {
		in.spec.Reference = in.target.reference()
	}
	if lookedUp := in.target != nil || r.Spec.Target == nil; lookedUp && len(f.list) == before {
		f.Add("/spec", in.spec.Validate())
	}
	return in
}

// tolerance is the specification's own or its target's, but not both.
func (s Spec) tolerance(f *Faults) float64 {
	own, targets := s.Tolerance, (*Tolerance)(nil)
	if s.Target != nil {
		targets = s.Target.Tolerance
	}
	switch {
	case own != nil && targets != nil:
		f.Addf("/spec/tolerance", own.DeltaE00, "the tolerance stands here and in the target; give it once")
		return own.DeltaE00
	case own != nil:
		return own.DeltaE00
	case targets != nil:
		return targets.DeltaE00
	}
	return 0
}

// untolerated is t without its tolerance, which the specification has taken.
func (t *Target) untolerated() *Target {
	if t == nil {
		return nil
	}
	out := *t
	out.Tolerance = nil
	return &out
}

// reference is the target as a specification holds it.
func (t *targeted) reference() *conform.Reference {
	r := &conform.Reference{Wine: t.wine, Intensity: t.Intensity, Tint: t.Tint}
	switch {
	case t.stated != nil:
		r.Stated = t.stated
	case t.wine == nil && t.Lab != nil:
		r.Stated = &spectrum.Stated{Lab: *t.Lab}
	}
	return r
}

// core lists the limits that are given.
func (l *Limits) core() map[conform.Quantity][2]float64 {
	out := map[conform.Quantity][2]float64{}
	if l == nil {
		return out
	}
	for q, limits := range map[conform.Quantity]*[2]float64{
		conform.L: l.L, conform.A: l.A, conform.B: l.B, conform.Chroma: l.C, conform.Hue: l.H,
		conform.Intensity: l.Intensity, conform.Tint: l.Tint,
	} {
		if limits != nil {
			out[q] = *limits
		}
	}
	return out
}

// Check implements Request.
func (r CheckRequest) Check(f *Faults) { r.resolve(f) }

// CheckResult is how one part of a specification is met.
type CheckResult struct {
	Quantity    string   `json:"quantity" enum:"delta_e_00,L,a,b,C,h,intensity,tint" doc:"What is held against limits; delta_e_00 is the difference from the target."`
	Value       *float64 `json:"value" doc:"The wine's; null where it has none."`
	Lower       *float64 `json:"lower" doc:"The least that is allowed."`
	Upper       *float64 `json:"upper" doc:"The most that is allowed."`
	Uncertainty *float64 `json:"uncertainty" doc:"Standard uncertainty (k = 1) of the value."`
	Within      bool     `json:"within" doc:"Whether the value is within the limits at face value."`
	Probability *float64 `json:"probability" doc:"Probability of conforming to this part alone."`
}

// Check answers whether a wine conforms to a specification. The error is a
// *Problem, or a fault of this program.
func Check(r CheckRequest) (CheckResponse, error) {
	var f Faults
	in := r.resolve(&f)
	if err := f.Err(); err != nil {
		return CheckResponse{}, err
	}
	j, err := conform.Judge(in.spec, conform.Sample{Stated: in.sample.stated, Wine: in.sample.wine}, in.view)
	if err != nil {
		return CheckResponse{}, refused(err)
	}
	c, err := in.sample.colour(in.view)
	if err != nil {
		return CheckResponse{}, err
	}
	out := CheckResponse{
		Verdict: string(j.Verdict), Probability: number(j.Probability), CanNeverPass: j.CanNeverPass,
		Results: resultsOf(j.Results), Colour: c, Warnings: warningsOf(j.Warnings),
	}
	switch {
	case j.Difference != nil:
		out.Difference = comparisonOf(*j.Difference)
	case j.IndexDifference != nil:
		out.Difference = &Difference{DIntensity: number(j.IndexDifference.Intensity), DTint: number(j.IndexDifference.Tint)}
	}
	if in.target != nil {
		out.Warnings = append(out.Warnings, warningsOf(in.target.warnings)...)
	}
	return out, nil
}

func resultsOf(list []conform.Result) []CheckResult {
	out := make([]CheckResult, len(list))
	for i, r := range list {
		out[i] = CheckResult{
			Quantity: string(r.Quantity), Value: number(r.Value), Lower: number(r.Lower), Upper: number(r.Upper),
			Uncertainty: number(r.Uncertainty), Within: r.Within, Probability: number(r.Probability),
		}
	}
	return out
}

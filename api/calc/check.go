package calc

import (
	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour/cie"
	"pourpath/colour/conform"
)

// CheckRequest asks whether a wine conforms to a specification.
type CheckRequest struct {
	Spec Spec  `json:"spec" doc:"The specification."`
	Wine Wine  `json:"wine" doc:"The wine to judge."`
	View *View `json:"view,omitempty" doc:"Conditions that the specification holds for. D65, 10°, 10 mm where left out."`
	// SameSession is false where left out.
	SameSession bool `json:"same_session,omitempty" doc:"Whether the wine and the target, a wine read in the same way, were read on one instrument in one session: what that session makes wrong of both then cancels in their difference."`
}

// CheckResponse is a verdict.
type CheckResponse struct {
	Verdict       string        `json:"verdict" enum:"pass,fail,inconclusive" doc:"Whether the wine conforms."`
	Probability   *float64      `json:"probability" minimum:"0" maximum:"1" doc:"Probability that the wine conforms to all parts together, given what is uncertain; null where it cannot be had."`
	RejectionRisk *float64      `json:"rejection_risk" minimum:"0" maximum:"1" doc:"guarded only, where the probability is at most max_risk: the largest chance that a wine which just conforms is measured as far outside as this one. The verdict is fail where this too is at most max_risk, so that of wines on the limit at most that share fails; null where it was not asked."`
	BeyondWarning bool          `json:"beyond_warning" doc:"Whether a value is beyond a warning limit, at face value. It does not change the verdict."`
	CanNeverPass  bool          `json:"can_never_pass" doc:"guarded only: true when no wine measured in this way could pass, even at the best place in the specification."`
	Results       []CheckResult `json:"results" doc:"One for each part of the specification."`
	Colour        WineColour    `json:"colour" doc:"The wine's colour."`
	Difference    *Difference   `json:"difference" doc:"Wine less target; null where the specification has no target."`
	Causes        []CauseShare  `json:"causes,omitempty" doc:"What the uncertainty of the least sure part is made of, largest share first; left out where nothing is uncertain."`
	WouldSettle   []Remedy      `json:"would_settle,omitempty" doc:"inconclusive only: what could be done to the readings, and what would come of it were the colour found where it is now."`
	Warnings      []Warning     `json:"warnings" doc:"What must be known about the verdict, such as that this setup could never pass."`
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
	in.spec, in.target = r.Spec.resolve("/spec", in.view, f)
	return in
}

// Check implements Request.
func (r CheckRequest) Check(f *Faults) { r.resolve(f) }

// CheckResult is how one part of a specification is met.
type CheckResult struct {
	Quantity      string         `json:"quantity" enum:"delta_e_00,delta_e_ab,L,a,b,C,h,intensity,tint,yellow_percent,red_percent,blue_percent,hotelling_t2" doc:"What is held against limits; delta_e_00 and delta_e_ab are differences from the target, hotelling_t2 is T² from the mean of the approved lots."`
	Value         *float64       `json:"value" doc:"The wine's; null where it has none."`
	Lower         *float64       `json:"lower" doc:"The least that is allowed."`
	Upper         *float64       `json:"upper" doc:"The most that is allowed."`
	Uncertainty   *float64       `json:"uncertainty" doc:"Standard uncertainty (k = 1) of the value."`
	Within        bool           `json:"within" doc:"Whether the value is within the limits at face value."`
	Probability   *float64       `json:"probability" doc:"Probability of conforming to this part alone."`
	Weights       *DeltaEWeights `json:"weights,omitempty" doc:"Parametric factors of delta_e_00 where they are not 1:1:1; delta_e_00 in difference is at 1:1:1 always."`
	WarningLower  *float64       `json:"warning_lower,omitempty" doc:"The lower warning limit."`
	WarningUpper  *float64       `json:"warning_upper,omitempty" doc:"The upper warning limit."`
	BeyondWarning bool           `json:"beyond_warning,omitempty" doc:"Whether the value is beyond a warning limit at face value."`
}

// DeltaEWeights are the parametric factors of CIEDE2000.
type DeltaEWeights struct {
	KL float64 `json:"kL" doc:"Of lightness."`
	KC float64 `json:"kC" doc:"Of chroma."`
	KH float64 `json:"kH" doc:"Of hue."`
}

// CauseShare is what one cause adds to the variance of a part.
type CauseShare struct {
	Cause string  `json:"cause" doc:"As in uncertainty_budget: reading, dilution, shape, rounding, dose, medium or learned."`
	Kind  string  `json:"kind,omitempty" enum:"repeats,session" doc:"Of a reading error: repeats differs from one reading to the next, so that replicates make it smaller; session is common to all readings of an instrument in a session, and reading wine and target in one session makes it smaller. Half of the variance of single readings and 15/16 of a scan's are taken to be the session's."`
	Share float64 `json:"share" minimum:"0" maximum:"1" doc:"Share of the variance; the shares add up to 1."`
}

// Remedy is something that could be done to the readings.
type Remedy struct {
	Action      string   `json:"action" enum:"one_session,replicates,scan,undiluted,more_digits,read_blend,all_together" doc:"For programs."`
	What        string   `json:"what" doc:"For people."`
	Probability *float64 `json:"probability" minimum:"0" maximum:"1" doc:"Probability of conforming then."`
	Verdict     string   `json:"verdict" enum:"pass,fail,inconclusive" doc:"What the verdict would be."`
}

// Check answers whether a wine conforms to a specification. The error is a
// *Problem, or a fault of this program.
func Check(r CheckRequest) (CheckResponse, error) {
	var f Faults
	in := r.resolve(&f)
	if err := f.Err(); err != nil {
		return CheckResponse{}, err
	}
	return in.judge(r.SameSession)
}

// judge is the answer on an input without faults.
func (in checkInput) judge(sameSession bool) (CheckResponse, error) {
	j, err := conform.Judge(in.spec, conform.Sample{Stated: in.sample.stated, Wine: in.sample.wine, SameSession: sameSession}, in.view)
	if err != nil {
		return CheckResponse{}, refused(err)
	}
	c, err := in.sample.colour(in.view)
	if err != nil {
		return CheckResponse{}, err
	}
	out := CheckResponse{
		Verdict: string(j.Verdict), Probability: number(j.Probability), CanNeverPass: j.CanNeverPass,
		RejectionRisk: number(j.RejectionRisk), BeyondWarning: j.BeyondWarning,
		Results: resultsOf(j.Results), Colour: c, Causes: causesOf(j.Budget), WouldSettle: remediesOf(j.Remedies), Warnings: warningsOf(j.Warnings),
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
			Uncertainty: number(r.Uncertainty), Within: r.Within, Probability: number(r.Probability), BeyondWarning: r.BeyondWarning,
		}
		if r.Quantity == conform.DeltaE00 && !r.Weights.Reference() {
			out[i].Weights = &DeltaEWeights{r.Weights.KL, r.Weights.KC, r.Weights.KH}
		}
		if r.Warning != nil {
			out[i].WarningLower, out[i].WarningUpper = number(r.Warning[0]), number(r.Warning[1])
		}
	}
	return out
}

func causesOf(budget []conform.Share) []CauseShare {
	var out []CauseShare
	for _, s := range budget {
		kind := ""
		switch {
		case s.Repeats:
			kind = "repeats"
		case s.Common:
			kind = "session"
		}
		out = append(out, CauseShare{Cause: string(s.Cause), Kind: kind, Share: s.Of})
	}
	return out
}

func remediesOf(list []conform.Remedy) []Remedy {
	var out []Remedy
	for _, r := range list {
		out = append(out, Remedy{Action: string(r.Action), What: r.Action.Text(), Probability: number(r.Probability), Verdict: string(r.Verdict)})
	}
	return out
}

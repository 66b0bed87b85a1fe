package calc

import (
	"pourpath/colour/conform"
)

// FeasibilityRequest asks whether any wine could pass a specification.
type FeasibilityRequest struct {
	Spec Spec  `json:"spec" doc:"The specification, with its reading_method."`
	View *View `json:"view,omitempty" doc:"Conditions that the specification holds for. D65, 10°, 10 mm where left out."`
	// Process is nil where nothing is known of the lots.
	Process *Process `json:"process,omitempty" doc:"How the true colours of the lots are distributed, in the view's conditions: the prior that consumer's and producer's risk are computed with. Without it they are not given."`
}

// FeasibilityResponse is what a specification and a way of reading can come to.
type FeasibilityResponse struct {
	BestProbability *float64     `json:"best_probability" minimum:"0" maximum:"1" doc:"Probability of conforming of a wine found at the best place that the specification has."`
	CanNeverPass    bool         `json:"can_never_pass" doc:"guarded only: true when that is below 1 - max_risk, so that no wine read in this way could pass."`
	NeededDeltaE00  *float64     `json:"needed_delta_e_00" doc:"Where no wine could pass: the least tolerance delta_e_00 that the best one would pass, all else equal; null where there is none or it is not asked."`
	Conditions      Conditions   `json:"conditions" doc:"What the specification holds for."`
	Causes          []CauseShare `json:"causes,omitempty" doc:"What the uncertainty of the least sure part is made of, largest share first."`
	Risks           *Risks       `json:"risks,omitempty" doc:"What the rule comes to over the lots of the process; left out where none is given."`
	WouldSettle     []Remedy     `json:"would_settle,omitempty" doc:"Where no wine could pass: what could be done to the readings, and the verdict on the best wine then."`
	Warnings        []Warning    `json:"warnings" doc:"What must be known about the answer."`
	Provenance
}

// Check implements Request.
func (r FeasibilityRequest) Check(f *Faults) {
	r.Spec.resolve("/spec", r.View.resolve(f), f)
	r.Process.check("/process", f)
}

// Feasibility answers, before anything is measured, whether wines read as a
// specification says could pass it. The error is a *Problem, or a fault of this
// program.
func Feasibility(r FeasibilityRequest) (FeasibilityResponse, error) {
	var f Faults
	view := r.View.resolve(&f)
	spec, target := r.Spec.resolve("/spec", view, &f)
	r.Process.check("/process", &f)
	if err := f.Err(); err != nil {
		return FeasibilityResponse{}, err
	}
	p, err := conform.Foresee(spec, view)
	if err != nil {
		return FeasibilityResponse{}, refused(err)
	}
	out := FeasibilityResponse{
		BestProbability: number(p.BestProbability), CanNeverPass: p.CanNeverPass, NeededDeltaE00: number(p.NeededTolerance),
		Conditions: conditionsOf(view), Causes: causesOf(p.Budget), WouldSettle: remediesOf(p.Remedies), Warnings: warningsOf(p.Warnings),
	}
	if out.Risks, err = r.Process.risks(spec, view); err != nil {
		return FeasibilityResponse{}, err
	}
	if target != nil {
		out.Warnings = append(out.Warnings, warningsOf(target.warnings)...)
	}
	return out, nil
}

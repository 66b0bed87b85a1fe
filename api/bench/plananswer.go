package bench

import (
	"fmt"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
)

// PlanKind is how the rungs of a plan are chosen.
type PlanKind string

// The kinds of plan.
const (
	Even    PlanKind = "even"    // every so many mL
	Visible PlanKind = "visible" // about equally far apart to the eye
	Given   PlanKind = "given"   // the doses that are given
	Closing PlanKind = "closing" // the one rung that tells most, from what was measured so far
)

// Schema lists the kinds.
func (PlanKind) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, Enum: []any{string(Even), string(Visible), string(Given), string(Closing)}}
}

// TrialPlanRequest asks what to pour in a trial. Doses are what is poured into a
// glass of the trial's base_ml.
type TrialPlanRequest struct {
	Kind    PlanKind    `json:"kind" doc:"even: every step_ml. visible: rungs about visible_step apart. given: the rungs of doses_ml. closing: the one rung to pour and read next, from what was measured so far; it needs a target."`
	Tools   []calc.Tool `json:"tools,omitempty" maxItems:"50" doc:"Measuring tools at hand, instead of those of the trial."`
	Tool    string      `json:"tool,omitempty" maxLength:"100" doc:"Name of the tool to pour with; the best of them where left out."`
	Glasses []string    `json:"glasses,omitempty" maxItems:"51" doc:"Labels of the glasses, instead of those of the trial. The first keeps base alone, to compare with."`
	Samples []float64   `json:"sample_volumes_ml,omitempty" maxItems:"20" doc:"Volumes of base per glass that would do, in mL, instead of those of the trial."`
	FromML  *float64    `json:"from_ml,omitempty" minimum:"0" doc:"First rung in mL; the first step above base alone where left out."`
	ToML    *float64    `json:"to_ml,omitempty" exclusiveMinimum:"0" doc:"Last rung in mL. Twice the dose that comes closest to the target where left out, or 20 mL per 100 mL of base."`
	StepML  *float64    `json:"step_ml,omitempty" exclusiveMinimum:"0" doc:"With even: between rungs, in mL. About a sixth of the way where left out."`
	DosesML []float64   `json:"doses_ml,omitempty" maxItems:"200" doc:"With given: the rungs, in mL into a glass of base_ml. Base alone stands beside every ladder."`
	Visible *float64    `json:"visible_step,omitempty" minimum:"0.01" maximum:"100" doc:"The ΔE00 that counts as visible, and with visible the ΔE00 between rungs. The trial's where left out, or 1."`
	Taken   float64     `json:"withdraw_ml,omitempty" minimum:"0" maximum:"100000" doc:"Taken out of a glass at every rung and not poured back, such as a cell, in mL; the pours make up for it." default:"0"`
}

// Check implements calc.Request.
func (r TrialPlanRequest) Check(f *calc.Faults) {
	calc.WholeTools("/tools", r.Tools, f)
	for i, ml := range r.Samples {
		if !(ml > 0 && ml <= 100000) {
			f.Addf(fmt.Sprintf("/sample_volumes_ml/%d", i), ml, "the base in a glass is above 0 and at most 100000 mL; 100 mL is usual")
		}
	}
	r.checkGiven(f)
	if r.StepML != nil && r.Kind != Even {
		f.Addf("/step_ml", *r.StepML, "step_ml goes with the kind even: for visible give visible_step, and closing chooses by itself")
	}
	if r.FromML != nil && r.Kind == Closing {
		f.Addf("/from_ml", *r.FromML, "closing in chooses by itself where to pour: leave from_ml out")
	}
	if r.FromML != nil && r.ToML != nil && !(*r.FromML <= *r.ToML) {
		f.Addf("/to_ml", *r.ToML, "the last rung is below the first (%g mL)", *r.FromML)
	}
}

// checkGiven looks at the doses that are given.
func (r TrialPlanRequest) checkGiven(f *calc.Faults) {
	switch {
	case r.Kind == Given && !slices.ContainsFunc(r.DosesML, func(ml float64) bool { return ml > 0 }):
		f.Addf("/doses_ml", nil, "which doses? Give one at least above 0 mL")
	case r.Kind != Given && len(r.DosesML) > 0:
		f.Addf("/doses_ml", nil, "doses_ml goes with the kind given")
	case r.Kind == Given && (r.FromML != nil || r.ToML != nil):
		f.Addf("/to_ml", nil, "the doses are given: leave from_ml and to_ml out")
	}
	for i, ml := range r.DosesML {
		if !(ml >= 0 && ml <= 100000) {
			f.Addf(fmt.Sprintf("/doses_ml/%d", i), ml, "a dose is from 0 to 100000 mL")
		}
	}
}

// TrialPlan is what to pour.
type TrialPlan struct {
	Kind     PlanKind       `json:"kind" doc:"As asked."`
	BaseML   float64        `json:"base_ml" doc:"Base in each glass, in mL."`
	HeldML   float64        `json:"held_ml,omitempty" doc:"Further wines that are held in it, in mL."`
	Tool     calc.Tool      `json:"tool" doc:"The tool that the plan is for."`
	Proposal *ToolProposal  `json:"proposal,omitempty" doc:"Which tool and volume of base to take; absent where nothing was read of a wine."`
	Rungs    []PlanRung     `json:"rungs" doc:"The ladder, base alone first."`
	Steps    []PlanStep     `json:"steps" doc:"What to do, in this order."`
	Next     *PlanNext      `json:"next,omitempty" doc:"Which rung to pour and read next, or that reading more is pointless; absent without a target."`
	Warnings []calc.Warning `json:"warnings" doc:"What must be known of the plan."`
}

// ToolProposal is which tool and volume of base to take.
type ToolProposal struct {
	Fits    bool         `json:"fits" doc:"Whether with the first option one graduation, and the tool's own permissible error, change the colour by less than the visible step."`
	Step    float64      `json:"visible_step" doc:"The ΔE00 that counts as visible."`
	Options []ToolOption `json:"options" doc:"All that can pour the ladder, the proposed one first."`
}

// ToolOption is one tool with one volume of base.
type ToolOption struct {
	Tool         string  `json:"tool" doc:"Name of the tool."`
	BaseML       float64 `json:"base_ml" doc:"Base per glass, in mL."`
	Graduation   float64 `json:"graduation_delta_e_00" doc:"The most that one graduation changes the colour between the first and the last rung."`
	SteepestAt   float64 `json:"steepest_at_ml_per_100ml" doc:"The dose where it does, in mL per 100 mL."`
	SmallestML   float64 `json:"smallest_pour_ml" doc:"The pour that makes the first rung, in mL."`
	LimitPercent float64 `json:"limit_percent" doc:"The tool's maximum permissible error in % of that pour."`
	Limit        float64 `json:"limit_delta_e_00" doc:"The colour error that the maximum permissible error makes, at the first or the last rung."`
	Fills        int     `json:"fills" doc:"Fills that the last rung takes."`
	Fits         bool    `json:"fits" doc:"Whether both are below the visible step."`
}

// PlanRung is one rung of a plan.
type PlanRung struct {
	DoseML           float64          `json:"dose_ml" doc:"Addition in the glass, in mL."`
	DoseMLPer100ML   float64          `json:"dose_ml_per_100ml" doc:"Addition per base, in mL per 100 mL."`
	AdditionFraction float64          `json:"addition_fraction" minimum:"0" maximum:"1" doc:"The addition's volume fraction of the blend."`
	Colour           *calc.WineColour `json:"colour,omitempty" doc:"The predicted colour; absent where nothing was read of a wine."`
	Difference       *calc.Difference `json:"difference,omitempty" doc:"That colour less the target."`
	FromPrevious     *float64         `json:"delta_e_00_from_previous,omitempty" doc:"CIEDE2000 from the rung before."`
}

// PlanStep is one thing to do, and what the glass holds after it.
type PlanStep struct {
	Kind         string    `json:"kind" enum:"base,addition,withdrawal" doc:"What to do: pour base, pour the addition, or take blend out."`
	Glass        string    `json:"glass" doc:"Label of the glass."`
	VolumeML     float64   `json:"volume_ml" doc:"How much, in mL."`
	Tool         string    `json:"tool,omitempty" doc:"What to measure it with."`
	PartsML      []float64 `json:"parts_ml,omitempty" doc:"The fills that it takes, in mL, where it takes more than one."`
	RungML       float64   `json:"rung_ml" doc:"The rung that this reaches, in mL into a fresh glass."`
	TotalML      float64   `json:"running_total_ml" doc:"Sum of all pours of the addition into the glass, in mL."`
	Dose         float64   `json:"dose_ml_per_100ml" doc:"The dose that the glass then has."`
	UDose        float64   `json:"u_dose_ml_per_100ml" doc:"Its standard uncertainty (k = 1)."`
	VolumeLeftML float64   `json:"volume_in_glass_ml" doc:"What the glass then holds, in mL."`
	FreshU       float64   `json:"u_fresh_ml_per_100ml,omitempty" doc:"Standard uncertainty that the same dose would have in a fresh glass."`
	FreshBetter  bool      `json:"fresh_better" doc:"Whether a fresh glass would be better: topped up, the dose can no longer be told from the next rung's."`
	Note         string    `json:"note,omitempty" doc:"Why."`
}

// PlanNext is which rung to pour and read next.
type PlanNext struct {
	Pointless   bool        `json:"pointless" doc:"Whether reading another rung is not worth it."`
	Verdict     string      `json:"verdict" enum:"read_on,extend_ladder,on_scale,invisible,little_gain,base_alone" doc:"The reason, for programs."`
	Why         string      `json:"why" doc:"The reason, for a person."`
	DoseML      *float64    `json:"dose_ml,omitempty" doc:"The rung to pour, in mL; absent where it is pointless."`
	Dose        *float64    `json:"dose_ml_per_100ml,omitempty" doc:"The same per 100 mL of base."`
	Before      *float64    `json:"u_delta_e_ab_before,omitempty" doc:"Standard uncertainty of the colour at the closest dose as it is, as a ΔE*ab."`
	After       *float64    `json:"u_delta_e_ab_after,omitempty" doc:"The same after that rung was read at 420, 520 and 620 nm."`
	ClosestDose float64     `json:"closest_dose_ml_per_100ml" doc:"The dose that comes closest to the target, by what is known now."`
	Interval    *[2]float64 `json:"dose_interval_95" nullable:"true" doc:"Holds 95 % of that dose; mL per 100 mL. Null at an end of the ladder."`
	ChosenML    float64     `json:"closest_on_scale_ml" doc:"The closest dose on the tool's graduation, in mL."`
	Rounding    float64     `json:"rounding_delta_e_00" doc:"The colour error that the rounding makes."`
	IntervalML  *float64    `json:"interval_ml,omitempty" doc:"How wide the interval is, in mL."`
	IntervalDE  *float64    `json:"interval_delta_e_00,omitempty" doc:"The larger ΔE00 from the closest dose to its ends."`
	Pour        *PlanStep   `json:"pour,omitempty" doc:"How to get there with the glasses as they stand; absent where none can take it."`
}

package release

import (
	"context"
	"errors"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/blend"
	"pourpath/colour/drift"
)

// DriftAimBody asks what to aim at today, so that a lot is at its target on the day
// of release: the colour, and with two wines or a trial the dose.
type DriftAimBody struct {
	Product     string       `json:"product,omitempty" maxLength:"200" doc:"Product whose lots the drift is learned from; all lots together where left out."`
	Storage     string       `json:"storage,omitempty" maxLength:"200" doc:"How the lot will be kept, in the words of the lots; needed where they are kept in more than one way."`
	FromDays    float64      `json:"from_days,omitempty" minimum:"0" maximum:"36525" default:"0" doc:"Days from bottling to when the colour that is asked for holds."`
	ReleaseDays float64      `json:"release_days" minimum:"0" maximum:"36525" doc:"Days from bottling to release, when the target is to be met."`
	Target      *calc.Target `json:"target,omitempty" doc:"The colour to be at on release. A wine that was read or scanned is best."`
	Spec        string       `json:"spec,omitempty" maxLength:"100" doc:"Instead of a target: identifier of a specification, whose reference is the target in its conditions."`
	View        *calc.View   `json:"view,omitempty" doc:"Conditions that the target holds for. D65, 10°, 10 mm where left out."`
	Base        *calc.Wine   `json:"base,omitempty" doc:"The wine that is dosed into, for the dose."`
	Addition    *calc.Dosed  `json:"addition,omitempty" doc:"The wine that is dosed; together with base."`
	Trial       string       `json:"trial,omitempty" maxLength:"100" doc:"Instead of base and addition: identifier of a trial, with what its glasses taught. Its target is used where no other is given."`
	Largest     *float64     `json:"largest_dose_ml_per_100ml,omitempty" exclusiveMinimum:"0" maximum:"1000" default:"40" doc:"The largest dose that is looked at, in mL per 100 mL of base."`
}

// usualLargest is the largest dose in mL per 100 mL of base where none is told.
const usualLargest = 40

// TransformSchema documents what goes together.
func (DriftAimBody) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return calc.OneOf(s, []string{"target"}, []string{"spec"}, []string{"trial"})
}

// Check implements calc.Request.
func (b DriftAimBody) Check(f *calc.Faults) {
	if b.ReleaseDays < b.FromDays {
		f.Addf("/release_days", b.ReleaseDays, "the release must not be before day %.4g, from which the colour is asked for", b.FromDays)
	}
	if b.Target != nil && b.Spec != "" {
		f.Addf("/spec", b.Spec, "the target is given twice, here and as \"target\": give one of the two")
	}
	if b.Target == nil && b.Spec == "" && b.Trial == "" {
		f.Addf("/target", nil, "what is the lot to be on release? Give a \"target\", a \"spec\", or a \"trial\" that has a target")
	}
	if b.View != nil && (b.Spec != "" || b.Trial != "") {
		f.Addf("/view", nil, "a specification and a trial have conditions of their own: leave these out")
	}
	switch {
	case b.Trial != "" && (b.Base != nil || b.Addition != nil):
		f.Addf("/trial", b.Trial, "the wines are given twice, here and as \"base\" and \"addition\": give one of the two")
	case b.Base == nil && b.Addition != nil:
		f.Addf("/base", nil, "a dose needs both wines: give \"base\" too")
	case b.Base != nil && b.Addition == nil:
		f.Addf("/addition", nil, "a dose needs both wines: give \"addition\" too")
	case b.Trial == "" && b.Base == nil && b.Largest != nil:
		f.Addf("/largest_dose_ml_per_100ml", *b.Largest, "a largest dose goes with \"base\" and \"addition\", or a \"trial\"")
	}
}

// DriftAim is what to aim at today.
type DriftAim struct {
	Product     string            `json:"product" doc:"Product whose lots the drift was learned from; empty for all lots together."`
	Storage     string            `json:"storage" doc:"Class of storage."`
	FromDays    float64           `json:"from_days" doc:"Days from bottling to when today holds."`
	ReleaseDays float64           `json:"release_days" doc:"Days from bottling to release."`
	Target      *calc.ColourShown `json:"target,omitempty" doc:"The colour on release."`
	Today       *DriftColourAim   `json:"today,omitempty" doc:"What the lot should be today; absent where the target is an intensity and tint, which fix no colour."`
	Dose        *DriftDose        `json:"dose,omitempty" doc:"The dose to pour, where the wines are given."`
	calc.Provenance
	Warnings []calc.Warning `json:"warnings" doc:"What must be known about it."`
}

// DriftColourAim is the colour to aim at, the target taken as exact.
type DriftColourAim struct {
	Absorbances DriftAbsorbances `json:"absorbances" doc:"Per 10 mm; intervals hold what one lot more would have to be, with 95 %."`
	Colour      calc.ColourShown `json:"colour" doc:"The colour, in the target's conditions."`
	L           DriftEstimate    `json:"L" doc:"L* with its 95 % interval, of first order."`
	A           DriftEstimate    `json:"a" doc:"a* likewise."`
	B           DriftEstimate    `json:"b" doc:"b* likewise."`
	Redder      float64          `json:"redder_a" doc:"a* of today less that of the target: how much redder to blend."`
	Darker      float64          `json:"darker_L" doc:"L* of the target less that of today: how much darker to blend."`
}

// DriftDose is the dose to pour today. Doses are in mL per 100 mL of base.
type DriftDose struct {
	DoseMLPer100ML   float64          `json:"dose_ml_per_100ml" doc:"Addition per base, in mL per 100 mL."`
	AdditionFraction float64          `json:"addition_fraction" minimum:"0" maximum:"1" doc:"The addition's volume fraction of the blend."`
	DoseInterval95   *[2]float64      `json:"dose_interval_95" nullable:"true" doc:"Holds the dose with 95 % over the drift and all that is uncertain about the wines; mL per 100 mL of base. Null at an end."`
	WithoutDrift     float64          `json:"without_drift_ml_per_100ml" doc:"The dose that is nearest to the target today."`
	More             float64          `json:"more_ml_per_100ml" doc:"How much more (above 0) or less than that."`
	MoreInterval95   [2]float64       `json:"more_interval_95" doc:"Holds that for one lot more with 95 %, over what is uncertain about the drift alone."`
	AtEnd            bool             `json:"at_end" doc:"Whether the dose is 0 or the largest: the target may lie beyond."`
	Today            [3]float64       `json:"absorbances_today" doc:"Absorbances of the blend at 420, 520 and 620 nm per 10 mm."`
	AtRelease        DriftAbsorbances `json:"at_release" doc:"The same on the day of release, for one lot more with 95 %."`
}

// aimPlaces are where faults of the science stand in the request.
var aimPlaces = map[string]string{"from_days": "/from_days", "to_days": "/release_days", "lab": "/target", "a420": "/target", "a520": "/target", "a620": "/target"}

// DriftAim says what to aim at. The error is a *calc.Problem where something is at
// fault or too little is known.
func (r *Release) DriftAim(ctx context.Context, body DriftAimBody) (DriftAim, error) {
	q, used, err := r.aimQuestion(ctx, body)
	if err != nil {
		return DriftAim{}, err
	}
	l, err := r.learn(ctx, body.Product)
	if problem := calc.AsProblem(err); problem != nil {
		return DriftAim{}, refuse("/product", body.Product, "%s", problem.Errors[0].Message)
	}
	if err != nil {
		return DriftAim{}, err
	}
	c, err := l.chosen("/storage", body.Storage)
	if err != nil {
		return DriftAim{}, err
	}
	aimed, err := calc.Aim(q.Target, q.View)
	if err != nil {
		return DriftAim{}, err
	}
	out := DriftAim{
		Product: l.product, Storage: l.storages[c.Storage], FromDays: body.FromDays, ReleaseDays: body.ReleaseDays,
		Provenance: calc.Provenance{ReadingsUsed: used},
		Warnings:   append(aimed.Warnings, l.together()...),
	}
	if err := out.colour(c, aimed); err != nil {
		return out, err
	}
	if body.Trial != "" || body.Base != nil {
		if err := out.dose(c, q, body); err != nil {
			return out, err
		}
	} else if out.Today == nil {
		return out, refuse("/target", nil, "an intensity and tint fix no colour: give \"base\" and \"addition\" or a \"trial\" for the dose, or a target that is a colour or a wine")
	}
	out.Warnings = unique(append(out.Warnings, calc.Warning{Code: "days_from_bottling", Message: "Days count from bottling: what the colour does between blending and bottling is not in it."}))
	return out, nil
}

// colour sets what the lot should look like.
func (d *DriftAim) colour(c *drift.Class, aimed calc.Aimed) error {
	if aimed.Target.Lab == nil || aimed.Wine == nil {
		return nil
	}
	target := calc.Show(*aimed.Target.Lab)
	d.Target = &target
	if aimed.Estimated {
		d.Warnings = append(d.Warnings, calc.Warning{Code: "target_estimated", Message: "The target is a colour alone: its absorbances are estimated. A target that was read or scanned is surer."})
	}
	aim, err := c.AimColour(*aimed.Wine, *aimed.Target.Lab, d.FromDays, d.ReleaseDays)
	if err != nil {
		return driftRefused(err, aimPlaces)
	}
	in := aim.Interval95
	d.Today = &DriftColourAim{
		Absorbances: absorbances(aim.A), Colour: calc.Show(aim.Lab),
		L: DriftEstimate{aim.Lab.L, in[0][0], in[0][1]}, A: DriftEstimate{aim.Lab.A, in[1][0], in[1][1]}, B: DriftEstimate{aim.Lab.B, in[2][0], in[2][1]},
		Redder: aim.Lab.A - aimed.Target.Lab.A, Darker: aimed.Target.Lab.L - aim.Lab.L,
	}
	d.Warnings = append(d.Warnings, warningsOf(aim.Warnings)...)
	return nil
}

// dose sets what to pour.
func (d *DriftAim) dose(c *drift.Class, q calc.LadderRequest, body DriftAimBody) error {
	prepared, err := calc.Prepare(q)
	if problem := calc.AsProblem(err); problem != nil && body.Trial != "" {
		return refuse("/trial", body.Trial, "no dose can be told: %s", problem.Detail)
	}
	if err != nil {
		return err
	}
	largest := usualLargest + 0.0
	if body.Largest != nil {
		largest = *body.Largest
	}
	aim, err := c.AimDose(prepared.Path, *prepared.Target, prepared.View, blend.Dose(largest), d.FromDays, d.ReleaseDays)
	if err != nil {
		return driftRefused(err, aimPlaces)
	}
	d.Dose = &DriftDose{
		DoseMLPer100ML: float64(aim.Dose), AdditionFraction: prepared.Path.Fraction(aim.Dose), DoseInterval95: aim.Interval95,
		WithoutDrift: float64(aim.WithoutDrift), More: aim.More, MoreInterval95: aim.MoreInterval95, AtEnd: aim.AtEnd,
		Today: aim.Today, AtRelease: absorbances(aim.AtRelease.A),
	}
	d.Warnings = append(append(d.Warnings, prepared.Warnings...), warningsOf(aim.Warnings)...)
	return nil
}

// aimQuestion is the ladder that a request asks about, with what it names put in.
func (r *Release) aimQuestion(ctx context.Context, body DriftAimBody) (q calc.LadderRequest, used []calc.ReadingsUsed, err error) {
	q = calc.LadderRequest{BaseML: 100, Target: body.Target, View: body.View}
	if body.Trial != "" {
		if q, err = r.trialQuestion(ctx, body.Trial); err != nil {
			return q, nil, err
		}
		if body.Target != nil {
			q.Target = body.Target
		}
	}
	if body.Spec != "" {
		if err := r.specTarget(ctx, body, &q); err != nil {
			return q, nil, err
		}
	}
	if q.Target == nil {
		return q, nil, refuse("/target", nil, "the trial has no target: give a \"target\" or a \"spec\"")
	}
	var f calc.Faults
	switch {
	case body.Base != nil:
		q.Base, q.Addition = *body.Base, *body.Addition
		q.DosesML = []float64{0}
		used, err = calc.Lookup(ctx, &q, r.store)
	default:
		used, err = calc.LookupTarget(ctx, r.store, "/target", q.Target, &f)
	}
	if err == nil {
		err = f.Err()
	}
	return q, used, err
}

func (r *Release) trialQuestion(ctx context.Context, id string) (calc.LadderRequest, error) {
	trial, err := r.store.Trial(ctx, id)
	if errors.Is(err, record.ErrNotFound) {
		return calc.LadderRequest{}, refuse("/trial", id, "no trial is stored under this identifier")
	}
	if err != nil {
		return calc.LadderRequest{}, err
	}
	progress, err := trial.Progress()
	if err != nil {
		return calc.LadderRequest{}, err
	}
	q, ok := trial.Ladder(progress)
	if !ok {
		return q, refuse("/trial", id, "nothing was read of a wine of this trial yet, so no dose can be told")
	}
	return q, nil
}

// specTarget puts the reference of a specification into the question.
func (r *Release) specTarget(ctx context.Context, body DriftAimBody, q *calc.LadderRequest) error {
	spec, err := r.store.Spec(ctx, body.Spec)
	if errors.Is(err, record.ErrNotFound) {
		return refuse("/spec", body.Spec, "no specification is stored under this identifier")
	}
	if err != nil {
		return err
	}
	if body.Trial != "" && spec.View.Core() != q.View.Core() {
		return refuse("/spec", body.Spec, "the specification holds for %v and the trial for %v: give a target in the trial's conditions", spec.View.Core(), q.View.Core())
	}
	q.View = spec.View
	if spec.Target != nil {
		q.Target = spec.Target
		return nil
	}
	checker, err := r.checker(spec)
	if err != nil {
		return err
	}
	mean := checker.Reference()
	if mean == nil {
		return refuse("/spec", body.Spec, "the specification has limits alone and no colour to aim at: give a target")
	}
	q.Target = &calc.Target{CIELAB: &calc.TargetColour{L: mean.L, A: mean.A, B: mean.B}}
	return nil
}

// unique drops what is said twice.
func unique(list []calc.Warning) []calc.Warning {
	out := []calc.Warning{}
	seen := map[calc.Warning]bool{}
	for _, w := range list {
		if !seen[w] {
			seen[w] = true
			out = append(out, w)
		}
	}
	return out
}

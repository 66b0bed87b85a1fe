package bench

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/ladder"
	"pourpath/colour/volumetric"
)

const (
	// mostPlanned is how many rungs one plan pours: more than anybody does.
	mostPlanned = 200
	// usualLargest is how far a ladder goes where nothing says so, and farthest how
	// far a closest dose is looked for, in mL per 100 mL of base.
	usualLargest, farthest = 20, 60
	// usualRungs is how many even steps a ladder has where nobody says.
	usualRungs = 6
)

// planner makes one plan.
type planner struct {
	ask      TrialPlanRequest
	trial    record.Trial
	progress record.Progress
	known    *calc.Prepared // nil where nothing was read of a wine
	tools    []calc.Tool
	tool     volumetric.Tool // the one that is planned with
	glasses  []string        // the first keeps base alone
	toML     float64
	visible  float64
	heldPer1 float64 // further wine for each mL of base
	out      TrialPlan
}

// Plan says what to pour in a trial. Nothing is stored. The error is a
// *calc.Problem, or the trial is not there.
func (b *Bench) Plan(ctx context.Context, id string, ask TrialPlanRequest) (TrialPlan, error) {
	trial, err := b.store.Trial(ctx, id)
	if err != nil {
		return TrialPlan{}, err
	}
	p := planner{ask: ask, trial: trial, heldPer1: trial.GlassBaseML()/trial.BaseML - 1}
	if p.progress, err = trial.Progress(); err != nil {
		return TrialPlan{}, err
	}
	p.out = TrialPlan{Kind: ask.Kind, BaseML: trial.BaseML, HeldML: trial.GlassBaseML() - trial.BaseML, Rungs: []PlanRung{}, Steps: []PlanStep{}, Warnings: []calc.Warning{}}
	for _, step := range []func() error{p.takeTools, p.takeWines, p.takeGlasses, p.extent, p.choose, p.lay} {
		if err := step(); err != nil {
			return TrialPlan{}, err
		}
	}
	return p.out, nil
}

func (p *planner) warn(code, format string, args ...any) {
	p.out.Warnings = append(p.out.Warnings, calc.Warning{Code: code, Message: fmt.Sprintf(format, args...)})
}

// refuse makes the problem of one fault.
func refuse(location string, value any, format string, args ...any) error {
	return calc.Refuse(calc.Fault{Location: location, Value: value, Message: fmt.Sprintf(format, args...)})
}

func (p *planner) takeTools() error {
	p.tools = p.trial.Tools
	if len(p.ask.Tools) > 0 {
		var f calc.Faults
		p.tools = calc.WholeTools("/tools", p.ask.Tools, &f)
		if err := f.Err(); err != nil {
			return err
		}
	}
	if len(p.tools) == 0 {
		return refuse("/tools", nil, "say which measuring tools are at hand: neither the trial nor the request names one")
	}
	if p.ask.Tool != "" {
		if _, ok := calc.ToolNamed(p.tools, p.ask.Tool); !ok {
			return refuse("/tool", p.ask.Tool, "there is no such tool: want one of %q", names(p.tools))
		}
	}
	for _, t := range p.tools {
		p.out.Warnings = append(p.out.Warnings, t.Warnings()...)
	}
	return nil
}

func names(tools []calc.Tool) []string {
	out := make([]string, len(tools))
	for i, t := range tools {
		out[i] = t.Name
	}
	return out
}

func (p *planner) takeWines() error {
	p.visible = ladder.DefaultVisibleStep
	for _, step := range []*float64{p.trial.Visible, p.ask.Visible} {
		if step != nil {
			p.visible = *step
		}
	}
	question, ok := p.trial.Ladder(p.progress)
	if !ok {
		if !p.blind() {
			return refuse("/kind", string(p.ask.Kind), "colours cannot be predicted, so only even steps and given doses can be planned: %s", unread(p.trial.Missing(p.progress)))
		}
		p.warn("no_ladder", "No colours are predicted and no tool is proposed: %s.", unread(p.trial.Missing(p.progress)))
		return nil
	}
	prepared, err := calc.Prepare(question)
	switch problem := calc.AsProblem(err); {
	case problem != nil && p.blind(): // the wines are at fault, and such steps need no colours
		p.warn("no_ladder", "No colours are predicted and no tool is proposed: %s.", problem.Detail)
		return nil
	case problem != nil:
		return refuse("/kind", string(p.ask.Kind), "colours cannot be predicted, so only even steps and given doses can be planned: %s", problem.Detail)
	case err != nil:
		return err
	}
	p.known = &prepared
	p.out.Warnings = append(p.out.Warnings, prepared.Warnings...)
	if prepared.Target == nil && p.ask.Kind == Closing {
		return refuse("/kind", string(p.ask.Kind), "closing in needs a target, and the trial has none: plan even or visible steps, or begin a trial with a target")
	}
	return nil
}

// blind says whether the plan needs no colours.
func (p *planner) blind() bool { return p.ask.Kind == Even || p.ask.Kind == Given }

func (p *planner) takeGlasses() error {
	p.glasses = p.trial.Glasses
	if p.ask.Glasses != nil {
		p.glasses = p.ask.Glasses
	}
	var f calc.Faults
	for i, label := range p.glasses {
		if strings.TrimSpace(label) == "" || slices.Contains(p.glasses[:i], label) {
			f.Addf(fmt.Sprintf("/glasses/%d", i), label, "each glass needs a label of its own")
		}
	}
	if len(p.glasses) == 0 {
		f.Addf("/glasses", nil, "a plan needs one glass at least")
	}
	if err := f.Err(); err != nil {
		return err
	}
	if len(p.glasses) == 1 {
		reference := "base"
		if p.glasses[0] == reference {
			reference = "base alone"
		}
		p.glasses = []string{reference, p.glasses[0]}
		p.warn("reference_glass", "One more glass with base alone is needed to compare with; it is called %q here.", reference)
	}
	for _, g := range p.progress.Glasses {
		if g.Glass == p.glasses[0] && g.PouredTotalML > 0 {
			p.warn("reference_in_use", "Glass %s is to keep base alone, to compare with, but %.5g mL were poured into it: take a fresh glass of base for that.", g.Glass, g.PouredTotalML)
		}
	}
	if n := len(p.glasses); n > ladder.MaxGlasses+1 {
		p.glasses = p.glasses[:ladder.MaxGlasses+1]
		p.warn("glasses_left_out", "Of %d glasses the plan takes the first %d.", n, len(p.glasses))
	}
	return nil
}

func (p *planner) dose(ml float64) blend.Dose { return blend.DoseOf(ml, p.trial.BaseML) }

// extent finds how far the ladder goes.
func (p *planner) extent() error {
	p.toML = usualLargest * p.trial.BaseML / 100
	switch {
	case p.ask.Kind == Given:
		p.toML = slices.Max(p.ask.DosesML)
	case p.ask.ToML != nil:
		p.toML = *p.ask.ToML
	case p.known != nil && p.known.Target != nil:
		n, err := p.known.Path.Nearest(*p.known.Target, p.known.View, farthest)
		if err != nil {
			return err
		}
		if n.Dose > 0 {
			p.toML = min(2*float64(n.Dose), farthest) * p.trial.BaseML / 100
		}
	}
	if p.ask.FromML != nil && p.ask.ToML == nil {
		p.toML = max(p.toML, *p.ask.FromML)
	}
	if d := p.dose(p.toML); d > blend.MaxDose {
		return refuse(p.farthest(), p.toML, "%.6g mL in %g mL of base is more than %g mL per 100 mL: are base and addition exchanged?", p.toML, p.trial.BaseML, float64(blend.MaxDose))
	}
	return nil
}

// farthest is where the request says how far the ladder goes.
func (p *planner) farthest() string {
	if p.ask.Kind == Given {
		return "/doses_ml"
	}
	return "/to_ml"
}

// choose proposes tools and takes the one to plan with.
func (p *planner) choose() error {
	if err := p.propose(); err != nil {
		return err
	}
	name := p.ask.Tool
	if name == "" && p.out.Proposal != nil {
		for _, o := range p.out.Proposal.Options {
			if o.BaseML == p.trial.BaseML {
				name = o.Tool
				break
			}
		}
	}
	tool, ok := calc.ToolNamed(p.tools, name)
	if !ok {
		tool = p.finest()
	}
	p.tool, p.out.Tool = tool.Core(), tool
	return nil
}

// finest is the tool with the finest scale that can pour the last rung, or where
// none can of all tools.
func (p *planner) finest() calc.Tool {
	able := slices.DeleteFunc(slices.Clone(p.tools), func(t calc.Tool) bool {
		_, err := t.Core().Fill(t.Core().Round(p.toML))
		return err != nil
	})
	if len(able) == 0 {
		able = p.tools
	}
	return slices.MinFunc(able, func(a, b calc.Tool) int { return cmp.Compare(a.Core().StepML(), b.Core().StepML()) })
}

// propose fills in which tool and volume of base to take.
func (p *planner) propose() error {
	if p.known == nil {
		return nil
	}
	first, err := p.firstRung()
	if err != nil {
		return err
	}
	kit := ladder.Kit{BaseML: []float64{p.trial.BaseML}, Smallest: min(first, p.dose(p.toML)), Largest: p.dose(p.toML), VisibleStep: p.visible}
	samples := p.trial.Samples
	if p.ask.Samples != nil {
		samples = p.ask.Samples
	}
	for _, ml := range samples {
		if !slices.Contains(kit.BaseML, ml) {
			kit.BaseML = append(kit.BaseML, ml)
		}
	}
	for _, t := range p.tools {
		kit.Tools = append(kit.Tools, t.Core())
	}
	found, err := kit.Propose(p.known.Path, p.known.View)
	if err != nil {
		return placed(err)
	}
	out := ToolProposal{Fits: found.Fits, Step: p.visible, Options: []ToolOption{}}
	for _, o := range found.Options {
		out.Options = append(out.Options, ToolOption{
			Tool: o.Tool.Name, BaseML: o.BaseML, Graduation: o.GraduationDeltaE00, SteepestAt: float64(o.SteepestAt),
			SmallestML: o.SmallestML, LimitPercent: o.LimitPercent, Limit: o.LimitDeltaE00, Fills: o.Fills, Fits: o.Fits,
		})
	}
	p.out.Proposal = &out
	for _, w := range found.Warnings {
		p.out.Warnings = append(p.out.Warnings, calc.Warning{Code: w.Code, Message: w.Message})
	}
	if found.Fits && found.Options[0].BaseML != p.trial.BaseML {
		p.warn("other_sample_volume", "%.4g mL of base per glass would do better than %g mL with these tools: the plan is for %g mL, as the trial was set up.", found.Options[0].BaseML, p.trial.BaseML, p.trial.BaseML)
	}
	return nil
}

// firstRung is the lowest dose that the ladder needs: the first step, or where
// nobody says the first that is visible.
func (p *planner) firstRung() (blend.Dose, error) {
	switch {
	case p.ask.FromML != nil && *p.ask.FromML > 0:
		return p.dose(*p.ask.FromML), nil
	case p.ask.StepML != nil:
		return p.dose(*p.ask.StepML), nil
	case p.ask.Kind == Given:
		return p.dose(slices.Min(p.above(slices.Clone(p.ask.DosesML)))), nil
	case p.ask.Kind == Even:
		return p.dose(p.toML / usualRungs), nil
	case p.ask.Kind == Closing: // of one rung, not far from the closest dose
		return p.dose(p.toML / 2), nil
	}
	const fine = 500
	doses, err := ladder.Plan{ToML: p.toML, VisibleStep: p.visible, GraduationML: p.toML / fine}.DosesML(p.known.Path, p.trial.BaseML, p.known.View)
	if err != nil {
		return 0, placed(err)
	}
	if len(doses) < 2 {
		return p.dose(p.toML), nil
	}
	return p.dose(doses[1]), nil
}

// lay lays the ladder out and says what to read next.
func (p *planner) lay() error {
	if err := p.closeIn(); err != nil {
		return err
	}
	doses, err := p.doses()
	if err != nil {
		return err
	}
	if len(doses) > mostPlanned {
		return refuse("", nil, "this would be %d rungs, and a plan has at most %d: take larger steps or a shorter ladder", len(doses), mostPlanned)
	}
	if err := p.addRungs(doses); err != nil {
		return err
	}
	if len(doses) == 0 {
		return nil
	}
	if p.used() {
		if p.ask.Kind == Closing && p.out.Next.Pour != nil {
			p.out.Steps = append(p.out.Steps, *p.out.Next.Pour)
			return nil
		}
		p.warn("glasses_in_use", "Some glasses have had pours already: the steps begin with fresh glasses.")
	}
	return p.addSteps(doses)
}

// used says whether anything was poured into a glass of the plan.
func (p *planner) used() bool {
	return slices.ContainsFunc(p.progress.Glasses, func(g record.GlassState) bool { return slices.Contains(p.glasses, g.Glass) && g.PouredTotalML > 0 })
}

// doses are the rungs above the base, in mL, on the tool's graduation.
func (p *planner) doses() ([]float64, error) {
	switch p.ask.Kind {
	case Closing:
		if p.out.Next.DoseML == nil {
			return nil, nil
		}
		return []float64{*p.out.Next.DoseML}, nil
	case Visible:
		plan := ladder.Plan{ToML: p.toML, VisibleStep: p.visible, GraduationML: p.tool.StepML()}
		if p.ask.FromML != nil {
			plan.FromML = *p.ask.FromML
		}
		doses, err := plan.DosesML(p.known.Path, p.trial.BaseML, p.known.View)
		return p.above(doses), placed(err)
	case Given:
		doses := slices.Clone(p.ask.DosesML)
		slices.Sort(doses)
		return p.onGraduation(doses), nil
	}
	return p.even()
}

func (p *planner) even() ([]float64, error) {
	plan := ladder.Plan{ToML: p.toML}
	if p.ask.FromML != nil {
		plan.FromML = *p.ask.FromML
	}
	if p.ask.StepML != nil {
		plan.StepML = *p.ask.StepML
	} else {
		plan.StepML = max(p.tool.Round((p.toML-plan.FromML)/usualRungs), p.tool.StepML())
	}
	if p.ask.ToML == nil { // as far as nobody said: a whole number of steps
		plan.ToML = plan.FromML + plan.StepML*max(math.Round((p.toML-plan.FromML)/plan.StepML), 0)
	}
	doses, err := plan.DosesML(nil, p.trial.BaseML, calcView)
	if err != nil {
		return nil, placed(err)
	}
	return p.onGraduation(doses), nil
}

// onGraduation are rising doses above base alone, as the tool can pour them.
func (p *planner) onGraduation(doses []float64) []float64 {
	moved := false
	for i, ml := range doses {
		doses[i] = p.tool.Round(ml)
		moved = moved || math.Abs(doses[i]-ml) > 1e-6*p.tool.StepML()
	}
	if moved {
		p.warn("rounded_to_graduation", "Not all rungs lie on the graduation of the %s (%.4g mL): they are rounded to it.", p.tool, p.tool.StepML())
	}
	return p.above(slices.Compact(doses))
}

// above leaves out base alone, which stands beside every ladder.
func (p *planner) above(doses []float64) []float64 {
	return slices.DeleteFunc(doses, func(ml float64) bool { return ml <= 0 })
}

func (p *planner) addRungs(doses []float64) error {
	all := append([]float64{0}, doses...)
	if p.known == nil {
		for _, ml := range all {
			d := float64(p.dose(ml))
			p.out.Rungs = append(p.out.Rungs, PlanRung{DoseML: ml, DoseMLPer100ML: d, AdditionFraction: d / (d + 100*(1+p.heldPer1))})
		}
		return nil
	}
	rungs, err := p.known.Rungs(all)
	if err != nil {
		return err
	}
	for i := range rungs {
		r := &rungs[i]
		p.out.Rungs = append(p.out.Rungs, PlanRung{
			DoseML: r.DoseML, DoseMLPer100ML: r.DoseMLPer100ML, AdditionFraction: r.AdditionFraction,
			Colour: &r.Colour, Difference: r.Difference, FromPrevious: r.FromPrevious,
		})
	}
	return nil
}

// placed puts faults of the science at the places of the request.
func placed(err error) error {
	var faults colour.FieldErrors
	if !errors.As(err, &faults) {
		return err
	}
	out := make([]calc.Fault, len(faults))
	for i, f := range faults {
		out[i] = calc.Fault{Location: placeOf(f.Field), Value: f.Value, Message: f.Message}
	}
	return calc.Refuse(out...)
}

// placeOf is where in a request a field of the science comes from.
func placeOf(field string) string {
	field = strings.TrimPrefix(field, "plan/")
	for _, known := range []struct{ field, place string }{
		{"to_ml", "/to_ml"}, {"from_ml", "/from_ml"}, {"step_ml", "/step_ml"}, {"visible_step", "/visible_step"}, {"largest", "/to_ml"},
		{"smallest", "/from_ml"}, {"withdraw", "/withdraw_ml"}, {"glasses", "/glasses"}, {"tools", "/tools"},
		{"tool", "/tool"}, {"graduation_ml", "/tool"}, {"doses_ml", "/tool"}, {"volume_ml", "/tool"},
	} {
		if strings.HasPrefix(field, known.field) {
			return known.place
		}
	}
	return ""
}

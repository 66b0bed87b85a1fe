package bench

import (
	"slices"

	"pourpath/api/record"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/ladder"
	"pourpath/colour/volumetric"
)

// calcView is a view for rungs that no colour is needed for.
var calcView = cie.OIV()

// addSteps walks the glasses up the ladder.
func (p *planner) addSteps(doses []float64) error {
	// In the glasses base stands for base and what is held in it, so that doses per
	// base alone are larger by as much.
	top := ladder.TopUp{
		BaseML: p.trial.GlassBaseML(), DosesML: doses, Reference: p.glasses[0], Glasses: p.glasses[1:], Tool: p.tool,
		WithdrawML: p.ask.Taken, WithdrawU: record.WithdrawnU * p.ask.Taken,
	}
	if n := len(doses); n < len(top.Glasses) {
		top.Glasses = top.Glasses[:n]
	}
	steps, err := top.Steps()
	if err != nil {
		return placed(err)
	}
	more := 1 + p.heldPer1
	fresher := 0
	for _, s := range steps {
		step := PlanStep{
			Kind: string(s.Kind), Glass: s.Glass, VolumeML: s.VolumeML, RungML: s.RungML, TotalML: s.TotalML,
			Dose: float64(s.Dose) * more, UDose: s.DoseU.Combined() * more, VolumeLeftML: s.VolumeLeftML,
			FreshU: s.FreshU * more, FreshBetter: s.FreshBetter,
		}
		if s.Kind == ladder.PourAddition {
			step.Tool, step.PartsML = p.tool.Name, parts(s.Pours)
		}
		if s.FreshBetter {
			step.Note = ladder.FreshNote(step.UDose, s.Room*more, step.FreshU)
			fresher++
		}
		p.out.Steps = append(p.out.Steps, step)
	}
	if fresher > 0 {
		p.warn("fresh_better", "At %d of the rungs a fresh glass would be better than topping up: their steps say why.", fresher)
	}
	if p.heldPer1 > 0 {
		p.warn("held_in_base", "Base here is the base with what is held in it: %.5g mL in each glass, of it %.5g mL of base.", p.trial.GlassBaseML(), p.trial.BaseML)
	}
	return nil
}

// parts are the volumes of pours, where there is more than one.
func parts(pours []volumetric.Pour) []float64 {
	if len(pours) < 2 {
		return nil
	}
	out := make([]float64, len(pours))
	for i, pour := range pours {
		out[i] = pour.VolumeML
	}
	return out
}

// closeIn says which rung to pour and read next, where there is a target.
func (p *planner) closeIn() error {
	if p.known == nil || p.known.Target == nil {
		return nil
	}
	ask := ladder.ClosingIn{
		Target: *p.known.Target, View: p.known.View, Largest: p.dose(p.toML), BaseML: p.trial.BaseML, Tool: p.tool, VisibleStep: p.visible,
	}
	for _, e := range p.progress.Rungs() {
		ask.MeasuredML = append(ask.MeasuredML, e.DoseMLPer100ML*p.trial.BaseML/100)
	}
	c, err := ask.Next(p.known.Path)
	if err != nil {
		return placed(err)
	}
	next := PlanNext{
		Pointless: c.Pointless, Verdict: string(c.Verdict), Why: c.Why, ClosestDose: float64(c.Nearest.Dose), Interval: c.Nearest.Interval95,
		ChosenML: c.ChosenML, Rounding: c.RoundingDeltaE00, IntervalML: c.IntervalML, IntervalDE: c.IntervalDeltaE00,
	}
	if n := c.Next; n != nil {
		dose := float64(n.Dose)
		next.DoseML, next.Dose, next.Before, next.After = &n.DoseML, &dose, &n.Before, &n.After
		if next.Pour, err = p.pour(n.DoseML); err != nil {
			return err
		}
	}
	p.out.Next = &next
	return nil
}

// pour finds how to get a rung with the glasses as they stand: into a glass of
// base alone beside the reference, or on top of what comes nearest to it from
// below. It is nil where no glass can take it.
func (p *planner) pour(rungML float64) (*PlanStep, error) {
	want := float64(p.dose(rungML))
	var best *record.GlassState
	for i := range p.progress.Glasses {
		g := &p.progress.Glasses[i]
		if g.Glass == p.glasses[0] || !slices.Contains(p.glasses, g.Glass) || g.BaseInGlassML <= 0 || g.DoseMLPer100ML >= want {
			continue
		}
		switch {
		case best == nil, g.DoseMLPer100ML == 0 && best.DoseMLPer100ML > 0:
			best = g
		case best.DoseMLPer100ML > 0 && g.DoseMLPer100ML > best.DoseMLPer100ML:
			best = g
		}
	}
	if best == nil {
		return nil, nil //nolint:nilnil // no glass can take it
	}
	volume := p.tool.Round((want - best.DoseMLPer100ML) * best.BaseInGlassML / 100)
	if volume <= 0 {
		return nil, nil //nolint:nilnil // it is nearer than the tool can pour
	}
	pours, err := p.tool.Fill(volume)
	if err != nil {
		return nil, placed(err)
	}
	f, err := best.Filling().Pour(pours...)
	if err != nil {
		return nil, placed(err)
	}
	more := 1 + p.heldPer1
	step := &PlanStep{
		Kind: string(ladder.PourAddition), Glass: best.Glass, VolumeML: volume, Tool: p.tool.Name, PartsML: parts(pours), RungML: rungML,
		TotalML: f.Glass().PouredML(), Dose: float64(f.Glass().Dose()) * more, UDose: f.DoseU().Combined() * more, VolumeLeftML: f.Glass().VolumeML(),
	}
	if step.FreshU, err = p.freshU(rungML); err != nil {
		return nil, err
	}
	// The next rung may be as near as one graduation.
	room := float64(blend.DoseOf(p.tool.StepML(), p.trial.BaseML))
	if best.PouredTotalML > 0 && ladder.FreshBetter(step.UDose, room, step.FreshU) {
		step.FreshBetter, step.Note = true, ladder.FreshNote(step.UDose, room, step.FreshU)
	}
	return step, nil
}

// freshU is the uncertainty of a rung that is poured into a glass of its own.
func (p *planner) freshU(rungML float64) (float64, error) {
	f, err := ladder.Fill(ladder.Unstated(p.trial.GlassBaseML()))
	if err != nil {
		return 0, placed(err)
	}
	pours, err := p.tool.Fill(rungML)
	if err != nil {
		return 0, placed(err)
	}
	if f, err = f.Pour(pours...); err != nil {
		return 0, placed(err)
	}
	return f.DoseU().Combined() * (1 + p.heldPer1), nil
}

package panel

import (
	"cmp"
	"context"
	"slices"

	"pourpath/api/calc"
	sensory "pourpath/colour/panel"
	"pourpath/reports"
)

// Figure is the picture of what a closed panel prefers: the colour path, as the trial
// knows it by now, with the glasses by how far they are put above others, and that along
// the dose. The error is one of Outcome's, or a *calc.Problem where no colours are
// known.
func (p *Panels) Figure(ctx context.Context, id string) (reports.PreferenceFigure, error) {
	found, err := p.Outcome(ctx, id)
	if err != nil {
		return reports.PreferenceFigure{}, err
	}
	return p.FigureOf(found)
}

// FigureOf is Figure of a result that is known already.
func (p *Panels) FigureOf(o Outcome) (reports.PreferenceFigure, error) {
	f, err := p.figure(o)
	switch {
	case err != nil:
		return reports.PreferenceFigure{}, err
	case f == nil:
		return reports.PreferenceFigure{}, tooFew("the colours of the glasses are not known: nothing was read of a wine of the trial, so there is no path to draw")
	}
	f.Version = p.program()
	return *f, nil
}

// figure is nil where the trial has no ladder.
func (p *Panels) figure(o Outcome) (*reports.PreferenceFigure, error) {
	progress, err := o.trial.Progress()
	if err != nil {
		return nil, err
	}
	question, ok := o.trial.Ladder(progress)
	if !ok {
		return nil, nil //nolint:nilnil // a trial without colours is usual
	}
	glasses := slices.SortedStableFunc(slices.Values(o.Glasses), func(a, b OutcomeGlass) int { return cmp.Compare(a.DoseMLPer100ML, b.DoseMLPer100ML) })
	question.DosesML = nil
	for _, g := range glasses {
		question.DosesML = append(question.DosesML, g.DoseMLPer100ML*o.trial.BaseML/100)
	}
	if question.DosesML[len(glasses)-1] == 0 {
		return nil, nil //nolint:nilnil // as above: nothing was added
	}
	path, err := calc.LadderFigure(question, "", nil)
	if calc.AsProblem(err) != nil {
		return nil, nil //nolint:nilnil,nilerr // the trial's own page says why there is no ladder
	}
	if err != nil {
		return nil, err
	}
	out := &reports.PreferenceFigure{
		Title: o.Question, View: path.View, Judges: o.Judges, Level: o.Level, HeldMLPer100ML: path.HeldMLPer100ML,
		Path: path.Curve, Preference: o.result.Preference,
		Texts: &p.words().Figures,
	}
	for i, g := range glasses {
		rung := path.Rungs[i]
		out.Glasses = append(out.Glasses, reports.PreferenceGlass{
			DoseMLPer100ML: g.DoseMLPer100ML, Lab: rung.Lab, Swatch: rung.Swatch.At10MM, Share: sensory.Interval(g.Share),
		})
	}
	return out, nil
}

package panel

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"pourpath/api/calc"
	"pourpath/api/record"
	sensory "pourpath/colour/panel"
)

// Prospect is what is known of a panel before it is opened.
type Prospect struct {
	// Glasses, PerJudge and Judges are its size.
	Glasses, PerJudge, Judges int
	// Serving is one that such a panel might be given: another draw is as even.
	Serving sensory.Serving
	// Power is what it could find.
	Power sensory.Power
	// Portions are how much of each blend the judges take together.
	Portions []Portion
	// Warnings are what may not be meant of the glasses.
	Warnings []calc.Warning
}

// Complete reports whether the number of judges completes the design.
func (p Prospect) Complete() bool { return slices.Contains(p.Serving.FullFor, p.Judges) }

// Prospect looks at a panel without opening it: it is refused as Open would refuse
// it, with the same errors.
func (p *Panels) Prospect(ctx context.Context, trialID string, asked record.PanelBody) (Prospect, error) {
	t, err := p.store.Trial(ctx, trialID)
	if err != nil {
		return Prospect{}, err
	}
	made, err := record.NewPanel(t, asked)
	if err != nil {
		return Prospect{}, err
	}
	out := Prospect{Glasses: len(made.Glasses), PerJudge: made.PerJudge, Judges: len(asked.Judges), Warnings: glassDoubts(made.Glasses)}
	empty, err := emptyDoubts(t, made)
	if err != nil {
		return Prospect{}, err
	}
	out.Warnings = append(out.Warnings, empty...)
	if out.Serving, err = sensory.NewServing(out.Glasses, out.PerJudge, out.Judges, rand.New(rand.NewPCG(1, 2)).IntN); err != nil {
		return Prospect{}, refused(err)
	}
	out.Portions = portionsOf(made.Glasses, servedOf(out.Serving.Orders, out.Glasses))
	out.Power, err = couldFind(made, out.Serving.Orders)
	return out, err
}

// couldFind is what judges with these orders could find, whatever they answer.
func couldFind(p record.Panel, orders [][]int) (sensory.Power, error) {
	table := sensory.Table{}
	for _, g := range p.Glasses {
		table.Doses = append(table.Doses, g.DoseMLPer100ML)
	}
	for _, order := range orders {
		answers := make([]float64, len(p.Glasses))
		for i := range answers {
			answers[i] = math.NaN()
		}
		for place, glass := range order {
			answers[glass] = float64(place + 1)
		}
		table.Answers = append(table.Answers, answers)
	}
	result, err := sensory.Analyse(table, sensory.Options{Kind: sensory.Ranks, Level: sensory.DefaultLevel})
	return result.Power, refused(err)
}

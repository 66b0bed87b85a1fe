package bench

import (
	"context"
	"strings"

	"pourpath/api/calc"
	"pourpath/colour/volumetric"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// Sheet is the bench sheet of a plan: what to pour, with the colours that are
// predicted, and fields for what was poured and read. Its errors are those of
// Plan.
func (b *Bench) Sheet(ctx context.Context, id string, ask TrialPlanRequest) (sheet.Bench, error) {
	plan, err := b.Plan(ctx, id, ask)
	if err != nil {
		return sheet.Bench{}, err
	}
	p, err := b.papers(ctx, id)
	if err != nil {
		return sheet.Bench{}, err
	}
	out := sheet.Bench{Head: p.head(), BaseML: plan.BaseML, Warnings: append(p.reasons(plan), p.sentences(plan.Warnings)...)}
	if out.Wines, err = p.wines(); err != nil {
		return out, err
	}
	tools := p.trial.Tools
	if len(ask.Tools) > 0 {
		tools = calc.WholeTools("/tools", ask.Tools, new(calc.Faults)) // Plan has refused what is at fault
	}
	for _, t := range tools {
		out.Tools = append(out.Tools, p.tool(t))
	}
	for _, s := range plan.Steps {
		row, err := p.planRow(s)
		if err != nil {
			return out, err
		}
		out.Plan = append(out.Plan, row)
	}
	return out, nil
}

// reasons are why a plan is as it is.
func (p papers) reasons(plan TrialPlan) []string {
	var out []string
	if plan.Next != nil {
		out = append(out, p.texts.Said(plan.Next.Why))
	}
	if o := plan.Proposal; o != nil && o.Fits {
		for _, option := range o.Options {
			if option.Tool == plan.Tool.Name && option.BaseML == plan.BaseML {
				t := p.texts
				out = append(out, reports.Fill(t.Told.Graduation, "tool", option.Tool, "de", t.Figures.Significant(option.Graduation, 2), "step", t.Figures.Significant(o.Step, 2)))
			}
		}
	}
	return out
}

// standards are where the limits of a kind of tool are from.
var standards = map[volumetric.Kind]string{
	volumetric.Cylinder: "ASTM E1272, ISO 4788", volumetric.GraduatedPipette: "ISO 835", volumetric.VolumetricPipette: "ISO 648", volumetric.Syringe: "ISO 7886-1",
}

func (p papers) tool(t calc.Tool) sheet.Tool {
	core, words := t.Core(), &p.texts.Told
	note := standards[core.Kind]
	switch core.Kind {
	case volumetric.Syringe:
		note = reports.Fill(words.WhenFull, "standard", note)
	case volumetric.Spoon, volumetric.Cup:
		note = words.Judgement
	}
	switch {
	case core.Class != volumetric.NoClass:
		note = reports.Fill(words.ToolClass, "class", string(core.Class), "source", note)
	case core.Kind == volumetric.Cylinder || core.Kind == volumetric.GraduatedPipette || core.Kind == volumetric.VolumetricPipette:
		note = reports.Fill(words.NoToolClass, "source", note)
	}
	return sheet.Tool{Name: core.String(), CapacityML: core.CapacityML, GraduationML: core.GraduationML, LimitML: core.LimitML(core.CapacityML), Note: note}
}

// deeds are what steps of a plan are called on a sheet.
var deeds = map[string]sheet.Deed{"base": sheet.PourBase, "addition": sheet.PourAddition, "withdrawal": sheet.TakeOut}

func (p papers) planRow(s PlanStep) (sheet.PlanRow, error) {
	row := sheet.PlanRow{
		Glass: s.Glass, Deed: deeds[s.Kind], VolumeML: s.VolumeML, Tool: s.Tool, TotalML: s.TotalML,
		Dose: sheet.Dose{MLPer100ML: s.Dose, U: s.UDose}, Note: p.texts.Said(s.Note),
	}
	if s.FreshBetter { // the step's own words are too many for each row of a table
		row.Note = reports.Fill(p.texts.Told.BetterFresh, "fresh", p.texts.Figures.Significant(2*s.FreshU, 2), "u", p.texts.Figures.Significant(2*s.UDose, 2))
	}
	switch row.Deed {
	case sheet.PourBase:
		row.Wine = p.pouredBase()
	case sheet.PourAddition:
		row.Wine = p.additionName()
	}
	if len(s.PartsML) > 1 {
		parts := make([]string, len(s.PartsML))
		for i, ml := range s.PartsML {
			parts[i] = p.texts.Figures.Significant(ml, 6)
		}
		row.Tool = strings.TrimSpace(row.Tool + ": " + strings.Join(parts, " + ") + " mL")
	}
	var err error
	row.Colour, row.Swatch, err = p.at(s.Dose)
	return row, err
}

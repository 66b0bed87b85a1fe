package bench

import (
	"context"
	"fmt"
	"strings"

	"pourpath/api/calc"
	"pourpath/colour/volumetric"
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
	out := sheet.Bench{Head: p.head(), BaseML: plan.BaseML, Warnings: append(plan.reasons(), p.sentences(plan.Warnings)...)}
	if out.Wines, err = p.wines(); err != nil {
		return out, err
	}
	tools := p.trial.Tools
	if len(ask.Tools) > 0 {
		tools = calc.WholeTools("/tools", ask.Tools, new(calc.Faults)) // Plan has refused what is at fault
	}
	for _, t := range tools {
		out.Tools = append(out.Tools, toolOf(t))
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
func (p TrialPlan) reasons() []string {
	var out []string
	if p.Next != nil {
		out = append(out, p.Next.Why)
	}
	if o := p.Proposal; o != nil && o.Fits {
		for _, option := range o.Options {
			if option.Tool == p.Tool.Name && option.BaseML == p.BaseML {
				out = append(out, fmt.Sprintf("One graduation of the %s changes the colour by at most ΔE00 %.2g here; a step of %.2g counts as visible.", option.Tool, option.Graduation, o.Step))
			}
		}
	}
	return out
}

// limitsOf says where the limits of a kind of tool are from.
var limitsOf = map[volumetric.Kind]string{
	volumetric.Cylinder: "ASTM E1272, ISO 4788", volumetric.GraduatedPipette: "ISO 835", volumetric.VolumetricPipette: "ISO 648",
	volumetric.Syringe: "ISO 7886-1, when full", volumetric.Spoon: "5 %, a judgement", volumetric.Cup: "5 %, a judgement",
}

func toolOf(t calc.Tool) sheet.Tool {
	core := t.Core()
	note := limitsOf[core.Kind]
	switch {
	case core.Class != volumetric.NoClass:
		note = "class " + string(core.Class) + ", " + note
	case core.Kind == volumetric.Cylinder || core.Kind == volumetric.GraduatedPipette || core.Kind == volumetric.VolumetricPipette:
		note = "no class told: twice that of class B, " + note
	}
	return sheet.Tool{Name: core.String(), CapacityML: core.CapacityML, GraduationML: core.GraduationML, LimitML: core.LimitML(core.CapacityML), Note: note}
}

// deeds are what steps of a plan are called on a sheet.
var deeds = map[string]sheet.Deed{"base": sheet.PourBase, "addition": sheet.PourAddition, "withdrawal": sheet.TakeOut}

func (p papers) planRow(s PlanStep) (sheet.PlanRow, error) {
	row := sheet.PlanRow{
		Glass: s.Glass, Deed: deeds[s.Kind], VolumeML: s.VolumeML, Tool: s.Tool, TotalML: s.TotalML,
		Dose: sheet.Dose{MLPer100ML: s.Dose, U: s.UDose}, Note: s.Note,
	}
	if s.FreshBetter { // the step's own words are too many for each row of a table
		row.Note = fmt.Sprintf("Dose better fresh: ±%.2g, not ±%.2g (95 %%)", 2*s.FreshU, 2*s.UDose)
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
			parts[i] = fmt.Sprintf("%.6g", ml)
		}
		row.Tool = strings.TrimSpace(row.Tool + ": " + strings.Join(parts, " + ") + " mL")
	}
	var err error
	row.Colour, row.Swatch, err = p.at(s.Dose)
	return row, err
}

package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"pourpath/api/bench"
	"pourpath/api/calc"
)

// planFlags are those of a plan.
func planFlags() []bodyFlag {
	kind := aText("kind", "even, visible, given or closing")
	kind.usual = string(bench.Even)
	return []bodyFlag{
		kind, aText("tool", "`NAME` of the tool to pour with; the best of the trial's where left out"),
		aNumber("from-ml", "first rung, `ML`"), aNumber("to-ml", "last rung, `ML`"), aNumber("step-ml", "with even: between rungs, `ML`"),
		aRange("doses-ml", "with given: the rungs, `ML,ML`"),
		aNumber("visible-step", "the `ΔE00` that counts as visible"), aNumber("withdraw-ml", "taken out of a glass at every rung, `ML`"),
	}
}

// planned makes a command that takes a plan.
func (s *session) planned(word, short, long string, example []string, work func(c *cobra.Command, b *bench.Bench, id string, ask bench.TrialPlanRequest) error) *cobra.Command {
	f := form{use: "trial " + word, of: aTrial, example: example, flags: planFlags()}
	c := s.ofTrial(word, short, long, func(c *cobra.Command, b *bench.Bench, id string) error {
		data, err := f.request(s, c)
		if err != nil {
			return err
		}
		ask, err := calc.DecodeWhole[bench.TrialPlanRequest](data)
		if err != nil {
			return err
		}
		return work(c, b, id, ask)
	})
	f.add(s, c)
	return c
}

func (s *session) trialPlan() *cobra.Command {
	return s.planned("plan", "Say what to pour into which glass",
		"Says which tool and sample volume to take, the rungs on that tool's graduation, the pours that\nwalk the glasses up them, and which rung to read next. Nothing is stored.",
		[]string{"--kind", "visible", "--to-ml", "12"},
		func(c *cobra.Command, b *bench.Bench, id string, ask bench.TrialPlanRequest) error {
			plan, err := b.Plan(c.Context(), id, ask)
			return s.answered(err, plan, func(p *page) { p.plan(plan) })
		})
}

// plan is what to pour.
func (p *page) plan(plan bench.TrialPlan) {
	base := fmt.Sprintf("%g mL of base", plan.BaseML)
	if plan.HeldML > 0 {
		base += fmt.Sprintf(" with %g mL of what is held in it", plan.HeldML)
	}
	p.linef("For %s in each glass, measured with the %s.", base, plan.Tool.Name)
	if plan.Proposal != nil {
		p.tools(*plan.Proposal)
	}
	p.rungs(plan)
	p.steps(plan)
	p.next(plan)
	p.warnings(plan.Warnings)
}

// tools compares the tools at hand.
func (p *page) tools(proposal bench.ToolProposal) {
	if len(proposal.Options) == 0 {
		return // a warning says so
	}
	p.linef("Tools that can pour it, the best first; a step of ΔE00 %g counts as visible:", proposal.Step)
	rows := make([]row, len(proposal.Options))
	for i, o := range proposal.Options {
		fits := "too coarse"
		if o.Fits {
			fits = "fits"
		}
		rows[i] = row{cells: []string{
			o.Tool, plainML(o.BaseML), fmt.Sprintf("%.2f", o.Graduation), plainML(o.SmallestML), fmt.Sprintf("%.2g", o.LimitPercent), fmt.Sprintf("%.2f", o.Limit), fmt.Sprint(o.Fills), fits,
		}}
	}
	p.table([]string{"tool", "base, mL", "ΔE00 of a graduation", "first pour, mL", "± %", "ΔE00 of that", "fills of the last", ""}, rows)
}

// rungs are the ladder that is planned.
func (p *page) rungs(plan bench.TrialPlan) {
	switch {
	case plan.Kind == bench.Closing && len(plan.Rungs) == 1:
		p.linef("Closing in on the target: no further dose is proposed.")
		return
	case plan.Kind == bench.Closing:
		p.linef("Closing in on the target: base alone, and the dose to pour and read next.")
	default:
		p.linef("The ladder:")
	}
	heading := []string{"mL", "mL per 100 mL of base", "% of the blend"}
	if plan.Rungs[0].Colour != nil {
		heading = append(heading, "L*", "a*", "b*", "ΔE00 step", "ΔE00 target")
	}
	rows := make([]row, len(plan.Rungs))
	for i, r := range plan.Rungs {
		rows[i].cells = []string{plainML(r.DoseML), fmt.Sprintf("%.2f", r.DoseMLPer100ML), fmt.Sprintf("%.2f", 100*r.AdditionFraction)}
		if c := r.Colour; c != nil {
			rows[i].hex = srgb(*c)
			rows[i].cells = append(rows[i].cells, fmt.Sprintf("%.1f", c.CIELAB.L), fmt.Sprintf("%.2f", c.CIELAB.A), fmt.Sprintf("%.2f", c.CIELAB.B), fixed(r.FromPrevious, 2), fixed(deltaOf(r.Difference), 2))
		}
	}
	p.table(heading, rows)
}

// deltaOf is ΔE00 from the target, where there is one.
func deltaOf(d *calc.Difference) *float64 {
	if d == nil {
		return nil
	}
	return d.DeltaE00
}

var deeds = map[string]string{"base": "of base into", "addition": "of the addition into", "withdrawal": "out of"}

// steps are what to do, in its order.
func (p *page) steps(plan bench.TrialPlan) {
	if len(plan.Steps) == 0 {
		return
	}
	p.linef("What to do:")
	rows := make([]row, len(plan.Steps))
	fresher := false
	for i, s := range plan.Steps {
		fresh := ""
		if s.FreshBetter {
			fresh, fresher = fmt.Sprintf("%.2f", s.FreshU), true
		}
		rows[i].cells = []string{
			fmt.Sprint(i + 1), partsOf(s) + " mL", deeds[s.Kind], s.Glass, plainML(s.TotalML), fmt.Sprintf("%.2f", s.Dose), fmt.Sprintf("%.2f", s.UDose),
			fmt.Sprintf("%.2f", 100*s.Dose/(s.Dose+100+100*plan.HeldML/plan.BaseML)), fresh,
		}
	}
	heading := []string{"step", "pour", "", "glass", "mL in all", "mL per 100 mL of base", "±", "% of the blend", ""}
	if fresher {
		heading[len(heading)-1] = "± if fresh"
	}
	p.table(heading, rows)
	p.linef("± is one standard uncertainty (k = 1) of the dose, in mL per 100 mL of base.")
	if fresher {
		p.linef("± if fresh: there a fresh glass would be better than topping up, as what a tool is off by adds up.")
	}
}

// partsOf is a volume with the fills that it takes.
func partsOf(s bench.PlanStep) string {
	text := plainML(s.VolumeML)
	for i, ml := range s.PartsML {
		mark := " + "
		if i == 0 {
			mark = " = "
		}
		text += mark + plainML(ml)
	}
	return text
}

// next is which rung to pour and read next.
func (p *page) next(plan bench.TrialPlan) {
	n := plan.Next
	if n == nil {
		return
	}
	p.linef("%s", n.Why)
	within := ""
	if n.Interval != nil {
		within = fmt.Sprintf(" (95 %%: %.2f to %.2f)", n.Interval[0], n.Interval[1])
	}
	p.linef("Closest to the target: %.2f mL per 100 mL of base%s; on the scale %s mL (rounding ΔE00 %.2f).", n.ClosestDose, within, plainML(n.ChosenML), n.Rounding)
	if s := n.Pour; s != nil && plan.Kind != bench.Closing { // closing in has it as its step
		p.linef("Next to read: %s mL in %g mL of base. With the glasses as they stand: %s mL into glass %s.", plainML(*n.DoseML), plan.BaseML, partsOf(*s), s.Glass)
	}
}

package main

import (
	"fmt"
	"slices"
	"strings"

	"pourpath/api/bench"
	"pourpath/api/record"
)

// The answers about trials, for people.

// logged tells what a glass holds after an entry: its running total first.
func (p *page) logged(e record.Logged) {
	if e.Glass != "" && e.Kind != record.Choosing {
		p.linef("Glass %s: %s mL poured in all", e.Glass, plainML(e.PouredTotalML))
	}
	p.linef("  %s%s", doseBoth(e.DoseMLPer100ML, e.AdditionFraction), plusMinusDose(e.UDose))
	p.linef("  entry %d: %s", e.No, entryWords(e))
	p.warnings(e.Warnings)
}

// plainML writes a sum of pours without the noise of adding.
func plainML(ml float64) string { return fmt.Sprintf("%.6g", ml) }

func plusMinusDose(u float64) string {
	if u == 0 {
		return ""
	}
	return fmt.Sprintf(", ± %.2g mL per 100 mL (k = 1)", u)
}

// entryWords says what was done.
func entryWords(e record.Logged) string {
	var words string
	switch e.Kind {
	case record.Pour:
		words = fmt.Sprintf("%s mL poured into %s", plainML(*e.VolumeML), e.Glass)
	case record.Withdrawal:
		words = fmt.Sprintf("%s mL taken out of %s", plainML(*e.VolumeML), e.Glass)
	case record.Measuring:
		words = "reading of " + e.Glass
	case record.Undo:
		words = fmt.Sprintf("entry %d taken back", e.Undoes)
	case record.Noting:
		words = strings.TrimSpace(fmt.Sprintf("%s: %s", e.Glass, e.Note))
		if e.Score != nil {
			words += fmt.Sprintf(" (score %g%s)", *e.Score, after(", ", e.Scale))
		}
	case record.Choosing:
		words = "chosen: " + e.Reasons
	case record.Checking:
		words = "final check"
		if e.VolumeML != nil {
			words += fmt.Sprintf(" of %s mL", plainML(*e.VolumeML))
		}
	}
	if e.Why != "" {
		words += ", " + e.Why
	}
	return words + after(" · ", e.Tool) + after(" · ", e.Who)
}

func after(mark, text string) string {
	if text == "" {
		return ""
	}
	return mark + text
}

// trials is the list.
func (p *page) trials(list []record.Trial) {
	if len(list) == 0 {
		p.linef("There is no trial yet; pourpath trial begin begins one.")
		return
	}
	for _, t := range list {
		p.linef("%s  %s  %s + %s, %d glasses, %d entries%s", t.ID, t.CreatedAt.Format("2006-01-02"), orWord(t.Base.Name, "base"), orWord(t.Addition.Name, "addition"), len(t.Glasses), len(t.Log), after("  ", t.Name))
	}
}

// trial is all that a trial has come to.
func (p *page) trial(t bench.TrialAnswer) {
	p.linef("%s%s", t.ID, after("  ", t.Name))
	p.linef("%g mL of %s in each glass; poured in: %s", t.BaseML, orWord(t.Base.Name, "base"), orWord(t.Addition.Name, "addition"))
	for _, h := range t.Held {
		p.linef("with %g mL of %s held in 100 mL of base", h.DoseMLPer100ML, orWord(h.Wine.Name, "a further wine"))
	}
	heading := []string{"glass", "mL in all", "mL per 100 mL of base", "±", "% of the blend", "holds, mL"}
	if t.Ladder != nil {
		heading = append(heading, "L*", "a*", "b*")
	}
	var rows []row
	for i, g := range t.Glasses {
		r := row{cells: []string{
			g.Glass, plainML(g.PouredTotalML), fmt.Sprintf("%.2f", g.DoseMLPer100ML), fmt.Sprintf("%.2f", g.UDose), fmt.Sprintf("%.2f", 100*g.AdditionFraction),
			fmt.Sprintf("%.1f", g.BaseInGlassML+g.HeldInGlassML+g.AdditionInGlass),
		}}
		if t.Ladder != nil {
			c := t.Ladder.Rungs[i].Colour
			r.hex = srgb(c)
			r.cells = append(r.cells, fmt.Sprintf("%.1f", c.CIELAB.L), fmt.Sprintf("%.2f", c.CIELAB.A), fmt.Sprintf("%.2f", c.CIELAB.B))
		}
		rows = append(rows, r)
	}
	p.table(heading, rows)
	p.log(t)
	if c := t.Choice; c != nil {
		p.linef("Chosen (entry %d): %s. %s", c.No, doseBoth(c.DoseMLPer100ML, c.AdditionFraction), c.Reasons)
	}
	if f := t.FinalCheck; f != nil {
		p.finalCheck(*f)
	}
	if t.Ladder == nil {
		p.warnings(t.Warnings)
		return
	}
	if t.Ladder.Nearest != nil {
		p.nearest(t.Ladder.Nearest)
	}
	p.warnings(t.Warnings, t.Ladder.Warnings)
}

func (p *page) finalCheck(f bench.FinalCheckAnswer) {
	state := "not whole yet"
	if f.Done {
		state = "done"
	}
	p.linef("Final check, %s: %s mL poured.", state, plainML(f.Volume))
	if f.Colour != nil {
		p.linef("  L* %.1f, a* %.2f, b* %.2f", f.Colour.CIELAB.L, f.Colour.CIELAB.A, f.Colour.CIELAB.B)
	}
	p.difference(f.Difference)
	if l := f.LookedAgain; l != nil {
		seen := "it stayed clear"
		if !l.Clear {
			seen = "it did NOT stay clear"
		}
		p.linef("  Looked at again: %s%s", seen, after(". ", l.Note))
	}
}

// log is all that was done, in its order.
func (p *page) log(t bench.TrialAnswer) {
	all := slices.Concat(t.Entries, t.Measurements, t.Notes, t.Choices, t.FinalChecks)
	slices.SortFunc(all, func(a, b record.Logged) int { return a.No - b.No })
	for _, e := range all {
		line := fmt.Sprintf("%4d  %s  %s", e.No, e.RecordedAt.Format("2006-01-02 15:04"), entryWords(e))
		if e.UndoneBy != 0 {
			line += fmt.Sprintf("  (taken back by entry %d)", e.UndoneBy)
		}
		p.linef("%s", line)
		for _, w := range e.Warnings {
			p.linef("      %s", w.Message)
		}
	}
}

// plan is what to pour.
func (p *page) plan(plan bench.TrialPlan) {
	p.linef("Measured with the %s.", plan.Tool.Name)
	if n := plan.Next; n != nil {
		p.linef("%s", n.Why)
		p.linef("Closest to the target: %.2f mL per 100 mL of base; on the scale %s mL (rounding ΔE00 %.2f).", n.ClosestDose, plainML(n.ChosenML), n.Rounding)
	}
	var rows []row
	for i, s := range plan.Steps {
		what := map[string]string{"base": "base into", "addition": "addition into", "withdrawal": "out of"}[s.Kind]
		rows = append(rows, row{cells: []string{
			fmt.Sprint(i + 1), plainML(s.VolumeML), what + " " + s.Glass, plainML(s.TotalML),
			fmt.Sprintf("%.2f", s.Dose), fmt.Sprintf("%.2f", s.UDose), fmt.Sprintf("%.2f", 100*s.Dose/(s.Dose+100+100*plan.HeldML/plan.BaseML)), s.Note,
		}})
	}
	if len(rows) > 0 {
		p.table([]string{"step", "mL", "what", "mL in all", "mL per 100 mL of base", "±", "% of the blend", ""}, rows)
	}
	p.warnings(plan.Warnings)
}

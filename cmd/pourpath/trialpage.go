package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
)

// The answers about trials, for people.

// logged tells what a glass holds after an entry: its running total first.
func (p *page) logged(e record.Logged) {
	switch {
	case e.Kind == record.Choosing:
		p.linef("Chosen: %s%s", doseBoth(e.DoseMLPer100ML, e.AdditionFraction), plusMinusDose(e.UDose))
	case e.Kind == record.Checking:
		p.linef("Final check of %s%s", doseBoth(e.DoseMLPer100ML, e.AdditionFraction), plusMinusDose(e.UDose))
	case e.Glass != "":
		p.linef("Glass %s: %s mL poured in all", e.Glass, plainML(e.PouredTotalML))
		p.linef("  %s%s", doseBoth(e.DoseMLPer100ML, e.AdditionFraction), plusMinusDose(e.UDose))
		p.linef("  it holds %s mL", holds(e.Content))
	}
	p.linef("  entry %d: %s", e.No, entryWords(e))
	p.warnings(e.Warnings)
}

// holds is all that is in a glass, in mL.
func holds(c record.Content) string {
	return fmt.Sprintf("%.1f", c.BaseInGlassML+c.HeldInGlassML+c.AdditionInGlass)
}

// plainML writes a volume without the noise of adding.
func plainML(ml float64) string { return fmt.Sprintf("%.6g", ml) }

func plusMinusDose(u float64) string {
	if u == 0 {
		return ""
	}
	return fmt.Sprintf(", ± %.2f mL per 100 mL (k = 1)", max(u, 0.01)) // to the decimals of doseBoth, never as certain
}

// entryWords says what was done.
func entryWords(e record.Logged) string {
	var said string
	switch e.Kind {
	case record.Pour:
		said = fmt.Sprintf("%s mL poured into %s", plainML(*e.VolumeML), e.Glass)
	case record.Withdrawal:
		said = fmt.Sprintf("%s mL taken out of %s", plainML(*e.VolumeML), e.Glass)
	case record.Measuring:
		said = "reading of " + e.Glass + readWords(e)
	case record.Undo:
		said = fmt.Sprintf("entry %d taken back", e.Undoes)
	case record.Noting:
		said = e.Glass + after(": ", e.Note)
		if e.Score != nil {
			said += fmt.Sprintf(", score %g%s", *e.Score, after(", ", e.Scale))
		}
	case record.Choosing:
		said = "chosen: " + e.Reasons
	case record.Checking:
		said = "final check"
		if e.VolumeML != nil {
			said += fmt.Sprintf(" of %s mL", plainML(*e.VolumeML))
		}
		said += readWords(e)
	}
	return said + after(", ", e.Why) + after(" · ", e.Tool) + after(" · ", e.Who) + after(" · ", e.Analyst)
}

// readWords is what was read, and when and how warm.
func readWords(e record.Logged) string {
	var parts []string
	switch {
	case e.Readings != nil:
		path, dilution := e.Cell()
		parts = append(parts, fmt.Sprintf("A420 %g, A520 %g, A620 %g in %g mm", e.Readings.A420, e.Readings.A520, e.Readings.A620, path))
		if dilution != 1 {
			parts = append(parts, fmt.Sprintf("diluted %g-fold", dilution))
		}
	case e.Spectrum != nil:
		parts = append(parts, fmt.Sprintf("a scan of %d points", len(e.Spectrum.NM)))
	case e.CIELAB != nil:
		parts = append(parts, fmt.Sprintf("L* %g, a* %g, b* %g", e.CIELAB.L.Value, e.CIELAB.A.Value, e.CIELAB.B.Value))
	}
	if m := e.MinutesSinceBlending; m != nil {
		parts = append(parts, fmt.Sprintf("%g min after blending", *m))
	}
	if c := e.TemperatureC; c != nil {
		parts = append(parts, fmt.Sprintf("%g °C", *c))
	}
	return after(": ", strings.Join(parts, ", "))
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
		p.linef("%s  %s  %s + %s, %d glasses, %d entries%s", t.ID, t.CreatedAt.Local().Format(time.DateOnly), orWord(t.Base.Name, "base"), orWord(t.Addition.Name, "addition"), len(t.Glasses), len(t.Log), after("  ", t.Name))
	}
}

// trial is all that a trial has come to; ahead is its ladder as far as it may yet
// be poured, nil where there is none.
func (p *page) trial(t bench.TrialAnswer, ahead *calc.LadderResponse) {
	p.linef("%s%s", t.ID, after("  ", t.Name))
	if t.ArchivedAt != nil {
		p.linef("Archived: it takes no more entries.")
	}
	p.linef("%g mL of %s in each glass; poured in: %s", t.BaseML, orWord(t.Base.Name, "base"), orWord(t.Addition.Name, "addition"))
	for _, h := range t.Held {
		p.linef("with %g mL of %s held in 100 mL of base", h.DoseMLPer100ML, orWord(h.Wine.Name, "a further wine"))
	}
	p.glasses(t)
	p.log(t)
	if c := t.Choice; c != nil {
		p.linef("Chosen (entry %d): %s%s. %s", c.No, doseBoth(c.DoseMLPer100ML, c.AdditionFraction), plusMinusDose(c.UDose), c.Reasons)
	}
	if f := t.FinalCheck; f != nil {
		p.finalCheck(*f)
	}
	if ahead == nil {
		p.warnings(t.Warnings)
		return
	}
	if ahead.Nearest != nil {
		p.nearest(ahead.Nearest)
	}
	p.warnings(t.Warnings, ahead.Warnings)
}

// glasses is what is in each glass, with its colour as far as it is known.
func (p *page) glasses(t bench.TrialAnswer) {
	heading := []string{"glass", "mL in all", "mL per 100 mL of base", "±", "% of the blend", "holds, mL"}
	if t.Ladder != nil {
		heading = append(heading, "L*", "a*", "b*", "ΔE00 target")
	}
	rows := make([]row, len(t.Glasses))
	for i, g := range t.Glasses {
		rows[i].cells = []string{
			g.Glass, plainML(g.PouredTotalML), fmt.Sprintf("%.2f", g.DoseMLPer100ML), fmt.Sprintf("%.2f", g.UDose), fmt.Sprintf("%.2f", 100*g.AdditionFraction), holds(g.Content),
		}
		if t.Ladder != nil {
			c := t.Ladder.Rungs[i].Colour
			rows[i].hex = srgb(c)
			rows[i].cells = append(rows[i].cells, fmt.Sprintf("%.1f", c.CIELAB.L), fmt.Sprintf("%.2f", c.CIELAB.A), fmt.Sprintf("%.2f", c.CIELAB.B), fixed(deltaOf(t.Ladder.Rungs[i].Difference), 2))
		}
	}
	p.table(heading, rows)
	p.linef("± is one standard uncertainty (k = 1).")
	if t.Ladder != nil {
		p.linef("Colours %s.", under(t.Ladder.Rungs[0].Colour.Conditions))
	}
}

// under is what a colour holds for.
func under(c calc.Conditions) string {
	return fmt.Sprintf("under %s, %s° observer, for %g mm of wine", c.Illuminant, c.Observer, c.PathMM)
}

func (p *page) finalCheck(f bench.FinalCheckAnswer) {
	state := "not whole yet"
	if f.Done {
		state = "done"
	}
	p.linef("Final check, %s: %s mL poured.", state, plainML(f.Volume))
	if f.Colour != nil {
		p.linef("  L* %.1f, a* %.2f, b* %.2f %s", f.Colour.CIELAB.L, f.Colour.CIELAB.A, f.Colour.CIELAB.B, under(f.Colour.Conditions))
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
	if len(all) == 0 {
		return
	}
	slices.SortFunc(all, func(a, b record.Logged) int { return a.No - b.No })
	p.linef("Log, in the time of this machine:")
	for _, e := range all {
		line := fmt.Sprintf("%4d  %s  %s", e.No, doneAt(e).Local().Format("2006-01-02 15:04"), entryWords(e))
		if e.UndoneBy != 0 {
			line += fmt.Sprintf("  (taken back by entry %d)", e.UndoneBy)
		}
		p.linef("%s", line)
		for _, w := range e.Warnings {
			p.linef("      %s", w.Message)
		}
	}
}

// doneAt is when something was done: as told, or else when it was recorded.
func doneAt(e record.Logged) record.Instant {
	switch {
	case e.At != nil:
		return *e.At
	case e.TakenAt != nil:
		return *e.TakenAt
	}
	return e.RecordedAt
}

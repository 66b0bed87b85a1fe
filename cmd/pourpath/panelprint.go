package main

import (
	"fmt"
	"strings"
	"time"

	"pourpath/api/panel"
	"pourpath/api/record"
)

// The answers about panels, for people.

// panels is the list.
func (p *page) panels(list []panel.Session) {
	if len(list) == 0 {
		p.linef("There is no panel yet; pourpath panel open opens one on a trial's glasses.")
		return
	}
	for _, one := range list {
		p.linef("%s  %s  %s, %d of %d judges have handed in  %s", one.ID, one.CreatedAt.Local().Format(time.DateOnly), one.State, one.HandedIn, len(one.Judges), panelName(one))
	}
}

// panel is a panel for its leader.
func (p *page) panel(now panel.Session) {
	p.linef("%s%s", now.ID, after("  ", now.Name))
	p.linef("NOT FOR JUDGES: this tells which glass is which.")
	p.linef("%s (%s)", now.Question, askedFor(now.PanelFields))
	rows := make([]row, len(now.Glasses))
	for i, g := range now.Glasses {
		rows[i] = row{cells: []string{g.Glass, g.Code, fmt.Sprintf("%.2f", g.DoseMLPer100ML), fmt.Sprintf("%.2f", 100*g.AdditionFraction)}}
	}
	p.table([]string{"glass", "code", "mL per 100 mL of base", "% of the blend"}, rows)
	if now.Closing == nil {
		p.linef("To make for the judges, %d mL each (common practice, no source); base is what a glass holds before the addition:", panel.PortionML)
		rows = make([]row, len(now.Portions))
		for i, m := range now.Portions {
			rows[i] = row{cells: []string{m.Glass, fmt.Sprint(m.Judges), fmt.Sprintf("%.0f", m.BlendML), fmt.Sprintf("%.1f", m.BaseML), fmt.Sprintf("%.1f", m.AdditionML)}}
		}
		p.table([]string{"glass", "judges", "blend, mL", "base, mL", "addition, mL"}, rows)
	}
	p.warnings(now.Warnings)
	p.linef("Orders of serving (%s):", strings.ReplaceAll(now.Serving, "_", " "))
	rows = make([]row, len(now.Judges))
	for i, j := range now.Judges {
		rows[i] = row{cells: []string{j.Name, strings.Join(j.Codes, " "), handedIn(j), j.AnswerID}}
	}
	p.table([]string{"judge", "codes", "handed in", "answer"}, rows)
	switch n := len(now.Judges) - now.HandedIn; {
	case now.Closing != nil:
		p.linef("Closed%s. pourpath panel result tells what was found.%s", after(" by ", now.Closing.By), after(" ", now.Closing.Note))
	case n > 0:
		p.linef("Open: %d of %d judges have not handed in.", n, len(now.Judges))
	default:
		p.linef("Open: all have handed in. pourpath panel close ends the session.")
	}
}

func handedIn(j panel.SessionJudge) string {
	switch j.Source {
	case record.ByLink:
		return "yes"
	case record.BySheet:
		return "on paper"
	}
	return "no"
}

// askedFor says how judges answer.
func askedFor(f record.PanelFields) string {
	most := map[record.PanelMost]string{record.MostPreferred: "liked most", record.MostDeep: "deepest colour", record.MostClose: "closest to the reference"}[f.Most]
	if f.Answer == record.ByScores {
		return fmt.Sprintf("scores from %g to %g: %s", f.Scale.From, f.Scale.To, most)
	}
	if f.TiesAllowed() {
		return "ranks, which may be shared; 1: " + most
	}
	return "ranks; 1: " + most
}

// links are told once.
func (p *page) links(list []panel.JudgeLink, at string) {
	p.linef("Links, told this once:")
	if at == "" {
		p.linef("Put in front of each the address at which judges reach the service that pourpath serve runs on these records, such as https://192.168.1.20:8420; --at prints it so.")
	}
	for _, l := range list {
		p.linef("  %s  %s", l.Name, strings.TrimSuffix(at, "/")+l.Path)
	}
}

// entered is a sheet that was typed.
func (p *page) entered(judge string, a record.PanelAnswer, again bool) {
	if again {
		p.linef("This stands already as the answer of %s (%s).", judge, a.ID)
		return
	}
	p.linef("Recorded as the answer of %s (%s).", judge, a.ID)
	if a.AfterClosing {
		p.linef("It is marked as corrected after the codes were known.")
	}
}

// pWords writes a probability by chance alone; none is 0.
func pWords(p float64, by string) string {
	how := map[string]string{"exact": "exact", "simulation": "by simulation"}[by]
	if p < 0.001 {
		return "p < 0.001, " + how
	}
	return fmt.Sprintf("p = %.3f, %s", p, how)
}

// testNames are what tests are called.
var testNames = map[string]string{"friedman": "Friedman", "durbin": "Durbin", "skillings_mack": "Skillings and Mack"}

// outcome is what a panel found.
func (p *page) outcome(o panel.Outcome) {
	p.linef("%s%s", o.Question, after("  ", o.Name))
	d := o.Difference
	verdict := "No difference was found"
	if d.Found {
		verdict = "The glasses differ"
	}
	p.linef("%s (%s: chi-square %.2f, %d degrees of freedom, %s).", verdict, testNames[d.Test], d.Statistic, d.Degrees, pWords(d.P, d.By))
	if t := o.Trend; t != nil {
		verdict = "No trend along the dose was found"
		switch {
		case t.Found && t.Z > 0:
			verdict = "More of the addition is put first"
		case t.Found:
			verdict = "Less of the addition is put first"
		}
		p.linef("%s (Page: L = %.1f, %s).", verdict, t.L, pWords(t.P, t.By))
	}
	p.outcomeGlasses(o)
	for _, g := range o.First() {
		p.linef("Put first of the glasses judged: %s, %s", g.Glass, doseBoth(g.DoseMLPer100ML, g.AdditionFraction))
	}
	if b := o.Preference; b != nil && b.Best != nil {
		best := b.Best.DoseMLPer100ML
		p.linef("Put first by the curve through the glasses: %s, %g %% interval %.2f to %.2f mL per 100 mL of base", doseBoth(best.Value, b.Best.AdditionFraction), 100*(1-o.Level), best.Low, best.High)
	}
	if o.Agreement != nil {
		p.linef("Agreement of %d judges: Kendall's W = %.2f", o.Judges, *o.Agreement)
	}
	if o.LeastDiff != nil {
		p.linef("Least significant difference of rank sums: %.1f", *o.LeastDiff)
	}
	var differ []string
	for _, pair := range o.Pairs {
		if pair.Differ {
			differ = append(differ, pair.Glasses[0]+" and "+pair.Glasses[1])
		}
	}
	if len(differ) > 0 {
		p.linef("These differ: %s", strings.Join(differ, "; "))
	}
	p.warnings(o.Warnings)
}

func (p *page) outcomeGlasses(o panel.Outcome) {
	heading := []string{"glass", "code", "mL per 100 mL of base", "% of the blend", "answers", "rank sum", "above others, %"}
	scored := o.Answer == record.ByScores
	if scored {
		heading = append(heading, "mean score")
	}
	rows := make([]row, len(o.Glasses))
	for i, g := range o.Glasses {
		rows[i] = row{cells: []string{
			g.Glass, g.Code, fmt.Sprintf("%.2f", g.DoseMLPer100ML), fmt.Sprintf("%.2f", 100*g.AdditionFraction), fmt.Sprint(g.Answers), fmt.Sprintf("%g", g.RankSum),
			fmt.Sprintf("%.0f (%.0f to %.0f)", 100*g.Share.Value, 100*g.Share.Low, 100*g.Share.High),
		}}
		if scored {
			rows[i].cells = append(rows[i].cells, fmt.Sprintf("%.1f (%.1f to %.1f)", g.Score.Value, g.Score.Low, g.Score.High))
		}
	}
	p.table(heading, rows)
}

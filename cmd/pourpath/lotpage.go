package main

import (
	"fmt"
	"strings"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

// minute is a time as tables have it, in the time of this machine.
func minute(i record.Instant) string { return i.Local().Format("2006-01-02 15:04") }

// lots is the list.
func (p *page) lots(list []record.Lot) {
	if len(list) == 0 {
		p.linef("There is no lot yet; pourpath lot add adds one.")
		return
	}
	for _, l := range list {
		bottled := "no bottling date"
		if l.BottledAt != nil {
			bottled = "bottled " + l.BottledAt.Local().Format(time.DateOnly)
		}
		p.linef("%s  %s  %s%s", l.ID, l.Name, bottled, after("  ", l.Product))
	}
}

// lot is a lot with the newest verdicts on its samples.
func (p *page) lot(lot release.LotAnswer, spec record.Spec, newest []record.Verdict) {
	p.linef("%s  %s", lot.ID, lot.Name)
	if lot.ArchivedAt != nil {
		p.linef("Archived: it takes no more samples.")
	}
	p.linef("Held against %s, version %d (%s)", orWord(spec.Name, spec.ID), spec.Version, strings.Join(parts(spec), ", "))
	if lot.BottledAt != nil {
		p.linef("Bottled: %s", minute(*lot.BottledAt))
	}
	for _, b := range lot.Bottlings {
		p.linef("  bottled %s, as %s told %s%s", minute(b.BottledAt), b.By, minute(b.RecordedAt), after(": ", b.Reason))
	}
	p.warnings(lot.Warnings)
	if said := after("Product: ", lot.Product) + after("  Notes: ", lot.Notes); said != "" {
		p.linef("%s", strings.TrimSpace(said))
	}
	of := map[string]record.Verdict{}
	for _, v := range newest {
		of[v.SampleID] = v
	}
	p.samples(lot, of)
	p.advice(lot.Run)
	if lot.Decision == nil {
		p.linef("Nothing was decided yet.")
		return
	}
	p.decisions([]record.Decision{*lot.Decision})
}

// samples are those of a lot, with the newest verdict on each.
func (p *page) samples(lot release.LotAnswer, newest map[string]record.Verdict) {
	if len(lot.Samples) == 0 {
		p.linef("No sample was judged yet.")
		return
	}
	rows := make([]row, len(lot.Samples))
	for i, sample := range lot.Samples {
		v := newest[sample.ID]
		c := v.Colour.CIELAB
		rows[i] = row{hex: srgb(v.Colour), cells: []string{
			minute(sample.At()), orWord(string(sample.Stage), "-"), orWord(sample.Instrument, "-"), fmt.Sprintf("%.1f", c.L), fmt.Sprintf("%.2f", c.A), fmt.Sprintf("%.2f", c.B),
			v.Verdict, fixed(v.Probability, 3), fmt.Sprint(v.SpecVersion), sample.ID,
		}}
	}
	p.table([]string{"read", "stage", "instrument", "L*", "a*", "b*", "newest verdict", "probability", "by version", "sample"}, rows)
	if lot.Next != "" {
		p.linef("These are the first %d samples; pourpath lot verdicts %s has the verdicts on all.", len(lot.Samples), lot.ID)
	}
}

// sample is a sample that was judged, and what it says of the run; advice is nil
// for a sample that is not of it.
func (p *page) sample(sample record.Sample, advice *record.RunAdvice) {
	p.linef("Sample %s%s", sample.ID, after(", ", string(sample.Stage)))
	p.linef("By version %d of the specification; verdict %s", sample.SpecVersion, sample.VerdictID)
	showCheck(p, calc.CheckRequest{}, sample.CheckResponse)
	if advice != nil {
		p.advice(*advice)
	}
}

// advice is what the newest samples say of the run.
func (p *page) advice(a record.RunAdvice) {
	words := map[string]string{"stop": "STOP", "go_on": "go on"}
	if a.Advice == "none" {
		p.linef("Bottling run: %s", a.Reason)
		return
	}
	p.linef("Bottling run: %s. %s", words[a.Advice], a.Reason)
}

// verdicts is a list of verdicts.
func (p *page) verdicts(list []record.Verdict) {
	if len(list) == 0 {
		p.linef("No sample was judged yet.")
		return
	}
	rows := make([]row, len(list))
	for i, v := range list {
		rows[i].cells = []string{minute(v.DecidedAt), v.Verdict, fixed(v.Probability, 3), fmt.Sprint(v.SpecVersion), v.Program, v.SampleID, v.VerdictID}
	}
	p.table([]string{"judged", "verdict", "probability", "by version", "program", "sample", "identifier"}, rows)
}

// again is what judging again came to.
func (p *page) again(a release.Again) {
	rows := make([]row, len(a.Items))
	for i, v := range a.Items {
		changed := ""
		if v.Changed {
			changed = "changed"
		}
		rows[i].cells = []string{v.SampleID, v.Was, v.Verdict.Verdict, fixed(v.Probability, 3), changed}
	}
	p.table([]string{"sample", "was", "is", "probability", ""}, rows)
	p.linef("%d judged, %d changed. The verdicts before stay.", len(a.Items), a.Changed)
}

// decisions is a list of decisions.
func (p *page) decisions(list []record.Decision) {
	if len(list) == 0 {
		p.linef("Nothing was decided yet.")
		return
	}
	for _, d := range list {
		when := d.RecordedAt
		if d.At != nil {
			when = *d.At
		}
		rests := "on no verdict"
		switch n := len(d.Verdicts); n {
		case 0:
		case 1:
			rests = "on one verdict"
		default:
			rests = fmt.Sprintf("on %d verdicts", n)
		}
		p.linef("%s by %s, %s, %s%s", strings.ToUpper(d.Decision[:1])+d.Decision[1:], d.By, minute(when), rests, after(": ", d.Reason))
	}
}

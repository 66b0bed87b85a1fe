package bench

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// Report is the report of a trial as its log stands, with the chosen dose in litres
// where a size is given; its trim is left out. The error is a *calc.Problem at fault
// with the size, record.ErrNotFound, or another of the records'.
func (b *Bench) Report(ctx context.Context, id string, size *WorkOrderRequest) (sheet.Trial, error) {
	p, err := b.papers(ctx, id)
	if err != nil {
		return sheet.Trial{}, err
	}
	out := sheet.Trial{Head: p.head(), BaseML: p.trial.BaseML, Log: p.log(), Notes: p.notes(), Warnings: p.reportWarnings()}
	if out.Wines, err = p.wines(); err != nil {
		return out, err
	}
	for _, step := range []func(*sheet.Trial) error{p.figure, p.measured, p.choice, p.final} {
		if err := step(&out); err != nil {
			return out, err
		}
	}
	panels, sentences, err := b.panels.In(b.texts).Reported(ctx, p.trial, p.now.Location())
	if err != nil {
		return out, err
	}
	out.Panels, out.Warnings = panels, append(out.Warnings, sentences...)
	if size != nil {
		out.ScaleUp, err = p.scaleUp(ctx, b, *size)
	}
	return out, err
}

// scaleUp is the chosen dose in litres.
func (p papers) scaleUp(ctx context.Context, b *Bench, size WorkOrderRequest) (*sheet.Volumes, error) {
	o, err := p.orderer(size)
	if err != nil {
		return nil, err
	}
	for _, step := range []func(context.Context, *Bench) error{o.wines, o.scale} {
		if err := step(ctx, b); err != nil {
			return nil, err
		}
	}
	return &o.out.Volumes, nil
}

func (p papers) reportWarnings() []string {
	lists := [][]calc.Warning{p.answer.Warnings}
	if p.answer.Ladder != nil {
		lists = append(lists, p.ofRungs(p.answer.Ladder.Warnings))
	}
	for _, e := range p.answer.Measurements {
		if e.UndoneBy == 0 {
			lists = append(lists, e.Warnings)
		}
	}
	for _, w := range p.finalWarnings() {
		if w.Code == "not_clear" { // the rest is in the section of the final check
			lists = append(lists, []calc.Warning{w})
		}
	}
	return append(p.sentences(lists...), p.asked()...)
}

// ofRungs leaves out that a rung is off the path where its reading says so by its
// glass.
func (p papers) ofRungs(list []calc.Warning) []calc.Warning {
	for _, e := range p.answer.Measurements {
		if slices.ContainsFunc(e.Warnings, func(w calc.Warning) bool { return w.Code == "off_path" }) {
			return slices.DeleteFunc(slices.Clone(list), func(w calc.Warning) bool { return w.Code == "rung_off_path" })
		}
	}
	return list
}

// asked is what is asked of pours and withdrawals, by their number.
func (p papers) asked() []string {
	var out []string
	for _, e := range p.answer.Entries {
		for _, w := range e.Warnings {
			if e.UndoneBy == 0 {
				out = append(out, reports.Fill(p.texts.Told.Entry, "no", strconv.Itoa(e.No), "message", p.texts.Said(w.Message)))
			}
		}
	}
	return out
}

// finalWarnings are what the final check of the choice still lacks, or what was
// seen.
func (p papers) finalWarnings() []calc.Warning {
	if p.answer.FinalCheck == nil {
		return nil
	}
	last := slices.Max(p.answer.FinalCheck.Entries)
	for _, e := range p.answer.FinalChecks {
		if e.No == last {
			return e.Warnings
		}
	}
	return nil
}

// longestName is what a figure has room for, in characters.
const longestName = 400

// figure is the picture of the ladder, where anything was poured.
func (p papers) figure(out *sheet.Trial) error {
	if p.question == nil {
		return nil
	}
	q := *p.question
	q.DosesML = slices.Compact(slices.Sorted(slices.Values(q.DosesML))) // glasses that are alike are one rung
	if q.DosesML[len(q.DosesML)-1] == 0 {
		return nil
	}
	f, err := calc.LadderFigure(q, "", &p.texts.Figures)
	if err != nil {
		return err
	}
	f.Title, f.Version = out.Trial, "" // the page's foot has the version
	for _, name := range []*string{&f.Title, &f.Base, &f.Addition} {
		if r := []rune(*name); len(r) > longestName {
			*name = string(r[:longestName]) + "…"
		}
	}
	out.Figure = &f
	return nil
}

// log are the pours, withdrawals and counter-entries, in the order of the log.
func (p papers) log() []sheet.LogRow {
	var out []sheet.LogRow
	for _, e := range p.answer.Entries {
		row := sheet.LogRow{
			No: e.No, Time: p.done(e.LogEntry), Glass: e.Glass, Tool: e.Tool, Who: e.Who, TotalML: e.PouredTotalML,
			Dose: doseOf(e.Content), Undone: e.UndoneBy != 0,
		}
		if e.VolumeML != nil {
			row.VolumeML = *e.VolumeML
		}
		if e.StatedTotalML != nil {
			row.Note = reports.Fill(p.texts.Told.TotalStated, "ml", p.texts.Figures.Significant(*e.StatedTotalML, 6))
		}
		if len(e.Warnings) > 0 && e.UndoneBy == 0 {
			row.Note = strings.TrimPrefix(row.Note+" "+p.texts.Told.SeeMind, " ")
		}
		switch e.Kind {
		case record.Pour:
			row.Deed, row.Wine = sheet.PourAddition, p.additionName()
		case record.Withdrawal:
			row.Deed = sheet.TakeOut
			row.Note = strings.TrimSpace(p.texts.Told.Whys[e.Why] + " " + row.Note)
		case record.Undo:
			row.Deed, row.Of = sheet.TakeBack, e.Undoes
			row.Note = strings.TrimSpace(e.Why + " " + row.Note)
		}
		out = append(out, row)
	}
	return out
}

// measured holds each reading against the path before and after all of them.
func (p papers) measured(out *sheet.Trial) error {
	for _, e := range p.answer.Measurements {
		row := sheet.MeasuredRow{
			No: e.No, Glass: e.Glass, Dose: doseOf(e.Content), Minutes: e.MinutesSinceBlending, Celsius: e.TemperatureC, Undone: e.UndoneBy != 0,
		}
		for _, w := range e.Warnings {
			row.Outlier = row.Outlier || w.Code == "off_path"
			row.Repeat = row.Repeat || w.Code == "read_again_next_day"
		}
		colour, _, err := drawn(calc.ShowWine(e.Measurement.Wine("glass "+e.Glass), p.trial.View))
		if err != nil {
			return err
		}
		if colour == nil {
			continue // what makes no colour is refused when it is recorded
		}
		row.Measured = *colour
		if p.known != nil && !row.Undone {
			if !p.known.Unread {
				if row.Predicted, _, err = drawn(p.known.Before(e.DoseMLPer100ML)); err != nil {
					return err
				}
			}
			if len(p.known.Measured) > 0 {
				if row.Learned, _, err = p.at(e.DoseMLPer100ML); err != nil {
					return err
				}
			}
		}
		out.Measured = append(out.Measured, row)
	}
	return nil
}

func (p papers) notes() []sheet.NoteRow {
	var out []sheet.NoteRow
	for _, e := range p.answer.Notes {
		dose := doseOf(e.Content)
		out = append(out, sheet.NoteRow{
			Glass: e.Glass, Dose: &dose, Score: e.Score, Scale: e.Scale, Note: e.Note, Who: e.Who, Undone: e.UndoneBy != 0,
		})
	}
	return out
}

func (p papers) choice(out *sheet.Trial) error {
	c := p.progress.Choice
	if c == nil {
		return nil
	}
	k := &sheet.Choice{Dose: doseOf(c.Content), Glass: c.Glass, Who: c.Who}
	for line := range strings.Lines(c.Reasons) {
		if line = strings.TrimSpace(line); line != "" {
			k.Reasons = append(k.Reasons, line)
		}
	}
	out.Choice = k
	if k.Dose.MLPer100ML > 0 && len(p.trial.Held) == 0 {
		one := 1.0
		litre, err := calc.Scale(calc.ScaleRequest{Dose: k.Dose.MLPer100ML, BaseL: &one})
		if err != nil {
			return err
		}
		k.PerLitre = &sheet.PerLitre{BaseML: litre.PerLBase, BlendML: litre.PerLBlend}
	}
	if p.known == nil || p.known.Target == nil {
		return nil
	}
	rungs, err := p.known.Rungs([]float64{c.DoseMLPer100ML * p.trial.BaseML / 100})
	if err != nil {
		return err
	}
	if d := rungs[0].Difference; d != nil {
		k.DeltaE00 = d.DeltaE00
	}
	if n := p.answer.Ladder.Nearest; n != nil && !n.AtEndOfLadder {
		k.Nearest = &n.DoseMLPer100ML
		if n.DoseInterval95 != nil {
			i := sheet.Interval(*n.DoseInterval95)
			k.Interval95 = &i
		}
	}
	return nil
}

// final is what has become of the final check of the choice.
func (p papers) final(out *sheet.Trial) error {
	c := p.answer.FinalCheck
	if c == nil {
		return nil
	}
	f := &sheet.FinalCheck{VolumeML: c.Volume}
	for _, e := range p.answer.FinalChecks {
		if e.VolumeML != nil && slices.Contains(c.Entries, e.No) {
			f.Poured, f.Who = p.done(e.LogEntry), e.Who
		}
	}
	if c.Measurement != (record.Measurement{}) {
		var err error
		if f.Reading, _, err = drawn(calc.ShowWine(c.Measurement.Wine("final check"), p.trial.View)); err != nil {
			return err
		}
		if c.Difference != nil {
			f.DeltaE00 = c.Difference.DeltaE00
		}
	}
	if l := c.LookedAgain; l != nil {
		// To have looked again is to have looked after a night in the cold.
		f.KeptCold, f.LookedAgain, f.Seen = c.Overnight, c.Overnight, p.texts.Told.StayedClear
		if !l.Clear {
			f.Seen = p.texts.Told.NotClear
		}
		if l.Note != "" {
			f.Seen += p.texts.Figures.Shared.Colon + l.Note
		}
	}
	out.Final = f
	return nil
}

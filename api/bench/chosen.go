package bench

import (
	"context"
	"strconv"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/cie"
	"pourpath/reports"
)

// Chosen is the colour of the dose that was chosen in a trial, as well as it is
// known.
type Chosen struct {
	// Target is what was read of it, or the predicted colour in View; it has no
	// tolerance.
	Target calc.Target
	View   cie.View
	// Words say which of them it is.
	Words string
	// Entry identifies the log entry with the reading; empty for a prediction.
	Entry string
}

// Chosen returns the colour of a trial's chosen dose. The error is a
// *calc.Problem where none was chosen or nothing is known of its colour;
// record.ErrNotFound where there is no such trial.
func (b *Bench) Chosen(ctx context.Context, id string) (Chosen, error) {
	p, err := b.papers(ctx, id)
	if err != nil {
		return Chosen{}, err
	}
	if p.progress.Choice == nil {
		return Chosen{}, refuse("", id, "no dose was chosen in this trial yet: choose one, or give a target")
	}
	target, words, entry, err := p.aim()
	if err != nil {
		return Chosen{}, err
	}
	target.Tolerance = nil
	return Chosen{Target: *target, View: p.trial.View.Core(), Words: words, Entry: entry}, nil
}

// aim is the colour of the chosen dose, as well as it is known, what it is, and
// the entry that has it. It is not the trial's target: whoever chose may have
// wanted something else.
func (p papers) aim() (target *calc.Target, words, entry string, err error) {
	c := p.progress.Choice
	out := &calc.Target{}
	if t := p.trial.Target; t != nil && t.Intensity == nil {
		out.Tolerance = t.Tolerance
	}
	if f := p.progress.FinalCheck; f != nil && f.Measurement != (record.Measurement{}) {
		wine := f.Measurement.Wine("final check")
		out.Wine = &wine
		return out, p.texts.Told.AimChecked, p.checkEntry(f), nil
	}
	for i := len(p.progress.Log) - 1; i >= 0; i-- {
		e := p.progress.Log[i]
		if e.Kind == record.Measuring && e.UndoneBy == 0 && e.Glass == c.Glass && sameDose(e.Content, c.Content) {
			wine := e.Measurement.Wine("glass " + e.Glass)
			out.Wine = &wine
			return out, reports.Fill(p.texts.Told.AimGlass, "glass", e.Glass, "no", strconv.Itoa(e.No)), e.ID, nil
		}
	}
	if p.known == nil {
		return nil, "", "", refuse("", nil, "nothing is known of the colour of the chosen dose: it was not read, and nothing was read of the wines to predict it from")
	}
	shown, err := p.known.At(c.DoseMLPer100ML)
	if err != nil {
		return nil, "", "", err
	}
	out.CIELAB = &calc.TargetColour{L: shown.Lab.L, A: shown.Lab.A, B: shown.Lab.B}
	return out, p.texts.Told.AimPredicted, "", nil
}

// checkEntry identifies the entry with the reading of a final check.
func (p papers) checkEntry(f *record.FinalCheck) string {
	for i := len(f.Entries) - 1; i >= 0; i-- {
		if e := p.progress.Log[f.Entries[i]-1]; e.Measurement == f.Measurement {
			return e.ID
		}
	}
	return ""
}

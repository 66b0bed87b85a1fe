package bench

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
)

// mayBeUnread is the cellar of trials: a wine that nothing was read of yet has
// only a name, and the trial is kept without a ladder.
type mayBeUnread struct{ *store.Store }

func (m mayBeUnread) StoredWine(ctx context.Context, id string) (calc.StoredWine, error) {
	stored, err := m.Store.StoredWine(ctx, id)
	if !errors.Is(err, calc.ErrNoReading) {
		return stored, err
	}
	wine, err := m.Store.Wine(ctx, id)
	return calc.StoredWine{Wine: calc.Wine{Name: wine.Name}, ReadingIDs: []string{}}, err
}

// Begin keeps a new trial, with the data of the stored wines and the target that
// it names as they are now.
func (b *Bench) Begin(ctx context.Context, asked record.TrialBody) (TrialAnswer, error) {
	t, err := b.begun(ctx, asked)
	if err != nil {
		return TrialAnswer{}, err
	}
	return b.shown(b.store.CreateTrial(ctx, t))
}

// place is where in a request a wine of a trial stands.
type place struct {
	at   string
	wine *record.TrialWine
}

// begun is the trial that a body asks for, with the data of what it names.
func (b *Bench) begun(ctx context.Context, asked record.TrialBody) (record.Trial, error) {
	t := record.Trial{TrialFields: asked.TrialFields, Glasses: asked.Glasses}
	t.Held = slices.Clone(t.Held)
	places := []place{{"/base", &t.Base}, {"/addition", &t.Addition}}
	for i := range t.Held {
		places = append(places, place{fmt.Sprintf("/held/%d/wine", i), &t.Held[i].Wine})
	}
	var f calc.Faults
	for _, p := range places {
		if p.wine.ID == "" {
			continue
		}
		in := calc.Wine{Name: p.wine.Name, ID: &p.wine.ID}
		used, err := calc.LookupWine(ctx, mayBeUnread{b.store}, p.at, &in, &f)
		if err != nil {
			return t, err
		}
		p.wine.Name, p.wine.Readings, p.wine.Spectrum, p.wine.CIELAB = in.Name, in.Readings, in.Spectrum, in.CIELAB
		t.ReadingsUsed = append(t.ReadingsUsed, used...)
	}
	used, err := calc.LookupTarget(ctx, b.store, "/target", t.Target, &f)
	if err := errors.Join(err, f.Err()); err != nil {
		return t, err
	}
	t.ReadingsUsed = append(t.ReadingsUsed, used...)
	for _, p := range places {
		if p.wine.Known() {
			calc.CheckForBlend(p.at, p.wine.Wine(), &f)
		}
	}
	calc.CheckTarget(t.Target, t.View, &f)
	if t.Tools != nil {
		t.Tools = calc.WholeTools("/tools", t.Tools, &f)
	}
	t.TargetID = record.CopyTarget(t.Target)
	return t, f.Err()
}

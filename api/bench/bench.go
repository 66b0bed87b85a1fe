// Package bench is what a trial is to whoever works with it: it begins trials of
// stored wines, adds to their logs, answers with the ladder as it is known by
// then, and plans what to pour next. The API, the pages and the command line show
// what it answers.
package bench

import (
	"context"
	"time"

	lru "github.com/hashicorp/golang-lru/v2"

	"pourpath/api/panel"
	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/reports"
)

// Bench answers about the trials of a store. It may be used concurrently once its
// fields are set.
type Bench struct {
	// Version is the program's, for documents; empty leaves it out.
	Version string
	// Now is the clock that documents are dated by, in the zone that they show times
	// in. New sets that of this machine.
	Now func() time.Time

	store  *store.Store
	panels *panel.Panels
	// answers are remembered by the trial and the length of its log: but for being
	// archived, a trial changes only by a further entry.
	answers *lru.Cache[string, TrialAnswer]
	figures *lru.Cache[string, reports.LadderFigure] // likewise
}

// remembered is how many: more than the longest page of a list has. Of figures as
// many as trials that are worked at.
const remembered, rememberedFigures = 1024, 64

// New returns the bench of a store.
func New(s *store.Store) *Bench {
	answers, err := lru.New[string, TrialAnswer](remembered)
	if err != nil { // only for a size below 1
		panic(err)
	}
	figures, err := lru.New[string, reports.LadderFigure](rememberedFigures)
	if err != nil {
		panic(err)
	}
	return &Bench{Now: time.Now, store: s, panels: panel.New(s), answers: answers, figures: figures}
}

// Trial returns a trial; record.ErrNotFound where there is none.
func (b *Bench) Trial(ctx context.Context, id string) (TrialAnswer, error) {
	return b.shown(b.store.Trial(ctx, id))
}

// Trials lists trials.
func (b *Bench) Trials(ctx context.Context, p record.Page) ([]TrialAnswer, error) {
	trials, err := b.store.Trials(ctx, p)
	if err != nil {
		return nil, err
	}
	out := make([]TrialAnswer, len(trials))
	for i, t := range trials {
		if out[i], err = b.show(t); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Named lists trials as they are recorded, without what they have come to.
func (b *Bench) Named(ctx context.Context, p record.Page) ([]record.Trial, error) {
	return b.store.Trials(ctx, p)
}

// Archive takes a trial out of lists.
func (b *Bench) Archive(ctx context.Context, id string) (TrialAnswer, error) {
	return b.shown(b.store.ArchiveTrial(ctx, id))
}

// Add adds an entry to a trial's log and returns it with what its glass then
// holds. The error is a *calc.Problem where the glasses cannot take it, or one of
// the records'.
func (b *Bench) Add(ctx context.Context, id string, e record.LogEntry) (record.Logged, error) {
	trial, err := b.store.AddEntry(ctx, id, e)
	if err != nil {
		return record.Logged{}, err
	}
	last, err := trial.Last()
	if err == nil && (last.Kind == record.Pour || last.Kind == record.Undo) {
		err = b.judged(ctx, &last, id)
	}
	if err != nil || last.Kind != record.Measuring {
		return last, err
	}
	progress, err := trial.Progress()
	if err != nil {
		return last, err
	}
	asked, err := strays(trial, progress)
	last.Warnings = append(last.Warnings, asked[last.No]...)
	return last, err
}

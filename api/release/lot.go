package release

import (
	"context"
	"errors"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// LotAnswer is a lot with its samples, and what is known of it by them.
type LotAnswer struct {
	record.Lot
	Samples  []record.Sample  `json:"samples" doc:"The first 100 samples with their verdicts, in the order in which they were recorded."`
	Next     string           `json:"next,omitempty" doc:"Cursor for the samples after those, at /v1/lots/{id}/samples."`
	Run      record.RunAdvice `json:"run" doc:"What the newest samples of the bottling run say of going on."`
	Decision *record.Decision `json:"decision,omitempty" doc:"The newest decision about the lot; absent where none was made."`
	Warnings []calc.Warning   `json:"warnings,omitempty" doc:"What must be known of the lot: that another version of its specification holds when it is bottled."`
}

// samplesWithLot is how many samples a lot is answered with, and runSamples how
// many of a run's newest ones its rules go by.
const samplesWithLot, runSamples = 100, 3

// AddLot begins a lot.
func (r *Release) AddLot(ctx context.Context, body record.LotBody) (LotAnswer, error) {
	return r.shown(ctx)(r.store.CreateLot(ctx, body))
}

// Lot returns a lot; record.ErrNotFound where there is none.
func (r *Release) Lot(ctx context.Context, id string) (LotAnswer, error) {
	return r.shown(ctx)(r.store.Lot(ctx, id))
}

// ArchiveLot takes a lot out of lists.
func (r *Release) ArchiveLot(ctx context.Context, id string) (LotAnswer, error) {
	return r.shown(ctx)(r.store.ArchiveLot(ctx, id))
}

// Lots lists lots.
func (r *Release) Lots(ctx context.Context, p record.Page) ([]LotAnswer, error) {
	lots, err := r.store.Lots(ctx, p)
	if err != nil {
		return nil, err
	}
	out := make([]LotAnswer, len(lots))
	for i, lot := range lots {
		if out[i], err = r.show(ctx, lot); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (r *Release) shown(ctx context.Context) func(record.Lot, error) (LotAnswer, error) {
	return func(lot record.Lot, err error) (LotAnswer, error) {
		if err != nil {
			return LotAnswer{}, err
		}
		return r.show(ctx, lot)
	}
}

func (r *Release) show(ctx context.Context, lot record.Lot) (LotAnswer, error) {
	samples, err := r.store.SamplesOf(ctx, lot.ID, record.Page{Limit: samplesWithLot + 1})
	if err != nil {
		return LotAnswer{}, err
	}
	out := LotAnswer{Lot: lot, Samples: samples}
	newest := samples
	if len(samples) > samplesWithLot {
		out.Samples, out.Next = samples[:samplesWithLot], samples[samplesWithLot-1].ID
		if newest, err = r.store.RunSamples(ctx, lot.ID, runSamples); err != nil {
			return out, err
		}
	}
	out.Run = record.Run(newest)
	if out.Warnings, err = r.Doubts(ctx, lot); err != nil {
		return out, err
	}
	if err := r.MarkSamples(ctx, out.Samples); err != nil {
		return out, err
	}
	out.Decision, err = r.store.DecisionOf(ctx, lot.ID)
	return out, err
}

// Run is what the newest samples of a lot's bottling run say of going on.
func (r *Release) Run(ctx context.Context, lotID string) (record.RunAdvice, error) {
	newest, err := r.store.RunSamples(ctx, lotID, runSamples)
	if err != nil {
		return record.RunAdvice{}, err
	}
	return record.Run(newest), nil
}

// Decide keeps a decision about a lot. The error is a *calc.Problem where it does
// not rest on what it says it does.
func (r *Release) Decide(ctx context.Context, lotID string, body record.DecisionBody) (record.Decision, error) {
	lot, err := r.store.Lot(ctx, lotID)
	if err != nil {
		return record.Decision{}, err
	}
	var f calc.Faults
	if body.At != nil && body.At.Ahead(r.store.Now()) {
		f.Addf("/at", body.At.String(), "this lies in the future: it is %s now", r.store.Now())
	}
	for i, id := range body.Verdicts {
		verdict, err := r.store.Verdict(ctx, id)
		switch {
		case errors.Is(err, record.ErrNotFound), err == nil && verdict.LotID != lotID:
			f.Addf(pointer("/verdicts", i), id, "this lot has no such verdict")
		case err != nil:
			return record.Decision{}, err
		}
	}
	if body.Decision == "released" && strings.TrimSpace(body.Reason) == "" {
		open, err := r.withoutPass(ctx, lotID)
		if err != nil {
			return record.Decision{}, err
		}
		if open > 0 {
			f.Addf("/reason", nil, "the newest verdict on %d of the lot's samples is no pass: say why the lot is released all the same", open)
		}
	}
	if err := f.Err(); err != nil {
		return record.Decision{}, err
	}
	var made record.Decision
	err = r.Hook.InOrder(func() error {
		before, err := r.store.DecisionOf(ctx, lotID)
		if err != nil {
			return err
		}
		if made, err = r.store.AddDecision(ctx, lotID, body); err == nil {
			r.tellDecision(lot, made, before)
		}
		return err
	})
	return made, err
}

// withoutPass counts the samples of a lot whose newest verdict is no pass.
func (r *Release) withoutPass(ctx context.Context, lotID string) (count int, err error) {
	seen := map[string]bool{}
	for after := ""; ; {
		page, err := r.store.VerdictsOf(ctx, lotID, record.Page{After: after, Limit: verdictsAtOnce, Newest: true})
		if err != nil {
			return count, err
		}
		for _, v := range page {
			after = v.VerdictID
			if !seen[v.SampleID] && v.Verdict != "pass" {
				count++
			}
			seen[v.SampleID] = true
		}
		if len(page) < verdictsAtOnce {
			return count, nil
		}
	}
}

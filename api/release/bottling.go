package release

import (
	"context"
	"fmt"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// Bottled records when a lot was bottled, after the version of it that the caller has
// seen. The error is a *calc.Problem where that contradicts its samples.
func (r *Release) Bottled(ctx context.Context, lotID string, seen int64, body record.BottlingBody) (LotAnswer, error) {
	var f calc.Faults
	for after := ""; ; {
		page, err := r.store.SamplesOf(ctx, lotID, record.Page{After: after, Limit: samplesWithLot})
		if err != nil {
			return LotAnswer{}, err
		}
		for _, s := range page {
			after = s.ID
			if s.Stage != "" && s.At().Precedes(body.BottledAt) && f.Err() == nil {
				f.Addf("/bottled_at", body.BottledAt.String(), "a sample of the stage %q was taken from bottles at %s, before that: give the right time, or begin another lot", s.Stage, s.At())
			}
		}
		if len(page) < samplesWithLot {
			break
		}
	}
	if err := f.Err(); err != nil {
		return LotAnswer{}, err
	}
	return r.shown(ctx)(r.store.AddBottling(ctx, lotID, seen, body))
}

// Doubts are what must be known of a lot's specification: that another version holds when
// the lot is bottled than it was given when it was set up.
func (r *Release) Doubts(ctx context.Context, lot record.Lot) ([]calc.Warning, error) {
	if len(lot.Bottlings) == 0 {
		return nil, nil
	}
	versions, err := r.store.SpecVersions(ctx, lot.Spec)
	if err != nil {
		return nil, err
	}
	spec, ok := record.VersionAt(versions, *lot.BottledAt)
	if ok && spec.Version == lot.SpecVersion {
		return nil, nil
	}
	message := fmt.Sprintf("Version %d of the specification holds when the lot is bottled, and the lot keeps version %d, which it was given when it was set up: judge its samples again by the other one where that is meant.", spec.Version, lot.SpecVersion)
	if !ok {
		message = fmt.Sprintf("No version of the specification holds when the lot is bottled; the lot keeps version %d, which it was given when it was set up.", lot.SpecVersion)
	}
	return []calc.Warning{{Code: "other_version", Message: message}}, nil
}

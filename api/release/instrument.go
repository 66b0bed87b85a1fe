package release

import (
	"context"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// AddCheck keeps a check of an instrument.
func (r *Release) AddCheck(ctx context.Context, body record.InstrumentCheckBody) (record.InstrumentCheck, error) {
	now := r.store.Now()
	var f calc.Faults
	at := now
	if body.CheckedAt != nil {
		at = *body.CheckedAt
		if at.Ahead(now) {
			f.Addf("/checked_at", at.String(), "this lies in the future: it is %s now", now)
		}
	}
	if due := body.NextDue; due != nil && due.Precedes(at) {
		f.Addf("/next_due", due.String(), "the next check is due before this one was made, at %s", at)
	}
	if err := f.Err(); err != nil {
		return record.InstrumentCheck{}, err
	}
	return r.store.AddInstrumentCheck(ctx, body)
}

// OfReading are the warnings on a reading that follow from the checks of its
// instrument: those that were known when it was taken, and what came out since.
func (r *Release) OfReading(ctx context.Context, reading record.Reading) ([]calc.Warning, error) {
	before, err := r.store.ChecksAt(ctx, reading.Instrument, reading.At())
	if err != nil {
		return nil, err
	}
	later, err := r.later(ctx, reading.Instrument, reading.At())
	return append(record.InstrumentWarnings(before, reading.At()), later...), err
}

// later are the warnings on what was read with an instrument at a moment that
// came out since.
func (r *Release) later(ctx context.Context, instrument string, at record.Instant) ([]calc.Warning, error) {
	after, err := r.store.ChecksAfter(ctx, instrument, at)
	if err != nil || len(after) == 0 {
		return nil, err
	}
	before, err := r.store.ChecksAt(ctx, instrument, at)
	return record.LaterWarnings(before, after, at), err
}

// MarkSamples sets the later warnings of samples that are shown.
func (r *Release) MarkSamples(ctx context.Context, list []record.Sample) (err error) {
	for i := range list {
		if list[i].Later, err = r.later(ctx, list[i].Instrument, list[i].At()); err != nil {
			return err
		}
	}
	return nil
}

// Sample returns a sample as it is shown; record.ErrNotFound where there is none.
func (r *Release) Sample(ctx context.Context, id string) (record.Sample, error) {
	list := make([]record.Sample, 1)
	var err error
	if list[0], err = r.store.Sample(ctx, id); err == nil {
		err = r.MarkSamples(ctx, list)
	}
	return list[0], err
}

// Samples lists the samples of a lot as they are shown.
func (r *Release) Samples(ctx context.Context, lotID string, p record.Page) ([]record.Sample, error) {
	list, err := r.store.SamplesOf(ctx, lotID, p)
	if err == nil {
		err = r.MarkSamples(ctx, list)
	}
	return list, err
}

// MarkVerdicts sets the later warnings of verdicts that are shown.
func (r *Release) MarkVerdicts(ctx context.Context, list []record.Verdict) error {
	of := map[string][]calc.Warning{}
	for i := range list {
		id := list[i].SampleID
		later, known := of[id]
		if !known {
			sample, err := r.Sample(ctx, id)
			if err != nil {
				return err
			}
			later = sample.Later
			of[id] = later
		}
		list[i].Later = later
	}
	return nil
}

// Verdict returns a verdict as it is shown; record.ErrNotFound where there is none.
func (r *Release) Verdict(ctx context.Context, id string) (record.Verdict, error) {
	list := make([]record.Verdict, 1)
	var err error
	if list[0], err = r.store.Verdict(ctx, id); err == nil {
		err = r.MarkVerdicts(ctx, list)
	}
	return list[0], err
}

// Verdicts lists the verdicts on a lot as they are shown.
func (r *Release) Verdicts(ctx context.Context, lotID string, p record.Page) ([]record.Verdict, error) {
	list, err := r.store.VerdictsOf(ctx, lotID, p)
	if err == nil {
		err = r.MarkVerdicts(ctx, list)
	}
	return list, err
}

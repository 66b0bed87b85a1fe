package release

import (
	"context"
	"errors"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// Again is what judging stored samples again came to.
type Again struct {
	Items   []AnotherVerdict `json:"items" doc:"The new verdicts, in the order of the samples."`
	Changed int              `json:"changed" doc:"How many differ from the newest verdict that the sample had before."`
}

// AnotherVerdict is a further verdict on a sample.
type AnotherVerdict struct {
	record.Verdict
	Before  string `json:"previous_verdict_id" doc:"Identifier of the newest verdict that the sample had before; it stays as it is."`
	Was     string `json:"previous_verdict" enum:"pass,fail,inconclusive" doc:"What that one was."`
	Changed bool   `json:"changed" doc:"Whether the two differ."`
}

// Judge judges stored samples of a lot again, by another version of a
// specification: each gets another verdict, and what it had stays. All samples
// are judged or none.
func (r *Release) Judge(ctx context.Context, lotID string, body record.JudgeBody) (Again, error) {
	out := Again{Items: []AnotherVerdict{}}
	lot, err := r.store.Lot(ctx, lotID)
	if err != nil {
		return out, err
	}
	spec, err := r.specOf(ctx, lot, body)
	if err != nil {
		return out, err
	}
	samples, err := r.samplesOf(ctx, lotID, body.Samples)
	if err != nil {
		return out, err
	}
	var f calc.Faults
	list := make([]record.Verdict, len(samples))
	for i, sample := range samples {
		if inConditions(sample.SampleBody, spec.View.Core(), &f); f.Err() != nil {
			return out, refuse("/samples", sample.ID, "sample %s cannot be judged by this specification: %s", sample.ID, calc.AsProblem(f.Err()).Errors[0].Message)
		}
		judgement, err := r.judge(ctx, sample.SampleBody, sample.At(), spec)
		if problem := calc.AsProblem(err); problem != nil {
			return out, refuse("/samples", sample.ID, "sample %s cannot be judged by this specification: %s", sample.ID, problem.Errors[0].Message)
		}
		if err != nil {
			return out, err
		}
		before, err := r.store.NewestVerdictOn(ctx, sample.ID)
		if err != nil {
			return out, err
		}
		list[i] = record.Verdict{LotID: lotID, SampleID: sample.ID, Judgement: judgement}
		changed := before.Verdict != judgement.Verdict
		if changed {
			out.Changed++
		}
		out.Items = append(out.Items, AnotherVerdict{Before: before.VerdictID, Was: before.Verdict, Changed: changed})
	}
	err = r.Hook.InOrder(func() error {
		if list, err = r.store.AddVerdicts(ctx, list); err != nil {
			return err
		}
		for i := range list {
			out.Items[i].Verdict = list[i]
			r.tellVerdict(ctx, lot, list[i], &out.Items[i].Was)
		}
		return nil
	})
	return out, err
}

// specOf finds the version to judge by.
func (r *Release) specOf(ctx context.Context, lot record.Lot, body record.JudgeBody) (spec record.Spec, err error) {
	id := body.Spec
	if id == "" {
		id = lot.Spec
	}
	if body.SpecVersion == 0 {
		spec, err = r.store.Spec(ctx, id)
	} else {
		spec, err = r.store.SpecVersion(ctx, id, body.SpecVersion)
	}
	if !errors.Is(err, record.ErrNotFound) {
		return spec, err
	}
	versions, err := r.store.SpecVersions(ctx, id)
	switch {
	case errors.Is(err, record.ErrNotFound):
		return spec, refuse("/spec", id, "no specification is stored under this identifier")
	case err != nil:
		return spec, err
	}
	return spec, refuse("/spec_version", body.SpecVersion, "the specification has no such version: there are 1 to %d", versions[len(versions)-1].Version)
}

// mostSamples is how many samples one request may have judged again.
const mostSamples = 1000

// samplesOf are the named samples of a lot, or all of them.
func (r *Release) samplesOf(ctx context.Context, lotID string, ids []string) ([]record.Sample, error) {
	if ids == nil {
		all, err := r.store.SamplesOf(ctx, lotID, record.Page{Limit: mostSamples + 1})
		switch {
		case err != nil:
			return nil, err
		case len(all) == 0:
			return nil, refuse("/samples", nil, "this lot has no sample yet: there is nothing to judge again")
		case len(all) > mostSamples:
			return nil, refuse("/samples", nil, "this lot has more than %d samples: name up to %d of them at a time", mostSamples, mostSamples)
		}
		return all, nil
	}
	out := make([]record.Sample, 0, len(ids))
	var f calc.Faults
	for i, id := range ids {
		sample, err := r.store.Sample(ctx, id)
		switch {
		case errors.Is(err, record.ErrNotFound), err == nil && sample.LotID != lotID:
			f.Addf(pointer("/samples", i), id, "this lot has no such sample")
		case err != nil:
			return nil, err
		default:
			out = append(out, sample)
		}
	}
	return out, f.Err()
}

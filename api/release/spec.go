package release

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// AddSpec keeps a new specification, with what its target or reference is at this
// moment copied in. The error is a *calc.Problem for one at fault.
func (r *Release) AddSpec(ctx context.Context, asked record.SpecBody) (record.Spec, error) {
	spec, err := r.whole(ctx, asked)
	if err != nil {
		return spec, err
	}
	return r.store.CreateSpec(ctx, spec)
}

// AddVersion keeps a new version of a specification after the one that the
// caller has seen; record.ErrChanged where that is not the newest any more. What
// is left out is not taken from the version before.
func (r *Release) AddVersion(ctx context.Context, id string, seen int64, asked record.SpecBody) (record.Spec, error) {
	spec, err := r.whole(ctx, asked)
	if err != nil {
		return spec, err
	}
	return r.store.AddSpecVersion(ctx, id, seen, spec)
}

// whole is the specification that a body asks for, with the data of what it
// names.
func (r *Release) whole(ctx context.Context, asked record.SpecBody) (record.Spec, error) {
	var f calc.Faults
	spec := record.Spec{SpecBody: asked}
	if err := r.takeReference(ctx, &spec, &f); err != nil {
		return spec, err
	}
	used, err := calc.LookupTarget(ctx, r.store, "/target", spec.Target, &f)
	if err != nil {
		return spec, err
	}
	spec.ReadingsUsed = used
	if f.Err() == nil {
		calc.CheckSpec(spec.Spec, spec.View, &f)
	}
	if err := f.Err(); err != nil {
		return spec, ofReference(err, asked.Reference)
	}
	spec.TargetID = record.CopyTarget(spec.Target)
	return spec, nil
}

// takeReference puts the colour that a reference names into the specification.
func (r *Release) takeReference(ctx context.Context, spec *record.Spec, f *calc.Faults) error {
	from := spec.Reference
	switch {
	case from == nil:
		return nil
	case from.Trial != "":
		return r.takeTrial(ctx, spec, f)
	}
	return r.takeLots(ctx, spec, f)
}

func (r *Release) takeTrial(ctx context.Context, spec *record.Spec, f *calc.Faults) error {
	const place = "/reference/trial"
	chosen, err := r.bench.Chosen(ctx, spec.Reference.Trial)
	switch problem := calc.AsProblem(err); {
	case errors.Is(err, record.ErrNotFound):
		f.Addf(place, spec.Reference.Trial, "no trial is stored under this identifier")
		return nil
	case problem != nil:
		f.Addf(place, spec.Reference.Trial, "%s", problem.Errors[0].Message)
		return nil //nolint:nilerr // it is among the faults
	case err != nil:
		return err
	}
	if view := spec.View.Core(); chosen.Target.CIELAB != nil && chosen.View != view {
		f.Addf(place, spec.Reference.Trial, "the chosen dose was not read, and it is predicted for %v while the specification holds for %v: read the dose in the trial, or give the trial's conditions", chosen.View, view)
		return nil
	}
	spec.Target, spec.ReferenceSource = &chosen.Target, chosen.Words
	if chosen.Entry != "" {
		spec.ReferenceReadings = []string{chosen.Entry}
	}
	return nil
}

// takeLots puts the colours of released lots into the specification.
func (r *Release) takeLots(ctx context.Context, spec *record.Spec, f *calc.Faults) error {
	if len(spec.ApprovedLots) > 0 {
		f.Addf("/approved_lots", nil, "the approved lots are given twice, here and in the reference: give one of the two")
		return nil
	}
	for i, id := range spec.Reference.Lots {
		place := fmt.Sprintf("/reference/lots/%d", i)
		lot, err := r.store.Lot(ctx, id)
		if errors.Is(err, record.ErrNotFound) {
			f.Addf(place, id, "no lot is stored under this identifier")
			continue
		}
		if err != nil {
			return err
		}
		decision, err := r.store.DecisionOf(ctx, id)
		if err != nil {
			return err
		}
		if decision == nil || decision.Decision != "released" {
			f.Addf(place, id, "the lot %q was not released: a reference is the mean of lots that were", lot.Name)
			continue
		}
		mean, samples, err := r.meanOf(ctx, id, spec.View)
		if problem := calc.AsProblem(err); problem != nil {
			f.Addf(place, id, "the colour of the lot %q cannot be had: %s", lot.Name, problem.Errors[0].Message)
			continue
		}
		if err != nil {
			return err
		}
		spec.ApprovedLots = append(spec.ApprovedLots, mean)
		spec.ReferenceReadings = append(spec.ReferenceReadings, samples...)
	}
	spec.ReferenceSource = fmt.Sprintf("the mean of %d released lots", len(spec.Reference.Lots))
	return nil
}

// samplesAtOnce is how many samples are held at a time.
const samplesAtOnce = 500

// meanOf is the mean colour of a lot's samples under a view, without retained
// bottles, which have aged, and without those read with excess acetaldehyde,
// which show another colour than the bottle's.
func (r *Release) meanOf(ctx context.Context, lotID string, view *calc.View) (mean calc.TargetColour, ids []string, err error) {
	for after := ""; ; {
		page, err := r.store.SamplesOf(ctx, lotID, record.Page{After: after, Limit: samplesAtOnce})
		if err != nil {
			return mean, nil, err
		}
		for _, sample := range page {
			after = sample.ID
			if !asBottled(sample) {
				continue
			}
			var f calc.Faults
			if inConditions(sample.SampleBody, view.Core(), &f); f.Err() != nil {
				return mean, nil, f.Err()
			}
			answer, err := calc.Colour(calc.ColourRequest{Wine: sample.Wine(""), View: view})
			if err != nil {
				return mean, nil, err
			}
			c := answer.Colour.CIELAB
			mean.L, mean.A, mean.B = mean.L+c.L, mean.A+c.A, mean.B+c.B
			ids = append(ids, sample.ID)
		}
		if len(page) < samplesAtOnce {
			break
		}
	}
	if len(ids) == 0 {
		return mean, nil, refuse("", nil, "it has no sample that shows the colour as it was bottled")
	}
	n := float64(len(ids))
	mean.L, mean.A, mean.B = mean.L/n, mean.A/n, mean.B/n
	return mean, ids, nil
}

// asBottled reports whether a sample shows the colour that the lot was bottled
// with: neither from days before that nor months later, and no acetaldehyde in it.
func asBottled(sample record.Sample) bool {
	s, days := sample.State, sample.DaysSinceBottling
	return sample.Stage != record.Retained && (days == nil || *days > -1 || sample.Stage != "") && (s == nil || s.Acetaldehyde == nil || !*s.Acetaldehyde)
}

// ofReference gives faults of what a reference came to their place in the
// request.
func ofReference(err error, from *record.SpecReference) error {
	problem := calc.AsProblem(err)
	if problem == nil || from == nil {
		return err
	}
	for i, fault := range problem.Errors {
		for came, place := range map[string]string{"/target": "/reference", "/approved_lots": "/reference/lots"} {
			if fault.Location == came || strings.HasPrefix(fault.Location, came+"/") {
				problem.Errors[i].Location, problem.Errors[i].Value = place, nil
			}
		}
	}
	return calc.Refuse(problem.Errors...)
}

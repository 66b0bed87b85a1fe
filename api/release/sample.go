package release

import (
	"context"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/cie"
)

// pointer is the JSON Pointer to a member of the list at place.
func pointer(place string, i int) string { return place + "/" + strconv.Itoa(i) }

// AddSample judges a sample of a lot by the lot's version of its specification,
// and keeps both. The error is a *calc.Problem with places in the sample.
func (r *Release) AddSample(ctx context.Context, lotID string, body record.SampleBody) (record.Sample, error) {
	lot, err := r.store.Lot(ctx, lotID)
	if err != nil {
		return record.Sample{}, err
	}
	spec, err := r.store.SpecVersion(ctx, lot.Spec, lot.SpecVersion)
	if err != nil {
		return record.Sample{}, err
	}
	now := r.store.Now()
	var f calc.Faults
	inTime(body, lot, now, &f)
	inConditions(body, spec.View.Core(), &f)
	if err := f.Err(); err != nil {
		return record.Sample{}, err
	}
	at := now
	if body.TakenAt != nil {
		at = *body.TakenAt
	}
	judgement, err := r.judge(ctx, body, at, spec)
	if err != nil {
		return record.Sample{}, err
	}
	var added record.Sample
	err = r.Hook.InOrder(func() (err error) {
		if added, err = r.store.AddSample(ctx, record.Sample{LotID: lot.ID, SampleBody: body, Judgement: judgement}); err == nil {
			r.tellSample(ctx, lot, added)
		}
		return err
	})
	if err != nil {
		return added, err
	}
	added.Later, err = r.later(ctx, added.Instrument, added.At())
	return added, err
}

// judge is the judgement of a sample by a version of a specification.
func (r *Release) judge(ctx context.Context, body record.SampleBody, at record.Instant, spec record.Spec) (record.Judgement, error) {
	checker, err := r.checker(spec)
	if err != nil {
		return record.Judgement{}, err
	}
	answer, err := checker.Check(body.Wine(""), body.SameSession)
	if err != nil {
		return record.Judgement{}, ofSample(err)
	}
	noted, err := r.noted(ctx, body, at, spec)
	return record.Judged(spec, r.version, answer, noted), err
}

// inTime refuses a sample from the future, and one of a stage of bottling that
// was taken before the lot was bottled.
func inTime(body record.SampleBody, lot record.Lot, now record.Instant, f *calc.Faults) {
	taken := now
	if body.TakenAt != nil {
		taken = *body.TakenAt
		if taken.Ahead(now) {
			f.Addf("/taken_at", taken.String(), "the sample is from the future: it is %s now. Give the time when it was read, with its offset from UTC", now)
			return
		}
	}
	if body.Stage != "" && lot.BottledAt != nil && taken.Precedes(*lot.BottledAt) {
		f.Addf("/taken_at", taken.String(), "a sample of the stage %q is taken from bottles, and the lot is bottled at %s: give the right time, or leave out the stage", body.Stage, lot.BottledAt)
	}
}

// inConditions refuses a colour that is stated for other conditions than the
// specification's. Readings and scans have none of their own: the colour is
// computed from them for any. L*, a* and b* alone have no spectrum to convert
// them with, and an estimated one is no measurement to release a lot by.
func inConditions(body record.SampleBody, want cie.View, f *calc.Faults) {
	if body.CIELAB == nil {
		return
	}
	c := body.CIELAB
	own := (&calc.View{Illuminant: c.Illuminant, Observer: c.Observer, PathMM: &c.PathMM}).Core()
	if own != want {
		f.Addf("/cielab", nil, "these values are stated for %v and the specification holds for %v: L*, a*, b* alone cannot be converted, as many spectra have them. Give the readings or the scan that they come from, or the values for %v", own, want, want)
	}
}

// ofSample gives a problem of the check its places in the sample, which is the
// check's wine; what is not in it has none.
func ofSample(err error) error {
	problem := calc.AsProblem(err)
	if problem == nil {
		return err
	}
	faults := problem.Errors
	for i := range faults {
		rest, inWine := strings.CutPrefix(faults[i].Location, "/wine")
		switch {
		case inWine:
			faults[i].Location = rest
		case faults[i].Location != "/same_session":
			faults[i].Location, faults[i].Message = "", "held against the lot's specification: "+faults[i].Message
		}
	}
	return calc.Refuse(faults...)
}

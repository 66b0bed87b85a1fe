package store

import (
	"context"
	"errors"
	"reflect"
	"strings"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// lotBody is a lot of a specification.
func lotBody(spec string) record.LotBody { return record.LotBody{Name: "L-31", Spec: spec} }

// specified is a specification with all that one can have.
func specified(tb testing.TB, s *Store) record.Spec {
	tb.Helper()
	spec, err := s.CreateSpec(context.Background(), record.Spec{
		SpecBody: record.SpecBody{
			Spec: calc.Spec{
				Name: "House rosé", Target: &calc.Target{CIELAB: &calc.TargetColour{L: 84.2, A: 13.1, B: 8.4}},
				Tolerance: &calc.SpecTolerance{DeltaE00: 2}, Limits: &calc.Limits{H: &[2]float64{350, 40}}, Rule: "guarded", MaxRisk: pointer(0.1),
			},
			View: &calc.View{PathMM: pointer(10.0)},
		},
		ReadingsUsed: []calc.ReadingsUsed{{Location: "/target/wine", Wine: "w", Readings: []string{"r"}}},
	})
	if err != nil {
		tb.Fatal(err)
	}
	return spec
}

// judged is a store with a trial, a lot, and a sample of it.
func judged(tb testing.TB, s *Store) (record.Trial, record.Lot, record.Sample) {
	tb.Helper()
	spec := specified(tb, s)
	wine, _ := added(tb, s, white("Tank 9"), three(0.142, 0.118, 0.021))
	lot, err := s.CreateLot(context.Background(), record.LotBody{Name: "L-31", Spec: spec.ID, Wine: wine.ID})
	if err != nil {
		tb.Fatal(err)
	}
	return begun(tb, s), lot, sampled(tb, s, lot, spec)
}

func sampled(tb testing.TB, s *Store, lot record.Lot, spec record.Spec) record.Sample {
	tb.Helper()
	m := three(0.142, 0.118, 0.021).Measurement
	answer, err := calc.Check(calc.CheckRequest{Spec: spec.Spec, View: spec.View, Wine: m.Wine(lot.Name)})
	if err != nil {
		tb.Fatal(err)
	}
	when := record.At(s.now())
	sample, err := s.AddSample(context.Background(), record.Sample{
		LotID: lot.ID, SampleBody: record.SampleBody{Measurement: m, Circumstances: record.Circumstances{TakenAt: &when, Analyst: "Ada"}},
		Judgement: record.Judgement{Spec: spec.ID, SpecVersion: spec.Version, Program: "1.0", CheckResponse: answer},
	})
	if err != nil {
		tb.Fatal(err)
	}
	return sample
}

func TestSpecStays(t *testing.T) {
	s, ctx := open(t), context.Background()
	spec := specified(t, s)
	if got, err := s.Spec(ctx, spec.ID); err != nil || spec.Version != 1 || !reflect.DeepEqual(got, spec) {
		t.Errorf("%+v, %v, want %+v", got, err, spec)
	}
	if got, err := s.SpecVersion(ctx, spec.ID, 1); err != nil || !reflect.DeepEqual(got, spec) {
		t.Errorf("version 1: %+v, %v", got, err)
	}
	other := specified(t, s)
	if list, err := s.Specs(ctx, record.Page{Limit: 10}); err != nil || !reflect.DeepEqual(list, []record.Spec{spec, other}) {
		t.Errorf("list %+v, %v", list, err)
	}
	if archived, err := s.ArchiveSpec(ctx, spec.ID); err != nil || archived.ArchivedAt == nil {
		t.Errorf("archived: %+v, %v", archived, err)
	}
	if _, err := s.ArchiveSpec(ctx, spec.ID); !errors.Is(err, record.ErrArchived) {
		t.Errorf("archived again: %v", err)
	}
	for page, want := range map[record.Page]int{{Limit: 10}: 1, {Limit: 1, Archived: true}: 1, {Limit: 10, Archived: true}: 2, {Limit: 10, After: spec.ID}: 1} {
		if list, err := s.Specs(ctx, page); err != nil || len(list) != want {
			t.Errorf("%+v lists %d, %v, want %d", page, len(list), err, want)
		}
	}
	for _, call := range []func() error{
		func() error { _, err := s.Spec(ctx, "none"); return err },
		func() error { _, err := s.SpecVersion(ctx, other.ID, 2); return err },
		func() error { _, err := s.ArchiveSpec(ctx, "none"); return err },
	} {
		if err := call(); !errors.Is(err, record.ErrNotFound) {
			t.Errorf("no such specification: %v", err)
		}
	}
}

func TestLotStays(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, lot, first := judged(t, s)
	spec, err := s.Spec(ctx, lot.Spec)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := s.Lot(ctx, lot.ID); err != nil || lot.SpecVersion != 1 || !reflect.DeepEqual(got, lot) {
		t.Errorf("%+v, %v, want %+v", got, err, lot)
	}
	second := sampled(t, s, lot, spec)
	if got, err := s.Sample(ctx, first.ID); err != nil || !reflect.DeepEqual(got, first) {
		t.Errorf("sample %+v, %v, want %+v", got, err, first)
	}
	if list, err := s.SamplesOf(ctx, lot.ID, record.Page{Limit: 10}); err != nil || !reflect.DeepEqual(list, []record.Sample{first, second}) {
		t.Errorf("samples %+v, %v", list, err)
	}
	if list, err := s.SamplesOf(ctx, lot.ID, record.Page{Limit: 10, After: first.ID}); err != nil || len(list) != 1 {
		t.Errorf("samples after the first: %d, %v", len(list), err)
	}
	other, err := s.CreateLot(ctx, lotBody(spec.ID))
	if err != nil {
		t.Fatal(err)
	}
	if list, err := s.SamplesOf(ctx, other.ID, record.Page{Limit: 10}); err != nil || len(list) != 0 {
		t.Errorf("samples of the other lot: %d, %v", len(list), err)
	}
	if list, err := s.Lots(ctx, record.Page{Limit: 10}); err != nil || !reflect.DeepEqual(list, []record.Lot{lot, other}) {
		t.Errorf("lots %+v, %v", list, err)
	}
	if archived, err := s.ArchiveLot(ctx, lot.ID); err != nil || archived.ArchivedAt == nil {
		t.Errorf("archived: %+v, %v", archived, err)
	}
	first.LotID = lot.ID
	for _, call := range []func() error{
		func() error { _, err := s.ArchiveLot(ctx, lot.ID); return err },
		func() error { _, err := s.AddSample(ctx, first); return err },
	} {
		if err := call(); !errors.Is(err, record.ErrArchived) {
			t.Errorf("an archived lot: %v", err)
		}
	}
	if n := count(t, s, "lot_sample"); n != 2 {
		t.Errorf("%d samples, want 2", n)
	}
	sound(t, s)
}

// TestLotRefused: a lot names a specification that is in use, and a wine.
func TestLotRefused(t *testing.T) {
	s, ctx := open(t), context.Background()
	spec, gone := specified(t, s), specified(t, s)
	if _, err := s.ArchiveSpec(ctx, gone.ID); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		body         record.LotBody
		place, words string
	}{
		{lotBody("none"), "/spec", "no specification"},
		{lotBody(gone.ID), "/spec", "archived"},
		{record.LotBody{Name: "x", Spec: spec.ID, Wine: "none"}, "/wine", "no wine"},
	} {
		_, err := s.CreateLot(ctx, row.body)
		if p := calc.AsProblem(err); p == nil || p.Errors[0].Location != row.place || !strings.Contains(p.Errors[0].Message, row.words) {
			t.Errorf("%+v: %v, want a fault at %s that says %s", row.body, err, row.place, row.words)
		}
	}
	if _, err := s.Lot(ctx, "none"); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("no such lot: %v", err)
	}
	if _, err := s.SamplesOf(ctx, "none", record.Page{Limit: 1}); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("samples of no lot: %v", err)
	}
	if _, err := s.Sample(ctx, "none"); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("no such sample: %v", err)
	}
}

// TestVerdictIsFoundAgain: a stored verdict can be computed anew from what is
// stored with it, to the same figures.
func TestVerdictIsFoundAgain(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, lot, sample := judged(t, s)
	kept, err := s.Sample(ctx, sample.ID)
	if err != nil {
		t.Fatal(err)
	}
	spec, err := s.SpecVersion(ctx, kept.Spec, kept.SpecVersion)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := calc.Check(calc.CheckRequest{Spec: spec.Spec, View: spec.View, Wine: kept.Wine(lot.Name)})
	if err != nil || !reflect.DeepEqual(answer, kept.CheckResponse) {
		t.Errorf("%+v, %v, want %+v", answer, err, kept.CheckResponse)
	}
}

// TestTrialsAndLotsInArchive: an archive brings them into an empty store as they
// were.
func TestTrialsAndLotsInArchive(t *testing.T) {
	s, ctx := open(t), context.Background()
	trial, lot, sample := judged(t, s)
	trial, err := s.AddEntry(ctx, trial.ID, pour("A", 3.3))
	if err != nil {
		t.Fatal(err)
	}
	into := open(t)
	if _, err := into.Restore(ctx, strings.NewReader(archived(t, s))); err != nil {
		t.Fatal(err)
	}
	if got, err := into.Trial(ctx, trial.ID); err != nil || !reflect.DeepEqual(got, trial) {
		t.Errorf("trial %+v, %v, want %+v", got, err, trial)
	}
	if got, err := into.Lot(ctx, lot.ID); err != nil || !reflect.DeepEqual(got, lot) {
		t.Errorf("lot %+v, %v, want %+v", got, err, lot)
	}
	if got, err := into.Sample(ctx, sample.ID); err != nil || !reflect.DeepEqual(got, sample) {
		t.Errorf("sample %+v, %v, want %+v", got, err, sample)
	}
	sound(t, into)
}

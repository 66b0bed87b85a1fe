package release

import (
	"context"
	"reflect"
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
)

func codes(list []calc.Warning) string {
	var out []string
	for _, w := range list {
		out = append(out, w.Code)
	}
	return strings.Join(out, " ")
}

// checked adds a check of bench 2 so many days ago.
func checked(t *testing.T, r *Release, now record.Instant, kind record.CheckKind, daysAgo int, reading float64) {
	t.Helper()
	at := record.At(now.Add(-time.Duration(daysAgo) * 24 * time.Hour))
	nm := 546.
	_, err := r.AddCheck(context.Background(), record.InstrumentCheckBody{
		Instrument: "Bench 2", Kind: kind, CheckedAt: &at, Points: []record.CheckPoint{{NM: &nm, Certified: 0.5, Limit: 0.01, Reading: reading}},
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestCheckThatFailsLater: a check that fails marks what was read since the last
// good one when it is shown, and what was stored stays; what was read before a good
// check, or of another kind that had failed already, is not marked.
func TestCheckThatFailsLater(t *testing.T) {
	s, r := open(t)
	ctx, now := context.Background(), s.Now()
	lot := lotWith(t, r)
	add := func(daysAgo int, instrument string) record.Sample {
		at := record.At(now.Add(-time.Duration(daysAgo)*24*time.Hour + time.Hour))
		sample, err := r.AddSample(ctx, lot.ID, record.SampleBody{
			Measurement: readings(0.142, 0.118, 0.021), Circumstances: record.Circumstances{TakenAt: &at, Instrument: instrument},
		})
		if err != nil {
			t.Fatal(err)
		}
		return sample
	}
	checked(t, r, now, record.FilterCheck, 30, 0.5)
	checked(t, r, now, record.FilterCheck, 20, 0.502)
	before, between, other := add(25, "bench 2"), add(15, "BENCH  2"), add(15, "bench 3")
	verdict, err := s.Verdict(ctx, between.VerdictID)
	if err != nil {
		t.Fatal(err)
	}
	checked(t, r, now, record.FilterCheck, 10, 0.53)
	after := add(5, "bench 2")
	checked(t, r, now, record.FilterCheck, 2, 0.54) // still wrong: nothing new of the last sample
	answer, err := r.Lot(ctx, lot.ID)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{before.ID: "", between.ID: "instrument_check_failed_since", other.ID: "", after.ID: ""}
	for _, list := range [][]record.Sample{answer.Samples, listed(t, r, lot.ID)} {
		if len(list) != 4 {
			t.Fatalf("%d samples", len(list))
		}
		for _, sample := range list {
			if got := codes(sample.Later); got != want[sample.ID] {
				t.Errorf("sample of %s, read with %q: %q, want %q", sample.At(), sample.Instrument, got, want[sample.ID])
			}
		}
	}
	if got := codes(after.Warnings); !strings.Contains(got, "instrument_check_failed") {
		t.Errorf("after the failed check: %q", got)
	}
	shown, err := r.Verdict(ctx, between.VerdictID)
	if err != nil || codes(shown.Later) != "instrument_check_failed_since" || !strings.Contains(shown.Later[0].Message, "at 546 nm") {
		t.Errorf("the verdict: %+v, %v", shown.Later, err)
	}
	if stored, err := s.Verdict(ctx, between.VerdictID); err != nil || !reflect.DeepEqual(stored, verdict) {
		t.Errorf("what was stored changed: %+v, %v", stored, err)
	}
	if found, err := r.Verify(ctx, VerifyBody{}, nil); err != nil || found.Same != 4 {
		t.Errorf("%+v, %v", found, err)
	}
}

func listed(t *testing.T, r *Release, lot string) []record.Sample {
	t.Helper()
	list, err := r.Samples(context.Background(), lot, record.Page{Limit: 100})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// TestRunOfManySamples: the newest samples of a run count by when they were taken,
// whatever was recorded since, and however many there are.
func TestRunOfManySamples(t *testing.T) {
	s, r := open(t)
	ctx, now := context.Background(), s.Now()
	lot := lotWith(t, r)
	add := func(stage record.Stage, minutesAgo int, m record.Measurement) string {
		at := record.At(now.Add(-time.Duration(minutesAgo) * time.Minute))
		sample, err := r.AddSample(ctx, lot.ID, record.SampleBody{Measurement: m, Stage: stage, Circumstances: record.Circumstances{TakenAt: &at}})
		if err != nil {
			t.Fatal(err)
		}
		return sample.ID
	}
	good, bad := readings(0.142, 0.118, 0.021), readings(0.5, 0.5, 0.1)
	newest := add(record.Middle, 1, bad)
	for i := range 130 { // recorded later, taken earlier, or of no stage of the run
		stage := record.Retained
		if i%2 == 0 {
			stage = record.Beginning
		}
		add(stage, 10+i, good)
	}
	for name, of := range map[string]func() (record.RunAdvice, error){
		"run": func() (record.RunAdvice, error) { return r.Run(ctx, lot.ID) },
		"lot": func() (record.RunAdvice, error) { l, err := r.Lot(ctx, lot.ID); return l.Run, err },
	} {
		got, err := of()
		if err != nil || got.Advice != "stop" || got.Rule != "newest_fails" || len(got.Samples) != 1 || got.Samples[0] != newest {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
	add(record.End, 0, good)
	if got, err := r.Run(ctx, lot.ID); err != nil || got.Advice != "go_on" {
		t.Errorf("after a good one: %+v, %v", got, err)
	}
}

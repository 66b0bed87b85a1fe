package release

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"pourpath/api/hook"
	"pourpath/api/record"
)

// toldTo lets r tell a command that keeps what it is told, and returns what that
// was once all of it is told.
func toldTo(t *testing.T, r *Release) func() []Event {
	t.Helper()
	file := filepath.Join(t.TempDir(), "told")
	h, err := hook.New("tee -a "+file, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	r.Hook = h
	return func() (out []Event) {
		if err := h.Close(t.Context()); err != nil {
			t.Fatal(err)
		}
		if c := h.Counts(); c.Failed+c.Dropped+c.Waiting > 0 {
			t.Fatalf("%+v", c)
		}
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		for s := bufio.NewScanner(f); s.Scan(); {
			var e Event
			if err := json.Unmarshal(s.Bytes(), &e); err != nil {
				t.Fatalf("%q: %v", s.Text(), err)
			}
			out = append(out, e)
		}
		return out
	}
}

// TestEvents: the first verdict of a lot, those that differ from the one before,
// a verdict judged again that differs, and decisions are told, in their order.
func TestEvents(t *testing.T) {
	_, r := open(t)
	ctx := context.Background()
	told := toldTo(t, r)
	pass, fail := readings(0.142, 0.118, 0.021), readings(0.5, 0.5, 0.1)
	lot := lotWith(t, r, pass, pass, fail, pass)
	if _, err := r.Decide(ctx, lot.ID, record.DecisionBody{Decision: "held", By: "Ada", Reason: "one is outside"}); err != nil {
		t.Fatal(err)
	}
	wide, err := r.store.Spec(ctx, lot.Spec)
	if err != nil {
		t.Fatal(err)
	}
	body := record.SpecBody{Spec: wide.Spec}
	body.Tolerance.DeltaE00 = 60
	if _, err := r.AddVersion(ctx, lot.Spec, 1, body); err != nil {
		t.Fatal(err)
	}
	if again, err := r.Judge(ctx, lot.ID, record.JudgeBody{SpecVersion: 2}); err != nil || again.Changed != 1 {
		t.Fatalf("%+v, %v", again, err)
	}
	var got []string
	for _, e := range told() {
		before, decision := "none", "none"
		if e.Before != nil {
			before = *e.Before
		}
		if e.Decision != nil {
			decision = e.Decision.Decision
		}
		got = append(got, fmt.Sprintf("%s %s→%s v%d %s", e.Event, before, e.After, e.SpecVersion, decision))
		if e.LotID != lot.ID || e.Lot != "L-31" || e.At.IsZero() || (e.Event == "verdict") != (e.SampleID != "" && e.VerdictID != "" && e.Spec == lot.Spec) {
			t.Errorf("%+v", e)
		}
	}
	want := "verdict none→pass v1 none, verdict pass→fail v1 none, verdict fail→pass v1 none, decision none→held v0 held, verdict fail→pass v2 held"
	if told := strings.Join(got, ", "); told != want {
		t.Errorf("told %s\nwant %s", told, want)
	}
}

// TestEventsTogether: samples that are judged at the same time are told in the
// order of their verdicts, each with the verdict before it.
func TestEventsTogether(t *testing.T) {
	s, r := open(t)
	ctx := context.Background()
	told := toldTo(t, r)
	lot := lotWith(t, r)
	var all sync.WaitGroup
	for i := range 4 {
		all.Go(func() {
			for n := range 4 {
				m := readings(0.142, 0.118, 0.021)
				if (i+n)%2 == 0 {
					m = readings(0.5, 0.5, 0.1)
				}
				if _, err := r.AddSample(ctx, lot.ID, record.SampleBody{Measurement: m}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	verdicts, err := s.VerdictsOf(ctx, lot.ID, record.Page{Limit: 100})
	if err != nil || len(verdicts) != 16 {
		t.Fatalf("%d verdicts, %v", len(verdicts), err)
	}
	var want, got []string
	before := "none"
	for _, v := range verdicts {
		if v.Verdict != before {
			want = append(want, v.VerdictID+" "+before+"→"+v.Verdict)
		}
		before = v.Verdict
	}
	for _, e := range told() {
		was := "none"
		if e.Before != nil {
			was = *e.Before
		}
		got = append(got, e.VerdictID+" "+was+"→"+e.After)
	}
	if strings.Join(got, ", ") != strings.Join(want, ", ") {
		t.Errorf("told %q\nwant %q", got, want)
	}
}

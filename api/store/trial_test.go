package store

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"sync"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// begun is a trial with three glasses of 100 mL.
func begun(tb testing.TB, s *Store, set ...func(*record.Trial)) record.Trial {
	tb.Helper()
	trial := record.Trial{
		TrialFields: record.TrialFields{
			Name: "first – «été»", BaseML: 100,
			Base:     record.TrialWine{Name: "white", Measurement: three(0.085, 0.021, 0.008).Measurement},
			Addition: record.TrialWine{Name: "red", Measurement: record.Measurement{CIELAB: &calc.CIELAB{L: calc.Decimal{Value: 60.5, Decimals: 2}, PathMM: 1}}},
			Target:   &calc.Target{CIELAB: &calc.TargetColour{L: 85, A: 16, B: 4}, Tolerance: &calc.Tolerance{DeltaE00: 1.5}},
			View:     &calc.View{PathMM: pointer(20.5)},
		},
		ReadingsUsed: []calc.ReadingsUsed{{Location: "/base", Wine: "w", Readings: []string{"r"}}},
		Glasses:      []string{"C", "A", "B é"},
	}
	for _, f := range set {
		f(&trial)
	}
	t, err := s.CreateTrial(context.Background(), trial)
	if err != nil {
		tb.Fatal(err)
	}
	return t
}

func pour(glass string, ml float64) record.LogEntry {
	return record.PourBody{Glass: glass, VolumeML: ml}.Entry()
}

func sip(glass string, ml float64) record.LogEntry {
	return record.WithdrawalBody{Glass: glass, VolumeML: ml, Why: "tasting"}.Entry()
}

func TestTrialStays(t *testing.T) {
	s, ctx := open(t), context.Background()
	made := begun(t, s, func(t *record.Trial) {
		t.Held = []record.TrialHeld{{Wine: record.TrialWine{Name: "cask 2"}, DoseMLPer100ML: 5}}
		t.Tools = []calc.Tool{{Name: "10 mL pipette", Kind: "graduated_pipette", CapacityML: 10, GraduationML: 0.1, Class: "B"}, {Name: "spoon", Kind: "spoon", CapacityML: 20, Measure: "tablespoon", Country: "AU"}}
		t.Samples, t.Visible = []float64{50, 200}, pointer(0.8)
	})
	when := record.At(s.now())
	entries := []record.LogEntry{
		record.PourBody{Glass: "A", VolumeML: 8.1, StatedTotalML: pointer(8.1), Said: record.Said{At: &when, Who: "Ada", Tool: "10 mL pipette"}, Keyed: record.Keyed{Key: "k1"}}.Entry(),
		sip("A", 15),
		record.MeasurementBody{Glass: "A", Measurement: three(0.196, 0.216, 0.043).Measurement, Circumstances: record.Circumstances{TakenAt: &when, MinutesSinceBlending: pointer(20.0)}, Dosed: pointer(8.0)}.Entry(),
		record.UndoBody{No: 2, Why: "it was glass C", By: "Ada", Keyed: record.Keyed{Key: "k2"}}.Entry(),
		record.NoteBody{Glass: "B é", Note: "bright", Score: pointer(71.0), Scale: "0 to 100", Who: "Ada"}.Entry(),
		record.ChoiceBody{Dose: pointer(8.5), Reasons: "liked best"}.Entry(),
		record.FinalCheckBody{VolumeML: pointer(250.0), Measurement: three(0.2, 0.22, 0.05).Measurement, LookedAgain: &record.LookedAgain{At: &when, Clear: true, Note: "bright"}}.Entry(),
	}
	for i, e := range entries {
		now, err := s.AddEntry(ctx, made.ID, e)
		if err != nil || len(now.Log) != i+1 {
			t.Fatalf("entry %d: log of %d, %v", i+1, len(now.Log), err)
		}
		got := now.Log[i]
		if e.ID, e.No, e.RecordedAt = got.ID, i+1, got.RecordedAt; got.ID == "" || !reflect.DeepEqual(got, e) {
			t.Errorf("entry %+v, want %+v", got, e)
		}
		made.Log = now.Log
	}
	got, err := s.Trial(ctx, made.ID)
	if err != nil || !reflect.DeepEqual(got, made) {
		t.Fatalf("%+v, %v, want %+v", got, err, made)
	}
	other := begun(t, s)
	list, err := s.Trials(ctx, record.Page{Limit: 10})
	if err != nil || !reflect.DeepEqual(list, []record.Trial{made, other}) {
		t.Errorf("list %+v, %v", list, err)
	}
	if list, err = s.Trials(ctx, record.Page{Limit: 10, After: made.ID}); err != nil || len(list) != 1 || list[0].ID != other.ID {
		t.Errorf("after the first: %+v, %v", list, err)
	}
	if list, err = s.Trials(ctx, record.Page{Limit: 1, Newest: true}); err != nil || len(list) != 1 || list[0].ID != other.ID {
		t.Errorf("the newest: %+v, %v", list, err)
	}
	if list, err = s.Trials(ctx, record.Page{Limit: 2, Newest: true, After: other.ID}); err != nil || len(list) != 1 || list[0].ID != made.ID {
		t.Errorf("older than the newest: %+v, %v", list, err)
	}
	archived, err := s.ArchiveTrial(ctx, made.ID)
	if err != nil || archived.ArchivedAt == nil || !reflect.DeepEqual(archived.Log, made.Log) {
		t.Errorf("archived: %+v, %v", archived, err)
	}
	if _, err := s.ArchiveTrial(ctx, made.ID); !errors.Is(err, record.ErrArchived) {
		t.Errorf("archived again: %v", err)
	}
	if _, err := s.AddEntry(ctx, made.ID, pour("A", 1)); !errors.Is(err, record.ErrArchived) {
		t.Errorf("a pour into an archived trial: %v", err)
	}
	for page, want := range map[record.Page]int{{Limit: 10}: 1, {Limit: 10, Archived: true}: 2} {
		if list, err := s.Trials(ctx, page); err != nil || len(list) != want {
			t.Errorf("%+v lists %d, %v, want %d", page, len(list), err, want)
		}
	}
	for _, call := range []func() error{
		func() error { _, err := s.Trial(ctx, "none"); return err },
		func() error { _, err := s.ArchiveTrial(ctx, "none"); return err },
		func() error { _, err := s.AddEntry(ctx, "none", pour("A", 1)); return err },
	} {
		if err := call(); !errors.Is(err, record.ErrNotFound) {
			t.Errorf("no such trial: %v", err)
		}
	}
	sound(t, s)
}

// TestEntriesRefused: what the glasses cannot take is refused with its place, and
// nothing of it stays.
func TestEntriesRefused(t *testing.T) {
	s, ctx := open(t), context.Background()
	trial := begun(t, s)
	for _, row := range []struct {
		entry        record.LogEntry
		place, words string
	}{
		{pour("D", 1), "/glass", `"C", "A", "B é"`},
		{sip("A", 100.1), "/volume_ml", "100 mL in the glass"},
		{pour("A", 5000), "/volume_ml", "exchanged"},
		{record.MeasurementBody{Glass: "a", Measurement: three(0.1, 0.1, 0).Measurement}.Entry(), "/glass", "no such glass"},
	} {
		_, err := s.AddEntry(ctx, trial.ID, row.entry)
		p := calc.AsProblem(err)
		if p == nil || p.Errors[0].Location != row.place || !strings.Contains(p.Errors[0].Message, row.words) {
			t.Errorf("%+v: %v, want a fault at %s that says %s", row.entry, err, row.place, row.words)
		}
	}
	if n := count(t, s, "trial_entry"); n != 0 {
		t.Errorf("%d entries", n)
	}
}

// TestSentAgain: an entry with the same key counts once, and is answered as it
// was; another entry does not take its key.
func TestSentAgain(t *testing.T) {
	s, ctx := open(t), context.Background()
	trial := begun(t, s)
	first := pour("A", 3)
	first.Key = "one"
	was, err := s.AddEntry(ctx, trial.ID, first)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddEntry(ctx, trial.ID, pour("A", 2)); err != nil {
		t.Fatal(err)
	}
	again, err := s.AddEntry(ctx, trial.ID, first)
	if err != nil || !reflect.DeepEqual(again, was) {
		t.Errorf("sent again: %+v, %v, want %+v", again, err, was)
	}
	for _, other := range []record.LogEntry{pour("A", 4), pour("C", 3), sip("A", 3)} {
		other.Key = "one"
		if p := calc.AsProblem(func() error { _, err := s.AddEntry(ctx, trial.ID, other); return err }()); p == nil || p.Errors[0].Location != "/key" {
			t.Errorf("another entry with the key: %v", p)
		}
	}
	if n := count(t, s, "trial_entry"); n != 2 {
		t.Errorf("%d entries, want 2", n)
	}
	elsewhere := begun(t, s)
	if _, err := s.AddEntry(ctx, elsewhere.ID, first); err != nil {
		t.Errorf("the key in another trial: %v", err)
	}
}

// TestTogetherAtTheBench: several who log at once lose nothing, and never take
// out of a glass what another has taken already.
func TestTogetherAtTheBench(t *testing.T) {
	s, ctx := open(t), context.Background()
	trial := begun(t, s)
	const people, each = 8, 10
	var all sync.WaitGroup
	var refused sync.Map
	for person := range people {
		all.Go(func() {
			for i := range each {
				e := pour("A", 0.25)
				e.Key = fmt.Sprint(person, "-", i)
				for range 2 { // sent twice
					if _, err := s.AddEntry(ctx, trial.ID, e); err != nil {
						t.Error(err)
					}
				}
				if _, err := s.AddEntry(ctx, trial.ID, sip("C", 3)); err != nil {
					if calc.AsProblem(err) == nil {
						t.Error(err)
					}
					refused.Store(e.Key, true)
				}
			}
		})
	}
	all.Wait()
	got, err := s.Trial(ctx, trial.ID)
	if err != nil {
		t.Fatal(err)
	}
	progress, err := got.Progress()
	if err != nil {
		t.Fatal(err)
	}
	sips := 0
	refused.Range(func(any, any) bool { sips++; return true })
	sips = people*each - sips
	c, a := progress.Glasses[0], progress.Glasses[1]
	if sips != 33 || math.Abs(c.BaseInGlassML-1) > 1e-9 {
		t.Errorf("%d sips of 3 mL from 100 mL, %g mL left, want 33 and 1", sips, c.BaseInGlassML)
	}
	if want := 0.25 * people * each; math.Abs(a.PouredTotalML-want) > 1e-9 || len(got.Log) != people*each+sips {
		t.Errorf("%g mL poured in %d entries, want %g in %d", a.PouredTotalML, len(got.Log), want, people*each+sips)
	}
}

// TestLogIsKept: the database itself refuses to change or delete what was
// recorded, and what cannot be.
func TestLogIsKept(t *testing.T) {
	s, ctx := open(t), context.Background()
	trial, _, _ := judged(t, s)
	if _, err := s.AddEntry(ctx, trial.ID, pour("A", 3)); err != nil {
		t.Fatal(err)
	}
	other, err := s.CreateTrial(ctx, record.Trial{TrialFields: trial.TrialFields, Glasses: []string{"X"}})
	if err != nil {
		t.Fatal(err)
	}
	entry := func(trialID, no, glass, volume, kind string) string {
		return "INSERT INTO trial_entry (id, trial_id, entry_no, kind, glass, volume_ml, body, recorded_at, checksum) VALUES ('e" + no + "', '" +
			trialID + "', " + no + ", '" + kind + "', " + glass + ", " + volume + ", '{}', '2026-11-25T14:30:00.000000Z', 0)"
	}
	for _, statement := range []string{
		"UPDATE trial SET base_ml = 50", "DELETE FROM trial",
		"UPDATE trial_glass SET glass = 'Z'", "DELETE FROM trial_glass",
		"UPDATE trial_entry SET volume_ml = 4", "UPDATE trial_entry SET body = '{}'", "DELETE FROM trial_entry",
		"UPDATE spec SET body = '{}'", "UPDATE spec SET version = 2", "DELETE FROM spec",
		"UPDATE lot SET spec_version = 2", "DELETE FROM lot",
		"UPDATE lot_sample SET body = '{}'", "DELETE FROM lot_sample",
		"UPDATE lot_verdict SET verdict = 'pass'", "DELETE FROM lot_verdict",
		entry(other.ID, "7", "'A'", "1", "pour"),        // a glass of another trial
		entry(trial.ID, "1", "'A'", "1", "pour"),        // a place that is taken
		entry(trial.ID, "7", "'A'", "0", "pour"),        // nothing
		entry(trial.ID, "7", "'A'", "NULL", "pour"),     // no volume
		entry(trial.ID, "7", "NULL", "1", "withdrawal"), // no glass
		entry("none", "7", "'A'", "1", "pour"),          // no trial
	} {
		if _, err := s.write.ExecContext(ctx, statement); err == nil {
			t.Errorf("%s is taken", statement)
		}
	}
	// The statements are refused for what they are told to be: a right one is not.
	if _, err := s.write.ExecContext(ctx, entry(trial.ID, "7", "'A'", "1", "pour")); err != nil {
		t.Errorf("a right entry: %v", err)
	}
	if _, err := s.Trial(ctx, trial.ID); !errors.Is(err, record.ErrDamaged) {
		t.Errorf("an entry that this program did not write: %v, want ErrDamaged", err)
	}
}

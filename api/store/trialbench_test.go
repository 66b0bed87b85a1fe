package store

import (
	"context"
	"reflect"
	"strings"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// equipped is a trial that has all that one can be set up with.
func equipped(t *testing.T, s *Store) record.Trial {
	t.Helper()
	fields := record.TrialFields{
		Name: "two additions", BaseML: 100,
		Base:     record.TrialWine{Name: "white", Measurement: three(0.085, 0.021, 0.008).Measurement},
		Addition: record.TrialWine{Name: "red"},
		Target:   &calc.Target{Intensity: pointer(0.9), Tint: pointer(0.8)},
		View:     &calc.View{PathMM: pointer(20.5)},
		Held:     []record.TrialHeld{{Wine: record.TrialWine{Name: "press", Measurement: three(0.3, 0.4, 0.1).Measurement}, DoseMLPer100ML: 5.5}},
		Tools: []calc.Tool{
			{Name: "10 mL syringe", Kind: "syringe", CapacityML: 10, GraduationML: 0.5},
			{Name: "tablespoon", Kind: "spoon", CapacityML: 20, Measure: "tablespoon", Country: "AU"},
			{Name: "cylinder", Kind: "cylinder", CapacityML: 10, GraduationML: 0.2, Class: "B"},
		},
		Samples: []float64{50, 250}, Visible: pointer(0.7),
	}
	everyField(t, reflect.ValueOf(fields))
	made, err := s.CreateTrial(context.Background(), record.Trial{TrialFields: fields, Glasses: []string{"A", "B"}})
	if err != nil {
		t.Fatal(err)
	}
	return made
}

// everyField fails where a field is left empty, so that one that is added later is
// added to the tests too.
func everyField(t *testing.T, v reflect.Value) {
	t.Helper()
	for i := range v.NumField() {
		if v.Field(i).IsZero() {
			t.Fatalf("%s: the test says nothing of %s", v.Type(), v.Type().Field(i).Name)
		}
	}
}

// everyKind is a log with each kind of entry and all that can be said of one.
func everyKind(s *Store) []record.LogEntry {
	when := record.At(s.now())
	said := record.Said{At: &when, Who: "Ada", Tool: "10 mL syringe", Fills: 2}
	read := three(0.196, 0.216, 0.043).Measurement
	how := record.Circumstances{
		TakenAt: &when, Instrument: "bench 2", Analyst: "M", Diluent: "water", Blank: "water", TemperatureC: pointer(18.5), MinutesSinceBlending: pointer(20.25), Replicate: pointer(2),
	}
	keyed := record.Keyed{Key: "k-7"}
	return []record.LogEntry{
		record.PourBody{Glass: "A", VolumeML: 12.5, StatedTotalML: pointer(12.), Said: said, Keyed: keyed}.Entry(),
		record.WithdrawalBody{Glass: "A", VolumeML: 15, Why: "reading", Said: record.Said{At: &when, Who: "B"}}.Entry(),
		record.MeasurementBody{Glass: "A", Measurement: read, Circumstances: how, Dosed: pointer(12.4)}.Entry(),
		record.PourBody{Glass: "B", VolumeML: 3}.Entry(),
		record.UndoBody{No: 4, Why: "it went into A – «oui»", By: "Ada", At: &when}.Entry(),
		record.UndoBody{No: 5}.Entry(),
		record.NoteBody{Glass: "B", Note: "bright\nshort", Score: pointer(0.), Scale: "of 20", At: &when, Who: "Ada"}.Entry(),
		record.ChoiceBody{Glass: "B", Reasons: "liked best", At: &when, Who: "Ada"}.Entry(),
		record.ChoiceBody{Dose: pointer(0.), Reasons: "none of it"}.Entry(),
		record.ChoiceBody{Dose: pointer(3.25), Reasons: "between"}.Entry(),
		record.FinalCheckBody{VolumeML: pointer(250.), Measurement: read, Circumstances: how, At: &when, Who: "Ada", Tool: "jug"}.Entry(),
		record.FinalCheckBody{LookedAgain: &record.LookedAgain{At: &when, Clear: false, Note: "crystals"}, At: &when, Who: "B"}.Entry(),
	}
}

// TestBenchStays: tools, held wines and each kind of entry come back as they were
// written, from the store and from an archive of it, and do the same to the glasses.
func TestBenchStays(t *testing.T) {
	s, ctx := open(t), context.Background()
	trial := equipped(t, s)
	told := record.LogEntry{}
	for i, e := range everyKind(s) {
		now, err := s.AddEntry(ctx, trial.ID, e)
		if err != nil {
			t.Fatalf("entry %d: %v", i+1, err)
		}
		got := now.Log[i]
		if e.ID, e.No, e.RecordedAt = got.ID, i+1, got.RecordedAt; got.ID == "" || !reflect.DeepEqual(got, e) {
			t.Errorf("entry %+v, want %+v", got, e)
		}
		trial.Log = now.Log
		for f := range reflect.TypeFor[record.LogEntry]().NumField() {
			if v := reflect.ValueOf(got).Field(f); !v.IsZero() {
				reflect.ValueOf(&told).Elem().Field(f).Set(v)
			}
		}
	}
	everyField(t, reflect.ValueOf(told))
	got, err := s.Trial(ctx, trial.ID)
	if err != nil || !reflect.DeepEqual(got, trial) {
		t.Fatalf("%+v, %v, want %+v", got, err, trial)
	}
	sound(t, s)
	into := open(t)
	if _, err := into.Restore(ctx, strings.NewReader(archived(t, s))); err != nil {
		t.Fatal(err)
	}
	restored, err := into.Trial(ctx, trial.ID)
	if err != nil || !reflect.DeepEqual(restored, trial) {
		t.Fatalf("restored: %+v, %v, want %+v", restored, err, trial)
	}
	sound(t, into)
	was, err := trial.Progress()
	if err != nil {
		t.Fatal(err)
	}
	if is, err := restored.Progress(); err != nil || !reflect.DeepEqual(is, was) {
		t.Errorf("what was restored comes to %+v, %v, want %+v", is, err, was)
	}
	// What was sent before the archive was made counts once after it too.
	if again, err := into.AddEntry(ctx, trial.ID, trial.Log[0]); err != nil || len(again.Log) != 1 {
		t.Errorf("sent again after restoring: %d entries, %v", len(again.Log), err)
	}
}

// TestTrialOfBefore: rows as versions wrote them before trials had tools and logs
// more than three kinds of entry read as they did.
func TestTrialOfBefore(t *testing.T) {
	s, ctx := open(t), context.Background()
	created := record.At(s.now())
	const white, red = `{"name":"white","readings":{"a420":0.085,"a520":0.021,"a620":0.008}}`, `{"name":"red","readings":{"a420":2.31,"a520":3.98,"a620":0.67}}`
	trial := &trialRow{ID: "t", Name: "old", BaseML: 100, Setup: `{"base":` + white + `,"addition":` + red + `}`, CreatedAt: created}
	glass := &glassRow{TrialID: "t", Glass: "A", GlassNo: 1}
	entries := []*entryRow{
		{ID: "e1", TrialID: "t", EntryNo: 1, Kind: "pour", Glass: pointer("A"), VolumeML: pointer(8.), Body: `{"stated_total_ml":8,"who":"Ada","tool":"5 mL syringe"}`, SentKey: pointer("k"), RecordedAt: created},
		{ID: "e2", TrialID: "t", EntryNo: 2, Kind: "withdrawal", Glass: pointer("A"), VolumeML: pointer(15.), Body: `{"why":"tasting"}`, RecordedAt: created},
		{ID: "e3", TrialID: "t", EntryNo: 3, Kind: "measurement", Glass: pointer("A"), Body: `{"readings":{"a420":0.196,"a520":0.216,"a620":0.043},"minutes_since_blending":90}`, RecordedAt: created},
	}
	seal(trial)
	seal(glass)
	for _, e := range entries {
		seal(e)
	}
	for _, rows := range []any{trial, glass, &entries} {
		if _, err := s.write.NewInsert().Model(rows).Exec(ctx); err != nil {
			t.Fatal(err)
		}
	}
	got, err := s.Trial(ctx, "t")
	if err != nil {
		t.Fatal(err)
	}
	if got.Held != nil || got.Tools != nil || got.Samples != nil || got.Visible != nil || got.Addition.Readings.A520 != 3.98 {
		t.Errorf("read as %+v", got)
	}
	progress, err := got.Progress()
	if err != nil || len(progress.Log) != 3 || progress.Choice != nil || progress.FinalCheck != nil {
		t.Fatalf("%+v, %v", progress, err)
	}
	for i, e := range progress.Log {
		if e.DoseMLPer100ML != 8 || len(e.Warnings) != 0 || e.UndoneBy != 0 {
			t.Errorf("entry %d: dose %g, warnings %+v", i+1, e.DoseMLPer100ML, e.Warnings)
		}
	}
	// An entry that is sent again is known by what is stored of it.
	again := record.PourBody{Glass: "A", VolumeML: 8, StatedTotalML: pointer(8.), Said: record.Said{Who: "Ada", Tool: "5 mL syringe"}, Keyed: record.Keyed{Key: "k"}}.Entry()
	if now, err := s.AddEntry(ctx, "t", again); err != nil || len(now.Log) != 1 {
		t.Errorf("sent again: %d entries, %v", len(now.Log), err)
	}
	if _, err := s.AddEntry(ctx, "t", record.UndoBody{No: 1}.Entry()); err != nil {
		t.Errorf("an undo in an old trial: %v", err)
	}
	sound(t, s)
}

package bench_test

import (
	"fmt"
	"reflect"
	"strings"
	"sync"
	"testing"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
)

func (p printer) trial(id string) bench.TrialAnswer {
	p.t.Helper()
	trial, err := p.Trial(p.t.Context(), id)
	if err != nil {
		p.t.Fatal(err)
	}
	return trial
}

// measure logs what was read of a glass.
func (p printer) measure(glass, id, reading string) record.Logged {
	p.t.Helper()
	return add[record.MeasurementBody](p, id, fmt.Sprintf(`{"glass": %q, "readings": %s}`, glass, reading))
}

// TestWrongGlass: a reading that fits no plausible path asks which glass it would
// fit, at once and with the trial; it is kept, and gone once it is taken back.
func TestWrongGlass(t *testing.T) {
	for _, row := range []struct {
		name     string
		others   []string // glasses that are read rightly before
		glass    string   // that is said to be read
		really   float64  // dose of what was read
		question string
	}{
		{"alone", nil, "B", 20, "It would fit glass D (20 mL per 100 mL): was it the right glass?"},
		{"beside others", []string{"B", "E", "D"}, "C", 2, "It would fit glass B (2 mL per 100 mL): was it the right glass?"},
		{"no other glass has it", []string{"B", "E", "D"}, "C", 60, "Was it the right glass, cell and dose?"},
	} {
		t.Run(row.name, func(t *testing.T) {
			p := newPrinter(t)
			id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, "base_ml": 100, "glasses": ["A", "B", "C", "D", "E"]}`)
			poured := map[string]float64{"B": 2, "C": 6, "D": 20, "E": 12}
			for glass, ml := range poured {
				add[record.PourBody](p, id, fmt.Sprintf(`{"glass": %q, "volume_ml": %g}`, glass, ml))
			}
			for _, glass := range row.others {
				if e := p.measure(glass, id, read(poured[glass], 1.1)); says(e.Warnings, "off_path") != "" {
					t.Errorf("a right reading of %s: %v", glass, e.Warnings)
				}
			}
			e := p.measure(row.glass, id, read(row.really, 1.1))
			asked := says(e.Warnings, "off_path")
			if !strings.Contains(asked, row.question) || !strings.Contains(asked, fmt.Sprintf("undo entry %d", e.No)) {
				t.Fatalf("%q of %+v, want what asks %q", asked, e.Warnings, row.question)
			}
			trial := p.trial(id)
			for _, m := range trial.Measurements {
				if got := says(m.Warnings, "off_path"); (got != "") != (m.No == e.No) || m.No == e.No && got != asked {
					t.Errorf("entry %d: %q", m.No, got)
				}
			}
			if len(trial.Measurements) != len(row.others)+1 || says(trial.Ladder.Warnings, "rung_off_path")+says(trial.Ladder.Warnings, "unusual_yield") == "" {
				t.Errorf("%d measurements, %v", len(trial.Measurements), trial.Ladder.Warnings)
			}
			add[record.UndoBody](p, id, fmt.Sprintf(`{"entry": %d}`, e.No))
			trial = p.trial(id)
			for _, m := range trial.Measurements {
				if says(m.Warnings, "off_path") != "" || (m.UndoneBy != 0) != (m.No == e.No) {
					t.Errorf("after it was taken back, entry %d: undone by %d, %+v", m.No, m.UndoneBy, m.Warnings)
				}
			}
			if w := says(trial.Ladder.Warnings, "rung_off_path"); w != "" {
				t.Errorf("after it was taken back: %s", w)
			}
		})
	}
}

// TestWrongGlassIsAnother: a glass that was topped up since is not asked about for its
// own reading.
func TestWrongGlassIsAnother(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, "base_ml": 100, "glasses": ["A", "B", "C"]}`)
	add[record.PourBody](p, id, `{"glass": "B", "volume_ml": 2}`)
	p.measure("B", id, read(20, 1.1))
	add[record.PourBody](p, id, `{"glass": "B", "volume_ml": 18}`)
	if asked := says(p.trial(id).Measurements[0].Warnings, "off_path"); !strings.Contains(asked, "Was it the right glass, cell and dose?") {
		t.Errorf("%q", asked)
	}
}

// TestUnusableReading: where the addition was not read, a rung that is no redder than
// the base is kept and takes the ladder away, which is said; even steps can be planned
// all the same.
func TestUnusableReading(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"base": ` + white + `, "addition": {"name": "Cask 7"}, ` + aim + kit + around + `}`)
	p.pour(id, `"glass": "B", "volume_ml": 4`)
	p.measure("B", id, read(0, 1))
	trial := p.trial(id)
	if w := says(trial.Warnings, "no_ladder"); trial.Ladder != nil || w == "" || len(trial.Measurements) != 1 {
		t.Fatalf("ladder %v, %v", trial.Ladder, trial.Warnings)
	}
	plan := p.mustPlan(id, `{"kind": "even", "step_ml": 2, "to_ml": 4}`)
	if says(plan.Warnings, "no_ladder") == "" || len(plan.Rungs) != 3 {
		t.Errorf("%v, %v", plan.Warnings, plan.Rungs)
	}
	_, err := p.plan(id, `{"kind": "closing"}`)
	refusedAt(t, err, "/kind", "colours cannot be predicted")
	add[record.UndoBody](p, id, `{"entry": 2}`)
	p.measure("B", id, read(4, 1))
	if trial = p.trial(id); trial.Ladder == nil {
		t.Errorf("the glass was read again, and there is no ladder: %v", trial.Warnings)
	}
}

// TestFinalCheckAnswer: the check of the chosen dose with its colour and how far it
// is from the target, which the ladder does not learn from.
func TestFinalCheckAnswer(t *testing.T) {
	p := newPrinter(t)
	id := p.ordinary()
	p.pour(id, `"glass": "B", "volume_ml": 6`)
	add[record.ChoiceBody](p, id, `{"glass": "B", "reasons": "liked best"}`)
	trial := p.trial(id)
	if w := says(trial.Warnings, "no_final_check"); !strings.Contains(w, "entry 2") || !strings.Contains(w, "250 mL or more") || trial.FinalCheck != nil || trial.Choice.DoseMLPer100ML != 6 {
		t.Fatalf("choice %+v, check %+v, %v", trial.Choice, trial.FinalCheck, trial.Warnings)
	}
	ladder := trial.Ladder
	add[record.FinalCheckBody](p, id, `{"volume_ml": 265}`)
	if c := p.trial(id).FinalCheck; c == nil || c.Colour != nil || c.Difference != nil || c.Done {
		t.Errorf("poured, not read: %+v", c)
	}
	e := add[record.FinalCheckBody](p, id, `{"volume_ml": 265, "readings": `+read(6, 1)+`, "looked_again": {"at": "2099-01-01", "clear": true}}`)
	near(t, "base of the check", e.BaseInGlassML, 250)
	near(t, "addition of the check", e.AdditionInGlass, 15)
	trial = p.trial(id)
	c := trial.FinalCheck
	if c == nil || !c.Done || c.Choice != 2 || c.Dose != 6 || c.Colour == nil || c.Difference == nil || says(trial.Warnings, "no_final_check") != "" || len(trial.FinalChecks) != 2 {
		t.Fatalf("check %+v, %v", c, trial.Warnings)
	}
	if !reflect.DeepEqual(trial.Ladder, ladder) {
		t.Error("the ladder learned from the check")
	}
	// As /v1/blend answers for the same readings and target, the other wine being none.
	asked, err := calc.DecodeWhole[calc.BlendRequest]([]byte(`{"wines": [{"readings": ` + read(6, 1) + `}, ` + white + `], "fractions": [1, 0], "target": {"cielab": {"L": 85, "a": 16, "b": 4}}}`))
	if err != nil {
		t.Fatal(err)
	}
	want, err := calc.Blend(asked)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "ΔE00", *c.Difference.DeltaE00, *want.Difference.DeltaE00)
	near(t, "Δa*", *c.Difference.DA, *want.Difference.DA)
	near(t, "L*", c.Colour.CIELAB.L, want.Colour.CIELAB.L)
	// Another choice wants a check of its own.
	add[record.ChoiceBody](p, id, `{"dose_ml_per_100ml": 5, "reasons": "paler"}`)
	if trial = p.trial(id); trial.FinalCheck != nil || says(trial.Warnings, "no_final_check") == "" || trial.Choice.No != 5 || len(trial.Choices) != 2 {
		t.Errorf("choice %+v, check %+v", trial.Choice, trial.FinalCheck)
	}
}

// TestAnswersAreRemembered: what is remembered is what would be computed anew, for
// whoever asks, while others log and archive.
func TestAnswersAreRemembered(t *testing.T) {
	p := newPrinter(t)
	id := p.whole()
	fresh := func() bench.TrialAnswer {
		trial, err := bench.New(p.store).Trial(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		return trial
	}
	for range 2 {
		if got := p.trial(id); !reflect.DeepEqual(got, fresh()) {
			t.Fatal("what is remembered is not what is computed")
		}
	}
	list, err := p.Trials(t.Context(), record.Page{Limit: 10})
	if err != nil || len(list) != 1 || !reflect.DeepEqual(list[0], fresh()) {
		t.Errorf("listed %d, %v", len(list), err)
	}
	p.pour(id, `"glass": "C", "volume_ml": 1`)
	if got := p.trial(id); !reflect.DeepEqual(got, fresh()) || got.Glasses[2].PouredTotalML != 5 {
		t.Errorf("after a pour: %+v", got.Glasses)
	}
	gone, err := p.Archive(t.Context(), id)
	if err != nil || gone.ArchivedAt == nil || p.trial(id).ArchivedAt == nil || !reflect.DeepEqual(p.trial(id), fresh()) {
		t.Errorf("archived %v, %v", gone.ArchivedAt, err)
	}
}

// TestTwoAtTheBench: two who log and look at one trial at once lose nothing, and
// each entry is answered with what the glass held after it and those before.
func TestTwoAtTheBench(t *testing.T) {
	p := newPrinter(t)
	id := p.ordinary()
	const each = 12
	totals := make([][]float64, 2)
	var group sync.WaitGroup
	for person := range 2 {
		group.Go(func() {
			for i := range each {
				body := record.PourBody{Glass: "B", VolumeML: 0.5, Keyed: record.Keyed{Key: fmt.Sprint(person, "-", i)}}
				var answers [2]record.Logged
				for k := range answers { // sent twice, as when the answer was lost
					var err error
					if answers[k], err = p.Add(t.Context(), id, body.Entry()); err != nil {
						t.Error(err)
						return
					}
				}
				if !reflect.DeepEqual(answers[0], answers[1]) {
					t.Errorf("answered %+v, again %+v", answers[0], answers[1])
				}
				totals[person] = append(totals[person], answers[0].PouredTotalML)
				if _, err := p.Trial(t.Context(), id); err != nil {
					t.Error(err)
				}
			}
		})
	}
	group.Wait()
	if t.Failed() {
		return
	}
	seen := map[float64]bool{}
	for _, list := range totals {
		for i, ml := range list {
			if seen[ml] || i > 0 && ml <= list[i-1] {
				t.Errorf("running totals %v", totals)
			}
			seen[ml] = true
		}
	}
	if b := p.trial(id).Glasses[1]; len(seen) != 2*each || b.PouredTotalML != each || len(p.trial(id).Entries) != 2*each {
		t.Errorf("%g mL in %d entries", b.PouredTotalML, len(p.trial(id).Entries))
	}
}

// TestBeginLeavesItsRequest: what a trial was asked for with is not changed, so that
// it can begin another.
func TestBeginLeavesItsRequest(t *testing.T) {
	p := newPrinter(t)
	stored, _, err := p.store.CreateWine(t.Context(), record.WineFields{Name: "Press", Kind: record.Red}, &record.Reading{Measurement: record.Measurement{Readings: &calc.Readings{A420: 0.3, A520: 0.4, A620: 0.1}}})
	if err != nil {
		t.Fatal(err)
	}
	text := []byte(`{"base": ` + white + `, "addition": ` + red + `, "held": [{"wine": {"id": "` + stored.ID + `"}, "dose_ml_per_100ml": 5}], ` + around + `}`)
	asked, err := calc.DecodeWhole[record.TrialBody](text)
	if err != nil {
		t.Fatal(err)
	}
	before, err := calc.DecodeWhole[record.TrialBody](text)
	if err != nil {
		t.Fatal(err)
	}
	trial, err := p.Begin(t.Context(), asked)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(asked, before) {
		t.Errorf("the request became %+v", asked)
	}
	if h := trial.Held[0].Wine; h.Name != "Press" || h.ID != stored.ID || h.Readings == nil || trial.ReadingsUsed[0].Location != "/held/0/wine" {
		t.Errorf("held %+v, readings used %+v", h, trial.ReadingsUsed)
	}
	_, err = p.Begin(t.Context(), record.TrialBody{TrialFields: record.TrialFields{Base: asked.Base, Addition: asked.Addition, BaseML: 100, Held: []record.TrialHeld{{Wine: record.TrialWine{ID: "none"}, DoseMLPer100ML: 5}}}, Glasses: []string{"A"}})
	refusedAt(t, err, "/held/0/wine/id", "")
}

package record

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"pourpath/api/calc"
)

func read(a420, a520, a620 float64) Measurement {
	return Measurement{Readings: &calc.Readings{A420: a420, A520: a520, A620: a620}}
}

// logged is a trial of 100 mL glasses A, B, C after entries.
func logged(t testing.TB, entries ...LogEntry) Trial {
	t.Helper()
	trial := Trial{
		TrialFields: TrialFields{BaseML: 100, Base: TrialWine{Measurement: read(0.085, 0.021, 0.008)}, Addition: TrialWine{Measurement: read(2.31, 3.98, 0.67)}},
		Glasses:     []string{"A", "B", "C"},
	}
	for i, e := range entries {
		e.No = i + 1
		if err := trial.Accept(e); err != nil {
			t.Fatal(err)
		}
		trial.Log = append(trial.Log, e)
	}
	return trial
}

func into(glass string, ml float64) LogEntry { return PourBody{Glass: glass, VolumeML: ml}.Entry() }

func stated(glass string, ml, total float64) LogEntry {
	return PourBody{Glass: glass, VolumeML: ml, StatedTotalML: &total}.Entry()
}

func outOf(glass string, ml float64) LogEntry {
	return WithdrawalBody{Glass: glass, VolumeML: ml}.Entry()
}

func measured(glass string) LogEntry {
	return MeasurementBody{Glass: glass, Measurement: read(0.196, 0.216, 0.043)}.Entry()
}

// TestProgress: each entry tells what the glass held after it, and the ladder
// asks for the doses of now, with measurements at the doses of then.
func TestProgress(t *testing.T) {
	trial := logged(t, into("B", 8), measured("B"), outOf("B", 15), into("B", 2), into("A", 3), measured("C"))
	p, err := trial.Progress()
	if err != nil {
		t.Fatal(err)
	}
	// 100 mL + 8 mL, 15 mL taken out, + 2 mL is 10.32 mL per 100 mL, not 10.
	for i, want := range []float64{8, 8, 8, 10.32258064516129, 3, 0} {
		if got := p.Log[i].DoseMLPer100ML; math.Abs(got-want) > 1e-12 {
			t.Errorf("after entry %d the dose is %.17g, want %g", i+1, got, want)
		}
	}
	if b := p.Glasses[1]; b.Glass != "B" || b.PouredTotalML != 10 || math.Abs(b.BaseInGlassML-86.11111111111111) > 1e-12 {
		t.Errorf("glass B: %+v", b)
	}
	question, ok := trial.Ladder(p)
	if !ok || len(question.DosesML) != 3 || question.DosesML[0] != 3 || math.Abs(question.DosesML[1]-10.32258064516129) > 1e-12 || question.DosesML[2] != 0 {
		t.Errorf("the ladder asks for %v, %v", question.DosesML, ok)
	}
	if len(question.Measured) != 1 || question.Measured[0].DoseML != 8 {
		t.Errorf("measured: %+v, want one at 8 mL", question.Measured)
	}
	if w := p.Log[5].Warnings; len(w) == 0 || w[len(w)-1].Code != "base_alone" {
		t.Errorf("a reading of base alone: %+v", w)
	}
	if _, err := calc.Ladder(question); err != nil {
		t.Error(err)
	}
	if last, err := trial.Last(); err != nil || last.No != 6 || len(last.Warnings) != len(p.Log[5].Warnings) {
		t.Errorf("last: %+v, %v", last, err)
	}
	trial.Addition = TrialWine{Name: "not read yet"}
	if question, ok := trial.Ladder(p); !ok {
		t.Error("there is no ladder though a glass was read")
	} else if _, err := calc.Ladder(question); err != nil {
		t.Error(err)
	}
	trial.Log = nil
	if p, err = trial.Progress(); err != nil {
		t.Fatal(err)
	}
	if _, ok := trial.Ladder(p); ok || trial.Missing(p) != "addition" {
		t.Errorf("there is a ladder of a wine that nothing is known of; missing is the %q", trial.Missing(p))
	}
	trial.Base = TrialWine{Name: "not read yet"}
	if got := trial.Missing(p); got != "base" {
		t.Errorf("missing is the %q, want the base", got)
	}
}

// TestLadderOfSmallGlasses: doses are told in what was poured into base_ml,
// whatever the glass holds.
func TestLadderOfSmallGlasses(t *testing.T) {
	trial := logged(t)
	trial.BaseML = 50
	trial.Log = []LogEntry{into("A", 4), outOf("A", 27), measured("A")}
	p, err := trial.Progress()
	if err != nil {
		t.Fatal(err)
	}
	question, _ := trial.Ladder(p)
	if question.DosesML[0] != 4 || question.Measured[0].DoseML != 4 || p.Glasses[0].DoseMLPer100ML != 8 {
		t.Errorf("doses %v, measured %v, glass %+v", question.DosesML, question.Measured[0].DoseML, p.Glasses[0])
	}
}

// TestStatedTotal: a stated total that the log contradicts is warned of, with
// the likeliest slip; one that agrees within the rounding of sums is not.
func TestStatedTotal(t *testing.T) {
	for _, row := range []struct {
		name   string
		before []LogEntry
		entry  LogEntry
		words  string // "" for no warning
	}{
		{"it agrees", []LogEntry{into("A", 3)}, stated("A", 2, 5), ""},
		{"a sum of thirds", []LogEntry{into("A", 0.333), into("A", 0.333)}, stated("A", 0.333, 1), ""},
		{"sipped, and the total still counts", []LogEntry{into("A", 8), outOf("A", 15)}, stated("A", 2, 10), ""},
		{"within the slack", nil, stated("A", 5, 5.02), ""},
		{"beyond the slack", nil, stated("A", 5, 5.05), "0.05 mL more are stated"},
		{"a division of a small syringe", nil, stated("A", 0.5, 0.55), "more are stated"},
		// A glass at 3 mL that gets 2 mL more holds 5, whatever anyone says.
		{"this pour not counted", []LogEntry{into("A", 3)}, stated("A", 2, 3), "without the last pour of 2 mL"},
		{"counted twice", []LogEntry{into("A", 3)}, stated("A", 2, 7), "with the last pour of 2 mL twice"},
		{"wrong glass", []LogEntry{into("A", 3), into("B", 8)}, stated("A", 1, 9), "poured into glass B?"},
		{"totals mixed up", []LogEntry{into("A", 3), into("B", 8)}, stated("A", 1, 8), "the total of glass B"},
		{"earlier ones left out", []LogEntry{into("A", 3), into("A", 4)}, stated("A", 1, 1), "the last pour alone"},
		{"what is left", []LogEntry{into("A", 8), outOf("A", 54)}, stated("A", 2, 6), "what is left of the addition"},
		{"all in the glass", nil, stated("A", 2, 102), "base and addition"},
		{"an earlier one left out", []LogEntry{into("A", 3), into("A", 4)}, stated("A", 1, 5), "leaves out the pour of 3 mL (entry 1)"},
		{"one not logged", []LogEntry{into("A", 3), into("A", 4)}, stated("A", 1, 12), "4 mL more than the log has, as much as entry 2"},
		{"logged for another glass", []LogEntry{into("A", 3), into("B", 2.5), into("B", 6)}, stated("A", 1, 6.5), "logged for glass B (entry 2)"},
		{"unknown", []LogEntry{into("A", 3)}, stated("A", 1, 2.2), "1.8 mL less"},
	} {
		t.Run(row.name, func(t *testing.T) {
			trial := logged(t, append(row.before, row.entry)...)
			last, err := trial.Last()
			if err != nil {
				t.Fatal(err)
			}
			switch {
			case row.words == "" && len(last.Warnings) > 0:
				t.Errorf("warned: %+v", last.Warnings)
			case row.words != "" && (len(last.Warnings) != 1 || last.Warnings[0].Code != "total_mismatch" || !strings.Contains(last.Warnings[0].Message, row.words)):
				t.Errorf("%+v, want total_mismatch that says %q", last.Warnings, row.words)
			}
		})
	}
	trial := logged(t)
	trial.BaseML = 50
	trial.Log = []LogEntry{into("A", 3), stated("A", 1, 8)}
	if last, err := trial.Last(); err != nil || len(last.Warnings) != 1 || !strings.Contains(last.Warnings[0].Message, "per 100 mL of base, not the mL") {
		t.Errorf("a dose for a total: %+v, %v", last.Warnings, err)
	}
}

func TestLogIsRefused(t *testing.T) {
	trial := logged(t, into("A", 3))
	for _, e := range []LogEntry{into("D", 1), outOf("A", 104), into("A", 3000)} {
		if calc.AsProblem(trial.Accept(e)) == nil {
			t.Errorf("%+v is taken", e)
		}
	}
	trial.Log = append(trial.Log, outOf("A", 500))
	if _, err := trial.Progress(); !errors.Is(err, ErrDamaged) {
		t.Errorf("a stored log that cannot be: %v, want ErrDamaged", err)
	}
	trial.Log = []LogEntry{{Kind: "spell", Glass: "A"}}
	if _, err := trial.Progress(); err == nil {
		t.Error("an unknown kind of entry is passed over")
	}
	trial.Log = make([]LogEntry, mostEntries)
	if err := trial.Accept(into("A", 1)); err == nil || !strings.Contains(err.Error(), "another trial") {
		t.Errorf("an endless log: %v", err)
	}
	now := Instant{}
	trial.ArchivedAt = &now
	if err := trial.Accept(into("A", 1)); !errors.Is(err, ErrArchived) {
		t.Errorf("archived: %v", err)
	}
}

// TestBodiesChecked: faults that the schema cannot see are found before anything
// is kept.
func TestBodiesChecked(t *testing.T) {
	trial := func(glasses, rest string) string {
		return `{"base": {"readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008}}, "addition": {"name": "not read yet"}, "base_ml": 100, "glasses": ` + glasses + rest + `}`
	}
	body := func(text string, decode func([]byte) error) func() error {
		return func() error { return decode([]byte(text)) }
	}
	for _, row := range []struct {
		name  string
		do    func() error
		place string // "" for no fault
		words string
	}{
		{"whole", body(trial(`["A", "B"]`, ""), decoded[TrialBody]), "-", ""},
		{"stored wines are looked up later", body(`{"base": {"id": "x"}, "addition": {"id": "y"}, "base_ml": 100, "target": {"id": "z"}, "glasses": ["A"]}`, decoded[TrialBody]), "-", ""},
		{"no glass", body(trial(`[]`, ""), decoded[TrialBody]), "/glasses", ""},
		{"a label twice", body(trial(`["A", "B", "A"]`, ""), decoded[TrialBody]), "/glasses/2", "glasses 1 and 3"},
		{"a blank label", body(trial(`["A", " "]`, ""), decoded[TrialBody]), "/glasses/1", "label"},
		{"a long label", body(trial(`["`+strings.Repeat("x", 41)+`"]`, ""), decoded[TrialBody]), "/glasses/0", "40"},
		{"no base", body(`{"base": {}, "addition": {"name": "x"}, "base_ml": 100, "glasses": ["A"]}`, decoded[TrialBody]), "/base", "which wine"},
		{"base twice", body(`{"base": {"id": "x", "readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008}}, "addition": {"name": "x"}, "base_ml": 100, "glasses": ["A"]}`, decoded[TrialBody]), "/base", "not several"},
		{"a reading beyond", body(`{"base": {"readings": {"a420": 85, "a520": 0.021, "a620": 0.008}}, "addition": {"name": "x"}, "base_ml": 100, "glasses": ["A"]}`, decoded[TrialBody]), "/base/readings/a420", ""},
		{"a target that is none", body(trial(`["A"]`, `, "target": {"intensity": 1}`), decoded[TrialBody]), "/target/tint", ""},
		{"no volume of base", body(`{"base": {"name": "x"}, "addition": {"name": "x"}, "base_ml": 0, "glasses": ["A"]}`, decoded[TrialBody]), "/base_ml", ""},
		{"a pour", body(`{"glass": "A", "volume_ml": 2}`, decoded[PourBody]), "-", ""},
		{"a pour of nothing", body(`{"glass": "A", "volume_ml": 0}`, decoded[PourBody]), "/volume_ml", "> 0"},
		{"a pour at no time", body(`{"glass": "A", "volume_ml": 1, "at": "noon"}`, decoded[PourBody]), "/at", "no time"},
		{"a sip for no reason there is", body(`{"glass": "A", "volume_ml": 1, "why": "thirst"}`, decoded[WithdrawalBody]), "/why", ""},
		{"a measurement of nothing", body(`{"glass": "A"}`, decoded[MeasurementBody]), "", "exactly one"},
		{"a measurement beyond", body(`{"glass": "A", "readings": {"a420": 9, "a520": 1, "a620": 1}}`, decoded[MeasurementBody]), "/readings/a420", ""},
		{"a specification", body(`{"limits": {"L": [80, 90]}}`, decoded[SpecBody]), "-", ""},
		{"a specification of a stored target", body(`{"target": {"id": "x"}, "tolerance": {"delta_e_00": 1}}`, decoded[SpecBody]), "-", ""},
		{"a specification of nothing", body(`{"name": "x"}`, decoded[SpecBody]), "", "nothing to judge"},
		{"limits exchanged", body(`{"limits": {"L": [90, 80]}}`, decoded[SpecBody]), "/limits/L", ""},
		{"a light there is not", body(`{"limits": {"L": [80, 90]}, "view": {"illuminant": "X"}}`, decoded[SpecBody]), "/view/illuminant", ""},
		{"a lot", body(`{"name": "x", "spec": "y"}`, decoded[LotBody]), "-", ""},
		{"a lot without a name", body(`{"name": " ", "spec": "y"}`, decoded[LotBody]), "/name", ""},
		{"a sample", body(`{"cielab": {"L": 70, "a": -40, "b": -40, "path_mm": 10}}`, decoded[SampleBody]), "-", ""},
		{"a sample twice", body(`{"cielab": {"L": 70, "a": 4, "b": 4, "path_mm": 10}, "readings": {"a420": 0.1, "a520": 0.1, "a620": 0.1}}`, decoded[SampleBody]), "", "here are 2"},
		{"a sample beyond", body(`{"readings": {"a420": 9, "a520": 1, "a620": 1}}`, decoded[SampleBody]), "/readings/a420", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			err := row.do()
			if row.place == "-" {
				if err != nil {
					t.Error(err)
				}
				return
			}
			p := calc.AsProblem(err)
			if p == nil {
				t.Fatalf("error %v, want a problem", err)
			}
			if p.Errors[0].Location != row.place || !strings.Contains(p.Errors[0].Message, row.words) {
				t.Errorf("%+v, want one at %q that says %q", p.Errors, row.place, row.words)
			}
		})
	}
}

func decoded[T calc.Request](text []byte) error {
	_, err := calc.DecodeWhole[T](text)
	return err
}

// TestSampleJSON: a sample's answer has the fields of a check beside its own.
func TestSampleJSON(t *testing.T) {
	text, err := json.Marshal(Sample{ID: "s", LotID: "l", SampleBody: SampleBody{Measurement: read(0.1, 0.2, 0.3)}, Judgement: Judgement{Spec: "x", SpecVersion: 1, CheckResponse: calc.CheckResponse{Verdict: "pass"}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"id":"s"`, `"readings":{"a420":0.1`, `"spec":"x","spec_version":1`, `"verdict":"pass"`, `"difference":null`, `"results":`} {
		if !strings.Contains(string(text), want) {
			t.Errorf("%s lacks %s", text, want)
		}
	}
}

package record

import (
	"math"
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
)

func undo(no int) LogEntry { return UndoBody{No: no, Why: "a slip", By: "Ada"}.Entry() }

func chosen(dose float64) LogEntry { return ChoiceBody{Dose: &dose, Reasons: "liked best"}.Entry() }

func chosenGlass(glass string) LogEntry {
	return ChoiceBody{Glass: glass, Reasons: "liked best"}.Entry()
}

func checked(ml float64) LogEntry {
	return FinalCheckBody{VolumeML: &ml, Measurement: read(0.19, 0.2, 0.04)}.Entry()
}

// lookedAgain is a look the next day; entries of these tests have no time of their
// own, which is the year 1.
func lookedAgain(clear bool) LogEntry {
	nextDay := At(time.Date(1, 1, 2, 9, 0, 0, 0, time.UTC))
	return FinalCheckBody{LookedAgain: &LookedAgain{At: &nextDay, Clear: clear, Note: "as it was"}}.Entry()
}

func progress(t *testing.T, trial Trial) Progress {
	t.Helper()
	p, err := trial.Progress()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestUndo: an entry that is taken back stays in the log and counts no more, until
// its undo is taken back too.
func TestUndo(t *testing.T) {
	trial := logged(t, into("A", 3), into("A", 2), undo(1))
	for _, step := range []struct {
		then       []LogEntry
		total      float64
		by1, by2   int // what took entries 1 and 2 back
		undoStands bool
	}{
		{nil, 2, 3, 0, true},
		{[]LogEntry{undo(3)}, 5, 0, 0, false},
		{[]LogEntry{undo(1), undo(2)}, 0, 5, 6, false},
		{[]LogEntry{undo(6), into("A", 1)}, 3, 5, 0, false},
	} {
		follow(t, &trial, step.then...)
		p := progress(t, trial)
		if got := p.Glasses[0].PouredTotalML; got != step.total || p.Log[0].UndoneBy != step.by1 || p.Log[1].UndoneBy != step.by2 || (p.Log[2].UndoneBy == 0) != step.undoStands {
			t.Errorf("after %d entries: %g mL, taken back by %d and %d; want %+v", len(trial.Log), got, p.Log[0].UndoneBy, p.Log[1].UndoneBy, step)
		}
		if len(p.Log) != len(trial.Log) || p.Log[2].Glass != "A" || p.Log[2].Undoes != 1 || p.Log[2].Who != "Ada" || p.Log[2].Why != "a slip" {
			t.Errorf("the undo: %+v", p.Log[2])
		}
	}
	// A measurement that is taken back teaches nothing; a pour before it moves its dose.
	trial = logged(t, into("A", 3), into("A", 2), measured("A"), into("B", 6), measured("B"), undo(5), undo(1))
	if rungs := progress(t, trial).Rungs(); len(rungs) != 1 || rungs[0].No != 3 || rungs[0].DoseMLPer100ML != 2 {
		t.Errorf("rungs %+v", rungs)
	}
}

// TestUndoRefused: what cannot be taken back, with the entry that stands in the way.
func TestUndoRefused(t *testing.T) {
	for _, row := range []struct {
		name  string
		log   []LogEntry
		no    int
		words string
	}{
		{"nothing there", []LogEntry{into("A", 3)}, 2, "the log has 1 entries: there is no entry 2"},
		{"no number", []LogEntry{into("A", 3)}, 0, "there is no entry 0"},
		{"twice", []LogEntry{into("A", 3), undo(1)}, 1, "taken back already, by entry 2; to let it stand again, undo entry 2"},
		{"more was taken out since", []LogEntry{into("A", 8), outOf("A", 104)}, 1, "entry 2 (withdrawal of 104 mL, glass A) could not have been: there are 100 mL in the glass"},
		{"an undo that lets that happen", []LogEntry{into("A", 8), outOf("A", 60), undo(2), outOf("A", 60)}, 3, "entry 4 (withdrawal of 60 mL, glass A) could not have been: there are 48 mL"},
		{"a choice with its check", []LogEntry{into("A", 8), chosenGlass("A"), checked(250)}, 2, "entry 3 (final check) could not have been: no dose is chosen yet"},
		{"a check that was looked at again", []LogEntry{chosen(8), checked(250), lookedAgain(true)}, 2, "entry 3 (final check) could not have been: there is no final check yet"},
		{"a second choice, so that its check would be of the first", []LogEntry{chosen(8), chosen(6), checked(250)}, 2, "final check (entry 3) would be of a dose of 8 mL per 100 mL, and 6 were poured for it. Take entry 3 back first"},
		{"a pour whose glass was chosen and checked", []LogEntry{into("A", 3), into("A", 5), chosenGlass("A"), checked(250)}, 2, "would be of a dose of 3 mL per 100 mL, and 8 were poured"},
		{"an undo that gives an old check another choice", []LogEntry{chosen(8), chosen(6), checked(250), undo(3), undo(2)}, 4, "would be of a dose of 8 mL per 100 mL, and 6 were poured"},
	} {
		t.Run(row.name, func(t *testing.T) {
			f := refusal(t, logged(t, row.log...), undo(row.no))
			if f.Location != "/entry" || !strings.Contains(f.Message, row.words) || f.Value != row.no {
				t.Errorf("%+v, want one at /entry that says %q", f, row.words)
			}
		})
	}
	// With the check taken back first it goes.
	trial := logged(t, chosen(8), chosen(6), checked(250), undo(3), undo(2))
	if p := progress(t, trial); p.Choice == nil || p.Choice.No != 1 || p.FinalCheck != nil {
		t.Errorf("choice %+v, check %+v", p.Choice, p.FinalCheck)
	}
	// A stored log that undoes itself comes to an end.
	trial = logged(t)
	trial.Log = []LogEntry{{No: 1, Kind: Undo, Undoes: 1}, {No: 2, Kind: Undo, Undoes: 9}}
	progress(t, trial)
}

// TestChoice: by its glass with the dose of then, or as a number; the latest that
// stands counts.
func TestChoice(t *testing.T) {
	trial := logged(t, into("A", 8), outOf("A", 15), into("A", 2), chosenGlass("A"), into("A", 5))
	p := progress(t, trial)
	if c := p.Choice; c == nil || c.No != 4 || c.DoseMLPer100ML < 10.322 || c.DoseMLPer100ML > 10.323 || c.Reasons != "liked best" || !(c.UDose > 0) {
		t.Errorf("choice %+v", c)
	}
	follow(t, &trial, chosen(7.5))
	c := progress(t, trial).Choice
	if c.No != 6 || c.DoseMLPer100ML != 7.5 || c.UDose != 0 || c.AdditionInGlass != 7.5 || c.AdditionFraction != 7.5/107.5 {
		t.Errorf("choice %+v", c)
	}
	follow(t, &trial, undo(6))
	if c := progress(t, trial).Choice; c == nil || c.No != 4 {
		t.Errorf("choice %+v, want that of entry 4 again", c)
	}
	if f := refusal(t, trial, chosenGlass("Z")); f.Location != "/glass" || !strings.Contains(f.Message, `"A", "B", "C"`) {
		t.Errorf("an unknown glass: %+v", f)
	}
	// Notes keep the dose of the glass as it was.
	score := 12.5
	follow(t, &trial, NoteBody{Glass: "A", Score: &score, Scale: "of 20"}.Entry())
	if last := newest(t, trial); last.DoseMLPer100ML == 0 || *last.Score != 12.5 || last.Note != "" {
		t.Errorf("note %+v", last)
	}
	if f := refusal(t, trial, NoteBody{Glass: "Z", Note: "x"}.Entry()); f.Location != "/glass" {
		t.Errorf("a note of an unknown glass: %+v", f)
	}
}

// TestFinalCheck: what has become of the check of the chosen dose.
func TestFinalCheck(t *testing.T) {
	unread := func(ml float64) LogEntry { return FinalCheckBody{VolumeML: &ml}.Entry() }
	for _, row := range []struct {
		name   string
		log    []LogEntry
		codes  []string // of the last entry
		volume float64
		parts  int
		done   bool
	}{
		{"poured and read", []LogEntry{chosen(8), checked(270)}, []string{"look_again"}, 270, 1, false},
		{"too little", []LogEntry{chosen(8), checked(249.9)}, []string{"small_final_check", "look_again"}, 249.9, 1, false},
		{"too little, and looked at again", []LogEntry{chosen(8), checked(249.9), lookedAgain(true)}, []string{"small_final_check"}, 249.9, 2, false},
		{"not read", []LogEntry{chosen(8), unread(250)}, []string{"final_check_not_read", "look_again"}, 250, 1, false},
		{"whole", []LogEntry{chosen(8), checked(270), lookedAgain(true)}, nil, 270, 2, true},
		{"whole, and not clear", []LogEntry{chosen(8), checked(270), lookedAgain(false)}, []string{"not_clear"}, 270, 2, true},
		{"looked at, never read", []LogEntry{chosen(8), unread(250), lookedAgain(true)}, []string{"final_check_not_read"}, 250, 2, false},
		{"poured anew", []LogEntry{chosen(8), checked(100), lookedAgain(false), checked(250)}, []string{"look_again"}, 250, 1, false},
		{"a second look", []LogEntry{chosen(8), checked(270), lookedAgain(true), lookedAgain(false)}, []string{"not_clear"}, 270, 3, true},
	} {
		t.Run(row.name, func(t *testing.T) {
			trial := logged(t, row.log...)
			last := newest(t, trial)
			wants(t, last.Warnings, row.codes...)
			c := progress(t, trial).FinalCheck
			if c == nil || c.Volume != row.volume || len(c.Entries) != row.parts || c.Done != row.done || c.Choice != 1 || c.Dose != 8 {
				t.Fatalf("%+v, want %+v", c, row)
			}
			// What such a glass holds: base, addition and their fractions by hand.
			if addition := row.volume * 8 / 108; !nearly(last.AdditionInGlass, addition) || !nearly(last.BaseInGlassML, row.volume-addition) || last.DoseMLPer100ML != 8 || !nearly(last.UDose, 8*0.007*math.Sqrt2) {
				t.Errorf("%+v", last.Content)
			}
		})
	}
	if f := refusal(t, logged(t), checked(250)); !strings.Contains(f.Message, "choose one first") {
		t.Errorf("without a choice: %+v", f)
	}
	if f := refusal(t, logged(t, chosen(8)), lookedAgain(true)); f.Location != "/volume_ml" || !strings.Contains(f.Message, "no final check yet of the dose that entry 1 chose") {
		t.Errorf("looked at before it was poured: %+v", f)
	}
	// Another choice wants a check of its own, and the ladder learns from none.
	p := progress(t, logged(t, chosen(8), checked(250), chosen(6)))
	if p.FinalCheck != nil || len(p.Rungs()) != 0 {
		t.Errorf("check %+v, rungs %+v", p.FinalCheck, p.Rungs())
	}
	// With a wine held in the base its part is there too.
	trial := logged(t)
	trial.Held = []TrialHeld{{Wine: TrialWine{Name: "press"}, DoseMLPer100ML: 20}}
	follow(t, &trial, chosen(10), checked(260))
	if last := newest(t, trial); !nearly(last.BaseInGlassML, 200) || !nearly(last.HeldInGlassML, 40) || !nearly(last.AdditionInGlass, 20) || !nearly(last.AdditionFraction, 20./260) {
		t.Errorf("%+v", last.Content)
	}
}

func nearly(got, want float64) bool { return got-want < 1e-9 && want-got < 1e-9 }

// TestJudgingChecked: faults of what is sent about a choice, found before anything
// is kept.
func TestJudgingChecked(t *testing.T) {
	for _, row := range []struct {
		name, body   string
		do           func([]byte) error
		place, words string
	}{
		{"an undo of nothing", `{}`, decoded[UndoBody], "/entry", ""},
		{"an undo at no time", `{"entry": 1, "at": "noon"}`, decoded[UndoBody], "/at", "no time"},
		{"a note of nothing", `{"glass": "A", "note": " "}`, decoded[NoteBody], "", "nothing noted"},
		{"a scale alone", `{"glass": "A", "note": "x", "scale": "of 20"}`, decoded[NoteBody], "/scale", "goes with a score"},
		{"a score beyond", `{"glass": "A", "score": 101}`, decoded[NoteBody], "/score", ""},
		{"a choice of nothing", `{"reasons": "x"}`, decoded[ChoiceBody], "", "one of the two"},
		{"a choice of two", `{"glass": "A", "dose_ml_per_100ml": 8, "reasons": "x"}`, decoded[ChoiceBody], "", "one of the two"},
		{"a choice for no reason", `{"glass": "A", "reasons": " "}`, decoded[ChoiceBody], "/reasons", "say why"},
		{"a dose below 0", `{"dose_ml_per_100ml": -1, "reasons": "x"}`, decoded[ChoiceBody], "/dose_ml_per_100ml", ""},
		{"a check of nothing", `{}`, decoded[FinalCheckBody], "/volume_ml", "250 mL or more"},
		{"a check looked at at no time", `{"looked_again": {"at": "noon", "clear": true}}`, decoded[FinalCheckBody], "/looked_again/at", "no time"},
		{"a check read twice", `{"volume_ml": 250, "readings": {"a420": 0.1, "a520": 0.1, "a620": 0}, "cielab": {"L": 80, "a": 1, "b": 1, "path_mm": 10}}`, decoded[FinalCheckBody], "", "exactly one"},
		{"circumstances of no reading", `{"volume_ml": 250, "temperature_c": 20}`, decoded[FinalCheckBody], "", "no reading is given"},
		{"a held wine of none", `{"base": {"name": "x"}, "addition": {"name": "y"}, "base_ml": 100, "glasses": ["A"], "held": [{"wine": {"name": "z"}, "dose_ml_per_100ml": 0}]}`, decoded[TrialBody], "/held/0/dose_ml_per_100ml", ""},
		{"a held wine without a name", `{"base": {"name": "x"}, "addition": {"name": "y"}, "base_ml": 100, "glasses": ["A"], "held": [{"wine": {}, "dose_ml_per_100ml": 5}]}`, decoded[TrialBody], "/held/0/wine", "which wine"},
		{"more than a glass takes", `{"base": {"name": "x"}, "addition": {"name": "y"}, "base_ml": 100000, "glasses": ["A"], "held": [{"wine": {"name": "z"}, "dose_ml_per_100ml": 5}]}`, decoded[TrialBody], "/held", "105000 mL"},
		{"tools of one name", `{"base": {"name": "x"}, "addition": {"name": "y"}, "base_ml": 100, "glasses": ["A"], "tools": [{"measure": "teaspoon"}, {"measure": "Teaspoon"}]}`, decoded[TrialBody], "/tools/1/name", "name of its own"},
		{"a cylinder without a scale", `{"base": {"name": "x"}, "addition": {"name": "y"}, "base_ml": 100, "glasses": ["A"], "tools": [{"kind": "cylinder", "capacity_ml": 10}]}`, decoded[TrialBody], "/tools/0/graduation_ml", "needs its graduation"},
		{"a sample of nothing", `{"base": {"name": "x"}, "addition": {"name": "y"}, "base_ml": 100, "glasses": ["A"], "sample_volumes_ml": [50, -1]}`, decoded[TrialBody], "/sample_volumes_ml/1", "above 0"},
		{"no visible step", `{"base": {"name": "x"}, "addition": {"name": "y"}, "base_ml": 100, "glasses": ["A"], "visible_step": 0}`, decoded[TrialBody], "/visible_step", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			p := calc.AsProblem(row.do([]byte(row.body)))
			if p == nil || p.Errors[0].Location != row.place || !strings.Contains(p.Errors[0].Message, row.words) {
				t.Errorf("%+v, want a fault at %q that says %q", p, row.place, row.words)
			}
		})
	}
}

package record

import (
	"math"
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
)

// equipped is logged with tools at hand.
func equipped(t testing.TB, entries ...LogEntry) Trial {
	t.Helper()
	trial := logged(t)
	trial.Tools = []calc.Tool{
		{Name: "syringe", Kind: "syringe", CapacityML: 10, GraduationML: 0.5},
		{Name: "cylinder", Kind: "cylinder", CapacityML: 10, GraduationML: 0.2, Class: "B"},
		{Name: "tablespoon", Kind: "spoon", CapacityML: 15},
	}
	follow(t, &trial, entries...)
	return trial
}

// follow adds entries that a trial must accept.
func follow(t testing.TB, trial *Trial, entries ...LogEntry) {
	t.Helper()
	for _, e := range entries {
		e.No = len(trial.Log) + 1
		if err := trial.Accept(e); err != nil {
			t.Fatalf("entry %d: %v", e.No, err)
		}
		trial.Log = append(trial.Log, e)
	}
}

// newest is the last entry with what it came to.
func newest(t testing.TB, trial Trial) Logged {
	t.Helper()
	last, err := trial.Last()
	if err != nil {
		t.Fatal(err)
	}
	return last
}

func measuredWith(tool string, fills int, e LogEntry) LogEntry {
	e.Tool, e.Fills = tool, fills
	return e
}

// wants fails unless a list warns of the codes, in that order, and of no other.
func wants(t *testing.T, list []calc.Warning, codes ...string) {
	t.Helper()
	var got []string
	for _, w := range list {
		got = append(got, w.Code)
	}
	if strings.Join(got, " ") != strings.Join(codes, " ") {
		t.Errorf("warned of %v, want %v: %+v", got, codes, list)
	}
}

// refusal is the fault that an entry is refused with.
func refusal(t *testing.T, trial Trial, e LogEntry) calc.Fault {
	t.Helper()
	p := calc.AsProblem(trial.Accept(e))
	if p == nil || len(p.Errors) != 1 {
		t.Fatalf("%+v: %+v, want one fault", e, p)
	}
	return p.Errors[0]
}

// TestPourWithTool: the uncertainty of a dose by hand, for what a tool of the trial
// measured. Limits: 10 mL class B cylinder ±0.2 mL, triangular (a/√6); reading half a
// graduation, rectangular (g/√12); base 0.7 % of the dose where nobody says how it
// was measured.
func TestPourWithTool(t *testing.T) {
	const bias, line = 0.2, 0.2 // limit and graduation, mL
	reading := line / math.Sqrt(12)
	for _, row := range []struct {
		name    string
		entries []LogEntry
		dose    float64
		shared  float64 // the tool's own, as mL
		own     float64 // of the readings, as mL
	}{
		{"one pour", []LogEntry{measuredWith("cylinder", 0, into("A", 4))}, 4, bias / math.Sqrt(6), reading},
		{"whatever the case", []LogEntry{measuredWith(" Cylinder ", 0, into("A", 4))}, 4, bias / math.Sqrt(6), reading},
		{"two fills as said", []LogEntry{measuredWith("cylinder", 2, into("A", 14))}, 14, 2 * bias / math.Sqrt(6), math.Sqrt2 * reading},
		{"two fills where one would do", []LogEntry{measuredWith("cylinder", 2, into("A", 8))}, 8, 2 * bias / math.Sqrt(6), math.Sqrt2 * reading},
		{"two pours", []LogEntry{measuredWith("cylinder", 0, into("A", 4)), measuredWith("cylinder", 0, into("A", 4))}, 8, 2 * bias / math.Sqrt(6), math.Sqrt2 * reading},
		{"half-way between two lines", []LogEntry{measuredWith("cylinder", 0, into("A", 4.1))}, 4.1, bias / math.Sqrt(6), math.Hypot(reading, 0.1/math.Sqrt(3))},
		{"no tool of the trial", []LogEntry{measuredWith("a ladle", 0, into("A", 4))}, 4, 4 * 0.007 / math.Sqrt2, 4 * 0.007 / math.Sqrt2},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := newest(t, equipped(t, row.entries...))
			base := 0.007 * row.dose
			if want := math.Sqrt(row.shared*row.shared + row.own*row.own + base*base); math.Abs(got.DoseMLPer100ML-row.dose) > 1e-12 || math.Abs(got.UDose-want) > 1e-9 {
				t.Errorf("dose %.12g, u %.9g; want %g and %.9g", got.DoseMLPer100ML, got.UDose, row.dose, want)
			}
		})
	}
}

// TestToolIsHeldAgainst: more than a tool holds is refused with its place, and a
// volume between two lines is asked about and kept.
func TestToolIsHeldAgainst(t *testing.T) {
	for _, row := range []struct {
		name  string
		entry LogEntry
		place string // of a refusal
		words string
	}{
		{"more than it holds", measuredWith("syringe", 0, into("A", 12)), "/volume_ml", `holds 10 mL, not 12: was it another tool? If it was filled 2 times, say so in "fills"`},
		{"more than so many fills", measuredWith("syringe", 2, into("A", 21)), "/volume_ml", "filled 3 times"},
		{"taken out with it", measuredWith("tablespoon", 1, outOf("A", 16)), "/volume_ml", "holds 15 mL, not 16"},
		{"filled twice", measuredWith("syringe", 2, into("A", 20)), "", ""},
		{"on the first line", measuredWith("syringe", 0, into("A", 0.5)), "", ""},
		{"two spoons", measuredWith("tablespoon", 2, into("A", 30)), "", ""},
		{"between two lines", measuredWith("syringe", 0, into("A", 3.3)), "", "3.3 mL is between two lines of the syringe (every 0.5 mL): was it 3 or 3.5 mL?"},
		{"between two lines in two fills", measuredWith("syringe", 2, into("A", 12.3)), "", "was it 12 or 12.5 mL?"},
		{"below the first line", measuredWith("syringe", 0, into("A", 0.2)), "", "was it 0.5 mL, the least that it measures?"},
		{"a spoon and a half", measuredWith("tablespoon", 2, into("A", 22.5)), "", "no whole number of fills of the tablespoon (15 mL)"},
	} {
		t.Run(row.name, func(t *testing.T) {
			trial := equipped(t)
			if row.place != "" {
				if f := refusal(t, trial, row.entry); f.Location != row.place || !strings.Contains(f.Message, row.words) {
					t.Errorf("%+v, want one at %s that says %q", f, row.place, row.words)
				}
				return
			}
			follow(t, &trial, row.entry)
			last := newest(t, trial)
			if row.words == "" {
				wants(t, last.Warnings)
				return
			}
			wants(t, last.Warnings, "off_graduation")
			if !strings.Contains(last.Warnings[0].Message, row.words) || last.PouredTotalML != *row.entry.VolumeML {
				t.Errorf("%+v, want what says %q; poured %g mL", last.Warnings, row.words, last.PouredTotalML)
			}
		})
	}
}

// TestLadderKnowsTheTools: a rung's dose goes to the ladder with how well it is
// known, where a tool of the trial says so.
func TestLadderKnowsTheTools(t *testing.T) {
	trial := equipped(t, measuredWith("cylinder", 0, into("A", 4)), measured("A"), into("B", 4), measured("B"))
	p, err := trial.Progress()
	if err != nil {
		t.Fatal(err)
	}
	question, _ := trial.Ladder(p)
	u := question.Measured[0].UDose
	if want := 100 * 0.2 / math.Sqrt(6) / 4; u == nil || math.Abs(u.SharedPercent-math.Hypot(want, 0.7/math.Sqrt2)) > 1e-9 || !(u.OwnPercent > 100*0.2/math.Sqrt(12)/4) {
		t.Errorf("u %+v, want %g %% shared, and what the base has", u, want)
	}
	if question.Measured[1].UDose != nil {
		t.Errorf("an unnamed tool is known to %+v", question.Measured[1].UDose)
	}
}

// TestSlips: each kind of slip by its own log, the likeliest first.
func TestSlips(t *testing.T) {
	for _, row := range []struct {
		kind, glass string
		entry       int
		before      []LogEntry
		stated      LogEntry
		words       string
	}{
		{"logged_twice", "", 3, []LogEntry{into("A", 3), into("A", 2)}, stated("A", 2, 5), "Entries 2 and 3 are both 2 mL into glass A"},
		{"not_counted", "", 2, []LogEntry{into("A", 3)}, stated("A", 2, 3), "without the last pour of 2 mL"},
		{"missed_pour", "", 0, []LogEntry{into("A", 2), into("A", 3)}, stated("A", 1, 8), "2 mL more than the log has, as much as entry 1"},
		{"wrong_glass", "B", 3, []LogEntry{into("A", 3), into("B", 8)}, stated("A", 1, 9), "poured into glass B?"},
		{"other_glass", "B", 0, []LogEntry{into("A", 3), into("B", 8)}, stated("A", 1, 8), "the two glasses mixed up"},
		{"last_alone", "", 3, []LogEntry{into("A", 3), into("A", 4)}, stated("A", 1, 1), "were the earlier ones left out"},
		{"counted_twice", "", 2, []LogEntry{into("A", 3)}, stated("A", 2, 7), "twice"},
		{"earlier_pour", "", 1, []LogEntry{into("A", 3), into("A", 4)}, stated("A", 1, 5), "leaves out the pour of 3 mL (entry 1)"},
		{"decimal", "", 0, []LogEntry{into("A", 3)}, stated("A", 1, 40), "ten times"},
		{"left_in_glass", "", 0, []LogEntry{into("A", 8), outOf("A", 54)}, stated("A", 2, 6), "what is left of the addition"},
		{"whole_contents", "", 0, nil, stated("A", 2, 102), "base and addition"},
		{"unexplained", "", 0, []LogEntry{into("A", 3)}, stated("A", 1, 2.2), "1.8 mL less"},
	} {
		t.Run(row.kind, func(t *testing.T) {
			last := newest(t, logged(t, append(row.before, row.stated)...))
			if len(last.Slips) == 0 {
				t.Fatal("no slip is found")
			}
			// A pour counted twice and one as large that was not logged give the same total:
			// the second is asked first.
			s := last.Slips[0]
			if row.kind == "counted_twice" && s.Kind == "missed_pour" {
				s = last.Slips[1]
			}
			if s.Kind != row.kind || s.Glass != row.glass || s.Entry != row.entry || !strings.Contains(s.Words, row.words) {
				t.Errorf("%+v, want %s of glass %q, entry %d, that says %q", s, row.kind, row.glass, row.entry, row.words)
			}
			wants(t, last.Warnings, "total_mismatch")
			if !strings.Contains(last.Warnings[0].Message, s.Words) || !strings.HasSuffix(last.Warnings[0].Message, "The pour is kept, and the dose is computed from the log.") {
				t.Errorf("%s", last.Warnings[0].Message)
			}
		})
	}
	// What was taken back is no pour: 3 mL that were undone are not in the total.
	trial := logged(t, into("A", 3), UndoBody{No: 1}.Entry(), stated("A", 2, 2))
	wants(t, newest(t, trial).Warnings)
	follow(t, &trial, stated("A", 2, 7))
	wants(t, newest(t, trial).Warnings, "total_mismatch")
}

// TestDoseForTotalWithHeldWine: the dose that a person mistakes for the total is the
// one that is shown, per base alone.
func TestDoseForTotalWithHeldWine(t *testing.T) {
	trial := logged(t)
	trial.BaseML, trial.Held = 50, []TrialHeld{{Wine: TrialWine{Name: "press"}, DoseMLPer100ML: 20}}
	follow(t, &trial, into("A", 3), stated("A", 2, 10))
	last := newest(t, trial)
	if last.DoseMLPer100ML != 10 || last.BaseInGlassML != 50 || math.Abs(last.HeldInGlassML-10) > 1e-12 || math.Abs(last.AdditionFraction-5./65) > 1e-12 {
		t.Errorf("%+v", last.Content)
	}
	if len(last.Slips) != 1 || last.Slips[0].Kind != "dose_for_total" {
		t.Errorf("slips %+v, want dose_for_total", last.Slips)
	}
}

// TestStatedDose: a rung's stated dose is held against the log; what is told with
// one decimal agrees.
func TestStatedDose(t *testing.T) {
	for _, row := range []struct {
		stated float64
		words  string
	}{
		{10.32258064516129, ""}, {10.3, ""}, {10, "It is what was poured, without what was taken out between the pours."},
		{6, "Glass B has that dose: was it glass B that was read?"}, {12, "Was another glass read, or a pour not logged?"},
	} {
		e := MeasurementBody{Glass: "A", Measurement: read(0.25, 0.33, 0.06), Dosed: &row.stated}.Entry()
		last := newest(t, logged(t, into("A", 8), outOf("A", 15), into("A", 2), into("B", 6), e))
		if row.words == "" {
			wants(t, last.Warnings)
			continue
		}
		wants(t, last.Warnings, "dose_mismatch")
		if m := last.Warnings[0].Message; !strings.Contains(m, row.words) || !strings.Contains(m, "by the log it is 10.323") || last.DoseMLPer100ML == row.stated {
			t.Errorf("%g stated: %s", row.stated, m)
		}
	}
}

// TestReadAgainNextDay: a reading within an hour of blending is marked, by what is
// told or by the log's times, and kept for the ladder.
func TestReadAgainNextDay(t *testing.T) {
	clock := func(minutes float64) *Instant {
		i := At(time.Date(2026, 11, 25, 14, 0, 0, 0, time.UTC).Add(time.Duration(minutes * float64(time.Minute))))
		return &i
	}
	day := At(time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC))
	minutes := func(m float64) *float64 { return &m }
	pour := func(at *Instant, recorded Instant) LogEntry {
		e := into("A", 8)
		e.At, e.RecordedAt = at, recorded
		return e
	}
	for _, row := range []struct {
		name   string
		pour   LogEntry
		how    Circumstances
		at     Instant
		marked string
	}{
		{"told", into("A", 8), Circumstances{MinutesSinceBlending: minutes(59)}, Instant{}, "59 minutes after blending"},
		{"told, and the log says more", pour(nil, *clock(0)), Circumstances{MinutesSinceBlending: minutes(5)}, *clock(300), "5 minutes after blending"},
		{"told, and the log says less", pour(nil, *clock(0)), Circumstances{MinutesSinceBlending: minutes(90)}, *clock(1), ""},
		{"an hour", into("A", 8), Circumstances{MinutesSinceBlending: minutes(60)}, Instant{}, ""},
		{"by the log", pour(nil, *clock(0)), Circumstances{}, *clock(12), "12 minutes after the last pour, by the times in the log"},
		{"by times that are told", pour(clock(0), *clock(500)), Circumstances{TakenAt: clock(30)}, *clock(501), "30 minutes after the last pour"},
		{"the next day", pour(nil, *clock(0)), Circumstances{}, *clock(1200), ""},
		{"one time is told", pour(clock(0), *clock(500)), Circumstances{}, *clock(501), ""},
		{"dates alone", pour(&day, *clock(0)), Circumstances{TakenAt: &day}, *clock(1), ""},
		{"before the pour", pour(clock(30), *clock(30)), Circumstances{TakenAt: clock(20)}, *clock(31), ""},
		{"no times", into("A", 8), Circumstances{}, Instant{}, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			e := MeasurementBody{Glass: "A", Measurement: read(0.196, 0.216, 0.043), Circumstances: row.how}.Entry()
			e.RecordedAt = row.at
			trial := logged(t, row.pour, e)
			last := newest(t, trial)
			if row.marked == "" {
				wants(t, last.Warnings)
			} else if wants(t, last.Warnings, "read_again_next_day"); len(last.Warnings) > 0 && !strings.Contains(last.Warnings[0].Message, row.marked) {
				t.Errorf("%s, want what says %q", last.Warnings[0].Message, row.marked)
			}
			if p, err := trial.Progress(); err != nil || len(p.Rungs()) != 1 {
				t.Errorf("rungs %+v, %v", p.Rungs(), err)
			}
		})
	}
	// Another glass's pour says nothing, nor does one that was taken back.
	other := pour(nil, *clock(0))
	other.Glass = "B"
	e := measured("A")
	e.RecordedAt = *clock(5)
	wants(t, newest(t, logged(t, into("A", 8), other, e)).Warnings)
	wants(t, newest(t, logged(t, into("A", 8), pour(nil, *clock(0)), UndoBody{No: 2}.Entry(), e)).Warnings)
}

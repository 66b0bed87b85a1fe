package record

import (
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
)

func undoing(no int) LogEntry { return LogEntry{Kind: Undo, Undoes: no} }

func choosing(glass string) LogEntry {
	return LogEntry{Kind: Choosing, Glass: glass, Reasons: "liked best"}
}

func checking(ml float64, m Measurement) LogEntry {
	e := LogEntry{Kind: Checking, Measurement: m}
	if ml > 0 {
		e.VolumeML = &ml
	}
	return e
}

func looking(stayedClear bool) LogEntry {
	return LogEntry{Kind: Checking, LookedAgain: &LookedAgain{Clear: stayedClear}}
}

// TestUndo takes entries back: what is undone stays in the log and counts no
// more, an undo can be undone, and what would make a later entry impossible is
// refused.
func TestUndo(t *testing.T) {
	for _, row := range []struct {
		name  string
		log   []LogEntry
		total float64 // in glass A
	}{
		{"a pour", []LogEntry{into("A", 3), into("A", 4), undoing(1)}, 4},
		{"an undo", []LogEntry{into("A", 3), into("A", 4), undoing(1), undoing(3)}, 7},
		{"an undo of an undo of an undo", []LogEntry{into("A", 3), undoing(1), undoing(2), undoing(3)}, 0},
		{"a sip", []LogEntry{into("A", 8), outOf("A", 54), into("A", 2), undoing(2)}, 10},
	} {
		trial := logged(t, row.log...)
		p, err := trial.Progress()
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Glasses[0].PouredTotalML; got != row.total {
			t.Errorf("%s: %g mL, want %g", row.name, got, row.total)
		}
		if len(p.Log) != len(row.log) {
			t.Errorf("%s: the log has %d entries, want %d", row.name, len(p.Log), len(row.log))
		}
	}
	trial := logged(t, into("A", 8), outOf("A", 54), into("A", 2), undoing(2))
	p, err := trial.Progress()
	if err != nil {
		t.Fatal(err)
	}
	if got := p.Glasses[0].DoseMLPer100ML; got != 10 {
		t.Errorf("without the sip the dose is %g, want 10", got)
	}
	if p.Log[1].UndoneBy != 4 || p.Log[3].Glass != "A" {
		t.Errorf("the log: %+v", p.Log)
	}

	for _, row := range []struct {
		name string
		log  []LogEntry
		undo int
		says string
	}{
		{"no such entry", []LogEntry{into("A", 3)}, 2, "the log has 1 entries"},
		{"none", []LogEntry{into("A", 3)}, 0, "there is no entry 0"},
		{"twice", []LogEntry{into("A", 3), undoing(1)}, 1, "taken back already, by entry 2"},
		{"what a sip was taken of", []LogEntry{into("A", 50), outOf("A", 140)}, 1, "entry 2 (withdrawal of 140 mL, glass A) could not have been"},
		{"the choice that was checked", []LogEntry{into("A", 8), choosing("A"), checking(250, Measurement{})}, 2, "entry 3 (final check) could not have been"},
	} {
		err := logged(t, row.log...).Accept(undoing(row.undo))
		if p := calc.AsProblem(err); p == nil || p.Errors[0].Location != "/entry" || !strings.Contains(p.Errors[0].Message, row.says) {
			t.Errorf("%s: %v, want a fault at /entry that says %q", row.name, err, row.says)
		}
	}
}

// TestFinalCheck is whole once 250 mL of the chosen dose were poured fresh, read,
// and looked at again after a night in the cold.
func TestFinalCheck(t *testing.T) {
	begun := time.Date(2026, 11, 25, 16, 0, 0, 0, time.UTC)
	pour, choose := into("A", 8), choosing("A")
	reading := read(0.2, 0.22, 0.05)
	for _, row := range []struct {
		name  string
		log   []LogEntry
		hours float64 // from the pour to the look
		done  bool
		codes []string
	}{
		{"whole at once", []LogEntry{pour, choose, checking(250, reading), looking(true)}, 16, true, nil},
		{"small", []LogEntry{pour, choose, checking(100, reading), looking(true)}, 16, false, []string{"small_final_check"}},
		{"not read", []LogEntry{pour, choose, checking(250, Measurement{}), looking(true)}, 16, false, []string{"final_check_not_read"}},
		{"not looked at", []LogEntry{pour, choose, checking(250, reading)}, 0, false, []string{"look_again"}},
		{"looked at too soon", []LogEntry{pour, choose, checking(250, reading), looking(true)}, 1, false, []string{"looked_too_soon"}},
		{"not clear", []LogEntry{pour, choose, checking(250, reading), looking(false)}, 16, true, []string{"not_clear"}},
		{"poured again", []LogEntry{pour, choose, checking(100, reading), checking(250, reading), looking(true)}, 16, true, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			trial := logged(t, row.log...)
			for i := range trial.Log {
				trial.Log[i].RecordedAt = At(begun)
				if trial.Log[i].LookedAgain != nil {
					trial.Log[i].RecordedAt = At(begun.Add(time.Duration(row.hours * float64(time.Hour))))
				}
			}
			p, err := trial.Progress()
			if err != nil {
				t.Fatal(err)
			}
			if p.FinalCheck == nil || p.FinalCheck.Done != row.done || p.FinalCheck.Dose != 8 {
				t.Fatalf("%+v, want done %v", p.FinalCheck, row.done)
			}
			last := p.Log[len(p.Log)-1]
			var codes []string
			for _, w := range last.Warnings {
				codes = append(codes, w.Code)
			}
			if strings.Join(codes, " ") != strings.Join(row.codes, " ") {
				t.Errorf("warned of %v, want %v", codes, row.codes)
			}
		})
	}
	trial := logged(t, pour, choose, checking(250, reading), looking(true), choosing("B"))
	p, err := trial.Progress()
	if err != nil {
		t.Fatal(err)
	}
	if p.FinalCheck != nil || p.Choice.No != 5 {
		t.Errorf("another choice was checked by the check of the one before: %+v", p.FinalCheck)
	}
	for _, row := range []struct {
		name  string
		log   []LogEntry
		entry LogEntry
		place string
	}{
		{"nothing chosen", []LogEntry{pour}, checking(250, reading), ""},
		{"nothing poured to look at", []LogEntry{pour, choose}, looking(true), "/volume_ml"},
	} {
		err := logged(t, row.log...).Accept(row.entry)
		if p := calc.AsProblem(err); p == nil || p.Errors[0].Location != row.place {
			t.Errorf("%s: %v, want a fault at %q", row.name, err, row.place)
		}
	}
}

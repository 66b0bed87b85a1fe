package record

import (
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
)

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

// TestNightInTheCold is whole once 250 mL of the chosen dose were poured fresh, read,
// and looked at again after a night in the cold.
func TestNightInTheCold(t *testing.T) {
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

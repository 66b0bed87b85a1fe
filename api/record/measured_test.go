package record

import (
	"math"
	"strings"
	"testing"

	"pourpath/api/calc"
)

// kitted is a trial with a 10 mL syringe in halves of a mL, a 10 mL class B
// cylinder, and a tablespoon.
func kitted(t *testing.T, log ...LogEntry) Trial {
	t.Helper()
	trial := logged(t, log...)
	var f calc.Faults
	trial.Tools = calc.WholeTools("/tools", []calc.Tool{
		{Name: "syringe", Kind: "syringe", CapacityML: 10, GraduationML: 0.5},
		{Name: "cylinder", Kind: "cylinder", CapacityML: 10, GraduationML: 0.2, Class: "B"},
		{Measure: "tablespoon"},
	}, &f)
	if err := f.Err(); err != nil {
		t.Fatal(err)
	}
	return trial
}

// by is an entry that was measured with a tool.
func by(tool string, e LogEntry, fills ...int) LogEntry {
	e.Tool = tool
	if len(fills) > 0 {
		e.Fills = fills[0]
	}
	return e
}

// TestPoursAreHeldAgainstTheirTool: more than the tool holds is refused, what lies
// between two of its lines is asked about and kept.
func TestPoursAreHeldAgainstTheirTool(t *testing.T) {
	for _, row := range []struct {
		name    string
		entry   LogEntry
		refused string // what the fault says; "" where the entry is taken
		asked   string // what the question says; "" for none
	}{
		{"on a line", by("syringe", into("A", 2.5)), "", ""},
		{"whatever the case", by("Syringe", into("A", 2.5)), "", ""},
		{"between two lines", by("syringe", into("A", 2.3)), "", "was it 2 or 2.5 mL"},
		{"below the first line", by("syringe", into("A", 0.3)), "", "was it 0.5 mL, the least that it measures"},
		{"more than it holds", by("syringe", into("A", 12)), "holds 10 mL, not 12", ""},
		{"in two fills", by("syringe", into("A", 12), 2), "", ""},
		{"in too few fills", by("syringe", into("A", 25), 2), "filled 3 times", ""},
		{"a spoon", by("tablespoon", into("A", 15)), "", ""},
		{"half a spoon", by("tablespoon", into("A", 7)), "", "was it 15 mL, the least that it measures"},
		{"any words", by("a jug", into("A", 250)), "", "\"a jug\" is no tool of this trial: the volume is taken to be known to ±0.7 %"},
		{"no tool", into("A", 2), "", "No tool is named: the volume is taken to be known to ±0.7 %"},
		{"a sip without a tool", outOf("A", 12), "", ""},
		{"taken out with it", by("syringe", outOf("A", 12)), "holds 10 mL", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			trial := kitted(t)
			err := trial.Accept(row.entry)
			if p := calc.AsProblem(err); row.refused != "" {
				if p == nil || p.Errors[0].Location != "/volume_ml" || !strings.Contains(p.Errors[0].Message, row.refused) {
					t.Fatalf("%v, want a fault at /volume_ml that says %q", err, row.refused)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			trial = kitted(t, row.entry)
			last, err := trial.Last()
			if err != nil {
				t.Fatal(err)
			}
			switch {
			case row.asked == "" && len(last.Warnings) > 0:
				t.Errorf("asked: %+v", last.Warnings)
			case row.asked != "" && (len(last.Warnings) != 1 || !strings.Contains(last.Warnings[0].Message, row.asked)):
				t.Errorf("%+v, want one question that says %q", last.Warnings, row.asked)
			}
		})
	}
}

// TestDoseIsAsSureAsItsTool: 1 mL of a 10 mL class B cylinder may be 0.2 mL off,
// ±20 % (ISO 4788:2005, from memory), which as a triangular distribution (JCGM
// 100:2008, 4.3.9) is 0.2/√6 mL; a top-up's tool errors add linearly, its readings
// in quadrature (half of a graduation of 0.2 mL, rectangular).
func TestDoseIsAsSureAsItsTool(t *testing.T) {
	const bias, line = 0.2 / 2.449489742783178, 0.1 / 1.7320508075688772
	for _, row := range []struct {
		name string
		log  []LogEntry
		want float64 // mL per 100 mL, of the pours alone
	}{
		{"one pour", []LogEntry{by("cylinder", into("A", 1))}, math.Hypot(bias, line)},
		{"two pours", []LogEntry{by("cylinder", into("A", 1)), by("cylinder", into("A", 1))}, math.Hypot(2*bias, math.Sqrt2*line)},
		{"three pours", []LogEntry{by("cylinder", into("A", 1)), by("cylinder", into("A", 1)), by("cylinder", into("A", 1))}, math.Hypot(3*bias, math.Sqrt(3)*line)},
	} {
		trial := kitted(t, row.log...)
		p, err := trial.Progress()
		if err != nil {
			t.Fatal(err)
		}
		// The base was measured with something that nobody named: 1 % of the dose.
		want := math.Hypot(row.want, 0.01*p.Glasses[0].DoseMLPer100ML)
		if got := p.Glasses[0].UDose; math.Abs(got-want) > 0.02*want {
			t.Errorf("%s: ± %g, want %g", row.name, got, want)
		}
	}
}

// TestMeasuredRungKnowsItsDose: a rung teaches with the uncertainty of its pours,
// where a tool of the trial was used, in its two parts.
func TestMeasuredRungKnowsItsDose(t *testing.T) {
	trial := kitted(t, by("cylinder", into("A", 4)), measured("A"), into("B", 4), measured("B"))
	p, err := trial.Progress()
	if err != nil {
		t.Fatal(err)
	}
	question, ok := trial.Ladder(p)
	if !ok || len(question.Measured) != 2 {
		t.Fatalf("%v, %d rungs", ok, len(question.Measured))
	}
	a, b := question.Measured[0].UDose, question.Measured[1].UDose
	if a == nil || math.Abs(a.SharedPercent-100*0.2/2.449489742783178/4) > 0.3 || !(a.OwnPercent > 0) {
		t.Errorf("glass A: %+v", a)
	}
	if b != nil {
		t.Errorf("glass B, poured with what nobody named: %+v", b)
	}
}

// TestReadingsAreMarked: what gives reason to doubt a reading at the bench.
func TestReadingsAreMarked(t *testing.T) {
	soon := func(e LogEntry, minutes float64) LogEntry {
		e.MinutesSinceBlending = &minutes
		return e
	}
	dosed := func(e LogEntry, dose float64) LogEntry {
		e.StatedDose = &dose
		return e
	}
	for _, row := range []struct {
		name  string
		log   []LogEntry
		code  string // "" for none
		words string
	}{
		{"right after pouring", []LogEntry{into("A", 8), soon(measured("A"), 5)}, "read_again_next_day", "read it again the next day"},
		{"the next day", []LogEntry{into("A", 8), soon(measured("A"), 1200)}, "", ""},
		{"base alone", []LogEntry{measured("A")}, "base_alone", "base alone"},
		{"the dose agrees", []LogEntry{into("A", 8), dosed(measured("A"), 8)}, "", ""},
		{"another glass's dose", []LogEntry{into("A", 8), into("B", 4), dosed(measured("A"), 4)}, "dose_mismatch", "was it glass B that was read?"},
		{"without the sips", []LogEntry{into("A", 8), outOf("A", 15), into("A", 2), dosed(measured("A"), 10)}, "dose_mismatch", "without what was taken out"},
		{"no glass has it", []LogEntry{into("A", 8), dosed(measured("A"), 6)}, "dose_mismatch", "or a pour not logged"},
	} {
		t.Run(row.name, func(t *testing.T) {
			last, err := logged(t, row.log...).Last()
			if err != nil {
				t.Fatal(err)
			}
			var found []calc.Warning
			for _, w := range last.Warnings {
				if w.Code == "read_again_next_day" || w.Code == "base_alone" || w.Code == "dose_mismatch" {
					found = append(found, w)
				}
			}
			switch {
			case row.code == "" && len(found) > 0:
				t.Errorf("warned: %+v", found)
			case row.code != "" && (len(found) != 1 || found[0].Code != row.code || !strings.Contains(found[0].Message, row.words)):
				t.Errorf("%+v, want %s that says %q", found, row.code, row.words)
			}
		})
	}
}

package blend

import (
	"strings"
	"testing"

	"pourpath/colour/cie"
)

// TestBeyondTheLargestDose: what lies beyond the doses that were looked at is said
// to be unknown, and no other wine is asked for.
func TestBeyondTheLargestDose(t *testing.T) {
	sim, w := simulated(t, 5)
	sim.noise = 0.002
	tr := sim.draw()
	path, _ := sim.learns(t, &tr, 1, false)
	goal := tr.at(15)
	v := cie.OIV()
	l, a, b := w.AbsorbanceLab(&goal, v.DepthMM)
	for _, row := range []struct {
		largest Dose
		says    string // of at_end_of_ladder; empty for no such warning
	}{{0, "Base alone was looked at"}, {4, "more might come nearer still"}, {40, ""}} {
		n, err := path.Nearest(Target{Lab: &cie.Lab{L: l, A: a, B: b, View: v}, Tolerance: 1.5}, v, row.largest)
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, w := range n.Warnings {
			switch w.Code {
			case "at_end_of_ladder":
				said = w.Message
			case "target_off_path":
				t.Errorf("up to %g mL per 100 mL: %s", float64(row.largest), w.Message)
			}
		}
		if (said == "") != (row.says == "") || !strings.Contains(said, row.says) {
			t.Errorf("up to %g mL per 100 mL it says %q, want %q", float64(row.largest), said, row.says)
		}
	}
}

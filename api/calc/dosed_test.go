package calc

import (
	"math"
	"testing"
)

// TestUnreadAddition leaves the addition's reading out: with a measured rung the
// ladder goes through what was read, and without one the fault says what is wanted.
func TestUnreadAddition(t *testing.T) {
	t.Parallel()
	unread := func(r *LadderRequest) { r.Addition = Dosed{Wine{Name: "Red, barrel 7"}} }
	r := exampleLadder(t, unread)
	if len(r.Measured) == 0 {
		t.Fatal("the example has no measured rung")
	}
	r.Plan, r.DosesML = nil, []float64{r.Measured[0].DoseML}
	answer, err := Ladder(r)
	if err != nil {
		t.Fatal(err)
	}
	read := r.Measured[0].Wine.Readings
	if got := answer.Rungs[0].Colour.Absorbance; math.Abs(got.A520-read.A520) > 0.01*read.A520 || math.Abs(got.A420-read.A420) > 0.01*read.A420 {
		t.Errorf("the ladder has %+v where %+v was read", got, read)
	}
	warned := false
	for _, w := range answer.Warnings {
		warned = warned || w.Code == "addition_not_read"
	}
	if !warned {
		t.Errorf("no warning that the addition was not read: %v", answer.Warnings)
	}
	if f, err := LadderFigure(r, "test", nil); err != nil || len(f.Predicted) > 0 {
		t.Errorf("%v; a path before recalibration is drawn, of nothing", err)
	}

	r.Measured = nil
	_, err = Ladder(r)
	if p := AsProblem(err); p == nil || p.Errors[0].Location != "/addition" {
		t.Errorf("without a rung: %v, want a fault at /addition", err)
	}
	r = exampleLadder(t, unread)
	r.Measured = r.Measured[:1]
	r.Measured[0].Wine = r.Base
	_, err = Ladder(r)
	if p := AsProblem(err); p == nil || p.Errors[0].Location != "/measured/0/wine" {
		t.Errorf("a rung of base alone: %v, want a fault at /measured/0/wine", err)
	}
}

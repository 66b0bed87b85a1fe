package ladder

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

func read(t testing.TB, path, a420, a520, a620 float64) spectrum.Wine {
	t.Helper()
	w, err := spectrum.FromReadings(reading.Readings{Cell: reading.Cell{PathMM: path, Dilution: 1}, A420: a420, A520: a520, A620: a620, UAbsorbance: 0.002})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func rosePath(t testing.TB) *blend.Path {
	t.Helper()
	return blend.NewPath(read(t, 10, 0.095, 0.016, 0.003), read(t, 1, 0.30, 0.58, 0.06))
}

func TestRungsAreThoseAskedFor(t *testing.T) {
	doses := []float64{5, 0, 13, 13}
	rungs, err := Rungs(rosePath(t), 50, doses, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	if len(rungs) != len(doses) {
		t.Fatalf("%d rungs, want %d", len(rungs), len(doses))
	}
	for i, r := range rungs {
		if r.DoseML != doses[i] || math.Abs(float64(r.Dose)-2*doses[i]) > 1e-12 || math.Abs(r.Fraction-doses[i]/(50+doses[i])) > 1e-12 {
			t.Errorf("rung %d: %g mL, %g mL per 100 mL, fraction %g for %g mL in 50 mL", i, r.DoseML, float64(r.Dose), r.Fraction, doses[i])
		}
		if (i == 0) != (r.DeltaE00FromPrevious == nil) {
			t.Errorf("rung %d: ΔE00 from the rung before is %v", i, r.DeltaE00FromPrevious)
		}
	}
	if *rungs[3].DeltaE00FromPrevious != 0 {
		t.Errorf("the same dose twice differs by ΔE00 %g", *rungs[3].DeltaE00FromPrevious)
	}
}

func TestRungsRefused(t *testing.T) {
	many := make([]float64, MaxRungs+1)
	for _, row := range []struct {
		name   string
		baseML float64
		doses  []float64
		field  string
	}{
		{"none", 100, nil, "doses_ml"},
		{"too many", 100, many, "doses_ml"},
		{"negative", 100, []float64{1, -1}, "doses_ml/1"},
		{"not a number", 100, []float64{math.NaN()}, "doses_ml/0"},
		{"no base", 0, []float64{1}, "base_ml"},
		{"exchanged", 10, []float64{5000}, "doses_ml/0"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := Rungs(rosePath(t), row.baseML, row.doses, cie.OIV())
			var faults colour.FieldErrors
			if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != row.field {
				t.Errorf("error %v, want one fault at %s", err, row.field)
			}
		})
	}
	if _, err := Rungs(rosePath(t), 100, many[:MaxRungs], cie.OIV()); err != nil {
		t.Errorf("%d rungs: %v", MaxRungs, err)
	}
}

func TestEvenSteps(t *testing.T) {
	for _, row := range []struct {
		plan Plan
		want string
	}{
		{Plan{ToML: 5, StepML: 1}, "[0 1 2 3 4 5]"},
		{Plan{FromML: 2, ToML: 3, StepML: 0.1}, "[2 2.1 2.2 2.3 2.4 2.5 2.6 2.7 2.8 2.9 3]"},
		{Plan{ToML: 5, StepML: 2}, "[0 2 4 5]"},
	} {
		got, err := row.plan.DosesML(rosePath(t), 100, cie.OIV())
		if err != nil || fmt.Sprint(got) != row.want {
			t.Errorf("%+v: %v, %v, want %s", row.plan, got, err, row.want)
		}
	}
}

// TestVisibleSteps: rungs lie on the graduation and are as far apart as the
// graduation allows.
func TestVisibleSteps(t *testing.T) {
	path := rosePath(t)
	plan := Plan{ToML: 20, VisibleStep: 2, GraduationML: 0.1}
	doses, err := plan.DosesML(path, 100, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	if doses[0] != 0 || doses[len(doses)-1] != 20 {
		t.Errorf("ladder from %g to %g, want 0 to 20", doses[0], doses[len(doses)-1])
	}
	rungs, err := Rungs(path, 100, doses, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range rungs[1:] {
		if off := math.Abs(math.Remainder(r.DoseML, 0.1)); off > 1e-9 {
			t.Errorf("rung %d at %g mL is off the graduation", i+1, r.DoseML)
		}
		half, err := path.Colours([]blend.Dose{r.Dose, r.Dose - 0.1}, cie.OIV())
		if err != nil {
			t.Fatal(err)
		}
		graduation, err := difference.CIEDE2000(half[0].Lab, half[1].Lab)
		if err != nil {
			t.Fatal(err)
		}
		if d := *r.DeltaE00FromPrevious; math.Abs(d-2) > 0.25+graduation {
			t.Errorf("step to %g mL is ΔE00 %.2f, want 2 within a graduation (%.2f)", r.DoseML, d, graduation)
		}
	}
	coarse, err := Plan{ToML: 5, VisibleStep: 0.5, GraduationML: 1}.DosesML(path, 100, cie.OIV())
	if err != nil || fmt.Sprint(coarse) != "[0 1 2 3 4 5]" {
		t.Errorf("a coarse tool: %v, %v, want every graduation", coarse, err)
	}
}

func TestPlanRefused(t *testing.T) {
	for _, row := range []struct {
		name         string
		plan         Plan
		field, words string
	}{
		{"nothing", Plan{ToML: 10}, "plan", "step_ml"},
		{"both", Plan{ToML: 10, StepML: 1, VisibleStep: 1, GraduationML: 1}, "plan", "either"},
		{"no graduation", Plan{ToML: 10, VisibleStep: 1}, "plan/graduation_ml", "graduation"},
		{"no end", Plan{StepML: 1}, "plan/to_ml", "above 0"},
		{"backwards", Plan{FromML: 5, ToML: 2, StepML: 1}, "plan/to_ml", "below the first"},
		{"negative", Plan{ToML: 5, StepML: -1}, "plan/step_ml", "above 0"},
		{"10,000 rungs", Plan{ToML: 10, StepML: 0.001}, "plan/step_ml", "2000"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := row.plan.DosesML(rosePath(t), 100, cie.OIV())
			var faults colour.FieldErrors
			if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != row.field || !strings.Contains(faults[0].Message, row.words) {
				t.Errorf("error %v, want one fault at %s that says %q", err, row.field, row.words)
			}
		})
	}
}

func BenchmarkRungs1000(b *testing.B) {
	path := rosePath(b)
	doses := make([]float64, 1000)
	for i := range doses {
		doses[i] = float64(i) / 50
	}
	for b.Loop() {
		if _, err := Rungs(path, 100, doses, cie.OIV()); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleRungs() {
	read := func(pathMM, a420, a520, a620 float64) spectrum.Wine {
		w, err := spectrum.FromReadings(reading.Readings{
			Cell: reading.Cell{PathMM: pathMM, Dilution: 1},
			A420: a420, A520: a520, A620: a620, UAbsorbance: reading.DefaultU,
		})
		if err != nil {
			panic(err)
		}
		return w
	}
	white, red := read(10, 0.095, 0.016, 0.003), read(1, 0.30, 0.58, 0.06)
	rungs, err := Rungs(blend.NewPath(white, red), 100, []float64{0, 5, 10}, cie.OIV())
	if err != nil {
		panic(err)
	}
	for _, r := range rungs {
		fmt.Printf("%.1f mL per 100 mL of base, %.1f %% of the blend: L* %.0f, intensity %.2f\n",
			float64(r.Dose), 100*r.Fraction, r.Colour.Lab.L, r.Colour.Indices.Intensity)
	}
	// Output:
	// 0.0 mL per 100 mL of base, 0.0 % of the blend: L* 99, intensity 0.11
	// 5.0 mL per 100 mL of base, 4.8 % of the blend: L* 86, intensity 0.56
	// 10.0 mL per 100 mL of base, 9.1 % of the blend: L* 76, intensity 0.96
}

package calc

import (
	"math"
	"strconv"
	"testing"
)

func exampleLadder(t testing.TB, change func(*LadderRequest)) LadderRequest {
	t.Helper()
	r, err := Decode[LadderRequest]([]byte(ExampleLadder))
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(&r)
	}
	return r
}

// darkRed and paleWhite are as far apart as wines get.
func darkRed() Wine {
	return Wine{Readings: &Readings{A420: 0.62, A520: 1.05, A620: 0.21, PathMM: ptr(1.0)}}
}
func paleWhite() Wine { return Wine{Readings: &Readings{A420: 0.06, A520: 0.012, A620: 0.004}} }

func ptr(x float64) *float64 { return &x }

// TestTraceIsLadder: at its doses a trace has the ladder's own numbers.
func TestTraceIsLadder(t *testing.T) {
	t.Parallel()
	for name, r := range map[string]LadderRequest{
		"example": exampleLadder(t, nil),
		"held": exampleLadder(t, func(r *LadderRequest) {
			r.Measured = nil
			r.Held = []Held{{Wine: darkRed(), DoseMLPer100ML: 1.5}}
		}),
		"deep, by lamplight": exampleLadder(t, func(r *LadderRequest) {
			r.View, r.Target = &View{Illuminant: "A", PathMM: ptr(40)}, nil
		}),
	} {
		trace, err := TraceLadder(r, 20, []float64{0, 10, 40})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		r.Plan, r.DosesML = nil, nil
		for _, dose := range trace.DosesMLPer100ML {
			r.DosesML = append(r.DosesML, dose*r.BaseML/100)
		}
		answer, err := Ladder(r)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for i, rung := range answer.Rungs {
			p, c := trace.Points[i], rung.Colour
			for _, v := range []struct {
				what      string
				got, want float64
			}{
				{"L*", p.L, c.CIELAB.L}, {"a*", p.A, c.CIELAB.A}, {"b*", p.B, c.CIELAB.B}, {"C*", p.C, c.CIELAB.C}, {"h", p.H, c.CIELAB.H},
				{"intensity", p.Intensity, *c.Intensity}, {"tint", p.Tint, *c.Tint}, {"fraction", p.Fraction, rung.AdditionFraction},
				{"u(L*)", p.UL, *c.Uncertainty.L}, {"u(C*)", p.UC, *c.Uncertainty.C}, {"u(h)", p.UH, *c.Uncertainty.H},
			} {
				if math.Abs(v.got-v.want) > 1e-9 {
					t.Errorf("%s: %s at %g = %g, the ladder has %g", name, v.what, rung.DoseMLPer100ML, v.got, v.want)
				}
			}
			if p.Cell.Hex != *c.SRGB || p.Cell.InGamut != *c.InSRGBGamut {
				t.Errorf("%s: screen at %g = %v, the ladder has %s", name, rung.DoseMLPer100ML, p.Cell, *c.SRGB)
			}
			if (r.Target == nil) != math.IsNaN(p.DeltaE00) || r.Target != nil && math.Abs(p.DeltaE00-*rung.Difference.DeltaE00) > 1e-9 {
				t.Errorf("%s: ΔE00 at %g = %g", name, rung.DoseMLPer100ML, p.DeltaE00)
			}
			if i%TraceGlassEvery == 0 {
				if row := trace.Glass[i/TraceGlassEvery]; row[0].Hex != "#ffffff" || row[1] != trace.Points[i].Cell && r.View == nil {
					t.Errorf("%s: depths 0 and 10 mm at %g are %v, the cell %v", name, rung.DoseMLPer100ML, row, p.Cell)
				}
			}
		}
	}
}

// TestTraceBetween: half-way between two doses a straight line is as good as the
// ladder, also where the colour changes fastest.
func TestTraceBetween(t *testing.T) {
	t.Parallel()
	r := exampleLadder(t, func(r *LadderRequest) {
		r.Base, r.Addition, r.Measured, r.Plan = paleWhite(), Dosed{darkRed()}, nil, nil
	})
	for _, largest := range []float64{5, 20, 100} {
		trace, err := TraceLadder(r, largest, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.DosesML = nil
		for i := range TracePoints - 1 {
			r.DosesML = append(r.DosesML, (trace.DosesMLPer100ML[i]+trace.DosesMLPer100ML[i+1])/2*r.BaseML/100)
		}
		answer, err := Ladder(r)
		if err != nil {
			t.Fatal(err)
		}
		worst, worstStep := 0.0, 0.0
		for i, rung := range answer.Rungs {
			a, b, c := trace.Points[i], trace.Points[i+1], rung.Colour.CIELAB
			for _, v := range [][3]float64{{a.L, b.L, c.L}, {a.A, b.A, c.A}, {a.B, b.B, c.B}} {
				worst = max(worst, math.Abs((v[0]+v[1])/2-v[2]))
			}
			for channel := 1; channel < 7; channel += 2 {
				worstStep = max(worstStep, math.Abs((hexPair(t, a.Cell.Hex, channel)+hexPair(t, b.Cell.Hex, channel))/2-hexPair(t, *rung.Colour.SRGB, channel)))
			}
		}
		t.Logf("to %g mL per 100 mL: within %.4f of L*, a*, b* and %.1f steps of a channel", largest, worst, worstStep)
		if worst > 0.05 || worstStep > 1 {
			t.Errorf("to %g mL per 100 mL a straight line is off by %.4f of L*, a*, b* and %.1f steps of a channel", largest, worst, worstStep)
		}
	}
}

func hexPair(t *testing.T, hex string, at int) float64 {
	t.Helper()
	x, err := strconv.ParseUint(hex[at:at+2], 16, 8)
	if err != nil {
		t.Fatal(err)
	}
	return float64(x)
}

// TestTraceParts: what lies beside the path.
func TestTraceParts(t *testing.T) {
	t.Parallel()
	r := exampleLadder(t, nil)
	trace, err := TraceLadder(r, 20, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(trace.Points) != TracePoints || len(trace.Measured) != len(r.Measured) || (len(trace.Predicted) > 0) != (len(r.Measured) > 0) {
		t.Errorf("%d points, %d measured, %d predicted", len(trace.Points), len(trace.Measured), len(trace.Predicted))
	}
	if trace.Target == nil || trace.Target.Cell.Hex == "" || (trace.Target.Tolerance > 0) != (len(trace.Target.Outline) == outlinePoints) {
		t.Errorf("target %+v", trace.Target)
	}
	for i := 1; i < len(trace.Rungs); i++ {
		if trace.Rungs[i].DoseML < trace.Rungs[i-1].DoseML {
			t.Error("the rungs do not rise")
		}
	}
	for _, largest := range []float64{-1, 1001, math.NaN()} {
		if _, err := TraceLadder(r, largest, nil); AsProblem(err) == nil {
			t.Errorf("a path to %g: %v, want a problem", largest, err)
		}
	}
	if _, err := TraceLadder(LadderRequest{}, 20, nil); AsProblem(err) == nil {
		t.Errorf("a path of nothing: %v, want a problem", err)
	}
}

// BenchmarkTrace is what a page with a slider costs.
func BenchmarkTrace(b *testing.B) {
	r := exampleLadder(b, nil)
	levels := make([]float64, 24)
	for i := range levels {
		levels[i] = float64(i) * 2
	}
	for b.Loop() {
		if _, err := TraceLadder(r, 20, levels); err != nil {
			b.Fatal(err)
		}
	}
}

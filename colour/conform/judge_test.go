package conform

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

// stated is a colour whose L* has the standard uncertainty uL and whose a* and
// b* have uAB: half steps are √3 times as wide.
func stated(L, a, b, uL, uAB float64) *spectrum.Stated {
	return &spectrum.Stated{
		Lab:        cie.Lab{L: L, A: a, B: b, View: cie.OIV()},
		HalfStepL:  uL * math.Sqrt(3),
		HalfStepAB: uAB * math.Sqrt(3),
	}
}

func judge(t testing.TB, s Spec, sample Sample) Judgement {
	t.Helper()
	j, err := Judge(s, sample, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// phi is the standard normal distribution function.
func phi(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// The worked examples of JCGM106 for one limit and a normal distribution, 7.3
// (from memory): a breakdown voltage of -5.47 V with u = 0.05 V against an upper
// limit of -5.40 V conforms with probability 0.92, a burst pressure of 509.7 kPa
// with u = 8.6 kPa against a lower limit of 490 kPa with 0.99. The numbers stand
// for a* and for L* (in tens) here.
func TestGuardedExamples(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		name   string
		sample *spectrum.Stated
		limits map[Quantity][2]float64
		want   float64
	}{
		{"upper limit", stated(80, -5.47, 0, 0, 0.05), map[Quantity][2]float64{A: {-inf, -5.40}}, 0.92},
		{"lower limit", stated(50.97, 0, 0, 0.86, 0), map[Quantity][2]float64{L: {49.0, inf}}, 0.99},
	} {
		j := judge(t, Spec{Limits: c.limits, Rule: Guarded, MaxRisk: 0.05}, Sample{Stated: c.sample})
		if !colourtest.Near(j.Probability, c.want, 0.005, 0) {
			t.Errorf("%s: Probability = %g, want %g ± 0.005", c.name, j.Probability, c.want)
		}
	}
}

// A speed of 107 km/h or more, read with a relative standard uncertainty of 2 %,
// is what the guarded rejection example of JCGM106, 8.3.3, finds beyond a limit
// of 100 km/h at a probability of 0.999; 106 km/h is not. Guard bands of the
// expanded uncertainty U = 2u leave 2.3 % beyond the limit, 8.3.2 (both from
// memory). The numbers stand for a* here.
func TestGuardBandExamples(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		name    string
		value   float64
		u, risk float64
		want    float64
		within  float64
		verdict Verdict
	}{
		{"107 km/h", 107, 2.14, 0.001, 0.0005, 0.0003, Fail},
		{"106 km/h", 106, 2.12, 0.001, 0.0023, 0.0003, Inconclusive},
		{"U inside", 98, 1, 0.025, 0.977, 0.001, Pass},
		{"U outside", 102, 1, 0.025, 0.023, 0.001, Fail},
	} {
		j := judge(t, Spec{Limits: map[Quantity][2]float64{A: {-inf, 100}}, Rule: Guarded, MaxRisk: c.risk}, Sample{Stated: stated(50, c.value, 0, 0, c.u)})
		if !colourtest.Near(j.Probability, c.want, c.within, 0) || j.Verdict != c.verdict {
			t.Errorf("%s: probability %g, %s; want %g ± %g, %s", c.name, j.Probability, j.Verdict, c.want, c.within, c.verdict)
		}
	}
}

// Between two limits a normal distribution has the probability
// Φ((upper-y)/u) - Φ((lower-y)/u). Source: JCGM106, 7.4 (from memory).
func TestGuardedAnalytic(t *testing.T) {
	const u = 0.4
	var worst float64
	for _, limits := range [][2]float64{{70, 71}, {70, 70.8}, {65, 71}, {70, 70}} {
		for y := 69.0; y <= 72; y += 0.13 {
			s := Spec{Limits: map[Quantity][2]float64{L: limits}, Rule: Guarded, MaxRisk: 0.05}
			j := judge(t, s, Sample{Stated: stated(y, 5, 5, u, 0)})
			want := phi((limits[1]-y)/u) - phi((limits[0]-y)/u)
			worst = max(worst, math.Abs(j.Probability-want))
			if !colourtest.Near(j.Probability, want, 0.001, 0) {
				t.Errorf("L* %g within %v: Probability = %g, want %g", y, limits, j.Probability, want)
			}
			if r := j.Results[0]; r.Quantity != L || !colourtest.Near(r.Uncertainty, u, 0, 0.005) || r.Value != y || r.Probability != j.Probability {
				t.Errorf("L* %g within %v: Results[0] = %+v, want L, uncertainty %g, probability %g", y, limits, r, u, j.Probability)
			}
			// A lot on the nearer limit is measured as far outside, on either side.
			out := max(y-limits[1], limits[0]-y) / u
			risk := phi(-out) + phi(-out-(limits[1]-limits[0])/u)
			verdict := Inconclusive
			switch {
			case j.Probability >= 0.95:
				verdict = Pass
			case out > 0 && j.Probability <= 0.05 && risk <= 0.05:
				verdict = Fail
			}
			if j.Probability <= 0.05 && out > 0 && !colourtest.Near(j.RejectionRisk, risk, 0.002, 0) {
				t.Errorf("L* %g within %v: RejectionRisk = %g, want %g", y, limits, j.RejectionRisk, risk)
			}
			if j.Verdict != verdict {
				t.Errorf("L* %g within %v: Verdict = %s at probability %g", y, limits, j.Verdict, j.Probability)
			}
		}
	}
	t.Logf("largest error of the probability: %.2g", worst)
}

// Guard bands: with a risk of 5 % the verdict turns 1.645 standard uncertainties
// inside the limit to pass, and as far outside it to fail. Source: quantile of
// the normal distribution; JCGM106, 8.3 (from memory).
func TestGuardBand(t *testing.T) {
	for _, c := range []struct {
		inside float64 // standard uncertainties
		want   Verdict
	}{{1.70, Pass}, {1.60, Inconclusive}, {0, Inconclusive}, {-1.60, Inconclusive}, {-1.70, Fail}} {
		const u = 0.3
		j := judge(t, Spec{Limits: map[Quantity][2]float64{B: {0, 10}}, Rule: Guarded, MaxRisk: 0.05},
			Sample{Stated: stated(80, 3, 10-c.inside*u, 0, u)})
		if j.Verdict != c.want {
			t.Errorf("%g u inside the limit: %s (probability %g), want %s", c.inside, j.Verdict, j.Probability, c.want)
		}
		if j.CanNeverPass {
			t.Errorf("%g u inside the limit: CanNeverPass, with 33 u between the limits", c.inside)
		}
	}
}

func TestSimple(t *testing.T) {
	ref := &Reference{Stated: stated(80, 10, 5, 0, 0)}
	at := func(L, a, b float64) Sample { return Sample{Stated: stated(L, a, b, 0.1, 0.1)} }
	away, err := difference.CIEDE2000(ref.Stated.Lab, at(80, 12, 5).Stated.Lab)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		spec   Spec
		sample Sample
		want   Verdict
	}{
		{"on the reference", Spec{Reference: ref, Tolerance: 1}, at(80, 10, 5), Pass},
		{"on the tolerance", Spec{Reference: ref, Tolerance: away}, at(80, 12, 5), Pass},
		{"just beyond the tolerance", Spec{Reference: ref, Tolerance: away - 1e-6}, at(80, 12, 5), Fail},
		{"on the lower limits", Spec{Limits: map[Quantity][2]float64{L: {80, 90}, A: {3, 9}, B: {4, 9}, Chroma: {5, 9}}}, at(80, 3, 4), Pass},
		{"on the upper limits", Spec{Limits: map[Quantity][2]float64{L: {70, 80}, A: {0, 3}, B: {0, 4}, Chroma: {1, 5}}}, at(80, 3, 4), Pass},
		{"one limit missed", Spec{Limits: map[Quantity][2]float64{L: {70, 80}, A: {0, 2.999}}}, at(80, 3, 4), Fail},
		{"tolerance met, limit missed", Spec{Reference: ref, Tolerance: 5, Limits: map[Quantity][2]float64{L: {80, 90}}}, at(79, 10, 5), Fail},
		{"equal limits", Spec{Limits: map[Quantity][2]float64{L: {80, 80}}}, at(80, 3, 4), Pass},
	} {
		c.spec.Rule = Simple
		j := judge(t, c.spec, c.sample)
		if j.Verdict != c.want {
			t.Errorf("%s: Verdict = %s, want %s: %+v", c.name, j.Verdict, c.want, j.Results)
		}
		if j.CanNeverPass || !math.IsNaN(j.BestProbability) {
			t.Errorf("%s: BestProbability = %g under the simple rule", c.name, j.BestProbability)
		}
		within := true
		for _, r := range j.Results {
			within = within && r.Within
		}
		if within != (c.want == Pass) {
			t.Errorf("%s: %s, but the results say %t", c.name, j.Verdict, within)
		}
	}
}

func TestHueThroughZero(t *testing.T) {
	for _, c := range []struct {
		limits [2]float64
		h      float64
		want   Verdict
	}{
		{[2]float64{350, 20}, 350, Pass}, {[2]float64{350, 20}, 355, Pass}, {[2]float64{350, 20}, 0, Pass},
		{[2]float64{350, 20}, 20, Pass}, {[2]float64{350, 20}, 20.1, Fail}, {[2]float64{350, 20}, 349.9, Fail},
		{[2]float64{350, 20}, 185, Fail}, {[2]float64{20, 350}, 185, Pass}, {[2]float64{20, 350}, 0, Fail},
		{[2]float64{20, 60}, 40, Pass}, {[2]float64{20, 60}, 60.1, Fail}, {[2]float64{20, 60}, 359, Fail},
		{[2]float64{340, 360}, 0, Pass}, {[2]float64{340, 360}, 0.1, Fail}, {[2]float64{360, 10}, 5, Pass},
		{[2]float64{0, 360}, 123, Pass}, {[2]float64{0, 360}, 359.9, Pass}, {[2]float64{90, 90}, 90, Pass}, {[2]float64{90, 90}, 91, Fail},
	} {
		sin, cos := math.Sincos(c.h * math.Pi / 180)
		s := Spec{Limits: map[Quantity][2]float64{Hue: c.limits}, Rule: Simple}
		if j := judge(t, s, Sample{Stated: stated(80, 10*cos, 10*sin, 0, 0)}); j.Verdict != c.want {
			t.Errorf("h %g within %v: %s, want %s (value %g)", c.h, c.limits, j.Verdict, c.want, j.Results[0].Value)
		}
	}
	// At h = 0 the draws fall on both sides of 0/360. A half of them is within
	// [0, 90], and the deviation is u/C in radians.
	j := judge(t, Spec{Limits: map[Quantity][2]float64{Hue: {0, 90}}, Rule: Guarded, MaxRisk: 0.05}, Sample{Stated: stated(80, 20, 0, 0, 0.2)})
	if !colourtest.Near(j.Probability, 0.5, 0.002, 0) || !colourtest.Near(j.Results[0].Uncertainty, 0.01*180/math.Pi, 0, 0.01) {
		t.Errorf("h 0 within [0, 90]: Probability = %g, uncertainty %g°, want 0.5 and %g°", j.Probability, j.Results[0].Uncertainty, 1.8/math.Pi)
	}
	j = judge(t, Spec{Limits: map[Quantity][2]float64{Hue: {350, 20}}, Rule: Guarded, MaxRisk: 0.05}, Sample{Stated: stated(80, 20, 0, 0, 0.2)})
	if j.Verdict != Pass {
		t.Errorf("h 0 within [350, 20]: %s at probability %g, want pass", j.Verdict, j.Probability)
	}
}

// Values stated for the view are compared as given: no spectrum comes between,
// even where there is one that says otherwise.
func TestAsGiven(t *testing.T) {
	other := spectrum.Wine{Source: spectrum.CIELAB, Terms: []spectrum.Term{{Cause: spectrum.Reading}}}
	for i := range other.Terms[0].Effect {
		other.Terms[0].Effect[i] = 0.002
	}
	ref := &Reference{Stated: stated(80, 10, 5, 0, 0)}
	j := judge(t, Spec{Reference: ref, Tolerance: 3, Rule: Simple}, Sample{Stated: stated(81.3, 9.1, 5.7, 0.05, 0.05), Wine: &other})
	want, err := difference.Compare(ref.Stated.Lab, stated(81.3, 9.1, 5.7, 0, 0).Lab)
	if err != nil {
		t.Fatal(err)
	}
	if j.Difference == nil || *j.Difference != want || j.Results[0].Value != want.DeltaE00 {
		t.Errorf("Difference = %+v, want %+v", j.Difference, want)
	}
	if j.DominantCause != spectrum.Reading {
		t.Errorf("DominantCause = %q, want the reading's, which the spectrum carries", j.DominantCause)
	}
	if exact := judge(t, Spec{Reference: ref, Tolerance: 3, Rule: Guarded, MaxRisk: 0.05}, Sample{Stated: stated(81.3, 9.1, 5.7, 0, 0)}); exact.Probability != 1 || exact.ProbabilitySE != 0 || exact.DominantCause != "" {
		t.Errorf("nothing uncertain: probability %g ± %g from %q, want 1 ± 0", exact.Probability, exact.ProbabilitySE, exact.DominantCause)
	}
}

func TestSpecFaults(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	ref := &Reference{Stated: stated(80, 10, 5, 0, 0)}
	one := 1.0
	limits := func(q Quantity, lower, upper float64) map[Quantity][2]float64 {
		return map[Quantity][2]float64{q: {lower, upper}}
	}
	for _, c := range []struct {
		name   string
		spec   Spec
		fields []string
		text   string
	}{
		{"empty", Spec{Rule: Simple}, []string{""}, "nothing to judge"},
		{"target alone", Spec{Reference: ref, Rule: Simple}, []string{""}, "nothing to judge"},
		{"tolerance alone", Spec{Tolerance: 1, Rule: Simple}, []string{"target"}, "needs a target"},
		{"empty target", Spec{Reference: &Reference{}, Tolerance: 1, Rule: Simple}, []string{"target"}, "empty"},
		{"two targets", Spec{Reference: &Reference{Stated: ref.Stated, Intensity: &one, Tint: &one}, Limits: limits(L, 0, 1), Rule: Simple}, []string{"target"}, "twice"},
		{"ΔE00 from indices", Spec{Reference: &Reference{Intensity: &one, Tint: &one}, Tolerance: 1, Rule: Simple}, []string{"tolerance/delta_e_00"}, "limits on intensity"},
		{"intensity alone", Spec{Reference: &Reference{Intensity: &one}, Limits: limits(L, 0, 1), Rule: Simple}, []string{"target/tint"}, "together"},
		{"target out of scale", Spec{Reference: &Reference{Stated: stated(180, 10, 5, 0, 0)}, Tolerance: 1, Rule: Simple}, []string{"target/cielab/L"}, "110"},
		{"negative tolerance", Spec{Reference: ref, Tolerance: -1, Rule: Simple}, []string{"tolerance/delta_e_00"}, "above 0"},
		{"contradictory", Spec{Limits: limits(L, 80, 70), Rule: Simple}, []string{"limits/L"}, "contradict"},
		{"hue beyond the circle", Spec{Limits: limits(Hue, -10, 20), Rule: Simple}, []string{"limits/h"}, "[350, 20]"},
		{"hue without an end", Spec{Limits: limits(Hue, 0, inf), Rule: Simple}, []string{"limits/h"}, "0 to 360"},
		{"not numbers", Spec{Limits: limits(Tint, nan, 1), Rule: Simple}, []string{"limits/tint"}, "not a number"},
		{"impossible", Spec{Limits: limits(Chroma, -5, -1), Rule: Simple}, []string{"limits/C"}, "no wine"},
		{"unknown quantity", Spec{Limits: limits("density", 0, 1), Rule: Simple}, []string{"limits/density"}, "intensity"},
		{"no rule", Spec{Limits: limits(L, 0, 1)}, []string{"rule"}, "guarded"},
		{"no risk", Spec{Limits: limits(L, 0, 1), Rule: Guarded}, []string{"max_risk"}, "0.05"},
		{"risk of a half", Spec{Limits: limits(L, 0, 1), Rule: Guarded, MaxRisk: 0.5}, []string{"max_risk"}, "below 0.5"},
		{"ΔE*ab beyond scale", Spec{Reference: ref, ToleranceAB: 200, Rule: Simple}, []string{"tolerance/delta_e_ab"}, "ΔE*ab"},
		{"ΔE*ab alone", Spec{ToleranceAB: 2, Rule: Simple}, []string{"target"}, "approved lots"},
		{"ΔE*ab from indices", Spec{Reference: &Reference{Intensity: &one, Tint: &one}, ToleranceAB: 1, Rule: Simple}, []string{"tolerance/delta_e_ab"}, "limits on intensity"},
		{"factor of none", Spec{Reference: ref, Tolerance: 1, Weights: difference.Weights{KL: 2, KC: 1}, Rule: Simple}, []string{"tolerance/kH"}, "parametric factor"},
		{"factors without ΔE00", Spec{Reference: ref, ToleranceAB: 1, Weights: difference.Weights{KL: 2, KC: 1, KH: 1}, Rule: Simple}, []string{"tolerance/kL"}, "no tolerance delta_e_00"},
		{"chroma against a* and b*", Spec{Limits: map[Quantity][2]float64{Chroma: {0, 5}, A: {8, 12}}, Rule: Simple}, []string{"limits/C"}, "no wine"},
		{"shares above 100 %", Spec{Limits: map[Quantity][2]float64{Yellow: {50, 60}, Red: {45, 60}, Blue: {10, 20}}, Rule: Simple}, []string{"limits"}, "add up to 100 %"},
		{"share beyond scale", Spec{Limits: limits(Red, 120, 130), Rule: Simple}, []string{"limits/red_percent"}, "no wine"},
		{"small region", Spec{Ellipsoid: &Ellipsoid{Lots: 4, Confidence: 0.95}, Rule: Simple}, []string{"ellipsoid/lots"}, "at least 8"},
		{"all at once", Spec{Tolerance: nan, Limits: limits(L, 2, 1), Rule: "strict"}, []string{"tolerance/delta_e_00", "limits/L", "rule"}, ""},
	} {
		wantFields(t, c.name, c.spec.Validate(), c.fields, c.text)
		var under []string
		for _, f := range c.fields {
			under = append(under, strings.TrimSuffix("spec/"+f, "/"))
		}
		_, err := Judge(c.spec, Sample{Stated: ref.Stated}, cie.OIV())
		wantFields(t, c.name, err, under, c.text)
	}
	for _, ok := range []Spec{
		{Reference: ref, Tolerance: 1, Rule: Simple},
		{Limits: limits(Hue, 350, 20), Rule: Guarded, MaxRisk: 0.05},
		{Limits: limits(L, 70, inf), Rule: Simple},
		{Reference: &Reference{Intensity: &one, Tint: &one}, Limits: limits(Tint, 0.8, 0.8), Rule: Simple, MaxRisk: nan},
	} {
		if err := ok.Validate(); err != nil {
			t.Errorf("Validate(%+v) = %v, want nil", ok, err)
		}
	}
}

func TestSampleFaults(t *testing.T) {
	spec := Spec{Limits: map[Quantity][2]float64{L: {0, 100}}, Rule: Simple}
	elsewhere := stated(80, 10, 5, 0, 0)
	elsewhere.Lab.View.DepthMM = 1
	bad := stated(80, 10, 5, 0, 0)
	bad.HalfStepL, bad.Lab.A = -1, 200
	tinted := Spec{Limits: map[Quantity][2]float64{Tint: {0, 1}}, Rule: Simple}
	broken := spectrum.Wine{}
	broken.Absorbance[3] = math.NaN()
	for _, c := range []struct {
		name   string
		spec   Spec
		sample Sample
		view   cie.View
		fields []string
		text   string
	}{
		{"nothing", spec, Sample{}, cie.OIV(), []string{"wine"}, "no colour"},
		{"stated for 1 mm", spec, Sample{Stated: elsewhere}, cie.OIV(), []string{"wine"}, "needs a spectrum"},
		{"out of scale", spec, Sample{Stated: bad}, cie.OIV(), []string{"wine/cielab/a", "wine/cielab"}, "last printed digit"},
		{"no spectrum for a tint", tinted, Sample{Stated: stated(80, 10, 5, 0, 0)}, cie.OIV(), []string{"wine"}, "need a spectrum"},
		{"not a number", spec, Sample{Wine: &broken}, cie.OIV(), []string{"wine"}, "395 nm"},
		{"no view", spec, Sample{Stated: stated(80, 10, 5, 0, 0)}, cie.View{}, []string{"view"}, "illuminant"},
		{"reference for 1 mm", Spec{Reference: &Reference{Stated: elsewhere}, Tolerance: 1, Rule: Simple}, Sample{Stated: stated(80, 10, 5, 0, 0)}, cie.OIV(), []string{"spec/target"}, "needs a spectrum"},
	} {
		_, err := Judge(c.spec, c.sample, c.view)
		wantFields(t, c.name, err, c.fields, c.text)
	}
}

// wantFields checks that err holds exactly these fields, and text somewhere.
func wantFields(t *testing.T, name string, err error, fields []string, text string) {
	t.Helper()
	var faults colour.FieldErrors
	if !errors.As(err, &faults) {
		t.Errorf("%s: err = %v, want field errors at %q", name, err, fields)
		return
	}
	var got []string
	for _, f := range faults {
		got = append(got, f.Field)
		if v, ok := f.Value.(float64); ok && (math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Errorf("%s: fault at %s carries %g, which JSON cannot", name, f.Field, v)
		}
	}
	if fmt.Sprint(got) != fmt.Sprint(fields) || !strings.Contains(err.Error(), text) {
		t.Errorf("%s: err = %v, want fields %q and %q in it", name, err, fields, text)
	}
}

// A lot within the tolerance at face value that the guarded rule leaves open.
func ExampleJudge() {
	view := cie.OIV()
	spec := Spec{
		Name:      "rosé, pale",
		Reference: &Reference{Stated: &spectrum.Stated{Lab: cie.Lab{L: 84.2, A: 12.1, B: 9.0, View: view}}},
		Tolerance: 1.6,
		Rule:      Guarded,
		MaxRisk:   0.05,
	}
	// L* is given to whole numbers, a* and b* to one decimal.
	lot := Sample{Stated: &spectrum.Stated{Lab: cie.Lab{L: 82, A: 12.6, B: 9.1, View: view}, HalfStepL: 0.5, HalfStepAB: 0.05}}
	j, err := Judge(spec, lot, view)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("ΔE00 %.2f, probability of conforming %.2f: %s, mostly uncertain from %s\n", j.Difference.DeltaE00, j.Probability, j.Verdict, j.DominantCause)
	// Output: ΔE00 1.53, probability of conforming 0.65: inconclusive, mostly uncertain from rounding
}

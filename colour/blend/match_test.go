package blend

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

// bands is a smooth wine-like spectrum: a yellow-brown tail, a red band and a
// blue shoulder, with the absorbance each adds at its own maximum.
func bands(yellow, red, blue float64) (a cie.Curve) {
	for i := range a {
		nm := cie.Wavelength(i)
		width := 46.0
		if nm > 525 {
			width = 31
		}
		bell := func(centre, width float64) float64 {
			return math.Exp(-(nm - centre) * (nm - centre) / (2 * width * width))
		}
		a[i] = yellow*math.Exp(-(nm-420)/60) + red*(bell(525, width)+0.35*math.Exp(-(nm-420)/60)) + blue*bell(594, 24)
	}
	return a
}

func labOf(t testing.TB, wines []spectrum.Wine, fractions []float64, v cie.View) cie.Lab {
	t.Helper()
	var a cie.Curve
	for i, f := range fractions {
		for nm := range a {
			a[nm] += f * wines[i].Absorbance[nm]
		}
	}
	L, x, y := weightingOf(t, v).AbsorbanceLab(&a, v.DepthMM)
	return cie.Lab{L: L, A: x, B: y, View: v}
}

func weightingOf(t testing.TB, v cie.View) *cie.Weighting {
	t.Helper()
	w, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// A target that is one of the wines is met by that wine alone, and one that is
// a blend of up to four different wines by that blend.
func TestMatchIdentity(t *testing.T) {
	v := cie.OIV()
	wines := []spectrum.Wine{
		{Absorbance: bands(0.10, 0.00, 0.00)},
		{Absorbance: bands(0.60, 2.50, 0.40)},
		{Absorbance: bands(1.80, 1.20, 0.02)},
		{Absorbance: bands(0.05, 0.30, 0.25)},
	}
	for n := 2; n <= 4; n++ {
		for _, want := range [][]float64{{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}, {0.885, 0.115, 0, 0}, {0.5, 0.2, 0.3, 0}, {0.8, 0.05, 0.05, 0.1}} {
			var inside float64
			for _, f := range want[:n] {
				inside += f
			}
			if inside < 1-1e-12 {
				continue
			}
			target := labOf(t, wines[:n], want[:n], v)
			got, err := MatchTarget(wines[:n], Target{Lab: &target}, nil, v)
			if err != nil {
				t.Fatal(err)
			}
			if !got.Reachable || len(got.Warnings) != 0 || !colourtest.Near(got.Misfit, 0, 1e-6, 0) {
				t.Errorf("%v of %d wines: Misfit = %g, Reachable = %t, Warnings = %v, want 0, true and none", want[:n], n, got.Misfit, got.Reachable, got.Warnings)
			}
			for i, f := range got.Fractions {
				if !colourtest.Near(f, want[i], 1e-5, 0) {
					t.Errorf("MatchTarget(colour of %v) = %v", want[:n], got.Fractions)
					break
				}
			}
		}
	}
}

func TestMatchIndices(t *testing.T) {
	v := cie.OIV()
	wines := []spectrum.Wine{{Absorbance: bands(0.1, 0, 0)}, {Absorbance: bands(0.6, 2.5, 0.4)}, {Absorbance: bands(1.8, 1.2, 0.02)}}
	blend := blendOf(wines[0], wines[1], 0.1)
	at := func(nm float64) float64 { return blend[cie.Index(nm)] }
	intensity, tint := at(420)+at(520)+at(620), at(420)/at(520)
	got, err := MatchTarget(wines, Target{Intensity: &intensity, Tint: &tint}, nil, v)
	if err != nil {
		t.Fatal(err)
	}
	if !got.Reachable || !colourtest.Near(got.Misfit, 0, 1e-8, 0) {
		t.Errorf("Misfit = %g, Reachable = %t of an intensity and tint within reach", got.Misfit, got.Reachable)
	}
	for i, want := range []float64{0.9, 0.1, 0} {
		if !colourtest.Near(got.Fractions[i], want, 1e-6, 0) {
			t.Errorf("MatchTarget = %v, want 0.9, 0.1, 0", got.Fractions)
		}
	}

	orange := 3 * tint
	got, err = MatchTarget(wines[:2], Target{Intensity: &intensity, Tint: &orange, Tolerance: 1}, nil, v)
	if err != nil {
		t.Fatal(err)
	}
	want := math.Inf(1)
	grid(2, 20000, func(f []float64) {
		mix := blendOf(wines[0], wines[1], f[1])
		a := func(nm float64) float64 { return mix[cie.Index(nm)] }
		want = min(want, math.Hypot((a(420)+a(520)+a(620))/intensity-1, a(420)/a(520)/orange-1))
	})
	if got.Reachable || !(got.Misfit <= want+1e-9) || got.Misfit < want-1e-4 {
		t.Errorf("Misfit = %g, Reachable = %t, want %g and false", got.Misfit, got.Reachable, want)
	}
	for _, code := range []string{"tolerance_not_used", "target_not_reached"} {
		if message(got.Warnings, code) == "" {
			t.Errorf("no warning %s in %v", code, got.Warnings)
		}
	}
}

func message(warnings []colour.Warning, code string) string {
	for _, w := range warnings {
		if w.Code == code {
			return w.Message
		}
	}
	return ""
}

// near a target is not on it: which way it misses, and what would help.
func TestMatchSaysWhichWay(t *testing.T) {
	v := cie.OIV()
	white, red := spectrum.Wine{Absorbance: bands(0.1, 0, 0)}, spectrum.Wine{Absorbance: bands(0.6, 2.5, 0.4)}
	on := labOf(t, []spectrum.Wine{white, red}, []float64{0.9, 0.1}, v)
	for _, c := range []struct {
		name       string
		dL, da, db float64
		limits     []Limit
		wines      []spectrum.Wine
		want       []string
	}{
		{"bluer target", 0, 0, -8, nil, []spectrum.Wine{white, red}, []string{"too yellow", "A third wine would be needed", "bluer red"}},
		{"yellower target", 0, 0, 8, nil, []spectrum.Wine{white, red}, []string{"not yellow enough", "brick-red"}},
		{"darker target", -20, 0, 0, nil, []spectrum.Wine{white, red}, []string{"too pale", "deeper in colour"}},
		{"three wines", 0, 0, -8, nil, []spectrum.Wine{white, red, red}, []string{"too yellow", "A further wine"}},
		{"limits in the way", 0, 0, 0, []Limit{{Wine: 1, MaxFraction: 0.05}}, []spectrum.Wine{white, red}, []string{"not red enough", "The limits stand in the way"}},
	} {
		target := on
		target.L += c.dL
		target.A += c.da
		target.B += c.db
		got, err := MatchTarget(c.wines, Target{Lab: &target, Tolerance: 0.5}, c.limits, v)
		if err != nil {
			t.Fatal(err)
		}
		text := message(got.Warnings, "target_not_reached")
		for _, want := range c.want {
			if got.Reachable || !strings.Contains(text, want) {
				t.Errorf("%s: Reachable = %t, warning %q, want false and %q in it", c.name, got.Reachable, text, want)
			}
		}
	}
	// A tolerance that is wide enough makes the same blend one that reaches.
	target := on
	target.B -= 8
	if got, err := MatchTarget([]spectrum.Wine{white, red}, Target{Lab: &target, Tolerance: 8}, nil, v); err != nil || !got.Reachable || len(got.Warnings) != 0 {
		t.Errorf("tolerance 8: Reachable = %t, Warnings = %v, err = %v, want true and none", got.Reachable, got.Warnings, err)
	}
}

func TestMatchFaults(t *testing.T) {
	v := cie.OIV()
	lab := cie.Lab{L: 80, A: 10, B: 5, View: v}
	target := Target{Lab: &lab}
	three := []spectrum.Wine{{Absorbance: bands(0.1, 0, 0)}, {Absorbance: bands(0.6, 2.5, 0.4)}, {Absorbance: bands(1.8, 1.2, 0.02)}}
	nan := math.NaN()
	for _, c := range []struct {
		name   string
		wines  []spectrum.Wine
		target Target
		limits []Limit
		fields []string
		text   string
	}{
		{"one wine", three[:1], target, nil, []string{"wines"}, "2 to 8"},
		{"nine wines", append(append(append([]spectrum.Wine{}, three...), three...), three...), target, nil, []string{"wines"}, "2 to 8"},
		{"no target", three, Target{}, nil, []string{"target"}, "empty"},
		{"minima above the whole", three, target, []Limit{{0, 0.6, 1}, {1, 0.5, 1}}, []string{"limits"}, "1.1"},
		{"maxima below the whole", three, target, []Limit{{0, 0, 0.3}, {1, 0, 0.3}, {2, 0, 0.3}}, []string{"limits"}, "0.9"},
		{"least above most", three, target, []Limit{{0, 0.6, 0.5}}, []string{"limits/0"}, "must not be above"},
		{"no such wine", three, target, []Limit{{3, 0, 0.5}, {-1, 0, 0.5}}, []string{"limits/0/wine", "limits/1/wine"}, "from 0 to 2"},
		{"a wine twice", three, target, []Limit{{1, 0, 0.5}, {1, 0.1, 1}}, []string{"limits/1/wine"}, "already"},
		{"not fractions", three, target, []Limit{{0, -0.1, 12}, {1, nan, 1}}, []string{"limits/0/min_fraction", "limits/0/max_fraction", "limits/1/min_fraction"}, "0 to 1"},
		{"faults of both", three[:1], Target{}, []Limit{{0, 2, 3}}, []string{"wines", "target", "limits/0/min_fraction", "limits/0/max_fraction"}, ""},
	} {
		_, err := MatchTarget(c.wines, c.target, c.limits, v)
		wantFields(t, c.name, err, c.fields, c.text)
	}

	other := v
	other.DepthMM = 20
	if _, err := MatchTarget(three, target, nil, other); !errors.Is(err, difference.ErrViewsDiffer) {
		t.Errorf("target for 10 mm, search at 20 mm: err = %v, want ErrViewsDiffer", err)
	}
	if _, err := MatchTarget(three, target, nil, cie.View{}); !errors.Is(err, cie.ErrIlluminant) {
		t.Errorf("zero view: err = %v, want ErrIlluminant", err)
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

// One blend is all that exact limits leave.
func TestMatchOneBlendOnly(t *testing.T) {
	v := cie.OIV()
	wines := []spectrum.Wine{{Absorbance: bands(0.1, 0, 0)}, {Absorbance: bands(0.6, 2.5, 0.4)}, {Absorbance: bands(1.8, 1.2, 0.02)}}
	lab := cie.Lab{L: 80, A: 10, B: 5, View: v}
	for _, limits := range [][]Limit{
		{{0, 0.7, 1}, {1, 0.2, 1}, {2, 0.1, 1}}, // 0.7 + 0.2 + 0.1 is not 1 in binary
		{{0, 0, 0.7}, {1, 0, 0.2}, {2, 0, 0.1}},
		{{0, 0.7, 0.7}, {1, 0.2, 0.2}},
	} {
		got, err := MatchTarget(wines, Target{Lab: &lab}, limits, v)
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range []float64{0.7, 0.2, 0.1} {
			if !colourtest.Near(got.Fractions[i], want, 1e-9, 0) {
				t.Errorf("limits %v: fractions %v, want 0.7, 0.2, 0.1", limits, got.Fractions)
			}
		}
	}
}

// A white and two reds, the second of them dear: at most 3 % of it.
func ExampleMatchTarget() {
	wines := []spectrum.Wine{
		{Absorbance: bands(0.10, 0, 0)},
		{Absorbance: bands(0.60, 2.50, 0.40)},
		{Absorbance: bands(1.80, 1.20, 0.02)},
	}
	target := cie.Lab{L: 84, A: 20, B: 9, View: cie.OIV()}
	m, err := MatchTarget(wines, Target{Lab: &target, Tolerance: 1.5}, []Limit{{Wine: 2, MaxFraction: 0.03}}, cie.OIV())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("fractions %.3f, ΔE00 %.2f, reachable %t\n", m.Fractions, m.Misfit, m.Reachable)
	// Output: fractions [0.883 0.099 0.018], ΔE00 0.48, reachable true
}

package blend

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

func mustRead(t testing.TB, path, a420, a520, a620 float64) spectrum.Wine {
	t.Helper()
	w, err := spectrum.FromReadings(reading.Readings{Cell: reading.Cell{PathMM: path, Dilution: 1}, A420: a420, A520: a520, A620: a620, UAbsorbance: 0.002})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func paleWhite(t testing.TB) spectrum.Wine { return mustRead(t, 10, 0.095, 0.016, 0.003) }
func youngRed(t testing.TB) spectrum.Wine  { return mustRead(t, 1, 0.30, 0.58, 0.06) }

func labAt(t testing.TB, p *Path, d Dose) cie.Lab {
	t.Helper()
	c, err := p.At(d).Colour(cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	return c.Lab
}

func mustMix(t testing.TB, wines []spectrum.Wine, fractions ...float64) spectrum.Wine {
	t.Helper()
	w, err := Mix(wines, fractions, 0)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func sameCurve(t *testing.T, what string, got, want *cie.Curve) {
	t.Helper()
	for i := range got {
		if !(math.Abs(got[i]-want[i]) <= 1e-12) {
			t.Fatalf("%s: absorbance %d = %g, want %g", what, i, got[i], want[i])
		}
	}
}

// TestMixingLaws: mixing commutes, is associative, and a wine mixed with itself
// is that wine, without an error of the medium.
func TestMixingLaws(t *testing.T) {
	a, b, c := paleWhite(t), youngRed(t), mustRead(t, 10, 0.3, 0.2, 0.05)
	ab := mustMix(t, []spectrum.Wine{a, b}, 0.7, 0.3)
	ba := mustMix(t, []spectrum.Wine{b, a}, 0.3, 0.7)
	sameCurve(t, "commutes", &ab.Absorbance, &ba.Absorbance)
	abThenC := mustMix(t, []spectrum.Wine{ab, c}, 0.5, 0.5)
	all := mustMix(t, []spectrum.Wine{a, b, c}, 0.35, 0.15, 0.5)
	sameCurve(t, "associates", &abThenC.Absorbance, &all.Absorbance)
	bb := mustMix(t, []spectrum.Wine{b, b}, 0.4, 0.6)
	sameCurve(t, "itself", &bb.Absorbance, &b.Absorbance)
	for _, term := range bb.Terms {
		if term.Cause == spectrum.Medium {
			t.Error("a wine blended with itself has an error of the medium")
		}
	}
}

// TestPathIsMix: a path and a mixture are one calculation.
func TestPathIsMix(t *testing.T) {
	base, red := paleWhite(t), youngRed(t)
	p := NewPath(base, red)
	for _, d := range []Dose{0, 0.5, 3, 13, 90, 1000} {
		f := d.Fraction()
		want := mustMix(t, []spectrum.Wine{base, red}, 1-f, f)
		got := p.At(d)
		sameCurve(t, "path", &got.Absorbance, &want.Absorbance)
		cg, _ := got.Colour(cie.OIV())
		cw, _ := want.Colour(cie.OIV())
		for _, x := range cg.Budget {
			if x.Cause != spectrum.Medium {
				continue
			}
			for _, y := range cw.Budget {
				// The path knows curvature along the dose as well.
				if y.Cause == spectrum.Medium && !(x.L >= y.L-1e-9 && x.L <= 1.3*y.L+1e-9) {
					t.Errorf("at %g: medium u(L*) %g on the path, %g in the mixture", float64(d), x.L, y.L)
				}
			}
		}
	}
}

// TestFractionsNeverMended: fractions that do not sum to 1 are refused.
func TestFractionsNeverMended(t *testing.T) {
	wines := []spectrum.Wine{paleWhite(t), youngRed(t)}
	for _, f := range [][]float64{{0.5, 0.4}, {0.5, 0.5, 0}, {1.2, -0.2}, {math.NaN(), 1}} {
		if _, err := Mix(wines, f, 0); err == nil {
			t.Errorf("Mix with fractions %v: no error", f)
		}
	}
}

// TestColoursOfALadder holds two facts of the trade (common practice, no
// source): a pale white dosed with a young red passes from yellow through orange
// towards pink, so that the hue angle falls to a minimum, and equal steps are
// ever less visible as the dose rises.
func TestColoursOfALadder(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	before := labAt(t, p, 0)
	lastStep, lowest, lowestAt := math.Inf(1), before.Hue(), 0
	for d := 1; d <= 40; d++ {
		lab := labAt(t, p, Dose(d))
		step := difference.DeltaE00(before.L, before.A, before.B, lab.L, lab.A, lab.B)
		if d > 1 && !(step < lastStep) {
			t.Errorf("step to %d mL per 100 mL is ΔE00 %.3f, the one before %.3f", d, step, lastStep)
		}
		if lab.Hue() < lowest {
			lowest, lowestAt = lab.Hue(), d
		}
		lastStep, before = step, lab
	}
	if lowestAt == 0 || lowestAt == 40 || !(lowest < 45) {
		t.Errorf("hue falls to %.0f° at %d mL per 100 mL, want a minimum inside the ladder, below 45°", lowest, lowestAt)
	}
}

func TestNearestFindsTheDose(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	for _, want := range []Dose{0.7, 3.3, 8, 15.2} {
		target := labAt(t, p, want)
		n, err := p.Nearest(Target{Lab: &target, Tolerance: 1.5}, cie.OIV(), 20)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(n.Dose-want)) > 1e-4 || n.AtEnd {
			t.Errorf("nearest dose = %.6f (at end: %v), want %g", float64(n.Dose), n.AtEnd, float64(want))
		}
		if i := n.Interval95; i == nil || !(i[0] < float64(want) && float64(want) < i[1]) {
			t.Errorf("interval %v, want one about %g", i, float64(want))
		}
		// Both edges of the nominal doses lie on the tolerance.
		for _, edge := range n.Nominal {
			lab := labAt(t, p, Dose(edge))
			if d := difference.DeltaE00(target.L, target.A, target.B, lab.L, lab.A, lab.B); edge < 20 && edge > 0 && math.Abs(d-1.5) > 1e-6 {
				t.Errorf("at the edge %g ΔE00 = %.7f, want 1.5", edge, d)
			}
		}
		again, err := p.Nearest(Target{Lab: &target, Tolerance: 1.5}, cie.OIV(), 20)
		if err != nil || *again.Interval95 != *n.Interval95 {
			t.Errorf("asked twice: intervals %v and %v, error %v", *n.Interval95, *again.Interval95, err)
		}
	}
}

func TestNearestAtTheEnds(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	for _, row := range []struct{ target, want Dose }{{30, 20}, {0, 0}} {
		target := labAt(t, p, row.target)
		n, err := p.Nearest(Target{Lab: &target}, cie.OIV(), 20)
		if err != nil {
			t.Fatal(err)
		}
		if n.Dose != row.want || !n.AtEnd || n.Interval95 != nil || len(n.Warnings) == 0 {
			t.Errorf("target at %g: dose %g, at end %v, interval %v, warnings %v", float64(row.target), float64(n.Dose), n.AtEnd, n.Interval95, n.Warnings)
		}
	}
	target := labAt(t, p, 0)
	if n, err := p.Nearest(Target{Lab: &target, Tolerance: 1}, cie.OIV(), 0); err != nil || n.Dose != 0 || !n.AtEnd {
		t.Errorf("a ladder of the base alone: %+v, %v", n, err)
	}
	other := target
	other.View.Illuminant = "A"
	if _, err := p.Nearest(Target{Lab: &other}, cie.OIV(), 20); err == nil {
		t.Error("a target under another lamp: no error")
	}
}

// TestNearestOfLikeWines: where no dose changes anything, none is poured.
func TestNearestOfLikeWines(t *testing.T) {
	p := NewPath(paleWhite(t), paleWhite(t))
	intensity, tint := 0.5, 1.0
	n, err := p.Nearest(Target{Intensity: &intensity, Tint: &tint}, cie.OIV(), 20)
	if err != nil || n.Dose != 0 || !n.AtEnd || n.Interval95 != nil {
		t.Errorf("dose %g, at end %v, interval %v, error %v, want none", float64(n.Dose), n.AtEnd, n.Interval95, err)
	}
}

func TestNearestMeetsTheIntensity(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	want := Dose(6)
	w := p.At(want)
	ix := w.Indices()
	tint := ix.Tint * 1.2 // it is the intensity that is met
	n, err := p.Nearest(Target{Intensity: &ix.Intensity, Tint: &tint}, cie.OIV(), 20)
	if err != nil || math.Abs(float64(n.Dose-want)) > 1e-4 {
		t.Errorf("dose %g, error %v, want %g", float64(n.Dose), err, float64(want))
	}
}

// TestSureWines: with the blend scanned at one rung the doses within tolerance
// are known, and they lie inside the doses at face value.
func TestSureWines(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	w := p.At(8)
	s := reading.Scan{Cell: reading.Cell{PathMM: 10, Dilution: 1}, UAbsorbance: 0.001}
	for i, a := range w.Absorbance {
		s.NM, s.Absorbance = append(s.NM, cie.FirstNM+5*float64(i)), append(s.Absorbance, a)
	}
	rung, err := spectrum.FromScan(s)
	if err != nil {
		t.Fatal(err)
	}
	learned, warnings, err := p.Calibrate([]Measured{{Dose: 8, Wine: rung}})
	if err != nil || len(warnings) > 0 {
		t.Fatalf("calibration: %v, %v", warnings, err)
	}
	target := labAt(t, p, 8)
	n, err := learned.Nearest(Target{Lab: &target, Tolerance: 2}, cie.OIV(), 20)
	if err != nil {
		t.Fatal(err)
	}
	if n.Acceptable == nil || n.Nominal == nil || !(n.Acceptable[0] >= n.Nominal[0] && n.Acceptable[1] <= n.Nominal[1] && n.Acceptable[0] < 8 && n.Acceptable[1] > 8) {
		t.Errorf("acceptable %v, at face value %v, want the first within the second, about 8", n.Acceptable, n.Nominal)
	}
	if math.Abs(learned.ColourYield()-1) > 0.02 {
		t.Errorf("a rung as predicted: yield %g, want 1", learned.ColourYield())
	}
	before, _ := p.At(8).Colour(cie.OIV())
	after, _ := learned.At(8).Colour(cie.OIV())
	if !(after.Uncertainty.L < before.Uncertainty.L/10) {
		t.Errorf("u(L*) %g before the rung, %g after: want a tenth", before.Uncertainty.L, after.Uncertainty.L)
	}
}

// TestWrongGlass: a rung far off every path is kept and named.
func TestWrongGlass(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	_, warnings, err := p.Calibrate([]Measured{{Dose: 5, Wine: mustRead(t, 10, 0.9, 0.3, 0.25)}})
	if err != nil || !slices.ContainsFunc(warnings, func(w colour.Warning) bool { return w.Code == "rung_off_path" }) {
		t.Errorf("warnings %v, error %v, want rung_off_path", warnings, err)
	}
	for _, bad := range []Measured{
		{Dose: 0, Wine: mustRead(t, 10, 0.1, 0.1, 0.1)}, {Dose: -2, Wine: mustRead(t, 10, 0.1, 0.1, 0.1)}, {Dose: 5},
		{Dose: 5, Wine: mustRead(t, 10, 0.1, 0.1, 0.1), DoseU: DoseU{Shared: -0.01}}, {Dose: 5, Wine: mustRead(t, 10, 0.1, 0.1, 0.1), DoseU: DoseU{Own: 0.6}},
	} {
		if _, _, err := p.Calibrate([]Measured{bad}); err == nil {
			t.Errorf("rung %g with %d observations: no error", float64(bad.Dose), len(bad.Wine.Observed))
		}
	}
}

// TestManyRungs: interpolated uncertainties agree with computed ones.
func TestManyRungs(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	random := rand.New(rand.NewPCG(8, 8))
	doses := make([]Dose, 300)
	for i := range doses {
		doses[i] = Dose(25 * random.Float64())
	}
	many, err := p.Colours(doses, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	for i, d := range doses {
		one, err := p.At(d).Colour(cie.OIV())
		if err != nil {
			t.Fatal(err)
		}
		if one.Lab != many[i].Lab {
			t.Fatalf("at %g: %v by itself, %v among many", float64(d), one.Lab, many[i].Lab)
		}
		for _, pair := range [][2]float64{{one.Uncertainty.L, many[i].Uncertainty.L}, {one.Uncertainty.A, many[i].Uncertainty.A}, {one.Uncertainty.B, many[i].Uncertainty.B}, {one.Uncertainty.Intensity, many[i].Uncertainty.Intensity}} {
			if !(math.Abs(pair[0]-pair[1]) <= 0.01*pair[0]) {
				t.Errorf("at %g: uncertainty %g by itself, %g among many", float64(d), pair[0], pair[1])
			}
		}
	}
}

func TestMeasureNextHelps(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	n, err := p.MeasureNext(8, cie.OIV(), 20)
	if err != nil || !(n.After < n.Before/2) || !(n.Dose > 0 && n.Dose <= 20) {
		t.Errorf("MeasureNext = %+v, %v, want a rung that halves the uncertainty at least", n, err)
	}
}

func BenchmarkNearest(b *testing.B) {
	p := NewPath(paleWhite(b), youngRed(b))
	target := labAt(b, p, 8)
	for b.Loop() {
		if _, err := p.Nearest(Target{Lab: &target, Tolerance: 2}, cie.OIV(), 20); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkColours1000(b *testing.B) {
	p := NewPath(paleWhite(b), youngRed(b))
	doses := make([]Dose, 1000)
	for i := range doses {
		doses[i] = Dose(i) / 50
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.Colours(doses, cie.OIV()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCalibrateThreeRungs(b *testing.B) {
	p := NewPath(paleWhite(b), youngRed(b))
	var m []Measured
	for _, d := range []Dose{4, 8, 14} {
		w := p.At(d)
		m = append(m, Measured{Dose: d, Wine: mustRead(b, 10, w.At(420), w.At(520), w.At(620))})
	}
	for b.Loop() {
		if _, _, err := p.Calibrate(m); err != nil {
			b.Fatal(err)
		}
	}
}

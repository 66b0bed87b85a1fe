package conform

import (
	"math"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

func foresee(t *testing.T, s Spec, setup Setup) Prospect {
	t.Helper()
	s.Setup = &setup
	p, err := Foresee(s, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

var (
	threeReadings = Setup{Source: spectrum.Readings, Cell: reading.Cell{PathMM: 10, Dilution: 1}, UAbsorbance: 0.002}
	goodScan      = Setup{Source: spectrum.Scan, Cell: reading.Cell{PathMM: 10, Dilution: 1}, UAbsorbance: 0.001}
)

// A specification is told by itself what it can come to: three readings cannot
// show a ΔE00 within 0.3 of a written colour, a scan can, and the tolerance that
// three readings need is enough for them.
func TestForesee(t *testing.T) {
	s := Spec{Reference: &Reference{Stated: stated(84, 13, 8, 0, 0)}, Tolerance: 0.3, Rule: Guarded, MaxRisk: 0.05}
	few := foresee(t, s, threeReadings)
	if !few.CanNeverPass || few.DominantCause != spectrum.Shape || len(few.Remedies) == 0 || len(few.Warnings) == 0 {
		t.Fatalf("three readings: %+v, want never, from shape", few)
	}
	if p := foresee(t, s, goodScan); p.CanNeverPass || !math.IsNaN(p.NeededTolerance) {
		t.Errorf("a scan: best probability %g, needs %g; want that it can pass", p.BestProbability, p.NeededTolerance)
	}
	s.Tolerance = few.NeededTolerance * 1.02
	if p := foresee(t, s, threeReadings); p.CanNeverPass {
		t.Errorf("tolerance %g: best probability %g, want that it can pass", s.Tolerance, p.BestProbability)
	}
	s.Tolerance = few.NeededTolerance * 0.9
	if p := foresee(t, s, threeReadings); !p.CanNeverPass {
		t.Errorf("tolerance %g: best probability %g, want that it cannot pass", s.Tolerance, p.BestProbability)
	}
	t.Logf("three readings of a pale rosé: ΔE00 %.2f is the least tolerance that a perfect lot passes", few.NeededTolerance)

	// Rounding alone, one quantity: 95 % of a uniform digit taken as normal lie
	// within 1.960 of its half step/√3.
	digit := Setup{Source: spectrum.CIELAB, HalfStepL: 0.5, HalfStepAB: 0.05}
	u := 0.5 / math.Sqrt(3)
	for _, c := range []struct {
		half  float64
		never bool
	}{{1.90 * u, true}, {2.3 * u, false}} {
		limits := Spec{Limits: map[Quantity][2]float64{L: {84 - c.half, 84 + c.half}}, Rule: Guarded, MaxRisk: 0.05}
		if p := foresee(t, limits, digit); p.CanNeverPass != c.never {
			t.Errorf("L* within ± %.2f: best probability %g, want never %t", c.half, p.BestProbability, c.never)
		}
	}
	// The reference read again each time cancels what a session shares.
	wine := readAs(t, 0.002, 0.2, 0.23, 0.05)
	again := Spec{Reference: &Reference{Wine: wine}, Tolerance: 0.8, Weights: difference.Weights{KL: 2, KC: 1, KH: 1}, Rule: Guarded, MaxRisk: 0.05}
	apart := foresee(t, again, threeReadings)
	shared := threeReadings
	shared.SameSession = true
	if together := foresee(t, again, shared); !(together.BestProbability > apart.BestProbability) {
		t.Errorf("best probability %g apart, %g in one session", apart.BestProbability, together.BestProbability)
	}
	for _, only := range []Spec{
		{Limits: map[Quantity][2]float64{Intensity: {0.3, 0.5}, Tint: {0.8, 1.2}, Blue: {8, 14}}, Rule: Guarded, MaxRisk: 0.05},
		{Limits: map[Quantity][2]float64{Yellow: {38, 46}, Red: {42, 50}}, Rule: Guarded, MaxRisk: 0.05},
		{Ellipsoid: approvedRegion(t, 0.99), Rule: Simple},
	} {
		if p := foresee(t, only, goodScan); !(p.BestProbability > 0.95) {
			t.Errorf("%+v: best probability %g, want that a scan can pass it", only, p.BestProbability)
		}
	}
}

func TestForeseeFaults(t *testing.T) {
	s := Spec{Limits: map[Quantity][2]float64{L: {70, 90}}, Rule: Guarded, MaxRisk: 0.05}
	change := func(by func(*Setup)) Setup {
		out := threeReadings
		by(&out)
		return out
	}
	blue := Spec{Reference: &Reference{Stated: stated(50, -20, -60, 0, 0)}, Tolerance: 1, Rule: Guarded, MaxRisk: 0.05}
	for _, c := range []struct {
		name  string
		spec  Spec
		setup Setup
		field string
		says  string
	}{
		{"no spec", Spec{Rule: Simple}, threeReadings, "spec", "nothing to judge"},
		{"no source", s, Setup{}, "spec/reading_method/source", "readings"},
		{"scan with wavelengths", s, Setup{Source: spectrum.Scan, ExtraNM: []float64{460}}, "spec/reading_method/extra_nm", "belong to readings"},
		{"no cell", s, change(func(s *Setup) { s.Cell.PathMM = 0 }), "spec/reading_method/path_mm", ""},
		{"digits", s, Setup{Source: spectrum.CIELAB, HalfStepL: -1}, "spec/reading_method", "last printed digit"},
		{"excluded reference", Spec{Reference: &Reference{Stated: stated(84, 13, 8, 0, 0)}, Limits: map[Quantity][2]float64{L: {85, 90}}, Rule: Simple}, threeReadings, "spec/limits/L", "would fail"},
		{"no wine has it", blue, threeReadings, "spec", "no wine-like spectrum"},
	} {
		c.spec.Setup = &c.setup
		_, err := Foresee(c.spec, cie.OIV())
		wantFields(t, c.name, err, []string{c.field}, c.says)
	}
	_, err := Foresee(s, cie.OIV())
	wantFields(t, "no way of reading", err, []string{"spec/reading_method"}, "how lots will be read")
}

// A lot that was not read as the specification says is judged, and it is said.
func TestNotAsExpected(t *testing.T) {
	s := Spec{Limits: map[Quantity][2]float64{L: {60, 95}}, Rule: Simple}
	five := threeReadings
	five.ExtraNM = []float64{560, 460}
	wine := readAs(t, 0.002, 0.2, 0.23, 0.05)
	more := readAs(t, 0.002, 0.2, 0.23, 0.05, reading.At{NM: 460, Absorbance: 0.15}, reading.At{NM: 560, Absorbance: 0.14})
	for _, c := range []struct {
		name   string
		setup  Setup
		sample Sample
		says   bool
	}{
		{"three of three", threeReadings, Sample{Wine: wine}, false},
		{"three of five", five, Sample{Wine: wine}, true},
		{"five of five", five, Sample{Wine: more}, false},
		{"stated for a scan", goodScan, Sample{Stated: stated(80, 10, 5, 0, 0)}, true},
		{"stated", Setup{Source: spectrum.CIELAB}, Sample{Stated: stated(80, 10, 5, 0, 0), Wine: wine}, false},
	} {
		s.Setup = &c.setup
		if got := hasWarning(judge(t, s, c.sample), "method_not_expected"); (got != "") != c.says {
			t.Errorf("%s: warning %q, want one: %t", c.name, got, c.says)
		}
	}
}

// The best probability of a specification and that of a sample answer one question
// with different errors: those of a lot that is as wanted, and the sample's own. Of
// a sample that is read just as that lot would be, both are the same, and of a paler
// one, which three readings know better, it is higher.
func TestBestOfSpecAndOfSample(t *testing.T) {
	setup := threeReadings
	s := Spec{Reference: &Reference{Stated: stated(84, 13, 8, 0, 0)}, Tolerance: 1, Rule: Guarded, MaxRisk: 0.05, Setup: &setup}
	of := foresee(t, s, threeReadings).BestProbability
	best := func(sample Sample) float64 {
		j := judge(t, s, sample)
		if !j.CanNeverPass {
			t.Fatalf("%s, best probability %g, want that no lot could pass", j.Verdict, j.BestProbability)
		}
		return j.BestProbability
	}
	lot, err := s.typical(cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	wanted, err := setup.read(lot, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	if p := best(wanted); p != of {
		t.Errorf("best probability %g of the specification, %g of a sample that is as wanted", of, p)
	}
	paler := readAs(t, 0.002, 0.8*wanted.Wine.At(420), 0.8*wanted.Wine.At(520), 0.8*wanted.Wine.At(620))
	if p := best(Sample{Wine: paler}); !(p > of+0.03) {
		t.Errorf("best probability %g of the specification, %g of a paler sample, want more", of, p)
	}
}

package blend

import (
	"fmt"
	"math"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// TestHeldIsMix: a path into a base with held wines is the mixture of all, poured
// by volume, and its fraction is of the whole.
func TestHeldIsMix(t *testing.T) {
	base, red, third := paleWhite(t), youngRed(t), mustRead(t, 10, 0.3, 0.2, 0.05)
	p, err := NewPathWith(base, []Held{{third, 5}, {red, 0}}, red)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range []Dose{0, 2, 13, 400} {
		all := 105 + float64(d)
		want := mustMix(t, []spectrum.Wine{base, third, red}, 100/all, 5/all, float64(d)/all)
		got := p.Absorbance(d)
		sameCurve(t, fmt.Sprintf("at %g", float64(d)), &got, &want.Absorbance)
		if f := p.Fraction(d); math.Abs(f-float64(d)/all) > 1e-15 {
			t.Errorf("Fraction(%g) = %g, want %g", float64(d), f, float64(d)/all)
		}
	}
}

// TestHeldLaws: nothing held is no change at all, the order of what is held is
// of no matter, and whichever wine is the addition, the blend is the same.
func TestHeldLaws(t *testing.T) {
	base, red, third, fourth := paleWhite(t), youngRed(t), mustRead(t, 10, 0.3, 0.2, 0.05), mustRead(t, 1, 0.2, 0.3, 0.04)
	path := func(addition spectrum.Wine, held ...Held) *Path {
		p, err := NewPathWith(base, held, addition)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	if got, want := labAt(t, path(red, Held{third, 0}), 7), labAt(t, NewPath(base, red), 7); got != want {
		t.Errorf("with none of a third wine: %v, want %v", got, want)
	}
	one, other := path(red, Held{third, 4}, Held{fourth, 2}), path(red, Held{fourth, 2}, Held{third, 4})
	turned := path(third, Held{red, 7}, Held{fourth, 2})
	a, b, c := one.Absorbance(7), other.Absorbance(7), turned.Absorbance(4)
	sameCurve(t, "order", &a, &b)
	sameCurve(t, "addition", &a, &c)
}

// TestNearestWithHeld holds the search against every hundredth of a mL.
func TestNearestWithHeld(t *testing.T) {
	base, red, third := paleWhite(t), youngRed(t), mustRead(t, 10, 0.5, 0.3, 0.1)
	p, err := NewPathWith(base, []Held{{third, 8}}, red)
	if err != nil {
		t.Fatal(err)
	}
	aim := labAt(t, p, 6.37)
	aim.B += 1.5
	found, err := p.Nearest(Target{Lab: &aim, Tolerance: 3}, cie.OIV(), 20)
	if err != nil {
		t.Fatal(err)
	}
	s, err := newSeeker(Target{Lab: &aim}, cie.OIV(), 20)
	if err != nil {
		t.Fatal(err)
	}
	best := 0.0
	for i := range 2001 {
		if d := float64(i) / 100; s.miss(&p.centre, d) < s.miss(&p.centre, best) {
			best = d
		}
	}
	if math.Abs(float64(found.Dose)-best) > 0.0101 {
		t.Errorf("nearest at %g mL per 100 mL, by trying all at %g", float64(found.Dose), best)
	}
}

func TestHeldFaults(t *testing.T) {
	_, err := NewPathWith(paleWhite(t), []Held{{youngRed(t), -1}, {youngRed(t), 2}, {youngRed(t), Dose(math.NaN())}}, youngRed(t))
	wantFields(t, "doses", err, []string{"held/0/dose_ml_per_100ml", "held/2/dose_ml_per_100ml"}, "0 to 1000")
}

func ExampleNewPathWith() {
	read := func(pathMM, a420, a520, a620 float64) spectrum.Wine {
		w, err := spectrum.FromReadings(reading.Readings{Cell: reading.Cell{PathMM: pathMM, Dilution: 1}, A420: a420, A520: a520, A620: a620, UAbsorbance: 0.002})
		if err != nil {
			panic(err)
		}
		return w
	}
	white, red, rose := read(10, 0.095, 0.016, 0.003), read(1, 0.30, 0.58, 0.06), read(10, 0.3, 0.2, 0.05)
	// 5 mL of a rosé are in each 100 mL of the white already.
	path, err := NewPathWith(white, []Held{{rose, 5}}, red)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.1f %% of the blend\n", 100*path.Fraction(10))
	// Output: 8.7 % of the blend
}

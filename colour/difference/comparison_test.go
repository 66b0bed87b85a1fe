package difference

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
)

func lab(L, a, b float64) cie.Lab { return cie.Lab{L: L, A: a, B: b, View: cie.OIV()} }

func TestCompareByHand(t *testing.T) {
	// From (3, 4) to (4, 3): chroma stays 5, hue falls from 53.13° to 36.87°,
	// so all of the distance √2 is hue.
	got, err := Compare(lab(80, 3, 4), lab(81, 4, 3))
	if err != nil {
		t.Fatal(err)
	}
	want := Comparison{DeltaE00: got.DeltaE00, DeltaEab: math.Sqrt(3), DL: 1, DA: 1, DB: -1, DC: 0, DH: -math.Sqrt2}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"DeltaEab", got.DeltaEab, want.DeltaEab}, {"DL", got.DL, want.DL}, {"DA", got.DA, want.DA},
		{"DB", got.DB, want.DB}, {"DC", got.DC, want.DC}, {"DH", got.DH, want.DH},
	} {
		if !colourtest.Near(c.got, c.want, 1e-14, 0) {
			t.Errorf("%s = %.16g, want %.16g", c.name, c.got, c.want)
		}
	}
}

// TestCompareLaws: the parts add up, signs turn with the order, and the single
// functions agree with Compare.
func TestCompareLaws(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 5000 {
		reference, sample := lab(randomLab(r)), lab(randomLab(r))
		there, err := Compare(reference, sample)
		if err != nil {
			t.Fatal(err)
		}
		back, err := Compare(sample, reference)
		if err != nil {
			t.Fatal(err)
		}
		if sum := there.DL*there.DL + there.DC*there.DC + there.DH*there.DH; !colourtest.Near(sum, there.DeltaEab*there.DeltaEab, 1e-9, 1e-11) {
			t.Fatalf("%v to %v: DL² + DC² + DH² = %g, ΔEab² = %g", reference, sample, sum, there.DeltaEab*there.DeltaEab)
		}
		if there.DL != -back.DL || there.DC != -back.DC || !colourtest.Near(there.DH, -back.DH, 1e-12, 0) {
			t.Fatalf("%v to %v: %+v, back %+v", reference, sample, there, back)
		}
		ab, err1 := CIE76(reference, sample)
		e00, err2 := CIEDE2000(reference, sample)
		if err1 != nil || err2 != nil || ab != there.DeltaEab || e00 != there.DeltaE00 {
			t.Fatalf("CIE76 %g, %v, CIEDE2000 %g, %v, Compare %+v", ab, err1, e00, err2, there)
		}
	}
}

func TestCompareErrors(t *testing.T) {
	at2, deep, noView, nan, inf := lab(80, 5, 5), lab(80, 5, 5), lab(80, 5, 5), lab(80, 5, 5), lab(80, 5, 5)
	at2.View.Observer = "2"
	deep.View.DepthMM = 20
	noView.View = cie.View{}
	nan.A = math.NaN()
	inf.L = math.Inf(1)
	for _, c := range []struct {
		name              string
		reference, sample cie.Lab
		want              error
	}{
		{"observers", lab(80, 5, 5), at2, ErrViewsDiffer},
		{"depths", deep, lab(80, 5, 5), ErrViewsDiffer},
		{"one without a view", noView, lab(80, 5, 5), ErrViewsDiffer},
		{"neither with a view", noView, noView, cie.ErrIlluminant},
		{"NaN", lab(80, 5, 5), nan, ErrNotFinite},
		{"infinite", inf, lab(80, 5, 5), ErrNotFinite},
	} {
		if _, err := Compare(c.reference, c.sample); !errors.Is(err, c.want) {
			t.Errorf("%s: Compare error %v, want %v", c.name, err, c.want)
		}
		if _, err := CIE76(c.reference, c.sample); !errors.Is(err, c.want) {
			t.Errorf("%s: CIE76 error %v, want %v", c.name, err, c.want)
		}
		if _, err := CIEDE2000(c.reference, c.sample); !errors.Is(err, c.want) {
			t.Errorf("%s: CIEDE2000 error %v, want %v", c.name, err, c.want)
		}
	}
}

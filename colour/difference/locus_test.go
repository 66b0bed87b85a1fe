package difference

import (
	"math"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
)

// TestLocus: each point lies on its bearing, at the tolerance, with nothing
// above the tolerance on the way there. A point may miss the tolerance only
// where the formula jumps across it.
func TestLocus(t *testing.T) {
	const n = 72
	for _, c := range []struct {
		name                 string
		reference            cie.Lab
		lightness, tolerance float64
		mayJump              bool
	}{
		{"rosé", lab(82, 14, 9), 82, 1.5, false},
		{"rosé, fine", lab(82, 14, 9), 82, 0.01, false},
		{"rosé, lighter", lab(82, 14, 9), 83, 1.5, false},
		{"rosé, wide", lab(82, 14, 9), 82, 10, true},
		{"red", lab(30, 60, 40), 30, 2, false},
		{"blue, where the ellipse tilts", lab(40, 20, -80), 40, 3, false},
		{"white wine, neutral inside", lab(99, -0.5, 2), 99, 3, true},
		{"neutral", lab(100, 0, 0), 100, 1, false},
	} {
		outline := Locus(c.reference, c.lightness, c.tolerance, n)
		if len(outline) != n {
			t.Errorf("%s: %d points, want %d", c.name, len(outline), n)
			continue
		}
		jumps := 0
		for i, p := range outline {
			dA, dB := p[0]-c.reference.A, p[1]-c.reference.B
			r, bearing := math.Hypot(dA, dB), 2*math.Pi*float64(i)/n
			if !colourtest.Near(dA, r*math.Cos(bearing), 1e-12*(1+r), 0) || !colourtest.Near(dB, r*math.Sin(bearing), 1e-12*(1+r), 0) {
				t.Errorf("%s: point %d is off its bearing: %v", c.name, i, p)
			}
			at := func(r float64) float64 {
				return DeltaE00(c.reference.L, c.reference.A, c.reference.B, c.lightness,
					c.reference.A+r*math.Cos(bearing), c.reference.B+r*math.Sin(bearing))
			}
			if got := at(r); !colourtest.Near(got, c.tolerance, 1e-9, 0) {
				jumps++
				if past := at(r * (1 + 1e-9)); !c.mayJump || got > c.tolerance || past < c.tolerance {
					t.Errorf("%s: point %d has ΔE00 %.12g, just past it %.12g, want %g", c.name, i, got, past, c.tolerance)
				}
			}
			for k := range 200 {
				if s := r * float64(k) / 200; at(s) > c.tolerance*(1+1e-12) {
					t.Errorf("%s: bearing %d crosses at %g already, point at %g", c.name, i, s, r)
					break
				}
			}
		}
		if jumps > n/12 {
			t.Errorf("%s: %d of %d points at a jump", c.name, jumps, n)
		}
	}
}

// TestLocusLightnessGap: at L* 50 ± d the gap counts d, as sL is 1 at a mean of
// 50 (Sharma2005, equation 18), so a neutral pair is at the edge exactly.
func TestLocusLightnessGap(t *testing.T) {
	reference := lab(49, 0, 0)
	for _, c := range []struct {
		tolerance float64
		want      int
	}{{1.999, 0}, {2, 12}, {2.001, 12}} {
		if got := len(Locus(reference, 51, c.tolerance, 12)); got != c.want {
			t.Errorf("gap 2, tolerance %g: %d points, want %d", c.tolerance, got, c.want)
		}
	}
}

func TestLocusNone(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name                 string
		reference            cie.Lab
		lightness, tolerance float64
		n                    int
	}{
		{"too few points", lab(50, 10, 10), 50, 1, 2},
		{"no tolerance", lab(50, 10, 10), 50, 0, 12},
		{"negative tolerance", lab(50, 10, 10), 50, -1, 12},
		{"NaN tolerance", lab(50, 10, 10), 50, nan, 12},
		{"infinite tolerance", lab(50, 10, 10), 50, inf, 12},
		{"beyond where the formula levels off", lab(50, 10, 10), 50, 300, 12},
		{"NaN lightness", lab(50, 10, 10), nan, 1, 12},
		{"infinite lightness", lab(50, 10, 10), inf, 1, 12},
		{"NaN reference", lab(50, nan, 10), 50, 1, 12},
	} {
		if got := Locus(c.reference, c.lightness, c.tolerance, c.n); got != nil {
			t.Errorf("%s: %d points, want nil", c.name, len(got))
		}
	}
}

// With all factors at 2 a locus is that of twice the tolerance; with others each
// point lies at the tolerance.
func TestLocusWeighted(t *testing.T) {
	ref := lab(82, 14, 9)
	twice, weighted := Locus(ref, 82, 3, 24), LocusWeighted(ref, 82, 1.5, 24, Weights{2, 2, 2})
	for i := range twice {
		if !colourtest.Near(weighted[i][0], twice[i][0], 1e-9, 0) || !colourtest.Near(weighted[i][1], twice[i][1], 1e-9, 0) {
			t.Errorf("point %d: %v, want %v", i, weighted[i], twice[i])
		}
	}
	for i, p := range LocusWeighted(ref, 82.3, 1, 24, Weights{1, 0.1, 0.2}) {
		if got := DeltaE00Weighted(82, 14, 9, 82.3, p[0], p[1], Weights{1, 0.1, 0.2}); !colourtest.Near(got, 1, 1e-9, 0) {
			t.Errorf("point %d: ΔE00 %g, want 1", i, got)
		}
	}
	if LocusWeighted(ref, 82, 1, 24, Weights{1, 0, 1}) != nil {
		t.Error("an outline without a weight of chroma")
	}
}

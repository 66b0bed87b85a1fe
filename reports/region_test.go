package reports

import (
	"math"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/difference"

	"gonum.org/v1/gonum/mat"
)

// Every point of an ellipsoid's section has T² at the limit, with the inverse of
// the whole covariance; the mean lies inside; beyond the ellipsoid's own L* there
// is none.
func TestSectionIsAtTheLimit(t *testing.T) {
	e := EllipsoidRegion{Mean: cie.Lab{L: 83, A: 14.2, B: 7}, Limit: 9.3,
		Covariance: [3][3]float64{{0.2, -0.12, 0.05}, {-0.12, 0.25, 0.06}, {0.05, 0.06, 0.11}}}
	s := mat.NewSymDense(3, []float64{0.2, -0.12, 0.05, -0.12, 0.25, 0.06, 0.05, 0.06, 0.11})
	var inverse mat.Dense
	if err := inverse.Inverse(s); err != nil {
		t.Fatal(err)
	}
	far := math.Sqrt(e.Limit * 0.2) // where the ellipsoid ends in L*
	for _, l := range []float64{83, 83.4, 82.1, 83 + 0.999*far} {
		points := e.section(l)
		if len(points) != locusPoints {
			t.Fatalf("L* %g: %d points, want %d", l, len(points), locusPoints)
		}
		for i, p := range points {
			d := mat.NewVecDense(3, []float64{l - 83, p[0] - 14.2, p[1] - 7})
			if got := mat.Inner(d, &inverse, d); math.Abs(got-e.Limit) > 1e-9 {
				t.Errorf("L* %g, point %d: T² %.12g, want %g", l, i, got, e.Limit)
			}
		}
	}
	if e.section(83+1.001*far) != nil {
		t.Error("a section beyond the ellipsoid")
	}
}

// The newest lot is inside the outline of ΔE00 as it meets the tolerance, at its
// own L* and with the specification's weights.
func TestRegionIsAtTheLotsOwnLightness(t *testing.T) {
	ref := cie.Lab{L: 83, A: 14.2, B: 7}
	r := &Region{DeltaE00: 1.5, Reference: &ref, Weights: difference.Weights{KL: 2, KC: 1, KH: 1}}
	for _, p := range r.outlines(cie.Lab{L: 84.1}, english())[0].points {
		if got := difference.DeltaE00Weighted(ref.L, ref.A, ref.B, 84.1, p[0], p[1], r.Weights); math.Abs(got-1.5) > 1e-9 {
			t.Errorf("ΔE00 %g on the outline, want 1.5", got)
		}
	}
	if (*Region)(nil).outlines(ref, english()) != nil {
		t.Error("an outline of no region")
	}
}

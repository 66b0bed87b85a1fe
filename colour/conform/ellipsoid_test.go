package conform

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
)

// approved are invented lots; the figures of R below are theirs.
var approved = [][3]float64{
	{84.2, 13.1, 8.4}, {83.9, 13.4, 8.9}, {84.6, 12.7, 8.2}, {84.0, 13.3, 8.5}, {84.9, 12.4, 8.0},
	{83.7, 13.2, 8.8}, {84.4, 12.9, 8.1}, {84.1, 13.5, 8.6}, {84.7, 12.8, 8.5}, {83.8, 13.0, 8.3},
}

func labs(values [][3]float64) []cie.Lab {
	out := make([]cie.Lab, len(values))
	for i, v := range values {
		out[i] = cie.Lab{L: v[0], A: v[1], B: v[2], View: cie.OIV()}
	}
	return out
}

func approvedRegion(t testing.TB, confidence float64) *Ellipsoid {
	t.Helper()
	e, err := EllipsoidOf(labs(approved), confidence)
	if err != nil {
		t.Fatal(err)
	}
	return &e
}

// Limits of T² against base R 4.2.2:
// 3*(n+1)*(n-1)/(n*(n-3))*qf(confidence, 3, n-3).
func TestEllipsoidLimit(t *testing.T) {
	for _, c := range []struct {
		lots             int
		confidence, want float64
	}{
		{8, 0.90, 17.1020307742496}, {8, 0.95, 25.5596574778169}, {8, 0.99, 56.9832811930556}, {8, 0.9973, 102.473671766411},
		{10, 0.95, 18.4429846538946}, {10, 0.99, 35.8575951537822},
		{15, 0.95, 13.0304339927911}, {20, 0.90, 8.58120116397668}, {20, 0.9973, 24.9420154319432},
		{50, 0.90, 7.03181080259306}, {50, 0.99, 13.4879023145778}, {50, 0.9973, 17.3600180540572},
	} {
		got := Ellipsoid{Lots: c.lots, Confidence: c.confidence}.Limit()
		if !colourtest.Near(got, c.want, 0, 1e-9) {
			t.Errorf("%d lots at %g: limit %.12g, want %.12g", c.lots, c.confidence, got, c.want)
		}
	}
}

// Mean, covariance and T² against base R 4.2.2: colMeans(x), cov(x),
// mahalanobis(y, colMeans(x), cov(x)).
func TestEllipsoidOf(t *testing.T) {
	e := approvedRegion(t, 0.95)
	for i, want := range []float64{84.23, 13.03, 8.43} {
		if got := []float64{e.Mean.L, e.Mean.A, e.Mean.B}[i]; !colourtest.Near(got, want, 1e-12, 0) {
			t.Errorf("mean %d = %.12g, want %g", i, got, want)
		}
	}
	for i, row := range [3][3]float64{
		{0.1645555555555561, -0.111, -0.081}, {-0.111, 0.115666666666667, 0.079}, {-0.081, 0.079, 0.0845555555555557},
	} {
		for k, want := range row {
			if got := e.Covariance[i][k]; !colourtest.Near(got, want, 1e-12, 0) {
				t.Errorf("covariance[%d][%d] = %.12g, want %g", i, k, got, want)
			}
		}
	}
	for _, c := range []struct {
		lot  [3]float64
		want float64
	}{{[3]float64{83.5, 14.0, 8.9}, 9.84087787253435}, {[3]float64{84.2, 13.1, 8.4}, 0.250291322179543}, {[3]float64{84.3, 13.6, 9.4}, 22.7848349716813}} {
		got, err := e.T2(labs([][3]float64{c.lot})[0])
		if err != nil || !colourtest.Near(got, c.want, 0, 1e-9) {
			t.Errorf("T² of %v = %.12g, %v, want %.12g", c.lot, got, err, c.want)
		}
		s := Spec{Ellipsoid: e, Rule: Simple}
		j := judge(t, s, Sample{Stated: stated(c.lot[0], c.lot[1], c.lot[2], 0.05, 0.05)})
		if r := j.Results[0]; r.Quantity != T2 || !colourtest.Near(r.Value, c.want, 0, 1e-9) || !colourtest.Near(r.Upper, 18.4429846538946, 0, 1e-9) || r.Within != (c.want < 18.44) {
			t.Errorf("judged by the region: %+v, want T² %g within %g", r, c.want, 18.443)
		}
		// The mean of the lots is what the difference is taken from.
		if d := j.Difference; d == nil || !colourtest.Near(d.DL, c.lot[0]-84.23, 1e-9, 0) {
			t.Errorf("difference %+v, want dL %g", d, c.lot[0]-84.23)
		}
		if hasWarning(j, "few_lots") == "" {
			t.Errorf("ten lots: warnings %v, want few_lots", j.Warnings)
		}
	}
	mean, err := MeanOf(labs(approved[:2]))
	if err != nil || !colourtest.Near(mean.A, 13.25, 1e-12, 0) {
		t.Errorf("mean of two lots = %v, %v, want a* 13.25", mean, err)
	}
}

// The next lot falls inside with the stated confidence, whatever the number of
// lots, their scatter and its units.
func TestEllipsoidCoverage(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	const rounds = 4000
	for _, lots := range []int{MinLots, 12, 30} {
		inside := 0
		for range rounds {
			e, err := EllipsoidOf(labs(scatter(r, lots)), 0.95)
			if err != nil {
				t.Fatal(err)
			}
			t2, err := e.T2(labs(scatter(r, 1))[0])
			if err != nil {
				t.Fatal(err)
			}
			if t2 <= e.Limit() {
				inside++
			}
		}
		got := float64(inside) / rounds
		t.Logf("%d lots: %.4f of the next ones inside", lots, got)
		if se := math.Sqrt(0.95 * 0.05 / rounds); !colourtest.Near(got, 0.95, 4*se, 0) {
			t.Errorf("%d lots: %g of the next ones inside, want 0.95 ± %.2g", lots, got, 4*se)
		}
	}
}

// scatter draws lots of one making: L* falls as a* rises.
func scatter(r *rand.Rand, n int) [][3]float64 {
	out := make([][3]float64, n)
	for i := range out {
		x, y, z := r.NormFloat64(), r.NormFloat64(), r.NormFloat64()
		out[i] = [3]float64{84 - 0.8*x + 0.1*y, 13 + 0.6*x + 0.1*z, 8 + 0.02*z + 0.3*y}
	}
	return out
}

func TestEllipsoidFaults(t *testing.T) {
	flat := slices.Clone(approved)
	for i := range flat {
		flat[i][2] = flat[i][0] - flat[i][1]
	}
	same := make([][3]float64, 9)
	elsewhere := labs(approved)
	elsewhere[4].View.DepthMM = 1
	nan := labs(approved)
	nan[2].A = math.NaN()
	for _, c := range []struct {
		name       string
		lots       []cie.Lab
		confidence float64
		field      string
		says       string
	}{
		{"none", nil, 0.95, "lots", "at least 8"},
		{"too few", labs(approved[:5]), 0.95, "lots", "3 more than these 5"},
		{"in a plane", labs(flat), 0.95, "lots", "no volume"},
		{"all the same", labs(same), 0.95, "lots", "no volume"},
		{"two views", elsewhere, 0.95, "lots/4", "one view"},
		{"not a number", nan, 0.95, "lots/2", "finite"},
		{"certain", labs(approved), 1, "confidence", "0.95"},
		{"no confidence", labs(approved), math.NaN(), "confidence", "0.95"},
	} {
		_, err := EllipsoidOf(c.lots, c.confidence)
		wantFields(t, c.name, err, []string{c.field}, c.says)
	}
	_, err := Judge(Spec{Ellipsoid: approvedRegion(t, 0.95), Rule: Simple}, Sample{Wine: rosé(0, 0, 0, "m")}, cie.View{Illuminant: "A", Observer: "10", DepthMM: 10})
	wantFields(t, "another lamp", err, []string{"spec/ellipsoid"}, "cannot be converted")
	if _, err := MeanOf(nil); err == nil {
		t.Error("mean of no lots: no error")
	}
}

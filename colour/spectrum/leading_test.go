package spectrum

import (
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/reading"
)

// roses are readings such as rosés, whites and reds give, at three or five
// wavelengths.
func roses(n int) []reading.Readings {
	draw := rand.New(rand.NewPCG(7, 11))
	out := make([]reading.Readings, n)
	for i := range out {
		size := math.Exp(-3 + 4*draw.Float64())
		a420, a520 := size*(0.4+draw.Float64()), size*(0.05+draw.Float64())
		r := reading.Readings{
			Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: a420, A520: a520, A620: a520 * (0.05 + 0.3*draw.Float64()), UAbsorbance: reading.DefaultU,
		}
		if i%3 == 2 {
			r.Extra = []reading.At{{NM: 460, Absorbance: 0.5 * (a420 + a520)}, {NM: 560, Absorbance: 0.7 * a520}}
		}
		out[i] = r
	}
	return out
}

// TestLeadingTerms: the terms are those of the whole decomposition by LAPACK's
// algorithm, but for their signs.
func TestLeadingTerms(t *testing.T) {
	var worst float64
	for _, r := range roses(300) {
		g := posteriorOf(t, r)
		got, want := g.quickTerms(), g.terms()
		if len(got) != len(want) || len(got) != shapeTerms {
			t.Fatalf("%+v: %d terms, whole %d", r, len(got), len(want))
		}
		top := math.Sqrt(want[0].Effect.Dot(&want[0].Effect))
		for k := range got {
			sign := math.Copysign(1, got[k].Effect.Dot(&want[k].Effect))
			for i := range got[k].Effect {
				worst = max(worst, math.Abs(sign*got[k].Effect[i]-want[k].Effect[i])/top)
			}
		}
	}
	t.Logf("the farthest is off by %.1e of the first term's size", worst)
	if worst > 1e-10 {
		t.Errorf("off by %.1e of the first term's size", worst)
	}
}

// TestLeadingEqual: equal eigenvalues have no vectors of their own, and the whole
// decomposition is taken.
func TestLeadingEqual(t *testing.T) {
	g := gaussian{cov: new(covariance)}
	for i := range cie.Points {
		g.cov[i][i] = 1 / (visibility()[i] * visibility()[i])
	}
	if got := g.quickTerms(); len(got) != shapeTerms {
		t.Errorf("%d terms of a unit matrix, want %d", len(got), shapeTerms)
	}
}

func posteriorOf(tb testing.TB, r reading.Readings) *gaussian {
	tb.Helper()
	if err := r.Validate(); err != nil {
		tb.Fatal(err)
	}
	all, factor := r.All(), r.Per10MM()
	h, y := make([]cie.Curve, len(all)), make([]float64, len(all))
	for i, at := range all {
		h[i], y[i] = sampling(at.NM), at.Absorbance*factor
	}
	g := wines().estimate(h, y)
	return &g.posterior
}

func BenchmarkTerms(b *testing.B) {
	g := posteriorOf(b, rose)
	for _, c := range []struct {
		name string
		of   func() []Term
	}{{"quick", g.quickTerms}, {"whole", g.terms}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				c.of()
			}
		})
	}
}

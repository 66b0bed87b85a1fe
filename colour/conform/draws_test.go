package conform

import (
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/colourtest"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

func covariance(columns []column) (c [dims]state) {
	for _, col := range columns {
		for i, a := range col.effect {
			for j, b := range col.effect {
				c[i][j] += a * b
			}
		}
	}
	return c
}

// The nine columns that are drawn from have the covariance of all the errors.
func TestFactorKeepsCovariance(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	columns := make([]column, 30)
	for k := range columns {
		for i := range columns[k].effect {
			columns[k].effect[i] = r.NormFloat64() * math.Pow(10, float64(i%4)-2)
		}
		columns[k].effect[4] = 0 // one exact quantity
	}
	f := factorOf(columns)
	want := covariance(columns)
	var drawn []column
	for k := range f.rank {
		drawn = append(drawn, column{effect: f.columns[k]})
	}
	got := covariance(drawn)
	for i := range got {
		for j := range got[i] {
			if !colourtest.Near(got[i][j], want[i][j], 1e-9*math.Sqrt(want[i][i]*want[j][j]), 0) {
				t.Errorf("covariance[%d][%d] = %g, want %g", i, j, got[i][j], want[i][j])
			}
		}
	}
	if f.rank != dims-1 {
		t.Errorf("rank = %d, want %d", f.rank, dims-1)
	}
}

// isotropic makes independent errors of L*, a* and b* that all move ΔE00 by u
// near the grey L* 50, where a* counts 1.5 times and the weights are 1.
func isotropic(u float64) []column {
	var out []column
	for i, s := range [absorbing]float64{u, u / 1.5, u} {
		c := column{cause: spectrum.Reading}
		c.effect[i] = s
		out = append(out, c)
	}
	return out
}

var grey = state{50, 0, 0, 0, 0, 0, 50, 0, 0}

// On the reference ΔE00/u is the length of three standard normal numbers. Its
// quantiles are the roots of those of chi-square with 3 degrees of freedom:
// 2.366 (50 %), 6.251 (90 %), 7.815 (95 %), 11.345 (99 %). Source: any table of
// chi-square (from memory). So a tolerance below 2.80 u cannot be passed at 95 %.
func TestChiSquare(t *testing.T) {
	const u = 0.02 // small, so that the formula's weights stay at 1
	f := factorOf(isotropic(u))
	for _, c := range []struct{ chiSquare, want float64 }{{2.366, 0.50}, {6.251, 0.90}, {7.815, 0.95}, {11.345, 0.99}} {
		got := f.probability([]part{{quantity: DeltaE00, upper: u * math.Sqrt(c.chiSquare), weights: unit}}, &grey, Draws)
		if !colourtest.Near(got.all, c.want, 0.003, 0) || !(got.allSE < 0.005) {
			t.Errorf("ΔE00 within %.3f u: probability %g ± %g, want %g", math.Sqrt(c.chiSquare), got.all, got.allSE, c.want)
		}
	}
	for _, c := range []struct {
		tolerance float64 // in u
		never     bool
	}{{1, true}, {2.7, true}, {2.9, false}, {5, false}} {
		j := judged{spec: Spec{Rule: Guarded, MaxRisk: 0.05, Tolerance: c.tolerance * u}, middle: grey, factor: f}
		j.parts = j.spec.parts()
		j.ref = &side{}
		j.middle[1] += 10 * u
		if best := j.best(); (best < 0.95) != c.never {
			t.Errorf("tolerance %g u: best probability %g, can never pass %t, want %t", c.tolerance, best, best < 0.95, c.never)
		}
	}
}

// The draws against plain random ones, for a rosé with correlated errors on
// both sides and several parts at once.
func TestDrawsAgainstMonteCarlo(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	var worst, stated float64
	for round := range 12 {
		columns := make([]column, 12)
		for k := range columns {
			for i := range columns[k].effect {
				size := 0.2
				if i >= absorbing && i < reference {
					size = 0.002
				}
				columns[k].effect[i] = size * r.NormFloat64()
			}
		}
		middle := state{82 + r.Float64(), 12 + r.Float64(), 8, 0.21, 0.22, 0.03, 82, 12, 8}
		parts := []part{
			{quantity: DeltaE00, upper: 1.2, weights: unit}, {quantity: Hue, lower: 350, upper: 36}, {quantity: Chroma, lower: 13, upper: 15.5},
			{quantity: Intensity, lower: 0.44, upper: 0.48}, {quantity: Tint, lower: 0.9, upper: 1},
		}
		f := factorOf(columns)
		got := f.probability(parts, &middle, Draws)
		const n = 60000
		met := 0
		for range n {
			x := middle
			for _, c := range columns {
				z := r.NormFloat64()
				for i, e := range c.effect {
					x[i] += z * e
				}
			}
			all := true
			for _, p := range parts {
				all = all && p.met(p.value(&x))
			}
			if all {
				met++
			}
		}
		want := float64(met) / n
		se := math.Sqrt(want*(1-want)/n) + got.allSE
		worst, stated = max(worst, math.Abs(got.all-want)), max(stated, got.allSE)
		if !colourtest.Near(got.all, want, 4*se+1e-4, 0) {
			t.Errorf("round %d: probability %g ± %g, plain Monte Carlo %g", round, got.all, got.allSE, want)
		}
	}
	t.Logf("largest difference %.2g, largest standard error stated %.2g", worst, stated)
}

// Of lots whose true colour lies on the limit, the guarded rule passes at most
// MaxRisk and fails at most MaxRisk, however tight the tolerance. Their readings
// scatter about them with the stated uncertainty. Beside it stands what the
// probability of conforming would fail by itself.
func TestFalseAcceptanceAndRejection(t *testing.T) {
	const (
		u       = 0.3
		maxRisk = 0.05
		lots    = 2000
	)
	r := rand.New(rand.NewPCG(3, 3))
	columns := []column{ // correlated: reading errors of a rosé move L* and a* together
		{effect: state{-u, 1.2 * u, 0.3 * u}}, {effect: state{0.2 * u, 0.3 * u, u}}, {effect: state{0.5 * u, 0.4 * u, -0.2 * u}},
	}
	target := state{82, 12, 8, 0, 0, 0, 82, 12, 8}
	// One standard uncertainty of ΔE00, as the root mean square near the target.
	var square float64
	for _, c := range columns {
		d := difference.DeltaE00(82, 12, 8, 82+c.effect[0], 12+c.effect[1], 8+c.effect[2])
		square += d * d
	}
	// Three standard deviations of a binomial count above the risk.
	limit := maxRisk + 3*math.Sqrt(maxRisk*(1-maxRisk)/lots)
	for _, ratio := range []float64{1, 1.5, 2, 3, 4, 5} {
		c := judged{spec: Spec{Tolerance: ratio * math.Sqrt(square), Rule: Guarded, MaxRisk: maxRisk}, columns: columns, factor: factorOf(columns)}
		c.parts = c.spec.parts()
		var passed, failed, improbable float64
		for range lots {
			c.middle = onEdge(r, target, c.spec.Tolerance)
			for _, col := range columns {
				z := r.NormFloat64()
				for i := range absorbing {
					c.middle[i] += z * col.effect[i]
				}
			}
			d := c.decideBy(c.factor.probability(c.parts, &c.middle, coarseDraws))
			switch d.verdict {
			case Pass:
				passed += 1.0 / lots
			case Fail:
				failed += 1.0 / lots
			}
			if d.all <= maxRisk {
				improbable += 1.0 / lots
			}
		}
		t.Logf("tolerance %.1f u: %.3f pass, %.3f fail; %.3f conform with a probability of at most %g", ratio, passed, failed, improbable, maxRisk)
		if passed > limit {
			t.Errorf("tolerance %g u: %.3f of the lots on the limit pass, more than %g", ratio, passed, maxRisk)
		}
		if failed > limit {
			t.Errorf("tolerance %g u: %.3f of the lots on the limit fail, more than %g", ratio, failed, maxRisk)
		}
	}
}

// onEdge is a colour in a random direction whose ΔE00 from the target is the
// tolerance.
func onEdge(r *rand.Rand, target state, tolerance float64) state {
	d := [absorbing]float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
	at := func(far float64) state {
		x := target
		for i, v := range d {
			x[i] += far * v
		}
		return x
	}
	near, far := 0.0, 1.0
	for x := at(far); toReference.value(&x) < tolerance; x = at(far) {
		far *= 2
	}
	for range 60 {
		middle := (near + far) / 2
		if x := at(middle); toReference.value(&x) < tolerance {
			near = middle
		} else {
			far = middle
		}
	}
	return at(far)
}

// The draws are the same numbers in every run, as many as are stated, and
// spread like standard normal ones.
func TestDraws(t *testing.T) {
	z := normals()
	if len(z) != Draws || Draws < 16384 {
		t.Fatalf("%d draws, want %d, at least 16384", len(z), Draws)
	}
	for k := range dims {
		var sum, squares, cubes float64
		for _, x := range z {
			sum += x[k]
			squares += x[k] * x[k]
			cubes += x[k] * x[k] * x[k]
		}
		// As many random numbers would scatter by 0.008, 0.011 and 0.030.
		if !colourtest.Near(sum/Draws, 0, 0.004, 0) || !colourtest.Near(squares/Draws, 1, 0.004, 0) || !colourtest.Near(cubes/Draws, 0, 0.03, 0) {
			t.Errorf("coordinate %d: mean %g, mean square %g, mean cube %g, want 0, 1, 0", k, sum/Draws, squares/Draws, cubes/Draws)
		}
		for l := range k {
			var product float64
			for _, x := range z {
				product += x[k] * x[l]
			}
			if !colourtest.Near(product/Draws, 0, 0.005, 0) {
				t.Errorf("coordinates %d and %d: mean product %g, want 0", k, l, product/Draws)
			}
		}
	}
	spec := Spec{Reference: &Reference{Wine: rosé(0.02, 0.002, 0.5, "m")}, Tolerance: 0.6, Rule: Guarded, MaxRisk: 0.05}
	lot := Sample{Wine: rosé(0.02, 0.002, 0, "m")}
	first := judge(t, spec, lot)
	for range 3 {
		if again := judge(t, spec, lot); again.Probability != first.Probability || again.BestProbability != first.BestProbability && !math.IsNaN(first.BestProbability) {
			t.Errorf("the same question gave %g, then %g", first.Probability, again.Probability)
		}
	}
}

var (
	unit        = difference.Weights{KL: 1, KC: 1, KH: 1}
	toReference = part{quantity: DeltaE00, weights: unit}
)

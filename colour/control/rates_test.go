package control_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"pourpath/colour/control"
)

// rate compares a count of alarms with its probability, by the standard error of
// a binomial count.
func rate(t *testing.T, what string, alarms, n int, want float64) {
	t.Helper()
	got, se := float64(alarms)/float64(n), math.Sqrt(want*(1-want)/float64(n))
	t.Logf("%s: %.5f of %d, want %.5f ± %.5f", what, got, n, want, se)
	if math.Abs(got-want) > 4*se {
		t.Errorf("%s: %.5f of %d, want %.5f ± %.5f", what, got, n, want, se)
	}
}

// TestFalseAlarms: 100,000 lots of a steady process of known level ring at the
// rates of the normal distribution.
func TestFalseAlarms(t *testing.T) {
	const n = 100_000
	c, err := control.NewIndividuals(normals(seeded(3), n, 0), known, []control.Rule{control.BeyondAction})
	if err != nil {
		t.Fatal(err)
	}
	rate(t, "beyond three sigma", len(c.Signals), n, 2*phi(-3))
	warned := 0
	for _, z := range c.Zones {
		if z > 2 || z < -2 {
			warned++
		}
	}
	rate(t, "beyond two sigma", warned, n, 2*phi(-2))
	// Moving ranges of neighbours share a lot: their count scatters more than a
	// binomial one, by less than twice.
	got, want := float64(len(c.Ranges.Signals))/n, 2*phi(-3.267*1.128/math.Sqrt2)
	t.Logf("ranges: %.5f, want %.5f", got, want)
	if math.Abs(got-want) > 8*math.Sqrt(want/n) {
		t.Errorf("ranges ring at %.5f, want %.5f", got, want)
	}
}

// TestFalseAlarmsOfEstimatedLimits measures how often new lots ring where the
// limits are from few: the figures for DEVELOPERS.md, and the reason for
// FirmBase. There is no closed form; the bounds are what was measured.
func TestFalseAlarmsOfEstimatedLimits(t *testing.T) {
	const charts, further = 2000, 50
	for _, c := range []struct {
		base      int
		low, high float64
	}{{10, 0.015, 0.025}, {25, 0.0055, 0.0085}, {100, 0.003, 0.0043}} {
		r, rung := seeded(4), 0
		for range charts {
			i, err := control.NewIndividuals(normals(r, c.base+further, 0), control.Base{First: c.base}, []control.Rule{control.BeyondAction})
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range i.Signals {
				if s.At >= c.base {
					rung++
				}
			}
		}
		got := float64(rung) / (charts * further)
		t.Logf("limits from %d lots: new ones ring at %.4f", c.base, got)
		if got < c.low || got > c.high {
			t.Errorf("limits from %d lots: new ones ring at %.4f, measured %g to %g", c.base, got, c.low, c.high)
		}
	}
}

// correlated gives three columns of n lots that go together as colours do.
func correlated(r *rand.Rand, n int) []control.Column {
	x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		a, b, c := r.NormFloat64(), r.NormFloat64(), r.NormFloat64()
		x[i], y[i], z[i] = 20+a, 5+0.5*(0.7*a+b), 80-2*(0.9*a+0.3*b+0.2*c)
	}
	return []control.Column{{Name: "a*", Values: x}, {Name: "b*", Values: y}, {Name: "L*", Values: z}}
}

// TestFalseAlarmsT2: the limits hold exactly, averaged over base periods, also
// with the fewest points.
func TestFalseAlarmsT2(t *testing.T) {
	for _, n := range []int{15, 50} {
		charts := 100_000 / n
		r, inBase, after, shifts := seeded(5), 0, 0, 0
		const further = 5
		for range charts {
			c, err := control.NewT2(correlated(r, n+further), control.Base{First: n})
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range c.Signals {
				if s.At < n {
					inBase++
				} else {
					after++
				}
			}
			for _, w := range c.Warnings {
				if w.Code == "base_shifts" {
					shifts++
				}
			}
		}
		rate(t, "T² of the base", inBase, charts*n, control.FalseAlarms)
		rate(t, "T² of further lots", after, charts*further, control.FalseAlarms)
		// Three columns at a third of a hundredth each; correlated ones share.
		got := float64(shifts) / float64(charts)
		t.Logf("%d points: base_shifts without a shift %.4f", n, got)
		if got < 0.002 || got > 0.014 {
			t.Errorf("%d points: base_shifts without a shift %.4f, want somewhat below 0.01", n, got)
		}
	}
}

// TestSuccessiveDifferences is why the covariance is not taken from successive
// differences: its limit for the base by the beta distribution, with
// f = 2(n-1)²/(3n-4) degrees of freedom, is far off. (That it is was published by
// Williams, Woodall, Birch, Sullivan, J. Qual. Technol. 38 (2006) 217, from
// memory.)
func TestSuccessiveDifferences(t *testing.T) {
	const p = 3
	for _, c := range []struct {
		n         int
		low, high float64
	}{{15, 3, 5}, {50, 0, 0.2}} {
		r, rung := seeded(6), 0
		m := float64(c.n - 1)
		f := 2 * m * m / (3*float64(c.n) - 4)
		limit := m * m / float64(c.n) * distuv.Beta{Alpha: p / 2., Beta: (f - p - 1) / 2}.Quantile(1-control.FalseAlarms)
		const charts = 4000
		for range charts {
			rung += beyondByDifferences(t, normals(r, c.n*p, 0), p, limit)
		}
		got := float64(rung) / float64(charts*c.n) / control.FalseAlarms
		t.Logf("%d points: %.2f times as often as stated", c.n, got)
		if got < c.low || got > c.high {
			t.Errorf("%d points: %.2f times as often as stated, measured before %g to %g", c.n, got, c.low, c.high)
		}
	}
}

func beyondByDifferences(t *testing.T, values []float64, p int, limit float64) (rung int) {
	t.Helper()
	x := mat.NewDense(len(values)/p, p, values)
	n, _ := x.Dims()
	var d, s, y mat.Dense
	d.Sub(x.Slice(1, n, 0, p), x.Slice(0, n-1, 0, p))
	s.Mul(d.T(), &d)
	s.Scale(1/(2*float64(n-1)), &s)
	for j := range p {
		var sum float64
		for i := range n {
			sum += x.At(i, j)
		}
		for i := range n {
			x.Set(i, j, x.At(i, j)-sum/float64(n))
		}
	}
	if err := y.Solve(&s, x.T()); err != nil {
		t.Fatal(err)
	}
	for i := range n {
		if mat.Dot(x.RowView(i), y.ColView(i)) > limit {
			rung++
		}
	}
	return rung
}

// TestBaseShifts: a step of one and a half standard deviations in the middle of
// the base is told, because T² itself is blind to it.
func TestBaseShifts(t *testing.T) {
	const n, charts = 40, 500
	r, told, rung := seeded(7), 0, 0
	for range charts {
		cols := correlated(r, n)
		for i := n / 2; i < n; i++ {
			cols[0].Values[i] += 1.5
		}
		c, err := control.NewT2(cols, control.Base{})
		if err != nil {
			t.Fatal(err)
		}
		if len(c.Signals) > 0 {
			rung++
		}
		for _, w := range c.Warnings {
			if w.Code == "base_shifts" {
				told++
			}
		}
	}
	t.Logf("step told in %d of %d bases, T² rings in %d", told, charts, rung)
	if told < charts*3/4 || rung > charts/5 {
		t.Errorf("step told in %d of %d bases, T² rings in %d", told, charts, rung)
	}
}

// TestRunPlotHasNoLimitsForAReason: limits as for a chart of individuals would
// ring for a steady process of colours two to five times as often as stated.
func TestRunPlotHasNoLimitsForAReason(t *testing.T) {
	const n = 100_000
	for name, sd := range map[string][3]float64{"round": {1, 1, 1}, "long": {1, 0.5, 0.3}, "a line": {1, 0.1, 0.1}} {
		r := seeded(8)
		values := make([]float64, n)
		for i := range values {
			x, y, z := sd[0]*r.NormFloat64(), sd[1]*r.NormFloat64(), sd[2]*r.NormFloat64()
			values[i] = math.Sqrt(x*x + y*y + z*z)
		}
		c, err := control.NewIndividuals(values, control.Base{}, []control.Rule{control.BeyondAction})
		if err != nil {
			t.Fatal(err)
		}
		times := float64(len(c.Signals)) / n / 0.0027
		t.Logf("%s: %.1f times as often, lower limit %.2f", name, times, c.Limits.LowerAction)
		if times < 1.5 {
			t.Errorf("%s: rings only %.1f times as often: the reason given for no limits is wrong", name, times)
		}
	}
}

package control

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"pourpath/colour"
)

// baseT2Limit is of T² of a point that mean and covariance of n points in p
// columns were estimated with, Tracy1992.
func baseT2Limit(n, p int) float64 {
	m := float64(n - 1)
	beta := distuv.Beta{Alpha: float64(p) / 2, Beta: float64(n-p-1) / 2}
	return m * m / float64(n) * beta.Quantile(1-FalseAlarms)
}

// furtherT2Limit is of T² of a point after those, Tracy1992.
func furtherT2Limit(n, p int) float64 {
	x, y := float64(n), float64(p)
	f := distuv.F{D1: y, D2: x - y}
	return y * (x + 1) * (x - 1) / (x * (x - y)) * f.Quantile(1-FalseAlarms)
}

// worstCondition of a correlation: beyond it, T² is rounding.
const worstCondition = 1e10

// correlate fills the correlation of the base period and returns its inverse.
func (c *T2) correlate(picked [][]float64) ([][]float64, error) {
	var faults colour.FieldErrors
	for j, sigma := range c.Sigmas {
		if !finite(sigma) || sigma <= 1e-12*math.Abs(c.Means[j]) {
			faults.Addf(fmt.Sprintf("columns/%d/values", j), c.Means[j],
				"column %q has no spread in the base period; leave it out, or give more digits", c.Names[j])
		}
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	p := len(picked)
	r := mat.NewSymDense(p, nil)
	for j := range p {
		for l := range j + 1 {
			r.SetSym(j, l, c.correlation(picked, j, l))
		}
	}
	var factor mat.Cholesky
	var inverse mat.SymDense
	if !factor.Factorize(r) || factor.Cond() > worstCondition || factor.InverseTo(&inverse) != nil {
		faults.Addf("columns", c.Names, "a column follows from the others in the base period; leave out one of %s", strings.Join(c.Names, ", "))
		return nil, faults.Err()
	}
	c.Correlation = rows(r)
	return rows(&inverse), nil
}

func (c *T2) correlation(picked [][]float64, j, l int) float64 {
	if j == l {
		return 1
	}
	var sum float64
	for i := range c.BasePoints {
		sum += (picked[j][i] - c.Means[j]) / c.Sigmas[j] * ((picked[l][i] - c.Means[l]) / c.Sigmas[l])
	}
	return sum / float64(c.BasePoints-1)
}

func rows(m mat.Symmetric) [][]float64 {
	p := m.SymmetricDim()
	out := make([][]float64, p)
	for j := range out {
		out[j] = make([]float64, p)
		for l := range out[j] {
			out[j][l] = m.At(j, l)
		}
	}
	return out
}

// shiftRisk is the probability of warning of a base that does not shift.
const shiftRisk = 0.01

// shifts warns where neighbours of the base period are more alike than its
// points at large: the level moved within it, its covariance is swollen, and
// the chart would not see such a move again.
func (c *T2) shifts(picked [][]float64) []colour.Warning {
	var moved []string
	limit := distuv.UnitNormal.Quantile(1 - shiftRisk/float64(len(picked)))
	for j := range picked {
		if alikeness(picked[j][:c.BasePoints]) > limit {
			moved = append(moved, c.Names[j])
		}
	}
	if moved == nil {
		return nil
	}
	return []colour.Warning{{Code: "base_shifts", Message: fmt.Sprintf(
		"The level of %s moves within the base period, so the limit is too high to see such a move. "+
			"Chart each alone, find when it moved, and choose a base period of one level.", strings.Join(moved, ", "))}}
}

// alikeness is the von Neumann ratio as a standard normal deviate, positive
// where neighbours are alike: 1-δ²/(2s²) has variance (n-2)/(n²-1) (Young, Ann.
// Math. Stat. 12 (1941) 293, from memory).
func alikeness(vs []float64) float64 {
	n, m := float64(len(vs)), mean(vs)
	var steps float64
	for i := 1; i < len(vs); i++ {
		d := vs[i] - vs[i-1]
		steps += d * d
	}
	return (1 - steps/(2*sumSquares(vs, m))) / math.Sqrt((n-2)/(n*n-1))
}

func sumSquares(vs []float64, centre float64) float64 {
	var sum float64
	for _, v := range vs {
		sum += (v - centre) * (v - centre)
	}
	return sum
}

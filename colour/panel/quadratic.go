package panel

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// quadratic is the statistic that tells whether glasses differ: how far the sums
// of their ranks are from what is expected, by their covariance when every order
// of each judge's ranks is as likely (Benard, van Elteren 1953),
//
//	Q = T'·V⁺·T,  T = Σ w(R-(n+1)/2),  V = Σ w²·s²·n/(n-1)·(I-1/n)
//
// over judges, with n a judge's glasses, s² the variance of the ranks and the
// weights w = √(12/(n+1)) of Skillings and Mack (1981). Without ties it is
// Friedman's statistic where all judges have all glasses, Durbin's in balanced
// incomplete blocks, Skillings and Mack's else; with ties it is the first as
// corrected for them.
type quadratic struct {
	weights  []float64 // one a judge
	cov, inv *mat.SymDense
	degrees  int
}

func newQuadratic(j judged) *quadratic {
	t := len(j.doses)
	q := &quadratic{cov: mat.NewSymDense(t, nil), inv: mat.NewSymDense(t, nil)}
	for _, b := range j.blocks {
		n := float64(len(b.twice))
		w := math.Sqrt(12 / (n + 1))
		q.weights = append(q.weights, w)
		var squares float64
		for _, r := range b.twice {
			c := w * centred(r, len(b.twice)) / 2
			squares += c * c
		}
		each := squares / (n - 1)
		for _, a := range b.glasses {
			for _, c := range b.glasses {
				if a > c {
					continue
				}
				v := -each / n
				if a == c {
					v += each
				}
				q.cov.SetSym(a, c, q.cov.At(a, c)+v)
			}
		}
	}
	q.invert()
	return q
}

// centred is twice a rank less twice the mean rank of n glasses.
func centred(twice, n int) float64 { return float64(twice - (n + 1)) }

// invert makes the pseudoinverse: the rank sums add up to a constant, so that the
// covariance has one degree less than glasses (or fewer, where judges found
// everything alike).
func (q *quadratic) invert() {
	n := q.cov.SymmetricDim()
	var e mat.EigenSym
	if !e.Factorize(q.cov, true) {
		panic("panel: a symmetric matrix without eigenvalues") // it is finite
	}
	values := e.Values(nil)
	var vectors mat.Dense
	e.VectorsTo(&vectors)
	least := 1e-9 * max(values[n-1], 1e-300)
	for k, v := range values {
		if v <= least {
			continue
		}
		q.degrees++
		q.inv.SymRankOne(q.inv, 1/v, vectors.ColView(k))
	}
}

// deviations are the weighted sums T.
func (q *quadratic) deviations(blocks []block, into []float64) []float64 {
	clear(into)
	for i, b := range blocks {
		w := q.weights[i] / 2
		for k, g := range b.glasses {
			into[g] += w * centred(b.twice[k], len(b.twice))
		}
	}
	return into
}

// of is the statistic of deviations.
func (q *quadratic) of(deviations []float64) float64 {
	var sum float64
	raw := q.inv.RawSymmetric()
	for i, a := range deviations {
		row := raw.Data[i*raw.Stride : i*raw.Stride+raw.N]
		sum += a * a * row[i]
		for k := i + 1; k < raw.N; k++ {
			sum += 2 * a * deviations[k] * row[k]
		}
	}
	return sum
}

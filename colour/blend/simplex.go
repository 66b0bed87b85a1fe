package blend

import "math"

// maxWines is how many wines one blend is searched over.
const maxWines = 8

// fractions and hessian are fixed in size so that the search allocates nothing;
// only the first n places are in use.
type (
	fractionVec [maxWines]float64
	hessian     [maxWines]fractionVec
)

// limited is the set of fractions f with Σf = 1 and low ≤ f ≤ high.
type limited struct {
	n         int
	low, high fractionVec
}

// project returns the point of s nearest to f: f less one number λ, held
// between the limits. λ is found by halving, as the sum falls with it.
func (s *limited) project(f fractionVec) fractionVec {
	least, most := math.Inf(1), math.Inf(-1)
	for i := range s.n {
		least = min(least, f[i]-s.high[i])
		most = max(most, f[i]-s.low[i])
	}
	var p fractionVec
	for range 60 {
		lambda := (least + most) / 2
		var sum float64
		for i := range s.n {
			p[i] = min(max(f[i]-lambda, s.low[i]), s.high[i])
			sum += p[i]
		}
		if sum > 1 {
			least = lambda
		} else {
			most = lambda
		}
	}
	return p
}

// Where a fraction stands in the working set of the quadratic programme.
const (
	atLow  = -1
	free   = 0
	atHigh = 1
)

// boundSlack is how near to a limit counts as on it.
const boundSlack = 1e-14

// step returns the d that minimises g·d + d·h·d/2 with x+d in s, for x in s and
// h positive definite, by the primal active-set method. Rounding can leave the
// sum of x+d some 1e-16 from 1.
//
// Source: Nocedal, Wright, Numerical Optimization, 2nd edition (2006),
// algorithm 16.3 (from memory).
func (s *limited) step(x, g *fractionVec, h *hessian) fractionVec {
	var at [maxWines]int8
	for i := range s.n {
		switch {
		case x[i] <= s.low[i]+boundSlack:
			at[i] = atLow
		case x[i] >= s.high[i]-boundSlack:
			at[i] = atHigh
		}
	}
	var d fractionVec
	// Each change of the working set is one round; 64 is far above what eight
	// wines need, and d is feasible and no worse than 0 wherever it stops.
	for range 64 {
		slope := *g
		for i := range s.n {
			for j := range s.n {
				slope[i] += h[i][j] * d[j]
			}
		}
		p, nu := s.freeStep(&slope, h, &at)
		length, blocking := s.longest(x, &d, &p, &at)
		var moved float64
		for i := range s.n {
			moved = max(moved, math.Abs(p[i]))
			d[i] += length * p[i]
		}
		if blocking >= 0 {
			at[blocking] = atHigh
			if p[blocking] < 0 {
				at[blocking] = atLow
			}
			continue
		}
		if moved > boundSlack {
			continue // multipliers are read where the step has ended
		}
		if !s.release(&slope, nu, &at) {
			break
		}
	}
	return d
}

// freeStep minimises the quadratic over the free fractions with their sum kept,
// and returns the multiplier of the sum (0 when nothing is free).
func (s *limited) freeStep(slope *fractionVec, h *hessian, at *[maxWines]int8) (p fractionVec, nu float64) {
	var index [maxWines]int
	m := 0
	for i := range s.n {
		if at[i] == free {
			index[m] = i
			m++
		}
	}
	if m == 0 {
		return p, 0
	}
	// Cholesky factor of the free part.
	var c hessian
	for i := range m {
		for j := range i + 1 {
			sum := h[index[i]][index[j]]
			for k := range j {
				sum -= c[i][k] * c[j][k]
			}
			if i == j {
				c[i][i] = math.Sqrt(max(sum, math.SmallestNonzeroFloat64))
			} else {
				c[i][j] = sum / c[j][j]
			}
		}
	}
	var r, one fractionVec
	for i := range m {
		r[i], one[i] = slope[index[i]], 1
	}
	solveCholesky(&c, m, &r)
	solveCholesky(&c, m, &one)
	var sumR, sumOne float64
	for i := range m {
		sumR += r[i]
		sumOne += one[i]
	}
	nu = -sumR / sumOne
	for i := range m {
		p[index[i]] = -(r[i] + nu*one[i])
	}
	if m == 1 {
		p[index[0]] = 0 // one free fraction is fixed by the sum, rounding aside
	}
	return p, nu
}

// solveCholesky replaces b by the solution of c cᵀ x = b.
func solveCholesky(c *hessian, m int, b *fractionVec) {
	for i := range m {
		for k := range i {
			b[i] -= c[i][k] * b[k]
		}
		b[i] /= c[i][i]
	}
	for i := m - 1; i >= 0; i-- {
		for k := i + 1; k < m; k++ {
			b[i] -= c[k][i] * b[k]
		}
		b[i] /= c[i][i]
	}
}

// longest returns how much of p, at most all, can be added to x+d before a free
// fraction meets a limit, and which one does (-1 for none).
func (s *limited) longest(x, d, p *fractionVec, at *[maxWines]int8) (length float64, blocking int) {
	length, blocking = 1, -1
	for i := range s.n {
		if at[i] != free || p[i] == 0 {
			continue
		}
		room := s.high[i] - x[i] - d[i]
		if p[i] < 0 {
			room = s.low[i] - x[i] - d[i]
		}
		if l := max(0, room/p[i]); l < length {
			length, blocking = l, i
		}
	}
	return length, blocking
}

// release frees what would lower the quadratic by leaving its limit, and
// reports whether there was anything. With nothing free the sum has no
// multiplier; then a pair is freed, one to grow and one to shrink.
func (s *limited) release(slope *fractionVec, nu float64, at *[maxWines]int8) bool {
	anyFree := false
	grow, shrink := -1, -1 // steepest that may grow, that may shrink
	for i := range s.n {
		switch {
		case at[i] == free:
			anyFree = true
		case s.low[i] == s.high[i]:
		case at[i] == atLow && (grow < 0 || slope[i] < slope[grow]):
			grow = i
		case at[i] == atHigh && (shrink < 0 || slope[i] > slope[shrink]):
			shrink = i
		}
	}
	slack := 1e-12
	for i := range s.n {
		slack = max(slack, 1e-12*math.Abs(slope[i]))
	}
	if !anyFree {
		if grow < 0 || shrink < 0 || slope[shrink]-slope[grow] <= slack {
			return false
		}
		at[grow], at[shrink] = free, free
		return true
	}
	gainGrow, gainShrink := 0.0, 0.0
	if grow >= 0 {
		gainGrow = -(slope[grow] + nu)
	}
	if shrink >= 0 {
		gainShrink = slope[shrink] + nu
	}
	switch {
	case max(gainGrow, gainShrink) <= slack:
		return false
	case gainGrow >= gainShrink:
		at[grow] = free
	default:
		at[shrink] = free
	}
	return true
}

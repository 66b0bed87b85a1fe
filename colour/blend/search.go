package blend

import (
	"math"
	"slices"
)

// search looks for the fractions of least misfit. It works on copies: the same
// question gives the same answer.
type search struct {
	aim aim
	set limited
}

// found is a blend and its misfit.
type found struct {
	f      fractionVec
	misfit float64
}

const (
	lowDiscrepancy = 64 // spread points tried in the first, coarse round
	descents       = 6  // of which so many are followed down
	apart          = 0.15
)

// tie is how much ΔE00 (or relative misfit) two separate blends may differ by
// and still count as equally good.
const tie = 1e-3

// best returns the blend of least misfit, ties broken as MatchTarget says.
func (s *search) best() found {
	var ends []found
	for _, start := range s.starts() {
		ends = append(ends, s.descend(start))
	}
	least := math.Inf(1)
	for _, e := range ends {
		least = min(least, e.misfit)
	}
	var winner *found
	for _, e := range ends {
		if e.misfit > least+tie {
			continue
		}
		e = s.favourFirst(e)
		if e.misfit <= least+tie && (winner == nil || s.before(e, *winner)) {
			winner = &e
		}
	}
	return *winner
}

// before reports whether a is preferred to b: more of the first wine in which
// they differ by more than rounding; where they do not, the smaller misfit.
func (s *search) before(a, b found) bool {
	for i := range s.set.n {
		if math.Abs(a.f[i]-b.f[i]) > 1e-4 {
			return a.f[i] > b.f[i]
		}
	}
	return a.misfit < b.misfit
}

// starts tries a coarse set of blends (each wine, pairs, the centre and spread
// points, all brought within the limits) and returns the best few that are not
// beside each other.
func (s *search) starts() []fractionVec {
	n := s.set.n
	tried := make([]found, 0, n*n*4+lowDiscrepancy)
	try := func(f fractionVec) {
		f = s.set.project(f)
		tried = append(tried, found{f, s.aim.square(s.aim.at(&f, nil))})
	}
	var centre fractionVec
	for i := range n {
		centre[i] = 1 / float64(n)
		var one fractionVec
		one[i] = 1
		try(one)
		for j := range n {
			// A little of a red goes a long way, so the ends are tried more closely.
			for _, share := range [...]float64{0.03, 0.1, 0.3} {
				pair := one
				pair[i], pair[j] = 1-share, share
				if i != j {
					try(pair)
				}
			}
		}
	}
	try(centre)
	for i := range lowDiscrepancy {
		try(spread(i, n))
	}
	slices.SortStableFunc(tried, func(a, b found) int {
		switch {
		case a.misfit < b.misfit:
			return -1
		case a.misfit > b.misfit:
			return 1
		}
		return 0
	})
	var chosen []fractionVec
	for _, t := range tried {
		beside := slices.ContainsFunc(chosen, func(c fractionVec) bool {
			var far float64
			for i := range n {
				far = max(far, math.Abs(c[i]-t.f[i]))
			}
			return far < apart
		})
		if !beside {
			chosen = append(chosen, t.f)
		}
		if len(chosen) == descents {
			break
		}
	}
	return chosen
}

// spread returns the i-th of a sequence of points that fill the simplex evenly:
// a Kronecker sequence in the unit cube, taken to the simplex by exponential
// spacings; every other point is drawn towards the edges, where rosés are.
func spread(i, n int) fractionVec {
	var f fractionVec
	var sum float64
	for j := range n {
		_, u := math.Modf(0.5 + float64(i+1)*math.Sqrt(float64(primes[j])))
		f[j] = -math.Log(max(u, 1e-12))
		if i%2 == 1 {
			f[j] *= f[j] * f[j]
		}
		sum += f[j]
	}
	for j := range n {
		f[j] /= sum
	}
	return f
}

// primes have square roots that are rationally independent, so that the
// Kronecker sequence fills the cube.
var primes = [maxWines]int{2, 3, 5, 7, 11, 13, 17, 19}

// descend follows the misfit down from start by projected Gauss-Newton steps:
// the misfit squared is taken as quadratic in the place and the place as linear
// in the fractions, the quadratic programme of that is solved within the
// limits, and the step is halved until it helps enough.
func (s *search) descend(start fractionVec) found {
	x := start
	damping := 1e-9
	var sl slopes
	p := s.aim.at(&x, &sl)
	value := s.aim.square(p)
	for range 60 {
		g, h := s.quadratic(p, &sl, damping)
		d := s.set.step(&x, &g, &h)
		var fall, longest float64
		for i := range s.set.n {
			fall += g[i] * d[i]
			longest = max(longest, math.Abs(d[i]))
		}
		if longest < 1e-12 || fall > -1e-22 {
			break
		}
		length := 1.0
		var next fractionVec
		better := false
		for range 30 {
			next = s.along(&x, &d, length)
			if v := s.aim.square(s.aim.at(&next, nil)); v <= value+1e-4*length*fall && v < value {
				better = true
				break
			}
			length /= 2
		}
		if !better {
			break
		}
		if length < 0.5 {
			damping = min(damping*10, 1)
		} else {
			damping = max(damping/10, 1e-9)
		}
		x = next
		p = s.aim.at(&x, &sl)
		value = s.aim.square(p)
	}
	return found{x, math.Sqrt(value)}
}

// along is x + length d, kept on the limits against rounding.
func (s *search) along(x, d *fractionVec, length float64) fractionVec {
	next := *x
	for i := range s.set.n {
		next[i] = min(max(x[i]+length*d[i], s.set.low[i]), s.set.high[i])
	}
	return next
}

// metricStep is the step, in units of L*a*b*, of the differences that the
// curvature of the misfit is taken from; at 0.001 the error of the method and
// of rounding are both below 1e-5 of it.
const metricStep = 1e-3

// quadratic returns slope and curvature of the misfit squared by fraction. The
// curvature is made positive definite by damping times its mean diagonal.
func (s *search) quadratic(p place, sl *slopes, damping float64) (g fractionVec, h hessian) {
	byPlace, curvature := s.metric(p)
	var trace float64
	for i := range s.set.n {
		var row place
		for k := range row {
			g[i] += byPlace[k] * sl[k][i]
			for l := range row {
				row[k] += curvature[k][l] * sl[l][i]
			}
		}
		for j := range s.set.n {
			for k := range row {
				h[i][j] += sl[k][j] * row[k]
			}
		}
		trace += h[i][i]
	}
	for i := range s.set.n {
		h[i][i] += damping*trace/float64(s.set.n) + 1e-12
	}
	return g, h
}

// metric returns gradient and second derivatives of the misfit squared by
// place, from central differences. Away from the target they may have a
// direction of negative curvature; each diagonal is then raised to stand above
// the rest of its row, which makes the matrix positive semidefinite.
func (s *search) metric(p place) (gradient place, curvature [3]place) {
	at := func(k int, dk float64, l int, dl float64) float64 {
		q := p
		q[k] += dk
		q[l] += dl
		return s.aim.square(q)
	}
	const step = metricStep
	middle := s.aim.square(p)
	var up, down place
	for k := range p {
		up[k], down[k] = at(k, step, k, 0), at(k, -step, k, 0)
		gradient[k] = (up[k] - down[k]) / (2 * step)
		curvature[k][k] = (up[k] - 2*middle + down[k]) / (step * step)
	}
	for k := range p {
		for l := range k {
			both := at(k, step, l, step) + at(k, -step, l, -step)
			c := (both - up[k] - down[k] - up[l] - down[l] + 2*middle) / (2 * step * step)
			curvature[k][l], curvature[l][k] = c, c
		}
	}
	if positive(&curvature) {
		return gradient, curvature
	}
	for k := range p {
		var rest float64
		for l := range p {
			if l != k {
				rest += math.Abs(curvature[k][l])
			}
		}
		curvature[k][k] = max(math.Abs(curvature[k][k]), rest)
	}
	return gradient, curvature
}

// positive reports whether a symmetric matrix has no direction of negative
// curvature, by its leading minors.
func positive(m *[3]place) bool {
	two := m[0][0]*m[1][1] - m[0][1]*m[1][0]
	three := m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) -
		m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) +
		m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
	return m[0][0] > 0 && two > 0 && three >= 0
}

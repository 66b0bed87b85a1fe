package spectrum

import (
	"math"

	lapack "gonum.org/v1/gonum/lapack/gonum"

	"pourpath/colour/cie"
)

// eigenpair is an eigenvalue of a symmetric matrix with its vector of length 1,
// whose sign means nothing.
type eigenpair struct {
	value  float64
	vector cie.Curve
}

// leading returns the n largest eigenvalues of the symmetric matrix a with their
// vectors, largest first, in about a third of the time that all of them take. It
// uses up a, of which it reads the lower triangle. ok is false where the vectors
// do not come out as exactly as those of a whole decomposition, as for eigenvalues
// that are equal.
//
// Method: Householder's reduction to a tridiagonal matrix, its eigenvalues, and
// inverse iteration for the vectors (Golub, Van Loan, Matrix Computations, 8.3 and
// 8.4.2, from memory).
func leading(a *covariance, n int) (out []eigenpair, ok bool) {
	var t tridiagonal
	t.reduce(a)
	values, below := t.diagonal, t.below
	if !(lapack.Implementation{}).Dsterf(cie.Points, values[:], below[:cie.Points-1]) { // ascending
		return nil, false
	}
	norm := math.Max(math.Abs(values[0]), math.Abs(values[cie.Points-1]))
	for k := range n {
		p := eigenpair{value: values[cie.Points-1-k]}
		if !t.vector(&p, out, norm) {
			return nil, false
		}
		out = append(out, p)
	}
	for k := range out {
		t.back(&out[k].vector)
	}
	return out, true
}

// tridiagonal is a symmetric tridiagonal matrix T with the reflections Q for which
// the matrix it was made from is Q T Qᵀ.
type tridiagonal struct {
	diagonal, below cie.Curve // below[i] is between i and i+1
	// reflections[k] is the vector v of I - 2 v vᵀ, of length 1, with zeros up to
	// and including place k; all zeros for none.
	reflections [cie.Points - 2]cie.Curve
}

// reduce fills in t, and uses up the lower triangle of a.
func (t *tridiagonal) reduce(a *covariance) {
	for k := range cie.Points - 2 {
		v := &t.reflections[k]
		var square float64
		for i := k + 1; i < cie.Points; i++ {
			v[i] = a[i][k]
			square += v[i] * v[i]
		}
		t.diagonal[k] = a[k][k]
		t.below[k] = math.Copysign(math.Sqrt(square), -v[k+1])
		length := math.Sqrt(2 * (square - v[k+1]*t.below[k])) // of v with its first place moved
		v[k+1] -= t.below[k]
		if length == 0 {
			continue
		}
		for i := k + 1; i < cie.Points; i++ {
			v[i] /= length
		}
		a.reflect(v, k+1)
	}
	const last = cie.Points - 1
	t.diagonal[last-1], t.diagonal[last], t.below[last-1] = a[last-1][last-1], a[last][last], a[last][last-1]
}

// reflect replaces the lower triangle of c from place from on by that of H c H
// with H = I - 2 v vᵀ.
func (c *covariance) reflect(v *cie.Curve, from int) {
	var p cie.Curve // c v, then what is taken off
	for i := from; i < cie.Points; i++ {
		row, vi, sum := c[i][from:i], v[i], c[i][i]*v[i]
		vs, ps := v[from:i], p[from:i]
		for j, x := range row {
			sum += x * vs[j]
			ps[j] += x * vi
		}
		p[i] += sum
	}
	along := v.Dot(&p)
	for i := from; i < cie.Points; i++ {
		p[i] = 2 * (p[i] - along*v[i])
	}
	for i := from; i < cie.Points; i++ {
		row, vi, pi := c[i][from:i+1], v[i], p[i]
		vs, ps := v[from:i+1], p[from:i+1]
		for j := range row {
			row[j] -= vi*ps[j] + pi*vs[j]
		}
	}
}

// vectorSlack is how far a vector may miss its equation, and be from square to
// those before it, relative to the largest eigenvalue: some hundred rounding errors.
const vectorSlack = 1e-13

// vector finds p's vector in the basis of T, square to those found before; false
// where it misses its equation.
func (t *tridiagonal) vector(p *eigenpair, before []eigenpair, norm float64) bool {
	for i := range p.vector { // a start that is square to no vector but by chance
		p.vector[i] = 1 + 0.5*math.Sin(float64(i*i+len(before)))
	}
	for range 4 {
		diagonal, below, above := t.diagonal, t.below, t.below
		for i := range diagonal {
			diagonal[i] -= p.value
		}
		next := p.vector
		if !(lapack.Implementation{}).Dgtsv(cie.Points, 1, below[:cie.Points-1], diagonal[:], above[:cie.Points-1], next[:], 1) {
			p.value += 1e-16 * norm // on the eigenvalue to the last bit
			continue
		}
		for k := range before {
			along := before[k].vector.Dot(&next)
			for i := range next {
				next[i] -= along * before[k].vector[i]
			}
		}
		length := math.Sqrt(next.Dot(&next))
		if !(length > 0) || math.IsInf(length, 0) {
			return false
		}
		for i := range next {
			p.vector[i] = next[i] / length
		}
		if t.missed(p) <= vectorSlack*norm && square(p, before) {
			return true
		}
	}
	return false
}

// missed is the length of T v - λ v.
func (t *tridiagonal) missed(p *eigenpair) float64 {
	var sum float64
	for i := range p.vector {
		x := (t.diagonal[i] - p.value) * p.vector[i]
		if i > 0 {
			x += t.below[i-1] * p.vector[i-1]
		}
		if i < cie.Points-1 {
			x += t.below[i] * p.vector[i+1]
		}
		sum += x * x
	}
	return math.Sqrt(sum)
}

// square reports whether p's vector is at right angles to those before it.
func square(p *eigenpair, before []eigenpair) bool {
	for k := range before {
		if math.Abs(before[k].vector.Dot(&p.vector)) > 1e3*vectorSlack {
			return false
		}
	}
	return true
}

// back takes a vector from the basis of T to that of the matrix.
func (t *tridiagonal) back(x *cie.Curve) {
	for k := len(t.reflections) - 1; k >= 0; k-- {
		v := t.reflections[k][k+1:]
		xs := x[k+1:][:len(v)]
		var along float64
		for i, vi := range v {
			along += vi * xs[i]
		}
		along *= 2
		for i, vi := range v {
			xs[i] -= along * vi
		}
	}
}

package panel

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// pairs compares each two glasses. In a balanced design rank sums differ where
// they are least or more apart, by the normal distribution (ISO8587),
//
//	least = z·√((k+1)(r(k-1)+λ)/6)
//
// for k glasses with a judge, r judges a glass, λ judges a pair; with all glasses
// for J judges z·√(J·t(t+1)/6). Where glasses were found alike the variance is that
// of the ranks given, the largest of all pairs'. In an uneven design effects V⁺T
// are compared, which allow for who met whom. No pair differs where found is
// false: the comparisons are only made after the test of all glasses.
func pairs(j judged, q *quadratic, rankSums []float64, level float64, found bool) (all []Pair, least *float64) {
	z := distuv.UnitNormal.Quantile(1 - level/2)
	t := len(j.doses)
	_, _, even := j.balance()
	effects := mat.NewVecDense(t, nil)
	effects.MulVec(q.inv, mat.NewVecDense(t, q.deviations(j.blocks, make([]float64, t))))
	var widest float64
	for a := range t {
		for b := a + 1; b < t; b++ {
			p := Pair{A: a, B: b}
			if even {
				sd := apart(q.cov, a, b) / q.weights[0]
				d := rankSums[a] - rankSums[b]
				p.RankSums, widest = &d, max(widest, sd)
				p.Z = ratio(d, sd)
			} else {
				p.Z = ratio(effects.AtVec(a)-effects.AtVec(b), apart(q.inv, a, b))
			}
			all = append(all, p)
		}
	}
	if even && widest > 0 {
		l := z * widest
		least = &l
	}
	for i, p := range all {
		enough := math.Abs(p.Z) >= z
		if least != nil {
			enough = math.Abs(*p.RankSums) >= *least
		}
		all[i].Differ = found && enough
	}
	return all, least
}

// apart is the standard deviation of a difference by a covariance.
func apart(cov *mat.SymDense, a, b int) float64 {
	return math.Sqrt(max(0, cov.At(a, a)+cov.At(b, b)-2*cov.At(a, b)))
}

func ratio(difference, sd float64) float64 {
	if sd == 0 {
		return 0
	}
	return difference / sd
}

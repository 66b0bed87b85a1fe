package drift

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// curve is a fitted movement with how well it is known.
type curve struct {
	motion  motion
	cov     [3]float64 // variance of s, covariance, variance of k
	between float64    // standard deviation of s between lots
	freedom float64    // degrees of freedom of cov
	// mean95 and lot95 are how many standard deviations either way hold 95 %: of
	// the mean of all lots, and of one lot more, whose deviation has a standard
	// deviation that was itself estimated.
	mean95, lot95 float64
}

// curveOf reads a fit that converged. Three lots or more tell by how far they
// differ how well their mean is known: the covariance is that of leaving out one
// lot after the other. Of two lots, taken to drift alike, it is the covariance of
// their readings. ok is false where all hangs on one lot.
//
// Source: Bell and McCaffrey, Survey Methodology 28 (2002) 169 (jackknife variance);
// effective number of lots after Satterthwaite, Biometrics 2 (1946) 110; for one
// parameter and equal lots it is that of Hartung and Knapp, Stat. Med. 20 (2001)
// 3875. All from memory.
func curveOf(f *fit) (c curve, ok bool) {
	c = curve{motion: f.motion, between: f.between}
	info := f.information()
	if !f.free {
		info[1], info[2] = 0, 1
	}
	inverse, ok := inverted(info)
	if !ok {
		return c, false
	}
	if f.pooled {
		c.cov = inverse
		c.freedom = float64(len(f.points)) - float64(f.lots()) - f.parameters()
	} else {
		c.cov, ok = f.jackknife()
		c.freedom = f.effectiveLots() - 1
	}
	if !f.free {
		c.cov[1], c.cov[2] = 0, 0
	}
	if !ok || !(c.freedom > 0.2) {
		return c, false
	}
	c.mean95, c.lot95 = t95(c.freedom), t95(c.freedom)
	if !f.pooled {
		c.lot95 = t95(lotFreedom(c.freedom))
	}
	return c, true
}

func inverted(a [3]float64) (inv [3]float64, ok bool) {
	det := a[0]*a[2] - a[1]*a[1]
	if !(det > 1e-9*a[0]*a[2]) {
		return inv, false
	}
	return [3]float64{a[2] / det, -a[1] / det, a[0] / det}, true
}

// t95 is the quantile 0.975 of Student's t.
func t95(freedom float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: freedom}.Quantile(0.975)
}

// lotFreedom is that of one lot more: one less than of the mean, as the lots' own
// deviation was estimated too, but not below 1.5: with 1 three lots
// would say nothing, with 2 too much (TestCoverage).
//
// Source: Higgins, Thompson and Spiegelhalter, J. R. Stat. Soc. A 172 (2009) 137, for
// one less; from memory.
func lotFreedom(freedom float64) float64 { return max(freedom-1, min(freedom, 1.5)) }

// effectiveLots is the number of lots that would tell as much if all told alike.
func (f *fit) effectiveLots() float64 {
	var sum, squares float64
	for l := range f.sums {
		sum += f.sums[l].infoSS
		squares += f.sums[l].infoSS * f.sums[l].infoSS
	}
	return sum * sum / squares
}

// slopes is a copy of f whose sums are those by which its estimate moves: a
// residual that is larger has less weight as well, so that the information of all is
// less than their weights say. By the mean over all points.
func (f *fit) slopes() *fit {
	var moving, weights float64
	for l := range f.sums {
		for i := f.starts[l]; i < f.starts[l+1]; i++ {
			z, _ := f.standardised(l, i)
			moving += f.tune.moves(z)
			weights += f.weights[i]
		}
	}
	h := copyOf(f)
	h.noise /= math.Sqrt(math.Max(moving/weights, 0.5))
	h.evaluate()
	h.gather()
	h.absorb()
	return h
}

// jackknife is the covariance of s and k from leaving out each lot, to first order.
func (f *fit) jackknife() (cov [3]float64, ok bool) {
	h := f.slopes()
	info := h.information()
	n := float64(f.lots())
	for l := range f.sums {
		own, q := &h.sums[l], &f.sums[l]
		rest := [3]float64{info[0] - own.infoSS, 0, 1}
		var gk float64
		if f.free {
			rest[1], rest[2] = info[1]-own.infoSK, info[2]-own.infoKK
			gk = q.scoreK
		}
		inv, good := inverted(rest)
		if !good {
			return cov, false
		}
		ds, dk := inv[0]*q.scoreS+inv[1]*gk, inv[1]*q.scoreS+inv[2]*gk
		cov[0] += ds * ds * (n - 1) / n
		cov[1] += ds * dk * (n - 1) / n
		cov[2] += dk * dk * (n - 1) / n
	}
	return cov, true
}

// change between two days of what is fitted: its value, its standard error for the mean
// of all lots, and the standard deviation for one lot more.
func (c *curve) change(from, to float64) (mean, uMean, uLot float64) {
	h0, x0, z0 := c.motion.at(from)
	h1, x1, z1 := c.motion.at(to)
	x, z := x1-x0, z1-z0
	v := math.Max(x*x*c.cov[0]+2*x*z*c.cov[1]+z*z*c.cov[2], 0)
	return h1 - h0, math.Sqrt(v), math.Sqrt(v + x*x*c.between*c.between)
}

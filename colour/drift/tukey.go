package drift

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// tune says how readings that are off are treated: none counts beyond reject
// standard deviations, and none adds more than bound standard deviations to the
// estimate of the scatter.
type tune struct{ reject, bound float64 }

// standard rejects by Tukey's bisquare, with 95 % of the efficiency of least squares
// where nothing is wrong. It starts from medians of slopes, so that what is far off
// never had a say (the idea of MM estimates).
//
// Source: Beaton and Tukey, Technometrics 16 (1974) 147; the constant from Holland and
// Welsch, Commun. Stat. A 6 (1977) 813; Yohai, Ann. Stat. 15 (1987) 642; bound is
// Huber's constant, Ann. Math. Stat. 35 (1964) 73. All from memory.
var standard = tune{4.685, 1.345}

// outlying is how many standard deviations make a reading an outlier in the list.
// Source: Iglewicz and Hoaglin, How to detect and handle outliers, ASQC, 1993, from
// memory.
const outlying = 3.5

// weight of a residual of z standard deviations, from 0 to 1.
func (t tune) weight(z float64) float64 {
	x := z / t.reject
	if x*x >= 1 {
		return 0
	}
	return (1 - x*x) * (1 - x*x)
}

// moves is how much of a change of the residual counts: the derivative of weight(z)·z.
func (t tune) moves(z float64) float64 {
	x := z / t.reject
	if x*x >= 1 {
		return 0
	}
	return (1 - x*x) * (1 - 5*x*x)
}

// leastWeight is the smallest weight in sums, so that a lot of nothing but outliers still has
// a level.
const leastWeight = 1e-6

// consistency is the mean of min(z², c²) for a standard normal z, by which a scale
// from bounded residuals is that of a normal sample (Huber, Robust Statistics, Wiley,
// 1981, proposal 2, from memory).
func (t tune) consistency() float64 {
	c, n := t.bound, distuv.UnitNormal
	inside := 2*n.CDF(c) - 1
	return inside - 2*c*n.Prob(c) + c*c*math.Max(1-inside, 0)
}

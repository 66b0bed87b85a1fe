package drift

import "gonum.org/v1/gonum/stat/distuv"

// tuning is Huber's constant: a residual counts in full up to so many standard
// deviations and beyond that as if it were there. With it the estimate has 95 % of
// the efficiency of least squares where nothing is wrong.
//
// Source: Huber, Ann. Math. Stat. 35 (1964) 73; the constant from Holland and
// Welsch, Commun. Stat. A 6 (1977) 813, both from memory.
const tuning = 1.345

// outlying is how many standard deviations make a reading an outlier in the list.
// Source: Iglewicz and Hoaglin, How to detect and handle outliers, ASQC, 1993, from
// memory.
const outlying = 3.5

// weight of a residual of z standard deviations.
func weight(z, c float64) float64 {
	if z < 0 {
		z = -z
	}
	if z <= c {
		return 1
	}
	return c / z
}

// consistency is the mean of min(z², c²) for a standard normal z, by which a scale
// from clipped residuals is that of a normal sample (Huber, Robust Statistics,
// Wiley, 1981, proposal 2, from memory).
func consistency(c float64) float64 {
	n := distuv.UnitNormal
	inside := 2*n.CDF(c) - 1
	return inside - 2*c*n.Prob(c) + c*c*(1-inside)
}

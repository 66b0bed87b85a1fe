package control

import (
	"math"
	"slices"
)

// Normality is the outcome of Anderson and Darling's test with mean and
// standard deviation estimated from the points.
type Normality struct {
	// Statistic is A² with the correction for the number of points,
	// A²·(1+0.75/n+2.25/n²).
	Statistic float64
	// P is the probability of a statistic as large from a normal distribution,
	// 0-1.
	P float64
}

// normality tests values against a normal distribution (D'Agostino, Stephens,
// Goodness-of-Fit Techniques, 1986, table 4.9, case 3, from memory; the
// statistic also in NIST 1.3.5.14).
func normality(values []float64, centre, sigma float64) Normality {
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	n := len(sorted)
	var sum float64
	for i := range sorted {
		lower, upper := (sorted[i]-centre)/sigma, (sorted[n-1-i]-centre)/sigma
		sum += float64(2*i+1) * (logBelow(lower) + logBelow(-upper))
	}
	size := float64(n)
	a := (-size - sum/size) * (1 + 0.75/size + 2.25/(size*size))
	return Normality{Statistic: a, P: andersonDarlingP(a)}
}

// logBelow is ln Φ(z), also where Φ is too small for a float64.
func logBelow(z float64) float64 {
	if z < -30 {
		return -z*z/2 - math.Log(-z*math.Sqrt(2*math.Pi))
	}
	return math.Log(math.Erfc(-z/math.Sqrt2) / 2)
}

// andersonDarlingP is table 4.9's approximation.
func andersonDarlingP(a float64) float64 {
	switch {
	case a < 0.2:
		return 1 - math.Exp(-13.436+101.14*a-223.73*a*a)
	case a < 0.34:
		return 1 - math.Exp(-8.318+42.796*a-59.938*a*a)
	case a < 0.6:
		return math.Exp(0.9177 - 4.279*a - 1.38*a*a)
	}
	// It turns up again far beyond the table.
	a = min(a, 13)
	return math.Exp(1.2937 - 5.709*a + 0.0186*a*a)
}

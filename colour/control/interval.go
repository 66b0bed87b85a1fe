package control

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// interval is that of Cp or Pp, by the chi-square distribution of the variance
// (ISO22514-2; NIST 6.1.6):
//
//	Cp·√(χ²(α/2; ν)/ν) to Cp·√(χ²(1-α/2; ν)/ν)
//
// with α = 1-Confidence and ν the degrees of freedom, n-1 for the overall
// standard deviation and rangeDegrees for that from moving ranges.
func interval(value, degrees float64) Index {
	chi := distuv.ChiSquared{K: degrees}
	factor := func(p float64) float64 { return math.Sqrt(chi.Quantile(p) / degrees) }
	return Index{Value: value, Lower: value * factor((1-Confidence)/2), Upper: value * factor((1+Confidence)/2)}
}

// nearInterval is that of Cpk or Ppk, by the normal approximation (Bissell,
// Appl. Stat. 39 (1990) 331, from memory; NIST 6.1.6; ISO22514-2):
//
//	Cpk ± z·√(1/(9n) + Cpk²/(2ν))
func nearInterval(value float64, n int, degrees float64) Index {
	z := distuv.UnitNormal.Quantile((1 + Confidence) / 2)
	half := z * math.Sqrt(1/(9*float64(n))+value*value/(2*degrees))
	return Index{Value: value, Lower: value - half, Upper: value + half}
}

// rangeDegrees are the degrees of freedom of a sample variance that would be as
// uncertain as the square of R̄/d2 of n points, about 0.605·n: a standard
// deviation with ν degrees has relative variance 1/(2ν). The variance of the
// mean of |x(i+1)-x(i)| follows from the moments of the absolute values of two
// normal variables with correlation -1/2,
//
//	E|U|² = 4/π, var|U| = 2-4/π, E|U||V| = 4/π·(√(1-ρ²)+ρ·asin ρ)
//
// in units of the variance of x. The efficiency of 0.605 is also that of Cryer,
// Ryan, J. Qual. Technol. 22 (1990) 187 (from memory).
func rangeDegrees(n int) float64 {
	const rho = -0.5
	square := 4 / math.Pi
	spread := 2 - square
	shared := square*(math.Sqrt(1-rho*rho)+rho*math.Asin(rho)) - square
	m := float64(n - 1)
	variance := spread/m + 2*(m-1)/(m*m)*shared
	return square / (2 * variance)
}

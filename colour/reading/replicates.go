package reading

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Spread describes repeated readings of one quantity.
type Spread struct {
	// N is how many there are, at least 1.
	N int
	// Mean is their arithmetic mean.
	Mean float64
	// SD is the experimental standard deviation of one of them, with N-1 in the
	// denominator; NaN for a single one.
	SD float64
}

// SpreadOf describes values, of which there must be at least one.
//
// Source: JCGM 100:2008, 4.2.1 and 4.2.2.
func SpreadOf(values []float64) Spread {
	s := Spread{N: len(values), Mean: stat.Mean(values, nil), SD: math.NaN()}
	if s.N > 1 {
		s.SD = stat.StdDev(values, nil)
	}
	return s
}

// PooledSD joins what several quantities, such as the absorbances at several
// wavelengths, tell of one instrument's repeatability: the square root of the
// mean variance, each weighted by its degrees of freedom N-1, and the degrees of
// freedom it has. Single readings add none. sd is NaN and degrees 0 where
// nothing was repeated.
//
// Source: JCGM 100:2008, 4.2.4 and H.3.6 (clause numbers from memory).
func PooledSD(spreads []Spread) (sd float64, degrees int) {
	var sum float64
	for _, s := range spreads {
		if s.N > 1 {
			sum += float64(s.N-1) * s.SD * s.SD
			degrees += s.N - 1
		}
	}
	if degrees == 0 {
		return math.NaN(), 0
	}
	return math.Sqrt(sum / float64(degrees)), degrees
}

// Level says how far out a reading lies among its replicates.
type Level string

// The levels of ISO 5725-2:1994, 7.3.4.
const (
	Straggler Level = "straggler" // less likely than 5 %, not less than 1 %
	Outlier   Level = "outlier"   // less likely than 1 %
)

// The significance levels of ISO 5725-2:1994, 7.3.4.
const (
	stragglerAt = 0.05
	outlierAt   = 0.01
)

// Suspect is the replicate that Grubbs' test points at. It is flagged, never
// left out: whether something went wrong with it is for the analyst to say.
type Suspect struct {
	// Index is its place among the values.
	Index int
	Level Level
	// G is its distance from the mean in standard deviations of the values, and
	// Critical the largest that Level allows: 5 % for a straggler, 1 % for an
	// outlier.
	G, Critical float64
}

// Grubbs tests whether the value farthest from the mean, the largest or the
// smallest, is too far out. ok is false where it is not, for fewer than 3
// values, and where rounding is all that they differ by.
//
// Source: ISO 5725-2:1994, 7.3.4, one outlying observation.
func Grubbs(values []float64) (suspect Suspect, ok bool) {
	n := len(values)
	if n < 3 {
		return suspect, false
	}
	s := SpreadOf(values)
	farthest := 0
	for i, x := range values {
		if math.Abs(x-s.Mean) > math.Abs(values[farthest]-s.Mean) {
			farthest = i
		}
	}
	// Equal values leave a standard deviation of their arithmetic's rounding.
	if !(s.SD > 1e-12*math.Abs(s.Mean)) {
		return suspect, false
	}
	suspect = Suspect{Index: farthest, G: math.Abs(values[farthest]-s.Mean) / s.SD}
	for _, step := range []struct {
		level Level
		at    float64
	}{{Outlier, outlierAt}, {Straggler, stragglerAt}} {
		if critical := GrubbsCritical(n, step.at); suspect.G > critical {
			suspect.Level, suspect.Critical = step.level, critical
			return suspect, true
		}
	}
	return Suspect{}, false
}

// GrubbsCritical is the distance from the mean, in standard deviations of the n
// values, that the farthest of them exceeds with probability alpha, to either
// side, where all come from one normal distribution,
//
//	G = (n-1)/√n · √(t²/(n-2+t²)),  t the quantile 1 - alpha/(2n) of Student's t with n-2 degrees of freedom.
//
// n is at least 3, alpha between 0 and 1; NaN otherwise.
//
// Source: Grubbs and Beck, Technometrics 14 (1972) 847-854; the values are
// those of ISO 5725-2:1994, table 5.
func GrubbsCritical(n int, alpha float64) float64 {
	if n < 3 || !(alpha > 0 && alpha < 1) {
		return math.NaN()
	}
	size := float64(n)
	student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: size - 2}
	t := student.Quantile(1 - alpha/(2*size))
	return (size - 1) / math.Sqrt(size) * math.Sqrt(t*t/(size-2+t*t))
}

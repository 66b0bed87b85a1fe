package pages

import (
	"math"
	"strconv"

	"pourpath/colour/blend"
)

// plain writes a number as it was meant: 9.5, not 9.500.
func plain(x float64) digits { return digits(strconv.FormatFloat(x, 'f', -1, 64)) }

// fixed writes a number with a fixed count of decimals, and never -0.0.
func fixed(x float64, decimals int) digits {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if zero := strconv.FormatFloat(0, 'f', decimals, 64); s == "-"+zero {
		return digits(zero)
	}
	return digits(s)
}

// almostWhole reports whether decimals are enough for x.
func almostWhole(x float64, decimals int) bool {
	scaled := x * math.Pow10(decimals)
	return math.Abs(scaled-math.Round(scaled)) < 1e-6
}

// maybe writes a number that may be missing.
func maybe(x *float64, decimals int) digits {
	if x == nil {
		return "–"
	}
	return fixed(*x, decimals)
}

// withU writes a number with its standard uncertainty. One too small for the
// decimals is rounded up to the last of them (JCGM 100, 7.2.6), so that nothing
// seems certain.
func withU(x, u *float64, decimals int) digits {
	switch {
	case x == nil:
		return "–"
	case u == nil:
		return fixed(*x, decimals)
	}
	shown := *u
	if shown > 0 {
		shown = max(shown, math.Pow10(-decimals))
	}
	return fixed(*x, decimals) + " ± " + fixed(shown, decimals)
}

// decimalsFor is how many decimals show the first digit of an uncertainty, from one
// to most.
func decimalsFor(u float64, most int) int {
	if !(u > 0) {
		return 1
	}
	return min(most, max(1, int(math.Ceil(-math.Log10(u)))))
}

// decimalsOf is decimalsFor of the largest of a column, from one decimal on.
func decimalsOf(column []*float64, most int) int {
	largest := 0.0
	for _, u := range column {
		if u != nil {
			largest = max(largest, *u)
		}
	}
	return decimalsFor(largest, most)
}

// indexDecimals is for the colour intensity: two digits of the largest
// uncertainty, as the readings themselves have three decimals at most.
func indexDecimals(column []*float64) int {
	return min(3, 1+decimalsOf(column, 3))
}

// doseDecimals is how many decimals a dose deserves, by its 95 % interval.
func doseDecimals(interval *[2]float64) int {
	if interval == nil {
		return 1
	}
	return decimalsFor((interval[1]-interval[0])/2, 3)
}

// percent is a dose in the other convention, as a share of the blend.
func percent(dose float64, decimals int) digits {
	return fixed(100*blend.Dose(dose).Fraction(), decimals)
}

// litresDecimals are the decimals for the volumes of one batch, by its smallest,
// so that they add up as they are read.
func litresDecimals(smallest float64) int {
	switch {
	case smallest >= 10:
		return 1
	case smallest >= 1:
		return 2
	}
	return 3
}

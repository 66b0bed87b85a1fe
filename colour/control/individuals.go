package control

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// Factors for the range of two values, ISO7870-2 table 2 and NIST 6.3.2.1, with
// the table's digits, so that a chart can be made again by hand. d2 is the mean
// range of two standard normal values, 2/√π; D4 is 1 + 3·d3/d2 with
// d3 = √(2-4/π).
const (
	d2 = 1.128
	d4 = 3.267
)

// Individuals is a chart of single values and one of their moving ranges.
type Individuals struct {
	// Level is the centre and the standard deviation that the limits are set
	// by: mean and R̄/1.128 of the base period, or what was given as known.
	Level Level
	// Limits on the values.
	Limits Limits
	// BasePoints is how many points the level was estimated from, 0 where it
	// was given.
	BasePoints int
	// Kept are the places in the series of the points on the chart, in order.
	Kept []int
	// Values and Zones are of the points of Kept.
	Values []float64
	Zones  []Zone
	// Ranges is the chart of the moving ranges.
	Ranges Ranges
	// Rules are those that were looked for, Signals what they found in Values,
	// in the order in which they rang.
	Rules   []Rule
	Signals []Signal
	// Warnings: few_base, coarse_values.
	Warnings []colour.Warning
}

// Ranges is a chart of the differences, without sign, between each value and
// the one before it.
type Ranges struct {
	// Centre is the mean moving range, and UpperAction the limit 3.267 times
	// it; there is none below, because D3 is 0 for two values. Unit of the
	// values.
	Centre, UpperAction float64
	// Values are the moving ranges; the first is between the points Kept[0] and
	// Kept[1] of the chart.
	Values []float64
	// Signals are ranges above the limit, by the rule RangeBeyond. They are kept
	// apart from those of the values, because they ring three times as often
	// without a cause (0.9 % of points, against 0.27 %; see the package's
	// tests) and say little that the values do not.
	Signals []Signal
}

// NewIndividuals charts values, in the order of time, by ISO7870-2: limits from
// the mean and the mean moving range of the base period, signals by rules, for
// instance Nelson().
//
// Errors are colour.FieldErrors at values, rules, first, without or known: a
// value that is not finite, fewer than MinBase points in the base period, a
// base without spread, no rule or an unknown one.
func NewIndividuals(values []float64, base Base, rules []Rule) (Individuals, error) {
	if err := checkRules(rules); err != nil {
		return Individuals{}, fmt.Errorf("control: %w", err)
	}
	k, vs, err := series(values, base)
	if err != nil {
		return Individuals{}, err
	}
	level, err := estimate(vs, k.base, base.Known)
	if err != nil {
		return Individuals{}, err
	}
	c := Individuals{
		Level: level, Limits: level.limits(), Kept: k.at, Values: vs,
		Zones: make([]Zone, len(vs)), Rules: rules, Warnings: base.warnings(k.base),
	}
	for i, v := range vs {
		c.Zones[i] = level.zone(v)
	}
	if base.Known == nil {
		c.BasePoints = k.base
		c.Warnings = append(c.Warnings, coarse(movingRanges(vs[:k.base]), d4*d2*level.Sigma)...)
	}
	c.Signals = findRuns(c, rules)
	c.Ranges = chartRanges(c)
	return c, nil
}

// estimate gives the level of the first n values, or the known one.
func estimate(vs []float64, n int, known *Level) (Level, error) {
	if known != nil {
		return *known, nil
	}
	centre, meanRange := mean(vs[:n]), mean(movingRanges(vs[:n]))
	// Values that differ by binary rounding alone do not differ.
	if meanRange <= 1e-12*math.Abs(centre) {
		var faults colour.FieldErrors
		faults.Addf("values", centre, "the %d values of the base period are all the same: without spread there are no limits; "+
			"give more digits, or a known level", n)
		return Level{}, fmt.Errorf("control: %w", faults)
	}
	l := Level{Centre: centre, Sigma: meanRange / d2}
	if !finite(l.Centre) || !finite(l.Sigma) {
		var faults colour.FieldErrors
		faults.Addf("values", nil, "are too large to compute with")
		return Level{}, fmt.Errorf("control: %w", faults)
	}
	return l, nil
}

func movingRanges(vs []float64) []float64 {
	out := make([]float64, max(0, len(vs)-1))
	for i := range out {
		out[i] = math.Abs(vs[i+1] - vs[i])
	}
	return out
}

func chartRanges(c Individuals) Ranges {
	r := Ranges{Centre: d2 * c.Level.Sigma, UpperAction: d4 * d2 * c.Level.Sigma, Values: movingRanges(c.Values)}
	for i, v := range r.Values {
		if v > r.UpperAction {
			side := Above
			if c.Values[i+1] < c.Values[i] {
				side = Below
			}
			r.Signals = append(r.Signals, newSignal(RangeBeyond, side, []int{c.Kept[i], c.Kept[i+1]}, c.Kept[i+1]))
		}
	}
	return r
}

// coarse warns where the values have so few digits that the ranges below their
// limit take fewer than four sizes: the limits then follow the rounding
// (Wheeler, Lyday, Evaluating the Measurement Process, 1989, from memory).
func coarse(ranges []float64, limit float64) []colour.Warning {
	const sizes = 4
	seen := map[float64]bool{}
	for _, r := range ranges {
		if r <= limit {
			seen[math.Round(r/limit*1e9)] = true
		}
		if len(seen) >= sizes {
			return nil
		}
	}
	return []colour.Warning{{Code: "coarse_values", Message: "From one lot to the next the values differ by only a few sizes of step, " +
		"so the limits follow the rounding more than the process. Record one more digit."}}
}

func mean(vs []float64) float64 {
	var sum float64
	for _, v := range vs {
		sum += v
	}
	return sum / float64(len(vs))
}

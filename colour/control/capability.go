package control

import (
	"fmt"
	"math"

	"pourpath/colour"
)

const (
	// MinCapability is the fewest points of which a capability is given: 25, as
	// many as a chart is begun with (FirmBase). Even then Cp is known to a
	// quarter and more only, as its interval says; ISO22514-2 asks for about 100
	// values (from memory).
	MinCapability = 25
	// Confidence of the intervals.
	Confidence = 0.95
	// notNormal is the probability below which the distribution is called
	// clearly not normal.
	notNormal = 0.01
)

// Tolerance is what a value may be, in the unit of the values; one limit may be
// absent.
type Tolerance struct {
	Lower, Upper *float64
}

// Index is a capability, without unit, with its confidence interval at
// Confidence.
type Index struct {
	Value, Lower, Upper float64
}

// Capability compares the scatter of a steady process with a tolerance. Above 1
// the tolerance is wider than six standard deviations (Cp, Pp), or the nearer
// limit further off than three (Cpk, Ppk).
type Capability struct {
	// Points is how many it rests on, all that are on the chart; Rules are those
	// by which the chart was found steady.
	Points int
	Rules  []Rule
	// Mean of the points. Within is their standard deviation from one lot to the
	// next, R̄/1.128; Overall that of all of them together. Unit of the values.
	Mean, Within, Overall float64
	// Cp and Pp are nil where the tolerance has one limit only. Cp and Cpk are by
	// Within, what the process does if its level holds; Pp and Ppk by Overall,
	// what it did.
	Cp, Pp   *Index
	Cpk, Ppk Index
	// Normality is how well the points follow a normal distribution, which all
	// of this supposes.
	Normality Normality
	// Warnings: not_normal, range_signals, and those of the chart.
	Warnings []colour.Warning
}

// UnstableError refuses a capability while the chart has signals.
type UnstableError struct {
	// Signals of the chart, one or more.
	Signals []Signal
}

func (e *UnstableError) Error() string {
	count := "one signal"
	if n := len(e.Signals); n > 1 {
		count = fmt.Sprintf("%d signals", n)
	}
	first := e.Signals[0]
	return fmt.Sprintf("control: the process is not steady: its chart has %s, the first at point %d (%s); "+
		"find their causes, leave out the lots whose cause was dealt with, and a capability can be given", count, first.At, first.Rule)
}

// Capability gives Cp, Cpk, Pp and Ppk of all points on the chart, after
// ISO22514-2 and NIST 6.1.6:
//
//	Cp  = (upper-lower)/(6·within)      Cpk = min(upper-mean, mean-lower)/(3·within)
//
// and Pp, Ppk likewise with the overall standard deviation. Intervals are those
// of interval and nearInterval.
//
// The chart must have no signal of its rules, else the error is an
// *UnstableError. Signals of the ranges alone give the warning range_signals:
// they ring too often without a cause to refuse by. Other errors are
// colour.FieldErrors at lower, upper or values: no limit, limits that are not
// finite or in the wrong order, fewer than MinCapability points, no spread.
func (c Individuals) Capability(t Tolerance) (Capability, error) {
	var faults colour.FieldErrors
	t.check(&faults)
	n := len(c.Values)
	if n < MinCapability {
		faults.Addf("values", n, "the chart has %s; a capability needs %d or more", points(n), MinCapability)
	}
	if err := faults.Err(); err != nil {
		return Capability{}, fmt.Errorf("control: %w", err)
	}
	if len(c.Signals) > 0 {
		return Capability{}, &UnstableError{Signals: c.Signals}
	}
	own, err := estimate(c.Values, n, nil)
	if err != nil {
		return Capability{}, err
	}
	out := Capability{
		Points: n, Rules: c.Rules, Mean: own.Centre, Within: own.Sigma,
		Overall: math.Sqrt(sumSquares(c.Values, own.Centre) / float64(n-1)),
	}
	out.Cp, out.Cpk = t.indices(own.Centre, out.Within, n, rangeDegrees(n))
	out.Pp, out.Ppk = t.indices(own.Centre, out.Overall, n, float64(n-1))
	out.Normality = normality(c.Values, out.Mean, out.Overall)
	out.Warnings = c.doubts(out.Normality)
	return out, nil
}

func (t Tolerance) check(faults *colour.FieldErrors) {
	if t.Lower == nil && t.Upper == nil {
		faults.Addf("", nil, "give a lower limit, an upper limit or both")
		return
	}
	lower, upper := math.Inf(-1), math.Inf(1)
	if t.Lower != nil {
		lower = *t.Lower
		if !finite(lower) {
			faults.Addf("lower", lower, "must be a finite number; leave it out where there is no lower limit")
		}
	}
	if t.Upper != nil {
		upper = *t.Upper
		if !finite(upper) {
			faults.Addf("upper", upper, "must be a finite number; leave it out where there is no upper limit")
		}
	}
	if lower >= upper {
		faults.Addf("upper", upper, "must be above the lower limit, %g", lower)
	}
}

// indices gives Cp, nil for a single limit, and Cpk by a standard deviation that
// is known with so many degrees of freedom.
func (t Tolerance) indices(centre, sigma float64, n int, degrees float64) (*Index, Index) {
	near := math.Inf(1)
	if t.Lower != nil {
		near = (centre - *t.Lower) / (3 * sigma)
	}
	if t.Upper != nil {
		near = min(near, (*t.Upper-centre)/(3*sigma))
	}
	k := nearInterval(near, n, degrees)
	if t.Lower == nil || t.Upper == nil {
		return nil, k
	}
	p := interval((*t.Upper-*t.Lower)/(6*sigma), degrees)
	return &p, k
}

// doubts are what a reader of the capability must be told.
func (c Individuals) doubts(shape Normality) []colour.Warning {
	out := append([]colour.Warning(nil), c.Warnings...)
	if shape.P < notNormal {
		out = append(out, colour.Warning{Code: "not_normal", Message: "The values clearly do not follow a normal distribution, " +
			"which these indices and their intervals suppose: they do not tell how many lots would be outside the limits. " +
			"Count those that were, or chart a quantity that scatters evenly."})
	}
	if n := len(c.Ranges.Signals); n > 0 {
		out = append(out, colour.Warning{Code: "range_signals", Message: fmt.Sprintf(
			"From lot to lot the value jumped further than usual, at %s. The values themselves show no signal; "+
				"look whether the jumps have a cause before relying on this.", points(n))})
	}
	return out
}

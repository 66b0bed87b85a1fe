package control

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// Defaults of the EWMA chart: with both, and limits at their final width, it
// rings once in 500 lots without a cause and after 10.5 lots on average once
// the level has moved by one standard deviation (Lucas, Saccucci, Technometrics
// 32 (1990) 1, from memory). The exact limits of this chart, narrower over the
// first lots, make that 494 and 9.5 for a level that moved before the first.
const (
	DefaultLambda = 0.2
	DefaultWidth  = 2.962
)

// EWMA is a chart of an exponentially weighted moving average: each point is
// Lambda times the value and 1-Lambda times the point before it, beginning at
// the centre. It finds small lasting changes that no single lot shows.
type EWMA struct {
	// Level is that of Individuals: mean and R̄/1.128 of the base period, or
	// what was given as known.
	Level Level
	// BasePoints is how many points the level was estimated from, 0 where it
	// was given.
	BasePoints int
	// Lambda is the weight of the newest value; Width is the distance of the
	// limits from the centre, in standard deviations of the average.
	Lambda, Width float64
	// Kept are the places in the series of the points on the chart, in order.
	Kept []int
	// Averages are of the points of Kept; Lower and Upper are the limits at each,
	// which widen over the first points. Unit of the values.
	Averages, Lower, Upper []float64
	// Signals are stretches of averages beyond a limit, by AverageBeyond.
	Signals []Signal
	// Warnings: few_base.
	Warnings []colour.Warning
}

// NewEWMA charts values, in the order of time, by ISO7870-6. lambda is the
// weight of the newest value, above 0 and at most 1, width the distance of the
// limits in standard deviations, above 0: DefaultLambda and DefaultWidth, unless
// there is a reason. The limits are the exact ones for each point (NIST
// 6.3.2.4 gives their final width):
//
//	centre ± width·sigma·√(λ/(2-λ)·(1-(1-λ)^(2i))), i = 1, 2, ...
//
// Errors are colour.FieldErrors at values, first, without, known, lambda or
// width, as of NewIndividuals.
func NewEWMA(values []float64, base Base, lambda, width float64) (EWMA, error) {
	var faults colour.FieldErrors
	if !(lambda > 0 && lambda <= 1) {
		faults.Addf("lambda", lambda, "must be above 0 and at most 1; %g unless there is a reason", DefaultLambda)
	}
	if !(width > 0) || math.IsInf(width, 0) {
		faults.Addf("width", width, "must be a finite number above 0; %g unless there is a reason", DefaultWidth)
	}
	if err := faults.Err(); err != nil {
		return EWMA{}, fmt.Errorf("control: %w", err)
	}
	k, vs, err := series(values, base)
	if err != nil {
		return EWMA{}, err
	}
	level, err := estimate(vs, k.base, base.Known)
	if err != nil {
		return EWMA{}, err
	}
	n := len(vs)
	c := EWMA{
		Level: level, Lambda: lambda, Width: width, Kept: k.at, Warnings: base.warnings(k.base),
		Averages: make([]float64, n), Lower: make([]float64, n), Upper: make([]float64, n),
	}
	if base.Known == nil {
		c.BasePoints = k.base
	}
	average, forgotten := level.Centre, 1.0
	for i, v := range vs {
		average += lambda * (v - average)
		forgotten *= (1 - lambda) * (1 - lambda)
		half := width * level.Sigma * math.Sqrt(lambda/(2-lambda)*(1-forgotten))
		c.Averages[i], c.Lower[i], c.Upper[i] = average, level.Centre-half, level.Centre+half
	}
	c.Signals = c.stretchesBeyond()
	return c, nil
}

// side says beyond which limit the average of point i is.
func (c EWMA) side(i int) Side {
	switch {
	case c.Averages[i] > c.Upper[i]:
		return Above
	case c.Averages[i] < c.Lower[i]:
		return Below
	}
	return Neither
}

func (c EWMA) stretchesBeyond() []Signal {
	var out []Signal
	for from := 0; from < len(c.Averages); {
		side, to := c.side(from), from+1
		for to < len(c.Averages) && c.side(to) == side {
			to++
		}
		if side != Neither {
			at := append([]int(nil), c.Kept[from:to]...)
			out = append(out, newSignal(AverageBeyond, side, at, at[0]))
		}
		from = to
	}
	return out
}

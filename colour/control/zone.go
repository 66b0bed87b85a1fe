package control

import "math"

// Zone is how far a value is from the centre, in whole standard deviations
// rounded away from the centre, positive above it: ±1 within one (the field's
// zone C), ±2 between one and two (zone B), ±3 between two and three (zone A),
// ±4 beyond three, 0 on the centre itself. A value on the border of two zones
// is in the inner one: a limit is passed only by what lies beyond it. Zones
// after WE1956.
type Zone int8

// Beyond is the zone outside the action limits.
const Beyond Zone = 4

func (l Level) zone(v float64) Zone {
	sigmas := (v - l.Centre) / l.Sigma
	// A value on a border by its digits must not be put beyond it by binary
	// rounding.
	const slack = 1e-9
	z := Zone(max(0, min(float64(Beyond), math.Ceil(math.Abs(sigmas)-slack))))
	if sigmas < 0 {
		return -z
	}
	return z
}

// Limits of a chart, in the unit of its values.
type Limits struct {
	// LowerAction and UpperAction are three standard deviations from the centre:
	// a point beyond them has a cause (ISO7870-2).
	LowerAction, UpperAction float64
	// LowerWarning and UpperWarning are two standard deviations from it: a point
	// beyond them alone is no signal (ISO7870-2).
	LowerWarning, UpperWarning float64
}

func (l Level) limits() Limits {
	return Limits{
		LowerAction:  l.Centre - actionSigmas*l.Sigma,
		UpperAction:  l.Centre + actionSigmas*l.Sigma,
		LowerWarning: l.Centre - warningSigmas*l.Sigma,
		UpperWarning: l.Centre + warningSigmas*l.Sigma,
	}
}

const (
	actionSigmas  = 3
	warningSigmas = 2
)

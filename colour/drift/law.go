package drift

import "math"

// Law says how a quantity moves with time t in days from blending or bottling.
type Law string

// The laws. With rate s per day at t = 0 and settling rate k per day,
//
//	linear:       g(t) = t
//	first order:  g(t) = (1 - exp(-k t)) / k
//
// and the absorbance is A(t) = A(0) (1 + s g(t)) on the relative scale, A(0) + s g(t)
// on the absolute one. The first-order law settles at the level 1 + s/k of what
// it was, with half-life ln 2 / k; with k towards 0 it is the linear one.
const (
	Linear     Law = "linear"
	FirstOrder Law = "first_order"
)

// Scale says what lots of different depth have in common.
type Scale string

// The scales. Relative: all lots lose the same share in a time. Absolute: all
// lots change by the same absorbance; used where a reading is not well above its
// uncertainty, so that a share of it means nothing.
const (
	Relative Scale = "relative"
	Absolute Scale = "absolute"
)

// leastRelative is how many standard uncertainties each reading must be above 0
// for the relative scale: below it the logarithm is skewed. A judgement, no
// source.
const leastRelative = 8

// motion is one law with its parameters: s per day, k per day (0 is linear).
type motion struct {
	scale Scale
	s, k  float64
}

// g is the time that counts, and dg its derivative by k.
func (m motion) g(t float64) (g, dg float64) {
	x := m.k * t
	if x == 0 {
		return t, -t * t / 2
	}
	e := -math.Expm1(-x) // 1 - exp(-x)
	if x < 1e-4 {        // the difference below would cancel
		return e / m.k, t * t * (-0.5 + x/3 - x*x/8)
	}
	return e / m.k, (x*(1-e) - e) / (m.k * m.k)
}

// least is how little of the level may be left: A(t)/A(0) stays above it.
const least = 1e-3

// at is the movement since day 0 in what is fitted (the logarithm on the relative
// scale), and its derivatives by s and k.
func (m motion) at(t float64) (h, hs, hk float64) {
	g, dg := m.g(t)
	if m.scale == Absolute {
		return m.s * g, g, m.s * dg
	}
	f := max(1+m.s*g, least)
	return math.Log(f), g / f, m.s * dg / f
}

// allowed reports whether something is left of the level until day last.
func (m motion) allowed(last float64) bool {
	g, _ := m.g(last)
	return m.scale == Absolute || 1+m.s*g > least
}

// fitted takes an absorbance and its uncertainty to what is fitted.
func (sc Scale) fitted(a, u float64) (y, uy float64) {
	if sc == Absolute {
		return a, u
	}
	return math.Log(a), u / a
}

// read takes it back.
func (sc Scale) read(y float64) float64 {
	if sc == Absolute {
		return y
	}
	return math.Exp(y)
}

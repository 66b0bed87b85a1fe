package conform

import "math"

// near is how many standard deviations inside its limit a part is still taken
// as one that the lot may lie on: a lot in a corner has two chances of being
// measured outside.
const near = 2.5

// farOff is how many standard deviations beyond a limit need no counting: nine
// standard normal numbers are together longer than that once in 10¹⁶.
const farOff = 12

// rejectionRisk is the largest chance that a lot which just conforms is measured
// as far outside as this one, by the same readings of lot and reference: the
// rate at which lots on the limit would be failed. Near 1 where the sample
// conforms at face value.
//
// A probability of conforming cannot stand in for it. Where several quantities
// are uncertain together there is more room beyond a limit that curves away than
// within it, so most errors carry a lot outwards and a lot on the limit seems
// improbable too often: with a ΔE00 tolerance of two standard uncertainties, one
// such lot in eight has a probability of conforming of at most 0.05, of five,
// one in thirteen (TestFalseAcceptanceAndRejection).
//
// For each part that is missed or near its limit the lot is moved to the nearest
// place on that limit, in standard deviations of all errors together; the draws
// about there count how often the worst excess, in standard deviations of its
// part, is at least that of the sample.
func (c *judged) rejectionRisk(spreads []float64, n int) float64 {
	worst := math.Inf(-1)
	for k := range c.parts {
		worst = max(worst, c.parts[k].standing(&c.middle, spreads[k]))
	}
	switch {
	case worst <= 0:
		return 1
	case worst > farOff:
		return 0
	}
	type place struct {
		part   *part
		at     state
		spread float64
	}
	var places []place
	for k := range c.parts {
		p := &c.parts[k]
		if p.standing(&c.middle, spreads[k]) < -near {
			continue
		}
		// A limit that no error of these readings leads to has no lot on it that
		// could be measured here.
		if at, ok := c.onLimit(p, spreads[k]); ok {
			places = append(places, place{p, at, spreads[k]})
		}
	}
	outside := 0
	var none state
	for i := range n {
		e := c.factor.moved(&none, &normals()[i])
		for k := range places {
			x := places[k].at
			for d := range x {
				x[d] += e[d]
			}
			if places[k].part.standing(&x, places[k].spread) >= worst {
				outside++
				break
			}
		}
	}
	return float64(outside) / float64(n)
}

// standing is how many of its standard deviations a part is missed by at x;
// below 0 inside, infinite where an exact quantity misses.
func (p *part) standing(x *state, spread float64) float64 {
	excess := p.excess(p.value(x))
	switch {
	case math.IsInf(excess, 0) || excess == 0:
		return excess
	case !(spread > 0):
		return math.Inf(int(math.Copysign(1, excess-edge)))
	}
	return excess / spread
}

// onLimit is the state nearest to the middle, in standard deviations of the
// errors, at which p is just met; ok is false where the errors lead to none. The
// search is that of structural reliability for the most probable point: steps
// onto the tangent plane of the limit (Hasofer, Lind, J. Eng. Mech. 100 (1974)
// 111; Rackwitz, Fiessler, Comput. Struct. 9 (1978) 489), shortened until a
// weighted sum of distance and excess falls (Zhang, Der Kiureghian, Reliability
// and Optimization of Structural Systems 6 (1995) 297); all from memory.
func (c *judged) onLimit(p *part, spread float64) (state, bool) {
	excess := func(w *state) float64 {
		x := c.factor.moved(&c.middle, w)
		return p.excess(p.value(&x))
	}
	var w state
	for range 60 {
		g := excess(&w)
		slope, square := c.slopeOf(excess, &w)
		if !(square > 0) || math.IsInf(square, 0) {
			break
		}
		var along, length float64
		for r := range c.factor.rank {
			along += slope[r] * w[r]
			length += w[r] * w[r]
		}
		var step state
		var size float64
		for r := range c.factor.rank {
			step[r] = slope[r]*(along-g)/square - w[r]
			size = max(size, math.Abs(step[r]))
		}
		if size < 1e-4 {
			break
		}
		weight := 2*math.Sqrt(length/square) + 10/math.Sqrt(square)
		merit := func(w *state) float64 {
			var squares float64
			for r := range c.factor.rank {
				squares += w[r] * w[r]
			}
			return squares/2 + weight*math.Abs(excess(w))
		}
		was, next, share := merit(&w), w, 1.0
		for ; share > 1e-3; share /= 2 {
			for r := range c.factor.rank {
				next[r] = w[r] + share*step[r]
			}
			if merit(&next) < was {
				break
			}
		}
		if share <= 1e-3 {
			break
		}
		w = next
	}
	return c.factor.moved(&c.middle, &w), math.Abs(excess(&w)) <= 1e-2*spread
}

// slopeOf is how an excess changes with each error at w, and the sum of squares of
// that.
func (c *judged) slopeOf(excess func(*state) float64, w *state) (slope state, square float64) {
	const step = 1e-4
	for r := range c.factor.rank {
		up, down := *w, *w
		up[r] += step
		down[r] -= step
		slope[r] = (excess(&up) - excess(&down)) / (2 * step)
		square += slope[r] * slope[r]
	}
	return slope, square
}

// moved is x with the errors of w standard deviations each.
func (f *factor) moved(x, w *state) state {
	out := *x
	for r := range f.rank {
		by, c := w[r], &f.columns[r]
		out[0] += by * c[0]
		out[1] += by * c[1]
		out[2] += by * c[2]
		out[3] += by * c[3]
		out[4] += by * c[4]
		out[5] += by * c[5]
		out[6] += by * c[6]
		out[7] += by * c[7]
		out[8] += by * c[8]
	}
	return out
}

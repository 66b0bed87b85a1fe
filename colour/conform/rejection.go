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
		at, ok := c.onLimit(p, spreads[k])
		if !ok {
			return 1 // where no such lot is found none is failed
		}
		places = append(places, place{p, at, spreads[k]})
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
// errors, at which p is just met. The search is that of structural reliability
// for the most probable point: steps onto the tangent plane of the limit
// (Hasofer, Lind, J. Eng. Mech. 100 (1974) 111; Rackwitz, Fiessler, Comput.
// Struct. 9 (1978) 489, both from memory).
func (c *judged) onLimit(p *part, spread float64) (state, bool) {
	excess := func(w *state) float64 {
		x := c.factor.moved(&c.middle, w)
		return p.excess(p.value(&x))
	}
	const step = 1e-4
	var w state
	for range 40 {
		g := excess(&w)
		var slope state
		var square, along float64
		for r := range c.factor.rank {
			up, down := w, w
			up[r] += step
			down[r] -= step
			slope[r] = (excess(&up) - excess(&down)) / (2 * step)
			square += slope[r] * slope[r]
			along += slope[r] * w[r]
		}
		if !(square > 0) || math.IsInf(square, 0) {
			break
		}
		var moved float64
		for r := range c.factor.rank {
			next := slope[r] * (along - g) / square
			moved = max(moved, math.Abs(next-w[r]))
			w[r] = next
		}
		if moved < 1e-4 {
			break
		}
	}
	if math.Abs(excess(&w)) > 1e-2*spread && !alongRay(&w, excess) {
		return c.middle, false
	}
	return c.factor.moved(&c.middle, &w), true
}

// alongRay stretches w until it is on the limit, where the steps did not settle.
func alongRay(w *state, excess func(*state) float64) bool {
	at := func(t float64) state {
		out := *w
		for r := range out {
			out[r] *= t
		}
		return out
	}
	sign := func(t float64) bool { x := at(t); return excess(&x) > 0 }
	lo, hi := 0.0, 4.0
	if sign(lo) == sign(hi) {
		return false
	}
	for range 40 {
		if middle := (lo + hi) / 2; sign(middle) == sign(lo) {
			lo = middle
		} else {
			hi = middle
		}
	}
	*w = at(hi)
	return true
}

// moved is x with the errors of w standard deviations each.
func (f *factor) moved(x, w *state) state {
	out := *x
	for r := range f.rank {
		for d := range out {
			out[d] += w[r] * f.columns[r][d]
		}
	}
	return out
}

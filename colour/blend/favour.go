package blend

import "math"

// sameColour is how far, in L*a*b* (or relative intensity and tint), a blend
// may be from the best one and still have its colour.
const sameColour = 1e-6

// favourFirst moves e, without changing its colour, to the most of the first
// wine, then with that fixed to the most of the second, and so on. Three
// numbers make a colour, so four wines leave nothing to choose unless two are
// alike; of five or more many blends have the same colour. e.misfit is taken
// again where e has moved.
func (s *search) favourFirst(e found) found {
	on := &sameAs{aim: s.aim, p: s.aim.at(&e.f, nil)}
	within := search{aim: on, set: s.set}
	moved := false
	for k := range s.set.n - 1 {
		for range 40 {
			next, gain := within.more(e.f, k)
			if gain < 1e-7 {
				break
			}
			e.f, moved = next, true
		}
		within.set.low[k], within.set.high[k] = e.f[k], e.f[k]
	}
	if moved {
		e.misfit = math.Sqrt(s.aim.square(s.aim.at(&e.f, nil)))
	}
	return e
}

// more returns a blend of the same colour with more of wine k, and how much
// more; 0 where there is none. It steps along the plane in which the colour
// stands still to first order, then back onto the colour; a step that does not
// find back, or gains nothing, is halved.
func (s *search) more(f fractionVec, k int) (fractionVec, float64) {
	const pull = 1e-5 // against a curvature of about 1e4 for a change of colour
	var sl slopes
	p := s.aim.at(&f, &sl)
	g, h := s.quadratic(p, &sl, 0)
	for i := range s.set.n {
		g[i] = 0
		h[i][i] += pull
	}
	g[k] = -pull
	d := s.set.step(&f, &g, &h)
	if d[k] < 1e-7 {
		return f, 0
	}
	for length := 1.0; length > 1e-3; length /= 2 {
		back := s.descend(s.along(&f, &d, length))
		if gain := back.f[k] - f[k]; back.misfit < sameColour && gain > 0.3*length*d[k] {
			return back.f, gain
		}
	}
	return f, 0
}

// sameAs aims at a place rather than at a target: the misfit is the plain
// distance.
type sameAs struct {
	aim
	p place
}

func (a *sameAs) square(p place) float64 {
	var sum float64
	for k := range p {
		d := p[k] - a.p[k]
		sum += d * d
	}
	return sum
}

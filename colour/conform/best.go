package conform

import "math"

// coarseDraws are enough to climb by; the height is taken with all Draws.
const coarseDraws = 2048

// best returns the probability of conforming at the best place that can be
// found for a sample, its errors and the reference unchanged: first where the
// sample, the reference and the middle of the limits are, then by steps along
// L*, a* and b* from the best of these. Intensity and tint are put in the
// middle of their limits whatever the L*a*b*, so the result is rather too high
// than too low and "can never pass" is not said in vain.
//
// A Gaussian's share of a convex region has one summit (Prékopa, Acta Sci.
// Math. 34 (1973) 335, from memory), and the regions here are convex or nearly
// so; climbing is enough.
func (c *judged) best() float64 {
	need := 1 - c.spec.MaxRisk
	base := c.middle
	c.centreIndices(&base)
	onReference := base
	if c.ref != nil {
		copy(onReference[:absorbing], base[reference:])
	}
	centred := onReference
	c.centreColour(&centred)

	top, height := base, c.score(&base)
	for _, x := range []state{onReference, centred, between(&onReference, &centred)} {
		if h := c.score(&x); h > height {
			top, height = x, h
		}
	}
	at := func(x *state) float64 { return c.factor.probability(c.parts, x, Draws).all }
	if p := at(&top); p >= need {
		return p
	}
	for step := c.firstStep(); step > c.firstStep()/64; {
		improved := false
		for i := range absorbing {
			for _, d := range [2]float64{step, -step} {
				x := top
				x[i] += d
				if h := c.score(&x); h > height {
					top, height, improved = x, h, true
				}
			}
		}
		if !improved {
			step /= 2
		}
	}
	return at(&top)
}

// score is the probability where there is any, else how far x is from meeting
// the parts, as a negative number: something to climb by from outside.
func (c *judged) score(x *state) float64 {
	if p := c.factor.probability(c.parts, x, coarseDraws).all; p > 0 {
		return p
	}
	var far float64
	for _, p := range c.parts {
		far -= max(0, p.excess(p.value(x)))
	}
	return far
}

// firstStep is of the size of the widest of tolerance, limits and errors.
func (c *judged) firstStep() float64 {
	step := 1.0
	for k := range c.factor.rank {
		for i := range absorbing {
			step = max(step, math.Abs(c.factor.columns[k][i]))
		}
	}
	for _, p := range c.parts {
		if p.quantity != Intensity && p.quantity != Tint && p.quantity != Hue && !math.IsInf(p.upper-p.lower, 0) {
			step = max(step, (p.upper-p.lower)/4)
		}
	}
	return step
}

func between(a, b *state) (m state) {
	for i := range m {
		m[i] = (a[i] + b[i]) / 2
	}
	return m
}

// limitsOf finds the limits on q among the parts.
func (c *judged) limitsOf(q Quantity) (part, bool) {
	for _, p := range c.parts {
		if p.quantity == q {
			return p, true
		}
	}
	return part{}, false
}

// inside is a value well within the limits: their middle, or room beyond the
// one that there is.
func (p part) inside(room float64) float64 {
	switch {
	case p.quantity == Hue:
		return p.lower + p.hueSpan()/2
	case math.IsInf(p.lower, 0) && math.IsInf(p.upper, 0):
		return room
	case math.IsInf(p.lower, 0):
		return p.upper - room
	case math.IsInf(p.upper, 0):
		return p.lower + room
	}
	return (p.lower + p.upper) / 2
}

// centreColour moves x into the middle of the limits on L*, a*, b*, C* and h.
func (c *judged) centreColour(x *state) {
	const room = 10
	for i, q := range [3]Quantity{L, A, B} {
		if p, ok := c.limitsOf(q); ok {
			x[i] = p.inside(room)
		}
	}
	chroma, hue := Chroma.value(x), Hue.value(x)
	p, byChroma := c.limitsOf(Chroma)
	if byChroma {
		chroma = max(0, p.inside(room))
	}
	q, byHue := c.limitsOf(Hue)
	if byHue {
		hue = q.inside(room)
	}
	if byChroma || byHue {
		x[1], x[2] = chroma*math.Cos(hue*math.Pi/180), chroma*math.Sin(hue*math.Pi/180)
	}
}

// centreIndices sets A420 and A520 so that intensity and tint are in the middle
// of their limits, with A620 in its share of the intensity.
func (c *judged) centreIndices(x *state) {
	byIntensity, hasIntensity := c.limitsOf(Intensity)
	byTint, hasTint := c.limitsOf(Tint)
	if !hasIntensity && !hasTint {
		return
	}
	intensity, tint := Intensity.value(x), Tint.value(x)
	blue := 0.1
	if intensity > 0 {
		blue = min(max(x[absorbing+2]/intensity, 0), 0.5)
	}
	if hasIntensity {
		intensity = byIntensity.inside(max(1, intensity))
	}
	if hasTint || math.IsNaN(tint) {
		tint = 1
		if hasTint {
			tint = max(0, byTint.inside(1))
		}
	}
	a520 := intensity * (1 - blue) / (1 + tint)
	x[absorbing], x[absorbing+1], x[absorbing+2] = tint*a520, a520, blue*intensity
}

package conform

import "math"

// climbDraws are enough to climb by; the height is taken with more.
const climbDraws = 512

// best returns the probability of conforming at the best place that can be
// found for a sample, its errors and the reference unchanged: first where the
// sample, the reference, the approved lots' mean and the middle of the limits
// are, then by steps along L*, a* and b* from the best of these. The OIV's
// indices are put in the
// middle of their limits, and the absorbances moved in search of a better place,
// whatever the L*a*b*; so the result is rather too high than too low and "can
// never pass" is not said in vain.
//
// A Gaussian's share of a convex region has one summit (Prékopa, Acta Sci.
// Math. 34 (1973) 335, from memory), and the regions here are convex or nearly
// so; climbing is enough.
func (c *judged) best() float64 {
	_, p := c.bestPlace()
	return p
}

// bestPlace is that place, with its probability.
func (c *judged) bestPlace() (state, float64) {
	need := 1 - c.spec.MaxRisk
	base := c.middle
	c.centreIndices(&base)
	onReference := base
	if c.ref != nil {
		copy(onReference[:absorbing], base[reference:])
	}
	centred := onReference
	c.centreColour(&centred)

	onLots := onReference
	if e := c.spec.Ellipsoid; e != nil {
		onLots[0], onLots[1], onLots[2] = e.Mean.L, e.Mean.A, e.Mean.B
	}

	top, height := base, math.Inf(-1)
	for _, x := range []state{onReference, onLots, centred, base, between(&onReference, &centred), between(&onReference, &onLots)} {
		if h := c.score(&x); h > height {
			top, height = x, h
		}
		if height >= (1+need)/2 {
			break // well above, as a rule on the reference itself
		}
	}
	at := func(x *state) float64 { return c.factor.sure(c.parts, x, c.spec.MaxRisk).all }
	p := at(&top)
	if p >= need {
		return top, p
	}
	steps := c.firstSteps()
	for by := 1.0; by > 1.0/64; {
		improved := false
		for i, step := range steps {
			if step == 0 {
				continue
			}
			for _, d := range [2]float64{by * step, -by * step} {
				x := top
				x[i] += d
				if h := c.score(&x); h > height {
					top, height, improved = x, h, true
				}
			}
		}
		if !improved {
			by /= 2
		}
	}
	p = at(&top)
	return top, p
}

// score is the probability where there is any, else how far x is from meeting
// the parts, as a negative number: something to climb by from outside.
func (c *judged) score(x *state) float64 {
	if p := c.factor.probability(c.parts, x, climbDraws).all; p > 0 {
		return p
	}
	var far float64
	for _, p := range c.parts {
		far -= max(0, p.excess(p.value(x)))
	}
	return far
}

// firstSteps are of the size of the widest of tolerance, limits and errors for
// L*, a* and b*, and a tenth of the intensity for the absorbances where they
// are judged.
func (c *judged) firstSteps() (steps [reference]float64) {
	size := 1.0
	for k := range c.factor.rank {
		for i := range absorbing {
			size = max(size, math.Abs(c.factor.columns[k][i]))
		}
	}
	var ofColour, ofAbsorbance bool
	for _, p := range c.parts {
		switch {
		case p.quantity.ofAbsorbance():
			ofAbsorbance = true
			continue
		case p.quantity != Hue && p.quantity != T2 && !math.IsInf(p.upper-p.lower, 0):
			size = max(size, (p.upper-p.lower)/4)
		}
		ofColour = true
	}
	for i := range absorbing {
		if ofColour {
			steps[i] = size
		}
		if ofAbsorbance {
			steps[absorbing+i] = max(0.01, math.Abs(Intensity.value(&c.middle))/10)
		}
	}
	return steps
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

// centreIndices sets A420, A520 and A620 so that the indices are in the middle
// of their limits as far as these go together; a share without limits keeps what
// it has.
func (c *judged) centreIndices(x *state) {
	if !c.needsIndices() {
		return
	}
	intensity, tint, blue := Intensity.value(x), Tint.value(x), 0.1
	if intensity > 0 {
		blue = min(max(x[absorbing+2]/intensity, 0), 0.5)
	}
	if p, ok := c.limitsOf(Intensity); ok {
		intensity = p.inside(max(1, intensity))
	}
	if p, ok := c.limitsOf(Tint); ok {
		tint = max(0, p.inside(1))
	}
	if math.IsNaN(tint) {
		tint = 1
	}
	const room = 10 // per cent
	if p, ok := c.limitsOf(Blue); ok {
		blue = min(max(p.inside(room)/100, 0), 1)
	}
	red, byRed := c.limitsOf(Red)
	yellow, byYellow := c.limitsOf(Yellow)
	switch {
	case byRed && byYellow:
		tint = max(0, yellow.inside(room)) / max(1, red.inside(room))
	case byRed:
		tint = (1-blue)/max(0.01, red.inside(room)/100) - 1
	case byYellow:
		tint = 1 / ((1-blue)/min(max(0.01, yellow.inside(room)/100), 0.99*(1-blue)) - 1)
	}
	a520 := intensity * (1 - blue) / (1 + max(0, tint))
	x[absorbing], x[absorbing+1], x[absorbing+2] = max(0, tint)*a520, a520, blue*intensity
}

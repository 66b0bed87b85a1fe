package difference

import "math"

const (
	degree  = math.Pi / 180
	pow25_7 = 6103515625.0 // 25⁷

	// hueSlack, in degrees, keeps two hues that are opposite in print opposite
	// in floating point, where their angles may come out a rounding error
	// above 180°. Pairs 10 and 14 of Sharma2005, Table 1, need it; the nearest
	// pair on the other side, 15, is 0.0023° beyond.
	hueSlack = 1e-9
)

// DeltaE00 returns the CIEDE2000 difference, 0 or more, between two colours in
// L*a*b* that hold under the same conditions, with kL = kC = kH = 1. It is
// symmetric. Neutral colours have no hue and add no hue difference. NaN gives
// NaN. It allocates nothing and checks nothing; CIEDE2000 does.
//
// The formula is not continuous where two hues are opposite: there it jumps by
// up to about 1 %, as Sharma2005 discusses.
//
// Source: Sharma2005, equations 2-22; symbols are the paper's.
func DeltaE00(L1, a1, b1, L2, a2, b2 float64) float64 {
	return DeltaE00Weighted(L1, a1, b1, L2, a2, b2, Weights{1, 1, 1})
}

// Weights are the parametric factors of CIEDE2000: what the differences of
// lightness, chroma and hue are divided by beside the formula's own weights.
// They have no unit. All are 1 under the reference conditions (two uniform
// fields of more than 4° edge to edge on grey, about 1000 lx); a factor of 2
// makes a difference count half. Other conditions of viewing may need others.
//
// Source: CIE142, 4; ISO11664-6, 4 (clause numbers from memory).
type Weights struct{ KL, KC, KH float64 }

// Reference reports whether k is 1:1:1.
func (k Weights) Reference() bool { return k == Weights{1, 1, 1} }

// DeltaE00Weighted is DeltaE00 with the parametric factors k, each above 0. It
// allocates nothing and checks nothing.
//
// Source: Sharma2005, equation 22.
func DeltaE00Weighted(L1, a1, b1, L2, a2, b2 float64, k Weights) float64 {
	// a* is stretched near the neutral axis.
	cBar := (chroma(a1, b1) + chroma(a2, b2)) / 2
	g := 0.5 * (1 - rootOf7thPower(cBar))
	a1, a2 = (1+g)*a1, (1+g)*a2
	c1, c2 := chroma(a1, b1), chroma(a2, b2)

	dL, dC := L2-L1, c2-c1
	lBar, cBar := (L1+L2)/2, (c1+c2)/2
	fromMiddle := (lBar - 50) * (lBar - 50)
	sL := 1 + 0.015*fromMiddle/math.Sqrt(20+fromMiddle)
	sC := 1 + 0.045*cBar

	dH, t, blue := hueTerms(a1, b1, c1, a2, b2, c2)
	sH := 1 + 0.015*cBar*t
	dL, dC, dH = dL/(k.KL*sL), dC/(k.KC*sC), dH/(k.KH*sH)
	square := dL*dL + dC*dC + dH*dH
	if blue != 0 {
		square -= 2 * rootOf7thPower(cBar) * blue * dC * dH
	}
	return math.Sqrt(square)
}

// hueTerms are the metric hue difference of two colours of chroma c1 and c2, the
// weight T at their mean hue, and the turn in the blue there. Where the hues are
// less than a right angle apart and their mean is a red, an orange or a yellow,
// as wines have, no angle is needed: the sine of the difference is the
// cross product of the colours, the mean hue has the direction of the sum of
// the colours at one length, and the turn is 0.
func hueTerms(a1, b1, c1, a2, b2, c2 float64) (dH, t, blue float64) {
	dot := a1*a2 + b1*b2
	if dot > 0 {
		both := c1 * c2
		x, y := a1*c2+a2*c1, b1*c2+b2*c1 // of the mean hue
		length := math.Sqrt(2 * both * (both + dot))
		if y >= 0 && x > notBlue*length && length > 0 {
			return (a1*b2 - a2*b1) / math.Sqrt((both+dot)/2), hueWeightAt(y/length, x/length), 0
		}
	}
	h1, h2 := hue(a1, b1), hue(a2, b2)
	h := meanHue(c1, h1, c2, h2)
	s, c := math.Sincos(h * degree)
	return hueDifference(c1, h1, c2, h2), hueWeightAt(s, c), blueTurn(h)
}

// notBlue is a cosine above that of 100°, from which hue to 360° blueTurn is not 0.
const notBlue = -0.17

// Cosines and sines of the phases in hueWeight.
var (
	sin30, cos30 = math.Sincos(30 * degree)
	sin6, cos6   = math.Sincos(6 * degree)
	sin63, cos63 = math.Sincos(63 * degree)
)

// hueWeightAt is the paper's T at the mean hue h of that sine and cosine,
//
//	1 - 0.17 cos(h-30) + 0.24 cos 2h + 0.32 cos(3h+6) - 0.20 cos(4h-63)
//
// with the multiple angles built from these, which takes a third of the time.
//
// Source: Sharma2005, equation 15.
func hueWeightAt(s1, c1 float64) float64 {
	s2, c2 := 2*s1*c1, c1*c1-s1*s1
	s3, c3 := s2*c1+c2*s1, c2*c1-s2*s1
	s4, c4 := 2*s2*c2, c2*c2-s2*s2
	return 1 - 0.17*(c1*cos30+s1*sin30) + 0.24*c2 + 0.32*(c3*cos6-s3*sin6) - 0.20*(c4*cos63+s4*sin63)
}

// blueTurn is sin 2Δθ at the mean hue h in degrees: chroma and hue differences
// interact in the blue, about 275°. Seven widths away it is below 1e-21 and
// left out, as for every red, orange and yellow.
//
// Source: Sharma2005, equations 16 and 21.
func blueTurn(h float64) float64 {
	widths := (h - 275) / 25
	if math.Abs(widths) > 7 {
		return 0
	}
	return math.Sin(60 * degree * math.Exp(-widths*widths))
}

// rootOf7thPower is √(c⁷/(c⁷+25⁷)).
func rootOf7thPower(c float64) float64 {
	c7 := c * c * c
	c7 *= c7 * c
	return math.Sqrt(c7 / (c7 + pow25_7))
}

// chroma is the distance from the neutral axis. Colours are far from where a
// square overflows, so math.Hypot's care would only cost time.
func chroma(a, b float64) float64 {
	return math.Sqrt(a*a + b*b)
}

// hue is the angle of (a, b) in degrees, 0-360, and 0 for a neutral colour.
func hue(a, b float64) float64 {
	if a == 0 && b == 0 {
		return 0
	}
	h := math.Atan2(b, a) / degree
	if h < 0 {
		h += 360
	}
	return h
}

// hueDifference is the metric hue difference 2 √(c1 c2) sin(Δh/2), which is
// positive where hue grows anticlockwise from 1 to 2, and 0 for a neutral
// colour. For exactly opposite hues the sign is that of h2 - h1.
//
// Source: Sharma2005, equations 10 and 11.
func hueDifference(c1, h1, c2, h2 float64) float64 {
	dh := h2 - h1
	switch {
	case dh > 180+hueSlack:
		dh -= 360
	case dh < -180-hueSlack:
		dh += 360
	}
	return 2 * math.Sqrt(c1*c2) * math.Sin(dh/2*degree)
}

// meanHue is the hue halfway along the shorter arc; where one colour is
// neutral, the hue of the other.
//
// Source: Sharma2005, equation 14.
func meanHue(c1, h1, c2, h2 float64) float64 {
	sum := h1 + h2
	switch {
	case c1 == 0 || c2 == 0:
		return sum
	case math.Abs(h1-h2) <= 180+hueSlack:
		return sum / 2
	case sum < 360:
		return (sum + 360) / 2
	}
	return (sum - 360) / 2
}

package cie

import "math"

// XYZ holds CIE tristimulus values on the scale where Y of the white is 100.
type XYZ struct{ X, Y, Z float64 }

// Lab is a colour in CIE 1976 L*a*b* with the conditions it holds under. L runs
// from 0 (black) to 100 (the white); A is red against green, B yellow against
// blue. Two are the same when they are ==.
type Lab struct {
	L, A, B float64
	View    View
}

// The cube root of L*a*b* meets its straight part at t = (6/29)³, where both
// have the value 6/29 and the slope (29/6)²/3. Source: ISO11664-4 and CIE015,
// 8.2.1, which print these fractions.
const (
	joint     = 216.0 / 24389 // (6/29)³
	jointRoot = 6.0 / 29
	slope     = 841.0 / 108 // (29/6)²/3
	offset    = 4.0 / 29
)

// cubeRoot is the f of L*a*b*.
func cubeRoot(t float64) float64 {
	if t > joint {
		return math.Cbrt(t)
	}
	return slope*t + offset
}

// cube inverts cubeRoot.
func cube(f float64) float64 {
	if f > jointRoot {
		return f * f * f
	}
	return (f - offset) / slope
}

// cubeRootSlope is the derivative of cubeRoot.
func cubeRootSlope(t float64) float64 {
	if t > joint {
		f := math.Cbrt(t)
		return 1 / (3 * f * f)
	}
	return slope
}

// labOf is the L*a*b* formula; all conversions call it.
func labOf(x, white XYZ) (L, A, B float64) {
	fx, fy, fz := cubeRoot(x.X/white.X), cubeRoot(x.Y/white.Y), cubeRoot(x.Z/white.Z)
	return 116*fy - 16, 500 * (fx - fy), 200 * (fy - fz)
}

// Lab returns the L*a*b* of x under white and labels it with v, which must be
// the view that both belong to. NaN passes through.
//
//	L* = 116 f(Y/Yn) - 16,  a* = 500 [f(X/Xn) - f(Y/Yn)],  b* = 200 [f(Y/Yn) - f(Z/Zn)]
//	f(t) = t^(1/3) for t > (6/29)³, else (841/108) t + 4/29
//
// Source: ISO11664-4; CIE015, 8.2.1.
func (x XYZ) Lab(white XYZ, v View) Lab {
	L, a, b := labOf(x, white)
	return Lab{L: L, A: a, B: b, View: v}
}

// XYZ returns the tristimulus values that have the colour l under white, which
// must be the white of l's view. It inverts XYZ.Lab; a colour that no light has
// (L below 0, say) gives negative values.
//
// Source: ISO11664-4; CIE015, 8.2.1, reverse transformation.
func (l Lab) XYZ(white XYZ) XYZ {
	fy := (l.L + 16) / 116
	return XYZ{
		X: white.X * cube(fy+l.A/500),
		Y: white.Y * cube(fy),
		Z: white.Z * cube(fy-l.B/200),
	}
}

// Chroma returns C*ab, the distance from the neutral axis, 0 or more.
//
// Source: CIE015, 8.2.1.
func (l Lab) Chroma() float64 {
	return math.Hypot(l.A, l.B)
}

// Hue returns the hue angle h_ab in degrees, from 0 (+a*, red) through 90 (+b*,
// yellow) up to but not including 360. A neutral colour has no hue; it gets 0.
//
// Source: CIE015, 8.2.1.
func (l Lab) Hue() float64 {
	if l.A == 0 && l.B == 0 {
		return 0 // Atan2 would tell signed zeros apart
	}
	h := math.Atan2(l.B, l.A) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	if h >= 360 { // a b* just below 0 rounds up to the full circle
		return 0
	}
	return h
}

// LabJacobian returns the derivatives of L*a*b* at x under white: rows are L*,
// a*, b*; columns X, Y, Z, on the scale where Y of the white is 100.
func LabJacobian(x, white XYZ) [3][3]float64 {
	dx := cubeRootSlope(x.X/white.X) / white.X
	dy := cubeRootSlope(x.Y/white.Y) / white.Y
	dz := cubeRootSlope(x.Z/white.Z) / white.Z
	return [3][3]float64{
		{0, 116 * dy, 0},
		{500 * dx, -500 * dy, 0},
		{0, 200 * dy, -200 * dz},
	}
}

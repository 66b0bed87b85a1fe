package cie

import (
	"errors"
	"fmt"
	"math"

	"github.com/lucasb-eyer/go-colorful"
)

// ErrNotFinite means that a colour or spectrum holds NaN or an infinity.
var ErrNotFinite = errors.New("cie: not a finite number")

// Screen is a colour for a display in sRGB.
type Screen struct {
	Hex string // "#rrggbb", lower case
	// InGamut is false when sRGB cannot show the colour; Hex is then clipped,
	// channel by channel, and whatever shows it has to say so.
	InGamut bool
}

// gamutSlack is half a step of an eight-bit channel: a value that far outside
// 0-1 is shown as exactly as any other.
const gamutSlack = 1.0 / 510

// screenWhite is the white that sRGB colours are computed under: D65 and the 2°
// observer. The table's (95.043, 100, 108.880) and sRGB's own (95.046, 100,
// 108.906) differ by less than a tenth of a step of an eight-bit channel.
func screenWhite() XYZ {
	return weightings()[weightingKey{"D65", "2"}].white
}

// ScreenColour returns the colour on an sRGB display of a liquid whose
// absorbance for a 10 mm path is a, depthMM deep, lit by lamp. It is computed
// from the spectrum with the 2° observer, which sRGB is defined for; sending
// L*a*b* of the 10° observer to a screen would shift a rosé by about ΔE00 0.8.
// A lamp other than D65 is adapted to D65 by the Bradford transform, as the eye
// settles on the lamp's white.
//
// Errors: ErrIlluminant, ErrDepth, ErrNotFinite.
//
// Source: IEC61966; Bradford.
func ScreenColour(a *Curve, lamp Illuminant, depthMM float64) (Screen, error) {
	view := View{Illuminant: lamp, Observer: "2", DepthMM: depthMM}
	if err := view.Validate(); err != nil {
		return Screen{}, err
	}
	w := weightings()[weightingKey{lamp, "2"}]
	var t Curve
	Transmit(&t, a, depthMM)
	return screenOf(w.XYZ(&t), w.white)
}

// LabScreen returns the colour on an sRGB display of l, for which no spectrum
// is known: its XYZ under its own white, adapted to D65 and 2° by the Bradford
// transform. Where a spectrum is known, ScreenColour is the better answer.
//
// Errors: those of View.Validate; ErrNotFinite.
//
// Source: IEC61966; Bradford.
func LabScreen(l Lab) (Screen, error) {
	if err := l.View.Validate(); err != nil {
		return Screen{}, err
	}
	white := weightings()[weightingKey{l.View.Illuminant, l.View.Observer}].white
	return screenOf(l.XYZ(white), white)
}

func screenOf(x, white XYZ) (Screen, error) {
	x = adapt(x, white, screenWhite())
	if sum := x.X + x.Y + x.Z; math.IsNaN(sum) || math.IsInf(sum, 0) {
		return Screen{}, fmt.Errorf("%w: XYZ is %g, %g, %g", ErrNotFinite, x.X, x.Y, x.Z)
	}
	c := colorful.Xyz(x.X/100, x.Y/100, x.Z/100)
	inGamut := true
	for _, channel := range [...]float64{c.R, c.G, c.B} {
		inGamut = inGamut && channel >= -gamutSlack && channel <= 1+gamutSlack
	}
	return Screen{Hex: c.Clamped().Hex(), InGamut: inGamut}, nil
}

// matrix is applied to a column of three values.
type matrix [3][3]float64

// bradford turns XYZ into the sharpened cone responses of the Bradford
// transform. Source: Bradford, the four-digit matrix as published.
var bradford = matrix{
	{0.8951, 0.2664, -0.1614},
	{-0.7502, 1.7135, 0.0367},
	{0.0389, -0.0685, 1.0296},
}

// bradfordInverse is computed, not typed, so that from = to is the identity.
var bradfordInverse = bradford.inverse()

// adapt returns the XYZ that look under the white to as x does under from: the
// linear Bradford transform.
func adapt(x, from, to XYZ) XYZ {
	if from == to {
		return x
	}
	cone, coneFrom, coneTo := bradford.times(x), bradford.times(from), bradford.times(to)
	return bradfordInverse.times(XYZ{
		X: cone.X * coneTo.X / coneFrom.X,
		Y: cone.Y * coneTo.Y / coneFrom.Y,
		Z: cone.Z * coneTo.Z / coneFrom.Z,
	})
}

func (m matrix) times(v XYZ) XYZ {
	return XYZ{
		X: m[0][0]*v.X + m[0][1]*v.Y + m[0][2]*v.Z,
		Y: m[1][0]*v.X + m[1][1]*v.Y + m[1][2]*v.Z,
		Z: m[2][0]*v.X + m[2][1]*v.Y + m[2][2]*v.Z,
	}
}

// inverse divides the cofactors, indexed cyclically, by the determinant.
func (m matrix) inverse() matrix {
	var cofactor matrix
	for i := range 3 {
		for j := range 3 {
			cofactor[i][j] = m[(i+1)%3][(j+1)%3]*m[(i+2)%3][(j+2)%3] - m[(i+1)%3][(j+2)%3]*m[(i+2)%3][(j+1)%3]
		}
	}
	det := m[0][0]*cofactor[0][0] + m[0][1]*cofactor[0][1] + m[0][2]*cofactor[0][2]
	var inverse matrix
	for i := range 3 {
		for j := range 3 {
			inverse[i][j] = cofactor[j][i] / det
		}
	}
	return inverse
}

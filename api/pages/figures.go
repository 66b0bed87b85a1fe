package pages

import (
	"strings"

	"pourpath/api/calc"
	"pourpath/colour/cie"
)

// figure is a number of a table: its value, blanks of a digit's width that bring
// the decimal marks of its column below each other, and its standard
// uncertainty, empty where none is known. Room says that others of the column
// have one.
type figure struct {
	Value, U digits
	Pad      string
	Room     bool
}

func figureOfU(x, u *float64, decimals int) figure {
	value, u2, _ := strings.Cut(string(withU(x, u, decimals)), " ± ")
	return figure{Value: digits(value), U: digits(u2)}
}

// figures are a wine's colour with the digits that its own uncertainty supports.
type figures struct {
	Shown           cie.Screen
	L, A, B         figure
	Intensity, Tint figure
}

func figuresOf(c *calc.WineColour) figures {
	var f figures
	if c == nil {
		return f
	}
	v, u := c.CIELAB, c.Uncertainty
	f.L = figureOfU(&v.L, u.L, decimalsOf([]*float64{u.L}, 2))
	f.A = figureOfU(&v.A, u.A, decimalsOf([]*float64{u.A}, 2))
	f.B = figureOfU(&v.B, u.B, decimalsOf([]*float64{u.B}, 2))
	f.Intensity = figureOfU(c.Intensity, u.Intensity, indexDecimals([]*float64{u.Intensity}))
	f.Tint = figureOfU(c.Tint, u.Tint, 2)
	if c.SRGB != nil {
		f.Shown = cie.Screen{Hex: *c.SRGB, InGamut: c.InSRGBGamut == nil || *c.InSRGBGamut}
	}
	return f
}

// figureSpace is a blank as wide as a digit.
const figureSpace = "\u2007"

// align brings the decimal marks of a column below each other.
func align(column []*figure) {
	after := func(f *figure) int {
		if i := strings.IndexByte(string(f.Value), '.'); i >= 0 {
			return len(f.Value) - i
		}
		return 0
	}
	most, room := 0, false
	for _, f := range column {
		most, room = max(most, after(f)), room || f.U != ""
	}
	for _, f := range column {
		f.Pad, f.Room = strings.Repeat(figureSpace, most-after(f)), room
	}
}

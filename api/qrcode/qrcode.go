// Package qrcode draws a text as a QR code (ISO/IEC 18004), for pages and terminals. A
// library finds the modules.
package qrcode

import (
	"fmt"
	"image/color"
	"strings"

	"github.com/boombuler/barcode/qr"
)

// quiet is how wide the light border must be, in modules.
const quiet = 4

// Code is a QR code: a square of modules with its border.
type Code struct {
	dark [][]bool
}

// New encodes a text. Up to about 15 % of the code may be unreadable (level M), as behind
// a reflection on the screen.
func New(text string) (*Code, error) {
	modules, err := qr.Encode(text, qr.M, qr.Unicode)
	if err != nil {
		return nil, fmt.Errorf("qrcode: %w", err)
	}
	n := modules.Bounds().Dx()
	c := &Code{dark: make([][]bool, n+2*quiet)}
	for y := range c.dark {
		c.dark[y] = make([]bool, n+2*quiet)
	}
	for y := range n {
		for x := range n {
			c.dark[y+quiet][x+quiet] = color.GrayModel.Convert(modules.At(x, y)) == color.Gray{}
		}
	}
	return c, nil
}

// Side is the length of a side in modules, the border included.
func (c *Code) Side() int { return len(c.dark) }

// Path is the dark modules as the path of an SVG whose unit is a module: one
// rectangle for each run in a row, so that no seams show between neighbours.
func (c *Code) Path() string {
	var out strings.Builder
	for y, row := range c.dark {
		for x := 0; x < len(row); x++ {
			begin := x
			for x < len(row) && row[x] {
				x++
			}
			if x > begin {
				fmt.Fprintf(&out, "M%d %dh%dv1H%dz", begin, y, x-begin, begin)
			}
		}
	}
	return out.String()
}

// Blocks is the code for a terminal: two modules, one above the other, in a character,
// as most fonts' characters are twice as high as wide. lit says that what is written
// shows lighter than its ground, as on a dark terminal; else it shows darker.
func (c *Code) Blocks(lit bool) string {
	var out strings.Builder
	ink := func(x, y int) bool {
		if y >= len(c.dark) {
			return lit // the ground goes on as the border
		}
		return c.dark[y][x] != lit
	}
	for y := 0; y < len(c.dark); y += 2 {
		for x := range c.dark[y] {
			switch upper, lower := ink(x, y), ink(x, y+1); {
			case upper && lower:
				out.WriteRune('█')
			case upper:
				out.WriteRune('▀')
			case lower:
				out.WriteRune('▄')
			default:
				out.WriteByte(' ')
			}
		}
		out.WriteByte('\n')
	}
	return out.String()
}

package reports

import (
	"io"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Figure is a picture that checks itself and decides its places.
type Figure interface {
	// Drawing lays the figure out. Errors: its faults, up to ten, each with its
	// place.
	Drawing() (*Drawing, error)
}

// Drawing is a figure with every place decided, 180 mm wide. It is written any
// number of times, and concurrently.
type Drawing struct {
	title     string
	described string // in words, for those who hear it
	texts     *Texts
	high      vg.Length
	paint     func(*pen)
}

// on paints the figure on a canvas, on white.
func (d *Drawing) on(canvas vg.Canvas) {
	p := &pen{draw.NewCanvas(canvas, pageWide, d.high), d.texts}
	p.fillRect(white, p.Rectangle)
	d.paint(p)
}

// draws lays a figure out and writes it in one of the formats.
func draws(f Figure, w io.Writer, write func(*Drawing, io.Writer) error) error {
	d, err := f.Drawing()
	if err != nil {
		return err
	}
	return write(d, w)
}

package reports

import (
	"fmt"
	"image/png"
	"io"

	"gonum.org/v1/plot/vg/vgimg"
)

// pngDPI is what journals ask of a figure with fine lines.
const pngDPI = 300

func (s *sheet) writePNG(w io.Writer) error {
	canvas := vgimg.NewWith(vgimg.UseWH(pageWide, s.high), vgimg.UseDPI(pngDPI))
	s.draw(canvas)
	if err := png.Encode(w, canvas.Image()); err != nil {
		return fmt.Errorf("reports: writing PNG: %w", err)
	}
	return nil
}

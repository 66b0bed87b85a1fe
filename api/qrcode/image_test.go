package qrcode

import (
	"image"
	"image/color"
)

// picture is the code with so many pixels to the side of a module.
func (c *Code) picture(pixels int) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, c.Side()*pixels, c.Side()*pixels))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			if !c.dark[y/pixels][x/pixels] {
				out.SetGray(x, y, color.Gray{Y: 255})
			}
		}
	}
	return out
}

package reports

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image/png"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot/vg/vgimg"
)

// pngDPI is what journals ask of a figure with fine lines.
const pngDPI = 300

// WritePNG writes the figure as PNG at 300 dots per inch, 2126 pixels wide.
// Errors: a fault of w.
func (d *Drawing) WritePNG(w io.Writer) error {
	canvas := vgimg.NewWith(vgimg.UseWH(pageWide, d.high), vgimg.UseDPI(pngDPI))
	d.on(canvas)
	var raw bytes.Buffer
	if err := png.Encode(&raw, canvas.Image()); err != nil {
		return fmt.Errorf("reports: drawing PNG: %w", err)
	}
	if _, err := w.Write(sized(raw.Bytes())); err != nil {
		return fmt.Errorf("reports: writing PNG: %w", err)
	}
	return nil
}

// sized adds the chunk that tells the picture's size in print, which the
// encoder leaves out: pixels per metre, after the signature and the header.
//
// Source: PNG specification (ISO/IEC 15948), pHYs.
func sized(raw []byte) []byte {
	const (
		headEnd = 8 + 4 + 4 + 13 + 4 // signature; length, type, data and sum of IHDR
		inch    = 0.0254             // m
		metre   = 1                  // the unit
	)
	perMetre := uint32(math.Round(pngDPI / inch))
	body := []byte("pHYs")
	body = binary.BigEndian.AppendUint32(body, perMetre)
	body = binary.BigEndian.AppendUint32(body, perMetre)
	body = append(body, metre)
	chunk := binary.BigEndian.AppendUint32(nil, uint32(len(body)-len("pHYs")))
	chunk = append(chunk, body...)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(body))
	return slices.Insert(raw, headEnd, chunk...)
}

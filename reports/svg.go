package reports

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// svgFonts follow where Liberation Sans is not installed: Arimo, Arial and
// Helvetica have its widths.
const svgFonts = "'" + fontFamily + "',Arimo,Arial,Helvetica,sans-serif"

// measuring is a canvas that keeps how wide each text is.
type measuring struct {
	*vgsvg.Canvas
	widths []vg.Length
}

func (m *measuring) FillString(face font.Face, at vg.Point, text string) {
	m.widths = append(m.widths, face.Width(text))
	m.Canvas.FillString(face, at, text)
}

var textBegins = regexp.MustCompile(`<text x="[^"]*" y="[^"]*"`)

// asWide lets each text be as wide as it was drawn, in whichever font it is shown:
// others stand close beside it.
func (m *measuring) asWide(svg []byte) []byte {
	i := 0
	return textBegins.ReplaceAllFunc(svg, func(begins []byte) []byte {
		wide := m.widths[i]
		i++
		return fmt.Appendf(nil, `%s textLength="%.5g" lengthAdjust="spacingAndGlyphs"`, begins, wide.Points())
	})
}

// WriteSVG writes the figure as SVG, 180 mm wide, its text as text. The text asks
// for Liberation Sans, falls back on fonts of the same widths, and is fitted to them in
// any other. Errors: a fault of w.
func (d *Drawing) WriteSVG(w io.Writer) error {
	canvas := &measuring{Canvas: vgsvg.NewWith(vgsvg.UseWH(pageWide, d.high))}
	d.on(canvas)
	var raw bytes.Buffer
	if _, err := canvas.WriteTo(&raw); err != nil {
		return fmt.Errorf("reports: drawing SVG: %w", err)
	}
	text := bytes.ReplaceAll(canvas.asWide(raw.Bytes()), []byte("font-family:"+fontFamily), []byte("font-family:"+svgFonts))
	if _, err := w.Write(d.named(text)); err != nil {
		return fmt.Errorf("reports: writing SVG: %w", err)
	}
	return nil
}

// named gives the drawing a title and a description for readers who hear it.
func (d *Drawing) named(svg []byte) []byte {
	var head bytes.Buffer
	head.WriteString(">\n<title>")
	escape(&head, d.title)
	head.WriteString("</title>\n<desc>")
	escape(&head, d.described)
	head.WriteString("</desc>\n")
	start := bytes.Index(svg, []byte("<svg"))
	end := start + bytes.IndexByte(svg[start:], '>')
	out := append([]byte{}, svg[:start]...)
	out = append(out, `<svg role="img"`...)
	out = append(out, svg[start+len("<svg"):end]...)
	out = append(out, head.Bytes()...)
	return append(out, svg[end+1:]...)
}

func escape(b *bytes.Buffer, s string) {
	// A bytes.Buffer takes every write.
	_ = xml.EscapeText(b, []byte(s))
}

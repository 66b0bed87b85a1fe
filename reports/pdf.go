package reports

import (
	"image"
	"image/color"
	"io"
	"math"

	"codeberg.org/go-pdf/fpdf"
	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// WritePDF writes the figure as a PDF of one page of the figure's own size, its
// text as text in embedded Liberation Sans. Errors: a fault of w.
func (d *Drawing) WritePDF(w io.Writer) error {
	doc := NewDocument(pageWide.Points(), d.high.Points())
	doc.SetTitle(d.title, true)
	doc.SetSubject(d.described, true)
	doc.AddPage()
	d.on(newPDFCanvas(doc, vg.Point{Y: d.high}))
	return WriteDocument(doc, w)
}

// pdfCanvas is the part of vg.Canvas that a figure uses, on a PDF page with
// embedded fonts: opaque lines and fills, and upright text. The plot library's
// own PDF canvas knows only the 256 characters of one code page, without Δ.
type pdfCanvas struct {
	doc *fpdf.Fpdf
	// origin is the figure's bottom left corner, from the top left of the page.
	origin vg.Point
	state  pdfState
	stack  []pdfState
}

type pdfState struct {
	colour color.Color
	width  vg.Length
	dashes []vg.Length
	offset vg.Length
}

func newPDFCanvas(doc *fpdf.Fpdf, origin vg.Point) *pdfCanvas {
	doc.SetLineJoinStyle("round")
	c := &pdfCanvas{doc: doc, origin: origin}
	vg.Initialize(c)
	return c
}

func (c *pdfCanvas) SetLineWidth(w vg.Length) { c.state.width = w }
func (c *pdfCanvas) SetLineDash(pattern []vg.Length, offset vg.Length) {
	c.state.dashes, c.state.offset = pattern, offset
}

func (c *pdfCanvas) SetColor(clr color.Color) {
	if clr == nil {
		clr = color.Black
	}
	c.state.colour = clr
}

func (c *pdfCanvas) Push() { c.stack = append(c.stack, c.state) }

func (c *pdfCanvas) Pop() {
	c.state = c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
}

// A figure turns, moves and scales nothing and holds no pictures; asking for it
// is an error of the document.
func (c *pdfCanvas) Rotate(float64)                      { c.unsupported("rotation") }
func (c *pdfCanvas) Translate(vg.Point)                  { c.unsupported("translation") }
func (c *pdfCanvas) Scale(float64, float64)              { c.unsupported("scaling") }
func (c *pdfCanvas) DrawImage(vg.Rectangle, image.Image) { c.unsupported("pictures") }
func (c *pdfCanvas) unsupported(what string)             { c.doc.SetErrorf("%s not supported", what) }
func (c *pdfCanvas) rgb() (r, g, b int)                  { return rgb(c.state.colour) }

func (c *pdfCanvas) place(pt vg.Point) (x, y float64) {
	return (c.origin.X + pt.X).Points(), (c.origin.Y - pt.Y).Points()
}

func rgb(clr color.Color) (r, g, b int) {
	r16, g16, b16, _ := clr.RGBA()
	return int(r16 >> 8), int(g16 >> 8), int(b16 >> 8)
}

func (c *pdfCanvas) Stroke(path vg.Path) {
	if c.state.width <= 0 {
		return
	}
	dashes := make([]float64, len(c.state.dashes))
	for i, d := range c.state.dashes {
		dashes[i] = d.Points()
	}
	c.doc.SetDrawColor(c.rgb())
	c.doc.SetLineWidth(c.state.width.Points())
	c.doc.SetDashPattern(dashes, c.state.offset.Points())
	c.trace(path)
	c.doc.DrawPath("D")
}

func (c *pdfCanvas) Fill(path vg.Path) {
	c.doc.SetFillColor(c.rgb())
	c.trace(path)
	c.doc.DrawPath("F")
}

func (c *pdfCanvas) trace(path vg.Path) {
	for _, comp := range path {
		x, y := c.place(comp.Pos)
		switch comp.Type {
		case vg.MoveComp:
			c.doc.MoveTo(x, y)
		case vg.LineComp:
			c.doc.LineTo(x, y)
		case vg.ArcComp:
			c.arc(comp)
		case vg.CurveComp:
			c.unsupported("curves")
		case vg.CloseComp:
			c.doc.ClosePath()
		}
	}
}

// arc draws an arc as cubic curves of at most a quarter turn, whose control
// points lie 4/3 tan(angle/4) radii along the tangents.
func (c *pdfCanvas) arc(comp vg.PathComp) {
	r := comp.Radius
	on := func(angle, along float64) vg.Point {
		sin, cos := math.Sincos(angle)
		return vg.Point{X: comp.Pos.X + r*vg.Length(cos-along*sin), Y: comp.Pos.Y + r*vg.Length(sin+along*cos)}
	}
	c.doc.LineTo(c.place(on(comp.Start, 0)))
	n := int(math.Ceil(math.Abs(comp.Angle) / (math.Pi / 2)))
	turn := comp.Angle / float64(max(n, 1))
	k := 4.0 / 3 * math.Tan(turn/4)
	for i := range n {
		from, to := comp.Start+float64(i)*turn, comp.Start+float64(i+1)*turn
		x1, y1 := c.place(on(from, k))
		x2, y2 := c.place(on(to, -k))
		x, y := c.place(on(to, 0))
		c.doc.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
	}
}

func (c *pdfCanvas) FillString(f font.Face, pt vg.Point, text string) {
	style := ""
	if f.Font.Weight == xfont.WeightBold {
		style += "B"
	}
	if f.Font.Style == xfont.StyleItalic {
		style += "I"
	}
	c.doc.SetFont(fontFamily, style, f.Font.Size.Points())
	c.doc.SetTextColor(c.rgb())
	start, prev := 0, ""
	for i, r := range text {
		if i > 0 && kerned(f, prev, string(r)) {
			c.piece(f, pt, text, start, i)
			start = i
		}
		prev = string(r)
	}
	c.piece(f, pt, text, start, len(text))
}

// piece sets text[from:to] of a line that starts at pt. The page itself does not
// kern, so a line is set in pieces that begin where the others' kerning puts
// them.
func (c *pdfCanvas) piece(f font.Face, pt vg.Point, text string, from, to int) {
	pt.X += textWidth(f, text[:to]) - textWidth(f, text[from:to])
	x, y := c.place(pt)
	c.doc.Text(x, y, text[from:to])
}

// kerned reports whether the font sets b closer to a, or further, than their
// widths say.
func kerned(f font.Face, a, b string) bool {
	const slack = 1e-6 // points
	return math.Abs(float64(textWidth(f, a+b)-textWidth(f, a)-textWidth(f, b))) > slack
}

package reports

import (
	"image/color"
	"math"
	"regexp"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

const mm = vg.Millimeter

// The chrome is achromatic, so that nothing beside a wine's colour changes how
// it looks; meaning is carried by word and shape.
var (
	white    = color.NRGBA{0xff, 0xff, 0xff, 0xff}
	ink      = color.NRGBA{0x22, 0x26, 0x2b, 0xff}
	quiet    = color.NRGBA{0x5b, 0x63, 0x6b, 0xff}
	hairline = color.NRGBA{0xd9, 0xdd, 0xe1, 0xff}
	stroke   = color.NRGBA{0xb4, 0xba, 0xc1, 0xff} // the acceptable range
	band     = color.NRGBA{0xe6, 0xe9, 0xec, 0xff} // the band of uncertainty
)

// Widths of lines, in points.
const (
	hair   vg.Length = 0.4
	thin   vg.Length = 0.6
	medium vg.Length = 0.9
	strong vg.Length = 1.2
	broad  vg.Length = 9
)

func solid(c color.Color, w vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: c, Width: w}
}

func dashed(c color.Color, w vg.Length, dashes ...vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: c, Width: w, Dashes: dashes}
}

// align is where a text lies from its point.
type align float64

const (
	left   align = 0
	centre align = -0.5
	right  align = -1
)

// pen draws on a page.
type pen struct {
	draw.Canvas
	texts *Texts
}

// text sets a line with its baseline at at. Blanks at its ends count in its width
// but are not drawn, as a drawing in XML drops them.
func (p *pen) text(s string, c cut, size vg.Length, clr color.Color, a align, at vg.Point) {
	words := strings.TrimLeft(s, " ")
	f := face(c, size)
	x := at.X + vg.Length(a)*textWidth(f, s) + textWidth(f, s[:len(s)-len(words)])
	if words = strings.TrimRight(words, " "); words == "" {
		return
	}
	p.SetColor(clr)
	p.FillString(f, vg.Point{X: x, Y: at.Y}, words)
}

// span is a piece of a line in one cut, size and colour; it hangs drop below
// the baseline.
type span struct {
	text string
	cut  cut
	size vg.Length
	clr  color.Color
	drop vg.Length
}

// symbols are set as the field prints them: quantities in italics, the 00 of
// ΔE00 below the line.
var symbols = regexp.MustCompile(`ΔE00|\b[Lab]\*`)

// Piece is a part of a line of print.
type Piece struct {
	Text    string
	Italic  bool // the symbol of a quantity
	Lowered bool // a subscript
}

// Pieces splits a line into its words and the symbols of the field: L*, a*, b*
// and ΔE00.
func Pieces(s string) []Piece {
	var parts []Piece
	rest := 0
	for _, m := range symbols.FindAllStringIndex(s, -1) {
		if m[0] > rest {
			parts = append(parts, Piece{Text: s[rest:m[0]]})
		}
		base, isDifference := strings.CutSuffix(s[m[0]:m[1]], "00")
		parts = append(parts, Piece{Text: base, Italic: true})
		if isDifference {
			parts = append(parts, Piece{Text: "00", Lowered: true})
		}
		rest = m[1]
	}
	if rest < len(s) {
		parts = append(parts, Piece{Text: s[rest:]})
	}
	return parts
}

// The size of a subscript and how far it hangs, in sizes of its line.
const (
	LoweredSize = 0.72
	LoweredDrop = 0.16
)

func spansOf(s string, size vg.Length, clr color.Color) []span {
	var parts []span
	for _, p := range Pieces(s) {
		switch {
		case p.Italic:
			parts = append(parts, span{p.Text, italic, size, clr, 0})
		case p.Lowered:
			parts = append(parts, span{p.Text, regular, LoweredSize * size, clr, LoweredDrop * size})
		default:
			parts = append(parts, span{p.Text, regular, size, clr, 0})
		}
	}
	return parts
}

// prose sets a line with its symbols and returns where it ends.
func (p *pen) prose(s string, size vg.Length, clr color.Color, a align, at vg.Point) vg.Length {
	parts := spansOf(s, size, clr)
	x := at.X + vg.Length(a)*spansWidth(parts)
	for _, s := range parts {
		p.text(s.text, s.cut, s.size, s.clr, left, vg.Point{X: x, Y: at.Y - s.drop})
		x += textWidth(face(s.cut, s.size), s.text)
	}
	return x
}

func spansWidth(parts []span) vg.Length {
	var w vg.Length
	for _, s := range parts {
		w += textWidth(face(s.cut, s.size), s.text)
	}
	return w
}

func (p *pen) line(sty draw.LineStyle, points ...vg.Point) {
	p.StrokeLines(sty, points)
}

func (p *pen) fillRect(c color.Color, r vg.Rectangle) {
	p.SetColor(c)
	p.Fill(r.Path())
}

func circle(at vg.Point, r vg.Length) vg.Path {
	var path vg.Path
	path.Move(vg.Point{X: at.X + r, Y: at.Y})
	path.Arc(at, r, 0, 2*math.Pi)
	path.Close()
	return path
}

// polygon closes a figure through the points.
func polygon(points ...vg.Point) vg.Path {
	var path vg.Path
	for i, pt := range points {
		if i == 0 {
			path.Move(pt)
			continue
		}
		path.Line(pt)
	}
	path.Close()
	return path
}

func (p *pen) outline(sty draw.LineStyle, path vg.Path) {
	p.SetLineStyle(sty)
	p.Stroke(path)
}

// rung is a circle filled with the wine's own colour.
func (p *pen) rung(at vg.Point, r vg.Length, fill color.Color) {
	path := circle(at, r)
	p.SetColor(fill)
	p.Fill(path)
	p.outline(solid(ink, thin), path)
}

// cross is the nearest point; the white beneath keeps it apart from the path.
func (p *pen) cross(at vg.Point) {
	const r = 1.2 * mm
	for _, sty := range []draw.LineStyle{solid(white, 2.8), solid(ink, strong)} {
		p.line(sty, vg.Point{X: at.X - r, Y: at.Y - r}, vg.Point{X: at.X + r, Y: at.Y + r})
		p.line(sty, vg.Point{X: at.X - r, Y: at.Y + r}, vg.Point{X: at.X + r, Y: at.Y - r})
	}
}

// diamond is the target, hollow.
func (p *pen) diamond(at vg.Point) {
	const r = 2.2 * mm
	path := polygon(vg.Point{X: at.X, Y: at.Y + r}, vg.Point{X: at.X + r, Y: at.Y},
		vg.Point{X: at.X, Y: at.Y - r}, vg.Point{X: at.X - r, Y: at.Y})
	p.outline(solid(ink, medium), path)
}

// square is a measured blend, hollow.
func (p *pen) square(at vg.Point) {
	const r = 0.8 * mm
	path := polygon(vg.Point{X: at.X - r, Y: at.Y - r}, vg.Point{X: at.X + r, Y: at.Y - r},
		vg.Point{X: at.X + r, Y: at.Y + r}, vg.Point{X: at.X - r, Y: at.Y + r})
	p.SetColor(white)
	p.Fill(path)
	p.outline(solid(ink, medium), path)
}

// errorBar runs from a to b, with a cap at each end.
func (p *pen) errorBar(a, b vg.Point) {
	sty := solid(ink, thin)
	p.line(sty, a, b)
	const half = 0.5 * mm
	d := vg.Point{X: half}
	if a.Y == b.Y {
		d = vg.Point{Y: half}
	}
	for _, end := range []vg.Point{a, b} {
		p.line(sty, end.Sub(d), end.Add(d))
	}
}

package reports

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// extent is a range of data along one axis.
type extent struct{ min, max float64 }

func emptyExtent() extent { return extent{math.Inf(1), math.Inf(-1)} }

func (e *extent) add(values ...float64) {
	for _, v := range values {
		e.min, e.max = math.Min(e.min, v), math.Max(e.max, v)
	}
}

func (e extent) empty() bool   { return e.min > e.max }
func (e extent) size() float64 { return e.max - e.min }

// atLeast widens e about its middle to a size; noise is not blown up to fill a
// panel. An empty extent becomes the one from 0.
func (e extent) atLeast(size float64) extent {
	if e.empty() {
		return extent{0, size}
	}
	if e.size() >= size {
		return e
	}
	mid := e.min + e.size()/2
	return extent{mid - size/2, mid + size/2}
}

// padded widens e by a share of its size at both ends.
func (e extent) padded(share float64) extent {
	pad := share * e.size()
	return extent{e.min - pad, e.max + pad}
}

// frame maps data to the page within a rectangle.
type frame struct {
	vg.Rectangle
	x, y extent
}

func (f frame) at(x, y float64) vg.Point {
	size := f.Size()
	return vg.Point{
		X: f.Min.X + size.X*vg.Length((x-f.x.min)/f.x.size()),
		Y: f.Min.Y + size.Y*vg.Length((y-f.y.min)/f.y.size()),
	}
}

func (f frame) holds(pt vg.Point) bool {
	const slack = 0.01
	return pt.X >= f.Min.X-slack && pt.X <= f.Max.X+slack && pt.Y >= f.Min.Y-slack && pt.Y <= f.Max.Y+slack
}

// lines strokes lines, cut at the frame.
func (f frame) lines(p *pen, sty draw.LineStyle, lines ...[]vg.Point) {
	c := draw.Canvas{Canvas: p.Canvas.Canvas, Rectangle: f.Rectangle}
	c.StrokeLines(sty, c.ClipLinesXY(lines...)...)
}

// fill fills a polygon, cut at the frame.
func (f frame) fill(p *pen, clr color.Color, points []vg.Point) {
	c := draw.Canvas{Canvas: p.Canvas.Canvas, Rectangle: f.Rectangle}
	if cut := c.ClipPolygonXY(points); len(cut) > 2 {
		c.FillPolygon(clr, cut)
	}
}

// step is the round distance (1, 2 or 5 times a power of ten) that divides size
// into about n parts.
func step(size float64, n int) float64 {
	raw := size / float64(n)
	base := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5} {
		if raw <= m*base*1.0000001 {
			return m * base
		}
	}
	return 10 * base
}

// ticks are the multiples of by within e.
func ticks(e extent, by float64) []float64 {
	var ts []float64
	last := math.Floor(e.max/by + 1e-9)
	for i := math.Ceil(e.min/by - 1e-9); i <= last; i++ {
		ts = append(ts, i*by)
	}
	return ts
}

const tickLength = 0.9 * mm

// grid draws the hairlines of an open frame, its left and bottom axis and its
// ticks; the labels are the caller's, who knows what is beneath.
func (f frame) grid(p *pen, xs, ys []float64) {
	for _, x := range xs {
		top := f.at(x, f.y.max)
		p.line(solid(hairline, hair), vg.Point{X: top.X, Y: f.Min.Y}, top)
	}
	for _, y := range ys {
		end := f.at(f.x.max, y)
		p.line(solid(hairline, hair), vg.Point{X: f.Min.X, Y: end.Y}, end)
	}
}

func (f frame) axes(p *pen, xs, ys []float64) {
	sty := solid(ink, thin)
	p.line(sty, vg.Point{X: f.Min.X, Y: f.Max.Y}, f.Min, vg.Point{X: f.Max.X, Y: f.Min.Y})
	for _, x := range xs {
		at := f.at(x, f.y.min)
		p.line(sty, at, vg.Point{X: at.X, Y: at.Y - tickLength})
	}
	for _, y := range ys {
		at := f.at(f.x.min, y)
		p.line(sty, at, vg.Point{X: at.X - tickLength, Y: at.Y})
	}
}

// yLabels writes the numbers left of the axis.
func (f frame) yLabels(p *pen, ys []float64, by float64) {
	for _, y := range ys {
		at := f.at(f.x.min, y)
		p.text(p.texts.number(y, by), regular, tickSize, ink, right,
			vg.Point{X: at.X - tickLength - 0.8*mm, Y: at.Y - capHeight*tickSize/2})
	}
}

// axisTitle sets an axis's title, centred at at, with a remark in grey; within the
// page's margin.
func (p *pen) axisTitle(title, remark string, at vg.Point) {
	title += " "
	words, note := spansOf(title, bodySize, ink), spansOf(remark, bodySize, quiet)
	wide := spansWidth(words) + spansWidth(note)
	at.X = min(at.X-wide/2, pageWide-margin-wide)
	at.X = p.prose(title, bodySize, ink, left, at)
	p.prose(remark, bodySize, quiet, left, at)
}

// tickRow is how far below the axis the first row of numbers stands.
const tickRow = tickLength + 0.8*mm + capHeight*tickSize

func (f frame) xLabels(p *pen, xs []float64, by float64) {
	for _, x := range xs {
		at := f.at(x, f.y.min)
		p.text(p.texts.number(x, by), regular, tickSize, ink, centre, vg.Point{X: at.X, Y: at.Y - tickRow})
	}
}

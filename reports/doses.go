package reports

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// dosePanel is a panel over the dose: L* or ΔE00.
type dosePanel struct {
	*LadderFigure
	frame
	shown []int
	value func(PathPoint) float64 // what the panel shows of a path
}

func (d *dosePanel) project(p PathPoint) vg.Point { return d.at(p.DoseMLPer100ML, d.value(p)) }

// doseExtent is the dose axis that both panels share, from 0 where the doses
// begin near it.
func (f *LadderFigure) doseExtent() extent {
	e := emptyExtent()
	for _, path := range [][]PathPoint{f.Curve, f.Predicted} {
		for _, p := range path {
			e.add(p.DoseMLPer100ML)
		}
	}
	for _, g := range f.Rungs {
		e.add(g.DoseMLPer100ML)
	}
	for _, m := range f.Measured {
		e.add(m.DoseMLPer100ML)
	}
	if f.Nearest != nil {
		e.add(f.Nearest.DoseMLPer100ML)
	}
	if e.empty() {
		return extent{0, 1}.padded(0.03)
	}
	if e.min < e.max/4 {
		e.min = 0
	}
	// A single dose still needs an axis to stand on: a tenth of it, at least 0.1.
	return e.atLeast(math.Max(0.1, e.max/10)).padded(0.03)
}

// newLightness is the panel of L*.
func newLightness(f *LadderFigure, r vg.Rectangle, shown []int) *dosePanel {
	y := emptyExtent()
	for _, p := range f.Curve {
		y.add(p.Lab.L-2*p.U[0], p.Lab.L+2*p.U[0])
	}
	for _, p := range f.Predicted {
		y.add(p.Lab.L)
	}
	for _, g := range f.Rungs {
		y.add(g.Lab.L)
	}
	for _, m := range f.Measured {
		y.add(m.Lab.L-2*m.U[0], m.Lab.L+2*m.U[0])
	}
	if f.Target != nil {
		y.add(f.Target.Lab.L)
	}
	if f.Nearest != nil {
		y.add(f.Nearest.Lab.L)
	}
	if y.empty() {
		y = extent{0, 100}
	}
	const least = 2 // of L*: noise stays small
	fr := frame{Rectangle: r, x: f.doseExtent(), y: y.atLeast(least).padded(0.08)}
	return &dosePanel{f, fr, shown, func(p PathPoint) float64 { return p.Lab.L }}
}

func (d *dosePanel) drawLightness(p *pen) {
	xs, _, ys, yby := d.tickMarks()
	d.grid(p, xs, ys)
	d.lightnessBand(p)
	if d.Target != nil {
		y := d.at(d.x.min, d.Target.Lab.L).Y
		p.line(toleranceFree, vg.Point{X: d.Min.X, Y: y}, vg.Point{X: d.Max.X, Y: y})
	}
	d.nearestLine(p)
	d.doseRanges(p)
	d.pathLines(p, d.frame, d.project)
	d.axes(p, xs, ys)
	d.yLabels(p, ys, yby)
	for _, i := range d.shown {
		g := d.Rungs[i]
		p.rung(d.at(g.DoseMLPer100ML, g.Lab.L), smallRung, rungFill(g))
	}
	for _, m := range d.Measured {
		p.errorBar(d.at(m.DoseMLPer100ML, m.Lab.L-2*m.U[0]), d.at(m.DoseMLPer100ML, m.Lab.L+2*m.U[0]))
		p.square(d.at(m.DoseMLPer100ML, m.Lab.L))
	}
	if d.Nearest != nil {
		p.cross(d.at(d.Nearest.DoseMLPer100ML, d.Nearest.Lab.L))
	}
	if d.Target != nil {
		p.diamond(d.at(d.x.max, d.Target.Lab.L))
	}
}

// smallRung is the radius of a rung where the panel is narrow.
const smallRung = 0.85 * mm

var toleranceFree = dashed(quiet, hair, 4, 1.5, 1, 1.5)

func (d *dosePanel) tickMarks() (xs []float64, xby float64, ys []float64, yby float64) {
	xby, yby = step(d.x.size(), 5), step(d.y.size(), 5)
	for _, x := range ticks(d.x, xby) {
		if x >= -1e-9 { // the margin left of dose 0 has no doses
			xs = append(xs, x)
		}
	}
	return xs, xby, ticks(extent{max(d.y.min, 0), d.y.max}, yby), yby
}

func (d *dosePanel) lightnessBand(p *pen) {
	if !d.uncertain() {
		return
	}
	line, points := projected(d.Curve, d.project)
	outline := make([]vg.Point, 2*len(line))
	for i, q := range points {
		outline[i] = d.at(q.DoseMLPer100ML, q.Lab.L+2*q.U[0])
		outline[len(outline)-1-i] = d.at(q.DoseMLPer100ML, q.Lab.L-2*q.U[0])
	}
	d.fill(p, band, outline)
}

// nearestLine ties the nearest dose together across the panels.
func (d *dosePanel) nearestLine(p *pen) {
	if d.Nearest == nil {
		return
	}
	x := d.at(d.Nearest.DoseMLPer100ML, 0).X
	p.line(dashed(quiet, hair, 1, 1.4), vg.Point{X: x, Y: d.Min.Y}, vg.Point{X: x, Y: d.Max.Y - bracketDrop})
}

// newDifference is the panel of ΔE00: from the target, or without one from the
// rung before.
func newDifference(f *LadderFigure, r vg.Rectangle, shown []int) *dosePanel {
	fr := frame{Rectangle: r, x: f.doseExtent()}
	d := &dosePanel{f, fr, shown, func(p PathPoint) float64 { return p.DeltaE00 }}
	switch {
	case f.Target != nil:
		d.y = extent{0, math.Min(d.largest(), f.cap())}
	case len(f.Rungs) > 1:
		for i := 1; i < len(f.Rungs); i++ {
			d.y.add(f.fromPrevious(i))
		}
	default:
		all := slices.Concat(f.Curve, f.Predicted)
		d.value = func(p PathPoint) float64 { return bare(all[0].Lab, p.Lab) }
		for _, p := range all {
			d.y.add(d.value(p))
		}
	}
	if f.Target == nil || !f.cut() {
		d.y.max = math.Max(1, d.y.max) * 1.08
	}
	if f.Target != nil {
		d.y.min = -rangesRoom * d.y.max
	}
	return d
}

// cap is the largest ΔE00 that the panel shows: the formula is meant for small
// differences, and around the tolerance is where the reader looks.
func (f *LadderFigure) cap() float64 {
	c := math.Max(10, 4*f.Target.Tolerance)
	if f.Nearest != nil {
		c = math.Max(c, 1.5*f.Nearest.DeltaE00)
	}
	return c
}

func (d *dosePanel) largest() float64 {
	largest := d.Target.Tolerance
	for _, path := range [][]PathPoint{d.Curve, d.Predicted} {
		for _, p := range path {
			largest = math.Max(largest, p.DeltaE00)
		}
	}
	for _, g := range d.Rungs {
		largest = math.Max(largest, bare(d.Target.Lab, g.Lab))
	}
	for _, m := range d.Measured {
		largest = math.Max(largest, bare(d.Target.Lab, m.Lab))
	}
	return largest
}

func (f *LadderFigure) fromPrevious(i int) float64 {
	return bare(f.Rungs[i-1].Lab, f.Rungs[i].Lab)
}

// cut reports whether the ΔE00 panel leaves larger differences out.
func (f *LadderFigure) cut() bool {
	d := &dosePanel{LadderFigure: f}
	return d.largest() > f.cap()
}

// rangesRoom is the share of a panel's height kept below ΔE00 0 for the ranges
// of doses.
const rangesRoom = 0.13

// doseRanges are the acceptable and nominal doses along the foot of the panel,
// in the strokes that mark them along the path.
func (d *dosePanel) doseRanges(p *pen) {
	y := d.Min.Y + 1.3*mm
	ends := func(r *[2]float64) []vg.Point {
		return []vg.Point{{X: d.at(r[0], 0).X, Y: y}, {X: d.at(r[1], 0).X, Y: y}}
	}
	if d.Acceptable != nil {
		d.lines(p, solid(stroke, footStroke), ends(d.Acceptable))
	}
	if d.Nominal != nil {
		const gap = footStroke/2 + 0.9
		d.lines(p, solid(quiet, thin), offset(ends(d.Nominal), gap), offset(ends(d.Nominal), -gap))
	}
}

// footStroke is the width of the acceptable range at the foot of a panel.
const footStroke vg.Length = 3.4

package reports

import (
	"math"

	"pourpath/colour/cie"
	"pourpath/colour/difference"

	"gonum.org/v1/plot/vg"
)

// bare is ΔE00 of two colours that were checked to be of one view.
func bare(a, b cie.Lab) float64 {
	return difference.DeltaE00(a.L, a.A, a.B, b.L, b.A, b.B)
}

// differenceTitle is the panel's, which says what ΔE00 is counted from.
func (f *LadderFigure) differenceTitle() string {
	switch {
	case f.Target != nil:
		return f.Texts.Ladder.FromTarget
	case len(f.Rungs) > 1:
		return f.Texts.Ladder.FromRung
	default:
		return f.Texts.Ladder.FromLowest
	}
}

func (d *dosePanel) drawDifference(p *pen) {
	xs, xby, ys, yby := d.tickMarks()
	d.grid(p, xs, ys)
	d.nearestLine(p)
	switch {
	case d.Target != nil:
		d.toTarget(p)
	case len(d.Rungs) > 1:
		d.toPrevious(p)
	default:
		d.pathLines(p, d.frame, d.project)
	}
	d.bracket(p)
	d.axes(p, xs, ys)
	d.yLabels(p, ys, yby)
	d.doseLabels(p, xs, xby)
}

func (d *dosePanel) toTarget(p *pen) {
	d.toleranceLine(p)
	d.doseRanges(p)
	d.pathLines(p, d.frame, d.project)
	for _, i := range d.shown {
		g := d.Rungs[i]
		if at := d.at(g.DoseMLPer100ML, bare(d.Target.Lab, g.Lab)); d.holds(at) {
			p.rung(at, smallRung, rungFill(g))
		}
	}
	for _, m := range d.Measured {
		if at := d.at(m.DoseMLPer100ML, bare(d.Target.Lab, m.Lab)); d.holds(at) {
			p.square(at)
		}
	}
	if d.Nearest != nil {
		p.cross(d.at(d.Nearest.DoseMLPer100ML, d.Nearest.DeltaE00))
	}
}

// toleranceLine labels its line at the end where the path leaves more room.
func (d *dosePanel) toleranceLine(p *pen) {
	t := d.Target.Tolerance
	if t == 0 {
		return
	}
	y := d.at(d.x.min, t).Y
	p.line(toleranceStyle, vg.Point{X: d.Min.X, Y: y}, vg.Point{X: d.Max.X, Y: y})
	words := Fill(p.texts.Ladder.ToleranceAt, "de", p.texts.plain(t))
	at := vg.Point{X: d.Min.X + 1.5*mm, Y: y + 0.8*mm}
	wide := textWidth(face(regular, footerSize), words)
	atRight := d.Max.X - 1.5*mm - wide
	if d.clearance(atRight, wide) > d.clearance(at.X, wide) {
		at.X = atRight
	}
	p.text(words, regular, footerSize, quiet, left, at)
}

// clearance is how far the path keeps from the tolerance, in ΔE00, along a
// stretch of the panel.
func (d *dosePanel) clearance(from, wide vg.Length) float64 {
	least := math.Inf(1)
	for _, q := range d.Curve {
		if x := d.project(q).X; x >= from && x <= from+wide {
			least = math.Min(least, math.Abs(q.DeltaE00-d.Target.Tolerance))
		}
	}
	return least
}

// bracketDrop is how far below the top of the panel the bracket stands.
const bracketDrop = 3.2 * mm

// bracket is the 95 % interval of the nearest dose, at the top of the panel
// where a path that comes near its target leaves room. An end beyond the axis
// has no cap.
func (d *dosePanel) bracket(p *pen) {
	if d.Nearest == nil || d.Nearest.Interval95 == nil {
		return
	}
	i := d.Nearest.Interval95
	const foot = 1.1 * mm
	y := d.Max.Y - bracketDrop
	lo, hi := d.at(i[0], 0).X, d.at(i[1], 0).X
	var points []vg.Point
	if lo >= d.Min.X {
		points = append(points, vg.Point{X: lo, Y: y - foot})
	}
	lo, hi = max(lo, d.Min.X), min(hi, d.Max.X)
	points = append(points, vg.Point{X: lo, Y: y}, vg.Point{X: hi, Y: y})
	if d.at(i[1], 0).X <= d.Max.X {
		points = append(points, vg.Point{X: hi, Y: y - foot})
	}
	p.line(solid(ink, medium), points...)
	p.text(p.texts.Ladder.Percent95, regular, footerSize, ink, centre, vg.Point{X: (lo + hi) / 2, Y: y + 0.9*mm})
}

// toPrevious shows each rung's step from the rung before as a stem.
func (d *dosePanel) toPrevious(p *pen) {
	var tops []vg.Point
	for i := 1; i < len(d.Rungs); i++ {
		tops = append(tops, d.at(d.Rungs[i].DoseMLPer100ML, d.fromPrevious(i)))
	}
	if len(d.shown) < len(d.Rungs) { // too many for stems
		d.lines(p, pathStyle, tops)
		return
	}
	for i, top := range tops {
		p.line(solid(quiet, thin), vg.Point{X: top.X, Y: d.at(0, 0).Y}, top)
		p.rung(top, smallRung, rungFill(d.Rungs[i+1]))
	}
}

// doseLabels writes both conventions of a dose under the axis: mL per 100 mL of
// base, and the share of the finished blend.
func (d *dosePanel) doseLabels(p *pen, xs []float64, by float64) {
	d.xLabels(p, xs, by)
	for _, x := range xs {
		at := d.at(x, d.y.min)
		p.text(d.percent(x), regular, footerSize, quiet, centre,
			vg.Point{X: at.X, Y: at.Y - tickRow - 2.9*mm})
	}
	p.axisTitle(p.texts.Ladder.DoseAxis, p.texts.Ladder.ShareAxis, vg.Point{X: d.Min.X + d.Size().X/2, Y: d.Min.Y - axisTitleDrop})
}

// axisTitleDrop is how far below the axis its title stands, in every panel.
const axisTitleDrop = tickRow + 7.2*mm

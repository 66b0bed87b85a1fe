package reports

import (
	"math"

	"pourpath/colour/difference"

	"gonum.org/v1/plot/vg"
)

// locus is the outline of the colours that are within tolerance of the target.
type locus struct {
	points    [][2]float64
	lightness float64
	words     string // of whose lightness that is
}

// locusPoints makes the outline smooth at the size of the panel.
const locusPoints = 120

// newLocus takes the outline at the nearest point's L*, where the path meets
// the tolerance, or at the target's own where there is none or it lies further
// off in L* alone than the tolerance.
func newLocus(f *LadderFigure) *locus {
	t := f.Target
	if t == nil || t.Tolerance == 0 {
		return nil
	}
	words := f.Texts.Ladder.OutlineOwn
	if f.Nearest != nil {
		l := f.Nearest.Lab.L
		if pts := difference.Locus(t.Lab, l, t.Tolerance, locusPoints); pts != nil {
			return &locus{pts, l, f.Texts.Ladder.OutlineNearest}
		}
		words = f.Texts.Ladder.OutlineOwnFar
	}
	pts := difference.Locus(t.Lab, t.Lab.L, t.Tolerance, locusPoints)
	if pts == nil {
		return nil
	}
	return &locus{pts, t.Lab.L, words}
}

// plane is the panel of a* and b*.
type plane struct {
	*LadderFigure
	abPlane
	locus *locus
	shown []int // the rungs that are drawn
	radii vg.Length
}

func newPlane(f *LadderFigure, r vg.Rectangle, l *locus) *plane {
	x, y := emptyExtent(), emptyExtent()
	for _, path := range [][]PathPoint{f.Curve, f.Predicted} {
		for _, p := range path {
			x.add(p.Lab.A)
			y.add(p.Lab.B)
		}
	}
	for _, g := range f.Rungs {
		x.add(g.Lab.A)
		y.add(g.Lab.B)
	}
	for _, m := range f.Measured {
		x.add(m.Lab.A-2*m.U[1], m.Lab.A+2*m.U[1])
		y.add(m.Lab.B-2*m.U[2], m.Lab.B+2*m.U[2])
	}
	if f.Target != nil {
		x.add(f.Target.Lab.A)
		y.add(f.Target.Lab.B)
	}
	if f.Nearest != nil {
		x.add(f.Nearest.Lab.A)
		y.add(f.Nearest.Lab.B)
	}
	wide := withLocus(x, y, l)
	if larger(wide[0], wide[1]) <= 1.5*math.Max(larger(x, y), leastPlane) {
		x, y = wide[0], wide[1] // the outline belongs in the picture unless it would dwarf the path
	}
	p := &plane{LadderFigure: f, locus: l, abPlane: abPlane{equalAxes(r, withNeutral(x, y))}}
	p.chooseRungs()
	return p
}

func larger(x, y extent) float64 { return math.Max(x.size(), y.size()) }

func withLocus(x, y extent, l *locus) [2]extent {
	if l != nil {
		for _, pt := range l.points {
			x.add(pt[0])
			y.add(pt[1])
		}
	}
	return [2]extent{x, y}
}

func (pl *plane) project(p PathPoint) vg.Point { return pl.at(p.Lab.A, p.Lab.B) }

// chooseRungs takes the largest circles that leave all rungs apart, or every
// 2nd, 5th, 10th rung and so on where even small ones overlap.
func (pl *plane) chooseRungs() {
	points := make([]vg.Point, len(pl.Rungs))
	for i, g := range pl.Rungs {
		points[i] = pl.at(g.Lab.A, g.Lab.B)
	}
	for _, r := range []vg.Length{1.35 * mm, 1.1 * mm, 0.85 * mm} {
		pl.radii = r
		if pl.shown = apart(points, 2*r); len(pl.shown) == len(points) {
			return
		}
	}
}

// apart are the indices of points at least gap apart: all, or a round stride of
// them and the last.
func apart(points []vg.Point, gap vg.Length) []int {
	for _, stride := range strides(len(points)) {
		var some []vg.Point
		for i := 0; i < len(points); i += stride {
			some = append(some, points[i])
		}
		kept := spaced(some, gap)
		if stride < len(points) && len(kept)*5 < len(some)*3 {
			continue // most would fall out: a longer stride keeps rounder doses
		}
		for i := range kept {
			kept[i] *= stride
		}
		return withLast(kept, points, gap)
	}
	return nil
}

func withLast(kept []int, points []vg.Point, gap vg.Length) []int {
	last := len(points) - 1
	if kept[len(kept)-1] == last {
		return kept
	}
	if len(kept) > 1 && distance(points[kept[len(kept)-1]], points[last]) < gap {
		kept = kept[:len(kept)-1]
	}
	return append(kept, last)
}

// strides are 1, 2, 5, 10, 20, 50 and so on, up to the first that is at least n.
func strides(n int) []int {
	var ss []int
	for base := 1; n > 0; base *= 10 {
		for _, m := range []int{1, 2, 5} {
			ss = append(ss, m*base)
			if m*base >= n {
				return ss
			}
		}
	}
	return ss
}

func (pl *plane) draw(p *pen) {
	pl.ground(p)
	pl.uncertaintyBand(p)
	pl.pathStrokes(p, pl.frame, pl.project)
	pl.tolerance(p)
	pl.scales(p)
	for _, i := range pl.shown {
		g := pl.Rungs[i]
		p.rung(pl.at(g.Lab.A, g.Lab.B), pl.radii, rungFill(g))
	}
	pl.measured(p)
	if pl.Nearest != nil {
		p.cross(pl.at(pl.Nearest.Lab.A, pl.Nearest.Lab.B))
	}
	if pl.Target != nil {
		p.diamond(pl.at(pl.Target.Lab.A, pl.Target.Lab.B))
	}
	pl.labels(p)
}

// uncertaintyBand is 2 standard uncertainties to both sides of the path. The
// correlation of a* and b* is not known here, so the band takes the largest it
// allows: |n_a| u_a + |n_b| u_b for the unit normal n.
func (pl *plane) uncertaintyBand(p *pen) {
	line, points := projected(pl.Curve, pl.project)
	unit := vg.Length(float64(pl.Size().X) / pl.x.size())
	ns := normals(line)
	outline := make([]vg.Point, 2*len(line))
	for i, pt := range line {
		u := points[i].U
		d := 2 * unit * vg.Length(math.Abs(float64(ns[i].X))*u[1]+math.Abs(float64(ns[i].Y))*u[2])
		outline[i] = pt.Add(ns[i].Scale(d))
		outline[len(outline)-1-i] = pt.Sub(ns[i].Scale(d))
	}
	if pl.uncertain() {
		pl.fill(p, band, outline)
	}
}

func (pl *plane) tolerance(p *pen) {
	if pl.locus == nil {
		return
	}
	outline := make([]vg.Point, 0, len(pl.locus.points)+1)
	for _, pt := range pl.locus.points {
		outline = append(outline, pl.at(pt[0], pt[1]))
	}
	pl.lines(p, toleranceStyle, append(outline, outline[0]))
}

// leftStyle ties a measured blend to its dose on the path: what is left unexplained.
var leftStyle = solid(quiet, 2.2)

func (pl *plane) measured(p *pen) {
	for _, m := range pl.Measured {
		if m.OnPath != nil {
			p.line(leftStyle, pl.at(m.Lab.A, m.Lab.B), pl.at(m.OnPath.A, m.OnPath.B))
		}
		p.errorBar(pl.at(m.Lab.A-2*m.U[1], m.Lab.B), pl.at(m.Lab.A+2*m.U[1], m.Lab.B))
		p.errorBar(pl.at(m.Lab.A, m.Lab.B-2*m.U[2]), pl.at(m.Lab.A, m.Lab.B+2*m.U[2]))
		p.square(pl.at(m.Lab.A, m.Lab.B))
	}
}

// labels writes each shown rung's mL beside it and the hues at the edge, where
// there is room.
func (pl *plane) labels(p *pen) {
	l := pl.obstacles()
	points := make([]vg.Point, len(pl.shown))
	for i, k := range pl.shown {
		points[i] = pl.at(pl.Rungs[k].Lab.A, pl.Rungs[k].Lab.B)
	}
	ns := normals(points)
	for _, i := range byRoundness(len(points), pl.shown) {
		text := p.texts.rungDose(pl.Rungs[pl.shown[i]].DoseMLPer100ML)
		if at, leader, ok := l.place(text, points[i], ns[i], pl.radii); ok {
			if leader != nil {
				p.line(solid(quiet, hair), leader...)
			}
			p.text(text, regular, tickSize, ink, left, at)
		}
	}
	pl.hues(p, l)
}

package reports

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// labeller finds room for labels in a panel.
type labeller struct {
	within vg.Rectangle
	taken  []vg.Rectangle // marks and labels that a label must not touch
	lines  []vg.Point     // points of lines that a label must not cross
}

// obstacles are everything in the plane that a label would hide.
func (pl *plane) obstacles() *labeller {
	l := &labeller{within: pl.Rectangle}
	for _, i := range pl.shown {
		l.mark(pl.at(pl.Rungs[i].Lab.A, pl.Rungs[i].Lab.B), pl.radii, pl.radii)
	}
	for _, m := range pl.Measured {
		at := pl.at(m.Lab.A, m.Lab.B)
		reach := pl.at(m.Lab.A+2*m.U[1], m.Lab.B+2*m.U[2]).Sub(at)
		l.mark(at, reach.X, mm)
		l.mark(at, mm, reach.Y)
	}
	if pl.Target != nil {
		l.mark(pl.at(pl.Target.Lab.A, pl.Target.Lab.B), 2.2*mm, 2.2*mm)
	}
	if pl.Nearest != nil {
		l.mark(pl.at(pl.Nearest.Lab.A, pl.Nearest.Lab.B), 1.2*mm, 1.2*mm)
	}
	for _, path := range [][]PathPoint{pl.Curve, pl.Predicted} {
		line, _ := projected(path, pl.project)
		l.line(line)
	}
	if pl.locus != nil {
		var outline []vg.Point
		for _, pt := range pl.locus.points {
			outline = append(outline, pl.at(pt[0], pt[1]))
		}
		l.line(outline)
	}
	return l
}

// mark takes the room of a mark at at that reaches x and y to each side.
func (l *labeller) mark(at vg.Point, x, y vg.Length) {
	d := vg.Point{X: x, Y: y}
	l.taken = append(l.taken, vg.Rectangle{Min: at.Sub(d), Max: at.Add(d)})
}

// line takes the points of a line, no further apart than a label is high.
func (l *labeller) line(points []vg.Point) {
	const gap = 0.5 * mm
	for i, pt := range points {
		l.lines = append(l.lines, pt)
		if i == 0 {
			continue
		}
		prev := points[i-1]
		n := int(math.Ceil(float64(distance(prev, pt) / gap)))
		for k := 1; k < n; k++ {
			l.lines = append(l.lines, prev.Add(pt.Sub(prev).Scale(vg.Length(k)/vg.Length(n))))
		}
	}
}

// place finds room for the label of a mark at at, whose path runs square to n:
// beside the path, above before below, else turned aside, else further out with
// a leader. It returns where the text starts.
func (l *labeller) place(text string, at, n vg.Point, radius vg.Length) (start vg.Point, leader []vg.Point, ok bool) {
	if n.Y < 0 || (n.Y == 0 && n.X < 0) {
		n = n.Scale(-1)
	}
	w, h := textWidth(face(regular, tickSize), text), capHeight*tickSize
	bearing := math.Atan2(float64(n.Y), float64(n.X))
	for _, out := range []vg.Length{0.7 * mm, 2.6 * mm, 5 * mm} {
		for _, turn := range []float64{0, 180, 35, -35, 145, -145, 70, -70, 110, -110} {
			sin, cos := math.Sincos(bearing + turn*math.Pi/180)
			dir := vg.Point{X: vg.Length(cos), Y: vg.Length(sin)}
			// The box touches the circle of radius+out from outside.
			reach := radius + out + boxReach(dir, w, h)
			mid := at.Add(dir.Scale(reach))
			if !l.take(mid, w, h) {
				continue
			}
			if out > mm {
				leader = []vg.Point{at.Add(dir.Scale(radius)), at.Add(dir.Scale(radius + out - 0.4*mm))}
			}
			return vg.Point{X: mid.X - w/2, Y: mid.Y - h/2}, leader, true
		}
	}
	return vg.Point{}, nil, false
}

// exactly takes the room around mid for a text, if it is free.
func (l *labeller) exactly(text string, size vg.Length, mid vg.Point) (start vg.Point, ok bool) {
	w, h := textWidth(face(regular, size), text), capHeight*size
	return vg.Point{X: mid.X - w/2, Y: mid.Y - h/2}, l.take(mid, w, h)
}

// boxReach is the distance from a box's centre to its edge along dir.
func boxReach(dir vg.Point, w, h vg.Length) vg.Length {
	x, y := math.Abs(float64(dir.X)), math.Abs(float64(dir.Y))
	return vg.Length(math.Min(float64(w)/2/math.Max(x, 1e-9), float64(h)/2/math.Max(y, 1e-9)))
}

func (l *labeller) take(mid vg.Point, w, h vg.Length) bool {
	const air = 0.35 * mm
	half := vg.Point{X: w/2 + air, Y: h/2 + air}
	box := vg.Rectangle{Min: mid.Sub(half), Max: mid.Add(half)}
	if box.Min.X < l.within.Min.X || box.Max.X > l.within.Max.X || box.Min.Y < l.within.Min.Y || box.Max.Y > l.within.Max.Y {
		return false
	}
	for _, t := range l.taken {
		if box.Min.X < t.Max.X && t.Min.X < box.Max.X && box.Min.Y < t.Max.Y && t.Min.Y < box.Max.Y {
			return false
		}
	}
	for _, pt := range l.lines {
		if pt.X > box.Min.X && pt.X < box.Max.X && pt.Y > box.Min.Y && pt.Y < box.Max.Y {
			return false
		}
	}
	l.taken = append(l.taken, box)
	return true
}

// byRoundness orders n labels by how much a reader would miss them: the ends
// first, then those of the roundest rungs.
func byRoundness(n int, rungs []int) []int {
	order := make([]int, n)
	round := make([]int, n)
	for i := range order {
		order[i] = i
		for _, s := range strides(rungs[n-1] + 1) {
			if rungs[i]%s == 0 {
				round[i] = s
			}
		}
		if i == n-1 {
			round[i] = math.MaxInt
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return round[b] - round[a] })
	return order
}

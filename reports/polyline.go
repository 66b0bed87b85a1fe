package reports

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// thinGap is closer than two points of a path need to be on the page, so that a
// dense path costs no more than the page can show.
const thinGap = 0.2 * mm

// spaced returns the indices of points at least gap apart, the first and the
// last among them.
func spaced(points []vg.Point, gap vg.Length) []int {
	var kept []int
	for i, pt := range points {
		if len(kept) == 0 || distance(pt, points[kept[len(kept)-1]]) >= gap {
			kept = append(kept, i)
		}
	}
	if last := len(points) - 1; last >= 0 && kept[len(kept)-1] != last {
		if len(kept) > 1 {
			kept = kept[:len(kept)-1]
		}
		kept = append(kept, last)
	}
	return kept
}

// projected puts a path on the page, thinned, with the points it kept.
func projected(path []PathPoint, project func(PathPoint) vg.Point) ([]vg.Point, []PathPoint) {
	all := make([]vg.Point, len(path))
	for i, p := range path {
		all[i] = project(p)
	}
	kept := spaced(all, thinGap)
	line, points := make([]vg.Point, len(kept)), make([]PathPoint, len(kept))
	for i, k := range kept {
		line[i], points[i] = all[k], path[k]
	}
	return line, points
}

func distance(a, b vg.Point) vg.Length {
	return vg.Length(math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)))
}

// normals are the unit normals of a line at its points, left of its direction;
// upwards where the line has no extent.
func normals(line []vg.Point) []vg.Point {
	ns := make([]vg.Point, len(line))
	for i := range line {
		a, b := line[max(i-1, 0)], line[min(i+1, len(line)-1)]
		d := distance(a, b)
		if d == 0 {
			ns[i] = vg.Point{Y: 1}
			continue
		}
		ns[i] = vg.Point{X: -(b.Y - a.Y) / d, Y: (b.X - a.X) / d}
	}
	return ns
}

// offset is a line moved sideways by d.
func offset(line []vg.Point, d vg.Length) []vg.Point {
	moved := make([]vg.Point, len(line))
	for i, n := range normals(line) {
		moved[i] = line[i].Add(n.Scale(d))
	}
	return moved
}

// part is the piece of a path between two doses, its ends interpolated.
func part(points []PathPoint, lo, hi float64) []PathPoint {
	var piece []PathPoint
	for i, p := range points {
		if i > 0 {
			prev := points[i-1]
			for _, cut := range []float64{lo, hi} {
				if prev.DoseMLPer100ML < cut && cut < p.DoseMLPer100ML {
					piece = append(piece, between(prev, p, cut))
				}
			}
		}
		if p.DoseMLPer100ML >= lo && p.DoseMLPer100ML <= hi {
			piece = append(piece, p)
		}
	}
	return piece
}

// between interpolates two points of a path linearly at a dose; the path is
// dense, and the piece is drawn, not reported.
func between(a, b PathPoint, dose float64) PathPoint {
	t := (dose - a.DoseMLPer100ML) / (b.DoseMLPer100ML - a.DoseMLPer100ML)
	mix := func(x, y float64) float64 { return x + t*(y-x) }
	p := a
	p.DoseMLPer100ML = dose
	p.Lab.L, p.Lab.A, p.Lab.B = mix(a.Lab.L, b.Lab.L), mix(a.Lab.A, b.Lab.A), mix(a.Lab.B, b.Lab.B)
	p.DeltaE00 = mix(a.DeltaE00, b.DeltaE00)
	return p
}

package reports

import (
	"math"
	"strconv"

	"gonum.org/v1/plot/vg"
)

// abPlane is a panel of a* to the right and b* up, at one scale.
type abPlane struct{ frame }

// leastPlane is the least range of a* and b*: about the error of a good
// instrument still looks small in it.
const leastPlane = 4

// withNeutral takes the neutral point in where that costs little room: hue and
// chroma are read from there.
func withNeutral(x, y extent) [2]extent {
	wideX, wideY := x, y
	wideX.add(0)
	wideY.add(0)
	if x.empty() || larger(wideX, wideY) <= 1.4*larger(x, y) {
		return [2]extent{wideX, wideY}
	}
	return [2]extent{x, y}
}

// equalAxes fits both extents into r at one scale: a millimetre is the same
// distance in a* and in b*, or hue and chroma could not be read.
func equalAxes(r vg.Rectangle, e [2]extent) frame {
	x, y := e[0].atLeast(leastPlane).padded(0.07), e[1].atLeast(leastPlane).padded(0.07)
	w, h := float64(r.Size().X), float64(r.Size().Y)
	scale := math.Max(x.size()/w, y.size()/h)
	return frame{Rectangle: r, x: x.atLeast(scale * w), y: y.atLeast(scale * h)}
}

// ground is what lies beneath everything: the grid, and the hues every 30° from
// the neutral point outwards.
func (pl abPlane) ground(p *pen) {
	_, xs, ys := pl.ticks()
	pl.grid(p, xs, ys)
	reach := math.Hypot(math.Max(math.Abs(pl.x.min), math.Abs(pl.x.max)), math.Max(math.Abs(pl.y.min), math.Abs(pl.y.max)))
	for h := 0; h < 360; h += 30 {
		sin, cos := math.Sincos(float64(h) * math.Pi / 180)
		pl.lines(p, dashed(hairline, thin, 0.8, 1.4), []vg.Point{pl.at(0, 0), pl.at(reach*cos, reach*sin)})
	}
}

func (pl abPlane) ticks() (by float64, xs, ys []float64) {
	by = step(pl.x.size(), 7)
	return by, ticks(pl.x, by), ticks(pl.y, by)
}

// scales are both axes with their numbers and titles.
func (pl abPlane) scales(p *pen) {
	by, xs, ys := pl.ticks()
	pl.axes(p, xs, ys)
	pl.xLabels(p, xs, by)
	pl.yLabels(p, ys, by)
	p.axisTitle("a*", p.texts.Shared.GreenerRedder, vg.Point{X: pl.Min.X + pl.Size().X/2, Y: pl.Min.Y - tickRow - 3.6*mm})
	at := vg.Point{X: pl.Min.X - 7.5*mm, Y: pl.Min.Y + pl.Size().Y/2}
	p.prose("b*", bodySize, ink, right, at)
	p.text(p.texts.Shared.Yellower, regular, footerSize, quiet, right, vg.Point{X: at.X, Y: at.Y + 3.2*mm})
	p.text(p.texts.Shared.Bluer, regular, footerSize, quiet, right, vg.Point{X: at.X, Y: at.Y - 3.2*mm})
}

// hues writes the angles of the spokes at the edge, where there is room.
func (pl abPlane) hues(p *pen, l *labeller) {
	for h := 0; h < 360; h += 30 {
		if pt, ok := pl.exit(float64(h)); ok {
			text := strconv.Itoa(h) + "°"
			if at, ok := l.exactly(text, footerSize, pt); ok {
				p.text(text, regular, footerSize, quiet, left, at)
			}
		}
	}
}

// shortSpoke is the length below which a spoke's label would crowd the others
// around the neutral point.
const shortSpoke = 16 * mm

// exit is the centre of a hue's label: where its spoke leaves the frame, less a
// margin. It reports false where the spoke does not cross the frame there, or is
// short.
func (pl abPlane) exit(hue float64) (vg.Point, bool) {
	sin, cos := math.Sincos(hue * math.Pi / 180)
	inner := frame{Rectangle: pl.Rectangle, x: pl.x.padded(-0.04), y: pl.y.padded(-0.03)}
	t := math.Inf(1)
	for _, edge := range [][2]float64{{inner.x.min, cos}, {inner.x.max, cos}, {inner.y.min, sin}, {inner.y.max, sin}} {
		if s := edge[0] / edge[1]; s > 0 && !math.IsInf(s, 0) {
			a, b := s*cos, s*sin
			const slack = 1e-9
			onEdge := a >= inner.x.min-slack && a <= inner.x.max+slack && b >= inner.y.min-slack && b <= inner.y.max+slack
			if onEdge && (math.IsInf(t, 1) || s > t) {
				t = s
			}
		}
	}
	end := pl.at(t*cos, t*sin)
	if math.IsInf(t, 1) || distance(end, pl.at(0, 0)) < shortSpoke {
		return vg.Point{}, false
	}
	return end, true
}

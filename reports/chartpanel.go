package reports

import (
	"cmp"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// chartPanel is one panel over the axis of lots.
type chartPanel struct {
	frame
	heading string
	high    vg.Length
	top     vg.Length // from the top of the page
	floor   bool      // the quantity is never negative: the panel begins at 0

	at      []int     // places of lots in the series, from 0, in order
	values  []float64 // one each of at
	leftOut []chartPoint
	levels  []chartLevel
	signals []chartSignal
	// base is the place after which lots are no part of the base period; -1 where
	// all are.
	base int
}

// chartPoint is a lot beside the line. One without a value lies on the axis.
type chartPoint struct {
	at      int
	value   float64
	unknown bool
}

// chartSignal is a signal on a panel.
type chartSignal struct {
	number int   // in the words beneath; 0 where it is not told there
	at     int   // where it rang
	points []int // that make it
	single bool  // a point beyond a limit
	band   bool  // the points are joined by a broad stroke
}

// chartLevel is a line across the panel.
type chartLevel struct {
	words  string
	values []float64 // one for all, or one each point
	style  draw.LineStyle
	spec   bool // of the specification
	digits int
}

func (l chartLevel) last() float64 { return l.values[len(l.values)-1] }

// Styles of the lines across a chart; each has its name beside it.
var (
	centreStyle  = solid(ink, thin)
	actionStyle  = dashed(ink, medium, 6, 2.4)
	warningStyle = dashed(quiet, thin, 1.2, 1.8)
	specStyle    = dashed(ink, strong, 9, 2, 1.2, 2)
	seriesStyle  = solid(quiet, hair)
	patternStyle = solid(stroke, 4)
)

// wideSpec is how many times the chart's own range the specification may take up
// before it is left to words, as it would flatten the chart.
const wideSpec = 6

// scale decides what the panel reaches.
func (pl *chartPanel) scale(lots int) {
	y := emptyExtent()
	if pl.floor {
		y.add(0)
	}
	y.add(pl.values...)
	for _, l := range pl.levels {
		if !l.spec {
			y.add(l.values...)
		}
	}
	own := y
	for _, l := range pl.levels {
		if l.spec {
			y.add(l.values...)
		}
	}
	if own.size() > 0 && y.size() > wideSpec*own.size() {
		y = own
	}
	if y.size() == 0 {
		y = y.atLeast(max(1e-3, abs(y.min)/10))
	}
	out := y
	for _, k := range pl.leftOut {
		if !k.unknown {
			out.add(k.value)
		}
	}
	if out.size() <= 2*y.size() {
		y = out
	}
	y = y.padded(0.06)
	if pl.floor {
		y.min = 0
	}
	pl.x, pl.y = extent{0.5, float64(lots) + 0.5}, y
}

// reaches reports whether a value is on the panel.
func (pl *chartPanel) reaches(v float64) bool { return v >= pl.y.min && v <= pl.y.max }

func abs(v float64) float64 { return max(v, -v) }

func (pl *chartPanel) lot(at int, value float64) vg.Point { return pl.frame.at(float64(at+1), value) }

func (pl *chartPanel) draw(p *pen) {
	by := step(pl.y.size(), int(pl.high/(9*mm)))
	ys := ticks(pl.y, by)
	pl.grid(p, nil, ys)
	line := make([]vg.Point, len(pl.at))
	value := make(map[int]vg.Point, len(pl.at))
	for i, at := range pl.at {
		line[i] = pl.lot(at, pl.values[i])
		value[at] = line[i]
	}
	dense := pl.dense()
	for _, s := range pl.signals {
		if s.band && !dense {
			pl.lines(p, patternStyle, pointsOf(value, s.points))
		}
	}
	pl.baseEnd(p)
	if !dense {
		pl.drawLevels(p)
		pl.lines(p, seriesStyle, line)
	}
	r := pl.radius()
	for _, pt := range line {
		p.SetColor(ink)
		p.Fill(circle(pt, r))
	}
	if dense {
		pl.drawLevels(p) // else the lots would hide them
	}
	pl.drawLeftOut(p, r)
	pl.drawSignals(p, value, line)
	pl.axes(p, nil, ys)
	pl.yLabels(p, ys, by)
	pl.levelLabels(p)
}

// radius is that of a lot's dot: thin where there are many.
func (pl *chartPanel) radius() vg.Length {
	gap := pl.Size().X / vg.Length(pl.x.size())
	return min(0.65*mm, max(0.2*mm, 0.3*gap))
}

// dense reports whether lots are too close for a line from one to the next.
func (pl *chartPanel) dense() bool { return chartWide/vg.Length(pl.x.size()) < 0.3*mm }

func (pl *chartPanel) drawLevels(p *pen) {
	for _, l := range pl.levels {
		pl.level(p, l)
	}
}

func pointsOf(value map[int]vg.Point, at []int) []vg.Point {
	var line []vg.Point
	for _, k := range at {
		line = append(line, value[k])
	}
	return line
}

// baseEnd is a line after the base period.
func (pl *chartPanel) baseEnd(p *pen) {
	if pl.base < 0 {
		return
	}
	x := pl.frame.at(float64(pl.base)+1.5, pl.y.min).X
	p.line(dashed(quiet, hair, 0.8, 1.6), vg.Point{X: x, Y: pl.Min.Y}, vg.Point{X: x, Y: pl.Max.Y})
	words := p.texts.Chart.BasePeriod
	start := x - 0.8*mm - textWidth(face(regular, footerSize), words)
	if start > margin+6*mm+spansWidth(spansOf(pl.heading, bodySize, ink)) { // clear of the heading
		p.text(words, regular, footerSize, quiet, left, vg.Point{X: start, Y: pl.Max.Y + 0.5*mm})
	}
}

// level draws a line across; one with a value each point is a staircase, each
// step about its lot.
func (pl *chartPanel) level(p *pen, l chartLevel) {
	if len(l.values) == 1 {
		y := pl.frame.at(0, l.values[0]).Y
		pl.lines(p, l.style, []vg.Point{{X: pl.Min.X, Y: y}, {X: pl.Max.X, Y: y}})
		return
	}
	var line []vg.Point
	for i, v := range l.values {
		from, to := 0.5, pl.x.max
		if i > 0 {
			from = (float64(pl.at[i-1]) + float64(pl.at[i]) + 2) / 2
		}
		if i+1 < len(pl.at) {
			to = (float64(pl.at[i]) + float64(pl.at[i+1]) + 2) / 2
		}
		if n := len(line); n > 0 && i > 0 && l.values[i-1] == v {
			line[n-1] = pl.frame.at(to, v)
			continue
		}
		line = append(line, pl.frame.at(from, v), pl.frame.at(to, v))
	}
	pl.lines(p, l.style, line)
}

// drawLeftOut marks lots that count in no chart: hollow, or a hollow arrow at the
// edge where the panel does not reach them.
func (pl *chartPanel) drawLeftOut(p *pen, r vg.Length) {
	for _, k := range pl.leftOut {
		v := k.value
		if k.unknown {
			v = pl.y.min
		}
		at := pl.lot(k.at, min(max(v, pl.y.min), pl.y.max))
		switch {
		case !k.unknown && v > pl.y.max:
			p.arrow(at, 1)
		case !k.unknown && v < pl.y.min:
			p.arrow(at, -1)
		default:
			p.hollow(at, max(r, 0.5*mm)+0.15*mm)
		}
	}
}

// drawSignals marks where signals rang, with their numbers where there is room.
func (pl *chartPanel) drawSignals(p *pen, value map[int]vg.Point, line []vg.Point) {
	size := pl.radius() + 0.4*mm
	l := &labeller{within: pl.Rectangle}
	for _, s := range pl.signals {
		at := value[s.at]
		l.mark(at, size, size)
		if s.single {
			p.beyond(at, size)
		} else {
			p.pattern(at, size)
		}
	}
	for _, k := range pl.levels {
		if len(k.values) == 1 {
			y := pl.frame.at(0, k.values[0]).Y
			l.line([]vg.Point{{X: pl.Min.X, Y: y}, {X: pl.Max.X, Y: y}})
		}
	}
	if !pl.dense() {
		l.line(line)
	}
	for _, s := range p.texts.numbered(pl.signals) {
		if at, leader, ok := l.place(s.text, value[s.at], vg.Point{Y: 1}, 1.3*size); ok {
			if leader != nil {
				p.line(solid(quiet, hair), leader...)
			}
			p.text(s.text, bold, tickSize, ink, left, at)
		}
	}
}

// numberedAt are the numbers of the signals that rang at one lot.
type numberedAt struct {
	at   int
	text string
}

func (t *Texts) numbered(signals []chartSignal) []numberedAt {
	var out []numberedAt
	for _, s := range signals {
		if s.number == 0 {
			continue
		}
		text := t.whole(s.number)
		if i := slices.IndexFunc(out, func(n numberedAt) bool { return n.at == s.at }); i >= 0 {
			out[i].text += ", " + text
			continue
		}
		out = append(out, numberedAt{s.at, text})
	}
	slices.SortStableFunc(out, func(a, b numberedAt) int { return cmp.Compare(a.at, b.at) })
	return out
}

package reports

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"gonum.org/v1/plot/vg"
)

// HistoryFigure is the picture of a wine's readings over time: intensity, tint, L*, a*
// and b* of each, against when it was taken.
type HistoryFigure struct {
	Title string // headline; "Readings over time" with the name when empty
	Name  string // of the wine; may be empty
	// Points are 1 to 2,000 readings, in any order.
	Points []HistoryPoint
	// Archived and Colourless count readings that are not drawn: they were archived,
	// or are no colour of a wine.
	Archived, Colourless int

	Conditions string // that L*, a*, b* hold under; a sentence, may be empty
	Version    string // version of the program, for the footer
}

// HistoryPoint is one reading. Values are intensity, tint, L*, a*, b* in this order,
// with their standard uncertainties; NaN is a value that cannot be had.
type HistoryPoint struct {
	At         time.Time
	Values, U  [5]float64
	Superseded bool // a correction has taken its place
}

// The quantities of a history, and the least range that each panel shows, so that
// noise does not look like change.
var historyPanels = [5]struct {
	name  string
	least float64
}{
	{"Intensity (A420 + A520 + A620), per 10 mm", 0.02}, {"Tint (A420/A520)", 0.05}, {"L*", 1}, {"a*", 1}, {"b*", 1},
}

const (
	mostHistoryPoints = 2000
	historyHigh       = 22 * mm // of each panel
	historyTicks      = 8       // dates along the axis, at most
)

// historySheet is a HistoryFigure with every place decided.
type historySheet struct {
	leaf
	f      *HistoryFigure
	frames [5]frame
	times  []timeTick
}

// Drawing lays the figure out. Errors: its faults, up to ten, each with its place.
func (f HistoryFigure) Drawing() (*Drawing, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	s := &historySheet{f: f.cleaned()}
	s.head(s.f.Title, s.f.sentences()...)
	s.legend = legendRows(s.f.legend())
	s.foot(s.f.footer()...)
	s.high = s.leaf.panels + 5*historyHigh + 4*chartGap + axisTitleDrop + 3*mm + vg.Length(len(s.legend))*legendRow + 2*mm + s.footHigh()
	x := emptyExtent()
	for _, p := range s.f.Points {
		x.add(daysOf(p.At))
	}
	x = x.atLeast(4).padded(0.04)
	s.times = timeTicks(x, historyTicks)
	for i := range s.frames {
		s.frames[i] = frame{
			Rectangle: s.box(chartLeft, s.leaf.panels+vg.Length(i)*(historyHigh+chartGap), bodyWide+margin-chartLeft, historyHigh),
			x:         x, y: s.f.extent(i),
		}
	}
	return &Drawing{title: s.f.Title, described: clean(strings.Join(s.f.sentences(), " ")), high: s.high, paint: s.draw}, nil
}

func (f HistoryFigure) check() error {
	c := &checker{}
	for where, s := range map[string]string{"title": f.Title, "name": f.Name, "conditions": f.Conditions, "version": f.Version} {
		c.text(where, s)
	}
	if n := len(f.Points); n < 1 || n > mostHistoryPoints {
		c.fault("points", "%d: want 1 to %d", n, mostHistoryPoints)
	}
	if f.Archived < 0 || f.Colourless < 0 {
		c.fault("left out", "%d and %d: a count is not below 0", f.Archived, f.Colourless)
	}
	for i, p := range f.Points {
		where := fmt.Sprintf("point %d", i)
		if y := p.At.Year(); y < 1900 || y > 2300 {
			c.fault(where, "a time in the year %d: want 1900 to 2300", y)
		}
		for q := range p.Values {
			if !math.IsNaN(p.Values[q]) {
				c.within(where, -maxSpectrumA, maxSpectrumA, p.Values[q])
			}
			if !math.IsNaN(p.U[q]) {
				c.within(where+" uncertainty", 0, maxSpectrumA, p.U[q])
			}
		}
	}
	return errors.Join(c.faults...)
}

func (f HistoryFigure) cleaned() *HistoryFigure {
	f.Title, f.Name, f.Conditions, f.Version = clean(f.Title), clean(f.Name), clean(f.Conditions), clean(f.Version)
	if f.Title == "" {
		f.Title = "Readings over time"
		if f.Name != "" {
			f.Title += ": " + f.Name
		}
	}
	return &f
}

// spread is how far a point's bar reaches, two standard uncertainties; 0 where none
// is known.
func (p HistoryPoint) spread(q int) float64 {
	if math.IsNaN(p.U[q]) {
		return 0
	}
	return 2 * p.U[q]
}

func (f *HistoryFigure) extent(q int) extent {
	e := emptyExtent()
	for _, p := range f.Points {
		if v := p.Values[q]; !math.IsNaN(v) {
			e.add(v-p.spread(q), v+p.spread(q))
		}
	}
	return e.atLeast(historyPanels[q].least).padded(0.08)
}

func (s *historySheet) draw(p *pen) {
	s.drawHeader(p)
	last := len(s.frames) - 1
	for q, fr := range s.frames {
		by := step(fr.y.size(), 6)
		ys := ticks(fr.y, by)
		fr.grid(p, nil, ys)
		for _, superseded := range []bool{true, false} { // those that count on top
			for _, point := range s.f.Points {
				if point.Superseded == superseded && !math.IsNaN(point.Values[q]) {
					s.point(p, fr, q, point)
				}
			}
		}
		fr.axes(p, nil, ys)
		fr.yLabels(p, ys, by)
		fr.timeAxis(p, s.times, q == last)
		p.heading(string(rune('A'+q)), historyPanels[q].name, fr, margin)
	}
	foot := s.frames[last]
	p.axisTitle("When it was read, UTC", "", vg.Point{X: foot.Min.X + foot.Size().X/2, Y: foot.Min.Y - tickRow - 4*mm})
	drawLegend(p, s.legend, vg.Point{X: margin, Y: foot.Min.Y - axisTitleDrop - 1*mm})
	s.drawFooter(p)
}

func (s *historySheet) point(p *pen, fr frame, q int, point HistoryPoint) {
	x, v, u := daysOf(point.At), point.Values[q], point.spread(q)
	if u > 0 {
		p.errorBar(fr.at(x, v-u), fr.at(x, v+u))
	}
	historySign(p, fr.at(x, v), point.Superseded)
}

func historySign(p *pen, at vg.Point, superseded bool) {
	if superseded {
		p.hollow(at, 0.9*mm)
		return
	}
	p.SetColor(ink)
	p.Fill(circle(at, 0.9*mm))
}

func (f *HistoryFigure) superseded() (n int) {
	for _, p := range f.Points {
		if p.Superseded {
			n++
		}
	}
	return n
}

func (f *HistoryFigure) legend() []entry {
	es := []entry{{"a reading, bar two standard uncertainties either way (k = 2)", keySign, func(p *pen, at vg.Point) {
		p.errorBar(vg.Point{X: at.X, Y: at.Y - 1.6*mm}, vg.Point{X: at.X, Y: at.Y + 1.6*mm})
		historySign(p, at, false)
	}}}
	if f.superseded() > 0 {
		es = append(es, entry{"superseded by a correction", keySign, func(p *pen, at vg.Point) { historySign(p, at, true) }})
	}
	return es
}

func (f *HistoryFigure) sentences() []string {
	first, last := f.Points[0], f.Points[0]
	for _, p := range f.Points {
		if p.At.Before(first.At) {
			first = p
		}
		if p.At.After(last.At) {
			last = p
		}
	}
	said := fmt.Sprintf("%s, from %s to %s.", counted(len(f.Points), "reading"), first.At.UTC().Format(time.DateOnly), last.At.UTC().Format(time.DateOnly))
	if n := f.superseded(); n > 0 {
		said += fmt.Sprintf(" Superseded and drawn open: %d.", n)
	}
	var left []string
	for _, one := range []struct {
		n   int
		why string
	}{{f.Archived, "archived"}, {f.Colourless, "no colour of a wine"}} {
		if one.n > 0 {
			left = append(left, fmt.Sprintf("%d %s", one.n, one.why))
		}
	}
	if len(left) > 0 {
		said += " Left out: " + strings.Join(left, ", ") + "."
	}
	return []string{said}
}

// counted is a count of things in words.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (f *HistoryFigure) footer() []string {
	var s []string
	if f.Conditions != "" {
		s = append(s, strings.TrimSuffix(f.Conditions, ".")+".")
	}
	s = append(s, "Each reading by itself, replicates too. Readings made in another cell, dilution or way may differ for that reason alone.")
	if f.Version != "" {
		s = append(s, f.Version+".")
	}
	return s
}

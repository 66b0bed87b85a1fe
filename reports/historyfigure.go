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
	Texts      *Texts // of the figure's words; nil is English
}

// HistoryPoint is one reading. Values are intensity, tint, L*, a*, b* in this order,
// with their standard uncertainties; NaN is a value that cannot be had.
type HistoryPoint struct {
	At         time.Time
	Values, U  [5]float64
	Superseded bool // a correction has taken its place
}

// historyLeast is the least range that each panel of a history shows, so that noise
// does not look like change.
var historyLeast = [5]float64{0.02, 0.05, 1, 1, 1}

// panels are the quantities of a history.
func (t *HistoryTexts) panels() [5]string {
	return [5]string{t.Intensity, t.Tint, "L*", "a*", "b*"}
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
	s.times = s.f.Texts.History.timeTicks(x, historyTicks)
	for i := range s.frames {
		s.frames[i] = frame{
			Rectangle: s.box(chartLeft, s.leaf.panels+vg.Length(i)*(historyHigh+chartGap), bodyWide+margin-chartLeft, historyHigh),
			x:         x, y: s.f.extent(i),
		}
	}
	return &Drawing{title: s.f.Title, described: clean(strings.Join(s.f.sentences(), " ")), texts: s.f.Texts, high: s.high, paint: s.draw}, nil
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
	f.Texts = InEnglish(f.Texts)
	f.Title, f.Name, f.Conditions, f.Version = clean(f.Title), clean(f.Name), clean(f.Conditions), clean(f.Version)
	if f.Title == "" {
		f.Title = f.Texts.History.Title
		if f.Name != "" {
			f.Title = Fill(f.Texts.History.TitleOf, "name", f.Name)
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
	return e.atLeast(historyLeast[q]).padded(0.08)
}

func (s *historySheet) draw(p *pen) {
	s.drawHeader(p)
	last, names := len(s.frames)-1, p.texts.History.panels()
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
		p.heading(string(rune('A'+q)), names[q], fr, margin)
	}
	foot := s.frames[last]
	p.axisTitle(p.texts.History.When, "", vg.Point{X: foot.Min.X + foot.Size().X/2, Y: foot.Min.Y - tickRow - 4*mm})
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
	es := []entry{{f.Texts.History.KeyReading, keySign, func(p *pen, at vg.Point) {
		p.errorBar(vg.Point{X: at.X, Y: at.Y - 1.6*mm}, vg.Point{X: at.X, Y: at.Y + 1.6*mm})
		historySign(p, at, false)
	}}}
	if f.superseded() > 0 {
		es = append(es, entry{f.Texts.History.KeySuperseded, keySign, func(p *pen, at vg.Point) { historySign(p, at, true) }})
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
	t := f.Texts
	words := t.History.Many
	if len(f.Points) == 1 {
		words = t.History.One
	}
	said := Fill(words, "count", t.whole(len(f.Points)), "from", first.At.UTC().Format(t.History.Day), "to", last.At.UTC().Format(t.History.Day))
	if n := f.superseded(); n > 0 {
		said += " " + Fill(t.History.Superseded, "count", t.whole(n))
	}
	var left []string
	for _, one := range []struct {
		n   int
		why string
	}{{f.Archived, t.History.Archived}, {f.Colourless, t.History.Colourless}} {
		if one.n > 0 {
			left = append(left, Fill(one.why, "count", t.whole(one.n)))
		}
	}
	if len(left) > 0 {
		said += " " + Fill(t.History.LeftOut, "counts", strings.Join(left, ", "))
	}
	return []string{said}
}

func (f *HistoryFigure) footer() []string {
	var s []string
	if f.Conditions != "" {
		s = append(s, strings.TrimSuffix(f.Conditions, ".")+".")
	}
	s = append(s, f.Texts.History.Method)
	if f.Version != "" {
		s = append(s, f.Version+".")
	}
	return s
}

package reports

import (
	"errors"
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg"
)

// DriftFigure is the picture of how lots drift: A420, A520 and A620 against days,
// the curve of a lot with the band that one lot more stays in with 95 %, and the
// readings of the lots, brought to that lot's level.
type DriftFigure struct {
	Title   string // headline; "How the colour drifts" when empty
	Finding string // a sentence that comes first; may be empty
	// Curve are 2 to 1,000 points in the order of days.
	Curve []DriftPoint
	// Readings are those of the lots, up to 20,000.
	Readings []DriftReading
	// Lots is how many lots the readings are of.
	Lots int
	// Clock is what days are counted from, such as "bottling". It is required.
	Clock string

	Conditions string // such as the storage, a sentence; may be empty
	Version    string // version of the program, for the footer
	Texts      *Texts // of the figure's words; nil is English
}

// DriftPoint is a point of the curve: absorbances per 10 mm at 420, 520 and 620 nm
// with the ends of their 95 % intervals.
type DriftPoint struct {
	Days            float64
	A, Lower, Upper [3]float64
}

// DriftReading is one reading. A are absorbances per 10 mm at the level of the
// curve; Outlying says of each that it is far off and counts little.
type DriftReading struct {
	Days     float64
	A        [3]float64
	Outlying [3]bool
}

const (
	mostDriftPoints   = 1000
	mostDriftReadings = 20000
	maxDriftDays      = 36525
	maxDriftA         = 200
	driftHigh         = 34 * mm // of each panel
)

// driftSheet is a DriftFigure with every place decided.
type driftSheet struct {
	leaf
	f      *DriftFigure
	panels [3]*driftPanel
}

// driftPanel is one absorbance against days.
type driftPanel struct {
	frame
	band int
	f    *DriftFigure
}

// Drawing lays the figure out. Errors: its faults, up to ten, each with its place.
func (f DriftFigure) Drawing() (*Drawing, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	s := &driftSheet{f: f.cleaned()}
	s.head(s.f.Title, s.f.sentences()...)
	s.legend = legendRows(s.f.legend())
	s.foot(s.f.footer()...)
	s.high = s.leaf.panels + 3*driftHigh + 2*chartGap + axisTitleDrop + 3*mm + vg.Length(len(s.legend))*legendRow + 2*mm + s.footHigh()
	for b := range s.panels {
		pl := &driftPanel{band: b, f: s.f}
		pl.x, pl.y = s.f.extents(b)
		pl.Rectangle = s.box(chartLeft, s.leaf.panels+vg.Length(b)*(driftHigh+chartGap), bodyWide+margin-chartLeft, driftHigh)
		s.panels[b] = pl
	}
	return &Drawing{title: s.f.Title, described: clean(strings.Join(s.f.sentences(), " ")), texts: s.f.Texts, high: s.high, paint: s.draw}, nil
}

func (f DriftFigure) check() error {
	c := &checker{}
	for where, s := range map[string]string{"title": f.Title, "finding": f.Finding, "clock": f.Clock, "conditions": f.Conditions, "version": f.Version} {
		c.text(where, s)
	}
	if f.Clock == "" {
		c.fault("clock", "is empty: say what days are counted from, such as bottling")
	}
	if n := len(f.Curve); n < 2 || n > mostDriftPoints {
		c.fault("curve", "%d points: want 2 to %d", n, mostDriftPoints)
	}
	if n := len(f.Readings); n > mostDriftReadings {
		c.fault("readings", "%d: want at most %d", n, mostDriftReadings)
	}
	for i, p := range f.Curve {
		where := fmt.Sprintf("curve point %d", i)
		c.within(where, 0, maxDriftDays, p.Days)
		c.within(where, -maxDriftA, maxDriftA, p.A[0], p.A[1], p.A[2], p.Lower[0], p.Lower[1], p.Lower[2], p.Upper[0], p.Upper[1], p.Upper[2])
		if i > 0 && !(p.Days > f.Curve[i-1].Days) {
			c.fault(where, "day %g after day %g: want days in rising order", p.Days, f.Curve[i-1].Days)
		}
	}
	for i, r := range f.Readings {
		where := fmt.Sprintf("reading %d", i)
		c.within(where, 0, maxDriftDays, r.Days)
		c.within(where, -maxDriftA, maxDriftA, r.A[:]...)
	}
	return errors.Join(c.faults...)
}

func (f DriftFigure) cleaned() *DriftFigure {
	f.Texts = InEnglish(f.Texts)
	f.Title, f.Finding, f.Clock, f.Conditions, f.Version = clean(f.Title), clean(f.Finding), clean(f.Clock), clean(f.Conditions), clean(f.Version)
	if f.Title == "" {
		f.Title = f.Texts.Drift.Title
	}
	return &f
}

// extents hold the curve with its band, and the readings but for those that are far
// off, which must not flatten the rest.
func (f *DriftFigure) extents(b int) (x, y extent) {
	x, y = emptyExtent(), emptyExtent()
	x.add(0)
	for _, p := range f.Curve {
		x.add(p.Days)
		y.add(p.Lower[b], p.Upper[b])
	}
	for _, r := range f.Readings {
		x.add(r.Days)
		if !r.Outlying[b] {
			y.add(r.A[b])
		}
	}
	return extent{0, x.max * 1.02}, y.atLeast(0.01).padded(0.08)
}

func (s *driftSheet) draw(p *pen) {
	s.drawHeader(p)
	for i, pl := range s.panels {
		pl.draw(p)
		p.heading(string(rune('A'+i)), Fill(p.texts.Drift.Absorbance, "nm", p.texts.whole(driftNM[i])), pl.frame, margin)
	}
	last := s.panels[len(s.panels)-1].frame
	p.axisTitle(Fill(p.texts.Drift.Days, "clock", s.f.Clock), "", vg.Point{X: last.Min.X + last.Size().X/2, Y: last.Min.Y - tickRow - 4*mm})
	drawLegend(p, s.legend, vg.Point{X: margin, Y: last.Min.Y - axisTitleDrop - 1*mm})
	s.drawFooter(p)
}

var driftNM = [3]int{420, 520, 620}

func (pl *driftPanel) draw(p *pen) {
	xby, yby := step(pl.x.size(), 8), step(pl.y.size(), 4)
	xs, ys := ticks(pl.x, xby), ticks(pl.y, yby)
	pl.grid(p, nil, ys)
	var area, back, line []vg.Point
	for _, c := range pl.f.Curve {
		area = append(area, pl.at(c.Days, c.Upper[pl.band]))
		back = append(back, pl.at(c.Days, c.Lower[pl.band]))
		line = append(line, pl.at(c.Days, c.A[pl.band]))
	}
	for i := len(back) - 1; i >= 0; i-- {
		area = append(area, back[i])
	}
	pl.fill(p, band, area)
	pl.drawReadings(p)
	pl.lines(p, pathStyle, line)
	pl.axes(p, xs, ys)
	pl.yLabels(p, ys, yby)
	pl.xLabels(p, xs, xby)
}

// drawReadings draws a dot each, smaller where there are many; hollow where it is
// far off, and an arrow where it is off the panel.
func (pl *driftPanel) drawReadings(p *pen) {
	r := 0.6 * mm
	if len(pl.f.Readings) > 400 {
		r = 0.35 * mm
	}
	for _, k := range pl.f.Readings {
		v := k.A[pl.band]
		at := pl.at(k.Days, min(max(v, pl.y.min), pl.y.max))
		switch {
		case v > pl.y.max:
			p.arrow(at, 1)
		case v < pl.y.min:
			p.arrow(at, -1)
		case k.Outlying[pl.band]:
			p.hollow(at, r+0.15*mm)
		default:
			p.SetColor(quiet)
			p.Fill(circle(at, r))
		}
	}
}

func (f *DriftFigure) legend() []entry {
	t := &f.Texts.Drift
	es := []entry{
		{t.KeyLot, keyLine, func(p *pen, at vg.Point) { p.line(pathStyle, key(at)...) }},
		{t.KeyOneMore, keyLine, func(p *pen, at vg.Point) { p.line(solid(band, 7), key(at)...) }},
	}
	if len(f.Readings) > 0 {
		es = append(es, entry{t.KeyReading, keySign, func(p *pen, at vg.Point) { p.SetColor(quiet); p.Fill(circle(at, 0.6*mm)) }})
	}
	if f.outlying() > 0 {
		es = append(es, entry{t.KeyFar, keySign, func(p *pen, at vg.Point) { p.hollow(at, 0.75*mm) }})
	}
	return es
}

func (f *DriftFigure) outlying() (n int) {
	for _, r := range f.Readings {
		if r.Outlying != [3]bool{} {
			n++
		}
	}
	return n
}

// sentences come above the panels: the finding, and what each absorbance does.
func (f *DriftFigure) sentences() []string {
	first, last := f.Curve[0], f.Curve[len(f.Curve)-1]
	t := f.Texts
	var parts []string
	for b, nm := range driftNM {
		parts = append(parts, Fill(t.Drift.Band, "nm", t.whole(nm), "first", t.Fixed(first.A[b], 3), "last", t.Fixed(last.A[b], 3),
			"lower", t.Fixed(last.Lower[b], 3), "upper", t.Fixed(last.Upper[b], 3)))
	}
	said := Fill(t.Drift.Said, "readings", t.whole(len(f.Readings)), "lots", t.whole(f.Lots),
		"first", t.Fixed(first.Days, 0), "last", t.Fixed(last.Days, 0), "bands", strings.Join(parts, ", "))
	if n := f.outlying(); n > 0 {
		said += " " + Fill(t.Drift.Far, "count", t.whole(n))
	}
	return []string{f.Finding, said}
}

func (f *DriftFigure) footer() []string {
	var s []string
	if f.Conditions != "" {
		s = append(s, strings.TrimSuffix(f.Conditions, ".")+".")
	}
	s = append(s, f.Texts.Drift.Method)
	if f.Version != "" {
		s = append(s, f.Version+".")
	}
	return s
}

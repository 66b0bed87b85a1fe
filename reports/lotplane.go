package reports

import (
	"math"

	"pourpath/colour/cie"
	"pourpath/colour/difference"

	"gonum.org/v1/plot/vg"
)

// LotPlaneFigure is the picture of lots as a path through time in the a*b* plane,
// in the region that the specification allows, with L* over the lots beside it.
type LotPlaneFigure struct {
	Title   string // headline; "Colour of lots" when empty
	Finding string // a sentence that comes first; may be empty
	View    cie.View
	// Lots are in the order of time, 1 to 2,000; the last is the newest.
	Lots   []PlaneLot
	Region *Region // nil where there is none
	// Reference is the colour aimed at; nil where there is none.
	Reference *cie.Lab
	// LowerL and UpperL are the specification's limits of L*; nil where there is none.
	LowerL, UpperL *float64

	Conditions string // further conditions, a sentence; may be empty
	Version    string // version of the program, for the footer
	Texts      *Texts // of the figure's words; nil is English
}

// PlaneLot is one lot's colour.
type PlaneLot struct {
	Name string
	Lab  cie.Lab
	U    [3]float64 // standard uncertainty (k = 1) of L*, a*, b*; 0 where not stated
	// LeftOut says that the lot does not count: it is hollow and off the path.
	LeftOut bool
}

// The figure's measures.
const (
	lotPlaneHigh = 78 * mm
	lotsHigh     = 29 * mm
	lotsWide     = 34 * mm // of the panels beside the plane
	pathLots     = 30      // of the newest lots that the path joins
	namedLots    = 12      // of the newest lots that have their names, where there is room
)

// lotPlane is a LotPlaneFigure with every place decided.
type lotPlane struct {
	leaf
	abPlane
	f      *LotPlaneFigure
	region []outlined
	light  *chartPanel
	apart  *chartPanel // ΔE00 from the reference; nil without one
}

// Drawing lays the figure out. Errors: its faults, up to ten, each with its place.
func (f LotPlaneFigure) Drawing() (*Drawing, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	l := &lotPlane{f: f.cleaned()}
	l.region = f.Region.outlines(f.newest().Lab, l.f.Texts)
	l.head(l.f.Title, l.f.sentences()...)
	l.legend = legendRows(l.f.legend(l.region))
	l.light, l.apart = l.f.lightness(), l.f.differences()
	panels := []*chartPanel{l.light}
	if l.apart != nil {
		panels = append(panels, l.apart)
	}
	l.foot(l.f.footer(l.region, panels)...)
	l.high = l.panels + lotPlaneHigh + axisTitleDrop + 2.6*mm + vg.Length(len(l.legend))*legendRow + 2.6*mm + l.footHigh()
	r := l.box(planeLeft, l.panels, planeWide, lotPlaneHigh)
	l.abPlane = abPlane{equalAxes(r, l.extents())}
	l.light.Rectangle = l.box(dosesLeft, l.panels, lotsWide, lotsHigh)
	if l.apart != nil {
		l.apart.Rectangle = l.box(dosesLeft, l.panels+lotPlaneHigh-lotsHigh, lotsWide, lotsHigh)
	}
	return &Drawing{title: l.f.Title, described: l.f.described(), texts: l.f.Texts, high: l.high, paint: l.draw}, nil
}

// newest is the last lot that counts; a figure without one was refused.
func (f *LotPlaneFigure) newest() PlaneLot {
	at := len(f.Lots) - 1
	for f.Lots[at].LeftOut {
		at--
	}
	return f.Lots[at]
}

func (f LotPlaneFigure) cleaned() *LotPlaneFigure {
	f.Texts = InEnglish(f.Texts)
	f.Title, f.Finding, f.Conditions, f.Version = clean(f.Title), clean(f.Finding), clean(f.Conditions), clean(f.Version)
	if f.Title == "" {
		f.Title = f.Texts.Plane.Title
	}
	lots := make([]PlaneLot, len(f.Lots))
	for i, l := range f.Lots {
		l.Name = clean(l.Name)
		lots[i] = l
	}
	f.Lots = lots
	return &f
}

// extents hold what counts; the region too, unless it would dwarf the lots.
func (l *lotPlane) extents() [2]extent {
	x, y := emptyExtent(), emptyExtent()
	for _, k := range l.f.Lots {
		if !k.LeftOut {
			x.add(k.Lab.A)
			y.add(k.Lab.B)
		}
	}
	n := l.f.newest()
	x.add(n.Lab.A-2*n.U[1], n.Lab.A+2*n.U[1])
	y.add(n.Lab.B-2*n.U[2], n.Lab.B+2*n.U[2])
	if r := l.f.Reference; r != nil {
		x.add(r.A)
		y.add(r.B)
	}
	wideX, wideY := x, y
	for _, o := range l.region {
		for _, pt := range o.points {
			if !math.IsInf(pt[0], 0) {
				wideX.add(pt[0])
			}
			if !math.IsInf(pt[1], 0) {
				wideY.add(pt[1])
			}
		}
	}
	if larger(wideX, wideY) <= 4*math.Max(larger(x, y), leastPlane) {
		x, y = wideX, wideY
	}
	return withNeutral(x, y)
}

// over is a panel of a quantity over the lots.
func (f *LotPlaneFigure) over(of func(cie.Lab) float64) *chartPanel {
	pl := &chartPanel{high: lotsHigh, base: -1}
	for i, k := range f.Lots {
		if k.LeftOut {
			pl.leftOut = append(pl.leftOut, chartPoint{i, of(k.Lab), false})
			continue
		}
		pl.at, pl.values = append(pl.at, i), append(pl.values, of(k.Lab))
	}
	return pl
}

// lightness is the panel of L* over the lots.
func (f *LotPlaneFigure) lightness() *chartPanel {
	pl := f.over(func(l cie.Lab) float64 { return l.L })
	if f.Reference != nil {
		pl.levels = append(pl.levels, chartLevel{f.Texts.Shared.Reference, []float64{f.Reference.L}, centreStyle, false, 1})
	}
	for _, v := range []*float64{f.LowerL, f.UpperL} {
		if v != nil {
			pl.levels = append(pl.levels, chartLevel{f.Texts.Plane.Spec, []float64{*v}, specStyle, true, 1})
		}
	}
	pl.scale(len(f.Lots))
	pl.y = pl.y.atLeast(2)
	return pl
}

// differences is the panel of ΔE00 from the reference over the lots, without
// limits but the tolerance; nil where there is no reference.
func (f *LotPlaneFigure) differences() *chartPanel {
	if f.Reference == nil {
		return nil
	}
	r, k := f.Reference, f.Region.weights()
	pl := f.over(func(l cie.Lab) float64 { return difference.DeltaE00Weighted(r.L, r.A, r.B, l.L, l.A, l.B, k) })
	pl.floor = true
	if f.Region != nil && f.Region.DeltaE00 > 0 {
		pl.levels = []chartLevel{{f.Texts.Shared.Tolerance, []float64{f.Region.DeltaE00}, specStyle, true, 1}}
	}
	pl.scale(len(f.Lots))
	return pl
}

func (l *lotPlane) draw(p *pen) {
	l.drawHeader(p)
	l.ground(p)
	l.cloud(p)
	l.outlines(p)
	l.scales(p)
	l.lots(p)
	p.heading("A", p.texts.Plane.Path, l.frame, margin)
	l.light.draw(p)
	p.heading("B", p.texts.Plane.Lightness, l.light.frame, dosesLeft-dosesGutter)
	lowest := l.light.frame
	if l.apart != nil {
		l.apart.draw(p)
		p.heading("C", p.texts.Plane.Difference, l.apart.frame, dosesLeft-dosesGutter)
		lowest = l.apart.frame
	}
	l.endLots(p, lowest)
	drawLegend(p, l.legend, vg.Point{X: margin, Y: l.Min.Y - axisTitleDrop - 2.6*mm})
	l.drawFooter(p)
}

// endLots numbers the first and the last lot under a panel.
func (l *lotPlane) endLots(p *pen, fr frame) {
	places := []int{1}
	if n := len(l.f.Lots); n > 1 {
		places = append(places, n)
	}
	for _, no := range places {
		at := fr.at(float64(no), fr.y.min)
		p.line(solid(ink, thin), at, vg.Point{X: at.X, Y: at.Y - tickLength})
		p.text(p.texts.whole(no), regular, tickSize, ink, centre, vg.Point{X: at.X, Y: at.Y - tickRow})
	}
	p.axisTitle(p.texts.Shared.LotsInTime, "", vg.Point{X: fr.Min.X + fr.Size().X/2, Y: fr.Min.Y - tickRow - 3.6*mm})
}

// outlines draws the region's parts, cut at the panel.
func (l *lotPlane) outlines(p *pen) {
	for _, o := range l.region {
		line := make([]vg.Point, 0, len(o.points)+1)
		for _, pt := range o.points {
			line = append(line, l.at(l.x.held(pt[0]), l.y.held(pt[1])))
		}
		if len(line) > 0 {
			l.lines(p, o.style, append(line, line[0]))
		}
	}
	if r := l.f.Reference; r != nil {
		p.diamond(l.at(r.A, r.B))
	}
}

// held brings an open side to well beyond the panel.
func (e extent) held(v float64) float64 {
	return math.Max(e.min-10*e.size(), math.Min(e.max+10*e.size(), v))
}

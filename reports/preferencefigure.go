package reports

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"pourpath/colour/cie"
	"pourpath/colour/panel"

	"gonum.org/v1/plot/vg"
)

// PreferenceFigure is the picture of what a blind panel prefers: the colour path in
// the a*b* plane with a circle for each glass that is the larger the more it is
// preferred, and the preference along the dose.
type PreferenceFigure struct {
	Title   string // headline; that of the texts when empty
	Finding string // a sentence that comes first; may be empty
	View    cie.View
	// Judges is how many judges' answers count, and Level what intervals leave out:
	// 0.05 for 95 %.
	Judges int
	Level  float64
	// HeldMLPer100ML are mL of further wines held in 100 mL of base.
	HeldMLPer100ML float64
	// Path is the path of the blend, by rising dose; may be empty.
	Path []PathPoint
	// Glasses are those that were judged, 2 to 24, by rising dose.
	Glasses []PreferenceGlass
	// Preference is how preference goes along the dose; nil where all glasses have
	// one dose.
	Preference *panel.Preference

	Conditions string // further conditions, a sentence; may be empty
	Version    string // version of the program, for the footer
	Texts      *Texts // of the figure's words; nil is English
}

// PreferenceGlass is one glass with the colour of its blend.
type PreferenceGlass struct {
	DoseMLPer100ML float64
	Lab            cie.Lab
	Swatch         cie.Screen // at 10 mm; an empty Hex leaves the circle white
	// Share is the share of the other glasses above which it was put, 0-1.
	Share panel.Interval
}

const preferenceHigh = 78 * mm

// preferenceSheet is a PreferenceFigure with every place decided.
type preferenceSheet struct {
	leaf
	abPlane
	f     *PreferenceFigure
	along frame // share against dose
	order []int // glasses, the most preferred first
}

// Drawing lays the figure out. Errors: its faults, up to ten, each with its place.
func (f PreferenceFigure) Drawing() (*Drawing, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	s := &preferenceSheet{f: f.cleaned()}
	s.head(s.f.Title, s.f.sentences()...)
	s.legend = legendRows(s.f.legend())
	s.foot(s.f.footer()...)
	s.high = s.panels + preferenceHigh + axisTitleDrop + 2.6*mm + vg.Length(len(s.legend))*legendRow + 2.6*mm + s.footHigh()
	x, y, doses := emptyExtent(), emptyExtent(), emptyExtent()
	for _, p := range s.f.Path {
		x.add(p.Lab.A)
		y.add(p.Lab.B)
	}
	for _, g := range s.f.Glasses {
		x.add(g.Lab.A)
		y.add(g.Lab.B)
		doses.add(g.DoseMLPer100ML)
	}
	s.abPlane = abPlane{equalAxes(s.box(planeLeft, s.panels, planeWide, preferenceHigh), withNeutral(x, y))}
	s.along = frame{s.box(dosesLeft+3*mm, s.panels, dosesWide-3*mm, preferenceHigh), doses.atLeast(1).padded(0.07), extent{-4, 104}}
	s.order = s.f.byShare()
	return &Drawing{title: s.f.Title, described: clean(strings.Join(s.f.sentences(), " ")), texts: s.f.Texts, high: s.high, paint: s.draw}, nil
}

func (f PreferenceFigure) check() error {
	if err := f.View.Validate(); err != nil {
		return fmt.Errorf("reports: view: %w", err)
	}
	c := &checker{view: f.View}
	for where, s := range map[string]string{"title": f.Title, "finding": f.Finding, "conditions": f.Conditions, "version": f.Version} {
		c.text(where, s)
	}
	if f.Judges < 2 {
		c.fault("judges", "%d: want 2 or more", f.Judges)
	}
	if !(f.Level > 0 && f.Level < 1) {
		c.fault("level", "%g: want a share between 0 and 1, such as 0.05", f.Level)
	}
	c.within("held", 0, maxML, f.HeldMLPer100ML)
	if n := len(f.Glasses); n < panel.FewestGlasses || n > panel.MostGlasses {
		c.fault("glasses", "%d: want %d to %d", n, panel.FewestGlasses, panel.MostGlasses)
	}
	for i, g := range f.Glasses {
		where := fmt.Sprintf("glass %d", i)
		c.within(where, 0, maxML, g.DoseMLPer100ML)
		c.lab(where, g.Lab)
		c.swatch(where, Swatch{At10MM: g.Swatch})
		c.within(where+" share", 0, 1, g.Share.Value, g.Share.Low, g.Share.High)
		if i > 0 && g.DoseMLPer100ML < f.Glasses[i-1].DoseMLPer100ML {
			c.fault(where, "dose %g after %g: want doses in rising order", g.DoseMLPer100ML, f.Glasses[i-1].DoseMLPer100ML)
		}
	}
	for i, p := range f.Path {
		where := fmt.Sprintf("path point %d", i)
		c.within(where, 0, maxML, p.DoseMLPer100ML)
		c.lab(where, p.Lab)
		if i > 0 && !(p.DoseMLPer100ML > f.Path[i-1].DoseMLPer100ML) {
			c.fault(where, "dose %g after %g: want doses in rising order", p.DoseMLPer100ML, f.Path[i-1].DoseMLPer100ML)
		}
	}
	if f.Preference != nil {
		for i, p := range f.Preference.Curve {
			where := fmt.Sprintf("curve point %d", i)
			c.within(where, 0, maxML, p.DoseMLPer100ML)
			c.within(where, 0, 1, p.Share.Value, p.Share.Low, p.Share.High)
		}
		if b := f.Preference.Best; b != nil {
			c.within("preferred dose", 0, maxML, b.Low, b.Value, b.High)
		}
	}
	return errors.Join(c.faults...)
}

func (f PreferenceFigure) cleaned() *PreferenceFigure {
	f.Title, f.Finding, f.Conditions, f.Version = clean(f.Title), clean(f.Finding), clean(f.Conditions), clean(f.Version)
	f.Texts = InEnglish(f.Texts)
	if f.Title == "" {
		f.Title = f.Texts.Preference.Title
	}
	return &f
}

// best is the preferred dose, nil where none was found.
func (f *PreferenceFigure) best() *panel.Interval {
	if f.Preference == nil {
		return nil
	}
	return f.Preference.Best
}

func (s *preferenceSheet) draw(p *pen) {
	s.drawHeader(p)
	s.drawPlane(p)
	s.drawAlong(p)
	p.heading("A", p.texts.Preference.Path, s.frame, margin)
	p.heading("B", p.texts.Preference.Along, s.along, dosesLeft-dosesGutter)
	drawLegend(p, s.legend, vg.Point{X: margin, Y: s.frame.Min.Y - axisTitleDrop - 1*mm})
	s.drawFooter(p)
}

// preferred is the radius of a circle whose area rises with the share; a glass
// that is never put above another is still seen.
func preferred(share float64) vg.Length {
	const smallest, largest = 0.7 * mm, 3.2 * mm
	return vg.Length(math.Sqrt(float64(smallest*smallest) + share*float64(largest*largest-smallest*smallest)))
}

func (s *preferenceSheet) drawPlane(p *pen) {
	s.ground(p)
	project := func(q PathPoint) vg.Point { return s.at(q.Lab.A, q.Lab.B) }
	best := s.f.best()
	if best != nil {
		line, _ := projected(part(s.f.Path, best.Low, best.High), project)
		s.lines(p, solid(stroke, broad), line)
	}
	line, _ := projected(s.f.Path, project)
	s.lines(p, pathStyle, line)
	s.scales(p)
	l := &labeller{within: s.Rectangle}
	l.line(line)
	points := make([]vg.Point, len(s.f.Glasses))
	for i, g := range s.f.Glasses {
		points[i] = s.at(g.Lab.A, g.Lab.B)
		l.mark(points[i], preferred(g.Share.Value), preferred(g.Share.Value))
	}
	for _, i := range s.order { // small circles on large ones
		p.rung(points[i], preferred(s.f.Glasses[i].Share.Value), fillOf(s.f.Glasses[i].Swatch, white))
	}
	if best != nil {
		for i := 1; i < len(s.f.Path); i++ {
			if a, b := s.f.Path[i-1], s.f.Path[i]; a.DoseMLPer100ML <= best.Value && best.Value <= b.DoseMLPer100ML {
				p.cross(project(between(a, b, best.Value)))
				break
			}
		}
	}
	ns := normals(points)
	for _, i := range s.order {
		text := p.texts.rungDose(s.f.Glasses[i].DoseMLPer100ML)
		if at, leader, ok := l.place(text, points[i], ns[i], preferred(s.f.Glasses[i].Share.Value)); ok {
			if leader != nil {
				p.line(solid(quiet, hair), leader...)
			}
			p.text(text, regular, tickSize, ink, left, at)
		}
	}
	s.hues(p, l)
}

// drawAlong is the share in % against the dose.
func (s *preferenceSheet) drawAlong(p *pen) {
	fr := s.along
	by := step(fr.x.size(), 5)
	var xs []float64
	for _, x := range ticks(fr.x, by) {
		if x >= 0 {
			xs = append(xs, x)
		}
	}
	ys := []float64{0, 25, 50, 75, 100}
	fr.grid(p, nil, ys)
	if pref := s.f.Preference; pref != nil {
		s.drawCurve(p, pref)
	}
	fr.lines(p, toleranceStyle, []vg.Point{fr.at(fr.x.min, 50), fr.at(fr.x.max, 50)})
	for _, i := range s.order {
		g := s.f.Glasses[i]
		p.errorBar(fr.at(g.DoseMLPer100ML, 100*g.Share.Low), fr.at(g.DoseMLPer100ML, 100*g.Share.High))
		p.rung(fr.at(g.DoseMLPer100ML, 100*g.Share.Value), 1.1*mm, fillOf(g.Swatch, white))
	}
	fr.axes(p, xs, ys)
	fr.xLabels(p, xs, by)
	fr.yLabels(p, ys, 25)
	p.axisTitle(p.texts.Preference.DoseAxis, "", vg.Point{X: fr.Min.X + fr.Size().X/2, Y: fr.Min.Y - tickRow - 3.6*mm})
}

// drawCurve is the curve with its band, and the preferred dose with its interval.
func (s *preferenceSheet) drawCurve(p *pen, pref *panel.Preference) {
	fr := s.along
	n := len(pref.Curve)
	area, line := make([]vg.Point, 2*n), make([]vg.Point, n)
	for i, c := range pref.Curve {
		area[i] = fr.at(c.DoseMLPer100ML, 100*c.Share.High)
		area[2*n-1-i] = fr.at(c.DoseMLPer100ML, 100*c.Share.Low)
		line[i] = fr.at(c.DoseMLPer100ML, 100*c.Share.Value)
	}
	fr.fill(p, band, area)
	if b := pref.Best; b != nil {
		fr.lines(p, solid(stroke, broad/2), []vg.Point{fr.at(b.Low, fr.y.min+1.5), fr.at(b.High, fr.y.min+1.5)})
		fr.lines(p, solid(ink, thin), []vg.Point{fr.at(b.Value, fr.y.min), fr.at(b.Value, fr.y.max)})
		p.cross(fr.at(b.Value, fr.y.min+1.5))
	}
	fr.lines(p, pathStyle, line)
}

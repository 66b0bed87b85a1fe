package reports

import (
	"errors"
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg"
)

// SpectrumFigure is the picture of a wine's absorbance against wavelength: the curve
// with its band, and what was read.
type SpectrumFigure struct {
	Title string // headline; "Absorbance spectrum" with the name when empty
	Name  string // of the wine; may be empty
	// Source says what the curve was made of: "readings", "spectrum" (a scan),
	// "cielab" or "blend".
	Source string
	// Curve are 2 to 1,000 points in the order of wavelengths, absorbances per 10 mm
	// of undiluted wine.
	Curve []SpectrumPoint
	// Read is what was read, brought to 10 mm of undiluted wine, up to 20,000; U is
	// not drawn. Empty where a colour was stated.
	Read []SpectrumPoint

	Conditions string // such as when it was read; a sentence, may be empty
	Version    string // version of the program, for the footer
	Texts      *Texts // of the figure's words; nil is English
}

// SpectrumPoint is the absorbance per 10 mm of undiluted wine at a wavelength, with
// its standard uncertainty.
type SpectrumPoint struct{ NM, A, U float64 }

const (
	mostSpectrumPoints = 1000
	mostSpectrumRead   = 20000
	leastSpectrumNM    = 100
	mostSpectrumNM     = 2000
	maxSpectrumA       = 100000 // a reading of 6 in a cell of 0.1 mm, diluted a hundredfold
	spectrumHigh       = 74 * mm
	// A scan of more points than this is dots along its line, not signs.
	mostSpectrumSigns = 30
)

// spectrumMarks are the wavelengths that intensity and tint are made of
// (OIV-MA-AS2-07B).
var spectrumMarks = [3]float64{420, 520, 620}

// spectrumSheet is a SpectrumFigure with every place decided.
type spectrumSheet struct {
	leaf
	frame
	f *SpectrumFigure
}

// Drawing lays the figure out. Errors: its faults, up to ten, each with its place.
func (f SpectrumFigure) Drawing() (*Drawing, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	s := &spectrumSheet{f: f.cleaned()}
	s.head(s.f.Title, s.f.sentences()...)
	s.legend = legendRows(s.f.legend())
	s.foot(s.f.footer()...)
	s.high = s.leaf.panels + spectrumHigh + axisTitleDrop + 3*mm + vg.Length(len(s.legend))*legendRow + 2*mm + s.footHigh()
	s.x, s.y = s.f.extents()
	s.Rectangle = s.box(chartLeft, s.leaf.panels, bodyWide+margin-chartLeft, spectrumHigh)
	return &Drawing{title: s.f.Title, described: clean(strings.Join(s.f.sentences(), " ")), texts: s.f.Texts, high: s.high, paint: s.draw}, nil
}

func (f SpectrumFigure) check() error {
	c := &checker{}
	for where, s := range map[string]string{"title": f.Title, "name": f.Name, "conditions": f.Conditions, "version": f.Version} {
		c.text(where, s)
	}
	if _, _, known := english().Spectrum.source(f.Source); !known {
		c.fault("source", "%.40q: want readings, spectrum, cielab or blend", f.Source)
	}
	if n := len(f.Curve); n < 2 || n > mostSpectrumPoints {
		c.fault("curve", "%d points: want 2 to %d", n, mostSpectrumPoints)
	}
	if n := len(f.Read); n > mostSpectrumRead {
		c.fault("read", "%d points: want at most %d", n, mostSpectrumRead)
	}
	for name, points := range map[string][]SpectrumPoint{"curve": f.Curve, "read": f.Read} {
		for i, p := range points {
			where := fmt.Sprintf("%s point %d", name, i)
			c.within(where+" wavelength", leastSpectrumNM, mostSpectrumNM, p.NM)
			c.within(where, -maxSpectrumA, maxSpectrumA, p.A)
			c.within(where+" uncertainty", 0, maxSpectrumA, p.U)
			if name == "curve" && i > 0 && !(p.NM > points[i-1].NM) {
				c.fault(where, "%g nm after %g: want rising wavelengths", p.NM, points[i-1].NM)
			}
		}
	}
	return errors.Join(c.faults...)
}

func (f SpectrumFigure) cleaned() *SpectrumFigure {
	f.Texts = InEnglish(f.Texts)
	f.Title, f.Name, f.Conditions, f.Version = clean(f.Title), clean(f.Name), clean(f.Conditions), clean(f.Version)
	if f.Title == "" {
		f.Title = f.Texts.Spectrum.Title
		if f.Name != "" {
			f.Title = Fill(f.Texts.Spectrum.TitleOf, "name", f.Name)
		}
	}
	return &f
}

// extents hold the curve with its band, what was read, and no absorbance at all.
func (f *SpectrumFigure) extents() (x, y extent) {
	x, y = emptyExtent(), emptyExtent()
	y.add(0)
	for _, p := range f.Curve {
		x.add(p.NM)
		y.add(p.A-2*p.U, p.A+2*p.U)
	}
	for _, p := range f.Read {
		y.add(p.A)
	}
	least := y.min
	y = y.atLeast(0.02).padded(0.06)
	if least == 0 {
		y.min = 0
	}
	return x, y
}

func (s *spectrumSheet) draw(p *pen) {
	s.drawHeader(p)
	xby, yby := step(s.x.size(), 10), step(s.y.size(), 7)
	xs, ys := ticks(s.x, xby), ticks(s.y, yby)
	s.grid(p, nil, ys)
	s.band(p)
	s.marks(p)
	line := make([]vg.Point, len(s.f.Curve))
	for i, c := range s.f.Curve {
		line[i] = s.at(c.NM, c.A)
	}
	s.lines(p, pathStyle, line)
	s.read(p)
	s.axes(p, xs, ys)
	s.yLabels(p, ys, yby)
	s.xLabels(p, xs, xby)
	p.prose(p.texts.Spectrum.Absorbance, bodySize, ink, left, vg.Point{X: margin, Y: s.Max.Y + headDrop})
	p.axisTitle(p.texts.Spectrum.Wavelength, "", vg.Point{X: s.Min.X + s.Size().X/2, Y: s.Min.Y - tickRow - 4*mm})
	drawLegend(p, s.legend, vg.Point{X: margin, Y: s.Min.Y - axisTitleDrop - 1*mm})
	s.drawFooter(p)
}

// band is two standard uncertainties to either side of the curve.
func (s *spectrumSheet) band(p *pen) {
	var area, back []vg.Point
	for _, c := range s.f.Curve {
		area, back = append(area, s.at(c.NM, c.A+2*c.U)), append(back, s.at(c.NM, c.A-2*c.U))
	}
	for i := len(back) - 1; i >= 0; i-- {
		area = append(area, back[i])
	}
	s.fill(p, band, area)
}

var markStyle = dashed(quiet, thin, 1.6, 1.6)

// marks are the wavelengths of the indices, named at the top of the panel.
func (s *spectrumSheet) marks(p *pen) {
	for _, nm := range spectrumMarks {
		if nm < s.x.min || nm > s.x.max {
			continue
		}
		top := s.at(nm, s.y.max)
		p.line(markStyle, vg.Point{X: top.X, Y: s.Min.Y}, top)
		p.text(p.texts.Fixed(nm, 0), regular, tickSize, quiet, left, vg.Point{X: top.X + 0.8*mm, Y: top.Y - tickSize})
	}
}

// read draws what was read: a sign each, or of a scan dots as dense as the page shows.
func (s *spectrumSheet) read(p *pen) {
	at := make([]vg.Point, len(s.f.Read))
	for i, r := range s.f.Read {
		at[i] = s.at(r.NM, r.A)
	}
	if len(at) <= mostSpectrumSigns {
		for _, pt := range at {
			p.square(pt)
		}
		return
	}
	for _, i := range spaced(at, 1.1*mm) {
		scanDot(p, at[i])
	}
}

func scanDot(p *pen, at vg.Point) {
	path := circle(at, 0.45*mm)
	p.SetColor(white)
	p.Fill(path)
	p.outline(solid(ink, hair), path)
}

// source is what a curve is called by what it was made of, and how.
func (t *SpectrumTexts) source(name string) (curve, how string, known bool) {
	switch name {
	case "readings":
		return t.ReadingsCurve, t.ReadingsHow, true
	case "spectrum":
		return t.ScanCurve, t.ScanHow, true
	case "cielab":
		return t.ColourCurve, t.ColourHow, true
	case "blend":
		return t.BlendCurve, t.BlendHow, true
	}
	return "", "", false
}

func (f *SpectrumFigure) legend() []entry {
	t := &f.Texts.Spectrum
	curve, _, _ := t.source(f.Source)
	es := []entry{
		{curve, keyLine, func(p *pen, at vg.Point) { p.line(pathStyle, key(at)...) }},
		{t.KeyBand, keyLine, func(p *pen, at vg.Point) { p.line(solid(band, 7), key(at)...) }},
	}
	switch n := len(f.Read); {
	case n == 0:
	case n <= mostSpectrumSigns:
		es = append(es, entry{t.KeyRead, keySign, func(p *pen, at vg.Point) { p.square(at) }})
	default:
		es = append(es, entry{t.KeyScan, keySign, scanDot})
	}
	return append(es, entry{t.KeyMarks, keyLine, func(p *pen, at vg.Point) { p.line(markStyle, key(at)...) }})
}

// near is the point of the curve at a wavelength; ok is false where there is none.
func (f *SpectrumFigure) near(nm float64) (SpectrumPoint, bool) {
	for _, p := range f.Curve {
		if p.NM == nm {
			return p, true
		}
	}
	return SpectrumPoint{}, false
}

func (f *SpectrumFigure) sentences() []string {
	t := f.Texts
	var parts []string
	for _, nm := range spectrumMarks {
		if p, ok := f.near(nm); ok {
			parts = append(parts, Fill(t.Spectrum.At, "nm", t.Fixed(nm, 0), "value", t.Fixed(p.A, 3), "u", t.Fixed(max(2*p.U, 0.001), 3)))
		}
	}
	_, said, _ := t.Spectrum.source(f.Source)
	if len(parts) > 0 {
		said = Fill(t.Spectrum.Said, "values", strings.Join(parts, ", "), "how", said)
	}
	return []string{said}
}

func (f *SpectrumFigure) footer() []string {
	var s []string
	if f.Conditions != "" {
		s = append(s, strings.TrimSuffix(f.Conditions, ".")+".")
	}
	s = append(s, f.Texts.Spectrum.Method)
	if f.Version != "" {
		s = append(s, f.Version+".")
	}
	return s
}

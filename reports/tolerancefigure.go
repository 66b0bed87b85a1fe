package reports

import "gonum.org/v1/plot/vg"

// ToleranceFigure is the picture of where one lot lies in its tolerance: a row
// for each part of the specification.
type ToleranceFigure struct {
	Title   string // headline; "Place in the tolerance" when empty
	Finding string // the verdict as a sentence, first; may be empty
	Parts   []PartMark
	// Conditions is a sentence for the footer; may be empty.
	Conditions string
	Version    string // version of the program, for the footer
	Texts      *Texts // of the figure's words; nil is English
}

// PartMark is one part of a specification with the lot's place in it.
type PartMark struct {
	Quantity string // such as "ΔE00 from the reference"; required
	Unit     string // may be empty
	Value    float64
	U        float64 // standard uncertainty (k = 1); 0 where not stated
	// Interval95 holds 95 % of the value, for what is not symmetrical, such as a
	// colour difference; nil where value ± 2 U does, or is not known. One that is
	// never negative and closer to 0 than 2 U then has no bar, and k = 1 is told.
	Interval95 *[2]float64
	// Lower and Upper are the limits, infinite on an open side; a hue whose limits
	// run through 0 goes on beyond 360.
	Lower, Upper float64
	Warning      *[2]float64 // inside the limits, infinite on an open side; nil for none
	// NeverNegative begins the scale at 0.
	NeverNegative bool
	Probability   *float64 // of meeting this part alone, 0 to 1; nil where not known
}

// The figure's measures.
const (
	partsLeft = 52 * mm
	partsWide = 88 * mm
	partHigh  = 13.5 * mm
	partBar   = 4.4 * mm
	mostParts = 14 // as many as a page of a document holds
)

type toleranceRows struct {
	leaf
	f *ToleranceFigure
}

// Drawing lays the figure out. Errors: its faults, up to ten, each with its place.
func (f ToleranceFigure) Drawing() (*Drawing, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	f.Texts = InEnglish(f.Texts)
	f.Title, f.Finding, f.Conditions, f.Version = clean(f.Title), clean(f.Finding), clean(f.Conditions), clean(f.Version)
	if f.Title == "" {
		f.Title = f.Texts.Tolerance.Title
	}
	t := &toleranceRows{f: &f}
	t.head(f.Title, f.Finding)
	t.panels -= 5 * mm // no heading of a panel
	t.legend = legendRows(f.legend())
	var foot []string
	if f.Conditions != "" {
		foot = append(foot, f.Texts.conditions(f.Conditions))
	}
	if f.Version != "" {
		foot = append(foot, f.Version+".")
	}
	t.foot(foot...)
	t.high = t.panels + vg.Length(len(f.Parts))*partHigh + vg.Length(len(t.legend))*legendRow + 1*mm + t.footHigh()
	return &Drawing{title: f.Title, described: clean(f.described()), texts: f.Texts, high: t.high, paint: t.draw}, nil
}

func (t *toleranceRows) draw(p *pen) {
	t.drawHeader(p)
	for i := range t.f.Parts {
		t.part(p, &t.f.Parts[i], t.high-t.panels-vg.Length(i)*partHigh)
	}
	drawLegend(p, t.legend, vg.Point{X: margin, Y: t.high - t.panels - vg.Length(len(t.f.Parts))*partHigh})
	t.drawFooter(p)
}

func (f *ToleranceFigure) legend() []entry {
	bars, warned := false, false
	for i := range f.Parts {
		bars = bars || f.Parts[i].interval() != nil
		warned = warned || f.Parts[i].Warning != nil
	}
	k := &f.Texts.Tolerance
	words := k.KeyLot
	if bars {
		words = k.KeyLotBars
	}
	es := []entry{
		{words, keySign, func(p *pen, at vg.Point) { p.SetColor(ink); p.Fill(circle(at, 1.2*mm)) }},
		{k.KeyAllowed, keyLine, func(p *pen, at vg.Point) { p.line(solid(band, 8), key(at)...) }},
		{k.KeyLimit, keySign, func(p *pen, at vg.Point) {
			p.line(solid(ink, strong), vg.Point{X: at.X, Y: at.Y - 1.5*mm}, vg.Point{X: at.X, Y: at.Y + 1.5*mm})
		}},
	}
	if warned {
		es = append(es, entry{k.KeyWarning, keySign, func(p *pen, at vg.Point) {
			p.line(warningStyle, vg.Point{X: at.X, Y: at.Y - 1.5*mm}, vg.Point{X: at.X, Y: at.Y + 1.5*mm})
		}})
	}
	return append(es, entry{k.KeyScales, 0, func(*pen, vg.Point) {}})
}

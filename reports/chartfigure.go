package reports

import (
	"pourpath/colour/control"

	"gonum.org/v1/plot/vg"
)

// ChartFigure is the picture of a series of lots: one or more charts of package
// control over one axis of lots. What stands out is marked by a shape and a number,
// and said in words beneath by the rule that found it.
type ChartFigure struct {
	Title string // headline; "Chart of lots" when empty
	// Finding is a sentence that comes first; may be empty.
	Finding string
	// Quantity is what Lots hold, as people call it, such as "a*" or "tint
	// (shade)", and Unit its unit, empty where it has none. Quantity is required,
	// but for a T2 alone.
	Quantity, Unit string
	// Lots are in the order of time, 1 to 2,000.
	Lots []ChartLot

	// The charts of Lots, each by its place in it; at least one. Individuals is
	// two panels, of the values and of their moving ranges.
	Individuals *control.Individuals
	EWMA        *control.EWMA
	RunPlot     *control.RunPlot
	T2          *control.T2

	// LimitsFrom says which lots set the limits, such as "from the first 30 of 5,000
	// lots", where Lots are a part of a longer series; else the charts say it.
	LimitsFrom string

	// Lower and Upper are the specification's limits of the quantity, drawn with
	// the single values; nil where there is none.
	Lower, Upper *float64

	Conditions string // that the values hold under, a sentence; may be empty
	Version    string // version of the program, for the footer
	Texts      *Texts // of the figure's words; nil is English
}

// ChartLot is one lot of a chart.
type ChartLot struct {
	Name  string
	Value float64 // in the unit of the figure; not read where T2 is alone
	// LeftOut is why the lot counts in no chart, where it does not; may be empty.
	LeftOut string
}

// mostLots of one chart are as many as its width can show apart.
const mostLots = 2000

// The chart's measures.
const (
	chartLeft   = 20 * mm
	chartWide   = 126 * mm
	chartHigh   = 46 * mm // of the panel that matters most
	chartLower  = 26 * mm // of the moving ranges
	chartGap    = 11 * mm // between panels, with the lower one's heading
	chartAxis   = 13 * mm // beneath the last panel
	noteIndent  = 8 * mm
	mostNotes   = 12 // signals that are told in words
	mostLeftOut = 6  // lots left out that are named
)

// chart is a ChartFigure with every place decided.
type chart struct {
	leaf
	f      *ChartFigure
	panels []*chartPanel
	notes  []note
	notesY vg.Length // top of the notes, from the top of the page
}

// Drawing lays the figure out. Errors: its faults, up to ten, each with its place.
func (f ChartFigure) Drawing() (*Drawing, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	c := &chart{f: f.cleaned()}
	c.panels, c.notes = c.f.parts()
	c.head(c.f.Title, c.f.sentences()...)
	c.legend = legendRows(c.f.legend(c.panels))
	c.foot(c.f.footer()...)
	y := c.leaf.panels
	for i, pl := range c.panels {
		if i > 0 {
			y += chartGap
		}
		pl.top = y
		y += pl.high
	}
	c.notesY = y + chartAxis + vg.Length(len(c.legend))*legendRow + 3*mm
	c.high = c.notesY + vg.Length(len(c.notes))*headerLine + c.footHigh()
	for _, pl := range c.panels {
		pl.Rectangle = c.box(chartLeft, pl.top, chartWide, pl.high)
	}
	return &Drawing{title: c.f.Title, described: c.described(), texts: c.f.Texts, high: c.high, paint: c.draw}, nil
}

// cleaned is a copy whose texts can be set.
func (f ChartFigure) cleaned() *ChartFigure {
	f.Texts = InEnglish(f.Texts)
	f.Title, f.Finding, f.Quantity, f.Unit = clean(f.Title), clean(f.Finding), clean(f.Quantity), clean(f.Unit)
	f.Conditions, f.Version = clean(f.Conditions), clean(f.Version)
	lots := make([]ChartLot, len(f.Lots))
	for i, l := range f.Lots {
		lots[i] = ChartLot{Name: clean(l.Name), Value: l.Value, LeftOut: clean(l.LeftOut)}
	}
	f.Lots = lots
	if f.Title == "" {
		f.Title = f.Texts.Chart.Title
		if f.Quantity != "" {
			f.Title = Fill(f.Texts.Chart.TitleOf, "quantity", f.Quantity)
		}
	}
	return &f
}

func (c *chart) draw(p *pen) {
	c.drawHeader(p)
	for i, pl := range c.panels {
		pl.draw(p)
		p.heading(string(rune('A'+i)), pl.heading, pl.frame, margin)
	}
	last := c.panels[len(c.panels)-1].frame
	c.f.lotAxis(p, last)
	drawLegend(p, c.legend, vg.Point{X: margin, Y: last.Min.Y - chartAxis})
	y := c.high - c.notesY
	for _, n := range c.notes {
		y -= headerLine
		if n.mark != "" {
			p.text(n.mark, bold, bodySize, ink, left, vg.Point{X: margin, Y: y + 0.6*mm})
		}
		p.prose(n.line, bodySize, ink, left, vg.Point{X: margin + n.indent, Y: y + 0.6*mm})
	}
	c.drawFooter(p)
}

// described is the figure in words, for those who hear it.
func (c *chart) described() string {
	words := ""
	for _, s := range c.f.sentences() {
		words += s + " "
	}
	for _, n := range c.notes {
		words += n.mark + " " + n.line + " "
	}
	return clean(words)
}

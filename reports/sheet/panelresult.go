package sheet

import (
	"fmt"
	"strings"

	"pourpath/reports"
)

// Panel is what a closed panel on glasses of a trial found, as a part of its report.
type Panel struct {
	PanelAsk
	Opened, Closed string // when; required
	Judges         int    // that count
	Without        []string
	Glasses        []PanelGlass
	Test           PanelTest
	P              float64 // of the test
	Exact          bool    // whether p counts every order, else it is by simulation
	Found          bool    // whether the glasses differ
	Trend          *PanelTrend
	Agreement      *float64 // Kendall's W; nil where there is none
	LeastDiff      *float64 // of rank sums; nil where there is none
	Differ         [][2]string
	Level          float64   // the risk at which each test is judged, above 0 and below 1
	First          []string  // the glasses that are put first, of those judged; none where none can be told
	Best           *float64  // the dose that the curve puts first, mL per 100 mL of base; nil where none can be told
	BestWithin     *Interval // of that, at 1 - Level
	Power          float64   // with what probability a preference would be found
	OneGlass       *float64  // the share, 0.5 to 1, of people from which on one glass would be found; nil where not even all
	Warnings       []string  // sentences
	// Figure is the colour path by preference; nil leaves it out. Its words are its own.
	Figure *reports.PreferenceFigure
}

// PanelTest is the test of whether glasses differ.
type PanelTest string

// The tests.
const (
	FriedmanTest      PanelTest = "friedman"
	DurbinTest        PanelTest = "durbin"
	SkillingsMackTest PanelTest = "skillings_mack"
)

// PanelTrend is Page's test along the dose.
type PanelTrend struct {
	P     float64
	Exact bool
	More  bool // whether more of the addition is put first, else less
	Found bool
}

// PanelGlass is what the judges say of a glass.
type PanelGlass struct {
	Glass, Code string // both required
	Dose        Dose
	Answers     int
	RankSum     float64
	Share       [3]float64  // the share of others above which it is put, 0 to 1, with its interval
	Score       *[3]float64 // the mean with its interval; nil for ranks
}

func (c *checker) panel(at string, p Panel) {
	c.ask(p.PanelAsk)
	c.named(at+": opened", p.Opened)
	c.named(at+": closed", p.Closed)
	c.texts(at+": without", p.Without)
	c.texts(at+": warning", p.Warnings)
	c.within(at+": probabilities", 0, 1, p.P, p.Level, p.Power)
	c.optional(at+": agreement", 0, 1, p.Agreement)
	c.optional(at+": least difference", 0, maxOther, p.LeastDiff)
	c.optional(at+": dose", 0, maxML, p.Best)
	c.interval(at+": interval", p.BestWithin, 0, maxML)
	c.optional(at+": share", 0, 1, p.OneGlass)
	if p.Trend != nil {
		c.within(at+": trend", 0, 1, p.Trend.P)
	}
	c.rows(at+": glasses", len(p.Glasses))
	for i, g := range p.Glasses {
		place := fmt.Sprintf("%s: glass %d", at, i+1)
		c.named(place+": label", g.Glass)
		c.named(place+": code", g.Code)
		c.dose(place+": dose", g.Dose)
		c.within(place+": rank sum", 0, maxOther, g.RankSum)
		c.within(place+": share", -1, 2, g.Share[:]...)
		if g.Score != nil {
			c.within(place+": score", -maxOther, maxOther, g.Score[:]...)
		}
	}
}

// panel is the section of one panel.
func (d *document) panel(p Panel) {
	t, x := d.texts, &d.texts.Panel
	d.heading(t.fill(x.ResultTitle, "question", p.Question))
	d.para(p.finding(t))
	if p.Figure != nil {
		d.Blocks = append(d.Blocks, block{Figure: p.Figure})
	}
	d.glasses(p)
	d.quiet(t.fill(x.GlassesHow, "percent", t.plain(100*(1-p.Level), 1)))
	facts := []fact{{x.Session, t.fill(t.Range, "from", p.Opened, "to", p.Closed)}, {x.Judges, t.plain(float64(p.Judges), 0)}, {x.Without, strings.Join(p.Without, ", ")}}
	if len(p.First) > 0 {
		facts = append(facts, fact{x.First, strings.Join(p.First, ", ")})
	}
	if p.Best != nil {
		facts = append(facts, fact{x.Best, d.doseLine(Dose{MLPer100ML: *p.Best}) + p.within(t)})
	} else {
		facts = append(facts, fact{x.Best, x.NoBest})
	}
	pairs := make([]string, len(p.Differ))
	for i, pair := range p.Differ {
		pairs[i] = pair[0] + " – " + pair[1]
	}
	if len(pairs) == 0 {
		pairs = []string{x.NoPairs}
	}
	facts = append(facts, fact{x.Pairs, strings.Join(pairs, ", ")})
	if p.LeastDiff != nil {
		facts = append(facts, fact{x.LeastDiff, t.fixed(*p.LeastDiff, 1)})
	}
	if p.Agreement != nil {
		facts = append(facts, fact{x.Agreement, t.fill(x.AgreementIs, "w", t.fixed(*p.Agreement, 2))})
	}
	d.facts(append(facts, fact{x.Missed, p.missed(t)})...)
	d.Blocks = append(d.Blocks, block{List: append([]string{x.ResultCaution}, p.Warnings...)})
}

// finding is what was found, in sentences.
func (p Panel) finding(t *Texts) string {
	x := &t.Panel
	test := map[PanelTest]string{FriedmanTest: x.Friedman, DurbinTest: x.Durbin, SkillingsMackTest: x.SkillingsMack}[p.Test]
	by := func(exact bool) string {
		if exact {
			return x.Exact
		}
		return x.Simulated
	}
	say := x.NoDifference
	if p.Found {
		say = x.Difference
	}
	out := t.fill(say, "p", t.pValue(p.P), "test", test, "by", by(p.Exact))
	if r := p.Trend; r != nil {
		say = x.NoTrend
		switch {
		case r.Found && r.More:
			say = x.TrendMore
		case r.Found:
			say = x.TrendLess
		}
		out += " " + t.fill(say, "p", t.pValue(r.P), "by", by(r.Exact))
	}
	return out
}

// within is the interval of the dose that is put first.
func (p Panel) within(t *Texts) string {
	if p.BestWithin == nil {
		return ""
	}
	return "\n" + t.fill(t.Panel.BestWithin, "percent", t.plain(100*(1-p.Level), 1), "range", t.interval(p.BestWithin, 1))
}

// missed is what so few judges could not have found.
func (p Panel) missed(t *Texts) string {
	if p.OneGlass == nil {
		return t.fill(t.Panel.MissedAll, "power", t.plain(100*p.Power, 0))
	}
	return t.fill(t.Panel.MissedBelow, "power", t.plain(100*p.Power, 0), "share", t.plain(100**p.OneGlass, 0))
}

func (d *document) glasses(p Panel) {
	t, x := d.texts, &d.texts.Panel
	tab := table{Columns: []column{
		{Head: t.Columns.Glass}, {Head: x.Code, WideMM: 13, Right: true}, {Head: t.Columns.Dose, WideMM: 28, Right: true}, {Head: t.Columns.Share, WideMM: 20, Right: true},
		{Head: x.Answers, WideMM: 20, Right: true}, {Head: x.RankSum, WideMM: 18, Right: true}, {Head: x.Above, WideMM: 32, Right: true}, {Head: x.MeanScore, WideMM: 32, Right: true},
	}}
	doses := make([]Dose, len(p.Glasses))
	for i, g := range p.Glasses {
		doses[i] = g.Dose
	}
	n := doseDecimals(doses...)
	three := func(v [3]float64, scale float64, decimals int) string {
		return t.fill(x.Interval, "value", t.fixed(scale*v[0], decimals), "from", t.fixed(scale*v[1], decimals), "to", t.fixed(scale*v[2], decimals))
	}
	for _, g := range p.Glasses {
		score := cell{}
		if g.Score != nil {
			score = text(three(*g.Score, 1, 1))
		}
		tab.Rows = append(tab.Rows, row{Cells: []cell{text(g.Glass), text(g.Code), text(t.dose(g.Dose, n)), text(d.share(g.Dose, n)),
			text(t.plain(float64(g.Answers), 0)), text(t.plain(g.RankSum, 1)), text(three(g.Share, 100, 0)), score}})
	}
	d.table(tab)
}

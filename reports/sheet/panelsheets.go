package sheet

import (
	"fmt"
	"io"
	"math"

	"pourpath/colour/cie"
)

// PanelMost is what rank 1, or the highest score, of a panel stands for.
type PanelMost string

// What may be asked.
const (
	MostPreferred PanelMost = "preferred"
	MostDeep      PanelMost = "deepest"
	MostClose     PanelMost = "closest"
)

// PanelAsk is what the judges of a panel are asked.
type PanelAsk struct {
	Question string // in the leader's words; required
	Scores   bool   // else ranks
	Ties     bool   // of ranks: whether glasses may share one
	Most     PanelMost
	From, To float64 // of scores
}

// PanelJudge is a judge with the codes of the glasses in the order of serving.
type PanelJudge struct {
	Name  string // required
	Codes []string
}

// CodeLabels are the codes of a panel to be cut out and stuck to its glasses: one
// for each glass of each judge, in the order of serving.
type CodeLabels struct {
	Title   string // of the panel; required
	Date    string // as its readers write dates; required
	Version string // name and version of the program; may be empty
	Judges  []PanelJudge
}

// WritePDF writes the labels as Bench.WritePDF does.
func (l CodeLabels) WritePDF(w io.Writer, texts *Texts) error { return writePDF(w, l, texts) }

// WriteHTML writes the labels as Bench.WriteHTML does.
func (l CodeLabels) WriteHTML(w io.Writer, texts *Texts, stylesheet string) error {
	return writeHTML(w, l, texts, stylesheet)
}

func (l CodeLabels) check() error {
	c := newChecker(panelHead(l.Title, l.Date, l.Version))
	c.judges(l.Judges)
	return c.err()
}

// panelHead is the head of a document that shows no colour.
func panelHead(title, date, version string) Head {
	return Head{Trial: title, Date: date, Version: version, View: cie.OIV()}
}

func (c *checker) judges(list []PanelJudge) {
	c.rows("judges", len(list))
	for i, j := range list {
		at := fmt.Sprintf("judge %d", i+1)
		c.named(at+": name", j.Name)
		c.rows(at+": codes", len(j.Codes))
		for k, code := range j.Codes {
			c.named(fmt.Sprintf("%s: code %d", at, k+1), code)
		}
	}
}

func (l CodeLabels) document(t *Texts) *document {
	x := &t.Panel
	d := &document{texts: t, head: panelHead(l.Title, l.Date, l.Version), Name: x.Labels, Bare: true, Foot: []string{x.LabelsFoot}}
	d.para(x.LabelsHow)
	var labels []label
	for _, j := range l.Judges {
		for i, code := range j.Codes {
			labels = append(labels, label{code, t.fill(x.LabelUnder, "judge", j.Name, "no", t.plain(float64(i+1), 0))})
		}
	}
	if len(labels) > 0 {
		d.Blocks = append(d.Blocks, block{Labels: labels})
	}
	return d
}

// JudgeSheets are sheets for judges without a phone, a page each. Nothing on them
// tells what is in the glasses.
type JudgeSheets struct {
	PanelAsk
	Date    string // as its readers write dates; required
	Version string // name and version of the program; may be empty
	Judges  []PanelJudge
}

// WritePDF writes the sheets as Bench.WritePDF does.
func (s JudgeSheets) WritePDF(w io.Writer, texts *Texts) error { return writePDF(w, s, texts) }

// WriteHTML writes the sheets as Bench.WriteHTML does.
func (s JudgeSheets) WriteHTML(w io.Writer, texts *Texts, stylesheet string) error {
	return writeHTML(w, s, texts, stylesheet)
}

func (s JudgeSheets) check() error {
	c := newChecker(panelHead(s.Question, s.Date, s.Version))
	c.ask(s.PanelAsk)
	c.judges(s.Judges)
	return c.err()
}

func (c *checker) ask(a PanelAsk) {
	c.named("question", a.Question)
	switch a.Most {
	case MostPreferred, MostDeep, MostClose:
	default:
		c.fault("most", "%q is not what a panel is asked", a.Most)
	}
	c.within("scale", -maxOther, maxOther, a.From, a.To)
}

func (s JudgeSheets) document(t *Texts) *document {
	x := &t.Panel
	d := &document{texts: t, head: panelHead(s.Question, s.Date, s.Version), Name: x.Sheet, Bare: true, Foot: []string{x.SheetFoot}}
	for i, j := range s.Judges {
		if i > 0 {
			d.Blocks = append(d.Blocks, block{Break: true})
		}
		d.heading(t.fill(x.Judge, "name", j.Name))
		if i > 0 {
			d.para(s.Question)
		}
		d.para(s.how(t, len(j.Codes)))
		d.answers(s.Scores, j.Codes)
		d.list(x.ViewingTitle, x.Viewing)
		d.list(t.Cautions, x.SheetCautions)
		d.fields(x.SheetFields...)
	}
	return d
}

// how says how to answer for so many glasses.
func (a PanelAsk) how(t *Texts, glasses int) string {
	x := &t.Panel
	if a.Scores {
		most := map[PanelMost]string{MostPreferred: x.ScorePreferred, MostDeep: x.ScoreDeepest, MostClose: x.ScoreClosest}[a.Most]
		return t.fill(x.ScoreHow, "from", t.plain(a.From, 3), "to", t.plain(a.To, 3), "most", most)
	}
	most := map[PanelMost]string{MostPreferred: x.RankPreferred, MostDeep: x.RankDeepest, MostClose: x.RankClosest}[a.Most]
	ties := x.NoTies
	if a.Ties {
		ties = x.WithTies
	}
	return t.fill(x.RankHow, "n", t.plain(float64(glasses), 0), "most", most) + " " + ties
}

// answers is the table that a judge fills in.
func (d *document) answers(scores bool, codes []string) {
	x := &d.texts.Panel
	answer := x.Rank
	if scores {
		answer = x.Score
	}
	tab := table{Columns: []column{
		{Head: x.Served, WideMM: 22, Right: true}, {Head: x.Code, WideMM: 26, Right: true}, {Head: answer, WideMM: 30, Write: true}, {Head: d.texts.Columns.Note, Write: true},
	}}
	for i, code := range codes {
		tab.Rows = append(tab.Rows, row{Strong: true, Cells: []cell{text(d.texts.plain(float64(i+1), 0)), text(code), {}, {}}})
	}
	d.table(tab)
}

// PouringList is for whoever leads a panel: which code is which glass, and who is
// served in which order. It is not for judges, and says so.
type PouringList struct {
	Title      string  // of the trial; required
	Date       string  // as its readers write dates; required
	Version    string  // name and version of the program; may be empty
	Question   string  // required
	HeldPer100 float64 // what is held in the base, in mL per 100 mL of it
	PortionML  float64 // what each judge is poured of a glass, in mL
	Glasses    []PouringRow
	Judges     []PanelJudge
}

// PouringRow is a glass of a panel.
type PouringRow struct {
	Code, Glass string // both required
	Dose        Dose
	Judges      int // how many judges have it
	// BaseML, with what is held in it, and AdditionML are what to make of the blend for
	// its judges, in mL.
	BaseML, AdditionML float64
}

// WritePDF writes the list as Bench.WritePDF does.
func (l PouringList) WritePDF(w io.Writer, texts *Texts) error { return writePDF(w, l, texts) }

// WriteHTML writes the list as Bench.WriteHTML does.
func (l PouringList) WriteHTML(w io.Writer, texts *Texts, stylesheet string) error {
	return writeHTML(w, l, texts, stylesheet)
}

func (l PouringList) check() error {
	c := newChecker(panelHead(l.Title, l.Date, l.Version))
	c.named("question", l.Question)
	c.within("held", 0, maxML, l.HeldPer100)
	c.within("portion", 0, maxML, l.PortionML)
	c.rows("glasses", len(l.Glasses))
	for i, g := range l.Glasses {
		at := fmt.Sprintf("glass %d", i+1)
		c.named(at+": code", g.Code)
		c.named(at+": label", g.Glass)
		c.dose(at+": dose", g.Dose)
		c.within(at+": judges", 0, maxRows, float64(g.Judges))
		c.within(at+": volumes", 0, maxML, g.BaseML, g.AdditionML)
	}
	c.judges(l.Judges)
	return c.err()
}

func (l PouringList) document(t *Texts) *document {
	x := &t.Panel
	d := &document{texts: t, head: panelHead(l.Title, l.Date, l.Version), heldPer100: l.HeldPer100, Name: x.Pouring, Lead: x.NotForJudges, Bare: true}
	d.Foot = []string{x.NotForJudges, d.convention()}
	d.para(l.Question)
	d.para(x.PouringHow)
	d.para(t.fill(x.PouringMake, "portion", t.plain(l.PortionML, 1)))
	tab := table{Columns: []column{
		{Head: t.Columns.Done, WideMM: 12}, {Head: t.Columns.Glass}, {Head: x.Code, WideMM: 20, Right: true},
		{Head: t.Columns.Dose, WideMM: 34, Right: true}, {Head: t.Columns.Share, WideMM: 28, Right: true}, {Head: x.JudgesServed, WideMM: 16, Right: true},
		{Head: x.MakeBase, WideMM: 18, Right: true}, {Head: x.MakeAddition, WideMM: 20, Right: true},
	}}
	n := doseDecimals(dosesOf(l.Glasses)...)
	for _, g := range l.Glasses {
		tab.Rows = append(tab.Rows, row{Cells: []cell{{Tick: true}, text(g.Glass), text(g.Code), text(t.dose(g.Dose, n)),
			text(d.share(g.Dose, n)), text(t.plain(float64(g.Judges), 0)), text(t.fixed(g.BaseML, 1)), text(t.fixed(g.AdditionML, 1))}})
	}
	d.heading(x.WhichIsWhich)
	d.table(tab)
	d.heading(x.Orders)
	most := 0
	for _, j := range l.Judges {
		most = max(most, len(j.Codes))
	}
	d.orders(l.Judges, most)
	d.list(t.Cautions, x.PouringCautions)
	return d
}

func dosesOf(list []PouringRow) (doses []Dose) {
	for _, g := range list {
		doses = append(doses, g.Dose)
	}
	return doses
}

// orders is in which order each judge is served.
func (d *document) orders(judges []PanelJudge, places int) {
	tab := table{Columns: []column{{Head: d.texts.Panel.JudgeHead}}}
	const narrow = 10
	for i := range places {
		tab.Columns = append(tab.Columns, column{Head: d.texts.plain(float64(i+1), 0), WideMM: narrow, Right: true})
	}
	for _, j := range judges {
		r := row{Cells: []cell{text(j.Name)}}
		for i := range places {
			one := cell{}
			if i < len(j.Codes) {
				one = text(j.Codes[i])
			}
			r.Cells = append(r.Cells, one)
		}
		tab.Rows = append(tab.Rows, r)
	}
	d.table(tab)
}

// label is a code to be cut out.
type label struct{ Code, Under string }

// pValue writes a probability by chance alone: none is 0.
func (t *Texts) pValue(p float64) string {
	const least = 0.001
	if p < least {
		return "< " + t.fixed(least, 3)
	}
	return "= " + t.fixed(math.Min(p, 1), 3)
}

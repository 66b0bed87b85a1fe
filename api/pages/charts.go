package pages

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

// chartsView is the page of charts of lots over time.
type chartsView struct {
	frame
	Of         []optionGroup
	Quantities []option
	Rules      []option
	Shown      []option
	Faults     []note
	Asked      bool   // something is charted
	Quantity   string // key of what is charted
	Whose      string // whose lots: the product or the specification
	Conditions english
	Lots       int
	Signals    *int // nil where the charts have none
	LeftCount  int
	LeftOut    []leftLot
	Said       []saidSignal
	Unsaid     int // earlier signals
	Charts     []chartShown
	Capable    []capable
	Incapable  english
	Warnings   []english
	Earlier    string // address of the lots before those that are shown
	Single     *chartRows
	Together   *chartRows

	typed url.Values
}

// leftLot is a lot that does not count.
type leftLot struct {
	ID, Name string
	Reason   english
	At       moment
}

// saidSignal is a signal in words.
type saidSignal struct {
	ID, Name string
	Text     english
	No       int
	At       moment
	Chart    string
}

// chartShown is a picture with what it is of.
type chartShown struct {
	Kind    string
	SVG     drawn
	Address string // of its numbers
	Save    savedPicture
	Problem english // why there is none
}

// capable is one index of capability.
type capable struct {
	Name                string
	Value, Lower, Upper digits
}

// chartRows is the table behind pictures.
type chartRows struct {
	Together bool
	Ranged   bool // with ranges, zones and averages
	Rows     []chartRow
}

// chartRow is a lot with its figures, as they stand in the columns.
type chartRow struct {
	No       int
	ID, Name string
	At       moment
	Out      bool // it is beyond an action limit
	Cells    []digits
}

// chartFields are those of the form.
var chartFields = []sentField{
	{"quantity", "/quantity", aText}, {"rules", "/rules", aText}, {"from", "/from", aText}, {"to", "/to", aText},
	{"base", "/base", aText}, {"points", "/points", aNumber}, {"before", "/before", aNumber},
}

// Typed is what was typed into a field.
func (v *chartsView) Typed(field string) string { return v.typed.Get(field) }

// chartDates are the fields of the form that a date is typed into.
var chartDates = []string{"from", "to", "base"}

// Dates are their names.
func (v *chartsView) Dates() []string { return chartDates }

// Fault is what is wrong with a field; empty where nothing is.
func (v *chartsView) Fault(field string) said {
	for _, f := range v.Faults {
		if f.Field == field {
			return f.Message
		}
	}
	return ""
}

// charts answers with the charts that an address asks for.
func (s *site) charts(r *http.Request) (document, error) {
	typed := r.URL.Query()
	v := &chartsView{frame: s.frame(r, "charts"), Quantity: cmp.Or(typed.Get("quantity"), release.ChartQuantities[0]), typed: typed}
	if err := v.choices(s, r); err != nil {
		return document{}, err
	}
	if typed.Get("of") != "" {
		ask, err := chartAsk(s.words, typed)
		if err == nil {
			err = v.show(r, s, ask)
		}
		if problem := calc.AsProblem(err); problem != nil {
			v.refused(problem)
		} else if err != nil {
			return document{}, err
		}
	}
	return s.render("charts.html", v)
}

// choices are what the form's lists hold.
func (v *chartsView) choices(s *site, r *http.Request) error {
	specs, err := s.config.Records.Specs(r.Context(), record.Page{Limit: pickable, Newest: true})
	if err != nil {
		return err
	}
	of := v.typed.Get("of")
	products, byName := optionGroup{Key: "products"}, optionGroup{Key: "specs"}
	add := func(group *optionGroup, value, name string) {
		if !slices.ContainsFunc(group.Options, func(o option) bool { return o.Value == value }) {
			group.Options = append(group.Options, option{Value: value, Name: name, Chosen: value == of})
		}
	}
	for _, spec := range specs {
		if spec.Product != "" {
			add(&products, "product:"+spec.Product, spec.Product)
		}
		name := spec.Name
		if name == "" {
			name = spec.ID
		}
		add(&byName, "spec:"+spec.ID, name)
	}
	if product, ok := strings.CutPrefix(of, "product:"); ok && product != "" {
		add(&products, of, product)
	}
	for _, group := range []optionGroup{products, byName} {
		if group.Options != nil {
			v.Of = append(v.Of, group)
		}
	}
	pick := func(name string, values []string) (out []option) {
		for _, value := range values {
			out = append(out, option{Value: value, Chosen: value == v.typed.Get(name)})
		}
		return out
	}
	v.Quantities, v.Rules, v.Shown = pick("quantity", release.ChartQuantities), pick("rules", release.ChartRules), pick("points", []string{"100", "500", "2000"})
	return nil
}

// chartAsk is what the form asks.
func chartAsk(words *catalogue, typed url.Values) (release.ChartAsk, error) {
	body := map[string]any{}
	what, name, _ := strings.Cut(typed.Get("of"), ":")
	if what == "product" || what == "spec" {
		body[what] = name
	}
	for _, f := range chartFields {
		text := strings.TrimSpace(typed.Get(f.name))
		if text == "" {
			continue
		}
		body[f.name] = text
		if slices.Contains(chartDates, f.name) {
			body[f.name] = words.instantText(text)
		}
		if n, err := strconv.Atoi(text); err == nil && f.shape == aNumber {
			body[f.name] = n
		}
	}
	data, err := json.Marshal(body)
	if err != nil {
		return release.ChartAsk{}, fmt.Errorf("pages: charts: %w", err)
	}
	return calc.DecodeWhole[release.ChartAsk](data)
}

// refused notes what is wrong with the question.
func (v *chartsView) refused(problem *calc.Problem) {
	for _, f := range problem.Errors {
		field := strings.TrimPrefix(f.Location, "/")
		if field == "product" || field == "spec" {
			field = "of"
		}
		v.Faults = append(v.Faults, note{Field: field, Message: english(f.Message)})
	}
	if len(problem.Errors) == 0 {
		v.Faults = append(v.Faults, note{Message: english(problem.Detail)})
	}
}

// show adds the charts: those of the quantity, then those of the colour as a
// whole. A chart that cannot be made says why in its place; where none can, that
// is what is wrong with the question.
func (v *chartsView) show(r *http.Request, s *site, ask release.ChartAsk) error {
	kinds := []string{"individuals", "ewma", "t2", "plane"}
	if ask.Quantity == "delta_e_00" {
		kinds = []string{"run", "t2", "plane"}
	}
	var first error
	for _, kind := range kinds {
		chart, err := s.release.Chart(r.Context(), askOf(ask, kind))
		problem := calc.AsProblem(err)
		if err != nil && problem == nil {
			return err
		}
		if problem != nil {
			if first == nil {
				first = err
			}
			if len(problem.Errors) > 0 && problem.Errors[0].Location != "" {
				return err // the question is at fault, and every chart with it
			}
			v.Charts = append(v.Charts, chartShown{Kind: kind, Problem: whyNot(problem)})
			continue
		}
		if err := v.add(s, chart); err != nil {
			return err
		}
	}
	if !v.Asked {
		v.Charts = nil
		return first
	}
	return nil
}

// whyNot is why there is no chart, as a sentence.
func whyNot(problem *calc.Problem) english {
	if len(problem.Errors) == 0 {
		return english(problem.Detail)
	}
	return english(problem.Errors[0].Message)
}

// add shows a chart.
func (v *chartsView) add(s *site, c release.Chart) error {
	if !v.Asked {
		v.Asked, v.Whose, v.Conditions, v.Lots, v.LeftCount = true, c.Product, english(c.Condition), c.Lots, c.LeftCount
		if v.Whose == "" && c.Spec != nil {
			v.Whose = c.Spec.Name
		}
		for _, l := range slices.Backward(c.LeftOut) {
			v.LeftOut = append(v.LeftOut, leftLot{ID: l.Lot, Name: l.Name, At: dayOf(l.At), Reason: english(l.Reason)})
		}
		if c.FirstPoint > 1 {
			earlier := url.Values{}
			for name, values := range v.typed {
				earlier[name] = values
			}
			earlier.Set("before", strconv.Itoa(c.FirstPoint))
			v.Earlier = "/charts?" + earlier.Encode()
		}
	}
	for _, w := range c.Warnings {
		if message := english(w.Message); !slices.Contains(v.Warnings, message) {
			v.Warnings = append(v.Warnings, message)
		}
	}
	if c.Kind != "run" && c.Kind != "plane" {
		v.signals(c)
	}
	v.capability(c)
	v.rows(c)
	shown := chartShown{Kind: c.Kind, Address: chartAddress(s.words, c, v.typed), Save: savedAt("/charts/"+c.Kind+"/picture", v.typed, chartFile(c))}
	figure, err := c.Figure(s.config.Version, &s.papers.Figures)
	if problem := calc.AsProblem(err); problem != nil {
		shown.Problem = whyNot(problem)
		v.Charts = append(v.Charts, shown)
		return nil // it is told in the chart's place
	} else if err != nil {
		return err
	}
	drawing, err := figure.Drawing()
	if err != nil {
		return err
	}
	var svg bytes.Buffer
	err = drawing.WriteInlineSVG(&svg)
	shown.SVG = drawn(svg.String())
	v.Charts = append(v.Charts, shown)
	return err
}

// chartAddress is where the picture is by itself.
func chartAddress(words *catalogue, c release.Chart, typed url.Values) string {
	q := url.Values{"kind": {c.Kind}}
	what, name, _ := strings.Cut(typed.Get("of"), ":")
	q.Set(what, name)
	for _, f := range chartFields {
		value := strings.TrimSpace(typed.Get(f.name))
		if value == "" || (f.name == "quantity" || f.name == "rules") && (c.Kind == "t2" || c.Kind == "plane") {
			continue
		}
		if slices.Contains(chartDates, f.name) {
			value = words.instantText(value)
		}
		q.Set(f.name, value)
	}
	return "/v1/charts?" + q.Encode()
}

// chartFile is the name of the files that a chart is saved as.
func chartFile(c release.Chart) string { return fileName(c.Kind, c.Title(nil)) }

// chartPicture draws the chart that an address asks for alone.
func (s *site) chartPicture(r *http.Request) (document, error) {
	ask, err := chartAsk(s.words, r.URL.Query())
	if err != nil {
		return picturedOf(r, nil, err, "")
	}
	chart, err := s.release.Chart(r.Context(), askOf(ask, r.PathValue("kind")))
	if err != nil {
		return picturedOf(r, nil, err, "")
	}
	figure, err := chart.Figure(s.config.Version, &s.papers.Figures)
	return picturedOf(r, figure, err, chartFile(chart))
}

// askOf is what the page asks about a chart of one kind.
func askOf(page release.ChartAsk, kind string) release.ChartAsk {
	if page.Points == nil {
		usual := 100
		page.Points = &usual
	}
	if page.Kind = kind; kind == "t2" || kind == "plane" {
		page.Quantity, page.Rules = "", ""
	}
	return page
}

// newestSignals is how many signals of each chart the page says in words.
const newestSignals = 8

func (v *chartsView) signals(c release.Chart) {
	if v.Signals == nil {
		v.Signals = new(int)
	}
	*v.Signals += c.SignalCount
	list := c.Signals[max(0, len(c.Signals)-newestSignals):]
	v.Unsaid += c.SignalCount - len(list)
	for _, s := range slices.Backward(list) {
		v.Said = append(v.Said, saidSignal{ID: s.Lot, Name: s.Name, No: s.No, At: dayOf(s.At), Text: english(s.Text), Chart: s.Chart})
	}
}

func (v *chartsView) capability(c release.Chart) {
	v.Incapable += english(c.NoCapability)
	k := c.Capability
	if k == nil {
		return
	}
	for _, one := range []struct {
		name  string
		index *release.ChartIndex
	}{{"Cp", k.Cp}, {"Cpk", &k.Cpk}, {"Pp", k.Pp}, {"Ppk", &k.Ppk}} {
		if one.index != nil {
			v.Capable = append(v.Capable, capable{one.name, fixed(one.index.Value, 2), fixed(one.index.Lower, 2), fixed(one.index.Upper, 2)})
		}
	}
}

// rows adds a chart's figures to the table of its lots.
func (v *chartsView) rows(c release.Chart) {
	table := &v.Single
	if c.Quantity == "" {
		table = &v.Together
	}
	d := c.Digits()
	if *table == nil {
		*table = &chartRows{Together: c.Quantity == "", Ranged: c.Kind == "individuals"}
		for _, p := range c.Points {
			row := chartRow{No: p.No, ID: p.Lot, Name: p.Name, At: dayOf(p.At)}
			if c.Quantity == "" {
				row.Cells = []digits{maybe(p.L, 2), maybe(p.A, 2), maybe(p.B, 2)}
			} else {
				row.Cells = []digits{maybe(p.Value, d)}
			}
			(*table).Rows = append((*table).Rows, row)
		}
	}
	if len((*table).Rows) != len(c.Points) {
		return
	}
	for i, p := range c.Points {
		row := &(*table).Rows[i]
		switch c.Kind {
		case "individuals":
			row.Out = *p.Zone == 4 || *p.Zone == -4
			row.Cells = append(row.Cells, maybe(p.Range, d), digits(fmt.Sprintf("%+d", *p.Zone)))
		case "ewma":
			row.Cells = append(row.Cells, maybe(p.Average, d))
		case "t2":
			limit := c.T2.FurtherLimit
			if p.No <= c.T2.Base {
				limit = c.T2.BaseLimit
			}
			row.Out = *p.T2 > limit
			row.Cells = append(row.Cells, maybe(p.T2, 1))
		}
	}
}

package release

import (
	"cmp"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/cie"
	"pourpath/colour/control"
	"pourpath/reports"
)

// drawn is the part of a chart that its picture shows.
type drawn struct {
	from, to, first int
	checker         *calc.Checker // nil without a specification
	individuals     *control.Individuals
	ewma            *control.EWMA
	run             *control.RunPlot
	t2              *control.T2
}

// Figure is the picture of the lots in Points. The error is a *calc.Problem where
// there is none. version is the program's; texts are the figure's words, nil for
// English.
func (c Chart) Figure(version string, texts *reports.Texts) (reports.Figure, error) {
	version = "Pourpath " + version
	t := reports.InEnglish(texts)
	if len(c.Points) == 0 {
		return nil, refuse("/points", nil, "there is nothing to draw: ask for 1 lot or more in \"points\", and with \"before\" for a number above 1")
	}
	if c.Kind == "plane" {
		return c.planeFigure(version, t), nil
	}
	f := reports.ChartFigure{
		Title: c.Title(t), Finding: c.part(t), Quantity: quantityName(c.Quantity, t), LimitsFrom: c.limitsFrom(t),
		Individuals: c.drawn.individuals, EWMA: c.drawn.ewma, RunPlot: c.drawn.run, T2: c.drawn.t2,
		Conditions: c.conditions(t), Version: version, Texts: t,
	}
	if c.drawn.individuals != nil && c.SpecLimits != nil {
		f.Lower, f.Upper = c.SpecLimits.Lower, c.SpecLimits.Upper
	}
	for _, p := range c.Points {
		lot := reports.ChartLot{Name: p.Name}
		if p.Value != nil {
			lot.Value = *p.Value
		}
		f.Lots = append(f.Lots, lot)
	}
	return f, nil
}

// Title is what the chart is called, in the words of a picture; nil for English.
func (c Chart) Title(texts *reports.Texts) string {
	t := reports.InEnglish(texts)
	what := map[string]string{"t2": t.Chart.Together, "plane": t.Chart.Colour}[c.Kind]
	if what == "" {
		what = quantityName(c.Quantity, t)
		if c.Quantity == "intensity" || c.Quantity == "tint" {
			what = strings.ToUpper(what[:1]) + what[1:]
		}
	}
	switch {
	case c.Product != "":
		return reports.Fill(t.Chart.Of, "quantity", what, "product", c.Product)
	case c.Spec != nil && c.Spec.Name != "":
		return reports.Fill(t.Chart.OfSpec, "quantity", what, "spec", c.Spec.Name)
	}
	return reports.Fill(t.Chart.OfLots, "quantity", what)
}

// part says which lots are drawn, where not all are.
func (c Chart) part(t *reports.Texts) string {
	shown, count := len(c.Points), t.Plain(float64(c.Lots), 0)
	switch {
	case shown == c.Lots:
		return ""
	case c.drawn.to == c.Lots:
		return reports.Fill(t.Chart.NewestDrawn, "shown", t.Plain(float64(shown), 0), "count", count)
	}
	return reports.Fill(t.Chart.PartDrawn, "first", t.Plain(float64(c.drawn.from+1), 0), "last", t.Plain(float64(c.drawn.to), 0), "count", count)
}

func (c Chart) planeFigure(version string, t *reports.Texts) reports.Figure {
	f := reports.LotPlaneFigure{Title: c.Title(t), Finding: c.part(t), View: cie.OIV(), Version: version, Texts: t}
	if view, source, ok := record.FigureView(c.Condition); ok { // the figure tells its view itself
		f.View, f.Conditions = view, reports.Fill(t.Chart.PlaneConditions, "source", sourceName(source, t))
	}
	if k := c.drawn.checker; k != nil {
		f.Region, f.Reference = k.Region(), k.Reference()
		f.LowerL, f.UpperL = k.Limits("L")
	}
	for _, p := range c.Points {
		f.Lots = append(f.Lots, reports.PlaneLot{Name: p.Name, Lab: cie.Lab{L: *p.L, A: *p.A, B: *p.B, View: f.View}})
	}
	return f
}

// conditions are what the values hold for and were made from.
func (c Chart) conditions(t *reports.Texts) string {
	view, source, ok := record.FigureView(c.Condition)
	if !ok {
		return c.Condition
	}
	return reports.Fill(t.Chart.Conditions, "illuminant", string(view.Illuminant), "observer", string(view.Observer),
		"mm", t.Plain(view.DepthMM, 3), "source", sourceName(source, t))
}

// sourceName is what a colour was made from; one without a name is called as it is.
func sourceName(source string, t *reports.Texts) string {
	return cmp.Or(t.Chart.Sources[source], source)
}

// Digits is how many digits behind the point its values are told with.
func (c Chart) Digits() int {
	if c.Quantity == "intensity" || c.Quantity == "tint" {
		return 4
	}
	return 2
}

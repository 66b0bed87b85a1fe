package release

import (
	"fmt"
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
// there is none. version is the program's.
func (c Chart) Figure(version string) (reports.Figure, error) {
	version = "Pourpath " + version
	if len(c.Points) == 0 {
		return nil, refuse("/points", nil, "there is nothing to draw: ask for 1 lot or more in \"points\", and with \"before\" for a number above 1")
	}
	if c.Kind == "plane" {
		return c.planeFigure(version), nil
	}
	f := reports.ChartFigure{
		Title: c.Title(), Finding: c.part(), Quantity: quantityName(c.Quantity), LimitsFrom: c.limitsFrom(),
		Individuals: c.drawn.individuals, EWMA: c.drawn.ewma, RunPlot: c.drawn.run, T2: c.drawn.t2,
		Conditions: c.Condition, Version: version,
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

// Title is what the chart is called.
func (c Chart) Title() string {
	what := map[string]string{"t2": "L*, a*, b* together", "plane": "Colour"}[c.Kind]
	if what == "" {
		name := quantityName(c.Quantity)
		what = strings.ToUpper(name[:1]) + name[1:]
		if c.Quantity == "a" || c.Quantity == "b" || c.Quantity == "delta_e_00" {
			what = name
		}
	}
	switch {
	case c.Product != "":
		return what + " of " + c.Product
	case c.Spec != nil && c.Spec.Name != "":
		return what + " of lots held against " + c.Spec.Name
	}
	return what + " of lots"
}

// part says which lots are drawn, where not all are.
func (c Chart) part() string {
	shown := len(c.Points)
	switch {
	case shown == c.Lots:
		return ""
	case c.drawn.to == c.Lots:
		return fmt.Sprintf("The newest %d of %d lots are drawn; all count.", shown, c.Lots)
	}
	return fmt.Sprintf("Lots %d to %d of %d are drawn; all count.", c.drawn.from+1, c.drawn.to, c.Lots)
}

func (c Chart) planeFigure(version string) reports.Figure {
	f := reports.LotPlaneFigure{Title: c.Title(), Finding: c.part(), View: cie.OIV(), Version: version}
	if i := strings.LastIndex(c.Condition, ", from "); i >= 0 { // the figure tells its view itself
		f.Conditions = "colours" + c.Condition[i+1:]
	}
	if view, ok := record.FigureView(c.Condition); ok {
		f.View = view
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

// Digits is how many digits behind the point its values are told with.
func (c Chart) Digits() int {
	if c.Quantity == "intensity" || c.Quantity == "tint" {
		return 4
	}
	return 2
}

package release

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour"
	"pourpath/colour/control"
	"pourpath/reports"
)

const (
	mostSignals = 200
	mostLeftOut = 100
)

// charting is a chart in the making.
type charting struct {
	ask    ChartAsk
	lots   []charted // those that count, in the order of time
	left   []charted // those that do not, with why
	first  int       // how many lots are the base period; 0 for all
	limits *ChartSpecLimits
	out    *Chart
}

// Chart answers with a chart. The error is a *calc.Problem where it cannot be
// made: a specification that is not there, fewer lots than it needs.
func (r *Release) Chart(ctx context.Context, ask ChartAsk) (Chart, error) {
	var f calc.Faults
	if ask.Check(&f); f.Err() != nil {
		return Chart{}, f.Err()
	}
	ask = ask.settled()
	c := &charting{ask: ask, out: &Chart{
		Kind: ask.Kind, Product: ask.Product, Quantity: ask.Quantity, From: ask.From, To: ask.To,
		Signals: []ChartSignal{}, Points: []ChartPoint{}, LeftOut: []ChartLeftOut{}, Warnings: []calc.Warning{},
	}}
	if err := r.chartSpec(ctx, c); err != nil {
		return Chart{}, err
	}
	all, err := r.series(ctx, record.FigureOf{Spec: ask.Spec, Product: ask.Product})
	if err != nil {
		return Chart{}, err
	}
	switch {
	case len(all) == 0 && ask.Spec != "":
		return Chart{}, refuse("/spec", ask.Spec, "no sample of a lot was judged by this specification yet: there is nothing to chart")
	case len(all) == 0:
		return Chart{}, refuse("/product", ask.Product, "no sample of a lot of this product was judged yet: there is nothing to chart. Check the name, or give \"spec\"")
	}
	c.choose(all)
	c.specLimits()
	if err := c.compute(); err != nil {
		return Chart{}, err
	}
	return *c.out, r.name(ctx, c)
}

// chartSpec finds the specification that gives the limits. A product without one,
// or with several, is charted without.
func (r *Release) chartSpec(ctx context.Context, c *charting) error {
	var spec record.Spec
	var err error
	if c.ask.Spec != "" {
		spec, err = r.store.Spec(ctx, c.ask.Spec)
	} else {
		spec, err = r.store.SpecOf(ctx, c.ask.Product)
	}
	switch problem := calc.AsProblem(err); {
	case problem != nil:
		c.out.Warnings = append(c.out.Warnings, calc.Warning{Code: "no_spec_limits", Message: "No limits or region are shown: " + problem.Errors[0].Message + "."})
		return nil //nolint:nilerr // it is among the warnings
	case errors.Is(err, record.ErrNotFound):
		return refuse("/spec", c.ask.Spec, "no specification is stored under this identifier")
	case err != nil:
		return err
	}
	checker, err := r.checker(spec)
	if err != nil {
		return err
	}
	c.out.Spec = &ChartSpec{ID: spec.ID, Version: spec.Version, Name: spec.Name}
	c.out.drawn.checker = &checker
	return nil
}

// specLimits are the specification's limits, where they hold for what was read.
func (c *charting) specLimits() {
	k := c.out.drawn.checker
	if k == nil {
		return
	}
	ofColour := c.ask.Quantity != "intensity" && c.ask.Quantity != "tint"
	if view, _, ok := record.FigureView(c.out.Condition); ofColour && ok && view != k.View() {
		c.out.drawn.checker = nil
		c.out.Warnings = append(c.out.Warnings, calc.Warning{Code: "no_spec_limits", Message: fmt.Sprintf(
			"No limits or region are shown: version %d of the specification holds for %v, and most lots of the period were judged for %v.", c.out.Spec.Version, k.View(), view)})
		return
	}
	if lower, upper := k.Limits(c.ask.Quantity); lower != nil || upper != nil {
		c.limits = &ChartSpecLimits{Lower: lower, Upper: upper}
		c.out.SpecLimits = c.limits
	}
}

// choose takes the lots of the period, and of them those that were read in the
// conditions that most were, the newest ones' where as many were in others.
func (c *charting) choose(all []charted) {
	from, to := 0, len(all)
	if c.ask.From != nil {
		from = after(all, *c.ask.From)
	}
	if c.ask.To != nil {
		to = after(all, *c.ask.To)
	}
	all = all[from:max(from, to)]
	count := map[string]int{}
	for i := range all {
		if all[i].left == "" {
			count[all[i].conditions]++
		}
	}
	most := 0
	for i := len(all) - 1; i >= 0; i-- {
		if n := count[all[i].conditions]; all[i].left == "" && n > most {
			most, c.out.Condition = n, all[i].conditions
		}
	}
	of := c.of()
	odd := func(l *charted) string {
		switch {
		case l.left != "":
			return l.left
		case l.conditions != c.out.Condition:
			return fmt.Sprintf("it was read in other conditions (%s) than most lots (%s)", l.conditions, c.out.Condition)
		case of != nil && math.IsNaN(of(l)):
			return "it has no " + quantityName(c.ask.Quantity, reports.InEnglish(nil))
		}
		return ""
	}
	c.lots = all
	if i := slices.IndexFunc(all, func(l charted) bool { return odd(&l) != "" }); i >= 0 {
		c.lots = slices.Clone(all[:i])
		for ; i < len(all); i++ {
			lot := all[i]
			if lot.left = odd(&lot); lot.left != "" {
				c.left = append(c.left, lot)
			} else {
				c.lots = append(c.lots, lot)
			}
		}
	}
	c.out.Lots, c.out.LeftCount = len(c.lots), len(c.left)
}

// after is the place of the first lot at or after a time.
func after(all []charted, at record.Instant) int {
	micros := at.UnixMicro()
	return sort.Search(len(all), func(i int) bool { return all[i].atMicros >= micros })
}

// of is how the quantity is read of a lot; nil for L*, a*, b* together.
func (c *charting) of() func(*charted) float64 {
	switch c.ask.Quantity {
	case "L":
		return func(l *charted) float64 { return l.l }
	case "a":
		return func(l *charted) float64 { return l.a }
	case "b":
		return func(l *charted) float64 { return l.b }
	case "intensity":
		return func(l *charted) float64 { return l.intensity }
	case "tint":
		return func(l *charted) float64 { return l.tint }
	case "delta_e_00":
		return func(l *charted) float64 { return l.apart }
	}
	return nil
}

// quantityName is what people call a quantity of a chart; one without a name is called
// as it is.
func quantityName(quantity string, t *reports.Texts) string {
	return cmp.Or(t.Charted[quantity], quantity)
}

func values(lots []charted, of func(*charted) float64) []float64 {
	out := make([]float64, len(lots))
	for i := range lots {
		out[i] = of(&lots[i])
	}
	return out
}

// compute makes the chart that is asked for.
func (c *charting) compute() error {
	if err := c.enough(); err != nil {
		return err
	}
	switch c.ask.Kind {
	case "individuals":
		return c.individuals()
	case "ewma":
		return c.ewma()
	case "run":
		return c.run()
	case "t2":
		return c.t2()
	}
	c.plane()
	return nil
}

// enough refuses a chart of fewer lots than it needs, and says how many there are.
func (c *charting) enough() error {
	lots, until, err := c.ask.base()
	if err != nil {
		return err
	}
	c.first = lots
	if until != nil {
		if c.first = after(c.lots, *until); c.first == 0 {
			return refuse("/base", c.ask.Base, "no lot of the period lies before this date, so that nothing sets the limits%s", c.span())
		}
	}
	if c.first > len(c.lots) {
		return refuse("/base", c.ask.Base, "the base period is to have %d lots, and the period has %d that count%s", c.first, len(c.lots), c.aside())
	}
	need := control.MinBase
	switch c.ask.Kind {
	case "t2":
		need = max(need, 5*3)
	case "run", "plane":
		need = 1
	}
	have, where, place := len(c.lots), "there are", ""
	if c.first > 0 && need > 1 {
		have, where, place = c.first, "the base period has", "/base"
	}
	if have >= need {
		return nil
	}
	return refuse(place, nil, "too few lots for this chart: %s %d that count%s, and it needs %d. A longer period, or more lots, would do%s", where, have, c.aside(), need, c.span())
}

// span says when the lots of the chart are from.
func (c *charting) span() string {
	if len(c.lots) == 0 {
		return ""
	}
	day := func(l charted) string { return time.UnixMicro(l.atMicros).UTC().Format(time.DateOnly) }
	return fmt.Sprintf("; its lots are from %s to %s", day(c.lots[0]), day(c.lots[len(c.lots)-1]))
}

// aside says how many lots are left out.
func (c *charting) aside() string {
	if len(c.left) == 0 {
		return ""
	}
	return fmt.Sprintf(" (%d are left out: the newest because %s)", len(c.left), c.left[len(c.left)-1].left)
}

func (c *charting) base() control.Base { return control.Base{First: c.first} }

// refused gives a fault of package control the place in the question that it
// comes from.
func refused(err error) error {
	var faults colour.FieldErrors
	if !errors.As(err, &faults) {
		return err
	}
	list := make([]calc.Fault, len(faults))
	for i, f := range faults {
		list[i] = calc.Fault{Message: f.Message}
		switch f.Field {
		case "first":
			list[i].Location = "/base"
		case "lambda":
			list[i].Location = "/lambda"
		}
	}
	return calc.Refuse(list...)
}

func (c *charting) warn(list []colour.Warning) {
	for _, w := range list {
		c.out.Warnings = append(c.out.Warnings, calc.Warning{Code: w.Code, Message: w.Message})
	}
}

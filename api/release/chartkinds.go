package release

import (
	"errors"
	"fmt"
	"slices"

	"pourpath/colour"
	"pourpath/colour/control"
	"pourpath/reports"
)

func (c *charting) individuals() error {
	k, err := control.NewIndividuals(values(c.lots, c.of()), c.base(), c.ask.rules())
	if err != nil {
		return refused(err)
	}
	for _, r := range k.Rules {
		c.out.Rules = append(c.out.Rules, ChartRule{Rule: string(r), Name: r.Name()})
	}
	c.level(k.Level, k.BasePoints)
	l := k.Limits
	c.out.Limits = &ChartLimits{LowerAction: l.LowerAction, UpperAction: l.UpperAction, LowerWarning: l.LowerWarning, UpperWarning: l.UpperWarning}
	c.out.Ranges = &ChartRanges{Centre: k.Ranges.Centre, UpperAction: k.Ranges.UpperAction}
	c.signals("values", k.Signals)
	c.signals("ranges", k.Ranges.Signals)
	c.warn(k.Warnings)
	c.capability(k)
	from, to := c.window()
	for i := from; i < to; i++ {
		p := c.point(i)
		zone := int(k.Zones[i])
		p.Value, p.Zone = &k.Values[i], &zone
		if i > 0 {
			p.Range = &k.Ranges.Values[i-1]
		}
		c.out.Points = append(c.out.Points, p)
	}
	part := k
	part.BasePoints = c.shownBase(k.BasePoints, from)
	part.Kept, part.Values, part.Zones = places(to-from), k.Values[from:to], k.Zones[from:to]
	if to > from {
		part.Ranges.Values = k.Ranges.Values[from : to-1]
	}
	part.Signals, part.Ranges.Signals = within(k.Signals, from, to), within(k.Ranges.Signals, from, to)
	part.Ranges.Signals = slices.DeleteFunc(part.Ranges.Signals, func(s control.Signal) bool { return s.At == 0 }) // from a lot that is not drawn
	c.out.drawn.individuals = &part
	return nil
}

// capability is that of a steady process, or why there is none.
func (c *charting) capability(k control.Individuals) {
	if c.limits == nil {
		c.out.NoCapability = fmt.Sprintf("There is no capability: no specification gives limits of %s.", quantityName(c.ask.Quantity, reports.InEnglish(nil)))
		return
	}
	got, err := k.Capability(control.Tolerance{Lower: c.limits.Lower, Upper: c.limits.Upper})
	var unstable *control.UnstableError
	var faults colour.FieldErrors
	switch {
	case errors.As(err, &unstable):
		c.out.NoCapability = fmt.Sprintf("There is no capability: the process is not steady, signals on its chart: %d. Find the causes first; what an unsteady process did says nothing of what it will do.", len(unstable.Signals))
		return
	case errors.As(err, &faults):
		c.out.NoCapability = "There is no capability: " + faults[0].Message + "."
		return
	case err != nil:
		c.out.NoCapability = "There is no capability: " + err.Error() + "."
		return
	}
	index := func(i control.Index) ChartIndex { return ChartIndex{Value: i.Value, Lower: i.Lower, Upper: i.Upper} }
	out := &ChartCapability{
		Lots: got.Points, Mean: got.Mean, Within: got.Within, Overall: got.Overall, Cpk: index(got.Cpk), Ppk: index(got.Ppk), Normal: got.Normality.P,
	}
	if got.Cp != nil {
		cp, pp := index(*got.Cp), index(*got.Pp)
		out.Cp, out.Pp = &cp, &pp
	}
	c.out.Capability = out
	for _, w := range got.Warnings {
		if w.Code == "not_normal" || w.Code == "range_signals" { // the chart has told the others
			c.warn([]colour.Warning{w})
		}
	}
}

func (c *charting) level(l control.Level, base int) {
	c.out.Level = &ChartLevel{Centre: l.Centre, Sigma: l.Sigma, Base: base}
}

func (c *charting) ewma() error {
	lambda := control.DefaultLambda
	if c.ask.Lambda != nil {
		lambda = *c.ask.Lambda
	}
	k, err := control.NewEWMA(values(c.lots, c.of()), c.base(), lambda, control.DefaultWidth)
	if err != nil {
		return refused(err)
	}
	c.out.Lambda = lambda
	c.level(k.Level, k.BasePoints)
	c.signals("average", k.Signals)
	c.warn(k.Warnings)
	from, to := c.window()
	for i := from; i < to; i++ {
		p, value := c.point(i), c.of()(&c.lots[i])
		p.Value, p.Average, p.Lower, p.Upper = &value, &k.Averages[i], &k.Lower[i], &k.Upper[i]
		c.out.Points = append(c.out.Points, p)
	}
	part := k
	part.BasePoints = c.shownBase(k.BasePoints, from)
	part.Kept, part.Averages, part.Lower, part.Upper = places(to-from), k.Averages[from:to], k.Lower[from:to], k.Upper[from:to]
	part.Signals = within(k.Signals, from, to)
	c.out.drawn.ewma = &part
	return nil
}

func (c *charting) run() error {
	k, err := control.NewRunPlot(values(c.lots, c.of()))
	if err != nil {
		return refused(err)
	}
	c.out.Median = &k.Median
	from, to := c.window()
	for i := from; i < to; i++ {
		p := c.point(i)
		p.Value = &k.Values[i]
		c.out.Points = append(c.out.Points, p)
	}
	part := k
	part.Values = k.Values[from:to]
	c.out.drawn.run = &part
	return nil
}

func (c *charting) t2() error {
	k, err := control.NewT2([]control.Column{
		{Name: "L*", Values: values(c.lots, func(l *charted) float64 { return l.l })},
		{Name: "a*", Values: values(c.lots, func(l *charted) float64 { return l.a })},
		{Name: "b*", Values: values(c.lots, func(l *charted) float64 { return l.b })},
	}, c.base())
	if err != nil {
		return refused(err)
	}
	c.out.T2 = &ChartT2{Base: k.BasePoints, BaseLimit: k.BaseLimit, FurtherLimit: k.FurtherLimit}
	all := make([]control.Signal, len(k.Signals))
	for i, s := range k.Signals {
		all[i] = s.Signal
	}
	c.signals("t2", all)
	c.warn(k.Warnings)
	from, to := c.window()
	for i := from; i < to; i++ {
		p := c.colourPoint(i)
		p.T2 = &k.Values[i]
		c.out.Points = append(c.out.Points, p)
	}
	part := k
	part.BasePoints = c.shownBase(k.BasePoints, from)
	part.Kept, part.Values, part.Signals = places(to-from), k.Values[from:to], nil
	for _, s := range k.Signals {
		if moved := within([]control.Signal{s.Signal}, from, to); len(moved) > 0 {
			s.Signal = moved[0]
			part.Signals = append(part.Signals, s)
		}
	}
	c.out.drawn.t2 = &part
	return nil
}

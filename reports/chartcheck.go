package reports

import (
	"errors"
	"fmt"

	"pourpath/colour/control"
)

// check returns every fault of f, up to maxFaults.
func (f ChartFigure) check() error {
	c := &checker{}
	c.text("title", f.Title)
	c.text("finding", f.Finding)
	c.text("quantity", f.Quantity)
	c.text("unit", f.Unit)
	c.text("where the limits are from", f.LimitsFrom)
	c.text("conditions", f.Conditions)
	c.text("version", f.Version)
	n := len(f.Lots)
	switch {
	case n == 0:
		c.fault("lots", "there is none: want at least one")
	case n > mostLots:
		c.fault("lots", "%d: want at most %d; chart the latest, or a year at a time", n, mostLots)
	}
	for i, l := range f.Lots {
		c.text(fmt.Sprintf("lot %d: name", i), l.Name)
		c.text(fmt.Sprintf("lot %d: why it is left out", i), l.LeftOut)
	}
	if f.ofQuantity() {
		f.checkQuantity(c)
	} else if f.T2 == nil {
		c.fault("charts", "there is none: want individuals, an EWMA, a run plot or T²")
	}
	if k := f.Individuals; k != nil {
		f.checkIndividuals(c, k)
	}
	if k := f.EWMA; k != nil {
		c.kept("EWMA", k.Kept, n)
		c.series("EWMA averages", len(k.Kept), k.Averages)
		c.series("EWMA lower limits", len(k.Kept), k.Lower)
		c.series("EWMA upper limits", len(k.Kept), k.Upper)
		c.signals("EWMA", k.Signals, k.Kept)
	}
	if k := f.T2; k != nil {
		f.checkT2(c, k)
	}
	if k := f.RunPlot; k != nil {
		c.series("run plot values", n, k.Values)
		f.same(c, "run plot", k.Values, nil)
		if (f.Lower != nil || f.Upper != nil) && f.Individuals == nil {
			c.fault("limits of the specification", "a run plot has no limits: leave them out, or chart individuals")
		}
	}
	return errors.Join(c.faults...)
}

// ofQuantity reports whether a chart is of the lots' own values.
func (f ChartFigure) ofQuantity() bool {
	return f.Individuals != nil || f.EWMA != nil || f.RunPlot != nil
}

func (f ChartFigure) checkQuantity(c *checker) {
	if f.Quantity == "" {
		c.fault("quantity", "is empty: name what is charted, such as a*")
	}
	for i, l := range f.Lots {
		c.within(fmt.Sprintf("lot %d: value", i), -maxCharted, maxCharted, l.Value)
	}
	for _, v := range []*float64{f.Lower, f.Upper} {
		if v != nil {
			c.within("limits of the specification", -maxCharted, maxCharted, *v)
		}
	}
	if f.Lower != nil && f.Upper != nil && !(*f.Lower < *f.Upper) {
		c.fault("limits of the specification", "lower %g and upper %g: want the lower one below the upper", *f.Lower, *f.Upper)
	}
}

func (f ChartFigure) checkIndividuals(c *checker, k *control.Individuals) {
	c.kept("individuals", k.Kept, len(f.Lots))
	c.series("individuals values", len(k.Kept), k.Values)
	c.series("moving ranges", max(0, len(k.Kept)-1), k.Ranges.Values)
	l := k.Limits
	c.within("limits of individuals", -maxCharted, maxCharted, l.LowerAction, l.LowerWarning, k.Level.Centre, l.UpperWarning, l.UpperAction)
	c.within("limits of the moving ranges", 0, maxCharted, k.Ranges.Centre, k.Ranges.UpperAction)
	c.signals("individuals", k.Signals, k.Kept)
	c.signals("moving ranges", k.Ranges.Signals, k.Kept)
	f.same(c, "individuals", k.Values, k.Kept)
}

func (f ChartFigure) checkT2(c *checker, k *control.T2) {
	c.kept("T²", k.Kept, len(f.Lots))
	c.series("T² values", len(k.Kept), k.Values)
	c.within("limits of T²", 0, maxCharted, k.BaseLimit, k.FurtherLimit)
	signals := make([]control.Signal, len(k.Signals))
	for i, s := range k.Signals {
		signals[i] = s.Signal
	}
	c.signals("T²", signals, k.Kept)
}

// maxCharted is the largest value of a chart; T² of a lot far off is large.
const maxCharted = 1e9

// kept wants places in a series of n, in order.
func (c *checker) kept(where string, kept []int, n int) {
	last := -1
	for _, at := range kept {
		if at <= last || at >= n {
			c.fault(where, "lot %d after lot %d: want the places of lots in order, from 0 to %d", at, last, n-1)
			return
		}
		last = at
	}
	if len(kept) == 0 {
		c.fault(where, "no lot is on the chart: want at least one")
	}
}

func (c *checker) series(where string, n int, values []float64) {
	if len(values) != n {
		c.fault(where, "%d: want %d, one each lot on the chart", len(values), n)
	}
	for i, v := range values {
		c.within(fmt.Sprintf("%s: %d", where, i), -maxCharted, maxCharted, v)
	}
}

// signals wants signals of lots that are on the chart.
func (c *checker) signals(where string, signals []control.Signal, kept []int) {
	on := make(map[int]bool, len(kept))
	for _, at := range kept {
		on[at] = true
	}
	for i, s := range signals {
		for _, at := range append([]int{s.At}, s.Points...) {
			if !on[at] {
				c.fault(fmt.Sprintf("%s: signal %d", where, i), "lot %d is not on the chart", at)
				return
			}
		}
	}
}

// same wants a chart of the lots' own values; kept nil stands for all.
func (f ChartFigure) same(c *checker, where string, values []float64, kept []int) {
	for i, v := range values {
		at := i
		if kept != nil {
			if i >= len(kept) {
				return
			}
			at = kept[i]
		}
		if at >= 0 && at < len(f.Lots) && f.Lots[at].Value != v {
			c.fault(where, "value %g of lot %d, which has %g: the chart is of another series", v, at, f.Lots[at].Value)
			return
		}
	}
}

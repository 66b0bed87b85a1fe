package release

import (
	"context"
	"slices"
	"time"

	"pourpath/api/record"
	"pourpath/colour/control"
	"pourpath/reports"
)

// window is the part of the lots that is listed and drawn: the newest ones, or
// those before one. All count for limits and signals.
func (c *charting) window() (from, to int) {
	to = len(c.lots)
	if c.ask.Before != nil {
		to = min(to, *c.ask.Before-1)
	}
	n := usualPoints
	if c.ask.Points != nil {
		n = *c.ask.Points
	}
	from = max(0, to-n)
	c.out.FirstPoint = from + 1
	c.out.drawn.from, c.out.drawn.to, c.out.drawn.first = from, to, c.first
	return from, to
}

// shownBase is how many of the lots that are drawn are of the base period.
func (c *charting) shownBase(points, from int) int { return max(0, points-from) }

// places are 0 to n-1.
func places(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// within are the signals that rang at a lot of a part, with places from its
// beginning. Lots of a pattern that lie outside are left out of it.
func within(list []control.Signal, from, to int) []control.Signal {
	var out []control.Signal
	for _, s := range list {
		if s.At < from || s.At >= to {
			continue
		}
		moved := s
		moved.At, moved.Points = s.At-from, nil
		for _, at := range s.Points {
			if at >= from && at < to {
				moved.Points = append(moved.Points, at-from)
			}
		}
		out = append(out, moved)
	}
	return out
}

// signals adds what rang to the list, which keeps the newest.
func (c *charting) signals(chart string, list []control.Signal) {
	c.out.SignalCount += len(list)
	for _, s := range list[max(0, len(list)-mostSignals):] {
		lot := c.lots[s.At]
		side := map[control.Side]string{control.Above: "above", control.Below: "below", control.Neither: "neither"}[s.Side]
		out := ChartSignal{Chart: chart, Rule: string(s.Rule), Side: side, Lot: lot.lot, No: s.At + 1, At: lot.at(), First: s.At + 1, Last: s.At + 1, Text: s.Text}
		if n := len(s.Points); n > 0 {
			out.First, out.Last = s.Points[0]+1, s.Points[n-1]+1
		}
		c.out.Signals = append(c.out.Signals, out)
	}
	slices.SortStableFunc(c.out.Signals, func(a, b ChartSignal) int { return a.No - b.No })
	c.out.Signals = c.out.Signals[max(0, len(c.out.Signals)-mostSignals):]
}

func (l *charted) at() record.Instant { return record.At(time.UnixMicro(l.atMicros)) }

func (c *charting) point(i int) ChartPoint {
	lot := &c.lots[i]
	return ChartPoint{No: i + 1, Lot: lot.lot, At: lot.at()}
}

func (c *charting) colourPoint(i int) ChartPoint {
	p, lot := c.point(i), &c.lots[i]
	l, a, b := lot.l, lot.a, lot.b
	p.L, p.A, p.B = &l, &a, &b
	return p
}

func (c *charting) plane() {
	from, to := c.window()
	for i := from; i < to; i++ {
		c.out.Points = append(c.out.Points, c.colourPoint(i))
	}
}

// name adds the names of the lots that the answer speaks of.
func (r *Release) name(ctx context.Context, c *charting) error {
	for _, lot := range c.left[max(0, len(c.left)-mostLeftOut):] {
		c.out.LeftOut = append(c.out.LeftOut, ChartLeftOut{Lot: lot.lot, At: lot.at(), Reason: lot.left})
	}
	var ids []string
	seen := map[string]bool{}
	each := func(f func(lot string, name *string)) {
		for i := range c.out.Points {
			f(c.out.Points[i].Lot, &c.out.Points[i].Name)
		}
		for i := range c.out.Signals {
			f(c.out.Signals[i].Lot, &c.out.Signals[i].Name)
		}
		for i := range c.out.LeftOut {
			f(c.out.LeftOut[i].Lot, &c.out.LeftOut[i].Name)
		}
	}
	each(func(lot string, _ *string) {
		if !seen[lot] {
			seen[lot] = true
			ids = append(ids, lot)
		}
	})
	names, err := r.store.LotNames(ctx, ids)
	if err != nil {
		return err
	}
	each(func(lot string, name *string) { *name = names[lot] })
	return nil
}

// limitsFrom says which lots set the limits, where a part of them is drawn.
func (c Chart) limitsFrom(t *reports.Texts) string {
	d := c.drawn
	switch {
	case len(c.Points) == c.Lots:
		return ""
	case d.first == 0:
		return reports.Fill(t.Chart.FromAll, "count", t.Plain(float64(c.Lots), 0))
	}
	return reports.Fill(t.Chart.FromFirstOf, "first", t.Plain(float64(d.first), 0), "count", t.Plain(float64(c.Lots), 0))
}

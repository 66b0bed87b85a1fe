package reports

import (
	"math"

	"pourpath/colour/control"
)

// parts are the panels of the charts that are given, and what is said beneath.
func (f *ChartFigure) parts() ([]*chartPanel, []note) {
	told := &chartNotes{f: f}
	var panels []*chartPanel
	add := func(pl *chartPanel) {
		told.letter = string(rune('A' + len(panels)))
		panels = append(panels, pl)
	}
	if k := f.Individuals; k != nil {
		values := f.individuals(k)
		add(values)
		values.signals = told.tell(k.Signals)
		ranges := f.ranges(k)
		add(ranges)
		ranges.signals = told.tell(k.Ranges.Signals)
	}
	if k := f.EWMA; k != nil {
		pl := f.ewma(k)
		add(pl)
		pl.signals = told.tell(k.Signals)
	}
	if k := f.T2; k != nil {
		pl := f.t2(k)
		add(pl)
		signals := make([]control.Signal, len(k.Signals))
		for i, s := range k.Signals {
			signals[i] = s.Signal
		}
		pl.signals = told.tell(signals)
	}
	if k := f.RunPlot; k != nil {
		add(f.runPlot(k))
	}
	for _, pl := range panels {
		pl.scale(len(f.Lots))
	}
	told.number()
	return panels, told.notes(panels)
}

// titled is a panel's heading with the unit.
func (f *ChartFigure) titled(words string) string {
	if f.Unit == "" {
		return words
	}
	return words + ", " + f.Unit
}

// leftOut are the lots that a chart does not keep.
func (f *ChartFigure) leftOut(kept []int, unknown bool) []chartPoint {
	var out []chartPoint
	next := 0
	for at, l := range f.Lots {
		if next < len(kept) && kept[next] == at {
			next++
			continue
		}
		out = append(out, chartPoint{at, l.Value, unknown})
	}
	return out
}

// baseAfter is the place of the last lot of the base period, or -1 where no lot
// comes after it or it lies before the series.
func baseAfter(kept []int, points int) int {
	if points == 0 || points >= len(kept) {
		return -1
	}
	return kept[points-1]
}

func (f *ChartFigure) individuals(k *control.Individuals) *chartPanel {
	d, t := chartDigits(k.Level.Sigma), &f.Texts.Chart
	pl := &chartPanel{heading: f.titled(Fill(t.SingleLots, "quantity", f.Quantity)), high: chartHigh, at: k.Kept, values: k.Values,
		leftOut: f.leftOut(k.Kept, false), base: baseAfter(k.Kept, k.BasePoints)}
	if f.EWMA == nil && f.T2 == nil && f.RunPlot == nil {
		pl.high += 10 * mm
	}
	l := k.Limits
	pl.levels = []chartLevel{
		{t.Mean, []float64{k.Level.Centre}, centreStyle, false, d},
		{t.LowerAction, []float64{l.LowerAction}, actionStyle, false, d},
		{t.UpperAction, []float64{l.UpperAction}, actionStyle, false, d},
		{t.LowerWarning, []float64{l.LowerWarning}, warningStyle, false, d},
		{t.UpperWarning, []float64{l.UpperWarning}, warningStyle, false, d},
	}
	if f.Lower != nil {
		pl.levels = append(pl.levels, chartLevel{t.SpecLower, []float64{*f.Lower}, specStyle, true, d})
	}
	if f.Upper != nil {
		pl.levels = append(pl.levels, chartLevel{t.SpecUpper, []float64{*f.Upper}, specStyle, true, d})
	}
	return pl
}

func (f *ChartFigure) ranges(k *control.Individuals) *chartPanel {
	d, t := chartDigits(k.Level.Sigma), &f.Texts.Chart
	pl := &chartPanel{heading: f.titled(t.MovingRange), high: chartLower, floor: true,
		values: k.Ranges.Values, base: -1}
	if len(k.Kept) > 1 {
		pl.at = k.Kept[1:]
	}
	pl.levels = []chartLevel{
		{t.MeanRange, []float64{k.Ranges.Centre}, centreStyle, false, d},
		{t.UpperAction, []float64{k.Ranges.UpperAction}, actionStyle, false, d},
	}
	return pl
}

func (f *ChartFigure) ewma(k *control.EWMA) *chartPanel {
	d, t := chartDigits(k.Level.Sigma/2), &f.Texts.Chart
	pl := &chartPanel{heading: f.titled(Fill(t.RunningAverage, "quantity", f.Quantity, "weight", f.Texts.plain(k.Lambda))),
		high: chartHigh, at: k.Kept, values: k.Averages, leftOut: f.leftOut(k.Kept, true), base: baseAfter(k.Kept, k.BasePoints)}
	pl.levels = []chartLevel{
		{t.Centre, []float64{k.Level.Centre}, centreStyle, false, d},
		{t.LowerAction, k.Lower, actionStyle, false, d},
		{t.UpperAction, k.Upper, actionStyle, false, d},
	}
	return pl
}

func (f *ChartFigure) t2(k *control.T2) *chartPanel {
	limits := make([]float64, len(k.Kept))
	for i := range limits {
		limits[i] = k.FurtherLimit
		if i < k.BasePoints {
			limits[i] = k.BaseLimit
		}
	}
	pl := &chartPanel{heading: Fill(f.Texts.Chart.TogetherOf, "names", f.Texts.list(k.Names)), high: chartHigh, floor: true,
		at: k.Kept, values: k.Values, leftOut: f.leftOut(k.Kept, true), base: baseAfter(k.Kept, k.BasePoints)}
	pl.levels = []chartLevel{{f.Texts.Chart.Action, limits, actionStyle, false, 1}}
	return pl
}

func (f *ChartFigure) runPlot(k *control.RunPlot) *chartPanel {
	at := make([]int, len(k.Values))
	most := 0.0
	for i, v := range k.Values {
		at[i], most = i, math.Max(most, v)
	}
	pl := &chartPanel{heading: f.titled(Fill(f.Texts.Chart.RunPlot, "quantity", f.Quantity)), high: chartHigh, floor: true, at: at, values: k.Values, base: -1}
	pl.levels = []chartLevel{{f.Texts.Chart.Median, []float64{k.Median}, centreStyle, false, chartDigits(most)}}
	return pl
}

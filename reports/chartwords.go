package reports

import (
	"math"
	"strings"

	"pourpath/colour/control"
)

// sentences come above the panels, the caller's first.
func (f *ChartFigure) sentences() []string {
	t := f.Texts
	s := []string{f.Finding, f.series()}
	if k := f.Individuals; k != nil {
		d := chartDigits(k.Level.Sigma)
		s = append(s, Fill(t.Chart.SingleSaid, "mean", t.Fixed(k.Level.Centre, d), "sigma", t.Fixed(k.Level.Sigma, d),
			"from", f.level(k.BasePoints, len(k.Kept)), "signals", t.signals(len(k.Signals)+len(k.Ranges.Signals), t.Chart.Single)), f.outside(k))
	}
	if k := f.EWMA; k != nil {
		s = append(s, Fill(t.Chart.AverageSaid, "width", t.plain(k.Width),
			"from", f.level(k.BasePoints, len(k.Kept)), "signals", t.signals(len(k.Signals), t.Chart.Average)))
	}
	if k := f.T2; k != nil {
		s = append(s, Fill(t.Chart.TogetherSaid, "names", t.list(k.Names), "lots", t.whole(int(math.Round(1/control.FalseAlarms))),
			"from", f.level(k.BasePoints, len(k.Kept)), "signals", t.signals(len(k.Signals), t.Chart.T2)))
	}
	if k := f.RunPlot; k != nil {
		s = append(s, t.Said(k.Why))
	}
	return s
}

// series says how many lots there are.
func (f *ChartFigure) series() string {
	t, n := f.Texts, len(f.Lots)
	lots := t.Chart.LotsOne
	if n > 1 {
		lots = Fill(t.Chart.LotsMany, "count", t.whole(n))
	}
	first, last, out := f.Lots[0].Name, f.Lots[n-1].Name, len(f.out())
	named := first != "" && last != "" && n > 1
	words := t.Chart.Series
	switch {
	case named && out > 0:
		words = t.Chart.SeriesNamedOut
	case named:
		words = t.Chart.SeriesNamed
	case out > 0:
		words = t.Chart.SeriesOut
	}
	return Fill(words, "lots", lots, "first", first, "last", last, "out", t.whole(out))
}

// out are the lots that count in no chart.
func (f *ChartFigure) out() []chartPoint {
	switch {
	case f.Individuals != nil:
		return f.leftOut(f.Individuals.Kept, false)
	case f.EWMA != nil:
		return f.leftOut(f.EWMA.Kept, false)
	case f.T2 != nil:
		return f.leftOut(f.T2.Kept, false)
	}
	return nil
}

// level says where the limits come from.
func (f *ChartFigure) level(points, kept int) string {
	t := f.Texts
	switch {
	case f.LimitsFrom != "":
		return f.LimitsFrom
	case points == 0:
		return t.Chart.FromEarlier
	case points < kept:
		return Fill(t.Chart.FromFirst, "count", t.whole(points))
	}
	return Fill(t.Chart.FromThese, "count", t.whole(points))
}

// signals says how many signals there are.
func (t *Texts) signals(n int, words SignalTexts) string {
	switch n {
	case 0:
		return words.None
	case 1:
		return words.One
	}
	return Fill(words.Many, "count", t.whole(n))
}

// outside says where the specification is, and that its limits are no signal.
func (f *ChartFigure) outside(k *control.Individuals) string {
	if f.Lower == nil && f.Upper == nil {
		return ""
	}
	n := 0
	for _, v := range k.Values {
		if f.Lower != nil && v < *f.Lower || f.Upper != nil && v > *f.Upper {
			n++
		}
	}
	t := f.Texts
	var limits string
	switch {
	case f.Upper == nil:
		limits = Fill(t.Chart.LimitsFrom, "lower", t.plain(*f.Lower))
	case f.Lower == nil:
		limits = Fill(t.Chart.LimitsTo, "upper", t.plain(*f.Upper))
	default:
		limits = Fill(t.Chart.LimitsBoth, "lower", t.plain(*f.Lower), "upper", t.plain(*f.Upper))
	}
	return Fill(t.Chart.Outside, "limits", limits, "out", t.whole(n), "count", t.whole(len(k.Values)))
}

func (f *ChartFigure) footer() []string {
	var s []string
	t := f.Texts
	if f.Conditions != "" {
		s = append(s, t.conditions(f.Conditions))
	}
	if k := f.Individuals; k != nil {
		rules := make([]string, len(k.Rules))
		for i, r := range k.Rules {
			rules[i] = t.Rules[r]
		}
		s = append(s, Fill(t.Chart.IndividualsMethod, "rules", strings.Join(rules, t.Shared.Semicolon)))
	}
	if f.EWMA != nil {
		s = append(s, t.Chart.AverageMethod)
	}
	if f.T2 != nil {
		s = append(s, t.Chart.TogetherMethod)
	}
	if f.Version != "" {
		s = append(s, f.Version+".")
	}
	return s
}

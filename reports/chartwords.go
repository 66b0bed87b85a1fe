package reports

import (
	"fmt"
	"strings"

	"pourpath/colour/control"
)

// sentences come above the panels, the caller's first.
func (f *ChartFigure) sentences() []string {
	s := []string{f.Finding, f.series()}
	if k := f.Individuals; k != nil {
		d := chartDigits(k.Level.Sigma)
		s = append(s, fmt.Sprintf("Single lots: mean %s, standard deviation %s, %s. %s", rounded(k.Level.Centre, d), rounded(k.Level.Sigma, d),
			f.level(k.BasePoints, len(k.Kept)), count(len(k.Signals)+len(k.Ranges.Signals), "in single lots and ranges")), f.outside(k))
	}
	if k := f.EWMA; k != nil {
		s = append(s, fmt.Sprintf("Running average: limits at %s standard deviations of the average, %s. %s",
			plain(k.Width), f.level(k.BasePoints, len(k.Kept)), count(len(k.Signals), "in the running average")))
	}
	if k := f.T2; k != nil {
		s = append(s, fmt.Sprintf("T² of %s: limit at a false alarm in %.0f lots, %s. %s", inWords(k.Names), 1/control.FalseAlarms,
			f.level(k.BasePoints, len(k.Kept)), count(len(k.Signals), "in T²")))
	}
	if k := f.RunPlot; k != nil {
		s = append(s, k.Why)
	}
	return s
}

// series says how many lots there are.
func (f *ChartFigure) series() string {
	n := len(f.Lots)
	s := "1 lot"
	if n > 1 {
		s = fmt.Sprintf("%d lots", n)
	}
	if first, last := f.Lots[0].Name, f.Lots[n-1].Name; first != "" && last != "" && n > 1 {
		s += ", " + first + " to " + last
	}
	if out := len(f.out()); out > 0 {
		s += fmt.Sprintf("; %d left out", out)
	}
	return s + "."
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
	switch {
	case f.LimitsFrom != "":
		return f.LimitsFrom
	case points == 0:
		return "from an earlier period"
	case points < kept:
		return fmt.Sprintf("from the first %d lots", points)
	}
	return fmt.Sprintf("from these %d lots", points)
}

// count says how many signals there are, where.
func count(n int, where string) string {
	switch n {
	case 0:
		return "No signal " + where + "."
	case 1:
		return "1 signal " + where + "."
	}
	return fmt.Sprintf("%d signals %s.", n, where)
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
	var limits []string
	if f.Lower != nil {
		limits = append(limits, "from "+signed(*f.Lower))
	}
	if f.Upper != nil {
		limits = append(limits, "to "+signed(*f.Upper))
	}
	return fmt.Sprintf("Specification: %s; %d of %d lots outside at face value. Action limits say what lots usually do, not what they shall.",
		strings.Join(limits, " "), n, len(k.Values))
}

func (f *ChartFigure) footer() []string {
	var s []string
	if f.Conditions != "" {
		s = append(s, "Conditions: "+strings.TrimSuffix(f.Conditions, ".")+".")
	}
	if k := f.Individuals; k != nil {
		rules := make([]string, len(k.Rules))
		for i, r := range k.Rules {
			rules[i] = r.Name()
		}
		s = append(s, "Individuals and moving range after ISO 7870-2: action limits at 3, warning limits at 2 standard deviations (mean moving range / 1.128). Rules looked for: "+
			strings.Join(rules, "; ")+".")
	}
	if f.EWMA != nil {
		s = append(s, "Running average after ISO 7870-6: an exponentially weighted moving average from the centre on.")
	}
	if f.T2 != nil {
		s = append(s, "T² is the squared distance from the mean of the base period in the directions and sizes in which lots scatter; the limit of the base period's own lots is lower than that of later ones.")
	}
	if f.Version != "" {
		s = append(s, f.Version+".")
	}
	return s
}

// inWords lists names.
func inWords(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/reports"
)

// drawings are the forms of a picture, by the end of a file's name.
var drawings = map[string]func(*reports.Drawing, io.Writer) error{
	".svg": (*reports.Drawing).WriteSVG,
	".png": (*reports.Drawing).WritePNG,
	".pdf": (*reports.Drawing).WritePDF,
}

// chartFlags are the question as it stands on the command line.
type chartFlags struct {
	ask            release.ChartAsk
	from, to, plot string
	lambda         float64
	points, before int
}

func (s *session) chartCommand() *cobra.Command {
	var f chartFlags
	c := &cobra.Command{
		Use: "chart", Short: "Chart lots over time: what stands out, drift, capability", Args: noArguments,
		Long: "Charts the lots of a product or a specification in the order of time. Each lot is the mean of\nits samples by their newest verdicts; retained bottles and archived lots do not count.\n\n" +
			"Kinds: individuals (single lots, moving ranges, run rules, capability), ewma (a running average\nfor slow drift), run (a plot without limits, for delta_e_00), t2 (L*, a*, b* together), plane\n(the path through the a*b* plane).",
		Example: "  pourpath chart --product \"House rosé\" --quantity a --base 30\n  pourpath chart --spec ID --kind ewma --quantity tint --plot drift.svg",
		RunE:    func(c *cobra.Command, _ []string) error { return s.charted(c, f) },
	}
	flags := c.Flags()
	flags.StringVar(&f.ask.Product, "product", "", "lots of this product; or give --spec")
	flags.StringVar(&f.ask.Spec, "spec", "", "lots judged by the specification with this identifier; or give --product")
	flags.StringVar(&f.ask.Kind, "kind", "", strings.Join(release.ChartKinds, ", "))
	flags.StringVar(&f.ask.Quantity, "quantity", "", strings.Join(release.ChartQuantities, ", "))
	flags.StringVar(&f.from, "from", "", "lots from this date or time on")
	flags.StringVar(&f.to, "to", "", "lots before this date or time")
	flags.StringVar(&f.ask.Rules, "rules", "", "run rules: "+strings.Join(release.ChartRules, ", "))
	flags.StringVar(&f.ask.Base, "base", "", "lots that set the limits: how many from the first on, or a date that they lie before")
	flags.Float64Var(&f.lambda, "lambda", 0, "ewma: weight of the newest lot (default 0.2)")
	flags.IntVar(&f.points, "points", 0, fmt.Sprintf("how many lots are listed and drawn, up to %d (default 20 listed, 500 drawn)", release.MostPoints))
	flags.IntVar(&f.before, "before", 0, "list and draw those before the lot with this number")
	flags.StringVar(&f.plot, "plot", "", "also draw the chart to `FILE`: .svg, .png or .pdf")
	s.forRecords(c)
	return c
}

// tableRows is how many lots the table of a terminal lists unless it is told.
const tableRows = 20

// question is what the flags ask.
func (f chartFlags) question(c *cobra.Command) (release.ChartAsk, error) {
	ask := f.ask
	for _, t := range []struct {
		name, text string
		to         **record.Instant
	}{{"from", f.from, &ask.From}, {"to", f.to, &ask.To}} {
		if t.text == "" {
			continue
		}
		at, err := record.ParseInstant(t.text)
		if err != nil {
			return ask, usage("--%s %q: want a date such as 2026-11-25, or a time such as 2026-11-25T14:30:00Z", t.name, t.text)
		}
		*t.to = &at
	}
	if c.Flags().Changed("lambda") {
		ask.Lambda = &f.lambda
	}
	if c.Flags().Changed("points") {
		ask.Points = &f.points
	}
	if c.Flags().Changed("before") {
		ask.Before = &f.before
	}
	return ask, nil
}

func (s *session) charted(c *cobra.Command, f chartFlags) error {
	draw := drawings[strings.ToLower(filepath.Ext(f.plot))]
	if f.plot != "" && draw == nil {
		return usage("--plot %s: the name must end in .svg, .png or .pdf", f.plot)
	}
	ask, err := f.question(c)
	if err != nil {
		return err
	}
	if !s.records.there() {
		return usage("there are no records in %s, so there are no lots to chart: say with --data where they are", s.records.data)
	}
	return s.atRelease(c, func(r *release.Release) error {
		chart, err := r.Chart(c.Context(), ask)
		if err != nil {
			return byFlag(err)
		}
		if f.plot != "" {
			if err := plotted(chart, f.plot, draw); err != nil {
				return err
			}
		}
		rows := len(chart.Points)
		if ask.Points == nil {
			rows = min(rows, tableRows)
		}
		return s.answered(nil, chart, func(p *page) { p.chart(chart, rows) })
	})
}

// byFlag names the flags that faults of the question come from.
func byFlag(err error) error {
	problem := calc.AsProblem(err)
	if problem == nil || len(problem.Errors) == 0 {
		return err
	}
	var faults []calc.Fault
	for _, f := range problem.Errors {
		if f.Location != "" {
			f.Location, f.Message = "", "--"+strings.TrimPrefix(f.Location, "/")+": "+f.Message
		}
		faults = append(faults, f)
	}
	return calc.Refuse(faults...)
}

func plotted(chart release.Chart, name string, draw func(*reports.Drawing, io.Writer) error) error {
	figure, err := chart.Figure(version, nil)
	if err != nil {
		return byFlag(err)
	}
	drawing, err := figure.Drawing()
	if err != nil {
		return err
	}
	return wholeFile(name, func(w io.Writer) error { return draw(drawing, w) })
}

// chart writes a chart for people.
func (p *page) chart(c release.Chart, rows int) {
	p.linef("%s: %d lots", c.Title(nil), c.Lots)
	p.linef("Conditions: %s", c.Condition)
	d := c.Digits()
	if l := c.Level; l != nil {
		p.linef("Level: mean %.*f, standard deviation from lot to lot %.*f, from the first %d lots", d, l.Centre, d, l.Sigma, l.Base)
	}
	if l := c.Limits; l != nil {
		p.linef("Action limits %.*f to %.*f, warning limits %.*f to %.*f", d, l.LowerAction, d, l.UpperAction, d, l.LowerWarning, d, l.UpperWarning)
	}
	if c.Median != nil {
		p.linef("Median %.*f; a difference is never negative, so it has no control limits", d, *c.Median)
	}
	if t := c.T2; t != nil {
		p.linef("Limit of T²: %.2f for the first %d lots, %.2f after", t.BaseLimit, t.Base, t.FurtherLimit)
	}
	var rules []string
	for _, r := range c.Rules {
		rules = append(rules, r.Name)
	}
	if rules != nil {
		p.linef("Rules: %s", strings.Join(rules, "; "))
	}
	p.capability(c)
	p.signals(c)
	shown := c.Points[len(c.Points)-rows:]
	p.linef("")
	if len(shown) < c.Lots {
		p.linef("%d of %d lots:", len(shown), c.Lots)
	}
	heading, cells := chartTable(c, shown)
	p.table(heading, cells)
	for _, l := range c.LeftOut {
		p.linef("Left out: %s, %s: %s", l.Name, l.At.Format(time.DateOnly), l.Reason)
	}
	if more := c.LeftCount - len(c.LeftOut); more > 0 {
		p.linef("Left out: %d more", more)
	}
	p.warnings(c.Warnings)
}

func (p *page) capability(c release.Chart) {
	k := c.Capability
	if k == nil {
		if c.NoCapability != "" {
			p.linef("%s", c.NoCapability)
		}
		return
	}
	for _, one := range []struct {
		name  string
		index *release.ChartIndex
	}{{"Cp", k.Cp}, {"Cpk", &k.Cpk}, {"Pp", k.Pp}, {"Ppk", &k.Ppk}} {
		if one.index != nil {
			p.linef("%-4s %.2f  (95 %% interval %.2f to %.2f)", one.name, one.index.Value, one.index.Lower, one.index.Upper)
		}
	}
}

// signals says what stands out, the newest last.
func (p *page) signals(c release.Chart) {
	switch {
	case c.Kind == "run" || c.Kind == "plane":
		return
	case c.SignalCount == 0:
		p.linef("No signal.")
		return
	}
	p.linef("Signals: %d", c.SignalCount)
	list := c.Signals[max(0, len(c.Signals)-tableRows):]
	if more := c.SignalCount - len(list); more > 0 {
		p.linef("  ... %d earlier ones", more)
	}
	for _, s := range list {
		p.linef("  %s (no %d, %s, %s): %s", s.Name, s.No, s.At.Format(time.DateOnly), s.Rule, s.Text)
	}
}

// chartTable is the table of lots of a chart.
func chartTable(c release.Chart, points []release.ChartPoint) (heading []string, rows []row) {
	d := c.Digits()
	heading = []string{"no", "lot", "date"}
	switch c.Kind {
	case "individuals":
		heading = append(heading, quantityName(c.Quantity), "range", "zone")
	case "ewma":
		heading = append(heading, quantityName(c.Quantity), "average", "lower", "upper")
	case "run":
		heading = append(heading, quantityName(c.Quantity))
	case "t2":
		heading = append(heading, "L*", "a*", "b*", "T²")
	case "plane":
		heading = append(heading, "L*", "a*", "b*")
	}
	for _, at := range points {
		cells := []string{fmt.Sprint(at.No), at.Name, at.At.Format(time.DateOnly)}
		switch c.Kind {
		case "individuals":
			cells = append(cells, fixed(at.Value, d), fixed(at.Range, d), fmt.Sprintf("%+d", *at.Zone))
		case "ewma":
			cells = append(cells, fixed(at.Value, d), fixed(at.Average, d), fixed(at.Lower, d), fixed(at.Upper, d))
		case "run":
			cells = append(cells, fixed(at.Value, d))
		case "t2":
			cells = append(cells, fixed(at.L, 2), fixed(at.A, 2), fixed(at.B, 2), fixed(at.T2, 2))
		case "plane":
			cells = append(cells, fixed(at.L, 2), fixed(at.A, 2), fixed(at.B, 2))
		}
		rows = append(rows, row{cells: cells})
	}
	return heading, rows
}

package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/release"
)

func (s *session) checkCommand() *cobra.Command {
	var exitVerdict bool
	c := calculation[calc.CheckRequest, calc.CheckResponse]{
		use: "check", short: "Whether a wine conforms to a specification",
		long:    "Holds a wine against a specification. It exits 0 whatever the verdict, unless\n--exit-verdict is given: then 0 is pass, 3 fail and 4 inconclusive.",
		example: calc.ExampleCheck,
		answer:  calc.Check,
		show:    showCheck,
		verdict: func(a calc.CheckResponse) error {
			if exitVerdict {
				return exitOf(a.Verdict)
			}
			return nil
		},
	}.command(s)
	c.Flags().BoolVar(&exitVerdict, "exit-verdict", false, "exit 3 when the verdict is fail, 4 when inconclusive")
	return c
}

func showCheck(p *page, _ calc.CheckRequest, a calc.CheckResponse) {
	verdict := "Verdict: " + a.Verdict
	if a.Probability != nil {
		verdict += fmt.Sprintf(" (probability of conforming %.3f)", *a.Probability)
	}
	if a.BeyondWarning {
		verdict += ", beyond a warning limit"
	}
	p.linef("%s", verdict)
	rows := make([]row, len(a.Results))
	warned := false
	for i, result := range a.Results {
		rows[i] = row{cells: resultCells(result)}
		warned = warned || result.WarningLower != nil || result.WarningUpper != nil
	}
	head := []string{"part", "value", "±", "least", "most", "at face value", "probability"}
	if warned {
		head = append(head, "warning below", "warning above")
	} else {
		for i := range rows {
			rows[i].cells = rows[i].cells[:len(head)]
		}
	}
	p.table(head, rows)
	showCauses(p, a.Causes)
	showRemedies(p, calc.Worthwhile(a.WouldSettle, a.Probability))
	p.colour(a.Colour)
	p.difference(a.Difference)
	p.warnings(a.Warnings, a.Colour.Warnings)
}

// resultCells are those of one part of a specification, warning limits last.
func resultCells(r calc.CheckResult) []string {
	within := "within"
	switch {
	case !r.Within:
		within = "outside"
	case r.BeyondWarning:
		within = "warning"
	}
	digits := 2
	if r.Quantity == "intensity" || r.Quantity == "tint" {
		digits = 3
	}
	name := quantityName(r.Quantity)
	if w := r.Weights; w != nil {
		name += fmt.Sprintf(" (%g:%g:%g)", w.KL, w.KC, w.KH)
	}
	return []string{
		name, fixed(r.Value, digits), fixed(r.Uncertainty, digits), fixed(r.Lower, digits), fixed(r.Upper, digits),
		within, fixed(r.Probability, 3), fixed(r.WarningLower, digits), fixed(r.WarningUpper, digits),
	}
}

// showCauses says in a line what the uncertainty is made of.
func showCauses(p *page, causes []calc.CauseShare) {
	if len(causes) == 0 {
		return
	}
	var parts []string
	for _, c := range causes {
		parts = append(parts, fmt.Sprintf("%s: %.0f %%", release.CauseName(c, nil), 100*c.Share))
	}
	p.linef("Variance of the least sure part: %s", strings.Join(parts, "; "))
}

// showRemedies lists what could be done about an open verdict.
func showRemedies(p *page, remedies []calc.Remedy) {
	if len(remedies) == 0 {
		return
	}
	p.linef("At the same colour the verdict would be:")
	for _, r := range remedies {
		p.linef("  %-12s (probability %s) if you %s", r.Verdict, fixed(r.Probability, 3), r.What)
	}
}

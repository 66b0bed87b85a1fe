package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
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
			switch {
			case exitVerdict && a.Verdict == "fail":
				return status(exitFail)
			case exitVerdict && a.Verdict == "inconclusive":
				return status(exitInconclusive)
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
	p.linef("%s", verdict)
	rows := make([]row, len(a.Results))
	for i, result := range a.Results {
		within := "within"
		if !result.Within {
			within = "outside"
		}
		digits := 2
		if result.Quantity == "intensity" || result.Quantity == "tint" {
			digits = 3
		}
		rows[i] = row{cells: []string{
			result.Quantity, fixed(result.Value, digits), fixed(result.Uncertainty, digits), fixed(result.Lower, digits), fixed(result.Upper, digits),
			within, fixed(result.Probability, 3),
		}}
	}
	p.table([]string{"part", "value", "±", "least", "most", "at face value", "probability"}, rows)
	p.colour(a.Colour)
	p.difference(a.Difference)
	p.warnings(a.Warnings, a.Colour.Warnings)
}

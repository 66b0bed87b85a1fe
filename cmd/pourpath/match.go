package main

import (
	"github.com/spf13/cobra"

	"pourpath/api/calc"
)

func (s *session) matchCommand() *cobra.Command {
	return calculation[calc.MatchRequest, calc.MatchResponse]{
		use: "match", short: "The blend of some wines that is closest to a target",
		long:    "The volume fractions of 2 to 8 wines whose blend comes closest to a target, within limits.",
		example: calc.ExampleMatch,
		answer:  calc.Match,
		show: func(p *page, r calc.MatchRequest, a calc.MatchResponse) {
			p.fractions(r.Wines, a.Fractions)
			p.colour(a.Colour)
			p.difference(a.Difference)
			if a.Reachable {
				p.linef("The target is reached.")
			} else {
				p.linef("The target is not reached: this is as close as these wines come.")
			}
			p.warnings(a.Warnings, a.Colour.Warnings)
		},
	}.command(s)
}

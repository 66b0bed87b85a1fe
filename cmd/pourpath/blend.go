package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
)

func (s *session) blendCommand() *cobra.Command {
	return calculation[calc.BlendRequest, calc.BlendResponse]{
		use: "blend", short: "Colour of a blend of two wines or more",
		long:    "The colour of wines poured together, by volumes_ml or fractions.",
		example: calc.ExampleBlend,
		answer:  calc.Blend,
		show: func(p *page, r calc.BlendRequest, a calc.BlendResponse) {
			p.fractions(r.Wines, a.Fractions)
			p.colour(a.Colour)
			p.difference(a.Difference)
			p.warnings(a.Colour.Warnings)
		},
	}.command(s)
}

// fractions lists what a blend is made of.
func (p *page) fractions(wines []calc.Wine, fractions []float64) {
	p.linef("Blend, by volume:")
	for i, f := range fractions {
		name := fmt.Sprintf("wine %d", i)
		if wines[i].Name != "" {
			name = wines[i].Name
		}
		p.linef("  %6.2f %%  %s", 100*f, name)
	}
}

package main

import (
	"github.com/spf13/cobra"

	"pourpath/api/calc"
)

func (s *session) scaleCommand() *cobra.Command {
	return calculation[calc.ScaleRequest, calc.ScaleResponse]{
		use: "scale", short: "Volumes for the cellar from a dose found in the glass",
		long:    "What to pour for a dose: base-led (base_l, the addition comes on top) or blend-led\n(blend_l or bottles, the addition is part of it).",
		example: calc.ExampleScale,
		answer:  calc.Scale,
		show: func(p *page, r calc.ScaleRequest, a calc.ScaleResponse) {
			p.linef("Dose: %s", doseBoth(r.Dose, a.AdditionPercent/100))
			p.linef("  %-22s %12.2f L", "Base", a.BaseL)
			p.linef("  %-22s %12.2f L", "Addition", a.AdditionL)
			p.linef("  %-22s %12.2f L", "Blend made", a.BlendL)
			p.linef("  %-22s %12.2f L", "Lost on the way", a.LostL)
			p.linef("  %-22s %12.2f L", "Blend that arrives", a.ArrivesL)
			if r.Stock != nil {
				p.linef("  %-22s %12.2f L (base %.2f L, addition %.2f L)", "Left over", a.LeftOverL, a.LeftOverBaseL, a.LeftOverAdditionL)
			}
			p.linef("Pour %.2f L of the addition first (90 %%), mix, measure, then trim: nothing can be taken out again.", a.FirstAdditionL)
			p.linef("Check the sulphur dioxide and alcohol of the blend, and what local codes and the label allow.")
			p.warnings(a.Warnings)
		},
	}.command(s)
}

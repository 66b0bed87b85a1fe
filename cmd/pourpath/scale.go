package main

import (
	"fmt"

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
			unit := volumesIn(a.BlendL)
			p.linef("Dose: %s", doseBoth(r.Dose, a.AdditionPercent/100))
			p.linef("  %-22s %15s", "Base", unit(a.BaseL))
			p.linef("  %-22s %15s", "Addition", unit(a.AdditionL))
			p.linef("  %-22s %15s", "Blend made", unit(a.BlendL))
			p.linef("  %-22s %15s", "Lost on the way", unit(a.LostL))
			p.linef("  %-22s %15s", "Blend that arrives", unit(a.ArrivesL))
			if r.Stock != nil {
				p.linef("  %-22s %15s (base %s, addition %s)", "Left over", unit(a.LeftOverL), unit(a.LeftOverBaseL), unit(a.LeftOverAdditionL))
			}
			p.linef("Pour %s of the addition first (90 %%), mix, measure, then trim: nothing can be taken out again.", unit(a.FirstAdditionL))
			p.linef("Check the sulphur dioxide and alcohol of the blend, and what local codes and the label allow.")
			p.warnings(a.Warnings)
		},
	}.command(s)
}

// volumesIn gives the words for volumes of a batch: millilitres for what is
// made on a bench, litres for a tank.
func volumesIn(blendL float64) func(litres float64) string {
	if blendL < 10 {
		return func(litres float64) string { return fmt.Sprintf("%.1f mL", 1000*litres) }
	}
	return func(litres float64) string { return fmt.Sprintf("%.2f L", litres) }
}

package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
)

func (s *session) trimCommand() *cobra.Command {
	return calculation[calc.TrimRequest, calc.TrimResponse]{
		use: "trim", short: "What a tank still needs after its first part",
		long:    "What must still be poured into a tank that got a first part, was mixed, and was sampled\nand read top and bottom; or how much base brings it back where the target was passed.",
		example: calc.ExampleTrim,
		answer:  calc.Trim,
		show:    showTrim,
	}.command(s)
}

func showTrim(p *page, _ calc.TrimRequest, a calc.TrimResponse) {
	m := a.Mixing
	mixed := "The tank is mixed"
	if !m.Mixed {
		mixed = "The tank is NOT mixed"
	}
	p.linef("%s: top %.2f, bottom %.2f mL per 100 mL of base, ΔE00 %.2f apart (a layer shows from ΔE00 %.2f on).", mixed, m.TopDose, m.BottomDose, m.DeltaE00, m.LeastSeen)
	p.linef("Its dose: %s, ± %.2g mL per 100 mL (k = 1). By its volumes alone it would be %.2f.", doseBoth(a.Dose, a.Dose/(100+a.Dose)), a.UDose, a.NominalDose)
	p.difference(a.Difference)
	switch t := a.Trim; {
	case t == nil:
		p.linef("No trim is given for a tank that is not mixed: mix it again, sample, and read.")
	case t.Passed:
		p.linef("The target was passed: the closest dose is %.2f mL per 100 mL of base. Pour no more of the addition.", t.TargetDose)
		if t.BaseL != nil {
			p.linef("Base that brings it back: %.2f L%s; %.2f L in the tank then.", *t.BaseL, within(t.BaseInterval95), t.ResultL)
		}
	default:
		p.linef("Still to arrive: %.2f L of the addition%s; %.2f L in the tank then, at %.2f mL per 100 mL of base.", t.AdditionL, within(t.AdditionInterval95), t.ResultL, t.TargetDose)
		p.linef("It cannot be taken out again: pour less than that, mix and read once more where the interval is wide.")
	}
	if a.Result != nil {
		p.linef("After that:")
		p.difference(a.Result)
	}
	p.warnings(a.Warnings, a.Colour.Warnings)
	p.linef("Keep a sample cold and look the next day; sulphur dioxide and labels by local codes.")
}

// within is a 95 % interval of litres.
func within(i *[2]float64) string {
	if i == nil {
		return ""
	}
	return fmt.Sprintf(" (95 %%: %.2f to %.2f L)", i[0], i[1])
}

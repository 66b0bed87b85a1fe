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

func showTrim(p *page, r calc.TrimRequest, a calc.TrimResponse) {
	m := a.Mixing
	mixed := "The tank is mixed"
	if !m.Mixed {
		mixed = "The tank is NOT mixed"
	}
	p.linef("%s: top %.2f, bottom %.2f mL per 100 mL of base, ± %.2g between them (k = 1), ΔE00 %.2f apart; these readings show a layer from ΔE00 %.2f on.", mixed, m.TopDose, m.BottomDose, m.UDifference, m.DeltaE00, m.LeastSeen)
	p.linef("The tank's dose: %s%s. By its volumes alone it would be %.2f.", doseBoth(a.Dose, a.Dose/(100+a.Dose)), plusMinusDose(a.UDose), a.NominalDose)
	p.difference(a.Difference)
	in := unitsFor(r.Tank.BaseL + r.Tank.PouredL)
	switch t := a.Trim; {
	case t == nil:
		p.linef("No trim is told for a tank that is not mixed: mix it again, sample, and read.")
	case t.Passed:
		p.passed(*t, in)
	default:
		p.trim(*t, in)
	}
	if a.Result != nil {
		p.linef("After that:")
		p.difference(a.Result)
	}
	p.cautions()
	p.warnings(a.Warnings, a.Colour.Warnings)
}

// trim is what must still arrive.
func (p *page) trim(t calc.TrimPour, in units) {
	p.linef("The closest dose: %s.", doseBoth(t.TargetDose, t.TargetDose/(100+t.TargetDose)))
	p.linef("Still to arrive, of the addition%s:", within(t.AdditionInterval95, in))
	p.table(append([]string{""}, in.heading()...), []row{in.row("Trim", t.AdditionL), in.row("In the tank then", t.ResultL)})
	if i := t.AdditionInterval95; i != nil && i[0] < 0 {
		p.linef("The interval begins below 0: the target may be passed already.")
	} else if i != nil {
		p.linef("Nothing can be taken out again. Where that is too wide for you, let %s arrive first, mix and read once more.", in.main(i[0]))
	}
}

// passed is how a tank that has too much addition comes back.
func (p *page) passed(t calc.TrimPour, in units) {
	p.linef("The target was PASSED: pour no more of the addition. The closest dose: %s.", doseBoth(t.TargetDose, t.TargetDose/(100+t.TargetDose)))
	if t.BaseL == nil {
		p.linef("No base brings it back.")
		return
	}
	p.linef("Base that brings it back%s:", within(t.BaseInterval95, in))
	p.table(append([]string{""}, in.heading()...), []row{in.row("Base", *t.BaseL), in.row("In the tank then", t.ResultL)})
}

// within is a 95 % interval of litres.
func within(i *[2]float64, in units) string {
	if i == nil {
		return ""
	}
	return fmt.Sprintf(" (95 %%: %s to %s)", in.main(i[0]), in.main(i[1]))
}

package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/colour/volumetric"
)

func (s *session) scaleCommand() *cobra.Command {
	return calculation[calc.ScaleRequest, calc.ScaleResponse]{
		use: "scale", short: "Volumes for the cellar from a dose found in the glass",
		long:    "What to pour for a dose: base-led (base_l, the addition comes on top) or blend-led\n(blend_l or bottles, the addition is part of it).",
		example: calc.ExampleScale,
		answer:  calc.Scale,
		show:    showScale,
	}.command(s)
}

// conventions says what a size was a size of.
var conventions = map[string]string{
	"base_led":  "base-led: the addition comes on top of the base",
	"blend_led": "blend-led: the addition is part of the blend",
	"mixed":     "base-led and blend-led vessels",
}

func showScale(p *page, r calc.ScaleRequest, a calc.ScaleResponse) {
	unit := volumesIn(a.BlendL)
	p.linef("Dose: %s", doseBoth(r.Dose, a.AdditionPercent/100))
	p.linef("%.4g mL for a litre of base; %.4g mL in a litre of blend. Counted %s.", a.PerLBase, a.PerLBlend, conventions[a.Convention])
	p.recipe(calc.Recipe{BaseL: a.BaseL, AdditionL: a.AdditionL, BlendL: a.BlendL})
	p.linef("  %-22s %15s", "Lost on the way", unit(a.LostL))
	p.linef("  %-22s %15s", "Blend that arrives", unit(a.ArrivesL))
	if o := a.OtherConvention; o != nil {
		p.linef("Not what was asked, but the other way of counting: %s of base and %s of addition make %s.", unit(o.BaseL), unit(o.AdditionL), unit(o.BlendL))
	}
	for _, v := range a.Vessels {
		p.linef("  %d × %s (%s): %s of base, %s of addition, %s in all", v.Count, orWord(v.Name, "vessel"), v.Convention, unit(v.BaseL), unit(v.AdditionL), unit(v.BlendL))
	}
	p.stock(r, a, unit)
	p.poured(r, a, unit)
	p.linef("Check the sulphur dioxide and alcohol of the blend, and what local codes and the label allow.")
	p.warnings(a.Warnings)
}

// recipe writes base, addition and blend in all units that a cellar may have.
func (p *page) recipe(r calc.Recipe) {
	if r.BlendL < smallBatchL {
		unit := volumesIn(r.BlendL)
		p.linef("  %-22s %15s", "Base", unit(r.BaseL))
		p.linef("  %-22s %15s", "Addition", unit(r.AdditionL))
		p.linef("  %-22s %15s", "Blend made", unit(r.BlendL))
		return
	}
	in := func(litres float64) []string {
		return []string{
			fmt.Sprintf("%.2f", litres), fmt.Sprintf("%.4f", litres*1e3/volumetric.Hectolitre.ML()),
			fmt.Sprintf("%.3f", litres*1e3/volumetric.USGallonML), fmt.Sprintf("%.3f", litres*1e3/volumetric.ImperialGallonML),
		}
	}
	p.table([]string{"", "L", "hL", "US gal", "imperial gal"}, []row{
		{cells: append([]string{"Base"}, in(r.BaseL)...)},
		{cells: append([]string{"Addition"}, in(r.AdditionL)...)},
		{cells: append([]string{"Blend made"}, in(r.BlendL)...)},
	})
}

// stock tells what is left over, or what is short and what could be made.
func (p *page) stock(r calc.ScaleRequest, a calc.ScaleResponse, unit func(float64) string) {
	if r.Stock == nil {
		return
	}
	if a.LimitedBy == "" {
		p.linef("  %-22s %15s (base %s, addition %s)", "Left over", unit(a.LeftOverL), unit(a.LeftOverBaseL), unit(a.LeftOverAdditionL))
		return
	}
	var short []string
	for _, one := range []struct {
		wine   string
		litres float64
	}{{"base", a.MissingBaseL}, {"addition", a.MissingAdditionL}} {
		if one.litres > 0 {
			short = append(short, unit(one.litres)+" of "+one.wine)
		}
	}
	p.linef("Short by %s; the %s limits.", strings.Join(short, " and "), a.LimitedBy)
	if l := a.Largest; l != nil {
		bottles := ""
		if l.Bottles != nil {
			bottles = fmt.Sprintf(", %d bottles", *l.Bottles)
		}
		p.linef("The most at this dose: %s of base and %s of addition make %s%s; left over: base %s, addition %s.",
			unit(l.BaseL), unit(l.AdditionL), unit(l.BlendL), bottles, unit(l.LeftOverBaseL), unit(l.LeftOverAdditionL))
	}
	if t := a.Stretched; t != nil {
		p.linef("Or all of it with the addition on hand: %s%s.", doseBoth(t.Dose, t.Dose/(100+t.Dose)), deltaE(t.DeltaE00))
	}
}

// poured tells what to measure out, and how well the dose is met.
func (p *page) poured(r calc.ScaleRequest, a calc.ScaleResponse, unit func(float64) string) {
	percent := r.FirstPercent
	if percent == 0 {
		percent = 90
	}
	first := a.FirstAdditionL
	if d := a.Rounded; d != nil {
		p.linef("As it can be measured: %s of base and %s of addition, %s%s.", unit(d.BaseL), unit(d.AdditionL), doseBoth(d.Dose, d.Dose/(100+d.Dose)), deltaE(d.DeltaE00))
		first = d.FirstAdditionL
	}
	if d := a.Delivery; d != nil {
		p.linef("The dose is met within ± %.2g mL per 100 mL of base (k = 1)%s.", d.UDose, deltaE(d.UDeltaE00))
		if m := r.Measuring; m != nil && m.HeelL > 0 {
			p.linef("%s stay in the line: measure out %s in all, the first time %s. Otherwise the dose is %.2f mL per 100 mL of base%s.", unit(m.HeelL), unit(d.PourL), unit(d.FirstPourL), d.ShortDose, deltaE(d.ShortDeltaE00))
		}
	}
	p.linef("Let %s of the addition arrive first (%g %%), mix, measure, then trim: nothing can be taken out again.", unit(first), percent)
}

func deltaE(x *float64) string {
	if x == nil {
		return ""
	}
	return fmt.Sprintf(", ΔE00 %.2f", *x)
}

func orWord(text, word string) string {
	if text == "" {
		return word
	}
	return text
}

// smallBatchL is what is made on a bench and told in mL, in litres.
const smallBatchL = 10

// volumesIn gives the words for volumes of a batch: millilitres for what is
// made on a bench, litres for a tank.
func volumesIn(blendL float64) func(litres float64) string {
	if blendL < smallBatchL {
		return func(litres float64) string { return fmt.Sprintf("%.1f mL", 1000*litres) }
	}
	return func(litres float64) string { return fmt.Sprintf("%.2f L", litres) }
}

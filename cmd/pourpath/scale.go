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
		long:    "What to pour for a dose: base-led (base_l, the addition comes on top) or blend-led\n(blend_l or bottles, the addition is part of it), for one size or several vessels.",
		example: calc.ExampleScale,
		answer:  calc.Scale,
		show:    showScale,
	}.command(s)
}

// conventions says what a size is a size of.
var conventions = map[string]string{
	"base_led":  "Base-led: the addition comes on top of the base",
	"blend_led": "Blend-led: the addition is part of the blend",
	"mixed":     "Base-led and blend-led vessels together",
}

func showScale(p *page, r calc.ScaleRequest, a calc.ScaleResponse) {
	p.linef("Dose: %s", doseBoth(r.Dose, a.AdditionPercent/100))
	p.linef("%.4g mL for a litre of base; %.4g mL in a litre of blend.", a.PerLBase, a.PerLBlend)
	p.linef("%s.", conventions[a.Convention])
	in := unitsFor(a.BlendL)
	rows := []row{in.row("Base", a.BaseL), in.row("Addition", a.AdditionL), in.row("Blend made", a.BlendL)}
	if a.LostL > 0 {
		rows = append(rows, in.row("Lost on the way", a.LostL), in.row("Blend that arrives", a.ArrivesL))
	}
	p.table(append([]string{""}, in.heading()...), rows)
	if o := a.OtherConvention; o != nil {
		other := conventions["blend_led"]
		if a.Convention == "blend_led" {
			other = conventions["base_led"]
		}
		led, means, _ := strings.Cut(other, ": ")
		p.linef("NOT what was asked for, but %s (%s): %s of base and %s of addition make %s.", strings.ToLower(led), means, in.main(o.BaseL), in.main(o.AdditionL), in.main(o.BlendL))
	}
	p.vessels(a, in)
	p.stock(r, a, in)
	p.rounded(r, a, in)
	p.delivery(r, a, in)
	p.firstPart(r, a, in)
	p.cautions()
	p.warnings(a.Warnings)
}

// vessels is what goes into each.
func (p *page) vessels(a calc.ScaleResponse, in units) {
	if len(a.Vessels) == 0 {
		return
	}
	p.linef("Into each vessel:")
	rows := make([]row, len(a.Vessels))
	for i, v := range a.Vessels {
		led, _, _ := strings.Cut(conventions[v.Convention], ":")
		rows[i].cells = []string{fmt.Sprintf("%d × %s", v.Count, orWord(v.Name, fmt.Sprintf("vessel %d", i+1))), led, in.main(v.BaseL), in.main(v.AdditionL), in.main(v.BlendL)}
	}
	p.table([]string{"", "", "base", "addition", "blend"}, rows)
}

// stock tells of each wine on hand what is left over or short, and what can be done
// where one runs short.
func (p *page) stock(r calc.ScaleRequest, a calc.ScaleResponse, in units) {
	if r.Stock == nil {
		return
	}
	for _, s := range []struct {
		wine                    string
		onHand                  *float64
		needed, left, shortOfIt float64
	}{
		{"base", r.Stock.BaseL, a.BaseL, a.LeftOverBaseL, a.MissingBaseL},
		{"addition", r.Stock.AdditionL, a.PourL, a.LeftOverAdditionL, a.MissingAdditionL},
	} {
		switch {
		case s.onHand == nil:
		case s.shortOfIt > 0:
			p.linef("Stock of the %s: %s on hand, %s needed: SHORT by %s.", s.wine, in.main(*s.onHand), in.main(s.needed), in.main(s.shortOfIt))
		default:
			p.linef("Stock of the %s: %s on hand, %s needed: %s left over.", s.wine, in.main(*s.onHand), in.main(s.needed), in.main(s.left))
		}
	}
	if a.LimitedBy != "" {
		p.shortOf(r, a, in)
	}
}

// shortOf tells what can be done where the stock does not suffice.
func (p *page) shortOf(r calc.ScaleRequest, a calc.ScaleResponse, in units) {
	p.linef("What can be done, as the %s runs short:", a.LimitedBy)
	switch l := a.Largest; {
	case l == nil:
	case l.BlendL == 0:
		p.linef("  Less at this dose: there is nothing to make it of.")
	default:
		bottles := ""
		if l.Bottles != nil {
			bottles = fmt.Sprintf(", %d bottles", *l.Bottles)
		}
		var left []string
		if r.Stock.BaseL != nil {
			left = append(left, in.main(l.LeftOverBaseL)+" of base")
		}
		if r.Stock.AdditionL != nil {
			left = append(left, in.main(l.LeftOverAdditionL)+" of addition")
		}
		p.linef("  Less at this dose: %s of base and %s of addition make %s, of which %s arrive%s; %s left over.",
			in.main(l.BaseL), in.main(l.AdditionL), in.main(l.BlendL), in.main(l.ArrivesL), bottles, strings.Join(left, " and "))
	}
	if t := a.Stretched; t != nil {
		p.linef("  All of it at a weaker dose: %s of base and %s of addition, %s%s.", in.main(t.BaseL), in.main(t.AdditionL), doseBoth(t.Dose, t.Dose/(100+t.Dose)), deltaE(t.DeltaE00))
	}
	p.linef("  Or get what is short.")
}

// rounded is the recipe as the cellar can measure it.
func (p *page) rounded(r calc.ScaleRequest, a calc.ScaleResponse, in units) {
	d := a.Rounded
	if d == nil {
		return
	}
	costs := "; give base and addition, and the colour error is told too"
	if d.DeltaE00 != nil {
		costs = fmt.Sprintf("; the rounding makes a colour error of ΔE00 %.2f", *d.DeltaE00)
	}
	var steps []string
	if g := r.Measuring.BaseGraduationL; g > 0 {
		steps = append(steps, fmt.Sprintf("the base in steps of %g L", g))
	}
	if g := r.Measuring.AdditionGraduationML; g > 0 {
		steps = append(steps, fmt.Sprintf("the addition in steps of %g mL", g))
	}
	p.linef("As it can be measured, %s: %s of base and %s of addition, %s%s.", strings.Join(steps, ", "), in.main(d.BaseL), in.main(d.AdditionL), doseBoth(d.Dose, d.Dose/(100+d.Dose)), costs)
}

// delivery is how well the dose is met.
func (p *page) delivery(r calc.ScaleRequest, a calc.ScaleResponse, in units) {
	d := a.Delivery
	if d == nil {
		return
	}
	if d.UDose > 0 {
		p.linef("By gauge, measure and graduations the dose is known to ± %.2g mL per 100 mL of base (k = 1)%s.", d.UDose, deltaE(d.UDeltaE00))
	}
	if m := r.Measuring; m != nil && m.HeelL > 0 {
		p.linef("%s stay in the line: measure out %s in all, the first time %s. Without regard to that the dose would be %.2f mL per 100 mL of base%s.", in.main(m.HeelL), in.main(d.PourL), in.main(d.FirstPourL), d.ShortDose, deltaE(d.ShortDeltaE00))
	}
}

// firstPart is what to pour before measuring.
func (p *page) firstPart(r calc.ScaleRequest, a calc.ScaleResponse, in units) {
	percent := r.FirstPercent
	if percent == 0 {
		percent = 90
	}
	const then = "mix, sample top and bottom, measure, then trim"
	if a.LimitedBy != "" {
		p.linef("Whatever is made: let %g %% of the addition arrive first, %s: nothing can be taken out again.", percent, then)
		return
	}
	first, held := a.FirstAdditionL, a.HeldBackL
	if d := a.Rounded; d != nil {
		first, held = d.FirstAdditionL, d.HeldBackL
	}
	p.linef("Let %s of the addition arrive first (%g %%), %s with the %s held back: nothing can be taken out again.", in.main(first), percent, then, in.main(held))
}

// cautions are what colour says nothing of.
func (p *page) cautions() {
	p.linef("Keep a sample cold and look the next day: wines that are stable apart can throw tartrate crystals or a protein haze together.")
	p.linef("A red after malolactic fermentation in a white with malic acid or sugar can start again in the bottle.")
	p.linef("Check the sulphur dioxide and alcohol of the blend, and what local codes and the label allow. Never drink a sample that was treated for a reading.")
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

// unit is a unit of volume with how many decimals a cellar reads in it.
type unit struct {
	name     string
	litres   float64
	decimals int
}

// units are those that a batch is told in, the main one first.
type units []unit

// smallBatchL is what is made on a bench and told in mL, in litres.
const smallBatchL = 10

// unitsFor gives the units for a batch: millilitres for what is made on a bench,
// litres for a tank; each to about 10 mL, or 0.1 mL on a bench.
func unitsFor(blendL float64) units {
	us, imperial := volumetric.USGallonML/1e3, volumetric.ImperialGallonML/1e3
	if blendL < smallBatchL {
		return units{{"mL", 1e-3, 1}, {"L", 1, 4}, {"US gal", us, 4}, {"imperial gal", imperial, 4}}
	}
	return units{{"L", 1, 2}, {"hL", volumetric.Hectolitre.ML() / 1e3, 4}, {"US gal", us, 3}, {"imperial gal", imperial, 3}}
}

func (u units) heading() []string {
	names := make([]string, len(u))
	for i, one := range u {
		names[i] = one.name
	}
	return names
}

// row is a volume in all units.
func (u units) row(name string, litres float64) row {
	cells := []string{name}
	for _, one := range u {
		cells = append(cells, fmt.Sprintf("%.*f", one.decimals, litres/one.litres))
	}
	return row{cells: cells}
}

// main is a volume in the main unit.
func (u units) main(litres float64) string {
	return fmt.Sprintf("%.*f %s", u[0].decimals, litres/u[0].litres, u[0].name)
}

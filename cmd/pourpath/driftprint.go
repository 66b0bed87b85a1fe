package main

import (
	"fmt"
	"strings"

	"pourpath/api/release"
)

// The answers about drift, for people.

func (p *page) drift(d release.Drift) {
	p.linef("%s: %d lots, %d samples", orWord(d.Product, "All lots"), d.Lots, d.Samples)
	for _, l := range d.LeftOut {
		p.linef("  %d left out (%s): %s", l.Samples, l.Code, l.Message)
	}
	if len(d.Classes) == 0 {
		p.linef("Not enough: no lot has a reading that counts.")
	}
	for _, c := range d.Classes {
		p.linef("Storage: %s", orWord(c.Storage, "not told"))
		if c.Learned == nil {
			p.linef("  %s", c.Unknown)
			continue
		}
		p.learnt(c)
	}
	p.compared(d.Comparisons)
	p.warnings(d.Warnings)
}

// learnt is what one class of storage tells.
func (p *page) learnt(c release.DriftClass) {
	l := c.Learned
	p.linef("  %d lots with %d readings, days %.0f to %.0f since bottling", c.Lots, c.Observations, l.FirstDay, l.LastDay)
	rows := make([]row, len(l.Bands))
	for i, b := range l.Bands {
		scale, unit := 100.0, "%"
		if b.Scale == "absolute" {
			scale, unit = 1000, "0.001"
		}
		law := "goes on"
		if b.HalfLife != nil {
			law = fmt.Sprintf("settles, half-life %.0f days", *b.HalfLife)
		}
		rows[i].cells = []string{
			fmt.Sprintf("A%d", b.NM), fmt.Sprintf("%+.3f", 30*scale*b.Rate), fmt.Sprintf("%+.3f to %+.3f", 30*scale*b.RateIn95[0], 30*scale*b.RateIn95[1]), unit, law,
		}
	}
	p.table([]string{"", "in 30 days at first", "95 % interval", "unit", "then"}, rows)
	p.linef("A lot at the median level, one lot more with 95 %%:")
	var points []row
	for i := 0; i < len(l.Curve); i += 8 {
		k := l.Curve[i]
		cells := []string{fmt.Sprintf("%.0f", k.Days)}
		for _, a := range []release.DriftEstimate{k.A420, k.A520, k.A620} {
			cells = append(cells, fmt.Sprintf("%.4f", a.Value), fmt.Sprintf("%.4f to %.4f", a.Lower, a.Upper))
		}
		points = append(points, row{cells: cells})
	}
	p.table([]string{"days", "A420", "95 %", "A520", "95 %", "A620", "95 %"}, points)
	for _, o := range l.Outliers {
		p.linef("  Far off: lot %s, day %.0f, A%d %.4f where %.4f is expected (samples %s)", o.Lot, o.Days, o.NM, o.A, o.Expected, strings.Join(o.Samples, ", "))
	}
	p.warnings(l.Warnings)
}

func (p *page) compared(list []release.StorageComparison) {
	if len(list) == 0 {
		return
	}
	rows := make([]row, len(list))
	for i, c := range list {
		differs := "cannot be told apart"
		if c.Differs {
			differs = "differ"
		}
		scale, unit := 100.0, "%"
		if c.Scale == "absolute" {
			scale, unit = 1000, "0.001"
		}
		rows[i].cells = []string{
			orWord(c.Storage, "not told"), orWord(c.Against, "not told"), fmt.Sprintf("A%d", c.NM),
			fmt.Sprintf("%+.2f", scale*c.Difference.Value), fmt.Sprintf("%+.2f to %+.2f", scale*c.Difference.Lower, scale*c.Difference.Upper), unit, differs,
		}
	}
	p.table([]string{"storage", "against", "", "difference", "95 % interval", "unit", ""}, rows)
}

func (p *page) driftAim(a release.DriftAim) {
	p.linef("To be at the target %g days after bottling, by the lots of %s, storage: %s", a.ReleaseDays, orWord(a.Product, "all products"), orWord(a.Storage, "not told"))
	if t := a.Today; t != nil {
		v, target := t.Colour.CIELAB, a.Target.CIELAB
		p.linef("%sAim at %s: L* %.1f (%.1f to %.1f), a* %.2f (%.2f to %.2f), b* %.2f (%.2f to %.2f)", p.swatch(hexOf(t.Colour.SRGB)), aimedOn(a.FromDays),
			v.L, t.L.Lower, t.L.Upper, v.A, t.A.Lower, t.A.Upper, v.B, t.B.Lower, t.B.Upper)
		p.linef("%sTarget: L* %.1f, a* %.2f, b* %.2f; so blend Δa* %s and ΔL* %s from it", p.swatch(hexOf(a.Target.SRGB)), target.L, target.A, target.B,
			apart(t.Redder, 2, "redder", "less red", "as red"), apart(-t.Darker, 1, "paler", "darker", "as dark"))
		n := t.Absorbances
		p.linef("  per 10 mm: A420 %.4f (%.4f to %.4f), A520 %.4f (%.4f to %.4f), A620 %.4f (%.4f to %.4f)",
			n.A420.Value, n.A420.Lower, n.A420.Upper, n.A520.Value, n.A520.Lower, n.A520.Upper, n.A620.Value, n.A620.Lower, n.A620.Upper)
		c := t.Colour.Conditions
		p.linef("  under %s, %s° observer, %g mm of wine; intervals are 95 %% for one lot more", c.Illuminant, c.Observer, c.PathMM)
	}
	if d := a.Dose; d != nil {
		p.linef("Pour %s", doseBoth(d.DoseMLPer100ML, d.AdditionFraction))
		p.linef("  %+.2f mL per 100 mL (%+.2f to %+.2f) on what would be nearest today, %.2f", d.More, d.MoreInterval95[0], d.MoreInterval95[1], d.WithoutDrift)
		if in := d.DoseInterval95; in != nil {
			p.linef("  95 %% interval of the dose: %.2f to %.2f mL per 100 mL of base", in[0], in[1])
		}
		if d.AtEnd {
			p.linef("  It is at an end of what was looked at: the target may lie beyond.")
		}
	}
	p.warnings(a.Warnings)
}

// apart is aim less target with the word for that way, by the sign of what is shown.
func apart(x float64, decimals int, above, below, same string) string {
	by, word := fmt.Sprintf("%+.*f", decimals, x), above
	switch zero := fmt.Sprintf("%.*f", decimals, 0.0); {
	case by[1:] == zero:
		by, word = zero, same
	case by[0] == '-':
		word = below
	}
	return by + " (" + word + ")"
}

func aimedOn(days float64) string {
	if days == 0 {
		return "bottling"
	}
	return fmt.Sprintf("day %g", days)
}

func hexOf(s *string) string {
	if s == nil {
		return "#ffffff"
	}
	return *s
}

func (p *page) lotDrift(d release.LotDrift) {
	p.linef("%s  %s", d.LotID, d.Lot)
	p.linef("Read on %s, day %.0f: A420 %.4f, A520 %.4f, A620 %.4f per 10 mm", d.ReadAt.Format("2006-01-02"), d.ReadDays, d.Read.A420.Value, d.Read.A520.Value, d.Read.A620.Value)
	p.linef("%s", leavingWords(d))
	p.linef("  probability of leaving by %s, the last day that the data reach: %.2f", d.Horizon, d.Leaves)
	p.linef("  limits looked at: %s%s", quantityNames(d.Within), after("; not looked at: ", quantityNames(d.NotLooked)))
	p.linef("  by the lots of %s, storage: %s", orWord(d.Product, "all products"), orWord(d.Storage, "not told"))
	p.warnings(d.Warnings)
}

// leavingWords say when a lot leaves its specification.
func leavingWords(d release.LotDrift) string {
	if len(d.OutsideThen) > 0 {
		return "It was outside its specification already: " + quantityNames(d.OutsideThen)
	}
	if d.Expected == nil {
		out := "It is expected to stay within its specification as far as the data reach"
		if d.Earliest != nil {
			out += ", and may leave it from " + *d.Earliest + " on (2.5 %)"
		}
		return out
	}
	until := "beyond what the data reach"
	if d.Latest != nil {
		until = *d.Latest
	}
	return fmt.Sprintf("Expected to leave its specification on %s (95 %%: %s to %s), first by %s", *d.Expected, *d.Earliest, until, quantityName(d.First))
}

func (p *page) driftLots(d release.DriftLots) {
	leaving, staying, most := d.Leaving()
	if len(leaving) > 0 {
		rows := make([]row, len(leaving))
		for i, l := range leaving {
			expected, first := orDash(l.Expected), orWord(quantityName(l.First), "-")
			switch {
			case len(l.OutsideThen) > 0:
				expected, first = "outside when read", quantityNames(l.OutsideThen)
			case l.ExpectedPast():
				expected += " (past)"
			}
			rows[i].cells = []string{l.Lot, l.ReadAt.Format("2006-01-02"), orDash(l.Earliest), expected, orDash(l.Latest), fmt.Sprintf("%.2f", l.Leaves), l.Horizon, first}
		}
		p.table([]string{"lot", "read on", "2.5 %", "expected", "97.5 %", "probability", "by", "first"}, rows)
	}
	if staying > 0 {
		p.linef("%d lots more are likelier to stay within their specification than to leave it, as far as the data reach (probability %.2f at most).", staying, most)
	}
	for _, u := range d.Unknown {
		p.linef("No forecast for %s: %s", u.Lot, u.Reason)
	}
	if d.Older > 0 {
		p.linef("%d older lots were not looked at.", d.Older)
	}
	if len(d.Items)+len(d.Unknown) == 0 {
		p.linef("No lot in use has a reading that counts.")
	}
}

func orDash(s *string) string {
	if s == nil {
		return "-"
	}
	return *s
}

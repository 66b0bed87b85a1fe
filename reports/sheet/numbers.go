package sheet

import (
	"math"

	"pourpath/colour/blend"
)

// fixed writes a number with a count of decimals.
func (t *Texts) fixed(v float64, decimals int) string { return t.Figures.Fixed(v, decimals) }

// plain writes a number as it was meant, to at most so many decimals.
func (t *Texts) plain(v float64, most int) string { return t.Figures.Plain(v, most) }

// decimals are as many as show the first digit of an uncertainty, from one to
// most.
func decimals(u float64, most int) int {
	if !(u > 0) {
		return 1
	}
	return min(most, max(1, int(math.Ceil(-math.Log10(u)))))
}

// withU writes a number with its standard uncertainty, to n decimals. One too small for the
// decimals is rounded up to the last of them (JCGM100, 7.2.6), so that nothing
// seems certain; one of 0 is not stated.
func (t *Texts) withU(v, u float64, n int) string {
	if u == 0 {
		return t.fixed(v, n)
	}
	return t.fixed(v, n) + " ± " + t.fixed(max(u, math.Pow10(-n)), n)
}

// doseMost are the most decimals of a dose.
const doseMost = 3

// doseDecimals are those of a column of doses, by the largest uncertainty in it.
func doseDecimals(ds ...Dose) int {
	u := 0.0
	for _, d := range ds {
		u = max(u, d.U)
	}
	return decimals(u, doseMost)
}

// dose is a dose in mL per 100 mL of base, with two decimals where nothing is
// known of it. Nothing added is plain 0.
func (t *Texts) dose(d Dose, n int) string {
	switch {
	case d.MLPer100ML == 0:
		return "0"
	case d.U == 0:
		return t.plain(d.MLPer100ML, max(2, n))
	}
	return t.withU(d.MLPer100ML, d.U, n)
}

// share is a dose as % of the blend, of which what is held in the base is a part.
func (d *document) share(k Dose, n int) string {
	if k.MLPer100ML == 0 {
		return "0"
	}
	perBase := 1 + d.heldPer100/100 // base and what is held in it, for each mL of base
	return d.texts.fixed(100*blend.Dose(k.MLPer100ML/perBase).Fraction(), n)
}

// doseLine is a dose in a sentence, in both conventions.
func (d *document) doseLine(k Dose) string {
	n := doseDecimals(k)
	return d.texts.fill(d.texts.DoseLine, "dose", d.texts.dose(k, n), "share", d.share(k, n))
}

// lab are L*, a* and b* with their uncertainties, all with the decimals of the
// largest; empty where not known.
func (t *Texts) lab(c *Colour) [3]string {
	if c == nil {
		return [3]string{}
	}
	var out [3]string
	n := decimals(max(c.U[0], c.U[1], c.U[2]), 2)
	for i, v := range [3]float64{c.Lab.L, c.Lab.A, c.Lab.B} {
		out[i] = t.withU(v, c.U[i], n)
	}
	return out
}

// labLine is a colour in a sentence, empty where not known.
func (t *Texts) labLine(c *Colour) string {
	if c == nil {
		return ""
	}
	l := t.lab(c)
	return "L* " + l[0] + ", a* " + l[1] + ", b* " + l[2]
}

// deltaE writes a ΔE00: one decimal, or two where one would be 0.
func (t *Texts) deltaE(v float64) string {
	switch {
	case v == 0:
		return "0"
	case v < 0.005:
		return "< " + t.fixed(0.01, 2)
	case v < 0.095:
		return t.fixed(v, 2)
	}
	return t.fixed(v, 1)
}

func (t *Texts) interval(i *Interval, decimals int) string {
	if i == nil {
		return ""
	}
	return t.fill(t.Range, "from", t.fixed(i[0], decimals), "to", t.fixed(i[1], decimals))
}

// millilitres are at most three decimals, as nothing at a bench measures better.
func (t *Texts) millilitres(v float64) string { return t.plain(v, 3) }

// litreDecimals are the decimals of the volumes of one recipe, by the smallest of
// them, so that they add up as they are read: four digits, and no less than a mL.
func litreDecimals(volumes ...float64) int {
	smallest := math.Inf(1)
	for _, v := range volumes {
		if v > 0 {
			smallest = min(smallest, v)
		}
	}
	if math.IsInf(smallest, 1) {
		return 1
	}
	return min(3, max(1, 3-int(math.Floor(math.Log10(smallest)))))
}

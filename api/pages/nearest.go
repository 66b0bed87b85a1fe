package pages

import "pourpath/api/calc"

// nearest is the dose closest to the target, in both conventions throughout.
type nearest struct {
	Dose, Percent       digits
	DeltaE00            digits // empty for an intensity and tint
	DL, DA, DB          digits
	DIntensity, DTint   digits
	Interval            *span
	Acceptable, Nominal *span
	Tolerance           digits // empty where none was given
	AtEnd               bool
	Exact, Address      string // the dose in full, and the page at it
	L, A, B             digits
	Intensity, Tint     digits
}

// span is a range of doses.
type span struct{ From, To, FromPercent, ToPercent digits }

func nearestOf(n *calc.Nearest, t *calc.Target) *nearest {
	decimals := doseDecimals(n.DoseInterval95)
	v, u := n.Colour.CIELAB, n.Colour.Uncertainty
	lab := func(x float64, u *float64) digits { return withU(&x, u, decimalsOf([]*float64{u}, 2)) }
	out := &nearest{
		Dose: fixed(n.DoseMLPer100ML, decimals), Percent: percent(n.DoseMLPer100ML, decimals),
		Interval: spanOf(n.DoseInterval95, decimals), Acceptable: spanOf(n.AcceptableDoses, decimals), Nominal: spanOf(n.NominalDoses, decimals),
		AtEnd: n.AtEndOfLadder,
		L:     lab(v.L, u.L), A: lab(v.A, u.A), B: lab(v.B, u.B),
		Intensity: withU(n.Colour.Intensity, u.Intensity, indexDecimals([]*float64{u.Intensity})), Tint: withU(n.Colour.Tint, u.Tint, 2),
	}
	if t.Tolerance != nil {
		out.Tolerance = plain(t.Tolerance.DeltaE00)
	}
	if d := n.Difference; d.DeltaE00 != nil {
		out.DeltaE00 = fixed(*d.DeltaE00, 1)
		out.DL, out.DA, out.DB = signed(d.DL, 1), signed(d.DA, 1), signed(d.DB, 1)
	} else {
		out.DIntensity, out.DTint = signed(d.DIntensity, 3), signed(d.DTint, 2)
	}
	return out
}

func spanOf(doses *[2]float64, decimals int) *span {
	if doses == nil {
		return nil
	}
	return &span{
		From: fixed(doses[0], decimals), To: fixed(doses[1], decimals),
		FromPercent: percent(doses[0], decimals), ToPercent: percent(doses[1], decimals),
	}
}

// signed is a difference with its sign.
func signed(x *float64, decimals int) digits {
	if x == nil {
		return "–"
	}
	text := fixed(*x, decimals)
	if text[0] != '-' && text != fixed(0, decimals) {
		return "+" + text
	}
	return text
}

// next is the rung to pour and read next, and what that would tell.
type next struct{ Dose, Percent, Before, After digits }

func nextOf(n *calc.MeasureNext) *next {
	if n == nil {
		return nil
	}
	return &next{
		Dose: fixed(n.DoseMLPer100ML, 1), Percent: percent(n.DoseMLPer100ML, 1),
		Before: fixed(n.Before, 1), After: fixed(n.After, 1),
	}
}

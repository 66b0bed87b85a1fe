package pages

import (
	"slices"

	"pourpath/api/calc"
	"pourpath/colour/cie"
)

// table is the ladder, rung by rung, with the closest dose in its place.
type table struct {
	BaseML digits
	// CellDepth and GlassDepth are those of the two swatches, in mm.
	CellDepth, GlassDepth digits
	Against               string // "delta_e", "indices" or empty: what the target is
	Rows                  []row
}

// row is one glass; numbers have the decimals of their column.
type row struct {
	Nearest           bool
	DoseML, Dose      digits
	Percent           digits
	Cell, Glass       cie.Screen
	L, A, B, C, H     digits
	Intensity, Tint   digits
	DeltaE00          digits
	DIntensity, DTint digits
}

// columns are the decimals of a table.
type columns struct{ dose, l, a, b, intensity, tint int }

func tableOf(c *choice, data liveData) table {
	a, baseML := c.answer, c.request.BaseML
	t := table{BaseML: plain(baseML), CellDepth: plain(a.Rungs[0].Colour.Conditions.PathMM), GlassDepth: plain(calc.GlassDepthMM)}
	digits := columnsOf(a)
	for _, r := range a.Rungs {
		line := rowOf(digits, r.DoseMLPer100ML, r.AdditionFraction, r.Colour, r.Difference)
		line.DoseML = fixed(r.DoseML, digits.dose)
		line.Cell, line.Glass = data.rungs[r.DoseML].At10MM, data.rungs[r.DoseML].InGlass
		t.Rows = append(t.Rows, line)
	}
	if n := a.Nearest; n != nil {
		t.Against = against(n)
		line := rowOf(digits, n.DoseMLPer100ML, n.AdditionFraction, n.Colour, n.Difference)
		line.Nearest = true
		line.DoseML = fixed(n.DoseMLPer100ML*baseML/100, digits.dose)
		path := data.Sliders[0].Trace
		line.Cell, line.Glass = path.screen("cell", n.DoseMLPer100ML), path.screen("glass", n.DoseMLPer100ML)
		t.Rows = slices.Insert(t.Rows, placeOf(n.DoseMLPer100ML, a.Rungs), line)
	}
	return t
}

// placeOf is where a dose stands among rungs: before the first larger one.
func placeOf(dose float64, rungs []calc.Rung) int {
	if i := slices.IndexFunc(rungs, func(r calc.Rung) bool { return r.DoseMLPer100ML > dose }); i >= 0 {
		return i
	}
	return len(rungs)
}

func columnsOf(a calc.LadderResponse) columns {
	var l, ua, ub, intensity []*float64
	dose := 1
	for _, r := range a.Rungs {
		u := r.Colour.Uncertainty
		l, ua, ub = append(l, u.L), append(ua, u.A), append(ub, u.B)
		intensity = append(intensity, u.Intensity)
		// Doses as asked for are not rounded away, up to a microlitre.
		for dose < 3 && !almostWhole(r.DoseML, dose) {
			dose++
		}
	}
	if n := a.Nearest; n != nil {
		dose = max(dose, doseDecimals(n.DoseInterval95))
	}
	return columns{
		dose: dose, l: decimalsOf(l, 2), a: decimalsOf(ua, 2), b: decimalsOf(ub, 2),
		intensity: indexDecimals(intensity), tint: 2,
	}
}

func rowOf(d columns, dose, fraction float64, c calc.WineColour, diff *calc.Difference) row {
	v, u := c.CIELAB, c.Uncertainty
	out := row{
		Dose: fixed(dose, d.dose), Percent: fixed(100*fraction, d.dose),
		L: withU(&v.L, u.L, d.l), A: withU(&v.A, u.A, d.a), B: withU(&v.B, u.B, d.b),
		C: fixed(v.C, d.a), H: fixed(v.H, 0),
		Intensity: withU(c.Intensity, u.Intensity, d.intensity), Tint: withU(c.Tint, u.Tint, d.tint),
	}
	if diff != nil {
		out.DeltaE00 = maybe(diff.DeltaE00, 1)
		out.DIntensity, out.DTint = signed(diff.DIntensity, d.intensity), signed(diff.DTint, d.tint)
	}
	return out
}

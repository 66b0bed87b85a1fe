package blend

import (
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
)

// TestScaleByHand holds scaling against figures that were worked out apart from it,
// with exact fractions: 9.5 mL per 100 mL, so that of 219 parts of blend 19 are
// addition.
func TestScaleByHand(t *testing.T) {
	const digits = 1e-9
	same := func(what string, got, want float64) {
		t.Helper()
		if !colourtest.Near(got, want, digits, 0) {
			t.Errorf("%s: %.12g, want %.12g", what, got, want)
		}
	}
	recipe := func(what string, got, want Recipe) {
		t.Helper()
		if !sameRecipe(got, want, digits) {
			t.Errorf("%s: %+v, want %+v", what, got, want)
		}
	}
	// Base-led: 200 L of base in the tank; 0.6 L stay in the line.
	v := mustScale(t, Batch{Dose: 9.5, BaseL: litres(200), Measuring: Measuring{HeelL: 0.6}})
	recipe("200 L of base", v.Recipe, Recipe{200, 19, 219})
	same("of the blend", v.AdditionPercentOfBlend, 8.675799086758)
	same("first", v.FirstAdditionL, 17.1)
	same("held back", v.HeldBackL, 1.9)
	same("measured out", v.PourL, 19.6)
	same("first with its line full", v.Delivery.FirstPourL, 17.7)
	same("without regard to the line", float(v.Delivery.ShortDose), 9.2)

	// Blend-led: 750 bottles of 750 mL are 562.5 L, of which 2 % are lost on the way.
	order := Batch{Dose: 9.5, Bottles: &Bottles{750, 750}, LossPercent: 2}
	v = mustScale(t, order)
	recipe("750 bottles", v.Recipe, Recipe{524.182275649986, 49.797316186749, 573.979591836735})
	same("arrives", v.ArrivesL, 562.5)
	same("lost", v.LostL, 11.479591836735)

	// To 5 L and 50 mL: 525 L of base want 49.875 L, half-way between two lines.
	order.Measuring = Measuring{BaseGraduationL: 5, AdditionGraduationML: 50}
	r := mustScale(t, order).Rounded
	recipe("rounded", r.Recipe, Recipe{525, 49.9, 574.9})
	same("its dose", float(r.Dose), 9.504761904762)
	same("its first part, down to a line", r.FirstAdditionL, 44.9)
	same("its rest", r.HeldBackL, 5)
	order.Measuring = Measuring{}

	// Short of base: 400 L make 438 L at this dose, of which 429.24 arrive: 572 bottles.
	short := order
	short.StockBaseL, short.StockAdditionL = litres(400), litres(60)
	v = mustScale(t, short)
	same("base missing", v.MissingBaseL, 124.182275649986)
	recipe("largest", v.Largest.Recipe, Recipe{400, 38, 438})
	same("arrives of it", v.Largest.ArrivesL, 429.24)
	same("left of the addition", v.Largest.LeftOverAdditionL, 22)
	if v.LimitedBy != BaseWine || *v.Largest.Bottles != 572 || v.Stretched != nil {
		t.Errorf("limited by %s, %d bottles, stretched %+v", v.LimitedBy, *v.Largest.Bottles, v.Stretched)
	}

	// Short of addition: of 40 L the line keeps 2, and 38 L make the same 438 L. The
	// whole order with 38 L is paler.
	short.StockBaseL, short.StockAdditionL, short.Measuring = litres(600), litres(40), Measuring{HeelL: 2}
	v = mustScale(t, short)
	same("addition missing", v.MissingAdditionL, 11.797316186749)
	recipe("largest", v.Largest.Recipe, Recipe{400, 38, 438})
	same("left of the base", v.Largest.LeftOverBaseL, 200)
	recipe("stretched", v.Stretched.Recipe, Recipe{535.979591836735, 38, 573.979591836735})
	same("its dose", float(v.Stretched.Dose), 7.089822183300)
	if v.LimitedBy != AdditionWine || *v.Largest.Bottles != 572 {
		t.Errorf("limited by %s, %d bottles", v.LimitedBy, *v.Largest.Bottles)
	}
}

func float(d Dose) float64 { return float64(d) }

// TestTrimByHand mixes readings by volumes, apart from any path, and asks for the
// trim that volumes alone give: 1000 L of base for a glass of 8 mL per 100 mL. By the
// glass's intensity the trim is that; by its colour, which three readings leave open
// by a little, the interval holds it.
func TestTrimByHand(t *testing.T) {
	white, red := [3]float64{0.095, 0.016, 0.003}, [3]float64{3.0, 5.8, 0.6} // per 10 mm
	blended := func(dose float64) (a [3]float64) {
		for i := range a {
			a[i] = (white[i] + red[i]*dose/100) / (1 + dose/100)
		}
		return a
	}
	path := NewPath(mustRead(t, 10, white[0], white[1], white[2]), mustRead(t, 1, red[0]/10, red[1]/10, red[2]/10))
	glass := blended(8)
	chosen := mustRead(t, 10, glass[0], glass[1], glass[2])
	c, err := chosen.Colour(cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	intensity, tint := glass[0]+glass[1]+glass[2], glass[0]/glass[1]
	for _, row := range []struct{ poured, addition, base float64 }{
		{72, 8, 0},   // 90 % of 80 L
		{40, 40, 0},  // half of it
		{88, 0, 100}, // 8.8 where 8 are wanted: 88 L are the addition for 1100 L of base
		{120, 0, 500},
	} {
		a := blended(row.poured / 10)
		sample := mustRead(t, 10, a[0], a[1], a[2])
		tank := Tank{BaseL: 1000, UBaseL: 5, PouredL: row.poured, UPouredL: 0.3, Top: sample, Bottom: sample, Rungs: []Measured{{Dose: 8, Wine: chosen}}}
		n := mustTrim(t, path, tank, Target{Intensity: &intensity, Tint: &tint}).Need
		after := 1000 + row.poured + row.addition + row.base
		if n.Passed != (row.base > 0) || !colourtest.Near(float64(n.TargetDose), 8, 0, 0.005) || !colourtest.Near(n.AdditionL, row.addition, 0.4, 0) || !colourtest.Near(n.ResultL, after, 0.005*after, 0) {
			t.Errorf("%g L poured: %+v, want %+v", row.poured, n, row)
		}
		if row.base > 0 && (n.BaseL == nil || !colourtest.Near(*n.BaseL, row.base, 0, 0.05)) {
			t.Errorf("%g L poured: %+v, want %g L of base", row.poured, n, row.base)
		}
		n = mustTrim(t, path, tank, Target{Lab: &c.Lab}).Need
		holds := func(i *[2]float64, want float64) bool { return i != nil && i[0] < want && want < i[1] }
		if row.base == 0 && !holds(n.AdditionInterval95, row.addition) || row.base > 0 && !holds(n.BaseInterval95, row.base) {
			t.Errorf("%g L poured, by the colour: %v and %v, want %+v", row.poured, n.AdditionInterval95, n.BaseInterval95, row)
		}
	}
}

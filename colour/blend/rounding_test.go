package blend

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

func mustScale(t testing.TB, b Batch) Volumes {
	t.Helper()
	v, err := Scale(b)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func sameRecipe(got, want Recipe, digits float64) bool {
	return colourtest.Near(got.BaseL, want.BaseL, digits, 0) && colourtest.Near(got.AdditionL, want.AdditionL, digits, 0) && colourtest.Near(got.BlendL, want.BlendL, digits, 0)
}

// Both conventions of one figure, side by side: common practice, no source.
func TestScaleOtherwise(t *testing.T) {
	size := 750.0
	led, blended := mustScale(t, Batch{Dose: 13, BaseL: &size}), mustScale(t, Batch{Dose: 13, BlendL: &size})
	if led.Convention != BaseLed || blended.Convention != BlendLed {
		t.Errorf("conventions %q and %q", led.Convention, blended.Convention)
	}
	if !sameRecipe(led.Recipe, Recipe{750, 97.5, 847.5}, 1e-9) || !sameRecipe(*led.Otherwise, blended.Recipe, 1e-9) || !sameRecipe(*blended.Otherwise, led.Recipe, 1e-9) {
		t.Errorf("750 L: base-led %+v, otherwise %+v; blend-led %+v, otherwise %+v", led.Recipe, *led.Otherwise, blended.Recipe, *blended.Otherwise)
	}
}

// Vessels add up to what each of them alone would need.
func TestScaleVessels(t *testing.T) {
	v := mustScale(t, Batch{Dose: 13, LossPercent: 2, Vessels: []Vessel{
		{Name: "bottle", Count: 600, BlendL: litres(0.75)},
		{Name: "demijohn", Count: 2, BlendL: litres(54)},
		{Name: "tank", Count: 1, BaseL: litres(200)},
	}})
	var want Recipe
	for _, b := range []Batch{{Dose: 13, LossPercent: 2, Bottles: &Bottles{600, 750}}, {Dose: 13, LossPercent: 2, BlendL: litres(108)}, {Dose: 13, LossPercent: 2, BaseL: litres(200)}} {
		one := mustScale(t, b)
		want = Recipe{want.BaseL + one.BaseL, want.AdditionL + one.AdditionL, want.BlendL + one.BlendL}
	}
	if !sameRecipe(v.Recipe, want, 1e-9) || v.Convention != MixedLed || v.Otherwise != nil {
		t.Errorf("vessels: %+v (%s, otherwise %v), want %+v", v.Recipe, v.Convention, v.Otherwise, want)
	}
	if len(v.Vessels) != 3 || v.Vessels[1].Name != "demijohn" || v.Vessels[1].Count != 2 || !colourtest.Near(v.Vessels[1].BlendL, 54/0.98, 1e-9, 0) || v.Vessels[2].Convention != BaseLed || v.Vessels[2].BaseL != 200 {
		t.Errorf("each: %+v", v.Vessels)
	}
	one := mustScale(t, Batch{Dose: 13, Vessels: []Vessel{{Count: 3, BlendL: litres(2)}}})
	if one.Convention != BlendLed || !colourtest.Near(one.BlendL, 6, 1e-12, 0) {
		t.Errorf("three of one vessel: %+v", one)
	}
}

func TestScaleShortages(t *testing.T) {
	// 5 L of addition, 2 of which stay in the line, for 80 L of base at 25.
	v := mustScale(t, Batch{Dose: 25, BaseL: litres(80), StockBaseL: litres(100), StockAdditionL: litres(5), Measuring: Measuring{HeelL: 2}})
	if !colourtest.Near(v.PourL, 22, 1e-9, 0) || !colourtest.Near(v.MissingAdditionL, 17, 1e-9, 0) {
		t.Errorf("pour %g L, missing %g L, want 22 and 17", v.PourL, v.MissingAdditionL)
	}
	if l := v.Largest; l == nil || !sameRecipe(l.Recipe, Recipe{12, 3, 15}, 1e-9) || !colourtest.Near(l.LeftOverBaseL, 88, 1e-9, 0) || !colourtest.Near(l.LeftOverAdditionL, 0, 1e-9, 0) {
		t.Errorf("largest: %+v, want 12 + 3 L, 88 L of base left", l)
	}
	if s := v.Stretched; s == nil || !sameRecipe(s.Recipe, Recipe{80, 3, 83}, 1e-9) || !colourtest.Near(float64(s.Dose), 3.75, 1e-9, 0) {
		t.Errorf("stretched: %+v, want 80 + 3 L at 3.75", s)
	}
	blended := mustScale(t, Batch{Dose: 25, Bottles: &Bottles{100, 1000}, LossPercent: 4, StockBaseL: litres(100), StockAdditionL: litres(10)})
	if l := blended.Largest; l == nil || l.Bottles == nil || *l.Bottles != 48 || !colourtest.Near(l.ArrivesL, 48, 1e-9, 0) {
		t.Errorf("10 L of addition: %+v, want 50 L made, 48 bottles", l)
	}
	if s := blended.Stretched; s == nil || !colourtest.Near(s.BlendL, 100/0.96, 1e-9, 0) || !colourtest.Near(float64(s.Dose), 1000/(100/0.96-10), 1e-9, 0) {
		t.Errorf("stretched: %+v", s)
	}
	for name, b := range map[string]Batch{
		"base short":         {Dose: 25, BaseL: litres(80), StockBaseL: litres(50), StockAdditionL: litres(100)},
		"no addition":        {Dose: 25, BaseL: litres(80), StockAdditionL: litres(0)},
		"both short in part": {Dose: 25, BlendL: litres(100), StockBaseL: litres(81), StockAdditionL: litres(10)},
		"vessels mixed":      {Dose: 25, Vessels: []Vessel{{Count: 1, BaseL: litres(50)}, {Count: 1, BlendL: litres(50)}}, StockAdditionL: litres(10)},
	} {
		if v := mustScale(t, b); v.Stretched != nil || v.Largest == nil {
			t.Errorf("%s: stretched %+v, largest %+v", name, v.Stretched, v.Largest)
		}
	}
}

func TestRounding(t *testing.T) {
	for _, c := range []struct {
		name        string
		batch       Batch
		want        Recipe
		dose        Dose
		first, held float64
		code        string
	}{
		{"both", Batch{Dose: 13, BlendL: litres(750), Measuring: Measuring{BaseGraduationL: 5, AdditionGraduationML: 500}}, Recipe{665, 86.5, 751.5}, 100 * 86.5 / 665, 77.5, 9, ""},
		{"addition only", Batch{Dose: 13, BaseL: litres(663), Measuring: Measuring{AdditionGraduationML: 1000}}, Recipe{663, 86, 749}, 100 * 86.0 / 663, 77, 9, ""},
		{"base only", Batch{Dose: 10, BlendL: litres(110), FirstPercent: 80, Measuring: Measuring{BaseGraduationL: 8}}, Recipe{104, 10.4, 114.4}, 10, 8.32, 2.08, ""},
		{"on the lines", Batch{Dose: 13, BaseL: litres(0.3), Measuring: Measuring{BaseGraduationL: 0.1, AdditionGraduationML: 1}}, Recipe{0.3, 0.039, 0.339}, 13, 0.035, 0.004, ""},
		{"not above the stock", Batch{Dose: 25, BaseL: litres(78), StockBaseL: litres(78), StockAdditionL: litres(19.9), Measuring: Measuring{BaseGraduationL: 5, AdditionGraduationML: 1000}}, Recipe{75, 19, 94}, 100 * 19.0 / 75, 17, 2, ""},
		{"too coarse", Batch{Dose: 2, BaseL: litres(1), Measuring: Measuring{AdditionGraduationML: 50}}, Recipe{1, 0, 1}, 0, 0, 0, "addition_below_graduation"},
		{"one line", Batch{Dose: 4, BaseL: litres(1), Measuring: Measuring{AdditionGraduationML: 50}}, Recipe{1, 0.05, 1.05}, 5, 0, 0.05, "nothing_held_back"},
	} {
		v := mustScale(t, c.batch)
		r := v.Rounded
		if r == nil || !sameRecipe(r.Recipe, c.want, 1e-9) || !colourtest.Near(float64(r.Dose), float64(c.dose), 1e-9, 0) || !colourtest.Near(r.FirstAdditionL, c.first, 1e-9, 0) || !colourtest.Near(r.HeldBackL, c.held, 1e-9, 0) {
			t.Errorf("%s: %+v, want %+v at %g, %g L first", c.name, r, c.want, float64(c.dose), c.first)
		}
		if text := message(v.Warnings, c.code); c.code != "" && text == "" {
			t.Errorf("%s: no warning %s in %v", c.name, c.code, v.Warnings)
		}
	}
	if v := mustScale(t, Batch{Dose: 13, BaseL: litres(1)}); v.Rounded != nil {
		t.Errorf("rounded without a graduation: %+v", v.Rounded)
	}
}

// TestRoundingIsBounded: half a graduation of the addition moves the dose by at
// most 50 g/base, and the colour by no more than that times the steepest slope
// of the path nearby.
func TestRoundingIsBounded(t *testing.T) {
	p, view := NewPath(paleWhite(t), youngRed(t)), cie.OIV()
	r := rand.New(rand.NewPCG(6, 6))
	between := func(d1, d2 Dose) float64 {
		d, err := p.DeltaE00(d1, d2, view)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	for range 200 {
		base := math.Exp(7 * r.Float64())
		dose := Dose(2 + 15*r.Float64())
		graduation := base * float64(dose) / 100 * 0.3 * r.Float64()
		v := mustScale(t, Batch{Dose: dose, BaseL: &base, Measuring: Measuring{AdditionGraduationML: 1000 * graduation}})
		half := Dose(100 * graduation / 2 / base)
		if off := math.Abs(float64(v.Rounded.Dose - dose)); off > float64(half)*(1+1e-5) {
			t.Fatalf("graduation %g L, base %g L: dose off by %g, want at most %g", graduation, base, off, float64(half))
		}
		const step = 0.01
		low := dose - half
		slope := between(low, low+step) / step // steeper than above: ever less visible
		if miss := between(dose, v.Rounded.Dose); miss > slope*float64(half)*1.01 {
			t.Fatalf("dose %g ± %g: ΔE00 %g, want at most %g", float64(dose), float64(half), miss, slope*float64(half))
		}
	}
	if _, err := p.DeltaE00(1, 2, cie.View{}); err == nil {
		t.Error("no view: no error")
	}
}

// TestDeliveryMonteCarlo holds the uncertainty of the dose against draws of what
// it is made of (JCGM101).
func TestDeliveryMonteCarlo(t *testing.T) {
	m := Measuring{BaseGraduationL: 10, AdditionGraduationML: 1000, BaseUPercent: 1, AdditionUPercent: 0.8}
	v := mustScale(t, Batch{Dose: 12, BaseL: litres(500), Measuring: m})
	r := rand.New(rand.NewPCG(7, 7))
	var sum, squares float64
	const n = 40000
	for range n {
		base := v.Rounded.BaseL*(1+0.01*r.NormFloat64()) + 10*(r.Float64()-0.5)
		addition := v.Rounded.AdditionL*(1+0.008*r.NormFloat64()) + (r.Float64() - 0.5)
		d := 100 * addition / base
		sum += d
		squares += d * d
	}
	sd := math.Sqrt(squares/n - sum/n*sum/n)
	if !colourtest.Near(v.Delivery.UDose, sd, 0, 0.03) {
		t.Errorf("u(dose) = %.4f, draws say %.4f", v.Delivery.UDose, sd)
	}
	if none := mustScale(t, Batch{Dose: 12, BaseL: litres(500)}); none.Delivery.UDose != 0 || none.Delivery.ShortDose != 12 || none.Delivery.PourL != 60 {
		t.Errorf("nothing stated: %+v", none.Delivery)
	}
}

func TestHeel(t *testing.T) {
	v := mustScale(t, Batch{Dose: 10, BaseL: litres(500), Measuring: Measuring{HeelL: 4}})
	d := v.Delivery
	if !colourtest.Near(float64(d.ShortDose), 9.2, 1e-9, 0) || !colourtest.Near(d.PourL, 54, 1e-9, 0) || !colourtest.Near(d.FirstPourL, 49, 1e-9, 0) {
		t.Errorf("4 of 50 L stay in the line: %+v, want a dose of 9.2, 54 L poured, 49 L first", d)
	}
	if text := message(v.Warnings, "heel"); !strings.Contains(text, "54 L") {
		t.Errorf("warnings %v", v.Warnings)
	}
	all := mustScale(t, Batch{Dose: 10, BaseL: litres(5), Measuring: Measuring{HeelL: 0.5}})
	if all.Delivery.ShortDose != 0 || message(all.Warnings, "heel_holds_all") == "" {
		t.Errorf("a line that holds all: %+v, %v", all.Delivery, all.Warnings)
	}
}

func TestScaleMeasuringFaults(t *testing.T) {
	nan := math.NaN()
	one := litres(1)
	for _, c := range []struct {
		name   string
		batch  Batch
		fields []string
		text   string
	}{
		{"graduation below 0", Batch{Dose: 13, BaseL: one, Measuring: Measuring{BaseGraduationL: -1, AdditionGraduationML: nan}}, []string{"measuring/base_graduation_l", "measuring/addition_graduation_ml"}, "least step"},
		{"gauge of 60 %", Batch{Dose: 13, BaseL: one, Measuring: Measuring{BaseUPercent: 60, AdditionUPercent: -1}}, []string{"measuring/base_u_percent", "measuring/addition_u_percent"}, "in percent"},
		{"heel of NaN", Batch{Dose: 13, BaseL: one, Measuring: Measuring{HeelL: nan}}, []string{"measuring/heel_l"}, "hose and pump"},
		{"base below its graduation", Batch{Dose: 13, BaseL: one, Measuring: Measuring{BaseGraduationL: 5}}, []string{"measuring/base_graduation_l"}, "round to 0"},
		{"first of all", Batch{Dose: 13, BaseL: one, FirstPercent: 100}, []string{"first_percent"}, "90 is usual"},
		{"no vessels", Batch{Dose: 13, Vessels: []Vessel{}}, []string{"vessels"}, "from 1"},
		{"vessel without size", Batch{Dose: 13, Vessels: []Vessel{{Count: 1}}}, []string{"vessels/0"}, "exactly one"},
		{"vessels wrong", Batch{Dose: 13, Vessels: []Vessel{{Count: 1, BaseL: one}, {Count: 0, BaseL: &nan, BlendL: one}}}, []string{"vessels/1/count", "vessels/1/base_l", "vessels/1"}, ""},
		{"vessels and base", Batch{Dose: 13, BaseL: one, Vessels: []Vessel{{Count: 1, BaseL: one}}}, []string{""}, "2 sizes"},
	} {
		_, err := Scale(c.batch)
		wantFields(t, c.name, err, c.fields, c.text)
	}
}

// What a cellar can measure, and what that costs in colour.
func ExampleScale_measured() {
	read := func(pathMM, a420, a520, a620 float64) spectrum.Wine {
		w, err := spectrum.FromReadings(reading.Readings{Cell: reading.Cell{PathMM: pathMM, Dilution: 1}, A420: a420, A520: a520, A620: a620, UAbsorbance: 0.002})
		if err != nil {
			panic(err)
		}
		return w
	}
	path := NewPath(read(10, 0.095, 0.016, 0.003), read(1, 0.30, 0.58, 0.06))
	base := 480.0
	v, err := Scale(Batch{Dose: 6.4, BaseL: &base, Measuring: Measuring{BaseGraduationL: 10, AdditionGraduationML: 1000, BaseUPercent: 1, HeelL: 2}})
	if err != nil {
		fmt.Println(err)
		return
	}
	r := v.Rounded
	off, err := path.DeltaE00(6.4, r.Dose, cie.OIV())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f L base + %.0f L red: a dose of %.2f ± %.2f (k = 2), ΔE00 %.2f off\n", r.BaseL, r.AdditionL, float64(r.Dose), 2*v.Delivery.UDose, off)
	fmt.Printf("measure out %.0f L, as 2 L stay in the line: %.0f L first\n", v.Delivery.PourL, v.Delivery.FirstPourL)
	// Output:
	// 480 L base + 31 L red: a dose of 6.46 ± 0.19 (k = 2), ΔE00 0.12 off
	// measure out 33 L, as 2 L stay in the line: 29 L first
}

package blend

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pourpath/colour/colourtest"
)

func litres(l float64) *float64 { return &l }

// The two conventions of the trade. Common practice, no source: 13 mL per
// 100 mL is 130 mL per litre of base and 97.5 mL for 750 mL of base; a finished
// 750 mL at that dose is 663.7 mL base and 86.3 mL addition, 11.5 % of it.
func TestScaleConventions(t *testing.T) {
	for _, c := range []struct {
		name                          string
		batch                         Batch
		base, addition, blend, digits float64
	}{
		{"1 L of base", Batch{Dose: 13, BaseL: litres(1)}, 1, 0.130, 1.130, 1e-12},
		{"750 mL of base", Batch{Dose: 13, BaseL: litres(0.75)}, 0.75, 0.0975, 0.8475, 1e-12},
		{"750 mL of blend", Batch{Dose: 13, BlendL: litres(0.75)}, 0.6637, 0.0863, 0.75, 5e-5},
		{"a bottle", Batch{Dose: 13, Bottles: &Bottles{1, 750}}, 0.6637, 0.0863, 0.75, 5e-5},
		{"1000 bottles", Batch{Dose: 13, Bottles: &Bottles{1000, 750}}, 663.7, 86.3, 750, 5e-2},
	} {
		v, err := Scale(c.batch)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if !colourtest.Near(v.BaseL, c.base, c.digits, 0) || !colourtest.Near(v.AdditionL, c.addition, c.digits, 0) || !colourtest.Near(v.BlendL, c.blend, c.digits, 0) {
			t.Errorf("%s: Scale = %g + %g = %g L, want %g + %g = %g ± %g", c.name, v.BaseL, v.AdditionL, v.BlendL, c.base, c.addition, c.blend, c.digits)
		}
		if !colourtest.Near(v.AdditionPercentOfBlend, 11.5, 0.05, 0) {
			t.Errorf("%s: AdditionPercentOfBlend = %g, want 11.5 ± 0.05", c.name, v.AdditionPercentOfBlend)
		}
	}
}

// Laws: base + addition = blend, addition/base is the dose, what arrives is
// what was asked for, and asking for the blend that a base makes gives that
// base back.
func TestScaleLaws(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		dose := Dose(math.Exp(8*r.Float64() - 2))
		size := math.Exp(20*r.Float64() - 8)
		loss := 99 * r.Float64()
		led, err := Scale(Batch{Dose: dose, BaseL: &size, LossPercent: loss})
		if err != nil {
			t.Fatal(err)
		}
		if led.BaseL != size || !colourtest.Near(led.BaseL+led.AdditionL, led.BlendL, 0, 1e-12) || !colourtest.Near(100*led.AdditionL/led.BaseL, float64(dose), 0, 1e-12) {
			t.Fatalf("dose %g into %g L: %+v", dose, size, led)
		}
		if !colourtest.Near(led.AdditionPercentOfBlend, 100*led.AdditionL/led.BlendL, 0, 1e-12) || !colourtest.Near(led.LostL, led.BlendL*loss/100, 0, 1e-12) || !colourtest.Near(led.ArrivesL+led.LostL, led.BlendL, 0, 1e-12) {
			t.Fatalf("dose %g into %g L, loss %g %%: %+v", dose, size, loss, led)
		}
		back, err := Scale(Batch{Dose: dose, BlendL: &led.ArrivesL, LossPercent: loss})
		if err != nil {
			t.Fatal(err)
		}
		if !colourtest.Near(back.BaseL, size, 0, 1e-9) || !colourtest.Near(back.AdditionL, led.AdditionL, 0, 1e-9) || !colourtest.Near(back.ArrivesL, led.ArrivesL, 0, 1e-9) {
			t.Fatalf("dose %g, blend-led back from %+v: %+v", dose, led, back)
		}
	}
}

func TestScaleLoss(t *testing.T) {
	v, err := Scale(Batch{Dose: 25, Bottles: &Bottles{80, 750}, LossPercent: 4})
	if err != nil {
		t.Fatal(err)
	}
	// 60 L wanted are 96 % of 62.5 L, a fifth of which is the addition.
	if !colourtest.Near(v.BlendL, 62.5, 1e-9, 0) || !colourtest.Near(v.AdditionL, 12.5, 1e-9, 0) || !colourtest.Near(v.BaseL, 50, 1e-9, 0) || !colourtest.Near(v.ArrivesL, 60, 1e-9, 0) || !colourtest.Near(v.LostL, 2.5, 1e-9, 0) {
		t.Errorf("80 bottles with 4 %% lost: %+v", v)
	}
	if !colourtest.Near(v.FirstAdditionL, 11.25, 1e-9, 0) {
		t.Errorf("FirstAdditionL = %g, want 90 %% of 12.5 L", v.FirstAdditionL)
	}
}

func TestScaleStock(t *testing.T) {
	for _, c := range []struct {
		name           string
		base, addition *float64
		left           [3]float64 // base, addition, both
		missing        [2]float64
		limitedBy      string
		largest        float64
		says           string
	}{
		{"not stated", nil, nil, [3]float64{}, [2]float64{}, "", 0, ""},
		{"both suffice", litres(100), litres(30), [3]float64{20, 10, 30}, [2]float64{}, "", 0, ""},
		{"exactly enough", litres(80), litres(20), [3]float64{}, [2]float64{}, "", 0, ""},
		{"one stated", nil, litres(30), [3]float64{0, 10, 10}, [2]float64{}, "", 0, ""},
		{"addition short", litres(100), litres(15), [3]float64{20, 0, 20}, [2]float64{0, 5}, AdditionWine, 75, "addition is 5 L short"},
		{"base short", litres(60), litres(30), [3]float64{0, 10, 10}, [2]float64{20, 0}, BaseWine, 75, "base is 20 L short"},
		{"both short, addition more so", litres(70), litres(10), [3]float64{}, [2]float64{10, 10}, AdditionWine, 50, "limited by the addition"},
		{"none on hand", litres(100), litres(0), [3]float64{20, 0, 20}, [2]float64{0, 20}, AdditionWine, 0, "enough for 0 bottles"},
	} {
		v, err := Scale(Batch{Dose: 25, Bottles: &Bottles{100, 1000}, StockBaseL: c.base, StockAdditionL: c.addition})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if v.BlendL != 100 || !colourtest.Near(v.BaseL, 80, 1e-9, 0) {
			t.Errorf("%s: the stock changed the recipe: %+v", c.name, v)
		}
		for i, got := range []float64{v.LeftOverBaseL, v.LeftOverAdditionL, v.LeftOverL} {
			if !colourtest.Near(got, c.left[i], 1e-9, 0) {
				t.Errorf("%s: left over (base, addition, both) %d = %g L, want %g", c.name, i, got, c.left[i])
			}
		}
		if !colourtest.Near(v.MissingBaseL, c.missing[0], 1e-9, 0) || !colourtest.Near(v.MissingAdditionL, c.missing[1], 1e-9, 0) || v.LimitedBy != c.limitedBy {
			t.Errorf("%s: missing %g and %g L, limited by %q, want %v and %q", c.name, v.MissingBaseL, v.MissingAdditionL, v.LimitedBy, c.missing, c.limitedBy)
		}
		text := message(v.Warnings, "stock_short")
		if (text != "") != (c.says != "") || !strings.Contains(text, c.says) {
			t.Errorf("%s: warning %q, want %q in it", c.name, text, c.says)
		}
		if c.limitedBy == "" {
			if v.Largest != nil {
				t.Errorf("%s: Largest = %+v though nothing is missing", c.name, *v.Largest)
			}
			continue
		}
		if v.Largest == nil || !colourtest.Near(v.Largest.BlendL, c.largest, 1e-9, 0) {
			t.Errorf("%s: Largest = %+v, want %g", c.name, v.Largest, c.largest)
			continue
		}
		if c.largest > 0 { // the largest blend can be made of that very stock
			again, err := Scale(Batch{Dose: 25, BlendL: &v.Largest.BlendL, StockBaseL: c.base, StockAdditionL: c.addition})
			if err != nil || again.LimitedBy != "" {
				t.Errorf("%s: the largest blend is short again: %+v, %v", c.name, again, err)
			}
		}
	}
}

func TestScaleFaults(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	one := litres(1)
	for _, c := range []struct {
		name   string
		batch  Batch
		fields []string
		text   string
	}{
		{"no size", Batch{Dose: 13}, []string{""}, "exactly one"},
		{"two sizes", Batch{Dose: 13, BaseL: one, BlendL: one}, []string{""}, "2 sizes"},
		{"three sizes", Batch{Dose: 13, BaseL: one, BlendL: one, Bottles: &Bottles{1, 750}}, []string{""}, "3 sizes"},
		{"zero dose", Batch{BaseL: one}, []string{"dose_ml_per_100ml"}, "above 0"},
		{"negative dose", Batch{Dose: -1, BaseL: one}, []string{"dose_ml_per_100ml"}, "above 0"},
		{"dose of NaN", Batch{Dose: Dose(nan), BaseL: one}, []string{"dose_ml_per_100ml"}, "above 0"},
		{"absurd dose", Batch{Dose: 1000.1, BaseL: one}, []string{"dose_ml_per_100ml"}, "1000"},
		{"zero base", Batch{Dose: 13, BaseL: litres(0)}, []string{"base_l"}, "above 0"},
		{"negative blend", Batch{Dose: 13, BlendL: litres(-2)}, []string{"blend_l"}, "above 0"},
		{"endless base", Batch{Dose: 13, BaseL: &inf}, []string{"base_l"}, "at most"},
		{"NaN blend", Batch{Dose: 13, BlendL: &nan}, []string{"blend_l"}, "above 0"},
		{"no bottles", Batch{Dose: 13, Bottles: &Bottles{0, 750}}, []string{"bottles/count"}, "from 1"},
		{"bottle in litres", Batch{Dose: 13, Bottles: &Bottles{12, 0.75}}, []string{"bottles/ml"}, "750 mL is usual"},
		{"all is lost", Batch{Dose: 13, BaseL: one, LossPercent: 100}, []string{"loss_percent"}, "below 100"},
		{"gain", Batch{Dose: 13, BaseL: one, LossPercent: -1}, []string{"loss_percent"}, "from 0"},
		{"negative stock", Batch{Dose: 13, BaseL: one, StockBaseL: litres(-1), StockAdditionL: &nan}, []string{"stock/base_l", "stock/addition_l"}, "0 or more"},
		{"everything wrong", Batch{Dose: -1, BlendL: &nan, LossPercent: inf, StockBaseL: &inf}, []string{"dose_ml_per_100ml", "blend_l", "loss_percent", "stock/base_l"}, ""},
	} {
		_, err := Scale(c.batch)
		wantFields(t, c.name, err, c.fields, c.text)
	}
}

// What 600 bottles need at 13 mL per 100 mL, when 2 % of the blend is lost.
func ExampleScale() {
	v, err := Scale(Batch{Dose: 13, Bottles: &Bottles{Count: 600, ML: 750}, LossPercent: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f L base + %.1f L red = %.1f L blend, of which %.1f L reach the bottles\n", v.BaseL, v.AdditionL, v.BlendL, v.ArrivesL)
	fmt.Printf("pour %.1f L of the red first, mix, measure, then trim\n", v.FirstAdditionL)
	// Output:
	// 406.4 L base + 52.8 L red = 459.2 L blend, of which 450.0 L reach the bottles
	// pour 47.5 L of the red first, mix, measure, then trim
}

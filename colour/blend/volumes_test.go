package blend

import (
	"fmt"
	"math"
	"testing"

	"pourpath/colour/colourtest"
)

// Common practice, no source: 13 mL in 100 mL is 11.5 % of the blend, not 13 %.
func TestDose(t *testing.T) {
	for _, c := range []struct{ doseML, baseML, dose, fraction, tolerance float64 }{
		{13, 100, 13, 0.115, 5e-4},
		{130, 1000, 13, 0.115, 5e-4},
		{97.5, 750, 13, 0.115, 5e-4},
		{0, 50, 0, 0, 0},
		{50, 50, 100, 0.5, 1e-15},
		{25, 100, 25, 0.2, 1e-15},
	} {
		d := DoseOf(c.doseML, c.baseML)
		if !colourtest.Near(float64(d), c.dose, 1e-12, 0) || !colourtest.Near(d.Fraction(), c.fraction, c.tolerance, 0) {
			t.Errorf("%g mL in %g mL: dose %g, fraction %g, want %g, %g ± %g", c.doseML, c.baseML, d, d.Fraction(), c.dose, c.fraction, c.tolerance)
		}
		if !colourtest.Near(d.Fraction(), c.doseML/(c.doseML+c.baseML), 0, 1e-14) {
			t.Errorf("%g mL in %g mL: fraction %g, want the share of what was poured", c.doseML, c.baseML, d.Fraction())
		}
	}
}

func TestFractionsOf(t *testing.T) {
	for _, c := range []struct{ volumes, want []float64 }{
		{[]float64{100, 13}, []float64{100.0 / 113, 13.0 / 113}},
		{[]float64{1, 0, 3}, []float64{0.25, 0, 0.75}},
		{[]float64{5}, []float64{1}},
	} {
		got, err := FractionsOf(c.volumes)
		if err != nil {
			t.Fatal(err)
		}
		for i := range c.want {
			if !colourtest.Near(got[i], c.want[i], 1e-15, 0) {
				t.Errorf("FractionsOf(%v) = %v, want %v", c.volumes, got, c.want)
			}
		}
		if err := CheckFractions(got); err != nil {
			t.Errorf("CheckFractions(FractionsOf(%v)) = %v", c.volumes, err)
		}
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name    string
		volumes []float64
		fields  []string
	}{
		{"none", nil, []string{"volumes_ml"}},
		{"all zero", []float64{0, 0}, []string{"volumes_ml"}},
		{"negative", []float64{100, -13}, []string{"volumes_ml/1"}},
		{"not numbers", []float64{nan, 1, inf}, []string{"volumes_ml/0", "volumes_ml/2"}},
		{"overflow", []float64{1e308, 1e308}, []string{"volumes_ml"}},
	} {
		_, err := FractionsOf(c.volumes)
		wantFields(t, c.name, err, c.fields, "")
	}
}

func TestCheckFractions(t *testing.T) {
	for _, ok := range [][]float64{{1}, {0.885, 0.115}, {0, 1}, {0.3333333, 0.3333333, 0.3333333}, {0.5, 0.5 - 0.9e-6}} {
		if err := CheckFractions(ok); err != nil {
			t.Errorf("CheckFractions(%v) = %v, want nil", ok, err)
		}
	}
	for _, c := range []struct {
		name      string
		fractions []float64
		fields    []string
		text      string
	}{
		{"none", nil, []string{"fractions"}, "sum to 0"},
		{"percent", []float64{88.5, 11.5}, []string{"fractions/0", "fractions/1"}, "0.12"},
		{"short", []float64{0.5, 0.5 - 1.1e-6}, []string{"fractions"}, "must sum to 1"},
		{"negative", []float64{1.1, -0.1}, []string{"fractions/0", "fractions/1"}, "0 to 1"},
		{"NaN", []float64{math.NaN(), 1}, []string{"fractions/0"}, "0 to 1"},
	} {
		wantFields(t, c.name, CheckFractions(c.fractions), c.fields, c.text)
	}
}

// 13 mL per 100 mL of base is 11.5 % of the blend.
func ExampleDose_Fraction() {
	d := DoseOf(13, 100)
	fmt.Printf("%.1f %%\n", 100*d.Fraction())
	// Output: 11.5 %
}

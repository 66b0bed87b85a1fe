package blend

import (
	"math"
	"testing"

	"pourpath/colour/cie"
)

func TestTargetValidate(t *testing.T) {
	v := cie.OIV()
	number := func(x float64) *float64 { return &x }
	lab := func(L, a, b float64) *cie.Lab { return &cie.Lab{L: L, A: a, B: b, View: v} }
	for _, ok := range []Target{
		{Lab: lab(80, 10, 5)},
		{Lab: lab(80, 10, 5), Tolerance: 1.5},
		{Lab: lab(110, -150, 150)},
		{Intensity: number(0.3), Tint: number(0.9)},
		{Intensity: number(0.3), Tint: number(0.9), Tolerance: 2},
	} {
		if err := ok.Validate(); err != nil {
			t.Errorf("Validate(%+v) = %v, want nil", ok, err)
		}
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name   string
		target Target
		fields []string
		text   string
	}{
		{"empty", Target{}, []string{""}, "empty"},
		{"both kinds", Target{Lab: lab(80, 10, 5), Tint: number(1)}, []string{""}, "twice"},
		{"intensity alone", Target{Intensity: number(0.3)}, []string{"tint"}, "go together"},
		{"tint alone", Target{Tint: number(0.9)}, []string{"intensity"}, "go together"},
		{"out of scale", Target{Lab: lab(111, 151, -151)}, []string{"cielab/L", "cielab/a", "cielab/b"}, "0 to 110"},
		{"not numbers", Target{Lab: lab(nan, inf, nan)}, []string{"cielab/L", "cielab/a", "cielab/b"}, ""},
		{"no view", Target{Lab: &cie.Lab{L: 80}}, []string{"cielab"}, "conditions"},
		{"negative indices", Target{Intensity: number(-1), Tint: &nan}, []string{"intensity", "tint"}, "above 0"},
		{"negative tolerance", Target{Lab: lab(80, 10, 5), Tolerance: -1}, []string{"tolerance/delta_e_00"}, "above 0"},
		{"absurd tolerance", Target{Lab: lab(80, 10, 5), Tolerance: inf}, []string{"tolerance/delta_e_00"}, "at most"},
	} {
		wantFields(t, c.name, c.target.Validate(), c.fields, c.text)
	}
}

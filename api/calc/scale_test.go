package calc

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"
)

func near(got, want, digits float64) bool { return math.Abs(got-want) <= digits }

// The example of a cellar: several vessels, a stock that is short, measures of the
// cellar, and the wines, so that each error is told as a colour difference.
const scaleWhole = `{
  "dose_ml_per_100ml": 10, "first_percent": 80,
  "vessels": [{"name": "carboy", "count": 10, "blend_l": 22}, {"name": "keg", "blend_l": 110}],
  "stock": {"base_l": 400, "addition_l": 25},
  "measuring": {"base_graduation_l": 8, "addition_graduation_ml": 1000, "base_u_percent": 1, "heel_l": 2},
  "base": {"readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008}},
  "addition": {"readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}},
  "measured": [{"dose_ml": 6, "wine": {"readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043}}}]
}`

func TestScaleWhole(t *testing.T) {
	a, err := Scale(mustDecode[ScaleRequest](t, scaleWhole))
	if err != nil {
		t.Fatal(err)
	}
	// 330 L of blend at 10 mL per 100 mL are 300 + 30 L; 2 L more stay in the line.
	if !near(a.BaseL, 300, 1e-9) || !near(a.AdditionL, 30, 1e-9) || !near(a.PourL, 32, 1e-9) || !near(a.MissingAdditionL, 7, 1e-9) || a.Convention != "blend_led" {
		t.Errorf("%+v", a)
	}
	if !near(a.FirstAdditionL, 24, 1e-9) || !near(a.HeldBackL, 6, 1e-9) || !near(a.PerLBase, 100, 1e-9) || !near(a.PerLBlend, 1000.0/11, 1e-9) {
		t.Errorf("%+v", a)
	}
	if len(a.Vessels) != 2 || a.Vessels[1].Count != 1 || !near(a.Vessels[0].AdditionL, 2, 1e-9) {
		t.Errorf("vessels %+v", a.Vessels)
	}
	if l := a.Largest; l == nil || !near(l.BaseL, 230, 1e-9) || !near(l.AdditionL, 23, 1e-9) || !near(*a.LargestBlendL, 253, 1e-9) {
		t.Errorf("largest %+v", l)
	}
	if s := a.Stretched; s == nil || !near(s.Dose, 2300.0/307, 1e-9) || s.DeltaE00 == nil || !(*s.DeltaE00 > 1) {
		t.Errorf("stretched %+v", s)
	}
	if r := a.Rounded; r == nil || r.BaseL != 304 || r.AdditionL != 30 || r.FirstAdditionL != 24 || r.DeltaE00 == nil || !(*r.DeltaE00 > 0.02 && *r.DeltaE00 < 0.5) {
		t.Errorf("rounded %+v", r)
	}
	d := a.Delivery
	if d == nil || !near(d.ShortDose, 2800.0/304, 1e-9) || d.PourL != 32 || d.FirstPourL != 26 || !(*d.ShortDeltaE00 > *d.UDeltaE00) || !(d.UDose > 0.1 && d.UDose < 0.2) {
		t.Errorf("delivery %+v", d)
	}
}

// Without the new fields nothing new is asked, and what was answered still is.
func TestScalePlain(t *testing.T) {
	a, err := Scale(mustDecode[ScaleRequest](t, `{"dose_ml_per_100ml": 5, "blend_l": 100, "stock": {"base_l": 10}}`))
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"base_l", "addition_l", "blend_l", "addition_percent_of_blend", "left_over_l", "left_over_base_l", "left_over_addition_l", "lost_l", "arrives_l", "first_addition_l", "missing_base_l", "missing_addition_l", "limited_by", "largest_blend_l", "warnings"} {
		if !strings.Contains(string(data), `"`+name+`":`) {
			t.Errorf("no %s in %s", name, data)
		}
	}
	if a.Rounded != nil || a.Delivery != nil || a.Stretched != nil || !near(a.OtherConvention.BaseL, 100, 1e-9) || !near(a.OtherConvention.AdditionL, 5, 1e-9) {
		t.Errorf("%s", data)
	}
}

func TestScaleProblems(t *testing.T) {
	for _, row := range []struct{ name, from, to, location string }{
		{"base alone", `"addition": {"readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}},`, ``, "/addition"},
		{"addition alone", `"base": {"readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008}},`, ``, "/base"},
		{"vessel of two sizes", `"blend_l": 22`, `"blend_l": 22, "base_l": 20`, "/vessels/0"},
		{"vessel of 0", `"blend_l": 22`, `"blend_l": 0`, "/vessels/0/blend_l"},
		{"all at first", `"first_percent": 80`, `"first_percent": 100`, "/first_percent"},
		{"coarse tank", `"base_graduation_l": 8`, `"base_graduation_l": 1000`, "/measuring/base_graduation_l"},
		{"gauge of 90 %", `"base_u_percent": 1`, `"base_u_percent": 90`, "/measuring/base_u_percent"},
		{"rung of 0", `"dose_ml": 6`, `"dose_ml": -6`, "/measured/0/dose_ml"},
		{"unknown base", `"base": {"readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008}}`, `"base": {"id": "none"}`, "/base/id"},
	} {
		_, _, err := Answer(context.Background(), []byte(strings.Replace(scaleWhole, row.from, row.to, 1)), nil, Scale)
		p := AsProblem(err)
		found := false
		if p != nil {
			for _, f := range p.Errors {
				found = found || f.Location == row.location
			}
		}
		if !found {
			t.Errorf("%s: no fault at %s: %v", row.name, row.location, err)
		}
	}
	lone := mustDecode[ScaleRequest](t, `{"dose_ml_per_100ml": 5, "base_l": 100}`)
	lone.Measured = mustDecode[ScaleRequest](t, scaleWhole).Measured
	if _, err := Scale(lone); AsProblem(err) == nil {
		t.Error("rungs without their wines: no problem")
	}
}

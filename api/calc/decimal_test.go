package calc

import (
	"encoding/json"
	"testing"
)

func TestDecimal(t *testing.T) {
	for _, row := range []struct {
		text     string
		value    float64
		decimals int
		half     float64
		written  string
	}{
		{"71.2", 71.2, 1, 0.05, "71.2"},
		{"71.20", 71.2, 2, 0.005, "71.20"},
		{"71", 71, 0, 0.5, "71"},
		{"0", 0, 0, 0.5, "0"},
		{"-0.5", -0.5, 1, 0.05, "-0.5"},
		{"7.12e1", 71.2, 1, 0.05, "71.2"},
		{"712E-1", 71.2, 1, 0.05, "71.2"},
		{"7e1", 70, -1, 5, "70"},
		{"71.199999", 71.199999, 6, 0, "71.199999"},
		{"71.20000000000000284", 71.2, 6, 0, "71.2"},
		{"1e-400", 0, 6, 0, "0"},
		{"1e99999999999999999999", 0, 0, 0.5, "0"}, // beyond float64: named by Decode, left out here
	} {
		var d Decimal
		if err := json.Unmarshal([]byte(row.text), &d); err != nil {
			t.Errorf("Unmarshal(%s): %v", row.text, err)
		}
		if d.Value != row.value || d.Decimals != row.decimals || d.HalfStep() != row.half {
			t.Errorf("%s = %+v with half step %g, want %g, %d, %g", row.text, d, d.HalfStep(), row.value, row.decimals, row.half)
		}
		if written, err := json.Marshal(d); err != nil || string(written) != row.written {
			t.Errorf("Marshal(%s) = %s, %v, want %s", row.text, written, err, row.written)
		}
	}
}

// TestDigitsAreUncertainty: the digits of a report say how far its colour may be
// off. A rounding error is uniform within its half step: standard uncertainty
// half/√3 (JCGM 100:2008, 4.3.7), so 0.029 for one decimal and 0.29 for none.
func TestDigitsAreUncertainty(t *testing.T) {
	rounding := func(cielab string) BudgetPart {
		t.Helper()
		r, err := Decode[ColourRequest]([]byte(`{"wine":{"cielab":` + cielab + `}}`))
		if err != nil {
			t.Fatal(err)
		}
		a, err := Colour(r)
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range a.Colour.Budget {
			if part.Cause == "rounding" {
				return part
			}
		}
		return BudgetPart{}
	}
	for _, row := range []struct {
		cielab  string
		l, a, b float64
	}{
		{`{"L":84.6,"a":12.85,"b":8.71,"path_mm":10}`, 0.0289, 0.00289, 0.00289},
		{`{"L":84.6,"a":12.8,"b":8.7,"path_mm":10}`, 0.0289, 0.0289, 0.0289},
		{`{"L":85,"a":13,"b":9,"path_mm":10}`, 0.289, 0.289, 0.289},
		{`{"L":84.6,"a":12.85,"b":9,"path_mm":10}`, 0.0289, 0.00289, 0.00289}, // b* lost its zeros
		{`{"L":84.6123456,"a":12.8512345,"b":8.7112345,"path_mm":10}`, 0, 0, 0},
	} {
		got := rounding(row.cielab)
		for _, v := range []struct {
			name      string
			got, want float64
		}{{"L*", got.L, row.l}, {"a*", got.A, row.a}, {"b*", got.B, row.b}} {
			if diff := v.got - v.want; diff > 0.01*v.want || diff < -0.01*v.want {
				t.Errorf("%s: rounding adds %g to %s, want %g", row.cielab, v.got, v.name, v.want)
			}
		}
	}
}

// TestStatedColourIsGivenBack: under its own conditions a colour is what it was
// stated to be, to the last bit.
func TestStatedColourIsGivenBack(t *testing.T) {
	r, err := Decode[ColourRequest]([]byte(`{"wine":{"cielab":{"L":84.6,"a":12.85,"b":8.71,"path_mm":5,"illuminant":"A"}},"view":{"illuminant":"A","path_mm":5}}`))
	if err != nil {
		t.Fatal(err)
	}
	a, err := Colour(r)
	if err != nil {
		t.Fatal(err)
	}
	if v := a.Colour.CIELAB; v.L != 84.6 || v.A != 12.85 || v.B != 8.71 {
		t.Errorf("%+v, want 84.6, 12.85, 8.71", v)
	}
}

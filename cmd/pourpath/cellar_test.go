package main

import (
	"strings"
	"testing"

	"pourpath/api/calc"
)

// wants runs a calculation and wants it to say something, and not to say other
// things.
func wants(t *testing.T, name, command, request string, says, not []string) {
	t.Helper()
	got := pourpath(request, command)
	if got.exit != 0 {
		t.Errorf("%s: exit %d, %s", name, got.exit, got.err)
	}
	for _, want := range says {
		if !strings.Contains(got.out, want) {
			t.Errorf("%s does not say %q:\n%s", name, want, got.out)
		}
	}
	for _, wrong := range not {
		if strings.Contains(got.out, wrong) {
			t.Errorf("%s says %q:\n%s", name, wrong, got.out)
		}
	}
}

// TestScaleForPeople: a US gallon is 3.785411784 L, an imperial one 4.54609 L (NIST
// SP 811, appendix B.8; the figures are exact).
func TestScaleForPeople(t *testing.T) {
	const wines = `"base":{"readings":{"a420":0.085,"a520":0.021,"a620":0.008}},"addition":{"readings":{"a420":0.231,"a520":0.398,"a620":0.067,"path_mm":1}}`
	for _, row := range []struct {
		name, request string
		says, not     []string
	}{
		{"base-led", `{"dose_ml_per_100ml":8,"base_l":378.5411784}`,
			[]string{"Base-led: the addition comes on top", "NOT what was asked for, but blend-led (the addition is part of the blend)", "378.54  3.7854  100.000        83.267", "Let 27.25 L", "with the 3.03 L held back"},
			[]string{"Lost on the way", "Stock"}},
		{"a gallon on the bench", `{"dose_ml_per_100ml":8,"blend_l":4.54609}`,
			[]string{"Blend-led: the addition is part", "4546.1  4.5461  1.2009        1.0000", "NOT what was asked for, but base-led"}, nil},
		{"vessels", `{"dose_ml_per_100ml":8,"vessels":[{"name":"carboy","count":3,"base_l":20},{"blend_l":19}],"loss_percent":2}`,
			[]string{"Base-led and blend-led vessels together.", "3 × carboy   Base-led  20.00 L    1.60 L  21.60 L", "1 × vessel 2  Blend-led", "Lost on the way"}, []string{"NOT what was asked for"}},
		{"stock that suffices", `{"dose_ml_per_100ml":8,"base_l":100,"stock":{"addition_l":10}}`,
			[]string{"Stock of the addition: 10.00 L on hand, 8.00 L needed: 2.00 L left over."}, []string{"Stock of the base", "What can be done"}},
		{"addition runs short", `{"dose_ml_per_100ml":8,"base_l":500,"stock":{"base_l":600,"addition_l":20},` + wines + `}`,
			[]string{
				"SHORT by 20.00 L", "as the addition runs short", "Less at this dose: 250.00 L of base and 20.00 L of addition make 270.00 L", "350.00 L of base and 0.00 L of addition left over",
				"All of it at a weaker dose: 500.00 L of base and 20.00 L of addition, 4.00 mL per 100 mL of base = 3.85 % of the blend, ΔE00 ", "Whatever is made: let 90 %",
			}, []string{"held back"}},
		{"base runs short", `{"dose_ml_per_100ml":8,"bottles":{"count":12,"ml":750},"stock":{"base_l":5}}`,
			[]string{"as the base runs short", "Less at this dose: 5000.0 mL of base and 400.0 mL of addition make 5400.0 mL, of which 5400.0 mL arrive, 7 bottles"}, []string{"weaker"}},
		{"no stock at all", `{"dose_ml_per_100ml":8,"base_l":500,"stock":{"base_l":0,"addition_l":0}}`,
			[]string{"Stock of the base: 0.00 L on hand, 500.00 L needed: SHORT by 500.00 L", "Stock of the addition: 0.00 L on hand, 40.00 L needed: SHORT by 40.00 L", "there is nothing to make it of"}, nil},
		{"measured", `{"dose_ml_per_100ml":8,"base_l":103.3,"measuring":{"base_graduation_l":5,"addition_graduation_ml":250,"base_u_percent":0.6,"heel_l":0.5},` + wines + `}`,
			[]string{
				"the base in steps of 5 L, the addition in steps of 250 mL: 105.00 L of base and 8.50 L of addition", "the rounding makes a colour error of ΔE00 ", "By gauge, measure and graduations the dose is known to ± ",
				"0.50 L stay in the line: measure out 9.00 L in all, the first time 8.00 L",
			}, nil},
	} {
		wants(t, row.name, "scale", row.request, append(row.says, "Check the sulphur dioxide", "tartrate"), row.not)
	}
}

// TestTrimForPeople: a tank in layers gets no trim, one that is past its target the
// base that brings it back; a trim beyond the room is refused with its place.
func TestTrimForPeople(t *testing.T) {
	changed := func(from, to string) string {
		t.Helper()
		text := strings.Replace(calc.ExampleTrim, from, to, 1)
		if text == calc.ExampleTrim {
			t.Fatalf("the example has no %s", from)
		}
		return text
	}
	wants(t, "as it should be", "trim", calc.ExampleTrim, []string{"The tank is mixed", "Trim     6.11", "mL per 100 mL of base = 5.13 % of the blend, ± ", "95 %: ", "let 3.95 L arrive first", "Never drink"}, []string{"PASSED"})
	wants(t, "in layers", "trim", changed(`"a420": 0.185, "a520": 0.198`, `"a420": 0.135, "a520": 0.108`), []string{"The tank is NOT mixed", "No trim is told"}, []string{"Still to arrive", "PASSED"})
	passed := `"target": {"cielab": {"L": 93, "a": 7, "b": 5}}}`
	at := strings.Index(calc.ExampleTrim, `"target"`)
	wants(t, "passed", "trim", calc.ExampleTrim[:at]+passed, []string{"The target was PASSED: pour no more", "Base that brings it back (95 %: ", "In the tank then"}, []string{"Still to arrive"})
	got := pourpath(changed(`"room_l": 60`, `"room_l": 1`), "trim")
	if got.exit != 2 || got.out != "" || !strings.Contains(got.err, "/tank/room_l: the trim needs 6.112 L and the tank has room for 1 L") {
		t.Errorf("beyond the room: exit %d, %s%s", got.exit, got.out, got.err)
	}
}

package calc_test

import (
	"fmt"

	"pourpath/api/calc"
)

// A dose of 13 mL per 100 mL for bottles: 750 mL of finished blend need
// 663.7 mL of base and 86.3 mL of the addition (common practice, no source).
func ExampleScale() {
	request, err := calc.Decode[calc.ScaleRequest]([]byte(`{"dose_ml_per_100ml": 13, "bottles": {"count": 1, "ml": 750}}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	answer, err := calc.Scale(request)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mL of base, %.1f mL of the addition: %.1f %% of the blend\n",
		1000*answer.BaseL, 1000*answer.AdditionL, answer.AdditionPercent)
	// Output: 663.7 mL of base, 86.3 mL of the addition: 11.5 % of the blend
}

// A tank of 1000 L got 54 L, nine tenths of 6 mL per 100 mL; what is still needed is
// told with its interval, as two samples know it.
func ExampleTrim() {
	request, err := calc.Decode[calc.TrimRequest]([]byte(calc.ExampleTrim))
	if err != nil {
		fmt.Println(err)
		return
	}
	answer, err := calc.Trim(request)
	if err != nil {
		fmt.Println(err)
		return
	}
	within := answer.Trim.AdditionInterval95
	fmt.Printf("mixed: %v; still to add: %.0f L, 95 %% between %.0f and %.0f L\n", answer.Mixing.Mixed, answer.Trim.AdditionL, within[0], within[1])
	// Output: mixed: true; still to add: 6 L, 95 % between 4 and 8 L
}

// Every fault is named at once, at its place.
func ExampleDecode() {
	_, err := calc.Decode[calc.ScaleRequest]([]byte(`{"dose_ml_per_100ml": "13", "base_l": 0, "litres": 5}`))
	for _, fault := range calc.AsProblem(err).Errors {
		fmt.Printf("%s: %s\n", fault.Location, fault.Message)
	}
	// Output:
	// /litres: unknown field "litres"; known here: addition, base, base_l, base_ml, blend_l, bottles, dose_ml_per_100ml, first_percent, loss_percent, measured, measuring, stock, vessels, view
	// /base_l: expected number > 0
	// /dose_ml_per_100ml: expected number, not string
}

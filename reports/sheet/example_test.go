package sheet_test

import (
	"bytes"
	"fmt"
	"strings"

	"pourpath/colour/cie"
	"pourpath/reports/sheet"
)

// A bench sheet of two glasses, as a page of HTML.
func ExampleBench_WriteHTML() {
	bench := sheet.Bench{
		Head:   sheet.Head{Trial: "First trial", Date: "25 November 2026", View: cie.OIV()},
		Wines:  sheet.Wines{Base: sheet.Wine{Name: "tank 1"}, Additions: []sheet.Wine{{Name: "barrel 2"}}},
		BaseML: 100,
		Plan: []sheet.PlanRow{
			{Glass: "A", Deed: sheet.PourBase, Wine: "tank 1", VolumeML: 100},
			{Glass: "B", Deed: sheet.PourAddition, Wine: "barrel 2", VolumeML: 9.5, TotalML: 9.5, Dose: sheet.Dose{MLPer100ML: 9.5, U: 0.1}},
		},
	}
	var page bytes.Buffer
	if err := bench.WriteHTML(&page, nil, "/assets/sheet.css"); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Contains(page.String(), "9.5 ± 0.1"), strings.Contains(page.String(), "8.7"))

	bench.Plan[1].VolumeML = -9.5
	fmt.Println(bench.WriteHTML(&page, nil, ""))
	// Output:
	// true true
	// sheet: plan row 2: volume: -9.5 is not a number from 0 to 1e+06
}

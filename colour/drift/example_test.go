package drift_test

import (
	"fmt"
	"math"

	"pourpath/colour/drift"
)

// year is a made-up cellar: three lots that lose about 12 % of A520 in a year.
func year() (out []drift.Observation) {
	for lot, a520 := range map[string]float64{"A": 0.61, "B": 0.66, "C": 0.58} {
		for i, days := range []float64{0, 30, 90, 180, 270, 365} {
			off := 0.001 * float64(i%2*2-1) // the instrument
			out = append(out, drift.Observation{Lot: lot, Storage: "bottle, 12 °C", Days: days, Reading: drift.Reading{
				A420: 0.7*a520*(1+0.00025*days) + off, U420: 0.002,
				A520: a520*(1-(0.00033+0.01*(a520-0.6)/100)*days) + off, U520: 0.002,
				A620: 0.3*a520*(1-0.0001*days) - off, U620: 0.002,
			}})
		}
	}
	return out
}

// To be at the target on the day of release, aim redder today.
func ExampleClass_Aim() {
	model, err := drift.Learn(year())
	if err != nil {
		fmt.Println(err)
		return
	}
	class, err := model.Class("bottle, 12 °C")
	if err != nil {
		fmt.Println(err)
		return
	}
	target := drift.Reading{A420: 0.44, A520: 0.60, A620: 0.18, U420: 1e-6, U520: 1e-6, U620: 1e-6}
	aim, err := class.Aim(target, 0, 180)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, nm := range drift.NMs() {
		fmt.Printf("A%d %.2f\n", nm, aim.A[i].Value)
	}
	// Output:
	// A420 0.42
	// A520 0.64
	// A620 0.18
}

// A date is given with its interval, or not at all.
func ExampleClass_LeavingLimits() {
	model, err := drift.Learn(year())
	if err != nil {
		fmt.Println(err)
		return
	}
	class := &model.Classes[0]
	lot := drift.Lot{Days: 20, Reading: drift.Reading{A420: 0.42, A520: 0.60, A620: 0.18, U420: 0.002, U520: 0.002, U620: 0.002}}
	leaving, err := class.LeavingLimits(lot, drift.Limits{Within: map[drift.Quantity][2]float64{drift.A520: {0.55, math.Inf(1)}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s first, in about %.0f days\n", leaving.First, math.Round(*leaving.Median/30)*30)
	// Output:
	// a520 first, in about 240 days
}

// With too few data nothing is given but the reason.
func ExampleLearn_tooFew() {
	model, err := drift.Learn([]drift.Observation{
		{Lot: "A", Days: 0, Reading: drift.Reading{A420: 0.4, A520: 0.6, A620: 0.2, U420: 0.002, U520: 0.002, U620: 0.002}},
		{Lot: "A", Days: 60, Reading: drift.Reading{A420: 0.41, A520: 0.58, A620: 0.2, U420: 0.002, U520: 0.002, U620: 0.002}},
	})
	fmt.Println(model.Classes[0].Unknown, err)
	// Output:
	// too few data: 0 lots were read on at least 3 days over at least 30 days; 2 are needed <nil>
}

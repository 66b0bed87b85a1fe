package control_test

import (
	"errors"
	"fmt"

	"pourpath/colour/control"
)

// redness is a* of 30 lots of a year, the last of them after a change of base.
func redness() []float64 {
	return []float64{
		12.4, 12.1, 12.6, 12.3, 12.0, 12.5, 12.7, 12.2, 12.4, 12.1, 12.3, 12.6, 12.2, 12.5, 12.4,
		12.0, 12.3, 12.6, 12.4, 12.2, 12.5, 12.3, 12.1, 12.4, 12.6, 13.5, 12.7, 12.9, 12.8, 13.0,
	}
}

// The first 25 lots tell the usual level; the chart says what came after.
func ExampleNewIndividuals() {
	chart, err := control.NewIndividuals(redness(), control.Base{First: 25}, control.WesternElectric())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("centre %.2f, action limits %.2f and %.2f\n", chart.Level.Centre, chart.Limits.LowerAction, chart.Limits.UpperAction)
	for _, s := range chart.Signals {
		fmt.Println(s.Points, s.Text)
	}
	// Output:
	// centre 12.35, action limits 11.57 and 13.12
	// [25] This lot is much higher than the usual scatter of lots explains. Look for what was different with it.
	// [25 27 29] 3 lots close together are clearly higher than usual: the level has probably moved up.
	// [25 26 27 28 29] 5 lots close together are somewhat higher than usual: the level has probably moved up a little.
}

// Too few lots: nothing is judged, and what is needed is said.
func ExampleNewIndividuals_tooFew() {
	_, err := control.NewIndividuals([]float64{12.4, 12.1, 12.6}, control.Base{}, control.Nelson())
	fmt.Println(err)
	// Output:
	// control: values: the base period has 3 points; limits need 10 or more, and 25 to stand firm
}

// A level that moves by one standard deviation is found though no single lot
// stands out.
func ExampleNewEWMA() {
	lots := redness()[:25]
	for i := range 8 {
		lots = append(lots, lots[i]+0.25)
	}
	chart, err := control.NewEWMA(lots, control.Base{First: 25}, control.DefaultLambda, control.DefaultWidth)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range chart.Signals {
		fmt.Println(s.At, s.Text)
	}
	// Output:
	// 31 Taken together, recent lots are higher than the usual level: it has drifted up.
}

// The last lot has values that each column has seen, but not together.
func ExampleNewT2() {
	a := redness()[:25]
	var b []float64
	for i := range a {
		b = append(b, 4+0.5*(a[i]-12.3)+[]float64{0.02, -0.03, 0.01, 0, -0.01, 0.03}[i%6])
	}
	a, b = append(a, 12.6), append(b, 3.9)
	chart, err := control.NewT2([]control.Column{{Name: "a*", Values: a}, {Name: "b*", Values: b}}, control.Base{First: 25})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range chart.Signals {
		fmt.Printf("%d: T² %.0f, limit %.1f. %s\n", s.At, chart.Values[s.At], chart.FurtherLimit, s.Text)
	}
	// Output:
	// 25: T² 276, limit 16.8. Taken together, the values of this lot do not go with each other as they usually do. Look for what was different with it. Most of it is a*, higher than the rest of the lot leads one to expect.
}

func ExampleNewRunPlot() {
	plot, err := control.NewRunPlot([]float64{0.4, 0.9, 0.3, 0.7, 1.6})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("median", plot.Median)
	fmt.Println(plot.Why)
	// Output:
	// median 0.7
	// No limits are drawn: this quantity is never negative and its scatter grows with its distance from zero, so limits at a number of standard deviations would ring without a cause above and mean nothing below. Chart what it is made of instead, such as L*, a* and b*.
}

// A capability is given for the steady part of the series only.
func ExampleIndividuals_Capability() {
	lower, upper := 11.5, 13.5
	tolerance := control.Tolerance{Lower: &lower, Upper: &upper}
	for _, lots := range []int{30, 25} {
		chart, err := control.NewIndividuals(redness()[:lots], control.Base{First: 25}, control.WesternElectric())
		if err != nil {
			fmt.Println(err)
			return
		}
		got, err := chart.Capability(tolerance)
		var unstable *control.UnstableError
		switch {
		case errors.As(err, &unstable):
			fmt.Println("refused,", len(unstable.Signals), "signals:", unstable.Signals[0].Text)
		case err != nil:
			fmt.Println(err)
		default:
			fmt.Printf("Ppk %.2f (%.2f to %.2f) from %d lots\n", got.Ppk.Value, got.Ppk.Lower, got.Ppk.Upper, got.Points)
		}
	}
	// Output:
	// refused, 3 signals: This lot is much higher than the usual scatter of lots explains. Look for what was different with it.
	// Ppk 1.41 (0.99 to 1.83) from 25 lots
}

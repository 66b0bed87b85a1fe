package reports_test

import (
	"bytes"
	"fmt"

	"pourpath/colour/control"
	"pourpath/reports"
)

// The a* of twelve lots as a chart of individuals.
func ExampleChartFigure() {
	values := []float64{14.2, 14.5, 13.9, 14.1, 14.6, 14.3, 13.8, 14.4, 14.0, 14.2, 14.5, 16.9}
	chart, err := control.NewIndividuals(values, control.Base{First: 11}, control.WesternElectric())
	if err != nil {
		fmt.Println(err)
		return
	}
	figure := reports.ChartFigure{Quantity: "a*", Individuals: &chart}
	for i, v := range values {
		figure.Lots = append(figure.Lots, reports.ChartLot{Name: fmt.Sprint("lot ", i+1), Value: v})
	}
	drawing, err := figure.Drawing()
	if err != nil {
		fmt.Println(err)
		return
	}
	var svg bytes.Buffer
	if err := drawing.WriteSVG(&svg); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(bytes.Contains(svg.Bytes(), []byte("no. 12, lot 12: Western Electric 1, Nelson 1: one point beyond an action limit.")))

	figure.Lots[3].Value = 41
	_, err = figure.Drawing()
	fmt.Println(err)
	// Output:
	// true
	// reports: individuals: value 14.1 of lot 3, which has 41: the chart is of another series
}

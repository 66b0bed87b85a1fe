package reports_test

import (
	"bytes"
	"fmt"

	"pourpath/colour/cie"
	"pourpath/reports"
)

// A ladder of two rungs, drawn as SVG.
func ExampleLadderFigure_WriteSVG() {
	view := cie.OIV()
	figure := reports.LadderFigure{
		Title: "First trial", Base: "tank 1", Addition: "barrel 2", View: view,
		Rungs: []reports.RungMark{
			{Lab: cie.Lab{L: 97.8, A: -0.8, B: 6.9, View: view}},
			{DoseML: 5, DoseMLPer100ML: 5, Lab: cie.Lab{L: 87.9, A: 17, B: 12, View: view}},
		},
	}
	var svg bytes.Buffer
	if err := figure.WriteSVG(&svg); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(bytes.Contains(svg.Bytes(), []byte("<title>First trial</title>")))

	figure.Rungs[1].Lab.View.DepthMM = 55
	fmt.Println(figure.WriteSVG(&svg))
	// Output:
	// true
	// reports: rung 1 colour: holds for D65/10°, 55 mm, the figure for D65/10°, 10 mm: give all colours under one view
}

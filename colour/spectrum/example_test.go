package spectrum_test

import (
	"fmt"

	"pourpath/colour/cie"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// A pale rosé read in a 10 mm cell, and what is known of its colour.
func ExampleFromReadings() {
	w, err := spectrum.FromReadings(reading.Readings{
		Cell: reading.Cell{PathMM: 10, Dilution: 1},
		A420: 0.142, A520: 0.118, A620: 0.021, UAbsorbance: reading.DefaultU,
	})
	if err != nil {
		panic(err)
	}
	c, err := w.Colour(cie.OIV())
	if err != nil {
		panic(err)
	}
	fmt.Printf("intensity %.3f ± %.3f, tint %.2f ± %.2f\n", c.Indices.Intensity, c.Uncertainty.Intensity, c.Indices.Tint, c.Uncertainty.Tint)
	fmt.Printf("L* %.1f ± %.1f under %v\n", c.Lab.L, c.Uncertainty.L, c.Lab.View)
	// Output:
	// intensity 0.281 ± 0.003, tint 1.20 ± 0.03
	// L* 93.1 ± 0.3 under D65/10°, 10 mm
}

// A scan in transmittance from 400 to 700 nm.
func ExampleFromScan() {
	var nm, percent []float64
	for x := 400.0; x <= 700; x += 10 {
		nm, percent = append(nm, x), append(percent, 50)
	}
	s, err := reading.FromTransmittance(reading.Cell{PathMM: 10, Dilution: 1}, nm, percent, reading.DefaultU)
	if err != nil {
		panic(err)
	}
	w, err := spectrum.FromScan(s)
	if err != nil {
		panic(err)
	}
	fmt.Printf("A520 %.3f per 10 mm; %s\n", w.At(520), w.Warnings[0].Code)
	// Output:
	// A520 0.301 per 10 mm; ends_filled
}

// The colour of a red stated for a 1 mm cell, to the digits of a report.
func ExampleFromLab() {
	view := cie.OIV()
	view.DepthMM = 1
	w, err := spectrum.FromLab(spectrum.Stated{Lab: cie.Lab{L: 71.2, A: 31.5, B: 9.8, View: view}, HalfStepL: 0.05, HalfStepAB: 0.05})
	if err != nil {
		panic(err)
	}
	c, err := w.Colour(view)
	if err != nil {
		panic(err)
	}
	fmt.Printf("L* %.1f, a* %.1f, b* %.1f; A520 %.1f per 10 mm\n", c.Lab.L, c.Lab.A, c.Lab.B, c.Indices.A520)
	// Output:
	// L* 71.2, a* 31.5, b* 9.8; A520 5.9 per 10 mm
}

func ExampleIndicesOf() {
	ix := spectrum.IndicesOf(0.142, 0.118, 0.021)
	fmt.Printf("intensity %.3f, tint %.2f, yellow %.1f %%, red %.1f %%, blue %.1f %%\n", ix.Intensity, ix.Tint, ix.YellowPercent, ix.RedPercent, ix.BluePercent)
	// Output:
	// intensity 0.281, tint 1.20, yellow 50.5 %, red 42.0 %, blue 7.5 %
}

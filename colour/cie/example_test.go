package cie_test

import (
	"errors"
	"fmt"

	"pourpath/colour/cie"
)

// paleRosé is the absorbance for 10 mm of an invented wine: 0.12 at 380 nm,
// falling evenly to nothing at 780 nm.
func paleRosé() *cie.Curve {
	var a cie.Curve
	for i := range a {
		a[i] = 0.12 * float64(cie.Points-1-i) / (cie.Points - 1)
	}
	return &a
}

func ExampleIlluminants() {
	fmt.Println(cie.Illuminants())
	// Output: [D65 D50 A C FL2 FL11 LED-B1 LED-B2 LED-B3 LED-B4 LED-B5]
}

func ExampleObservers() {
	fmt.Println(cie.Observers())
	// Output: [2 10]
}

func ExampleOIV() {
	fmt.Println(cie.OIV() == cie.View{Illuminant: "D65", Observer: "10", DepthMM: 10})
	// Output: true
}

func ExampleView_String() {
	fmt.Println(cie.OIV())
	// Output: D65/10°, 10 mm
}

func ExampleView_Validate() {
	err := cie.View{Illuminant: "D65", Observer: "10", DepthMM: -1}.Validate()
	fmt.Println(errors.Is(err, cie.ErrDepth), err)
	// Output: true cie: depth out of range: -1 mm is not above 0 and at most 1000 mm
}

func ExampleWeightingFor() {
	_, err := cie.WeightingFor("D65", "4")
	fmt.Println(err)
	// Output: cie: unknown observer "4": want one of ["2" "10"]
}

// The white of D65 and the 10° observer, as CIE 015:2018 prints it.
func ExampleWeighting_White() {
	w, err := cie.WeightingFor("D65", "10")
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.2f\n", w.White())
	// Output: {94.81 100.00 107.32}
}

// A grey filter that passes half of the light has half the white's values.
func ExampleWeighting_XYZ() {
	w, err := cie.WeightingFor("A", "10")
	if err != nil {
		panic(err)
	}
	var half cie.Curve
	for i := range half {
		half[i] = 0.5
	}
	fmt.Printf("%.2f\n", w.XYZ(&half))
	// Output: {55.57 50.00 17.60}
}

func ExampleXYZ_Lab() {
	white := cie.XYZ{X: 94.81, Y: 100, Z: 107.32}
	grey := cie.XYZ{X: 94.81 / 8, Y: 100.0 / 8, Z: 107.32 / 8}
	lab := grey.Lab(white, cie.OIV())
	fmt.Printf("L* %.1f a* %.1f b* %.1f under %v\n", lab.L, lab.A, lab.B, lab.View)
	// Output: L* 42.0 a* 0.0 b* 0.0 under D65/10°, 10 mm
}

func ExampleLab_XYZ() {
	white := cie.XYZ{X: 94.81, Y: 100, Z: 107.32}
	fmt.Printf("%.3f\n", cie.Lab{L: 42, View: cie.OIV()}.XYZ(white))
	// Output: {11.851 12.500 13.415}
}

func ExampleLab_Chroma() {
	fmt.Println(cie.Lab{L: 80, A: 3, B: 4}.Chroma())
	// Output: 5
}

func ExampleLab_Hue() {
	fmt.Printf("%.0f %.0f\n", cie.Lab{A: 5, B: 5}.Hue(), cie.Lab{A: 5, B: -5}.Hue())
	// Output: 45 315
}

// At the white, one unit of Y is worth 116/300 of L*.
func ExampleLabJacobian() {
	white := cie.XYZ{X: 94.81, Y: 100, Z: 107.32}
	fmt.Printf("%.4f\n", cie.LabJacobian(white, white)[0])
	// Output: [0.0000 0.3867 0.0000]
}

// Absorbance 1 passes a tenth; half the path passes its square root.
func ExampleTransmit() {
	absorbance := cie.Curve{1}
	var t cie.Curve
	cie.Transmit(&t, &absorbance, 10)
	fmt.Printf("%.4f\n", t[0])
	cie.Transmit(&t, &absorbance, 5)
	fmt.Printf("%.4f\n", t[0])
	// Output:
	// 0.1000
	// 0.3162
}

// The column of a glass, millimetre by millimetre, without a power each.
func ExampleAdvance() {
	var t, millimetre cie.Curve
	cie.Transmit(&t, &cie.Curve{}, 1) // nothing absorbed yet
	cie.Transmit(&millimetre, &cie.Curve{2}, 1)
	for range 10 {
		cie.Advance(&t, &millimetre)
	}
	fmt.Printf("%.4f\n", t[0])
	// Output: 0.0100
}

// Clear water is the white.
func ExampleWeighting_AbsorbanceLab() {
	w, err := cie.WeightingFor("D65", "10")
	if err != nil {
		panic(err)
	}
	L, a, b := w.AbsorbanceLab(&cie.Curve{}, 10)
	fmt.Println(L, a, b)
	// Output: 100 0 0
}

// A little more absorbance at 520 nm (value 28) makes the wine darker, redder
// and bluer.
func ExampleWeighting_AbsorbanceJacobian() {
	w, err := cie.WeightingFor("D65", "10")
	if err != nil {
		panic(err)
	}
	_, j := w.AbsorbanceJacobian(paleRosé(), 10)
	fmt.Println(j[0][28] < 0, j[1][28] > 0, j[2][28] < 0)
	// Output: true true true
}

func ExampleScreenColour() {
	water, err := cie.ScreenColour(&cie.Curve{}, "A", 50)
	if err != nil {
		panic(err)
	}
	fmt.Println(water.Hex, water.InGamut)
	// Output: #ffffff true
}

func ExampleLabScreen() {
	grey, err := cie.LabScreen(cie.Lab{L: 50, View: cie.OIV()})
	if err != nil {
		panic(err)
	}
	fmt.Println(grey.Hex, grey.InGamut)
	// Output: #777777 true
}

package difference_test

import (
	"errors"
	"fmt"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
)

// Pair 25 of Table 1 of Sharma, Wu, Dalal (2005): 1.2644.
func ExampleDeltaE00() {
	fmt.Printf("%.4f\n", difference.DeltaE00(60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387))
	// Output: 1.2644
}

// Pair 1 of Table 1 of Sharma, Wu, Dalal (2005): 2.0425.
func ExampleCIEDE2000() {
	reference := cie.Lab{L: 50, A: 2.6772, B: -79.7751, View: cie.OIV()}
	sample := cie.Lab{L: 50, A: 0, B: -82.7485, View: cie.OIV()}
	d, err := difference.CIEDE2000(reference, sample)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.4f\n", d)
	// Output: 2.0425
}

// The same colour numbers under two observers are not comparable.
func ExampleCIE76() {
	reference := cie.Lab{L: 80, A: 10, B: 5, View: cie.OIV()}
	sample := cie.Lab{L: 82, A: 11, B: 7, View: cie.OIV()}
	d, err := difference.CIE76(reference, sample)
	fmt.Println(d, err)
	sample.View.Observer = "2"
	_, err = difference.CIE76(reference, sample)
	fmt.Println(errors.Is(err, difference.ErrViewsDiffer))
	fmt.Println(err)
	// Output:
	// 3 <nil>
	// true
	// difference: views differ: reference under D65/10°, 10 mm, sample under D65/2°, 10 mm: compute both under one view
}

// The sample is darker, and its hue lies further towards yellow.
func ExampleCompare() {
	reference := cie.Lab{L: 80, A: 4, B: 3, View: cie.OIV()}
	sample := cie.Lab{L: 78, A: 3, B: 4, View: cie.OIV()}
	c, err := difference.Compare(reference, sample)
	if err != nil {
		panic(err)
	}
	fmt.Printf("ΔE*ab %.2f, ΔL* %.2f, ΔC* %.2f, ΔH* %.2f\n", c.DeltaEab, c.DL, c.DC, c.DH)
	// Output: ΔE*ab 2.45, ΔL* -2.00, ΔC* 0.00, ΔH* 1.41
}

// Every point of the outline is at the tolerance.
func ExampleLocus() {
	reference := cie.Lab{L: 80, A: 12, B: 6, View: cie.OIV()}
	for _, p := range difference.Locus(reference, 80.5, 1, 4) {
		fmt.Printf("%.6f\n", difference.DeltaE00(80, 12, 6, 80.5, p[0], p[1]))
	}
	fmt.Println(difference.Locus(reference, 95, 1, 4) == nil)
	// Output:
	// 1.000000
	// 1.000000
	// 1.000000
	// 1.000000
	// true
}

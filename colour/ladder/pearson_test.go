package ladder

import (
	"fmt"
	"math"
	"testing"

	"pourpath/colour/blend"
	"pourpath/colour/cie"
)

// pearson gives the parts of Pearson's square: to reach C from A and B take
// |C-B| parts of A and |A-C| parts of B.
func pearson(a, b, c float64) (partsA, partsB float64) { return math.Abs(c - b), math.Abs(a - c) }

// TestPearsonSquare holds doses and fractions against the square, on a worked
// example that an extension specialist of Montana State University prints (Van
// Emon, Feed & Additive 26, March 2023, p. 39; read in a copy): 12.25 and 10.8 to
// 11.0 are 0.2 and 1.25 parts, 1.45 in all. The square is arithmetic of
// whatever adds by quantity, here the intensity (A420 + A520 + A620) of two wines.
// Its use for wine is common practice, no source.
func TestPearsonSquare(t *testing.T) {
	partsA, partsB := pearson(12.25, 10.8, 11)
	if math.Abs(partsA-0.2) > 1e-12 || math.Abs(partsB-1.25) > 1e-12 {
		t.Fatalf("parts %g and %g", partsA, partsB)
	}
	fractions, err := blend.FractionsOf([]float64{partsA, partsB})
	if err != nil || math.Abs(fractions[0]-0.2/1.45) > 1e-12 || math.Abs(12.25*fractions[0]+10.8*fractions[1]-11) > 1e-12 {
		t.Errorf("fractions %v, %v", fractions, err)
	}
	for _, row := range []struct{ a, b, c float64 }{{12.25, 10.8, 11}, {9.4, 0.114, 0.9}, {0.114, 9.4, 5}} {
		wine := func(intensity float64) [3]float64 { // in the cell that reads it below 1.5
			return [3]float64{0.35 * intensity / 10, 0.55 * intensity / 10, 0.10 * intensity / 10}
		}
		a, b := wine(row.a), wine(row.b)
		path := blend.NewPath(read(t, 1, b[0], b[1], b[2]), read(t, 1, a[0], a[1], a[2]))
		tint := 0.35 / 0.55
		nearest, err := path.Nearest(blend.Target{Intensity: &row.c, Tint: &tint}, cie.OIV(), blend.MaxDose)
		if err != nil {
			t.Fatal(err)
		}
		partsA, partsB := pearson(row.a, row.b, row.c)
		if want := float64(blend.DoseOf(partsA, partsB)); math.Abs(float64(nearest.Dose)-want) > 1e-3*want {
			t.Errorf("%g into %g to reach %g: dose %.6g, the square says %.6g", row.a, row.b, row.c, float64(nearest.Dose), want)
		}
	}
}

// Pearson's square for the dose of a two-wine blend: a red of intensity 9.4 into
// a white of 0.114, to reach 0.9.
func Example_pearsonSquare() {
	red, white, wanted := 9.4, 0.114, 0.9
	partsRed, partsWhite := math.Abs(wanted-white), math.Abs(red-wanted)
	dose := blend.DoseOf(partsRed, partsWhite)
	fmt.Printf("%.3f parts of red to %.1f of white: %.2f mL per 100 mL of white, %.1f %% of the blend\n",
		partsRed, partsWhite, float64(dose), 100*dose.Fraction())
	// Output:
	// 0.786 parts of red to 8.5 of white: 9.25 mL per 100 mL of white, 8.5 % of the blend
}

package difference

import (
	"testing"

	"pourpath/colour/cie"
)

func BenchmarkDeltaE00(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		DeltaE00(82, 14, 9, 81, 15.2, 8.1)
	}
}

// BenchmarkBlendDeltaE00 is one rung of a ladder: mix two spectra by volume
// fraction, L*a*b* of the blend, ΔE00 from a target. The script
// testdata/bench/numpy_colour.py times the same in bulk.
func BenchmarkBlendDeltaE00(b *testing.B) {
	w, err := cie.WeightingFor("D65", "10")
	if err != nil {
		b.Fatal(err)
	}
	var base, addition, blend cie.Curve
	for i := range base {
		x := float64(i) / cie.Points
		base[i], addition[i] = 0.1*(1-x), 4*(1-x)*x+0.2
	}
	const fraction = 0.05
	b.ReportAllocs()
	for b.Loop() {
		for i := range blend {
			blend[i] = (1-fraction)*base[i] + fraction*addition[i]
		}
		L, A, B := w.AbsorbanceLab(&blend, 10)
		DeltaE00(82, 14, 9, L, A, B)
	}
}

func BenchmarkLocus(b *testing.B) {
	reference := lab(82, 14, 9)
	b.ReportAllocs()
	for b.Loop() {
		Locus(reference, 82, 1.5, 72)
	}
}

package spectrum

import (
	"testing"

	"pourpath/colour/cie"
)

func BenchmarkFromReadings(b *testing.B) {
	for b.Loop() {
		if _, err := FromReadings(rose); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkQuickFromReadings(b *testing.B) {
	for b.Loop() {
		if _, err := QuickFromReadings(rose); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFromScan(b *testing.B) {
	s := scanOf(380, 780, 1)
	for b.Loop() {
		if _, err := FromScan(s); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFromLab(b *testing.B) {
	s := Stated{Lab: cie.Lab{L: 82.4, A: 14.2, B: 9.1, View: cie.OIV()}, HalfStepL: 0.05, HalfStepAB: 0.05}
	for b.Loop() {
		if _, err := FromLab(s); err != nil {
			b.Fatal(err)
		}
	}
}

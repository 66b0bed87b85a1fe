package cie

import "testing"

// benchCurve is a smooth spectrum of the strength of a rosé: A420 and A520 about
// 0.2, A620 about 0.03.
func benchCurve() *Curve { return closedForm(0.2) }

func BenchmarkTransmit(b *testing.B) {
	a := benchCurve()
	var t Curve
	b.ReportAllocs()
	for b.Loop() {
		Transmit(&t, a, 10)
	}
}

func BenchmarkAdvance(b *testing.B) {
	var t, step Curve
	Transmit(&t, benchCurve(), 10)
	Transmit(&step, &Curve{}, 10) // ones: t must not shrink to slow subnormal numbers
	b.ReportAllocs()
	for b.Loop() {
		Advance(&t, &step)
	}
}

func BenchmarkAbsorbanceLab(b *testing.B) {
	w, err := WeightingFor("D65", "10")
	if err != nil {
		b.Fatal(err)
	}
	a := benchCurve()
	b.ReportAllocs()
	for b.Loop() {
		w.AbsorbanceLab(a, 10)
	}
}

func BenchmarkAbsorbanceJacobian(b *testing.B) {
	w, err := WeightingFor("D65", "10")
	if err != nil {
		b.Fatal(err)
	}
	a := benchCurve()
	b.ReportAllocs()
	for b.Loop() {
		w.AbsorbanceJacobian(a, 10)
	}
}

func BenchmarkScreenColour(b *testing.B) {
	a := benchCurve()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ScreenColour(a, "A", 10); err != nil {
			b.Fatal(err)
		}
	}
}

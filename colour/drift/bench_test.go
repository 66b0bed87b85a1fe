package drift

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/blend"
	"pourpath/colour/cie"
)

// BenchmarkLearn learns from 100,000 observations: of 14,286 lots, and of 10 lots.
func BenchmarkLearn(b *testing.B) {
	many, long := rosé(0.008), rosé(0.008)
	many.lots = 14286
	long.lots, long.days = 10, nil
	for i := range 10000 {
		long.days = append(long.days, float64(i)*365/10000)
	}
	for _, c := range []cellar{many, long} {
		obs := c.observe(rand.New(rand.NewPCG(1, 1)))
		b.Run(fmt.Sprintf("lots %d", c.lots), func(b *testing.B) {
			for b.Loop() {
				if m, err := Learn(obs); err != nil || m.Classes[0].Unknown != "" {
					b.Fatal(err, m.Classes[0].Unknown)
				}
			}
		})
	}
}

func BenchmarkLeaving(b *testing.B) {
	c := learnt(b, 0)
	lot := Lot{Reading: Reading{0.45, 0.60, 0.25, 0.002, 0.002, 0.002}}
	lab := cie.Lab{L: 70, A: 30, B: 15, View: cie.OIV()}
	for name, l := range map[string]Limits{
		"readings": {Within: map[Quantity][2]float64{A520: {0.5, math.Inf(1)}, Intensity: {1, math.Inf(1)}}},
		"colour":   {Within: map[Quantity][2]float64{DeltaE00: {0, 30}}, View: lab.View, Reference: &lab},
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := c.LeavingLimits(lot, l); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkAimDose(b *testing.B) {
	c, p := learnt(b, 0), pathOf(b)
	goal := p.At(10)
	colour, err := goal.Colour(cie.OIV())
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := c.AimDose(p, blend.Target{Lab: &colour.Lab}, cie.OIV(), 40, 0, 180); err != nil {
			b.Fatal(err)
		}
	}
}

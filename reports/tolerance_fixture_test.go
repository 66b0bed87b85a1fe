package reports_test

import (
	"math"

	"pourpath/reports"
)

// toleranceFigure is a made-up lot in each kind of limit.
func toleranceFigure() reports.ToleranceFigure {
	inf := math.Inf(1)
	return reports.ToleranceFigure{Title: "Lot B-26-040 in specification Rosé, version 3", Finding: "Cannot tell: within spec with probability 0.62.",
		Version: "Pourpath 0.1.0", Conditions: "D65, 10° observer, 10 mm of wine",
		Parts: []reports.PartMark{
			{Quantity: "ΔE00 from the reference", Value: 1.18, U: 0.3, Interval95: &[2]float64{0.66, 1.83}, Lower: -inf, Upper: 1.5, Warning: &[2]float64{-inf, 1},
				NeverNegative: true, Probability: ptr(0.83)},
			{Quantity: "a*", Value: 14.9, U: 0.2, Lower: 12.8, Upper: 15.6, Warning: &[2]float64{13, 15.2}, Probability: ptr(0.9998)},
			{Quantity: "b*", Value: 5.3, U: 0.15, Lower: 5.8, Upper: inf, Probability: ptr(0.0004)},
			{Quantity: "hue angle h", Unit: "°", Value: 362, U: 3, Lower: 350, Upper: 380},
			{Quantity: "intensity for 10 mm, A420 + A520 + A620, as read in the cellar's own laboratory on the day of bottling", Unit: "AU", Value: 0.9, U: 0.01, Lower: 0.3, Upper: 0.5, NeverNegative: true, Probability: ptr(0)},
			{Quantity: "tint (shade)", Value: 1.1, Lower: -inf, Upper: 1.2},
		}}
}

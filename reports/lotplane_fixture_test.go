package reports_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"pourpath/colour/cie"
	"pourpath/reports"
)

// planeFigure is n made-up lots that drift towards yellow, from a fixed seed.
func planeFigure(n int) reports.LotPlaneFigure {
	v := cie.OIV()
	r := rand.New(rand.NewPCG(2, 9))
	ref := cie.Lab{L: 83, A: 14.2, B: 7, View: v}
	f := reports.LotPlaneFigure{Title: "Colour of the bottled rosé, 2026", Finding: "Within spec with probability 0.97.", View: v, Reference: &ref,
		Region: &reports.Region{DeltaE00: 1.5, Reference: &ref, A: &[2]float64{12.8, 15.8}, B: &[2]float64{5.8, math.Inf(1)},
			Ellipsoid: &reports.EllipsoidRegion{Mean: ref, Limit: 9, Covariance: [3][3]float64{{0.2, -0.1, 0.02}, {-0.1, 0.25, 0.03}, {0.02, 0.03, 0.12}}}},
		LowerL: ptr(81.5), UpperL: ptr(84.5), Version: "Pourpath 0.1.0"}
	for i := range n {
		t := float64(i) / float64(max(n-1, 1))
		l := cie.Lab{L: 83 - 0.5*t + 0.3*r.NormFloat64(), A: 14.2 + 0.4*r.NormFloat64(), B: 6.8 + 0.9*t + 0.25*r.NormFloat64(), View: v}
		f.Lots = append(f.Lots, reports.PlaneLot{Name: fmt.Sprintf("B-26-%03d", i+1), Lab: l, U: [3]float64{0.15, 0.2, 0.12}, LeftOut: n > 12 && i == n/4})
	}
	return f
}

package calc

import (
	"math"

	"pourpath/colour/conform"
	"pourpath/reports"
)

// Limits are the specification's own of one quantity, nil on an open side; the
// quantity is named as in CheckResult.
func (c Checker) Limits(quantity string) (lower, upper *float64) {
	limits, ok := c.spec.Limits[conform.Quantity(quantity)]
	if !ok {
		return nil, nil
	}
	return number(limits[0]), number(limits[1])
}

// Region is what the specification allows in the a*b* plane, nil where nothing of
// it can be drawn there.
func (c Checker) Region() *reports.Region {
	var out reports.Region
	if lab := c.Reference(); lab != nil && c.spec.Tolerance > 0 {
		out.DeltaE00, out.Weights, out.Reference = c.spec.Tolerance, c.spec.Weights, lab
	}
	for quantity, to := range map[conform.Quantity]**[2]float64{conform.A: &out.A, conform.B: &out.B} {
		if limits, ok := c.spec.Limits[quantity]; ok && (!math.IsInf(limits[0], 0) || !math.IsInf(limits[1], 0)) {
			*to = &limits
		}
	}
	if e := c.spec.Ellipsoid; e != nil {
		out.Ellipsoid = &reports.EllipsoidRegion{Mean: e.Mean, Covariance: e.Covariance, Limit: e.Limit()}
	}
	if out.DeltaE00 == 0 && out.A == nil && out.B == nil && out.Ellipsoid == nil {
		return nil
	}
	return &out
}

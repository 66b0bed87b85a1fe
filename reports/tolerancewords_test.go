package reports_test

import (
	"math"
	"strings"
	"testing"

	"pourpath/reports"
)

// TestToleranceNoBarBelowZero: of what is never negative no bar is drawn that
// would reach below 0, and k = 1 is told; with a stated interval, or far enough
// from 0, or of what has both signs, the bar stays.
func TestToleranceNoBarBelowZero(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		name string
		part reports.PartMark
		want string
	}{
		{"near 0", reports.PartMark{Value: 0.95, U: 0.59, Lower: -inf, Upper: 3, NeverNegative: true}, "0.95 ± 0.59 (k = 1)"},
		{"at 0", reports.PartMark{Value: 0, U: 0.59, Lower: -inf, Upper: 3, NeverNegative: true}, "0.00 ± 0.59 (k = 1)"},
		{"far from 0", reports.PartMark{Value: 2.5, U: 0.2, Lower: -inf, Upper: 3, NeverNegative: true}, "2.5 ± 0.4 (k = 2)"},
		{"with an interval", reports.PartMark{Value: 0.96, U: 0.59, Interval95: &[2]float64{0.21, 2.4}, Lower: -inf, Upper: 3, NeverNegative: true}, "1.0 (95 %: 0.2 to 2.4)"},
		{"of both signs", reports.PartMark{Value: 0.96, U: 0.59, Lower: -inf, Upper: 3}, "1.0 ± 1.2 (k = 2)"},
	} {
		c.part.Quantity = "ΔE00"
		got := said(t, reports.ToleranceFigure{Parts: []reports.PartMark{c.part}})
		if !strings.Contains(got, squeezed(c.want)) {
			t.Errorf("%s: the figure says %q, not %q", c.name, got, c.want)
		}
	}
}

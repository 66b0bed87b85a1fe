package conform

import (
	"math"
	"testing"
)

// near reports whether got is within abs of want, or within rel times |want|.
// NaN is near nothing, infinities only themselves.
func near(got, want, abs, rel float64) bool {
	if math.IsInf(got, 0) || math.IsInf(want, 0) {
		return got == want
	}
	return math.Abs(got-want) <= math.Max(abs, rel*math.Abs(want))
}

func TestNear(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name                string
		got, want, abs, rel float64
		near                bool
	}{
		{"equal", 1, 1, 0, 0, true},
		{"within absolute", 1.009, 1, 0.01, 0, true},
		{"outside absolute", 0.989, 1, 0.01, 0, false},
		{"within relative", 1009, 1000, 0, 0.01, true},
		{"relative near zero", 1e-3, 0, 0, 0.01, false},
		{"NaN", nan, 1, 10, 10, false},
		{"both NaN", nan, nan, 10, 10, false},
		{"same infinity", inf, inf, 0, 0, true},
		{"finite against infinity", 1, inf, 1, 1, false},
	} {
		if got := near(c.got, c.want, c.abs, c.rel); got != c.near {
			t.Errorf("%s: near(%g, %g, %g, %g) = %t, want %t", c.name, c.got, c.want, c.abs, c.rel, got, c.near)
		}
	}
}

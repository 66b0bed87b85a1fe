package colourtest

import (
	"math"
	"testing"
)

func TestNear(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name                string
		got, want, abs, rel float64
		near                bool
	}{
		{"equal", 1, 1, 0, 0, true},
		{"within absolute", 1.009, 1, 0.01, 0, true},
		{"outside absolute", 1.011, 1, 0.01, 0, false},
		{"outside below", 0.989, 1, 0.01, 0, false},
		{"within relative", 1009, 1000, 0, 0.01, true},
		{"outside relative", 1011, 1000, 0, 0.01, false},
		{"relative near zero", 1e-3, 0, 0, 0.01, false},
		{"negative want", -1009, -1000, 0, 0.01, true},
		{"wrong sign", 1, -1, 0.5, 0.5, false},
		{"NaN got", nan, 1, 10, 10, false},
		{"NaN want", 1, nan, 10, 10, false},
		{"both NaN", nan, nan, 10, 10, false},
		{"same infinity", inf, inf, 0, 0, true},
		{"other infinity", -inf, inf, 1, 1, false},
		{"finite against infinity", 1, inf, 1, 1, false},
	} {
		if got := Near(c.got, c.want, c.abs, c.rel); got != c.near {
			t.Errorf("%s: Near(%g, %g, %g, %g) = %t, want %t", c.name, c.got, c.want, c.abs, c.rel, got, c.near)
		}
	}
}

package control_test

import (
	"math"
	"testing"

	"pourpath/colour/control"
)

// TestCoverage: the intervals hold the true index as often as they say. Those
// of Pp are exact; the others are approximations, with a percent and a half
// allowed.
func TestCoverage(t *testing.T) {
	const charts = 10_000
	lower, upper := -4.0, 3.6 // Cp 1.267, Cpk 1.2
	steady := control.Base{Known: &control.Level{Sigma: 1000}}
	for _, n := range []int{25, 100} {
		r := seeded(10)
		var cp, cpk, pp, ppk, odd int
		for range charts {
			c, err := control.NewIndividuals(normals(r, n, 0), steady, []control.Rule{control.BeyondAction})
			if err != nil {
				t.Fatal(err)
			}
			got, err := c.Capability(control.Tolerance{Lower: &lower, Upper: &upper})
			if err != nil {
				t.Fatal(err)
			}
			holds := func(i control.Index, v float64) int {
				if i.Lower <= v && v <= i.Upper {
					return 1
				}
				return 0
			}
			cp += holds(*got.Cp, 7.6/6)
			pp += holds(*got.Pp, 7.6/6)
			cpk += holds(got.Cpk, 1.2)
			ppk += holds(got.Ppk, 1.2)
			if hasWarning(got.Warnings, "not_normal") {
				odd++
			}
		}
		se := math.Sqrt(0.95 * 0.05 / charts)
		for _, c := range []struct {
			name   string
			held   int
			within float64
		}{{"Pp", pp, 4 * se}, {"Cp", cp, 0.015}, {"Ppk", ppk, 0.015}, {"Cpk", cpk, 0.015}} {
			got := float64(c.held) / charts
			t.Logf("%d lots: interval of %s holds %.4f ± %.4f", n, c.name, got, se)
			if math.Abs(got-control.Confidence) > c.within {
				t.Errorf("%d lots: interval of %s holds %.4f, want 0.95 ± %.4f", n, c.name, got, c.within)
			}
		}
		got := float64(odd) / charts
		t.Logf("%d lots: normal ones called not normal %.4f", n, got)
		if math.Abs(got-0.01) > 0.004 {
			t.Errorf("%d lots: normal ones called not normal %.4f, want 0.01 ± 0.004", n, got)
		}
	}
}

// TestRefusedThoughSteady measures how often a capability is refused though
// nothing happened, for 25 lots and limits from the same: the price of rules.
func TestRefusedThoughSteady(t *testing.T) {
	const charts = 4000
	for _, c := range []struct {
		name      string
		rules     []control.Rule
		low, high float64
	}{
		{"one rule", []control.Rule{control.BeyondAction}, 0.05, 0.075},
		{"Western Electric", control.WesternElectric(), 0.14, 0.175},
		{"Nelson", control.Nelson(), 0.185, 0.23},
	} {
		r, refused, ranges := seeded(11), 0, 0
		for range charts {
			i, err := control.NewIndividuals(normals(r, 25, 0), control.Base{}, c.rules)
			if err != nil {
				t.Fatal(err)
			}
			if len(i.Signals) > 0 {
				refused++
			}
			if len(i.Ranges.Signals) > 0 {
				ranges++
			}
		}
		got := float64(refused) / charts
		t.Logf("%s: %.3f of steady charts of 25 lots have a signal, %.3f one of the ranges", c.name, got, float64(ranges)/charts)
		if got < c.low || got > c.high {
			t.Errorf("%s: %.3f of steady charts have a signal, measured before %g to %g", c.name, got, c.low, c.high)
		}
	}
}

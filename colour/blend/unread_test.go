package blend

import (
	"errors"
	"math"
	"testing"

	"pourpath/colour"
	"pourpath/colour/cie"
)

// learnsUnread is learns where the addition was never read.
func (c *cellar) learnsUnread(t testing.TB, tr *trial, rungs int, scan bool) *Path {
	t.Helper()
	base := c.read(t, &tr.base, 10, false)
	m := c.pours(t, tr, rungs, scan)
	path, err := NewPathUnread(base, nil, m)
	if err != nil {
		t.Fatal(err)
	}
	path, _, err = path.Calibrate(m)
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// TestUnreadAddition simulates trials in which the addition was never read, as
// TestMeasuredRungsTeach does with its reading: the base and one rung or three
// suffice, and the intervals of the closest dose still hold the truth.
func TestUnreadAddition(t *testing.T) {
	for _, row := range []struct {
		name         string
		noise, uDose float64
		rungs        int
		scan         bool
		median       [3]float64 // limits of the median ΔE00: by dilution, drifting, neat shapes
	}{
		{"one rung, 0.002", 0.002, 0.0001, 1, false, [3]float64{0.85, 1.05, 1.65}},
		{"three rungs, 0.002", 0.002, 0.0001, 3, false, [3]float64{0.75, 0.9, 1.4}},
		{"one rung, 0.005 and 2.5 %", 0.005, 0.025, 1, false, [3]float64{1.05, 1.25, 1.75}},
		{"three rungs, 0.005 and 2.5 %", 0.005, 0.025, 3, false, [3]float64{0.95, 1.1, 1.5}},
		{"one scanned rung", 0.002, 0.0001, 1, true, [3]float64{0.4, 0.4, 0.45}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var all covers
			for i, law := range []struct {
				name         string
				drifts, neat bool
			}{{"by dilution", false, false}, {"drifting", true, false}, {"by dilution, neat", false, true}} {
				sim, w := simulated(t, 23)
				sim.noise, sim.uDose, sim.drifts, sim.neatShoulders = row.noise, row.uDose, law.drifts, law.neat
				var miss []float64
				var c covers
				for range 60 {
					tr := sim.draw()
					path := sim.learnsUnread(t, &tr, row.rungs, row.scan)
					miss = append(miss, misses(w, &tr, path)...)
					c.count(t, sim, w, &tr, path)
				}
				t.Logf("%-28s %-18s ΔE00 median %.2f, 90th percentile %.2f; intervals held %.0f %%, width %.2f", row.name, law.name, at(miss, 0.5), at(miss, 0.9), 100*c.share(), at(c.widths, 0.5))
				if m := at(miss, 0.5); !(m <= row.median[i]) {
					t.Errorf("%s, %s: ΔE00 median %.3f, want at most %g", row.name, law.name, m, row.median[i])
				}
				all.held += c.held
				all.judged += c.judged
			}
			if s := all.share(); s < 0.93 {
				t.Errorf("%s: intervals held %.1f %% of %d, want at least 93 %%", row.name, 100*s, all.judged)
			}
		})
	}
}

// TestUnreadAdditionIsWhatWasPoured takes a wine that mixes without any change
// back out of its blend.
func TestUnreadAdditionIsWhatWasPoured(t *testing.T) {
	sim, _ := simulated(t, 3)
	sim.noise = 1e-9
	tr := sim.draw()
	f := Dose(10).Fraction()
	var a cie.Curve
	for i := range a {
		a[i] = (1-f)*tr.base[i] + f*tr.neat[i]
	}
	base, rung := sim.read(t, &tr.base, 10, false), sim.read(t, &a, 10, false)
	path, err := NewPathUnread(base, nil, []Measured{{Dose: 10, Wine: rung}})
	if err != nil {
		t.Fatal(err)
	}
	w := path.addition
	for _, nm := range []float64{420, 520, 620} {
		if got, want := w.At(nm), tr.neat[cie.Index(nm)]; math.Abs(got-want) > 1e-5*want {
			t.Errorf("A%g = %g, want %g", nm, got, want)
		}
	}
	if len(w.Warnings) != 1 || w.Warnings[0].Code != "addition_not_read" {
		t.Errorf("warnings %v", w.Warnings)
	}
}

// TestUnreadAdditionRefused names what is wrong with rungs that tell nothing.
func TestUnreadAdditionRefused(t *testing.T) {
	sim, _ := simulated(t, 3)
	sim.noise = 1e-9
	tr := sim.draw()
	base := sim.read(t, &tr.base, 10, false)
	for _, c := range []struct {
		name  string
		rungs []Measured
		field string
	}{
		{"no rung", nil, "measured"},
		{"the base again", []Measured{{Dose: 2, Wine: base}, {Dose: 10, Wine: base}}, "measured/1/wine"},
	} {
		_, err := NewPathUnread(base, nil, c.rungs)
		var faults colour.FieldErrors
		if !errors.As(err, &faults) || faults[0].Field != c.field {
			t.Errorf("%s: %v, want a fault at %s", c.name, err, c.field)
		}
	}
}

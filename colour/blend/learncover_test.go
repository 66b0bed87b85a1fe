package blend

import (
	"math"
	"testing"

	"pourpath/colour/cie"
)

// covers is how often intervals of the closest dose held the truth.
type covers struct {
	held, judged int
	widths, off  []float64 // of the intervals and from the truth, in mL per 100 mL
}

// count asks for a colour that the blend truly reaches, at a dose known to the
// trial alone.
func (c *covers) count(t testing.TB, sim *cellar, w *cie.Weighting, tr *trial, path *Path) {
	t.Helper()
	truth := Dose(5 + 9*sim.random.Float64())
	goal := tr.at(truth)
	v := cie.OIV()
	l, a, b := w.AbsorbanceLab(&goal, v.DepthMM)
	n, err := path.Nearest(Target{Lab: &cie.Lab{L: l, A: a, B: b, View: v}}, v, 40)
	if err != nil {
		t.Fatal(err)
	}
	c.judged++
	if n.Interval95 == nil {
		return // counts as not held
	}
	if n.Interval95[0] <= float64(truth) && float64(truth) <= n.Interval95[1] {
		c.held++
	}
	c.widths = append(c.widths, n.Interval95[1]-n.Interval95[0])
	c.off = append(c.off, math.Abs(float64(n.Dose-truth)))
}

func (c *covers) share() float64 { return float64(c.held) / float64(c.judged) }

// TestIntervalsHold counts in 2,000 simulated trials how often the 95 % interval
// of the closest dose holds the truth once rungs are read, and in others before.
// Where the colour changes by dilution alone the intervals are on the wide side:
// they allow for a drift that is not there.
func TestIntervalsHold(t *testing.T) {
	for _, law := range []struct {
		name        string
		drifts      bool
		trials      int     // of each setting
		least, most float64 // share held once rungs are read
	}{
		{"drifting", true, 500, 0.93, 0.97},
		{"by dilution", false, 100, 0.93, 1},
	} {
		t.Run(law.name, func(t *testing.T) {
			t.Parallel()
			var after covers
			for _, s := range []struct {
				noise, uDose float64
				rungs        int
			}{{0.002, 0.0001, 0}, {0.002, 0.0001, 1}, {0.002, 0.0001, 3}, {0.005, 0.025, 1}, {0.005, 0.025, 3}} {
				sim, w := simulated(t, 7)
				sim.noise, sim.uDose, sim.drifts = s.noise, s.uDose, law.drifts
				var c covers
				for range law.trials {
					tr := sim.draw()
					path, _ := sim.learns(t, &tr, s.rungs, false)
					c.count(t, sim, w, &tr, path)
				}
				t.Logf("%s, %d rungs at %g and %g %%: held %.1f %% of %d, median width %.2f mL per 100 mL, closest dose off by %.2f (median)", law.name, s.rungs, s.noise, 100*s.uDose, 100*c.share(), c.judged, at(c.widths, 0.5), at(c.off, 0.5))
				if c.share() < 0.90 {
					t.Errorf("%d rungs at %g: held %.1f %%, want at least 90 %%", s.rungs, s.noise, 100*c.share())
				}
				if s.rungs > 0 {
					after.held += c.held
					after.judged += c.judged
				}
			}
			t.Logf("%s: once rungs are read held %.1f %% of %d", law.name, 100*after.share(), after.judged)
			if h := after.share(); !(h >= law.least && h <= law.most) {
				t.Errorf("once rungs are read the intervals held %.1f %% of %d, want %g to %g %%", 100*h, after.judged, 100*law.least, 100*law.most)
			}
		})
	}
}

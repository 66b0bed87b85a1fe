package drift

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestCoverage learns from 1,000 simulated cellars of either law each, and counts how
// often the 95 % intervals hold the truth: the mean rate, what a new lot reads after a
// year, and what a new lot is to be aimed at. Monte Carlo error of 95 %: 0.7.
func TestCoverage(t *testing.T) {
	const n = 1000
	for _, c := range []struct {
		name     string
		k        float64
		lots     int
		between  float64
		lowest   float64
		highest  float64
		lawShare float64 // least share of cellars in which the right law stands
		known    int     // least number of cellars of which anything is said
	}{
		{"linear, 6 lots", 0, 6, 0.3, 92, 98, 0.97, 970},
		{"first order, 6 lots", 0.008, 6, 0.3, 92, 98, 0.95, 990},
		{"linear, 12 lots", 0, 12, 0.3, 92, 98, 0.97, 970},
		{"first order, 12 lots", 0.008, 12, 0.3, 92, 98, 0.99, 990},
		// Where lots do not differ, or are very few, the interval for a new lot is
		// wider than it need be: how they differ is not known.
		{"linear, 4 lots", 0, 4, 0.3, 92, 100, 0.97, 970},
		{"linear, 3 lots", 0, 3, 0.3, 92, 100, 0.97, 700},
		{"linear, 2 lots alike", 0, 2, 0, 92, 100, 0.97, 970},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(7, uint64(c.lots)))
			sim := rosé(c.k)
			sim.lots, sim.between = c.lots, c.between
			var held, law [bands]int
			var mean, known int
			for range n {
				m, err := Learn(sim.observe(r))
				if err != nil {
					t.Fatal(err)
				}
				class := &m.Classes[0]
				if class.Unknown != "" {
					continue
				}
				known++
				rates, a := sim.rates(r), level(r)
				now := sim.read(r, a, rates, 30)
				now.U420, now.U520, now.U620 = sim.noise, sim.noise, sim.noise
				f, err := class.After(now, 30, 365)
				if err != nil {
					t.Fatal(err)
				}
				for b := range bands {
					if truth := rates[b].of(a[b], 365); truth >= f.A[b].Lower && truth <= f.A[b].Upper {
						held[b]++
					}
					if (class.Bands[b].Law == FirstOrder) == (c.k > 0) {
						law[b]++
					}
				}
				if meanHeld(class, sim) {
					mean++
				}
			}
			pc := func(k int) float64 { return 100 * float64(k) / float64(known) }
			t.Logf("known %d; mean change at 520 nm held %.1f %%; new lot %.1f, %.1f, %.1f %%; right law %.1f, %.1f, %.1f %%",
				known, pc(mean), pc(held[0]), pc(held[1]), pc(held[2]), pc(law[0]), pc(law[1]), pc(law[2]))
			if known < c.known {
				t.Errorf("only %d of %d cellars were known", known, n)
			}
			for b, nm := range NMs() {
				if p := pc(held[b]); p < c.lowest || p > c.highest {
					t.Errorf("%d nm: the interval of a new lot held %.1f %%", nm, p)
				}
			}
			if p := pc(mean); p < 92 || p > 98.9 {
				t.Errorf("the interval of the mean held %.1f %%", p)
			}
			if p := pc(law[1]) / 100; p < c.lawShare {
				t.Errorf("520 nm: the right law stood in %.3f of the cellars", p)
			}
		})
	}
}

// meanHeld says whether the 95 % interval of the mean change in a year at 520 nm holds
// that of the average lot, by either law where they were not told apart.
func meanHeld(class *Class, sim cellar) bool {
	truth := math.Log(sim.law[1].of(1, 365))
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range []*curve{&class.choices[1].curve, class.choices[1].other} {
		if v != nil {
			m, u, _ := v.change(0, 365)
			lo, hi = min(lo, m-v.mean95*u), max(hi, m+v.mean95*u)
		}
	}
	return truth >= lo && truth <= hi
}

package spectrum

import (
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/reading"
)

// warns says whether the full check finds that the readings cost colour.
func warns(t testing.TB, r reading.Readings) bool {
	t.Helper()
	w, err := FromReadings(r)
	if err != nil {
		t.Errorf("%+v: %v", r, err)
	}
	for _, warning := range w.Warnings {
		if warning.Code == "reading_window" {
			return true
		}
	}
	return false
}

// group is a kind of readings, with the share of them at most that MayCost may
// send to the full check without need; 1 where any share will do.
type group struct {
	name     string
	needless float64
	readings []reading.Readings
}

// checked is what the full check made of a group.
type checked struct{ all, sent, needless int }

// check runs both tests on the group; no warning may be missed.
func (g group) check(t *testing.T) (c checked) {
	t.Helper()
	c.all = len(g.readings)
	var lock sync.Mutex
	var wait sync.WaitGroup
	next := make(chan reading.Readings)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for r := range next {
				may, does := MayCost(r), warns(t, r)
				if does && !may {
					t.Errorf("%s: MayCost is false where the estimate warns: %+v", g.name, r)
				}
				lock.Lock()
				if may {
					c.sent++
				}
				if may && !does {
					c.needless++
				}
				lock.Unlock()
			}
		})
	}
	for _, r := range g.readings {
		next <- r
	}
	close(next)
	wait.Wait()
	return c
}

// within draws evenly on a logarithmic scale.
func within(random *rand.Rand, a, b float64) float64 {
	return a * math.Pow(b/a, random.Float64())
}

// ofSpectra reads each spectrum at a random strength between weakest and
// strongest (A per 10 mm where it is scaled to 1), in one of the cells, with 460
// and 560 nm in each second.
func ofSpectra(random *rand.Rand, shapes []cie.Curve, n int, weakest, strongest float64, u func() float64, cells ...float64) (out []reading.Readings) {
	for i := range n {
		c := shapes[i%len(shapes)].Times(within(random, weakest, strongest))
		var extra []float64
		if i%2 == 1 {
			extra = []float64{460, 560}
		}
		r := readAt(&c, cells[random.IntN(len(cells))], extra...)
		r.UAbsorbance = u()
		if r.Validate() == nil {
			out = append(out, r)
		}
	}
	return out
}

// TestMayCostMissesNothing: wherever the full check warns of the cell, the cheap
// test says that it may. How often it says so without need is logged, and kept
// low where wines are read as they should be.
//
// Source: testdata/wine/red_spectra.csv, white_spectra.csv; the rest synthetic.
func TestMayCostMissesNothing(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 9))
	reds := colourtest.Spectra[cie.Curve](t, "wine/red_spectra.csv")
	whites := colourtest.Spectra[cie.Curve](t, "wine/white_spectra.csv")
	var neat []cie.Curve
	for _, kind := range neatKinds {
		neat = append(neat, neatShapes(kind, 60, random, reds)...)
	}
	usual := func() float64 { return reading.DefaultU }
	anyU := func() float64 { return within(random, 0.0003, 0.02) }
	groups := []group{
		{"published whites, 10 mm", 0, ofSpectra(random, whites, 400, 0.03, 0.3, usual, 10)},
		{"published reds, 1 mm", 0, ofSpectra(random, reds, 400, 3, 12, usual, 1)},
		{"synthetic neat reds, 1 mm", 0, ofSpectra(random, neat, 400, 3, 12, usual, 1)},
		{"published whites, any cell and u", 1, ofSpectra(random, whites, 900, 0.01, 1, anyU, cells...)},
		{"published reds, any cell and u", 1, ofSpectra(random, reds, 1200, 0.03, 15, anyU, cells...)},
		{"synthetic neat reds, any cell and u", 1, ofSpectra(random, neat, 900, 0.03, 15, anyU, cells...)},
		{"rosés of both, any cell and u", 1, rosés(random, reds, whites, 900, anyU)},
		{"random readings", 1, anyReadings(random, 1000, anyU)},
	}
	var total checked
	for _, g := range groups {
		c := g.check(t)
		t.Logf("%s: %d, full check asked for %d, without need %d", g.name, c.all, c.sent, c.needless)
		if float64(c.needless) > g.needless*float64(c.all) {
			t.Errorf("%s: %d of %d are sent to the full check without need", g.name, c.needless, c.all)
		}
		total.all, total.sent, total.needless = total.all+c.all, total.sent+c.sent, total.needless+c.needless
	}
	t.Logf("all: %d, full check asked for %d, without need %d", total.all, total.sent, total.needless)
	if total.all < 5000 {
		t.Errorf("only %d cases", total.all)
	}
}

var cells = []float64{1, 2, 5, 10, 20}

// rosés are whites with a little red in them.
func rosés(random *rand.Rand, reds, whites []cie.Curve, n int, u func() float64) (out []reading.Readings) {
	for range n {
		red, white := reds[random.IntN(len(reds))], whites[random.IntN(len(whites))]
		a, b := within(random, 0.02, 2), within(random, 0.02, 0.4)
		for i := range red {
			red[i] = a*red[i] + b*white[i]
		}
		out = append(out, ofSpectra(random, []cie.Curve{red}, 2, 1, 1, u, cells...)...)
	}
	return out[:n]
}

// anyReadings are whatever passes as readings, from below zero to saturation,
// half of them with further wavelengths.
func anyReadings(random *rand.Rand, n int, u func() float64) (out []reading.Readings) {
	for len(out) < n {
		a := func() float64 {
			if random.IntN(4) == 0 {
				return 0.1*random.Float64() - 0.05
			}
			return within(random, 0.001, 6)
		}
		r := reading.Readings{
			Cell: reading.Cell{PathMM: cells[random.IntN(len(cells))], Dilution: 1},
			A420: a(), A520: a(), A620: a(), UAbsorbance: u(),
		}
		if random.IntN(3) == 0 {
			r.Dilution = within(random, 1, 50)
		}
		if random.IntN(2) == 0 {
			r.Extra = []reading.At{{NM: 460, Absorbance: a()}, {NM: 560, Absorbance: a()}}
		}
		if random.IntN(5) == 0 {
			r.Extra = append(r.Extra, reading.At{NM: 630 + 150*random.Float64(), Absorbance: a()})
		}
		out = append(out, r)
	}
	return out
}

// TestMayCostHoldsAtTheEdge searches where the bound is closest: the smallest
// uncertainty that the cheap test passes on, for readings all over its domain.
func TestMayCostHoldsAtTheEdge(t *testing.T) {
	random := rand.New(rand.NewPCG(10, 11))
	var g group
	g.name = "at the edge"
	for len(g.readings) < 2000 {
		a520 := within(random, 0.002, 1)
		r := reading.Readings{
			Cell: reading.Cell{PathMM: 10, Dilution: 1},
			A420: a520 * within(random, 0.1, 20), A520: a520, A620: a520 * within(random, 0.05, 3), UAbsorbance: 0.5,
		}
		if random.IntN(8) == 0 {
			r.A420, r.A520, r.A620 = 0.05-0.1*random.Float64(), 0.02-0.07*random.Float64(), 0.05-0.1*random.Float64()
		} else if random.IntN(2) == 0 {
			between := func(line float64, share [2]float64) float64 {
				a, b := share[0]*line-pale, share[1]*line+pale
				return a + (b-a)*random.Float64()
			}
			r.Extra = []reading.At{
				{NM: 460 + random.Float64(), Absorbance: between(0.6*r.A420+0.4*r.A520, share460)},
				{NM: 560 - random.Float64(), Absorbance: between(0.6*r.A520+0.4*r.A620, share560)},
			}
		}
		low, high := 1e-5, 0.5
		for range 40 {
			if r.UAbsorbance = math.Sqrt(low * high); MayCost(r) {
				high = r.UAbsorbance
			} else {
				low = r.UAbsorbance
			}
		}
		r.UAbsorbance = low
		if low > 1.1e-5 && r.Validate() == nil {
			g.readings = append(g.readings, r)
		}
	}
	if c := g.check(t); c.sent > 0 {
		t.Errorf("%d of %d are past the edge", c.sent, c.all)
	}
}

// TestSaturationCosts: a reading so near saturation that its error has no bound
// is warned of too.
func TestSaturationCosts(t *testing.T) {
	if r := (reading.Readings{
		Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: 0.036, A520: 0.17, A620: 5.991, UAbsorbance: reading.DefaultU,
	}); !warns(t, r) {
		t.Errorf("nothing is said of %+v", r)
	}
}

func BenchmarkMayCost(b *testing.B) {
	for b.Loop() {
		MayCost(rose)
	}
}

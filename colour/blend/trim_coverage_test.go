package blend_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// tankSimulation pours trims into tanks whose wines nobody but it knows.
type tankSimulation struct {
	reds, whites   []cie.Curve
	noise          float64 // of one absorbance read
	uBase, uPoured float64 // relative, of the tank's volumes
	uRung          float64 // relative, of a dose at the bench
	rungs          []blend.Dose
	scan           bool
}

// wines are the true base, and the addition neat and as it colours in that base:
// 0.5 to 1.8 times as much, with a shoulder and a band that move. Ranges as in
// medium.go; spectra published (testdata/wine), smoothed by 1/4, 1/2, 1/4 as
// their noise is the instrument's.
type wines struct{ base, neat, inBase cie.Curve }

func (s *tankSimulation) wines(random *rand.Rand) (w wines) {
	smooth := func(a cie.Curve) (out cie.Curve) {
		for i := range a {
			out[i] = (a[max(i-1, 0)] + 2*a[i] + a[min(i+1, cie.Points-1)]) / 4
		}
		return out
	}
	between := func(a, b float64) float64 { return a + (b-a)*random.Float64() }
	red, white := smooth(s.reds[random.IntN(len(s.reds))]), smooth(s.whites[random.IntN(len(s.whites))])
	w.base = white.Times(between(0.06, 0.15) / white[cie.Index(420)])
	w.neat = red.Times(between(3, 6.5) / red[cie.Index(520)])
	factor := math.Exp(between(math.Log(0.5), math.Log(1.8)))
	shoulder, shift := between(-0.3, 0.3), between(-4, 4)
	for i := range w.inBase {
		nm := cie.Wavelength(i)
		x := math.Min(math.Max((nm-shift-cie.FirstNM)/cie.StepNM, 0), cie.Points-1)
		k := min(int(x), cie.Points-2)
		a := w.neat[k] + (x-float64(k))*(w.neat[k+1]-w.neat[k])
		yellow := 0.65 / (1 + math.Exp((nm-460)/12))
		bell := math.Exp(-(nm - 600) * (nm - 600) / 1800)
		w.inBase[i] = a * (yellow + (1-yellow)*factor + shoulder*bell)
	}
	return w
}

func (w *wines) at(dose float64) (out cie.Curve) {
	f := blend.Dose(dose).Fraction()
	for i := range out {
		out[i] = (1-f)*w.base[i] + f*w.inBase[i]
	}
	return out
}

// read reads a wine, with noise; the estimates are the quick ones, as in learn_test.go.
func (s *tankSimulation) read(random *rand.Rand, a cie.Curve, pathMM float64, scan bool) (spectrum.Wine, error) {
	cell := reading.Cell{PathMM: pathMM, Dilution: 1}
	noisy := func(i int) float64 { return a[i]*pathMM/10 + s.noise*random.NormFloat64() }
	if !scan {
		return spectrum.QuickFromReadings(reading.Readings{Cell: cell, A420: noisy(cie.Index(420)), A520: noisy(cie.Index(520)), A620: noisy(cie.Index(620)), UAbsorbance: s.noise})
	}
	offset := s.noise * random.NormFloat64()
	scanned := reading.Scan{Cell: cell, UAbsorbance: s.noise}
	for i := range a {
		scanned.NM = append(scanned.NM, cie.Wavelength(i))
		scanned.Absorbance = append(scanned.Absorbance, a[i]*pathMM/10+offset+s.noise/4*random.NormFloat64())
	}
	return spectrum.FromScan(scanned)
}

// trimmed is one simulated trim against the truth, in litres.
type trimmed struct {
	truth, got, half float64
	mixed, covered   bool
}

// one pours 80 to 105 % of what 1000 L of base need, reads top and bottom and
// asks for the trim.
func (s *tankSimulation) one(random *rand.Rand) (out trimmed, err error) {
	w := s.wines(random)
	wine := func(a cie.Curve, pathMM float64, scan bool) (made spectrum.Wine) {
		if err == nil {
			made, err = s.read(random, a, pathMM, scan)
		}
		return made
	}
	base, neat := wine(w.base, 10, false), wine(w.neat, 1, false)
	tank := blend.Tank{BaseL: 1000}
	bias := s.uRung / math.Sqrt2 * random.NormFloat64()
	for _, d := range s.rungs {
		poured := float64(d) * (1 + bias + s.uRung/math.Sqrt2*random.NormFloat64())
		tank.Rungs = append(tank.Rungs, blend.Measured{Dose: d, Wine: wine(w.at(poured), 10, s.scan)})
	}
	want := 5 + 9*random.Float64()
	trueBase := tank.BaseL * (1 + s.uBase*random.NormFloat64())
	tank.PouredL = tank.BaseL * want / 100 * (0.80 + 0.25*random.Float64())
	truePoured := tank.PouredL * (1 + s.uPoured*random.NormFloat64())
	tank.UBaseL, tank.UPouredL = s.uBase*tank.BaseL, s.uPoured*tank.PouredL
	now := w.at(100 * truePoured / trueBase)
	tank.Top, tank.Bottom = wine(now, 10, s.scan), wine(now, 10, s.scan)
	if err != nil {
		return out, err
	}
	v := cie.OIV()
	weighting, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		return out, err
	}
	goal := w.at(want)
	lab := cie.Lab{View: v}
	lab.L, lab.A, lab.B = weighting.AbsorbanceLab(&goal, v.DepthMM)
	got, err := blend.NewPath(base, neat).Trim(tank, blend.Target{Lab: &lab}, v)
	if err != nil {
		return out, err
	}
	out.truth = want*trueBase/100 - truePoured
	if out.mixed = got.Mixing.Mixed; !out.mixed || got.Need.AdditionInterval95 == nil {
		return out, nil
	}
	i := got.Need.AdditionInterval95
	out.got, out.half = (i[0]+i[1])/2, (i[1]-i[0])/2
	out.covered = i[0] <= out.truth && out.truth <= i[1]
	return out, nil
}

// run simulates trims, each from a seed of its own.
func (s *tankSimulation) run(t *testing.T, n int) []trimmed {
	t.Helper()
	out := make([]trimmed, n)
	faults := make([]error, n)
	var group sync.WaitGroup
	for worker := range 2 {
		group.Go(func() {
			for i := worker; i < n; i += 2 {
				out[i], faults[i] = s.one(rand.New(rand.NewPCG(90, uint64(i))))
			}
		})
	}
	group.Wait()
	for _, err := range faults {
		if err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// found is what many trims tell.
type found struct {
	mixed, all int
	covered    float64   // share of the intervals that held
	miss, half []float64 // in L, ascending
}

func (f *found) String() string {
	return fmt.Sprintf("%d of %d found mixed; the 95 %% interval held %.1f %%; off by %.2f L (median) and %.2f L (90th percentile); half width %.2f L (median), for 1000 L of base",
		f.mixed, f.all, 100*f.covered, f.miss[len(f.miss)/2], f.miss[len(f.miss)*9/10], f.half[len(f.half)/2])
}

func summary(all []trimmed) *found {
	out := &found{all: len(all)}
	held := 0.0
	for _, one := range all {
		if !one.mixed {
			continue
		}
		out.mixed++
		if one.covered {
			held++
		}
		out.miss, out.half = append(out.miss, math.Abs(one.got-one.truth)), append(out.half, one.half)
	}
	slices.Sort(out.miss)
	slices.Sort(out.half)
	out.covered = held / float64(out.mixed)
	return out
}

// TestTrimOfPublishedSpectra holds the interval of the trim against the truth in
// simulated tanks of published wines. It holds more often than it claims: what is
// uncertain about a path is made for more kinds of red than these.
func TestTrimOfPublishedSpectra(t *testing.T) {
	reds, whites := colourtest.Spectra[cie.Curve](t, "wine/red_spectra.csv"), colourtest.Spectra[cie.Curve](t, "wine/white_spectra.csv")
	for _, row := range []struct {
		name   string
		median float64 // largest miss, in L for 1000 L of base
		sim    tankSimulation
	}{
		{"three readings, two rungs", 2.5, tankSimulation{noise: 0.002, uBase: 0.01, uPoured: 0.005, uRung: 0.01, rungs: []blend.Dose{6, 12}}},
		{"scans, one rung", 0.5, tankSimulation{noise: 0.002, uBase: 0.01, uPoured: 0.005, uRung: 0.01, rungs: []blend.Dose{8}, scan: true}},
	} {
		t.Run(row.name, func(t *testing.T) {
			row.sim.reds, row.sim.whites = reds, whites
			s := summary(row.sim.run(t, 200))
			t.Log(s)
			if !(s.covered >= 0.93) {
				t.Errorf("the 95 %% interval of the trim held %.1f %%", 100*s.covered)
			}
			if !(s.miss[len(s.miss)/2] <= row.median) {
				t.Errorf("the trim is off by a median %.2f L, want at most %g", s.miss[len(s.miss)/2], row.median)
			}
		})
	}
}

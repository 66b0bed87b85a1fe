package blend

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/difference"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// cellar is what a simulated trial is made of: spectra that nobody but the
// simulation knows, and an instrument.
type cellar struct {
	random        *rand.Rand
	reds, whites  []cie.Curve
	noise, uDose  float64
	neatShoulders bool
}

// trial is one simulated base and addition, with what the medium does.
type trial struct {
	base, neat, inBase cie.Curve
	bend               float64
}

// draw makes a trial: the addition's effective colour is 0.5 to 1.8 times its
// neat colour, with a drift along the dose; its shoulder and the place of its
// band change. Ranges: copigmentation up to half of the colour, pH up to 1.8
// times (see medium.go). Smoothed by 1/4, 1/2, 1/4: the noise of the published
// spectra is the instrument's.
func (c *cellar) draw() trial {
	smooth := func(s cie.Curve) (out cie.Curve) {
		for i := range out {
			out[i] = (s[max(i-1, 0)] + 2*s[i] + s[min(i+1, cie.Points-1)]) / 4
		}
		return out
	}
	between := func(a, b float64) float64 { return a + (b-a)*c.random.Float64() }
	red, white := smooth(c.reds[c.random.IntN(len(c.reds))]), smooth(c.whites[c.random.IntN(len(c.whites))])
	tr := trial{
		base: white.Times(between(0.06, 0.15) / white[cie.Index(420)]),
		neat: red.Times(between(3, 6.5) / red[cie.Index(520)]),
		bend: 0.1 * c.random.NormFloat64(),
	}
	if c.neatShoulders {
		height := between(0.05, 0.2)
		for i := range tr.neat {
			tr.neat[i] += height * tr.neat[cie.Index(520)] * bell(cie.FirstNM+5*float64(i), 598, 28)
		}
	}
	factor := math.Exp(between(math.Log(0.5), math.Log(1.8)))
	shoulder, shift := between(-0.3, 0.3), between(-4, 4)
	for i := range tr.inBase {
		nm := cie.Wavelength(i)
		x := math.Min(math.Max((nm-shift-cie.FirstNM)/5, 0), cie.Points-1)
		k := min(int(x), cie.Points-2)
		a := tr.neat[k] + (x-float64(k))*(tr.neat[k+1]-tr.neat[k])
		yellow := 0.65 / (1 + math.Exp((nm-460)/12))
		tr.inBase[i] = a*(yellow+(1-yellow)*factor) + shoulder*a*bell(nm, 600, 30)
	}
	return tr
}

// at is the true absorbance at dose d.
func (tr *trial) at(d Dose) (out cie.Curve) {
	f := d.Fraction()
	g := 1.0
	if f > 0 {
		g = math.Exp(tr.bend * bend(f))
	}
	for i := range out {
		out[i] = (1-f)*tr.base[i] + f*g*tr.inBase[i]
	}
	return out
}

func (c *cellar) read(t testing.TB, a *cie.Curve, pathMM float64, scan bool) spectrum.Wine {
	t.Helper()
	noisy := func(i int) float64 { return a[i]*pathMM/10 + c.noise*c.random.NormFloat64() }
	cell := reading.Cell{PathMM: pathMM, Dilution: 1}
	var w spectrum.Wine
	var err error
	if scan {
		s := reading.Scan{Cell: cell, UAbsorbance: c.noise}
		offset := c.noise * c.random.NormFloat64()
		for i := range a {
			s.NM = append(s.NM, cie.FirstNM+5*float64(i))
			s.Absorbance = append(s.Absorbance, a[i]*pathMM/10+offset+c.noise/4*c.random.NormFloat64())
		}
		w, err = spectrum.FromScan(s)
	} else {
		w, err = spectrum.FromReadings(reading.Readings{Cell: cell, A420: noisy(cie.Index(420)), A520: noisy(cie.Index(520)), A620: noisy(cie.Index(620)), UAbsorbance: c.noise})
	}
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// learned is what a simulation of many trials finds.
type learned struct {
	miss    []float64 // ΔE00 of predicted rungs
	covered int       // intervals of the closest dose that held it
	judged  int
	widths  []float64 // of those intervals, in mL per 100 mL
}

func (l *learned) String() string {
	return fmt.Sprintf("ΔE00 median %.2f, 90th percentile %.2f; 95 %% interval of the closest dose held %.1f %% of %d, median width %.1f mL per 100 mL",
		at(l.miss, 0.5), at(l.miss, 0.9), 100*float64(l.covered)/float64(max(l.judged, 1)), l.judged, at(l.widths, 0.5))
}

func at(x []float64, q float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	s := slices.Sorted(slices.Values(x))
	return s[int(q*float64(len(s)-1))]
}

func (c *cellar) simulate(t testing.TB, trials, rungs int, scan bool) *learned {
	t.Helper()
	v := cie.OIV()
	weighting, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		t.Fatal(err)
	}
	places := map[int][]Dose{0: nil, 1: {10}, 3: {4, 10, 16}}[rungs]
	out := &learned{}
	for range trials {
		tr := c.draw()
		path := NewPath(c.read(t, &tr.base, 10, false), c.read(t, &tr.neat, 1, false))
		var m []Measured
		bias := c.uDose / math.Sqrt2 * c.random.NormFloat64()
		for _, d := range places {
			poured := d * Dose(1+bias+c.uDose/math.Sqrt2*c.random.NormFloat64())
			a := tr.at(poured)
			m = append(m, Measured{Dose: d, Wine: c.read(t, &a, 10, scan)})
		}
		path, _, err = path.Calibrate(m)
		if err != nil {
			t.Fatal(err)
		}
		for d := Dose(1); d <= 20; d++ {
			want, got := tr.at(d), cie.Curve{}
			path.centre.at(d.Fraction(), &got)
			l1, a1, b1 := weighting.AbsorbanceLab(&want, 10)
			l2, a2, b2 := weighting.AbsorbanceLab(&got, 10)
			out.miss = append(out.miss, difference.DeltaE00(l1, a1, b1, l2, a2, b2))
		}
		// The target is a colour that this blend truly reaches, at a known dose.
		truth := Dose(5 + 9*c.random.Float64())
		goal := tr.at(truth)
		l, a, b := weighting.AbsorbanceLab(&goal, 10)
		n, err := path.Nearest(Target{Lab: &cie.Lab{L: l, A: a, B: b, View: v}}, v, 40)
		if err != nil {
			t.Fatal(err)
		}
		out.judged++
		if n.Interval95 != nil {
			if n.Interval95[0] <= float64(truth) && float64(truth) <= n.Interval95[1] {
				out.covered++
			}
			out.widths = append(out.widths, n.Interval95[1]-n.Interval95[0])
		}
	}
	return out
}

// TestMeasuredRungsTeach simulates trials whose addition colours 0.5 to 1.8
// times as much in the base as neat, from published spectra (testdata/wine),
// and holds the ladder against the truth before and after rungs are read.
func TestMeasuredRungsTeach(t *testing.T) {
	reds, whites := colourtest.Spectra[cie.Curve](t, "wine/red_spectra.csv"), colourtest.Spectra[cie.Curve](t, "wine/white_spectra.csv")
	for _, row := range []struct {
		name         string
		noise, uDose float64
		neat         bool
		rungs        int
		scan         bool
		median, most float64 // limits of ΔE00; 0 is none
	}{
		{"no rung", 0.002, 0.0001, false, 0, false, 0, 0},
		{"one rung, 0.002", 0.002, 0.0001, false, 1, false, 1.1, 0},
		{"three rungs, 0.002", 0.002, 0.0001, false, 3, false, 0.8, 0},
		{"one rung, 0.005 and 2.5 %", 0.005, 0.025, false, 1, false, 1.3, 2.8},
		{"three rungs, 0.005 and 2.5 %", 0.005, 0.025, false, 3, false, 1.0, 2.2},
		{"one scanned rung", 0.002, 0.0001, false, 1, true, 0.5, 0},
		{"three scanned rungs", 0.002, 0.0001, false, 3, true, 0.35, 0},
		{"neat, no rung", 0.002, 0.0001, true, 0, false, 0, 0},
		{"neat, one rung", 0.002, 0.0001, true, 1, false, 0, 0},
		{"neat, three scanned rungs", 0.002, 0.0001, true, 3, true, 0, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			c := &cellar{random: rand.New(rand.NewPCG(4, 2)), reds: reds, whites: whites, noise: row.noise, uDose: row.uDose, neatShoulders: row.neat}
			got := c.simulate(t, 80, row.rungs, row.scan)
			t.Logf("%s: %s", row.name, got)
			if m := at(got.miss, 0.5); row.median > 0 && !(m <= row.median) {
				t.Errorf("median ΔE00 = %.3f, want at most %g", m, row.median)
			}
			if m := at(got.miss, 0.9); row.most > 0 && !(m <= row.most) {
				t.Errorf("90th percentile of ΔE00 = %.3f, want at most %g", m, row.most)
			}
			if held := float64(got.covered) / float64(got.judged); held < 0.85 {
				t.Errorf("the 95 %% interval of the closest dose held %.1f %% of the time", 100*held)
			}
		})
	}
}

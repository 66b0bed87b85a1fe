package blend

import (
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// priorTank simulates tanks whose true path is drawn from what the predicted path
// calls uncertain, so that its intervals should hold exactly as often as they
// claim.
type priorTank struct {
	path           *Path
	noise          float64 // of one absorbance per 10 mm
	uBase, uPoured float64
	rungs          []Dose
	nm             []float64
}

// read observes a true spectrum, with what no path of the model explains.
func (s *priorTank) read(random *rand.Rand, a *cie.Curve, unexplained []float64) (w spectrum.Wine) {
	for i, nm := range s.nm {
		o := spectrum.Observation{U: s.noise}
		o.Row[cie.Index(nm)] = 1
		level := a[cie.Index(nm)]
		o.Value = level + (modelRelative*math.Abs(level)+modelFloor)*unexplained[i] + s.noise*random.NormFloat64()
		w.Observed = append(w.Observed, o)
	}
	return w
}

func (s *priorTank) unexplained(random *rand.Rand) []float64 {
	out := make([]float64, len(s.nm))
	for i := range out {
		out[i] = random.NormFloat64()
	}
	return out
}

// one returns whether the interval held the truth, and whether the tank was
// found mixed.
func (s *priorTank) one(random *rand.Rand) (held, mixed bool, err error) {
	z := make([]float64, len(s.path.errors))
	for k := range z {
		z[k] = random.NormFloat64()
	}
	truth := s.path.strand(z)
	tank := Tank{BaseL: 1000}
	truth.bias = doseU * random.NormFloat64() // of the bench's tool, not the tank's
	for _, d := range s.rungs {
		var a cie.Curve
		truth.at(Dose(float64(d)*(1+doseU*random.NormFloat64())).Fraction(), &a)
		tank.Rungs = append(tank.Rungs, Measured{Dose: d, Wine: s.read(random, &a, s.unexplained(random))})
	}
	truth.bias = 0
	want := 5 + 9*random.Float64()
	trueBase := tank.BaseL * (1 + s.uBase*random.NormFloat64())
	tank.PouredL = tank.BaseL * want / 100 * (0.80 + 0.25*random.Float64())
	truePoured := tank.PouredL * (1 + s.uPoured*random.NormFloat64())
	tank.UBaseL, tank.UPouredL = s.uBase*tank.BaseL, s.uPoured*tank.PouredL
	var now, goal cie.Curve
	truth.at(DoseOf(truePoured, trueBase).Fraction(), &now)
	own := s.unexplained(random)
	tank.Top, tank.Bottom = s.read(random, &now, own), s.read(random, &now, own)
	truth.at(Dose(want).Fraction(), &goal)
	v := cie.OIV()
	weighting, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		return false, false, err
	}
	lab := cie.Lab{View: v}
	lab.L, lab.A, lab.B = weighting.AbsorbanceLab(&goal, v.DepthMM)
	got, err := s.path.Trim(tank, Target{Lab: &lab}, v)
	if err != nil || !got.Mixing.Mixed || got.Need.AdditionInterval95 == nil {
		return false, false, err
	}
	i, litres := got.Need.AdditionInterval95, want*trueBase/100-truePoured
	return i[0] <= litres && litres <= i[1], true, nil
}

// TestTrimCoverage: of 2,000 simulated trims the 95 % interval holds 93 to 97 %.
// The other rows have fewer and so a wider limit, three standard deviations of
// such a count.
func TestTrimCoverage(t *testing.T) {
	three, five := []float64{420, 520, 620}, []float64{420, 460, 520, 560, 620}
	for _, row := range []struct {
		name        string
		n           int
		least, most float64
		layered     int // of 100 mixed tanks, at most so many are called layered
		tank        priorTank
	}{
		{"three readings, two rungs", 2000, 0.93, 0.97, 1, priorTank{noise: 0.002, uBase: 0.01, uPoured: 0.005, rungs: []Dose{6, 12}, nm: three}},
		{"three readings, no rung", 300, 0.90, 0.99, 1, priorTank{noise: 0.002, uBase: 0.01, uPoured: 0.005, nm: three}},
		{"coarse", 300, 0.90, 0.99, 6, priorTank{noise: 0.005, uBase: 0.03, uPoured: 0.02, rungs: []Dose{10}, nm: three}},
		{"five readings", 300, 0.90, 0.99, 1, priorTank{noise: 0.002, uBase: 0.01, uPoured: 0.005, rungs: []Dose{6, 12}, nm: five}},
		{"exact volumes", 300, 0.90, 0.99, 1, priorTank{noise: 0.002, uBase: 0.0001, uPoured: 0.0001, rungs: []Dose{6, 12}, nm: five}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.tank.path = NewPath(paleWhite(t), youngRed(t))
			held, mixed := 0, 0
			for i := range row.n {
				h, m, err := row.tank.one(rand.New(rand.NewPCG(90, uint64(i))))
				if err != nil {
					t.Fatal(err)
				}
				if h {
					held++
				}
				if m {
					mixed++
				}
			}
			covered := float64(held) / float64(mixed)
			t.Logf("%d of %d found mixed; the interval held %.1f %%", mixed, row.n, 100*covered)
			if !(covered >= row.least && covered <= row.most) {
				t.Errorf("the 95 %% interval of the trim held %.1f %% of %d, want %g to %g %%", 100*covered, mixed, 100*row.least, 100*row.most)
			}
			if missed := row.n - mixed; 100*missed > row.layered*row.n {
				t.Errorf("%d of %d mixed tanks are called layered, want at most %d %%", missed, row.n, row.layered)
			}
		})
	}
}

package drift

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// seen is the probability by chance below which data tell the laws apart.
const seen = 0.01

// choice is what came of fitting both laws.
type choice struct {
	main  *fit // of the law that stands
	curve curve
	// other is the first-order law where the linear one stands and the data would
	// allow settling; nil otherwise.
	other *curve
	law   Law
	told  bool    // the data tell the laws apart
	p     float64 // of such curvature by chance if the law is linear
	why   string  // why nothing is known; empty where it is
}

// choose fits both laws and lets the linear one stand unless the data tell. The
// first-order law has one parameter more, so the test is an F test on what it leaves
// less of the weighted squares, one-sided because settling has one direction; the
// freedom is that of readings about a line through each lot.
//
// Source: Seber and Wild, Nonlinear Regression, Wiley, 1989, 5.3; halving for the
// one side after Self and Liang, J. Am. Stat. Assoc. 82 (1987) 605. From memory.
func choose(s *sample, t tune, pooled bool) (c choice) {
	line := newFit(s, t, pooled)
	if !line.start() || !line.converge() {
		return choice{why: "the readings agree with no common movement"}
	}
	if pooled && line.disagree() {
		return choice{why: "the two lots drift differently: a third would tell what lots have in common"}
	}
	var ok bool
	c = choice{main: line, law: Linear, p: 0.5}
	if c.curve, ok = curveOf(line); !ok {
		return choice{why: "all hangs on one lot: the others were read over too short a time beside it"}
	}
	freedom := float64(len(s.points) - 2*s.lots() - 1)
	if pooled {
		freedom = float64(len(s.points) - s.lots() - 2)
	}
	if freedom < 1 {
		return c
	}
	bent := line.bend()
	if bent == nil {
		c.told = line.straight(freedom)
		return c
	}
	bentCurve, ok := curveOf(bent)
	if !ok {
		return c
	}
	_, unbent := bent.at(0)
	gain := math.Max(unbent-bent.misfit(), 0)
	c.p = distuv.F{D1: 1, D2: freedom}.Survival(gain) / 2
	if c.p < seen {
		c.main, c.law, c.told, c.curve = bent, FirstOrder, true, bentCurve
		return c
	}
	c.other, c.told = &bentCurve, bent.straight(freedom)
	return c
}

// bend fits the first-order law from where the linear one ended; nil where it
// settles nowhere.
func (f *fit) bend() *fit {
	bent := copyOf(f)
	least, last := f.misfit(), f.last()
	for _, turns := range []float64{0.5, 2, 6} {
		if trial, left := f.at(turns / last); left < least {
			least, bent.motion = left, trial.motion
		}
	}
	if bent.motion.k == 0 {
		bent.motion.k = 0.1 / last
	}
	bent.free = true
	if !bent.converge() || bent.motion.k == 0 {
		return nil
	}
	return bent
}

// straight reports whether the data exclude that half of the way to a level was
// gone by the last day (95 %).
func (f *fit) straight(freedom float64) bool {
	_, half := f.at(math.Ln2 / f.last())
	return f.motion.k < math.Ln2/f.last() && half-f.misfit() > distuv.F{D1: 1, D2: freedom}.Quantile(0.90)
}

// disagree reports whether lots that are taken to drift alike do not (95 %;
// Cochran's Q over the scatter of the readings).
func (f *fit) disagree() bool {
	var sum, mean, q float64
	for l := range f.sums {
		sum += f.sums[l].xx
		mean += f.sums[l].xe
	}
	mean /= sum
	for l := range f.sums {
		if own := &f.sums[l]; own.xx > 0 {
			d := own.xe/own.xx - mean
			q += d * d * own.xx
		}
	}
	freedom := float64(len(f.points) - 2*f.lots())
	return freedom >= 1 && q > distuv.F{D1: float64(f.lots() - 1), D2: freedom}.Quantile(0.95)*float64(f.lots()-1)
}

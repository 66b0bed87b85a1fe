package conform

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pourpath/colour"
	"pourpath/colour/cie"
)

// Process is what is known of lots before any of them is measured: the prior
// distribution of their true L*, a*, b*, taken for normal. The scatter is that of
// the lots; that of measuring them is no part of it.
type Process struct {
	Mean cie.Lab
	// Covariance is that of L*, a*, b* over lots, in their units squared: positive
	// definite.
	Covariance [quantities][quantities]float64
}

// Independent is a process whose L*, a* and b* have these standard deviations,
// above 0, and vary independently.
func Independent(mean cie.Lab, deviations [quantities]float64) Process {
	p := Process{Mean: mean}
	for i, d := range deviations {
		p.Covariance[i][i] = d * d
	}
	return p
}

// Risks are shares of the lots of a process, each 0 to 1, when all are measured in
// one way and judged by one rule. They hold for that process alone.
type Risks struct {
	Conforming float64 // truly meet the specification
	Passed     float64 // get the verdict Pass
	// Consumer is the global consumer's risk: lots that pass and do not conform.
	// Producer is the global producer's risk: lots that conform and do not pass,
	// whether they fail or stay Inconclusive. Source: JCGM106, 9.5 (clause from
	// memory).
	Consumer, Producer float64
	// ConsumerSE and ProducerSE are their standard errors, from the scatter among
	// the draws; beside a risk of 0, which then is one too small to show, what would
	// show.
	ConsumerSE, ProducerSE float64
	// OutsideAmongPassed is the share of the passed lots that do not conform; NaN
	// where so few pass, less than one in a thousand, that it cannot be told.
	OutsideAmongPassed float64
}

const (
	riskDraws    = 2048             // measured colours
	futureDraws  = Draws / segments // true colours behind each of them
	firstDraws   = 512              // that a verdict far from its limit is taken by
	clearBy      = 0.04             // from the limit, of a share of firstDraws
	fewestPassed = 1e-3
)

// RisksOf tells what the rule of a specification comes to over the lots of a
// process, read as the specification's Setup says. For each colour that may be
// measured, the verdict is taken as Judge takes it and the true colours are drawn
// that the process and the measurement leave possible (normal, both), so that
// rare errors are not waited for. The errors of a reading are those of a typical
// lot, and the reference is one measurement among those that might have been made.
//
// Errors: those of Foresee; at "process/mean" and "process/covariance"; at
// "process" for a specification with limits on intensity, tint or shares, which a
// distribution of L*, a*, b* says nothing of.
//
// Source: JCGM106, 9 (from memory); the posterior of a normal prior and a linear
// normal measurement, any text on Bayesian estimation.
func RisksOf(spec Spec, process Process, v cie.View) (Risks, error) {
	c, err := foreseen(spec, v)
	if err != nil {
		return Risks{}, err
	}
	if err := process.validate(c, v); err != nil {
		return Risks{}, err
	}
	return c.risksOver(process), nil
}

func (p Process) validate(c *judged, v cie.View) error {
	var faults colour.FieldErrors
	m := p.Mean
	if !finite(m.L, m.A, m.B) {
		faults.Addf("process/mean", nil, "L*, a* and b* must be finite numbers")
	}
	if m.View != v {
		faults.Addf("process/mean", nil, "the process is described for %v and the specification holds for %v: give both for one view", m.View, v)
	}
	e := Ellipsoid{Covariance: p.Covariance}
	if !e.shaped() {
		faults.Addf("process/covariance", nil, "this is no covariance of L*, a* and b*: it is symmetric, its diagonal (the squares of the standard deviations) is above 0, and no correlation reaches 1")
	}
	for _, part := range c.parts {
		if part.quantity.ofAbsorbance() {
			faults.Addf("process", nil, "a process in L*, a*, b* says nothing of %s, which the specification limits: leave the process out, or ask for a specification without these limits", part.quantity)
			break
		}
	}
	return faults.Err()
}

// posterior is what is known of a lot's true colour, and of the reference's,
// behind what was measured: a mean that is linear in it and errors that are the
// same for all.
type posterior struct {
	measured factor // of measured colours about the process's mean
	gain     mat.Dense
	errors   factor
}

// places are those of the sample's and the reference's L*, a*, b* in a state.
var places = [2 * quantities]int{0, 1, 2, reference, reference + 1, reference + 2}

func (c *judged) posterior(p Process) posterior {
	var joint [dims][dims]float64
	for _, col := range c.columns {
		for i, a := range col.effect {
			for j, b := range col.effect {
				joint[i][j] += a * b
			}
		}
	}
	const n, both = quantities, 2 * quantities
	seen, with, prior := mat.NewSymDense(n, nil), mat.NewDense(both, n, nil), mat.NewSymDense(both, nil)
	for i := range n {
		for j := range n {
			if j >= i {
				seen.SetSym(i, j, p.Covariance[i][j]+joint[i][j])
				prior.SetSym(i, j, p.Covariance[i][j])
				prior.SetSym(n+i, n+j, joint[reference+i][reference+j])
			}
			with.Set(i, j, p.Covariance[i][j])
			// A measured colour is the true one less its error; the reference's true
			// one is the measured one and its error.
			with.Set(n+i, j, -joint[reference+i][j])
		}
	}
	var out posterior
	var inverse, less mat.Dense
	if err := inverse.Inverse(seen); err != nil {
		panic("conform: a process that was not validated")
	}
	out.gain.Mul(with, &inverse)
	less.Mul(&out.gain, with.T())
	for i := range both {
		for j := i; j < both; j++ {
			prior.SetSym(i, j, prior.At(i, j)-less.At(i, j))
		}
	}
	out.measured, out.errors = factorOf(columnsOf(seen)), factorOf(columnsOf(prior))
	return out
}

// columnsOf are independent errors that have a covariance; a variance that is
// below 0 by its last bits is none.
func columnsOf(covariance *mat.SymDense) []column {
	var eigen mat.EigenSym
	if !eigen.Factorize(covariance, true) {
		panic("conform: no eigenvalues of a finite symmetric matrix")
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	values := eigen.Values(nil)
	var out []column
	for k, value := range values {
		if value <= 1e-12*values[len(values)-1] {
			continue
		}
		var c column
		for i := range values {
			c.effect[places[i]] = math.Sqrt(value) * vectors.At(i, k)
		}
		out = append(out, c)
	}
	return out
}

// at are the means of the true colours behind a measured one.
func (p *posterior) at(process Process, ref, measured *state) state {
	mean := [quantities]float64{process.Mean.L, process.Mean.A, process.Mean.B}
	x := *ref
	for i, place := range places {
		if place < quantities {
			x[place] = mean[i]
		}
		for j := range quantities {
			x[place] += p.gain.At(i, j) * (measured[j] - mean[j])
		}
	}
	return x
}

func (c *judged) risksOver(p Process) Risks {
	behind := c.posterior(p)
	centre := c.middle
	centre[0], centre[1], centre[2] = p.Mean.L, p.Mean.A, p.Mean.B
	var out Risks
	var consumer, producer [segments]float64
	const per = riskDraws / segments
	for i := range riskDraws {
		m := behind.measured.moved(&centre, &normals()[i])
		truth := behind.at(p, &c.middle, &m)
		// Other draws in each segment, so that what a set of them is off by shows in
		// the scatter.
		conforming := behind.errors.share(c.parts, &truth, i/per*futureDraws, futureDraws)
		out.Conforming += conforming / riskDraws
		if c.passes(&m) {
			out.Passed += 1.0 / riskDraws
			consumer[i/per] += (1 - conforming) / per
		} else {
			producer[i/per] += conforming / per
		}
	}
	out.Consumer, out.ConsumerSE = meanOfSegments(consumer)
	out.Producer, out.ProducerSE = meanOfSegments(producer)
	out.OutsideAmongPassed = math.NaN()
	if out.Passed >= fewestPassed {
		out.OutsideAmongPassed = out.Consumer / out.Passed
	}
	return out
}

// passes reports whether a lot measured at x passes.
func (c *judged) passes(x *state) bool {
	if c.spec.Rule == Simple {
		return c.met(x)
	}
	need := 1 - c.spec.MaxRisk
	got := c.factor.share(c.parts, x, 0, firstDraws)
	if math.Abs(got-need) <= clearBy {
		got = c.factor.share(c.parts, x, 0, coarseDraws)
	}
	return got >= need
}

// share is how many of n draws about middle, from a first one on, meet all parts.
func (f *factor) share(parts []part, middle *state, first, n int) float64 {
	met := 0
draws:
	for i := range n {
		x := f.moved(middle, &normals()[first+i])
		for k := range parts {
			if p := &parts[k]; !p.met(p.value(&x)) {
				continue draws
			}
		}
		met++
	}
	return float64(met) / float64(n)
}

func meanOfSegments(shares [segments]float64) (mean, se float64) {
	for _, s := range shares {
		mean += s / segments
	}
	var squares float64
	for _, s := range shares {
		squares += (s - mean) * (s - mean)
	}
	se = math.Sqrt(squares / (segments - 1) / segments)
	if mean == 0 {
		se = 1.0 / riskDraws // what is rarer does not show
	}
	return mean, se
}

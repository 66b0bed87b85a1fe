package conform

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/mat"
)

// Draws is the number of colours that a probability is counted over.
const Draws = 16384

// segments split the draws to see how far their counts scatter.
const segments = 16

// normals holds the draws: an evenly spread sequence in the unit cube (Halton,
// Numer. Math. 2 (1960) 84, from memory; the first nine primes as bases), taken
// to standard normal numbers by the inverse of their distribution. Built once,
// read only.
var normals = sync.OnceValue(func() []state {
	bases := [dims]int{2, 3, 5, 7, 11, 13, 17, 19, 23}
	z := make([]state, Draws)
	for i := range z {
		for k, base := range bases {
			z[i][k] = math.Sqrt2 * math.Erfinv(2*mirrored(i+1, base)-1)
		}
	}
	return z
})

// mirrored is n with its digits in the base written behind the point in
// reverse: a number above 0 and below 1 for n of 1 or more.
func mirrored(n, base int) float64 {
	var u float64
	for place := 1 / float64(base); n > 0; place /= float64(base) {
		u += place * float64(n%base)
		n /= base
	}
	return u
}

// factor is a square root of the covariance of the state: rank columns that,
// times independent standard normal numbers, have that covariance.
type factor struct {
	rank    int
	columns [dims]state
}

// factorOf reduces any number of independent errors to at most nine, the
// principal components of the state scaled to unit deviations, largest first:
// so the best-spread coordinates of the draws carry the most.
func factorOf(columns []column) factor {
	var deviation state
	for _, c := range columns {
		for i, e := range c.effect {
			deviation[i] = math.Hypot(deviation[i], e)
		}
	}
	correlation := mat.NewSymDense(dims, nil)
	for i := range dims {
		for j := i; j < dims; j++ {
			if deviation[i] == 0 || deviation[j] == 0 {
				continue
			}
			var sum float64
			for _, c := range columns {
				sum += c.effect[i] / deviation[i] * (c.effect[j] / deviation[j])
			}
			correlation.SetSym(i, j, sum)
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(correlation, true) {
		panic("conform: no eigenvalues of a finite symmetric matrix")
	}
	values := eigen.Values(nil) // ascending
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	var f factor
	for k := dims - 1; k >= 0; k-- {
		if values[k] <= 1e-12 {
			break
		}
		root := math.Sqrt(values[k])
		for i := range dims {
			f.columns[f.rank][i] = deviation[i] * root * vectors.At(i, k)
		}
		f.rank++
	}
	return f
}

// chance is how often the parts are met.
type chance struct {
	all     float64   // together
	allSE   float64   // standard error of all
	each    []float64 // by themselves
	spreads []float64 // standard deviation of each quantity; NaN where it has none
	draws   int       // that were counted
}

// coarseDraws are those that a clear decision is taken by.
const coarseDraws = 2048

// coarseRisk is the smallest accepted risk that coarseDraws can tell from none,
// and clearOf the part of it below which they need no others: the count's own
// scatter is then some ten times less than what is left to the risk.
const (
	coarseRisk = 0.025
	clearOf    = 0.2
)

// sure counts over as many draws as a decision at that risk needs: few where it
// is clear, all near it and where the risk is 0.
func (f *factor) sure(parts []part, middle *state, risk float64) chance {
	t := f.tally(parts, middle)
	if risk >= coarseRisk {
		t.count(coarseDraws)
		if c := t.chance(); c.all >= 1-clearOf*risk || c.all <= clearOf*risk {
			return c
		}
	}
	t.count(Draws)
	return t.chance()
}

// probability counts over the first n draws about middle, n a multiple of
// leastDraws.
func (f *factor) probability(parts []part, middle *state, n int) chance {
	t := f.tally(parts, middle)
	t.count(n)
	return t.chance()
}

// leastDraws are what met is counted in: the segments of any number of draws are
// made of whole blocks of them.
const leastDraws = climbDraws / segments

// counts is the tally of one part.
type counts struct {
	met, valid, sum, squares float64
}

// tally is a count that goes on from one number of draws to a larger one.
type tally struct {
	factor  *factor
	parts   []part
	middle  *state
	nominal []float64 // values of the parts at middle
	of      []counts
	met     [Draws / leastDraws]float64 // all parts together, by block of draws
	draws   int
}

func (f *factor) tally(parts []part, middle *state) *tally {
	t := &tally{factor: f, parts: parts, middle: middle, nominal: make([]float64, len(parts)), of: make([]counts, len(parts))}
	for k := range parts {
		t.nominal[k] = parts[k].value(middle)
	}
	return t
}

// count goes on to the first n draws.
func (t *tally) count(n int) {
	z := normals()
	for ; t.draws < n; t.draws++ {
		x := t.factor.moved(t.middle, &z[t.draws])
		all := true
		for k := range t.parts {
			p, c := &t.parts[k], &t.of[k]
			value := p.value(&x)
			if p.met(value) {
				c.met++
			} else {
				all = false
			}
			if off := p.off(value, t.nominal[k]); !math.IsNaN(off) {
				c.valid++
				c.sum += off
				c.squares += off * off
			}
		}
		if all {
			t.met[t.draws/leastDraws]++
		}
	}
}

// chance is what was counted. The standard error is the scatter of the segments'
// shares over √segments; as the sequence is spread more evenly than random numbers
// are, the true error is as a rule smaller.
func (t *tally) chance() chance {
	var share [segments]float64
	per := t.draws / segments
	for i, met := range t.met[:t.draws/leastDraws] {
		share[i*leastDraws/per] += met
	}
	c := chance{draws: t.draws, each: make([]float64, len(t.of)), spreads: make([]float64, len(t.of))}
	var squares float64
	for _, s := range share {
		c.all += s / float64(per) / segments
	}
	for _, s := range share {
		d := s/float64(per) - c.all
		squares += d * d
	}
	c.allSE = math.Sqrt(squares / (segments - 1) / segments)
	for k, of := range t.of {
		c.each[k] = of.met / float64(t.draws)
		mean := of.sum / of.valid
		c.spreads[k] = math.Sqrt(max(0, of.squares/of.valid-mean*mean))
	}
	return c
}

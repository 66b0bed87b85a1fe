package panel

import (
	"gonum.org/v1/gonum/stat/distuv"
)

// difference tests whether the glasses differ at all.
func difference(j judged, q *quadratic, level float64) Test {
	t := Test{Name: j.statistic(), Degrees: len(j.doses) - 1, P: 1, PApproximate: 1, By: ByExact}
	if q.degrees == 0 {
		return t // every judge found everything alike
	}
	t.Degrees = q.degrees
	t.Statistic = q.of(q.deviations(j.blocks, make([]float64, len(j.doses))))
	t.PApproximate = distuv.ChiSquared{K: float64(t.Degrees)}.Survival(t.Statistic)
	null := differenceNull(j, q)
	t.P, t.By = null.p(t.Statistic), null.by
	t.Found = t.P <= level*(1+rounding)
	return t
}

func (j judged) statistic() string {
	switch size, _, even := j.balance(); {
	case even && size == len(j.doses):
		return Friedman
	case even:
		return Durbin
	default:
		return SkillingsMack
	}
}

// differenceNull is how the statistic falls without preference: all orders
// counted where that can be done, else drawn.
func differenceNull(j judged, q *quadratic) distribution {
	if d, ok := countedNull(j, q); ok {
		return d
	}
	values := make([]float64, 0, j.simulate)
	deviations := make([]float64, len(j.doses))
	j.draws(func(blocks []block) {
		values = append(values, q.of(q.deviations(blocks, deviations)))
	})
	return simulated(values)
}

// affordable is how many steps may be taken to count all orders of a panel: about
// a tenth of a second.
const affordable = 600_000

// countedNull adds judge after judge to the rank sums that are possible. Where
// all judges have all glasses, sums that are the same but for their order stay the
// same but for their order whatever follows, and are kept as one. Judges with
// different numbers of glasses have weights that are not whole: they are not
// counted.
func countedNull(j judged, q *quadratic) (distribution, bool) {
	size, glasses := len(j.blocks[0].glasses), len(j.doses)
	for _, b := range j.blocks {
		if len(b.glasses) != size {
			return distribution{}, false
		}
	}
	possible, steps := newReached(1), 0.0
	possible.add(sums{}, 1)
	for _, b := range j.blocks {
		ways := arrangements(b.twice)
		if steps += ways * float64(len(possible.sums)); steps > j.count {
			return distribution{}, false
		}
		possible = possible.after(b, ways, size == glasses)
	}
	all := make([]weighed, 0, len(possible.sums))
	deviations := make([]float64, glasses)
	for i, s := range possible.sums {
		for g := range deviations {
			deviations[g] = q.weights[0] / 2 * float64(s[g])
		}
		all = append(all, weighed{q.of(deviations), possible.p[i]})
	}
	return exactly(all), true
}

package panel

import (
	"cmp"
	"slices"
	"sort"
)

// distribution is how a statistic falls when no judge prefers anything: every
// order that a judge could have given, with the ties that were given, is as
// likely.
type distribution struct {
	values []float64 // rising
	tail   []float64 // the probability of this value or a higher one
	by     string
}

// rounding is how far apart values may be that are one value.
const rounding = 1e-9

// p is the probability of x or more.
func (d distribution) p(x float64) float64 {
	x -= rounding * max(1, x, -x)
	i := sort.SearchFloat64s(d.values, x)
	if i == len(d.values) {
		return d.beyond()
	}
	return d.tail[i]
}

// beyond is the p of what is beyond all values: only a simulation can miss them.
func (d distribution) beyond() float64 {
	if d.by == BySimulation {
		return 1 / float64(len(d.values)+1)
	}
	return 0
}

// critical is the lowest value whose p is at most level; ok is false where there
// is none, however much the judges agree.
func (d distribution) critical(level float64) (value float64, ok bool) {
	i := sort.Search(len(d.tail), func(i int) bool { return d.tail[i] <= level*(1+rounding) })
	if i == len(d.tail) {
		return 0, false
	}
	return d.values[i], true
}

// weighed is a value with its probability.
type weighed struct{ value, p float64 }

// exactly makes a distribution of values with their probabilities.
func exactly(all []weighed) distribution {
	slices.SortStableFunc(all, func(a, b weighed) int { return cmp.Compare(a.value, b.value) })
	d := distribution{by: ByExact}
	for i := len(all) - 1; i >= 0; i-- {
		sum := all[i].p
		if last := len(d.tail) - 1; last >= 0 {
			sum += d.tail[last]
			if d.values[last]-all[i].value <= rounding*max(1, d.values[last]) {
				d.values[last], d.tail[last] = all[i].value, sum
				continue
			}
		}
		d.values, d.tail = append(d.values, all[i].value), append(d.tail, sum)
	}
	slices.Reverse(d.values)
	slices.Reverse(d.tail)
	return d
}

// simulated makes a distribution of drawn values. The answers are counted among
// them, so that no p is 0 and the level holds for any number of draws.
func simulated(values []float64) distribution {
	slices.Sort(values)
	d := distribution{values: values, tail: make([]float64, len(values)), by: BySimulation}
	for i := range values {
		d.tail[i] = float64(len(values)-i+1) / float64(len(values)+1)
	}
	// What is the same but for rounding has the same p.
	for i := 1; i < len(values); i++ {
		if values[i]-values[i-1] <= rounding*max(1, values[i]) {
			d.tail[i] = d.tail[i-1]
		}
	}
	return d
}

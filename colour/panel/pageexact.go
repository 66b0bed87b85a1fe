package panel

import (
	"math/bits"
	"slices"
)

// mostCounted is for how many glasses with one judge Page's L is counted.
const mostCounted = 8

// small is how many additions are one of the steps that judged.count allows.
const small = 200

// lattice is a distribution on whole numbers: p[i] is the probability of
// from + i·step.
type lattice struct {
	from, step int
	p          []float64
}

// countedPage gives each value of L with its probability: those of each judge by
// counting, all judges together by convolution.
func countedPage(j judged, places []int) ([]weighed, bool) {
	parts := make([]lattice, 0, len(j.blocks))
	step, steps := 0, 0.0
	var part lattice
	for i, b := range j.blocks {
		if n := len(b.glasses); n > mostCounted {
			return nil, false
		} else if i == 0 || !b.alike(j.blocks[i-1]) {
			if steps += float64(n*mostSum(b, places)<<n) / small; steps > j.count {
				return nil, false
			}
			part = pageOfJudge(b, places)
		}
		for i, p := range part.p {
			if p > 0 {
				step = divisor(step, i)
			}
		}
		parts = append(parts, part)
	}
	sum := lattice{step: max(step, 1), p: []float64{1}}
	for _, part := range parts {
		part = part.coarser(sum.step)
		if steps += float64(len(sum.p)*len(part.p)) / small; steps > j.count {
			return nil, false
		}
		sum = sum.plus(part)
	}
	var all []weighed
	for i, p := range sum.p {
		if p > 0 {
			all = append(all, weighed{float64(sum.from+i*sum.step) / 4, p})
		}
	}
	return all, true
}

// alike says that two judges had the same glasses and gave the same ranks to some
// of them, so that their orders have the same sums.
func (b block) alike(other block) bool {
	mine, others := slices.Clone(b.twice), slices.Clone(other.twice)
	slices.Sort(mine)
	slices.Sort(others)
	return slices.Equal(b.glasses, other.glasses) && slices.Equal(mine, others)
}

// pageOfJudge counts, for each set of ranks, the sums to which the first glasses
// with these ranks lead; the set of all ranks is the distribution of fourfold.
func pageOfJudge(b block, places []int) lattice {
	n := len(b.glasses)
	ranks := make([]int, n)
	for i, r := range b.twice {
		ranks[i] = fromLast(r, n)
	}
	slices.Sort(ranks)
	most := mostSum(b, places)
	ways := make([][]float64, 1<<n)
	ways[0] = []float64{1}
	for set := 1; set < len(ways); set++ {
		place := places[b.glasses[bits.OnesCount(uint(set))-1]]
		sums := make([]float64, most+1)
		high := 0
		for i := range n {
			if set&(1<<i) == 0 {
				continue
			}
			for sum, w := range ways[set&^(1<<i)] {
				if w > 0 {
					sums[sum+place*ranks[i]] += w
					high = max(high, sum+place*ranks[i])
				}
			}
		}
		ways[set] = sums[:high+1]
	}
	all := ways[len(ways)-1]
	from := slices.IndexFunc(all, func(w float64) bool { return w > 0 })
	out := lattice{from: from, step: 1, p: all[from:]}
	total := factorial(n)
	for i := range out.p {
		out.p[i] /= total
	}
	return out
}

// mostSum is more than any sum of a judge.
func mostSum(b block, places []int) (most int) {
	for _, g := range b.glasses {
		most += places[g] * 2 * len(b.glasses)
	}
	return most
}

// coarser is the same on a step that divides all its values' distances.
func (l lattice) coarser(step int) lattice {
	out := lattice{from: l.from, step: step, p: make([]float64, (len(l.p)-1)/step+1)}
	for i := range out.p {
		out.p[i] = l.p[i*step]
	}
	return out
}

func (l lattice) plus(other lattice) lattice {
	out := lattice{from: l.from + other.from, step: l.step, p: make([]float64, len(l.p)+len(other.p)-1)}
	for k, q := range other.p {
		if q == 0 {
			continue
		}
		for i, p := range l.p {
			out.p[i+k] += p * q
		}
	}
	return out
}

func divisor(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func factorial(n int) float64 {
	f := 1.0
	for i := 2; i <= n; i++ {
		f *= float64(i)
	}
	return f
}

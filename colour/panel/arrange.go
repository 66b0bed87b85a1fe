package panel

import (
	"math/rand/v2"
	"slices"
)

// nextArrangement turns s into the next of its different arrangements, in rising
// order; false after the last.
func nextArrangement(s []int) bool {
	i := len(s) - 2
	for i >= 0 && s[i] >= s[i+1] {
		i--
	}
	if i < 0 {
		return false
	}
	j := len(s) - 1
	for s[j] <= s[i] {
		j--
	}
	s[i], s[j] = s[j], s[i]
	slices.Reverse(s[i+1:])
	return true
}

// arrangements is how many different ones there are: n! by the factorials of how
// many are alike.
func arrangements(s []int) float64 {
	ways, run := 1.0, 0
	sorted := slices.Clone(s)
	slices.Sort(sorted)
	for i, v := range sorted {
		if run++; i > 0 && v != sorted[i-1] {
			run = 1
		}
		ways *= float64(i+1) / float64(run)
	}
	return ways
}

// Simulated is how often orders are drawn where not all can be counted.
const Simulated = 20_000

// draws calls each with all judges' ranks in any order, as often as j says.
func (j judged) draws(each func(blocks []block)) {
	r := rand.New(rand.NewPCG(1937, 1963))
	blocks := slices.Clone(j.blocks)
	for i := range blocks {
		blocks[i].twice = slices.Clone(blocks[i].twice)
	}
	for range j.simulate {
		for _, b := range blocks {
			for i := len(b.twice) - 1; i > 0; i-- {
				k := r.IntN(i + 1)
				b.twice[i], b.twice[k] = b.twice[k], b.twice[i]
			}
		}
		each(blocks)
	}
}

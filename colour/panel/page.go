package panel

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// trend is Page's test (Page 1963): whether ranks rise or fall along the dose. In
// incomplete designs each judge's glasses keep the places they have among all.
func trend(j judged, level float64) *Trend {
	places := twiceRanks(j.doses)
	t := &Trend{P: 1, PMore: 1, PLess: 1, PApproximate: 1, By: ByExact}
	var variance float64
	for _, b := range j.blocks {
		mean, v := pageMoments(b, places)
		t.L += pageSum(b, places)
		t.Expected += mean
		variance += v
	}
	t.SD = math.Sqrt(variance)
	if t.SD == 0 {
		return t // every judge found everything alike
	}
	t.Z = (t.L - t.Expected) / t.SD
	t.PApproximate = min(1, 2*distuv.UnitNormal.Survival(math.Abs(t.Z)))
	null := pageNull(j, places)
	t.PMore, t.PLess, t.P = null.up.p(t.L), null.down.p(-t.L), null.apart.p(math.Abs(t.L-t.Expected))
	t.By = null.apart.by
	t.Found = t.P <= level*(1+rounding)
	return t
}

// pageSum is a judge's part of L: places of the doses times ranks from the last.
func pageSum(b block, places []int) float64 { return float64(fourfold(b, places)) / 4 }

// fourfold is four times that, which is whole.
func fourfold(b block, places []int) (sum int) {
	for i, g := range b.glasses {
		sum += places[g] * fromLast(b.twice[i], len(b.twice))
	}
	return sum
}

// fromLast is twice a rank counted from the last of n glasses.
func fromLast(twice, n int) int { return 2*(n+1) - twice }

// pageMoments are mean and variance of a judge's part over all orders.
func pageMoments(b block, places []int) (mean, variance float64) {
	n := float64(len(b.glasses))
	var y, r, yy, rr float64
	for i, g := range b.glasses {
		place, rank := float64(places[g])/2, float64(fromLast(b.twice[i], len(b.twice)))/2
		y, r, yy, rr = y+place, r+rank, yy+place*place, rr+rank*rank
	}
	return y * r / n, (yy - y*y/n) * (rr - r*r/n) / (n - 1)
}

// pageDistributions are how L, -L and its distance from what is expected fall.
type pageDistributions struct{ up, down, apart distribution }

func newPageDistributions(all []weighed, expected float64, from func([]weighed) distribution) pageDistributions {
	return pageDistributions{
		up:    from(all),
		down:  from(mapped(all, func(l float64) float64 { return -l })),
		apart: from(mapped(all, func(l float64) float64 { return math.Abs(l - expected) })),
	}
}

func mapped(all []weighed, by func(float64) float64) []weighed {
	out := make([]weighed, len(all))
	for i, w := range all {
		out[i] = weighed{by(w.value), w.p}
	}
	return out
}

// pageNull is how L falls without preference: all orders counted where that can
// be done, else drawn.
func pageNull(j judged, places []int) pageDistributions {
	var expected float64
	for _, b := range j.blocks {
		mean, _ := pageMoments(b, places)
		expected += mean
	}
	if all, ok := countedPage(j, places); ok {
		return newPageDistributions(all, expected, exactly)
	}
	all := make([]weighed, 0, j.simulate)
	j.draws(func(blocks []block) {
		var l float64
		for _, b := range blocks {
			l += pageSum(b, places)
		}
		all = append(all, weighed{l, 0})
	})
	return newPageDistributions(all, expected, func(all []weighed) distribution {
		values := make([]float64, len(all))
		for i, w := range all {
			values[i] = w.value
		}
		return simulated(values)
	})
}

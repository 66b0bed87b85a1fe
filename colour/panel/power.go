package panel

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// PowerProbability is with what probability a preference would be found that a
// panel is said to find.
const PowerProbability = 0.8

// power looks for the smallest preferences that are found, in panels made up of
// judges with the glasses that these judges had. Each judge's liking of a glass is
// its own and a chance part with the standard normal distribution (Thurstone's
// model, case V), so that of two glasses d apart Φ(d/√2) of judges put the better
// one first. No glasses are alike to a judge.
func power(j judged, level float64) Power {
	j = j.untied()
	p := Power{Probability: PowerProbability}
	q := newQuadratic(j)
	s := newPanels(j)
	if critical, ok := differenceNull(j, q).critical(level); ok {
		alone := make([]float64, len(j.doses))
		alone[fewest(j.answers())] = 1
		deviations := make([]float64, len(j.doses))
		p.OneGlass = s.smallest(alone, func(blocks []block) bool {
			return q.of(q.deviations(blocks, deviations)) >= critical-rounding*max(1, critical)
		})
	}
	lowest, highest := slices.Min(j.doses), slices.Max(j.doses)
	if lowest == highest {
		return p
	}
	along := make([]float64, len(j.doses))
	for g, d := range j.doses {
		along[g] = (d - lowest) / (highest - lowest)
	}
	places := twiceRanks(j.doses)
	if critical, ok := pageNull(j, places).apart.critical(level); ok {
		var expected float64
		for _, b := range j.blocks {
			mean, _ := pageMoments(b, places)
			expected += mean
		}
		p.Ends = s.smallest(along, func(blocks []block) bool {
			var l float64
			for _, b := range blocks {
				l += pageSum(b, places)
			}
			return math.Abs(l-expected) >= critical-rounding*max(1, critical)
		})
	}
	return p
}

func fewest(answers []int) int {
	return slices.Index(answers, slices.Min(answers))
}

// panels are the chance parts of made-up panels, the same for every preference
// that is tried, so that a larger one is found more often.
type panels struct {
	blocks []block
	chance [][]float32 // a row for each panel: its judges' glasses one after another
}

func newPanels(j judged) *panels {
	answers := 0
	for _, b := range j.blocks {
		answers += len(b.glasses)
	}
	// A thousand panels know a probability of 0.8 to 0.013; very large panels are
	// content with fewer.
	many := max(200, min(1000, 400_000/answers))
	r := rand.New(rand.NewPCG(1927, 1978))
	p := &panels{chance: make([][]float32, many)}
	for i := range p.chance {
		p.chance[i] = make([]float32, answers)
		for k := range p.chance[i] {
			p.chance[i][k] = float32(r.NormFloat64())
		}
	}
	for _, b := range j.blocks {
		p.blocks = append(p.blocks, block{b.judge, b.glasses, make([]int, len(b.glasses))})
	}
	return p
}

// smallest is the smallest preference in the given proportion between glasses that
// is found often enough, as the share of judges who put a glass at 1 above one at
// 0; nil where there is none.
func (p *panels) smallest(proportion []float64, found func([]block) bool) *float64 {
	often := func(size float64) bool {
		n := 0
		for i := range p.chance {
			if p.rank(p.chance[i], proportion, size); found(p.blocks) {
				n++
			}
		}
		return float64(n) >= PowerProbability*float64(len(p.chance))
	}
	const unanimous = 50 // beyond any chance part
	if !often(unanimous) {
		return nil
	}
	low, high := 0.0, 6.0 // Φ(6/√2) is all but 1
	for range 11 {        // to 0.003
		if middle := (low + high) / 2; often(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	s := distuv.UnitNormal.CDF(high / math.Sqrt2)
	return &s
}

// rank gives each judge's ranks by liking, the most liked first.
func (p *panels) rank(chance []float32, proportion []float64, size float64) {
	var liking [MostGlasses]float32
	for _, b := range p.blocks {
		for i, g := range b.glasses {
			liking[i] = chance[i] + float32(size*proportion[g])
		}
		chance = chance[len(b.glasses):]
		for i := range b.glasses {
			first := 2
			for k := range b.glasses {
				if liking[k] > liking[i] {
					first += 2
				}
			}
			b.twice[i] = first
		}
	}
}

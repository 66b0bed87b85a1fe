package panel

import (
	"slices"

	"gonum.org/v1/gonum/stat/combin"
)

// A balanced design is known by a few blocks that are developed: 1 is added to
// every glass, modulo the cycle, until the blocks come round again. A glass whose
// number is the cycle itself stays where it is. A cycle of 0 says that the blocks
// are all there.
type cyclic struct {
	glasses, perJudge, cycle int
	base                     [][]int
}

// cyclicDesigns are smallest known designs of up to 12 glasses for which all
// combinations would be more. Where no more than half of the glasses are with a
// judge; the others are complements. Fisher, Yates, Statistical Tables, and
// Cochran, Cox, Experimental Designs, table 11.3, have designs of these sizes
// (from memory); the blocks here were searched for, and a test counts them.
var cyclicDesigns = []cyclic{
	{6, 3, 5, [][]int{{5, 0, 1}, {0, 2, 3}}},
	{7, 3, 7, [][]int{{0, 1, 3}}},
	{8, 4, 7, [][]int{{7, 0, 1, 3}, {2, 4, 5, 6}}},
	{9, 3, 8, [][]int{{0, 1, 6}, {8, 0, 4}}},
	{9, 4, 9, [][]int{{0, 2, 3, 5}, {0, 1, 4, 8}}},
	{10, 3, 9, [][]int{{9, 0, 4}, {0, 7, 8}, {0, 4, 6}, {0, 3, 6}}},
	{10, 4, 0, [][]int{
		{0, 1, 2, 3}, {0, 1, 4, 5}, {0, 2, 6, 7}, {0, 3, 8, 9}, {0, 4, 6, 8}, {0, 5, 7, 9}, {1, 2, 5, 8}, {1, 3, 6, 9},
		{1, 4, 7, 9}, {1, 6, 7, 8}, {2, 4, 8, 9}, {2, 5, 6, 9}, {2, 3, 4, 7}, {3, 4, 5, 6}, {3, 5, 7, 8},
	}},
	{10, 5, 9, [][]int{{9, 0, 3, 5, 8}, {0, 4, 5, 6, 7}}},
	{11, 3, 11, [][]int{{0, 1, 3}, {0, 3, 9}, {0, 4, 1}, {0, 5, 4}, {0, 9, 5}}},
	{11, 4, 11, [][]int{{0, 1, 3, 7}, {0, 3, 9, 10}, {0, 4, 1, 6}, {0, 5, 4, 2}, {0, 9, 5, 8}}},
	{11, 5, 11, [][]int{{1, 3, 4, 5, 9}}},
	{12, 3, 11, [][]int{{11, 0, 4}, {0, 4, 10}, {0, 3, 5}, {0, 1, 3}}},
	{12, 4, 11, [][]int{{11, 0, 6, 7}, {0, 4, 8, 10}, {0, 1, 3, 9}}},
	{12, 6, 11, [][]int{{11, 1, 3, 4, 5, 9}, {0, 2, 6, 7, 8, 10}}},
}

// balancedBlocks are the blocks of the smallest known balanced design of this
// size that a panel can have judges for, nil where there is none.
func balancedBlocks(glasses, perJudge int) [][]int {
	for _, c := range cyclicDesigns {
		switch {
		case c.glasses == glasses && c.perJudge == perJudge:
			return c.blocks()
		case c.glasses == glasses && c.perJudge == glasses-perJudge:
			return complements(glasses, c.blocks())
		}
	}
	if combin.Binomial(glasses, perJudge) > MostJudges {
		return nil
	}
	return combin.Combinations(glasses, perJudge)
}

func (c cyclic) blocks() [][]int {
	if c.cycle == 0 {
		return relabelled(c.base, identity(c.glasses))
	}
	var out [][]int
	for _, base := range c.base {
		from := len(out)
		for shift := range c.cycle {
			block := make([]int, len(base))
			for i, g := range base {
				if block[i] = g; g < c.cycle {
					block[i] = (g + shift) % c.cycle
				}
			}
			slices.Sort(block)
			if shift > 0 && slices.Equal(block, out[from]) {
				break // the block comes round before the cycle does
			}
			out = append(out, block)
		}
	}
	return out
}

func complements(glasses int, blocks [][]int) [][]int {
	out := make([][]int, len(blocks))
	for b, block := range blocks {
		for g := range glasses {
			if !slices.Contains(block, g) {
				out[b] = append(out[b], g)
			}
		}
	}
	return out
}

func identity(n int) []int {
	p := make([]int, n)
	for i := range p {
		p[i] = i
	}
	return p
}

package panel

import (
	"math"
	"math/rand/v2"
	"slices"
)

// incompleteBlocks says which glasses each judge has, and how many judges a
// known balanced design needs (0 where none is known). As many whole designs are
// taken as there are judges for; the rest is as even as a search finds.
func incompleteBlocks(glasses, perJudge, judges int) (blocks [][]int, full int) {
	design := balancedBlocks(glasses, perJudge)
	full = len(design)
	for full > 0 && len(blocks)+full <= judges {
		blocks = append(blocks, relabelled(design, identity(glasses))...)
	}
	if rest := judges - len(blocks); rest > 0 {
		s := newBlockSearch(glasses, perJudge, rest, len(blocks) > 0)
		blocks = append(blocks, s.run()...)
	}
	return blocks, full
}

// blockSearch looks for blocks in which each glass, and each pair of glasses, is
// about equally often: simulated annealing from a fixed seed. Whole balanced
// designs beside them count every glass and every pair the same, so they need
// not be looked at.
type blockSearch struct {
	glasses  int
	blocks   [][]int
	tied     bool // all glasses hang together without these blocks
	together [][]int
	r        *rand.Rand
}

// servedWeight makes an even number of judges a glass come before even pairs.
const servedWeight = 20

// newBlockSearch starts with blocks that share one glass with the one before, so
// that all glasses hang together.
func newBlockSearch(glasses, perJudge, blocks int, tied bool) *blockSearch {
	s := &blockSearch{glasses: glasses, tied: tied, together: counts(glasses, glasses), r: rand.New(rand.NewPCG(1949, 1951))}
	for b := range blocks {
		block := make([]int, perJudge)
		for i := range block {
			block[i] = (b*(perJudge-1) + i) % glasses
		}
		s.blocks = append(s.blocks, block)
		for _, g := range block {
			s.add(block, g, 1)
		}
	}
	return s
}

// add counts g with each glass of block, itself among them.
func (s *blockSearch) add(block []int, g, n int) {
	for _, other := range block {
		s.together[g][other] += n
	}
}

func (s *blockSearch) run() [][]int {
	steps := min(200_000, 1500*len(s.blocks)*len(s.blocks[0]))
	cost, least := 0, 0
	best := relabelled(s.blocks, identity(s.glasses))
	for step := range steps {
		moves := s.moves()
		rise := 0
		for i := range moves {
			rise += s.make(&moves[i])
		}
		if !accepted(s.r, rise, 1-float64(step)/float64(steps)) || !s.tied && !linked(s.together) {
			for i := range moves {
				s.make(&moves[i])
			}
			continue
		}
		if cost += rise; cost < least {
			least, best = cost, relabelled(s.blocks, identity(s.glasses))
		}
	}
	return best
}

// move exchanges a glass of a block for another; made once more it is undone.
type move struct{ block, at, in int }

// moves is a glass for another in one block, or in two blocks the opposite ways,
// which leaves every glass with as many judges as it has.
func (s *blockSearch) moves() []move {
	first := move{s.r.IntN(len(s.blocks)), s.r.IntN(len(s.blocks[0])), s.r.IntN(s.glasses)}
	block := s.blocks[first.block]
	if slices.Contains(block, first.in) {
		return nil
	}
	if s.r.IntN(2) == 0 {
		return []move{first}
	}
	other := s.r.IntN(len(s.blocks))
	at := slices.Index(s.blocks[other], first.in)
	if at < 0 || slices.Contains(s.blocks[other], block[first.at]) {
		return nil
	}
	return []move{first, {other, at, block[first.at]}}
}

// make makes a move and says by how much the sum of squares of the counts rises.
func (s *blockSearch) make(m *move) (rise int) {
	block := s.blocks[m.block]
	rise = s.exchange(block, m.at, m.in)
	m.in = s.replace(block, m.at, m.in)
	return rise
}

// exchange is by how much the sum of squares of the counts rises when in takes
// the place of the glass at place at.
func (s *blockSearch) exchange(block []int, at, in int) int {
	out := block[at]
	rise := servedWeight * (2*(s.together[in][in]-s.together[out][out]) + 2)
	for i, g := range block {
		if i != at {
			rise += 2*(s.together[in][g]-s.together[out][g]) + 2
		}
	}
	return rise
}

// replace puts in at place at and says what stood there.
func (s *blockSearch) replace(block []int, at, in int) (out int) {
	out = block[at]
	s.add(block, out, -1)
	for _, g := range block {
		if g != out {
			s.together[g][out]--
		}
	}
	block[at] = in
	s.add(block, in, 1)
	for _, g := range block {
		if g != in {
			s.together[g][in]++
		}
	}
	return out
}

// accepted is the rule of annealing: what is no worse always, what is worse the
// more seldom the colder it is. heat falls from 1 to 0.
func accepted(r *rand.Rand, rise int, heat float64) bool {
	const hottest = 3
	return rise <= 0 || r.Float64() < math.Exp(-float64(rise)/(hottest*heat+1e-9))
}

// linked says that each glass can be compared with each other, if need be by way
// of others, from how often each two are together.
func linked(together [][]int) bool {
	reached, seen := make([]bool, len(together)), 1
	reached[0] = true
	for queue := []int{0}; len(queue) > 0; queue = queue[1:] {
		for g, n := range together[queue[0]] {
			if n > 0 && !reached[g] {
				reached[g] = true
				seen++
				queue = append(queue, g)
			}
		}
	}
	return seen == len(together)
}

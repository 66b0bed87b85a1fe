package panel

import "math/rand/v2"

// ordered puts the glasses of each block in an order so that each glass stands
// equally often at each place, or once more, and directly follows each other one
// about equally often: annealing from a fixed seed, then level for the places it
// left uneven.
func ordered(glasses int, blocks [][]int) [][]int {
	s := &orderSearch{
		orders: relabelled(blocks, identity(glasses)),
		places: counts(glasses, len(blocks[0])), follows: counts(glasses, glasses),
		r: rand.New(rand.NewPCG(1951, 1949)),
	}
	for _, order := range s.orders {
		s.add(order, 1)
	}
	s.orders = s.run()
	level(glasses, s.orders)
	return s.orders
}

type orderSearch struct {
	orders          [][]int
	places, follows [][]int
	r               *rand.Rand
}

// placeWeight makes even places come before even sequences.
const placeWeight = 4

func (s *orderSearch) run() [][]int {
	perJudge := len(s.orders[0])
	steps := min(300_000, 1000*len(s.orders)*perJudge)
	cost, least := 0, 0
	best := s.copied()
	for step := range steps {
		order := s.orders[s.r.IntN(len(s.orders))]
		a, b := s.r.IntN(perJudge), s.r.IntN(perJudge)
		if a == b {
			continue
		}
		rise := s.add(order, -1)
		order[a], order[b] = order[b], order[a]
		rise += s.add(order, 1)
		if !accepted(s.r, rise, 1-float64(step)/float64(steps)) {
			s.add(order, -1)
			order[a], order[b] = order[b], order[a]
			s.add(order, 1)
			continue
		}
		if cost += rise; cost < least {
			least, best = cost, s.copied()
		}
	}
	return best
}

func (s *orderSearch) copied() [][]int {
	return relabelled(s.orders, identity(len(s.places)))
}

// add counts an order n times, 1 or -1, and says by how much the sum of squares
// of the counts rises.
func (s *orderSearch) add(order []int, n int) (rise int) {
	for p, g := range order {
		rise += placeWeight * (2*n*s.places[g][p] + 1)
		s.places[g][p] += n
		if p > 0 {
			before := order[p-1]
			rise += 2*n*s.follows[before][g] + 1
			s.follows[before][g] += n
		}
	}
	return rise
}

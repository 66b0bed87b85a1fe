package panel

import "fmt"

// ServingOf is how even orders are that were given out, as rows of glasses.
// Kind says what they have come to: orders that were begun as balanced
// incomplete blocks are near balanced once a judge joins.
//
// Errors: colour.FieldErrors at glasses and per_judge, and at orders where a
// row has no such glass, one twice, or another length.
func ServingOf(orders [][]int, glasses, perJudge int) (Serving, error) {
	faults := servable(glasses, perJudge, MostJudges, identityDraw)
	for j, order := range orders {
		seen := make([]bool, max(glasses, 1))
		for _, g := range order {
			if g < 0 || g >= len(seen) || seen[g] {
				faults.Addf("orders", j, "an order has each of its glasses once, from 0 to %d", glasses-1)
				break
			}
			seen[g] = true
		}
		if len(order) != perJudge {
			faults.Addf("orders", j, "an order has %d glasses", perJudge)
		}
	}
	if err := faults.Err(); err != nil {
		return Serving{}, fmt.Errorf("panel: %w", err)
	}
	s := Serving{Orders: orders, Kind: Williams}
	s.count(glasses, perJudge)
	full := squareRows(glasses)
	if perJudge < glasses {
		if s.Kind = NearBalanced; s.Served.Even() && s.Met.Even() {
			s.Kind = BalancedIncomplete
		}
		full = len(balancedBlocks(glasses, perJudge))
	}
	for n := full; full > 0; n += full {
		s.FullFor = append(s.FullFor, n)
		if n >= len(orders) {
			break
		}
	}
	return s, nil
}

func identityDraw(int) int { return 0 }

// Join gives further judges orders that go with those that were given out: of the
// orders of a fresh design for all of them, drawn as NewServing does, each next
// judge has the one that leaves places, sequences and pairs most even. The answer
// has the orders that were there, then the new ones.
//
// Errors: as of NewServing and ServingOf.
func Join(there [][]int, glasses, perJudge, judges int, draw func(n int) int) (Serving, error) {
	if _, err := ServingOf(there, glasses, perJudge); err != nil {
		return Serving{}, err
	}
	fresh, err := NewServing(glasses, perJudge, len(there)+judges, draw)
	if err != nil {
		return Serving{}, err
	}
	orders := append([][]int{}, there...)
	for range judges {
		best, least := 0, 0
		for i, order := range fresh.Orders {
			s := Serving{Orders: append(orders[:len(orders):len(orders)], order)}
			s.count(glasses, perJudge)
			if c := s.unevenness(); i == 0 || c < least {
				best, least = i, c
			}
		}
		orders = append(orders, fresh.Orders[best])
		fresh.Orders = append(fresh.Orders[:best:best], fresh.Orders[best+1:]...)
	}
	return ServingOf(orders, glasses, perJudge)
}

// unevenness is the sum of squares of the counts that are to be even; as the sum
// of each kind of count is given, it is least where they are.
func (s Serving) unevenness() (sum int) {
	for i, row := range s.Together {
		for j, n := range row {
			sum += n * n
			sum += s.CarryOver[i][j] * s.CarryOver[i][j]
		}
		for _, n := range s.PositionCounts[i] {
			sum += placeWeight * n * n
		}
	}
	return sum
}

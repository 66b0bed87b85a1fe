package panel

import (
	"fmt"

	"pourpath/colour"
)

// Design is how the orders of serving were made.
type Design string

// The designs.
const (
	// Williams: each judge has all glasses. At a count of judges that is in
	// FullFor each glass stands equally often at each place and directly follows
	// each other glass equally often.
	Williams Design = "williams"
	// BalancedIncomplete: each judge has some of the glasses; each glass is with
	// equally many judges, and each two glasses are together with equally many.
	BalancedIncomplete Design = "balanced_incomplete"
	// NearBalanced: each judge has some of the glasses, as evenly as was found.
	NearBalanced Design = "near_balanced"
)

// Spread is the least and the most of some counts.
type Spread struct{ Least, Most int }

// Even says that all counts are the same.
func (s Spread) Even() bool { return s.Least == s.Most }

// Serving is in which order each judge has the glasses, and how even that is.
type Serving struct {
	// Orders has a row for each judge: glasses in the order of serving.
	Orders [][]int
	Kind   Design
	// FullFor are the counts of judges at which the design is complete: all up to
	// the first that is no less than the judges there are. Empty where no complete
	// design of this size is known.
	FullFor []int

	// PositionCounts says how often a glass (row) stands at a place (column).
	PositionCounts [][]int
	// CarryOver says how often a glass (column) comes directly after another
	// (row); the diagonal is 0.
	CarryOver [][]int
	// Together says with how many judges two glasses are, and on the diagonal with
	// how many judges a glass is.
	Together [][]int

	// Positions, Carried, Served and Met are the spreads of these counts: places,
	// pairs in sequence, judges a glass, and judges a pair.
	Positions, Carried, Served, Met Spread
}

// NewServing gives each judge an order of perJudge of the glasses. The design is
// that of the size; which glass is which of the design, and which judge has which
// of its rows, is by draw, which gives a whole number from 0 to n-1, each equally
// likely.
//
// Errors: colour.FieldErrors at glasses, per_judge, judges and draw.
func NewServing(glasses, perJudge, judges int, draw func(n int) int) (Serving, error) {
	if err := servable(glasses, perJudge, judges, draw).Err(); err != nil {
		return Serving{}, fmt.Errorf("panel: %w", err)
	}
	d := drawer{draw: draw}
	s := Serving{Kind: Williams}
	full := 0
	if perJudge == glasses {
		s.Orders, full = williamsOrders(glasses, judges, &d), squareRows(glasses)
	} else {
		var blocks [][]int
		if blocks, full = incompleteBlocks(glasses, perJudge, judges); full > 0 && judges%full == 0 {
			s.Kind = BalancedIncomplete
		} else {
			s.Kind = NearBalanced
		}
		s.Orders = relabelled(ordered(glasses, blocks), d.permutation(glasses))
	}
	shuffle(&d, s.Orders)
	if err := d.faults.Err(); err != nil {
		return Serving{}, fmt.Errorf("panel: %w", err)
	}
	for n := full; full > 0; n += full {
		s.FullFor = append(s.FullFor, n)
		if n >= judges {
			break
		}
	}
	s.count(glasses, perJudge)
	return s, nil
}

func servable(glasses, perJudge, judges int, draw func(n int) int) colour.FieldErrors {
	var faults colour.FieldErrors
	if glasses < FewestGlasses || glasses > MostGlasses {
		faults.Addf("glasses", glasses, "a panel compares %d to %d glasses", FewestGlasses, MostGlasses)
	}
	if most := min(glasses, MostPerJudge); perJudge < 2 || perJudge > most {
		faults.Addf("per_judge", perJudge, "each judge has 2 to %d of the glasses", max(2, most))
	}
	if judges < FewestJudges || judges > MostJudges {
		faults.Addf("judges", judges, "a panel has %d to %d judges", FewestJudges, MostJudges)
	}
	if draw == nil {
		faults.Addf("draw", nil, "a source of random numbers is needed")
	}
	if len(faults) > 0 {
		return faults
	}
	if need := fewestFor(glasses, perJudge); judges < need {
		faults.Addf("judges", judges, "%d glasses, %d with each judge, hang together only with %d judges or more: "+
			"with fewer some glasses could not be compared", glasses, perJudge, need)
	}
	return faults
}

// fewestFor is how many judges tie all glasses together: each further judge
// shares one glass with those before.
func fewestFor(glasses, perJudge int) int {
	return (glasses - 1 + perJudge - 2) / (perJudge - 1)
}

// relabelled gives the orders with each glass named anew.
func relabelled(orders [][]int, names []int) [][]int {
	out := make([][]int, len(orders))
	for j, o := range orders {
		out[j] = make([]int, len(o))
		for p, g := range o {
			out[j][p] = names[g]
		}
	}
	return out
}

// count fills in how even the orders are.
func (s *Serving) count(glasses, perJudge int) {
	s.PositionCounts = counts(glasses, perJudge)
	s.CarryOver = counts(glasses, glasses)
	s.Together = counts(glasses, glasses)
	for _, order := range s.Orders {
		for p, g := range order {
			s.PositionCounts[g][p]++
			if p > 0 {
				s.CarryOver[order[p-1]][g]++
			}
			for _, other := range order {
				s.Together[g][other]++
			}
		}
	}
	s.Positions = spread(s.PositionCounts, everywhere)
	s.Carried = spread(s.CarryOver, besides)
	s.Met = spread(s.Together, besides)
	s.Served = spread(s.Together, func(i, j int) bool { return i == j })
}

func counts(rows, columns int) [][]int {
	table := make([][]int, rows)
	for i := range table {
		table[i] = make([]int, columns)
	}
	return table
}

func everywhere(int, int) bool { return true }
func besides(i, j int) bool    { return i != j }

func spread(table [][]int, counted func(i, j int) bool) Spread {
	var s Spread
	first := true
	for i, row := range table {
		for j, n := range row {
			if !counted(i, j) {
				continue
			}
			if first {
				s, first = Spread{n, n}, false
			}
			s.Least, s.Most = min(s.Least, n), max(s.Most, n)
		}
	}
	return s
}

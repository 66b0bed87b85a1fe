package panel_test

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"pourpath/colour/panel"
)

// seeded is a repeatable draw.
func seeded(seed uint64) func(int) int { return rand.New(rand.NewPCG(seed, 1)).IntN }

func itoa(n int) string { return strconv.Itoa(n) }

// serve is a serving that must succeed, looked at for what every serving has:
// each judge has perJudge different glasses, and the counts are the orders' own.
func serve(t *testing.T, glasses, perJudge, judges int, seed uint64) panel.Serving {
	t.Helper()
	s, err := panel.NewServing(glasses, perJudge, judges, seeded(seed))
	if err != nil {
		t.Fatalf("%d glasses, %d for each of %d judges: %v", glasses, perJudge, judges, err)
	}
	if len(s.Orders) != judges {
		t.Fatalf("%d orders for %d judges", len(s.Orders), judges)
	}
	for j, order := range s.Orders {
		had := slices.Clone(order)
		slices.Sort(had)
		if had = slices.Compact(had); len(had) != perJudge || had[0] < 0 || had[len(had)-1] >= glasses {
			t.Fatalf("judge %d has %v, want %d different glasses of %d", j, order, perJudge, glasses)
		}
	}
	return s
}

// carried counts by the definition, apart from the package: how often second
// comes directly after first.
func carried(orders [][]int, first, second int) (n int) {
	for _, o := range orders {
		for p := 1; p < len(o); p++ {
			if o[p-1] == first && o[p] == second {
				n++
			}
		}
	}
	return n
}

func standing(orders [][]int, glass, place int) (n int) {
	for _, o := range orders {
		if o[place] == glass {
			n++
		}
	}
	return n
}

func met(orders [][]int, a, b int) (n int) {
	for _, o := range orders {
		if slices.Contains(o, a) && slices.Contains(o, b) {
			n++
		}
	}
	return n
}

// TestWilliams counts first-order carry-over for every number of glasses from 2
// to 12 (Williams 1949): each ordered pair equally often, each glass equally
// often at each place; by one square where the number is even, two where odd.
func TestWilliams(t *testing.T) {
	for glasses := 2; glasses <= 12; glasses++ {
		rows := glasses
		if glasses%2 == 1 {
			rows = 2 * glasses
		}
		for _, designs := range []int{1, 2, 3} {
			s := serve(t, glasses, glasses, designs*rows, uint64(glasses))
			each := designs * rows / glasses
			if s.Kind != panel.Williams || s.FullFor[0] != rows || !s.Carried.Even() || !s.Positions.Even() {
				t.Errorf("%d glasses: %v, full for %v, carry-over %v, places %v", glasses, s.Kind, s.FullFor, s.Carried, s.Positions)
			}
			for a := range glasses {
				for b := range glasses {
					if got := carried(s.Orders, a, b); a != b && got != each || s.CarryOver[a][b] != got {
						t.Errorf("%d glasses, %d judges: %d follows %d %d times, want %d (told %d)", glasses, len(s.Orders), b, a, got, each, s.CarryOver[a][b])
					}
					if got := standing(s.Orders, a, b); got != each || s.PositionCounts[a][b] != got {
						t.Errorf("%d glasses: %d stands %d times at place %d, want %d", glasses, a, got, b, each)
					}
				}
			}
		}
	}
}

// TestWilliamsBegun: where judges do not fill a design no glass stands twice more
// often at a place than another, and none follows another more than twice as often
// as it must.
func TestWilliamsBegun(t *testing.T) {
	for glasses := 2; glasses <= 12; glasses++ {
		for judges := 2; judges <= 30; judges++ {
			s := serve(t, glasses, glasses, judges, uint64(judges))
			if s.Positions.Most-s.Positions.Least > 1 || s.Carried.Most-s.Carried.Least > 2 || glasses%2 == 0 && s.Carried.Most-s.Carried.Least > 1 {
				t.Errorf("%d glasses, %d judges: places %v, carry-over %v", glasses, judges, s.Positions, s.Carried)
			}
		}
	}
}

// TestBalancedIncomplete counts every known design up to 12 glasses by the
// definition: judges a glass r, judges a pair λ, with r(k-1) = λ(t-1).
func TestBalancedIncomplete(t *testing.T) {
	// Judges needed: Cochran, Cox, Experimental Designs, 2nd ed., table 11.3, where
	// it has the size (from memory); else all combinations.
	needed := map[[2]int]int{
		{3, 2}: 3, {4, 2}: 6, {4, 3}: 4, {5, 2}: 10, {5, 3}: 10, {5, 4}: 5,
		{6, 2}: 15, {6, 3}: 10, {6, 4}: 15, {6, 5}: 6, {7, 2}: 21, {7, 3}: 7, {7, 4}: 7, {7, 5}: 21, {7, 6}: 7,
		{8, 2}: 28, {8, 3}: 56, {8, 4}: 14, {8, 5}: 56, {8, 6}: 28, {8, 7}: 8,
		{9, 2}: 36, {9, 3}: 12, {9, 4}: 18, {9, 5}: 18, {9, 6}: 12, {9, 7}: 36, {9, 8}: 9,
		{10, 2}: 45, {10, 3}: 30, {10, 4}: 15, {10, 5}: 18, {10, 6}: 15, {10, 7}: 30, {10, 8}: 45, {10, 9}: 10,
		{11, 2}: 55, {11, 3}: 55, {11, 4}: 55, {11, 5}: 11, {11, 6}: 11, {11, 7}: 55, {11, 8}: 55, {11, 9}: 55, {11, 10}: 11,
		{12, 2}: 66, {12, 3}: 44, {12, 4}: 33, {12, 6}: 22, {12, 8}: 33, {12, 9}: 44, {12, 10}: 66, {12, 11}: 12,
	}
	for size, judges := range needed {
		glasses, perJudge := size[0], size[1]
		s := serve(t, glasses, perJudge, judges, 3)
		r, lambda := judges*perJudge/glasses, judges*perJudge*(perJudge-1)/(glasses*(glasses-1))
		if s.Kind != panel.BalancedIncomplete || s.FullFor[0] != judges {
			t.Errorf("%v: %v, full for %v, want %d judges", size, s.Kind, s.FullFor, judges)
		}
		for a := range glasses {
			for b := range glasses {
				want := lambda
				if a == b {
					want = r
				}
				if got := met(s.Orders, a, b); got != want || s.Together[a][b] != got {
					t.Errorf("%v: glasses %d and %d are with %d judges, want %d", size, a, b, got, want)
				}
			}
		}
		if s.Positions.Most-s.Positions.Least > 1 || s.Carried.Most-s.Carried.Least > 4 {
			t.Errorf("%v: places %v, carry-over %v", size, s.Positions, s.Carried)
		}
	}
	// 792 judges for 5 of 12: nobody has them, so that it is no design of ours.
	if s := serve(t, 12, 5, 24, 3); s.Kind != panel.NearBalanced || s.FullFor != nil {
		t.Errorf("5 of 12: %v, full for %v", s.Kind, s.FullFor)
	}
}

// TestNearBalanced: at any count of judges each glass is with equally many but
// one, stands equally often but one at each place, no pair is with over four
// judges more than another, and all hang together.
func TestNearBalanced(t *testing.T) {
	for _, glasses := range []int{3, 5, 6, 8, 9, 12, 20} {
		for perJudge := 2; perJudge < min(glasses, panel.MostPerJudge); perJudge += 3 {
			for _, judges := range []int{5, 10, 13, 31} {
				s, err := panel.NewServing(glasses, perJudge, judges, seeded(5))
				if err != nil && judges*(perJudge-1) < glasses-1 {
					continue // told in TestServingRefused
				}
				if err != nil {
					t.Fatal(err)
				}
				if s.Served.Most-s.Served.Least > 1 || s.Positions.Most-s.Positions.Least > 1 {
					t.Errorf("%d of %d, %d judges: served %v, places %v", perJudge, glasses, judges, s.Served, s.Positions)
				}
				if s.Met.Most-s.Met.Least > 4 {
					t.Errorf("%d of %d, %d judges: pairs %v", perJudge, glasses, judges, s.Met)
				}
				if !reachable(s.Orders, glasses) {
					t.Errorf("%d of %d, %d judges: some glasses cannot be compared", perJudge, glasses, judges)
				}
			}
		}
	}
}

// reachable goes from glass 0 by way of shared judges.
func reachable(orders [][]int, glasses int) bool {
	at := map[int]bool{0: true}
	for range glasses {
		for _, o := range orders {
			if slices.ContainsFunc(o, func(g int) bool { return at[g] }) {
				for _, g := range o {
					at[g] = true
				}
			}
		}
	}
	return len(at) == glasses
}

// TestServingDraws: the same draw gives the same orders, another draw others, and
// over many draws each glass is as likely first for the first judge.
func TestServingDraws(t *testing.T) {
	for _, perJudge := range []int{4, 6} {
		a, b := serve(t, 6, perJudge, 6, 1), serve(t, 6, perJudge, 6, 2)
		again := serve(t, 6, perJudge, 6, 1)
		if slices.EqualFunc(a.Orders, b.Orders, slices.Equal) || !slices.EqualFunc(a.Orders, again.Orders, slices.Equal) {
			t.Error("orders are not those of the draw")
		}
		var first [6]int
		const draws = 300
		for seed := range uint64(draws) {
			first[serve(t, 6, perJudge, 6, seed).Orders[0][0]]++
		}
		for g, n := range first {
			if n < 50-26 || n > 50+26 { // binomial: 50 ± 6.5
				t.Errorf("glass %d is first for the first judge in %d of %d", g, n, draws)
			}
		}
	}
}

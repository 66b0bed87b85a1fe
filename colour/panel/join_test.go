package panel

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// TestJoin: who joins gets orders of the same glasses, those that were given out
// stay, and a square that was broken off is as even at its end as one that was
// drawn at once, within one.
func TestJoin(t *testing.T) {
	for _, c := range []struct{ glasses, perJudge, first, then int }{
		{4, 4, 2, 2}, {4, 4, 4, 4}, {5, 5, 3, 7}, {6, 6, 5, 1}, {7, 3, 4, 3}, {6, 4, 3, 9}, {2, 2, 2, 1},
	} {
		r := rand.New(rand.NewPCG(1, uint64(c.glasses)))
		begun, err := NewServing(c.glasses, c.perJudge, c.first, r.IntN)
		if err != nil {
			t.Fatal(err)
		}
		grown, err := Join(begun.Orders, c.glasses, c.perJudge, c.then, r.IntN)
		if err != nil {
			t.Fatal(err)
		}
		if len(grown.Orders) != c.first+c.then || !slices.EqualFunc(grown.Orders[:c.first], begun.Orders, slices.Equal) {
			t.Errorf("%v: orders %v after %v", c, grown.Orders, begun.Orders)
		}
		for name, s := range map[string]Spread{"judges a glass": grown.Served, "places": grown.Positions} {
			if s.Most-s.Least > 2 {
				t.Errorf("%v: %s from %d to %d", c, name, s.Least, s.Most)
			}
		}
	}
}

// TestJoinChooses: of the orders that there are, the one that evens places out is
// taken.
func TestJoinChooses(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		s, err := Join([][]int{{0, 1}}, 2, 2, 1, r.IntN)
		if err != nil || !slices.Equal(s.Orders[1], []int{1, 0}) {
			t.Fatalf("after A, B comes %v, %v", s.Orders, err)
		}
	}
}

// TestServingOf: what was drawn is counted as it was when it was drawn, and what is
// no serving is refused.
func TestServingOf(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	drawn, err := NewServing(5, 5, 10, r.IntN)
	if err != nil {
		t.Fatal(err)
	}
	got, err := ServingOf(drawn.Orders, 5, 5)
	if err != nil || got.Carried != drawn.Carried || !got.Carried.Even() || got.Kind != Williams || !slices.Equal(got.FullFor, drawn.FullFor) {
		t.Errorf("%+v, %v, want %+v", got, err, drawn)
	}
	for name, orders := range map[string][][]int{"twice": {{0, 0, 1}}, "none such": {{0, 1, 3}}, "short": {{0, 1}}} {
		if _, err := ServingOf(orders, 3, 3); err == nil {
			t.Errorf("%s: %v is taken", name, orders)
		}
	}
}

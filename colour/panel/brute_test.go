package panel_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pourpath/colour/panel"
)

// everyOrder calls each with every table that comes of putting each judge's own
// answers in any order; one glass never moves to another judge.
func everyOrder(answers [][]float64, each func([][]float64)) {
	table := make([][]float64, len(answers))
	var judge func(j int)
	judge = func(j int) {
		if j == len(answers) {
			each(table)
			return
		}
		var at []int
		for g, v := range answers[j] {
			if !math.IsNaN(v) {
				at = append(at, g)
			}
		}
		table[j] = slices.Clone(answers[j])
		var place func(i int, left []float64)
		place = func(i int, left []float64) {
			if i == len(at) {
				judge(j + 1)
				return
			}
			for k, v := range left {
				table[j][at[i]] = v
				place(i+1, append(slices.Clone(left[:k]), left[k+1:]...))
			}
		}
		given := make([]float64, len(at))
		for i, g := range at {
			given[i] = answers[j][g]
		}
		place(0, given)
	}
	judge(0)
}

// squares and trendSum are by the definition, from ranks that already are means
// of places: the sum of squares of rank sums, which Friedman's and Durbin's
// statistics rise with, and Page's L.
func squares(ranks [][]float64) (sum float64) {
	for g := range ranks[0] {
		var s float64
		for _, r := range ranks {
			if !math.IsNaN(r[g]) {
				s += r[g]
			}
		}
		sum += s * s
	}
	return sum
}

func trendSum(ranks [][]float64) (sum float64) {
	for _, r := range ranks {
		n := 0.0
		for _, v := range r {
			if !math.IsNaN(v) {
				n++
			}
		}
		for g, v := range r {
			if !math.IsNaN(v) {
				sum += float64(g+1) * (n + 1 - v)
			}
		}
	}
	return sum
}

// TestBruteForce counts every order for small panels: the exact p of the package,
// which adds judges up, is the share of orders at least as extreme.
func TestBruteForce(t *testing.T) {
	blank := math.NaN()
	for name, answers := range map[string][][]float64{
		"3 judges, 3 glasses":      {{1, 2, 3}, {1, 3, 2}, {2, 1, 3}},
		"4 judges, 3 glasses":      {{1, 2, 3}, {1, 2, 3}, {1, 3, 2}, {3, 2, 1}},
		"3 judges, 4 glasses":      {{1, 2, 3, 4}, {2, 1, 3, 4}, {1, 2, 4, 3}},
		"2 judges, 5 glasses":      {{1, 2, 3, 4, 5}, {2, 1, 3, 5, 4}},
		"alike":                    {{1, 2.5, 2.5, 4}, {2, 2, 2, 4}, {1, 2, 3, 4}},
		"one judge finds no order": {{2, 2, 2}, {1, 2, 3}, {1.5, 1.5, 3}, {1, 3, 2}},
		"incomplete":               {{1, 2, blank}, {blank, 1, 2}, {1, blank, 2}, {2, 1, blank}, {blank, 1, 2}, {1, blank, 2}},
		"ice cream":                iceCream(),
		"3 of 4":                   {{1, 2, 3, blank}, {blank, 1, 2, 3}, {1, blank, 2, 3}, {2, 1, blank, 3}},
	} {
		r := analysed(t, answers, panel.Ranks)
		var orders, apart, more, less, far float64
		s, l := squares(answers), trendSum(answers)
		everyOrder(answers, func(ranks [][]float64) {
			orders++
			count := func(n *float64, extreme bool) {
				if extreme {
					*n++
				}
			}
			count(&apart, squares(ranks) >= s-1e-9)
			got := trendSum(ranks)
			count(&more, got >= l-1e-9)
			count(&less, got <= l+1e-9)
			count(&far, math.Abs(got-r.Trend.Expected) >= math.Abs(l-r.Trend.Expected)-1e-9)
		})
		if r.Difference.By != panel.ByExact || r.Trend.By != panel.ByExact {
			t.Errorf("%s: by %s and %s", name, r.Difference.By, r.Trend.By)
		}
		what := func(p string) string { return fmt.Sprintf("%s (%g orders): %s", name, orders, p) }
		agrees(t, what("L"), r.Trend.L, l, 1e-9)
		agrees(t, what("difference"), r.Difference.P, apart/orders, 1e-12)
		agrees(t, what("trend"), r.Trend.P, far/orders, 1e-12)
		agrees(t, what("more"), r.Trend.PMore, more/orders, 1e-12)
		agrees(t, what("less"), r.Trend.PLess, less/orders, 1e-12)
	}
}

// TestSimulationNearExact: what is drawn is what would be counted. The ten judges
// of five glasses are too many to count; the chi-square and the normal
// distribution are near for them.
func TestSimulationNearExact(t *testing.T) {
	var answers [][]float64
	draw := seeded(11)
	for range 10 {
		row := []float64{1, 2, 3, 4, 5}
		for i := range row {
			k := i + draw(len(row)-i)
			row[i], row[k] = row[k], row[i]
		}
		if draw(2) == 0 {
			row = []float64{1, 2, 3, 4, 5}
		}
		answers = append(answers, row)
	}
	r := analysed(t, answers, panel.Ranks)
	if r.Difference.By != panel.BySimulation {
		t.Fatalf("by %s", r.Difference.By)
	}
	agrees(t, "p", r.Difference.P, r.Difference.PApproximate, 0.25*r.Difference.PApproximate+0.002)
	again := analysed(t, answers, panel.Ranks)
	if again.Difference != r.Difference || *again.Trend != *r.Trend || *again.Power.OneGlass != *r.Power.OneGlass {
		t.Error("the same answers have another result")
	}
}

package panel

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Panels whose judges prefer nothing, and how many are made up.
const nullPanels = 10_000

// design is which glasses each judge has.
func design(t *testing.T, glasses, perJudge, judges int) judged {
	t.Helper()
	s, err := NewServing(glasses, perJudge, judges, rand.New(rand.NewPCG(5, 5)).IntN)
	if err != nil {
		t.Fatal(err)
	}
	j := complete(judges, glasses)
	for i, order := range s.Orders {
		order = slices.Clone(order)
		slices.Sort(order)
		j.blocks[i].glasses = order
	}
	return j.untied()
}

// rate compares a count with its probability, by four standard errors of a
// binomial count.
func rate(t *testing.T, what string, got, want float64) {
	t.Helper()
	se := math.Sqrt(want * (1 - want) / nullPanels)
	t.Logf("%s: %.4f, by counting %.4f ± %.4f", what, got, want, se)
	if math.Abs(got-want) > 4*se {
		t.Errorf("%s: %.4f of %d, want %.4f ± %.4f", what, got, nullPanels, want, se)
	}
}

// holds wants a rate that is no more than the level, by four standard errors, and
// shows that it is not far below it for another reason than few judges.
func holds(t *testing.T, what string, got, level, least float64) {
	t.Helper()
	se := math.Sqrt(level * (1 - level) / nullPanels)
	t.Logf("%s: %.4f, level %.2f ± %.4f", what, got, level, se)
	if got > level+4*se || got < least {
		t.Errorf("%s: %.4f of %d, want up to %.2f ± %.4f and at least %.4f", what, got, nullPanels, level, se, least)
	}
}

// mostEither is in how many panels without preference a difference or a trend is found: the
// tests have each their own level, and agree in part.
const mostEither = 0.1

// TestLevel: under no difference, glasses are found to differ, or a trend to be
// there, in as many of 10,000 made-up panels as is said. Without ties the orders
// that are found have a probability that is known; it is at or below the level,
// because few judges have few possible results.
func TestLevel(t *testing.T) {
	const level = DefaultLevel
	for name, j := range map[string]judged{
		"3 judges, 3 glasses":              complete(3, 3),
		"5 judges, 3 glasses":              complete(5, 3),
		"8 judges, 4 glasses":              complete(8, 4),
		"10 judges, 5 glasses (simulated)": complete(10, 5),
		"30 judges, 8 glasses (simulated)": complete(30, 8),
		"7 judges, 3 of 7":                 design(t, 7, 3, 7),
		"18 judges, 4 of 9 (simulated)":    design(t, 9, 4, 18),
		"10 judges, 4 of 7, uneven":        design(t, 7, 4, 10),
	} {
		q := newQuadratic(j)
		null := differenceNull(j, q)
		places := twiceRanks(j.doses)
		page := pageNull(j, places)
		critical, can := null.critical(level)
		apart, _ := page.apart.critical(level)
		var expected float64
		for _, b := range j.blocks {
			mean, _ := pageMoments(b, places)
			expected += mean
		}
		r := rand.New(rand.NewPCG(99, 1))
		chiSquare := distuv.ChiSquared{K: float64(q.degrees)}
		differ, trend, either, chi := 0, 0, 0, 0
		deviations := make([]float64, len(j.doses))
		for range nullPanels {
			var l float64
			for _, b := range j.blocks {
				r.Shuffle(len(b.twice), func(i, k int) { b.twice[i], b.twice[k] = b.twice[k], b.twice[i] })
				l += pageSum(b, places)
			}
			s := q.of(q.deviations(j.blocks, deviations))
			differs, trends := null.p(s) <= level, page.apart.p(math.Abs(l-expected)) <= level
			if differs {
				differ++
			}
			if chiSquare.Survival(s) <= level {
				chi++
			}
			if trends {
				trend++
			}
			if differs || trends {
				either++
			}
		}
		want := 0.0
		if can {
			want = null.p(critical)
		}
		if want > level || page.apart.p(apart) > level {
			t.Errorf("%s: p of what is found is %g and %g", name, want, page.apart.p(apart))
		}
		rate(t, name+", difference", float64(differ)/nullPanels, want)
		rate(t, name+", trend", float64(trend)/nullPanels, page.apart.p(apart))
		// A preferred dose is told by one of the two: /method says in how many of 100.
		if share := float64(either) / nullPanels; share > mostEither {
			t.Errorf("%s: a difference or a trend in %.4f, want at most %.2f", name, share, mostEither)
		} else {
			t.Logf("%s: a difference or a trend in %.4f", name, share)
		}
		t.Logf("%s: by chi-square %.4f would be found", name, float64(chi)/nullPanels)
	}
}

// TestLevelWithTies: the same for scores of whole numbers, of which many are
// alike, through all of the reading; counted where they can be, else with fewer
// draws than usual, because the level holds for any number of draws.
func TestLevelWithTies(t *testing.T) {
	const level = DefaultLevel
	for name, c := range map[string]struct {
		judges, glasses, perJudge, scale int
		gaps, count                      float64
		least                            float64
	}{
		"5 judges, 3 glasses, 0 to 4":           {5, 3, 3, 5, 0, affordable, 0.03},
		"4 judges, 4 glasses, 0 to 2":           {4, 4, 4, 3, 0, affordable, 0.025},
		"4 judges, 3 glasses, all but one same": {4, 3, 3, 2, 0, affordable, 0.0008},
		"12 judges, 6 glasses, 0 to 9":          {12, 6, 6, 10, 0, 0, 0.035},
		"10 judges, 3 of 6, 0 to 5":             {10, 6, 3, 6, 0, 0, 0.035},
		"10 judges, 5 glasses, 0 to 9, gaps":    {10, 5, 5, 10, 0.15, 0, 0.035},
	} {
		var served judged
		if c.perJudge < c.glasses {
			served = design(t, c.glasses, c.perJudge, c.judges)
		} else {
			served = complete(c.judges, c.glasses)
		}
		r := rand.New(rand.NewPCG(98, 2))
		differ, trends := 0, 0
		for range nullPanels {
			table := Table{Doses: served.doses}
			for _, b := range served.blocks {
				row := slices.Repeat([]float64{math.NaN()}, c.glasses)
				for _, g := range b.glasses {
					if r.Float64() >= c.gaps {
						row[g] = float64(r.IntN(c.scale))
					}
				}
				table.Answers = append(table.Answers, row)
			}
			j, err := read(table, Options{Kind: Scores, To: float64(c.scale - 1), Level: level})
			if err != nil {
				t.Fatal(err)
			}
			j.count, j.simulate = c.count, 99
			if difference(j, newQuadratic(j), level).Found {
				differ++
			}
			if trend(j, level).Found {
				trends++
			}
		}
		holds(t, name+", difference", float64(differ)/nullPanels, level, c.least)
		holds(t, name+", trend", float64(trends)/nullPanels, level, c.least)
	}
}

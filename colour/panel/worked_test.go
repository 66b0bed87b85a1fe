package panel_test

import (
	"math"
	"testing"

	"pourpath/colour/panel"
)

func agrees(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.9g, want %.9g ± %g", what, got, want, within)
	}
}

// doses are 0, 1, 2 ... for tests in which only their order counts.
func doses(n int) []float64 {
	d := make([]float64, n)
	for i := range d {
		d[i] = float64(i)
	}
	return d
}

// analysed is the result of answers; scores are on a scale that has room for all.
func analysed(t *testing.T, answers [][]float64, kind panel.Answer) panel.Result {
	t.Helper()
	r, err := panel.Analyse(panel.Table{Doses: doses(len(answers[0])), Answers: answers},
		panel.Options{Kind: kind, Ties: true, From: -1e6, To: 1e6, Level: panel.DefaultLevel})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// firstBase has the seconds that 22 players took to round first base by three
// methods (Hollander, Wolfe 1999, table 7.1; the data of R's example of
// friedman.test).
func firstBase() [][]float64 {
	return [][]float64{
		{5.40, 5.50, 5.55}, {5.85, 5.70, 5.75}, {5.20, 5.60, 5.50}, {5.55, 5.50, 5.40}, {5.90, 5.85, 5.70},
		{5.45, 5.55, 5.60}, {5.40, 5.40, 5.35}, {5.45, 5.50, 5.35}, {5.25, 5.15, 5.00}, {5.85, 5.80, 5.70},
		{5.25, 5.20, 5.10}, {5.65, 5.55, 5.45}, {5.60, 5.35, 5.45}, {5.05, 5.00, 4.95}, {5.50, 5.50, 5.40},
		{5.45, 5.55, 5.50}, {5.55, 5.55, 5.35}, {5.45, 5.50, 5.55}, {5.50, 5.45, 5.25}, {5.65, 5.60, 5.40},
		{5.70, 5.65, 5.55}, {6.30, 6.30, 6.25},
	}
}

// TestFirstBase: Friedman chi-squared = 11.143, df = 2, p-value = 0.003805, as R's
// example prints (R 4.2.2); it has ties. Rank sums 53, 47, 32 (Hollander, Wolfe
// 1999, from memory) are of the shortest time first, here of the highest score.
func TestFirstBase(t *testing.T) {
	r := analysed(t, firstBase(), panel.Scores)
	if r.Difference.Name != panel.Friedman || r.Difference.Degrees != 2 || !r.Difference.Found {
		t.Errorf("%+v", r.Difference)
	}
	agrees(t, "chi-square", r.Difference.Statistic, 11.143, 0.0005)
	agrees(t, "p", r.Difference.PApproximate, 0.003805, 5e-7)
	agrees(t, "W", *r.Agreement, r.Difference.Statistic/44, 1e-12)
	for g, want := range []float64{53, 47, 32} {
		agrees(t, "rank sum", 88-r.Glasses[g].RankSum, want, 0)
	}
}

// iceCream is Conover's balanced incomplete block of seven judges and seven
// varieties, three each (Conover 1999, p. 391).
func iceCream() [][]float64 {
	varieties := [][3]int{{0, 1, 3}, {1, 2, 4}, {2, 3, 5}, {3, 4, 6}, {0, 4, 5}, {1, 5, 6}, {0, 2, 6}}
	ranks := [][3]float64{{2, 3, 1}, {3, 1, 2}, {2, 1, 3}, {1, 2, 3}, {3, 1, 2}, {3, 1, 2}, {3, 1, 2}}
	answers := make([][]float64, 7)
	for j := range answers {
		answers[j] = []float64{math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN()}
		for k, v := range varieties[j] {
			answers[j][v] = ranks[j][k]
		}
	}
	return answers
}

// TestIceCream: Durbin's T1 = 12.0 with 6 degrees of freedom, p about 0.062
// (Conover 1999, p. 391; chi-squared 12, p 0.06197 by what is published as
// examples for R). W is 1: whoever met agreed.
func TestIceCream(t *testing.T) {
	r := analysed(t, iceCream(), panel.Ranks)
	if r.Difference.Name != panel.Durbin || r.Difference.Degrees != 6 {
		t.Errorf("%+v", r.Difference)
	}
	agrees(t, "T1", r.Difference.Statistic, 12, 1e-9)
	agrees(t, "p", r.Difference.PApproximate, 0.06197, 5e-6)
	agrees(t, "W", *r.Agreement, 1, 1e-9)
	for g, want := range []float64{8, 9, 4, 3, 5, 6, 7} {
		agrees(t, "rank sum", r.Glasses[g].RankSum, want, 0)
	}
}

// TestLeastDifference: z·√(J·t(t+1)/6) for complete and z·√((k+1)(rk-r+λ)/6) for
// balanced incomplete blocks (ISO8587, from memory), z = 1.96.
func TestLeastDifference(t *testing.T) {
	r := analysed(t, [][]float64{{1, 2, 3, 4}, {2, 1, 3, 4}, {1, 2, 4, 3}, {1, 3, 2, 4}, {1, 2, 3, 4}}, panel.Ranks)
	agrees(t, "complete", *r.LeastDifference, 1.959964*math.Sqrt(5*4*5/6.), 1e-5)
	for _, p := range r.Pairs {
		d := r.Glasses[p.A].RankSum - r.Glasses[p.B].RankSum
		if *p.RankSums != d || p.Differ != (math.Abs(d) >= *r.LeastDifference) {
			t.Errorf("%+v, rank sums differ by %g, least %g", p, d, *r.LeastDifference)
		}
	}
	r = analysed(t, iceCream(), panel.Ranks)
	agrees(t, "incomplete", *r.LeastDifference, 1.959964*math.Sqrt(4*(3*3-3+1)/6.), 1e-5)
}

// TestNoPairsWithoutADifference: pairs are only said to differ once the test of all
// glasses found that some do, however far apart two are.
func TestNoPairsWithoutADifference(t *testing.T) {
	r := analysed(t, [][]float64{{1, 2, 3, 4, 5}, {2, 5, 1, 3, 4}, {1, 2, 5, 3, 4}, {2, 1, 3, 5, 4}}, panel.Ranks)
	far := 0
	for _, p := range r.Pairs {
		if math.Abs(*p.RankSums) >= *r.LeastDifference {
			far++
		}
		if p.Differ {
			t.Errorf("%+v, though nothing was found: p %g", p, r.Difference.P)
		}
	}
	if r.Difference.Found || far == 0 {
		t.Errorf("p %g with %d pairs far apart: nothing is tested", r.Difference.P, far)
	}
}

// TestScoresAndRanksAgree: the same order has the same result, however it is told.
func TestScoresAndRanksAgree(t *testing.T) {
	ranks := [][]float64{{1, 2, 2, 4}, {2, 1, 3, 4}, {1, 2, 3, 3}, {3, 1, 1, 4}, {1, 3, 2, 4}}
	shared := [][]float64{{1, 2.5, 2.5, 4}, {2, 1, 3, 4}, {1, 2, 3.5, 3.5}, {3, 1.5, 1.5, 4}, {1, 3, 2, 4}}
	scores := make([][]float64, len(ranks))
	for j := range ranks {
		for _, v := range ranks[j] {
			scores[j] = append(scores[j], 100-v*v)
		}
	}
	a, b, c := analysed(t, ranks, panel.Ranks), analysed(t, scores, panel.Scores), analysed(t, shared, panel.Ranks)
	for _, r := range []panel.Result{b, c} {
		if r.Difference != a.Difference || *r.Trend != *a.Trend || *r.LeastDifference != *a.LeastDifference {
			t.Errorf("%+v, want %+v", r.Difference, a.Difference)
		}
	}
	if a.Glasses[0].Score != nil || b.Glasses[0].Score == nil {
		t.Error("scores have means with intervals, ranks have none")
	}
}

// TestMeanScore: R 4.2.2 has x <- c(99,96,99,91,99) and, with one more judge who gives any
// score from 0 to 100, mean(x)-qt(.975,4)*sqrt((4*var(x)+100^2/12)/5/5) is 80.307511; the upper
// bound would be beyond the scale. Judges who agree have an interval too.
func TestMeanScore(t *testing.T) {
	r, err := panel.Analyse(panel.Table{Doses: doses(2), Answers: [][]float64{{99, 7}, {96, 7}, {99, 7}, {91, 7}, {99, 7}}},
		panel.Options{Kind: panel.Scores, From: 0, To: 100, Level: panel.DefaultLevel})
	if err != nil {
		t.Fatal(err)
	}
	score := r.Glasses[0].Score
	agrees(t, "mean", score.Value, 96.8, 1e-9)
	agrees(t, "lower", score.Low, 80.307511, 5e-6)
	agrees(t, "upper", score.High, 100, 0)
	if agreed := r.Glasses[1].Score; agreed.Low != 0 || agreed.High < 20 || agreed.High > 25 {
		t.Errorf("judges who agree on 7: %+v", agreed)
	}
}

// TestAllAlike: judges who find everything alike have found nothing.
func TestAllAlike(t *testing.T) {
	r := analysed(t, [][]float64{{3, 3, 3}, {5, 5, 5}, {1, 1, 1}}, panel.Scores)
	if r.Difference.P != 1 || r.Trend.P != 1 || *r.Agreement != 0 || r.LeastDifference != nil || r.Preference.Best != nil {
		t.Errorf("%+v", r)
	}
}

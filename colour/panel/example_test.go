package panel_test

import (
	"fmt"
	"math/rand/v2"

	"pourpath/colour/panel"
)

// A service draws from a cryptographic source; an example has to be repeatable.
func ExampleCodes() {
	codes, err := panel.Codes(4, rand.New(rand.NewPCG(1, 2)).IntN)
	fmt.Println(codes, err)
	// Output:
	// [996 504 138 817] <nil>
}

func ExampleNewServing() {
	s, err := panel.NewServing(4, 4, 4, rand.New(rand.NewPCG(1, 2)).IntN)
	if err != nil {
		fmt.Println(err)
		return
	}
	for judge, order := range s.Orders {
		fmt.Println("judge", judge, "has glasses", order)
	}
	fmt.Println(s.Kind, s.FullFor, "each glass follows each other", s.Carried.Least, "to", s.Carried.Most, "times")
	// Output:
	// judge 0 has glasses [3 2 1 0]
	// judge 1 has glasses [2 0 3 1]
	// judge 2 has glasses [1 3 0 2]
	// judge 3 has glasses [0 1 2 3]
	// williams [4] each glass follows each other 1 to 1 times
}

// Eight glasses are more than a judge can look at with care.
func ExampleNewServing_incomplete() {
	s, err := panel.NewServing(8, 4, 10, rand.New(rand.NewPCG(1, 2)).IntN)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Kind, "with 10 judges, complete with", s.FullFor)
	fmt.Println("a glass is with", s.Served.Least, "to", s.Served.Most, "judges, a pair with", s.Met.Least, "to", s.Met.Most)
	// Output:
	// near_balanced with 10 judges, complete with [14]
	// a glass is with 5 to 5 judges, a pair with 2 to 3
}

// Ten judges rank five glasses from 0 to 8 mL per 100 mL of base.
func ExampleAnalyse() {
	r, err := panel.Analyse(panel.Table{
		Doses: []float64{0, 2, 4, 6, 8},
		Answers: [][]float64{
			{5, 2, 1, 3, 4}, {4, 3, 1, 2, 5}, {5, 4, 2, 1, 3}, {3, 1, 2, 4, 5}, {5, 3, 1, 2, 4},
			{4, 2, 1, 3, 5}, {5, 3, 2, 1, 4}, {2, 1, 3, 4, 5}, {5, 4, 1, 2, 3}, {4, 1, 2, 3, 5},
		},
	}, panel.Options{Kind: panel.Ranks, Level: panel.DefaultLevel})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, g := range r.Glasses {
		fmt.Printf("%g mL: rank sum %g, share %.2f (%.2f to %.2f)\n", g.DoseMLPer100ML, g.RankSum, g.Share.Value, g.Share.Low, g.Share.High)
	}
	fmt.Printf("%s: chi-square %.2f, p %.4f by %s, W %.2f\n", r.Difference.Name, r.Difference.Statistic, r.Difference.P, r.Difference.By, *r.Agreement)
	fmt.Printf("trend: L %g, p %.3f\n", r.Trend.L, r.Trend.P)
	fmt.Printf("rank sums differ from %.1f\n", *r.LeastDifference)
	fmt.Printf("preferred dose %.1f mL (%.1f to %.1f)\n", r.Preference.Best.Value, r.Preference.Best.Low, r.Preference.Best.High)
	for _, w := range r.Warnings {
		fmt.Println(w.Message)
	}
	// Output:
	// 0 mL: rank sum 42, share 0.20 (0.01 to 0.39)
	// 2 mL: rank sum 24, share 0.65 (0.44 to 0.86)
	// 4 mL: rank sum 16, share 0.85 (0.71 to 0.99)
	// 6 mL: rank sum 25, share 0.62 (0.43 to 0.82)
	// 8 mL: rank sum 43, share 0.17 (0.01 to 0.34)
	// friedman: chi-square 22.80, p 0.0000 by simulation, W 0.57
	// trend: L 447, p 0.876
	// rank sums differ from 13.9
	// preferred dose 4.0 mL (3.1 to 4.6)
	// With 10 judges one glass stands out with a probability of 80 % only if about 86 of 100 people would put it above any other one; a weaker preference is likely to be missed.
	// Each of the 10 pairs is judged at a risk of 5 % of its own: with so many, a pair may differ by chance.
}

// Three judges of three glasses who do not agree: nothing is found, and that says
// little.
func ExampleAnalyse_few() {
	r, err := panel.Analyse(panel.Table{
		Doses:   []float64{0, 3, 6},
		Answers: [][]float64{{1, 2, 3}, {2, 1, 3}, {3, 1, 2}},
	}, panel.Options{Kind: panel.Ranks, Level: panel.DefaultLevel})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, w := range r.Warnings {
		fmt.Println(w.Message)
	}
	// Output:
	// The answers do not show that the judges prefer any glass. That does not show that the glasses are alike.
	// With 3 judges and these glasses not even full agreement on one glass would be found with a probability of 80 %.
}

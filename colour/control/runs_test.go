package control_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pourpath/colour/control"
)

// TestRules: each row is a series at centre 0 and sigma 1, and where the rule
// rings: side, first ring, points.
func TestRules(t *testing.T) {
	alternating := func(n int) (v []float64) {
		for i := range n {
			v = append(v, float64(i%2)*0.5)
		}
		return v
	}
	same := func(n int, x float64) []float64 { return slices.Repeat([]float64{x}, n) }
	for _, c := range []struct {
		name   string
		rule   control.Rule
		values []float64
		want   string
	}{
		{"on the limit", control.BeyondAction, []float64{0, 3, -3}, ""},
		{"beyond", control.BeyondAction, []float64{0, 3.01, -4, 4}, "+1[1] -2[2] +3[3]"},

		{"two of three", control.TwoOfThree, []float64{0, 2.1, 0, 2.1, 0, 0}, "+3[1 3]"},
		{"two at the beginning", control.TwoOfThree, []float64{2.1, 2.1, 0}, "+1[0 1]"},
		{"two of four", control.TwoOfThree, []float64{0, 2.1, 0, 0, 2.1}, ""},
		{"on both sides", control.TwoOfThree, []float64{0, 2.1, -2.1, 0}, ""},
		{"below", control.TwoOfThree, []float64{0, -2.1, -5}, "-2[1 2]"},
		{"on the warning limit", control.TwoOfThree, []float64{2, 2, 2}, ""},
		{"goes on", control.TwoOfThree, []float64{0, 2.1, 2.1, 0, 2.1, 0, 2.1}, "+2[1 2 4 6]"},
		{"twice", control.TwoOfThree, []float64{2.1, 2.1, 0, 0, 2.1, 2.1}, "+1[0 1] +5[4 5]"},

		{"four of five", control.FourOfFive, []float64{0, 1.1, 1.1, 0, 1.1, 1.1, 0}, "+5[1 2 4 5]"},
		{"four of six", control.FourOfFive, []float64{1.1, 1.1, 0, 0, 1.1, 1.1}, ""},
		{"on one sigma", control.FourOfFive, same(9, 1), ""},

		{"seven", control.EightOneSide, same(7, 0.1), ""},
		{"eight", control.EightOneSide, same(8, -0.1), "-7[0 1 2 3 4 5 6 7]"},
		{"broken by the centre", control.EightOneSide, slices.Concat(same(7, 0.1), []float64{0}, same(7, 0.1)), ""},
		{"ten", control.NineOneSide, same(10, 0.1), "+8[0 1 2 3 4 5 6 7 8 9]"},
		{"eight are not nine", control.NineOneSide, same(8, 0.1), ""},

		{"six rising", control.SixTrend, []float64{0, -0.2, -0.1, 0, 0.1, 0.2, 0.3, 0}, "+6[1 2 3 4 5 6]"},
		{"a tie", control.SixTrend, []float64{-0.2, -0.1, 0, 0, 0.1, 0.2, 0.3}, ""},
		{"five falling", control.SixTrend, []float64{0, 0.2, 0.1, 0, -0.1, -0.2, 0.3}, ""},
		{"seven falling to the end", control.SixTrend, []float64{0.2, 0.1, 0, -0.1, -0.2, -0.3, -0.4}, "-5[0 1 2 3 4 5 6]"},
		{"up, then down", control.SixTrend, []float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.4, 0.3, 0.2, 0.1, 0}, "+5[0 1 2 3 4 5] -10[5 6 7 8 9 10]"},

		{"thirteen by turns", control.FourteenAlternating, alternating(13), ""},
		{"fourteen by turns", control.FourteenAlternating, alternating(14), " 13[0 1 2 3 4 5 6 7 8 9 10 11 12 13]"},
		{"a tie among turns", control.FourteenAlternating, slices.Concat(alternating(8), alternating(8)[1:]), ""},

		{"fourteen near", control.FifteenNear, same(14, 1), ""},
		{"fifteen near", control.FifteenNear, slices.Concat(same(8, 1), same(7, -1)), " 14[0 1 2 3 4 5 6 7 8 9 10 11 12 13 14]"},

		{"eight far on one side", control.EightFar, same(20, 1.5), ""},
		{"eight far", control.EightFar, []float64{1.5, -1.5, 1.5, 1.5, 1.5, -1.5, 1.5, 1.5, 0}, " 7[0 1 2 3 4 5 6 7]"},
		{"other side long ago", control.EightFar, slices.Concat([]float64{-1.5}, same(8, 1.5)), " 7[0 1 2 3 4 5 6 7]"},
		{"other side at last", control.EightFar, slices.Concat(same(9, 1.5), []float64{-1.5}), " 9[2 3 4 5 6 7 8 9]"},
		{"one near", control.EightFar, []float64{1.5, -1.5, 1.5, 1, 1.5, -1.5, 1.5, 1.5}, ""},
	} {
		chart, err := control.NewIndividuals(c.values, known, []control.Rule{c.rule})
		if err != nil {
			t.Fatal(c.name, err)
		}
		if got := brief(chart.Signals); got != c.want {
			t.Errorf("%s, %s: %q, want %q", c.rule, c.name, got, c.want)
		}
	}
}

func brief(signals []control.Signal) string {
	var out []string
	for _, s := range signals {
		out = append(out, fmt.Sprintf("%s%d%v", map[control.Side]string{control.Above: "+", control.Below: "-"}[s.Side], s.At, s.Points))
	}
	text := strings.Join(out, " ")
	if len(signals) > 0 && signals[0].Side == control.Neither {
		return " " + text
	}
	return text
}

// TestWithout: points left out are as though they had not been made.
func TestWithout(t *testing.T) {
	values := slices.Concat(slices.Repeat([]float64{0.5, -0.5}, 6), []float64{9}, slices.Repeat([]float64{0.5, -0.5}, 6), []float64{5})
	c, err := control.NewIndividuals(values, control.Base{First: 25, Without: []int{12}}, []control.Rule{control.BeyondAction})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "centre", c.Level.Centre, 0, 1e-12)
	near(t, "mean range", c.Ranges.Centre, 1, 1e-12)
	if c.BasePoints != 24 || len(c.Kept) != 25 || slices.Contains(c.Kept, 12) || brief(c.Signals) != "+25[25]" {
		t.Errorf("%d base points, kept %v, signals %s", c.BasePoints, c.Kept, brief(c.Signals))
	}
	if !hasWarning(c.Warnings, "few_base") || brief(c.Ranges.Signals) != "+25[24 25]" {
		t.Errorf("warnings %v, ranges %s", c.Warnings, brief(c.Ranges.Signals))
	}
}

// TestSentences: every rule has a name, and a sentence without its jargon.
func TestSentences(t *testing.T) {
	c, err := control.NewIndividuals(eventful()[0].Values, control.Base{First: 400}, append(control.Nelson(), control.EightOneSide))
	if err != nil {
		t.Fatal(err)
	}
	e, err := control.NewEWMA(eventful()[0].Values, control.Base{First: 400}, control.DefaultLambda, control.DefaultWidth)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[control.Rule]bool{}
	for _, s := range slices.Concat(c.Signals, c.Ranges.Signals, e.Signals) {
		seen[s.Rule] = true
		for _, jargon := range []string{"sigma", "zone", "EWMA", "limit of", "standard deviation", "%!"} {
			if strings.Contains(s.Text, jargon) || !strings.HasSuffix(s.Text, ".") {
				t.Errorf("%s: %q", s.Rule, s.Text)
			}
		}
		if s.Rule.Name() == "" || !slices.Contains(s.Points, s.At) {
			t.Errorf("%s: named %q, rings at %d of %v", s.Rule, s.Rule.Name(), s.At, s.Points)
		}
	}
	if len(seen) != 11 {
		t.Errorf("%d rules seen, want 11: %v", len(seen), seen)
	}
}

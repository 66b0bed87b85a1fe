package panel_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pourpath/colour"
	"pourpath/colour/panel"
)

// refused looks for words at a place of the faults.
func refused(t *testing.T, name string, err error, field, words string) {
	t.Helper()
	var faults colour.FieldErrors
	if !errors.As(err, &faults) || !strings.HasPrefix(err.Error(), "panel: ") {
		t.Errorf("%s: %v, want faults", name, err)
		return
	}
	if !slices.ContainsFunc(faults, func(f colour.FieldError) bool { return f.Field == field && strings.Contains(f.Message, words) }) {
		t.Errorf("%s: %v; want %q at %q", name, err, words, field)
	}
}

func TestCodesRefused(t *testing.T) {
	for name, c := range map[string]struct {
		n            int
		draw         func(int) int
		field, words string
	}{
		"none":      {0, seeded(1), "n", "1 to 900"},
		"too many":  {901, seeded(1), "n", "1 to 900"},
		"no draw":   {3, nil, "draw", "source of random numbers"},
		"bad draw":  {3, func(n int) int { return n }, "draw", "0 to 899"},
		"neg. draw": {3, func(int) int { return -1 }, "draw", "0 to 899"},
	} {
		_, err := panel.Codes(c.n, c.draw)
		refused(t, name, err, c.field, c.words)
	}
}

func TestServingRefused(t *testing.T) {
	for name, c := range map[string]struct {
		glasses, perJudge, judges int
		draw                      func(int) int
		field, words              string
	}{
		"one glass":     {1, 1, 5, seeded(1), "glasses", "2 to 24"},
		"25 glasses":    {25, 5, 9, seeded(1), "glasses", "2 to 24"},
		"one each":      {5, 1, 5, seeded(1), "per_judge", "2 to 5"},
		"more than all": {5, 6, 5, seeded(1), "per_judge", "2 to 5"},
		"13 each":       {14, 13, 5, seeded(1), "per_judge", "2 to 12"},
		"one judge":     {5, 5, 1, seeded(1), "judges", "2 to 200"},
		"201 judges":    {5, 5, 201, seeded(1), "judges", "2 to 200"},
		"untied":        {9, 3, 3, seeded(1), "judges", "4 judges or more"},
		"no draw":       {5, 5, 5, nil, "draw", "source"},
		"bad draw":      {5, 5, 5, func(int) int { return 99 }, "draw", "from 0 to"},
	} {
		_, err := panel.NewServing(c.glasses, c.perJudge, c.judges, c.draw)
		refused(t, name, err, c.field, c.words)
	}
	// The fewest judges that do tie all glasses together are served.
	for glasses := 3; glasses <= 24; glasses++ {
		for perJudge := 2; perJudge < min(glasses, 13); perJudge++ {
			fewest := max(2, (glasses-2)/(perJudge-1)+1)
			if s := serve(t, glasses, perJudge, fewest, 1); !reachable(s.Orders, glasses) {
				t.Errorf("%d of %d, %d judges: some glasses cannot be compared", perJudge, glasses, fewest)
			}
		}
	}
}

// TestAnalyseRefused: each row is at fault in one place, and is told what would be
// right.
func TestAnalyseRefused(t *testing.T) {
	blank := math.NaN()
	good := panel.Options{Kind: panel.Ranks, Level: 0.05}
	scores := panel.Options{Kind: panel.Scores, From: 0, To: 10, Level: 0.05}
	three := [][]float64{{1, 2, 3}, {2, 1, 3}}
	for name, c := range map[string]struct {
		table        panel.Table
		options      panel.Options
		field, words string
	}{
		"no kind":          {panel.Table{Doses: doses(3), Answers: three}, panel.Options{Level: 0.05}, "kind", `"ranks" or "scores"`},
		"no level":         {panel.Table{Doses: doses(3), Answers: three}, panel.Options{Kind: panel.Ranks}, "level", "0.001 to 0.2"},
		"level NaN":        {panel.Table{Doses: doses(3), Answers: three}, panel.Options{Kind: panel.Ranks, Level: blank}, "level", "0.001 to 0.2"},
		"one glass":        {panel.Table{Doses: doses(1), Answers: [][]float64{{1}, {1}}}, good, "doses", "2 to 24 glasses"},
		"dose below 0":     {panel.Table{Doses: []float64{0, -1, 2}, Answers: three}, good, "doses/1", "0 or more"},
		"dose NaN":         {panel.Table{Doses: []float64{0, 1, blank}, Answers: three}, good, "doses/2", "0 or more"},
		"nobody":           {panel.Table{Doses: doses(3)}, good, "answers", "2 judges or more"},
		"one judge":        {panel.Table{Doses: doses(3), Answers: three[:1]}, good, "answers", "2 judges or more"},
		"one answer":       {panel.Table{Doses: doses(3), Answers: [][]float64{{1, 2, 3}, {1, blank, blank}}}, good, "answers", "two glasses or more"},
		"too many":         {panel.Table{Doses: doses(3), Answers: slices.Repeat(three, 101)}, good, "answers", "up to 200"},
		"short row":        {panel.Table{Doses: doses(3), Answers: [][]float64{{1, 2, 3}, {2, 1}}}, good, "answers/1", "each of the 3 glasses"},
		"rank 0":           {panel.Table{Doses: doses(3), Answers: [][]float64{{0, 1, 2}, {2, 1, 3}}}, good, "answers/0/0", "from 1, the first, to 3"},
		"rank 4 of 3":      {panel.Table{Doses: doses(3), Answers: [][]float64{{1, 2, 3}, {2, 1, 4}}}, good, "answers/1/2", "from 1, the first, to 3"},
		"tie":              {panel.Table{Doses: doses(3), Answers: [][]float64{{1, 2, 2}, {2, 1, 3}}}, good, "answers/0/2", "glass at 1 has rank 2 too"},
		"infinite score":   {panel.Table{Doses: doses(3), Answers: [][]float64{{1, 2, math.Inf(1)}, {2, 1, 3}}}, scores, "answers/0/2", "finite"},
		"below the scale":  {panel.Table{Doses: doses(3), Answers: [][]float64{{1, -2, 2}, {2, 1, 3}}}, scores, "answers/0/1", "from 0 to 10"},
		"beyond the scale": {panel.Table{Doses: doses(3), Answers: [][]float64{{1, 2, 2}, {2, 1, 11}}}, scores, "answers/1/2", "from 0 to 10"},
		"no scale":         {panel.Table{Doses: doses(3), Answers: three}, panel.Options{Kind: panel.Scores, Level: 0.05}, "to", "above 0"},
		"a glass alone":    {panel.Table{Doses: doses(3), Answers: [][]float64{{1, 2, blank}, {2, 1, blank}, {blank, blank, 1}}}, good, "doses/2", "leave it out"},
		"two groups":       {panel.Table{Doses: doses(4), Answers: [][]float64{{1, 2, blank, blank}, {blank, blank, 2, 1}}}, good, "answers", "groups"},
	} {
		_, err := panel.Analyse(c.table, c.options)
		refused(t, name, err, c.field, c.words)
	}
}

// TestWarned: what is not refused but told.
func TestWarned(t *testing.T) {
	blank := math.NaN()
	// Six judges of five glasses: the fourth is put first by all, beside one that is
	// put last, which no parabola goes through.
	peak := slices.Repeat([][]float64{{3, 4, 5, 1, 2}, {4, 3, 5, 1, 2}}, 3)
	clear := slices.Repeat([][]float64{{1, 2, 3, 4}}, 40)
	for name, c := range map[string]struct {
		answers       [][]float64
		told, notTold []string
	}{
		"few":      {[][]float64{{1, 2, 3}, {3, 2, 1}, {2, 1, 3}}, []string{panel.CodeNoDifference, panel.CodeMissed}, []string{panel.CodeBestAtEnd, panel.CodeUneven, panel.CodePairsByOne}},
		"clear":    {clear, []string{panel.CodeBestAtEnd, panel.CodePairsByOne}, []string{panel.CodeCurveMisses, panel.CodeNoDifference, panel.CodeMissed, panel.CodeLeftOut}},
		"peak":     {peak, []string{panel.CodeCurveMisses}, []string{panel.CodeNoDifference}},
		"gap":      {append(slices.Clone(clear), []float64{1, 2, 3, blank}), []string{panel.CodeUneven}, []string{panel.CodeLeftOut}},
		"left out": {append(slices.Clone(clear), []float64{blank, 2, blank, blank}), []string{panel.CodeLeftOut}, []string{panel.CodeUneven}},
	} {
		r := analysed(t, c.answers, panel.Ranks)
		has := func(code string) bool {
			return slices.ContainsFunc(r.Warnings, func(w colour.Warning) bool { return w.Code == code && w.Message != "" })
		}
		for _, code := range c.told {
			if !has(code) {
				t.Errorf("%s: %s is not told: %v", name, code, r.Warnings)
			}
		}
		for _, code := range c.notTold {
			if has(code) {
				t.Errorf("%s: %s is told: %v", name, code, r.Warnings)
			}
		}
	}
	if r := analysed(t, append(slices.Clone(clear), []float64{blank, 2, blank, blank}), panel.Ranks); r.Judges != 40 || !slices.Equal(r.LeftOut, []int{40}) {
		t.Errorf("%d judges, left out %v", r.Judges, r.LeftOut)
	}
}

// TestOneDose: glasses of one dose are compared, but have no trend and no curve.
func TestOneDose(t *testing.T) {
	r, err := panel.Analyse(panel.Table{Doses: []float64{3, 3}, Answers: slices.Repeat([][]float64{{1, 2}}, 8)}, panel.Options{Kind: panel.Ranks, Level: 0.05})
	if err != nil || r.Trend != nil || r.Preference != nil || r.Power.Ends != nil || !r.Difference.Found {
		t.Errorf("%+v, %v", r, err)
	}
}

package panel_test

import (
	"errors"
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

package control_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pourpath/colour"
	"pourpath/colour/control"
)

// TestRefused: each row is at fault in one place, and is told what would be
// right.
func TestRefused(t *testing.T) {
	good, rules := nile(), control.WesternElectric()
	blank := slices.Clone(good)
	blank[3], blank[5] = math.NaN(), math.Inf(1)
	individuals := func(v []float64, b control.Base, r []control.Rule) func() error {
		return func() error { _, err := control.NewIndividuals(v, b, r); return err }
	}
	ewma := func(lambda, width float64) func() error {
		return func() error { _, err := control.NewEWMA(good, control.Base{}, lambda, width); return err }
	}
	together := func(b control.Base, columns ...[]float64) func() error {
		return func() error {
			var cols []control.Column
			for i, v := range columns {
				cols = append(cols, control.Column{Name: string(rune('p' + i)), Values: v})
			}
			_, err := control.NewT2(cols, b)
			return err
		}
	}
	runPlot := func(v ...float64) func() error {
		return func() error { _, err := control.NewRunPlot(v); return err }
	}
	capable := func(n int, lower, upper *float64) func() error {
		return func() error {
			c, err := control.NewIndividuals(good[:n], control.Base{}, []control.Rule{control.FifteenNear})
			if err != nil {
				t.Fatal(err)
			}
			_, err = c.Capability(control.Tolerance{Lower: lower, Upper: upper})
			return err
		}
	}
	number := func(v float64) *float64 { return &v }
	doubled := make([]float64, len(good))
	for i := range good {
		doubled[i] = 3 - 2*good[i]
	}
	for name, c := range map[string]struct {
		do           func() error
		field, words string
	}{
		"NaN":               {individuals(blank, control.Base{}, rules), "values/3", "finite"},
		"infinite":          {individuals(blank, control.Base{}, rules), "values/5", "leave a lot without a value out"},
		"none":              {individuals(nil, control.Base{}, rules), "values", "10 or more"},
		"few":               {individuals(good[:9], control.Base{}, rules), "values", "has 9 points; limits need 10 or more"},
		"few in the base":   {individuals(good, control.Base{First: 1}, rules), "values", "has 1 point; "},
		"few left":          {individuals(good, control.Base{First: 10, Without: []int{4}}, rules), "values", "9 points"},
		"base too long":     {individuals(good, control.Base{First: 73}, rules), "first", "to 72"},
		"base negative":     {individuals(good, control.Base{First: -1}, rules), "first", "from 0"},
		"left out twice":    {individuals(good, control.Base{Without: []int{4, 4}}, rules), "without/1", "twice"},
		"left out beyond":   {individuals(good, control.Base{Without: []int{72}}, rules), "without/0", "to 71"},
		"constant":          {individuals(slices.Repeat([]float64{0.1 + 0.2}, 30), control.Base{}, rules), "values", "all the same"},
		"too large":         {individuals(slices.Repeat([]float64{1e308, -1e308}, 30), control.Base{}, rules), "values", "too large"},
		"no rules":          {individuals(good, control.Base{}, nil), "rules", "choose"},
		"unknown rule":      {individuals(good, control.Base{}, []control.Rule{"lucky"}), "rules/0", "beyond_action"},
		"rule not of these": {individuals(good, control.Base{}, []control.Rule{control.RangeBeyond}), "rules/0", "no rule for single values"},
		"rule twice":        {individuals(good, control.Base{}, append(rules, rules[0])), "rules/4", "twice"},
		"known and first":   {individuals(good, control.Base{First: 20, Known: &control.Level{Sigma: 1}}, rules), "first", "must be 0"},
		"known sigma":       {individuals(good, control.Base{Known: &control.Level{}}, rules), "known/sigma", "above 0"},
		"known centre":      {individuals(good, control.Base{Known: &control.Level{Centre: math.NaN(), Sigma: 1}}, rules), "known/centre", "finite"},
		"known, none":       {individuals(nil, control.Base{Known: &control.Level{Sigma: 1}}, rules), "values", "one or more"},
		"lambda 0":          {ewma(0, 3), "lambda", "0.2"},
		"lambda NaN":        {ewma(math.NaN(), 3), "lambda", "above 0"},
		"width 0":           {ewma(0.2, 0), "width", "2.962"},
		"one column":        {together(control.Base{}, good), "columns", "two columns"},
		"uneven columns":    {together(control.Base{}, good, good[:50]), "columns/1/values", "72 lots"},
		"NaN in a column":   {together(control.Base{}, good, blank), "columns/1/values/3", "finite"},
		"same columns":      {together(control.Base{}, good, doubled), "columns", "follows from the others"},
		"constant column":   {together(control.Base{}, good, slices.Repeat([]float64{7}, 72)), "columns/1/values", "no spread"},
		"few for columns":   {together(control.Base{First: 14}, good, good, good), "values", "15 or more"},
		"known for columns": {together(control.Base{Known: &control.Level{Sigma: 1}}, good, good), "known", "one column"},
		"empty run plot":    {runPlot(), "values", "one or more"},
		"negative":          {runPlot(1, -1), "values/1", "0 or more"},
		"NaN in a run plot": {runPlot(1, math.NaN()), "values/1", "finite"},
		"no tolerance":      {capable(72, nil, nil), "", "lower limit, an upper limit"},
		"tolerance NaN":     {capable(72, number(math.NaN()), nil), "lower", "finite"},
		"tolerance turned":  {capable(72, number(2), number(1)), "upper", "above the lower limit, 2"},
		"few to be capable": {capable(24, number(1), nil), "values", "24 points; a capability needs 25"},
	} {
		err := c.do()
		var faults colour.FieldErrors
		if !errors.As(err, &faults) || !strings.HasPrefix(err.Error(), "control: ") {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !slices.ContainsFunc(faults, func(f colour.FieldError) bool { return f.Field == c.field && strings.Contains(f.Message, c.words) }) {
			t.Errorf("%s: %v; want %q at %q", name, err, c.words, c.field)
		}
	}
}

// TestManyBlanks: a column of nothing is told in a page's length.
func TestManyBlanks(t *testing.T) {
	_, err := control.NewIndividuals(slices.Repeat([]float64{math.NaN()}, 5000), control.Base{}, control.Nelson())
	var faults colour.FieldErrors
	if !errors.As(err, &faults) || len(faults) > 25 || !strings.Contains(err.Error(), "4980 more values") {
		t.Errorf("%d faults", len(faults))
	}
}

// TestDoubts: what is not refused but told.
func TestDoubts(t *testing.T) {
	coarse := make([]float64, 40)
	for i := range coarse {
		coarse[i] = []float64{0.3, 0.4, 0.4, 0.5}[i*7%4]
	}
	c, err := control.NewIndividuals(coarse, control.Base{}, control.Nelson())
	if err != nil || !hasWarning(c.Warnings, "coarse_values") || hasWarning(c.Warnings, "few_base") {
		t.Errorf("%v, %v", c.Warnings, err)
	}
	skewed := normals(seeded(9), 200, 0)
	for i, v := range skewed {
		skewed[i] = math.Exp(v)
	}
	c, err = control.NewIndividuals(skewed, control.Base{}, []control.Rule{control.FourteenAlternating})
	if err != nil {
		t.Fatal(err)
	}
	upper := 10.0
	p, err := c.Capability(control.Tolerance{Upper: &upper})
	if err != nil || !hasWarning(p.Warnings, "not_normal") || !hasWarning(p.Warnings, "range_signals") {
		t.Errorf("%v, %v", p.Warnings, err)
	}
}

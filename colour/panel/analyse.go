package panel

import (
	"fmt"
	"slices"
)

// Analyse says what a panel's answers say together.
//
// Errors: colour.FieldErrors at kind, level, doses/I, and answers/J/I for judge J
// and glass I: what is no dose, rank or score, ties where none are allowed, fewer
// than two judges who compared glasses, glasses that nobody compared.
func Analyse(t Table, o Options) (Result, error) {
	j, err := read(t, o)
	if err != nil {
		return Result{}, fmt.Errorf("panel: %w", err)
	}
	q := newQuadratic(j)
	r := Result{
		Judges: len(j.blocks), LeftOut: j.leftOut, Level: o.Level,
		Glasses:    glassResults(j, t, o),
		Difference: difference(j, q, o.Level),
	}
	found := r.Difference.Found
	if slices.Min(t.Doses) < slices.Max(t.Doses) {
		r.Trend = trend(j, o.Level)
		r.Preference = preference(j, r.Glasses, o.Level, found || r.Trend.Found)
	}
	rankSums := make([]float64, len(r.Glasses))
	for g := range r.Glasses {
		rankSums[g] = r.Glasses[g].RankSum
	}
	r.Agreement = agreement(j, r.Difference)
	r.Pairs, r.LeastDifference = pairs(j, q, rankSums, o.Level, found)
	r.Power = power(j, o.Level)
	r.Warnings = r.warnings()
	return r, nil
}

package calc

import (
	"math"

	"pourpath/colour/conform"
)

// noticed is the least change of a probability that is worth work in a laboratory: as
// much as the risk that is accepted as a rule, and four times the scatter of the draws
// that a forecast is made with.
const noticed = 0.05

// Worthwhile are those of the remedies of an open verdict that are worth advising: which
// settle it, or change its probability by 0.05 or more. What helps less stands with the others
// where none of them settles it and all together help. Probability is that of conforming as the
// readings are.
func Worthwhile(list []Remedy, probability *float64) (out []Remedy) {
	helps := func(r Remedy) bool {
		return settles(r) || probability == nil || r.Probability == nil || math.Abs(*r.Probability-*probability) >= noticed
	}
	settled, alone := false, 0
	for _, r := range list {
		if r.Action == string(conform.AllTogether) {
			continue
		}
		alone++
		if helps(r) {
			out = append(out, r)
			settled = settled || settles(r)
		}
	}
	if last := len(list) - 1; last >= 0 && list[last].Action == string(conform.AllTogether) {
		switch {
		case len(out) == alone:
			return list
		case !settled && helps(list[last]):
			return list
		}
	}
	return out
}

func settles(r Remedy) bool { return r.Verdict != string(conform.Inconclusive) }

package control

import (
	"fmt"
	"slices"

	"pourpath/colour"
)

// Rule names a pattern that is unlikely without a cause. Its text is stable and
// fit for a file.
type Rule string

// Rules on the values of an individuals chart. A point on the centre line is on
// neither side of it; points of the same value neither rise nor fall; a point
// on a limit is not beyond it.
const (
	// BeyondAction: one point beyond three standard deviations.
	BeyondAction Rule = "beyond_action"
	// TwoOfThree: two of three in a row beyond two standard deviations, on the
	// same side.
	TwoOfThree Rule = "two_of_three"
	// FourOfFive: four of five in a row beyond one standard deviation, on the
	// same side.
	FourOfFive Rule = "four_of_five"
	// EightOneSide and NineOneSide: as many in a row on one side of the centre.
	EightOneSide Rule = "eight_one_side"
	NineOneSide  Rule = "nine_one_side"
	// SixTrend: six in a row, each above the one before, or each below.
	SixTrend Rule = "six_trend"
	// FourteenAlternating: fourteen in a row, up and down by turns.
	FourteenAlternating Rule = "fourteen_alternating"
	// FifteenNear: fifteen in a row within one standard deviation.
	FifteenNear Rule = "fifteen_near"
	// EightFar: eight in a row beyond one standard deviation, some above the
	// centre and some below.
	EightFar Rule = "eight_far"
)

// Rules of the other charts; no caller chooses them.
const (
	// RangeBeyond: a moving range above its limit.
	RangeBeyond Rule = "range_beyond"
	// AverageBeyond: the EWMA beyond its limits.
	AverageBeyond Rule = "average_beyond"
	// TogetherBeyond: T² above its limit.
	TogetherBeyond Rule = "together_beyond"
)

// WesternElectric gives the four classical rules, WE1956, also NIST 6.3.2: one
// beyond three standard deviations, two of three beyond two, four of five
// beyond one, eight on one side. Together they ring once in 92 lots without a
// cause (Champ, Woodall, Technometrics 29 (1987) 393, as cited in NIST 6.3.2).
func WesternElectric() []Rule {
	return []Rule{BeyondAction, TwoOfThree, FourOfFive, EightOneSide}
}

// Nelson gives the eight tests of Nelson1984, in their order.
func Nelson() []Rule {
	return []Rule{
		BeyondAction, NineOneSide, SixTrend, FourteenAlternating,
		TwoOfThree, FourOfFive, FifteenNear, EightFar,
	}
}

// names of the rules as their sources count them.
func (r Rule) sources() (text string, ok bool) {
	switch r {
	case BeyondAction:
		return "Western Electric 1, Nelson 1: one point beyond an action limit", true
	case TwoOfThree:
		return "Western Electric 2, Nelson 5: two of three points beyond a warning limit", true
	case FourOfFive:
		return "Western Electric 3, Nelson 6: four of five points beyond one standard deviation", true
	case EightOneSide:
		return "Western Electric 4: eight points in a row on one side of the centre", true
	case NineOneSide:
		return "Nelson 2: nine points in a row on one side of the centre", true
	case SixTrend:
		return "Nelson 3: six points in a row rising or falling", true
	case FourteenAlternating:
		return "Nelson 4: fourteen points in a row up and down by turns", true
	case FifteenNear:
		return "Nelson 7: fifteen points in a row within one standard deviation", true
	case EightFar:
		return "Nelson 8: eight points in a row on both sides, none within one standard deviation", true
	case RangeBeyond:
		return "moving range above its action limit", true
	case AverageBeyond:
		return "weighted running average beyond its action limit", true
	case TogetherBeyond:
		return "T² above its action limit", true
	}
	return "", false
}

// String gives the rule in a line, with its number in Western Electric's and
// Nelson's lists.
func (r Rule) String() string {
	if text, ok := r.sources(); ok {
		return text
	}
	return string(r)
}

// checkRules wants one rule or more for values, each once.
func checkRules(rules []Rule) error {
	var faults colour.FieldErrors
	if len(rules) == 0 {
		faults.Addf("rules", nil, "choose the rules to look for: Western Electric's four, Nelson's eight, or some of them")
	}
	onValues := append(Nelson(), EightOneSide)
	for i, r := range rules {
		field := fmt.Sprintf("rules/%d", i)
		switch {
		case !slices.Contains(onValues, r):
			faults.Addf(field, string(r), "is no rule for single values; there are %q", onValues)
		case slices.Contains(rules[:i], r):
			faults.Addf(field, string(r), "is named twice; once is enough")
		}
	}
	return faults.Err()
}

package panel

import "pourpath/colour"

// Result is what a panel's answers say together.
type Result struct {
	// Judges are those whose answers count: with two glasses or more. LeftOut are
	// the places of the others.
	Judges  int
	LeftOut []int
	// Level is the risk at which each test is judged.
	Level float64
	// Glasses has a row for each glass, in the order of the table.
	Glasses []GlassResult
	// Difference is whether the glasses differ at all.
	Difference Test
	// Trend is whether preference rises or falls along the dose; nil where all
	// doses are the same.
	Trend *Trend
	// Agreement is Kendall's W, 0 where the judges do not agree at all, 1 where all
	// give the same order; corrected for ties. Nil where it is not defined: glasses
	// that were not equally often with the judges and with each other.
	Agreement *float64
	// LeastDifference is the least significant difference of rank sums (ISO8587);
	// nil where it is not one number for all pairs: uneven designs.
	LeastDifference *float64
	// Pairs has each two glasses once, the first of them the lower one.
	Pairs []Pair
	// Preference is how preference goes along the dose; nil where all doses are the
	// same.
	Preference *Preference
	// Power is what so few judges could not have found.
	Power Power
	// Warnings are what a reader must be told.
	Warnings []colour.Warning
}

// GlassResult is what the judges say of one glass.
type GlassResult struct {
	DoseMLPer100ML float64
	// Answers is how many judges answered for the glass.
	Answers int
	// RankSum is the sum of its ranks within each judge's glasses, 1 for the first,
	// the mean of the places for glasses that are alike. MeanRank is RankSum by
	// Answers. Rank sums compare glasses only where Answers are the same.
	RankSum, MeanRank float64
	// Share is the share of the other glasses above which the judges put this one,
	// 0-1, with an interval at 1-Level; glasses alike count half. 0.5 is neither.
	// The interval is Student's over judges, with one more judge, who puts the
	// glasses in any order, counted for the spread: unanimous judges may be chance.
	Share Interval
	// Score is the mean score with its interval at 1-Level, made as that of Share:
	// the further judge gives any score of the scale. Nil for ranks.
	Score *Interval
}

// Interval is an estimate between two bounds.
type Interval struct{ Value, Low, High float64 }

// How a p was found.
const (
	// ByExact: every order the judges could have given was counted.
	ByExact = "exact"
	// BySimulation: Simulated times an order was drawn for each judge, from a fixed
	// seed. The share of those as extreme as the answers, these counted in, is a p
	// that holds the level whatever the number of draws.
	BySimulation = "simulation"
)

// Statistics a test may have.
const (
	Friedman = "friedman"
	// Durbin is for balanced incomplete blocks.
	Durbin = "durbin"
	// SkillingsMack is for any other answers with gaps.
	SkillingsMack = "skillings_mack"
)

// Test is whether the glasses differ at all.
type Test struct {
	// Name is the statistic: Friedman, Durbin or SkillingsMack. All are corrected
	// for ties.
	Name string
	// Statistic and Degrees are the chi-square and its degrees of freedom, and
	// PApproximate the p by that distribution.
	Statistic, PApproximate float64
	Degrees                 int
	// P is what the test is judged by, found as By says; by simulation it is never
	// below 1/(Simulated+1).
	P  float64
	By string
	// Found says that P is at or below the level.
	Found bool
}

// Trend is Page's test along the dose.
type Trend struct {
	// L is Page's sum over glasses of the place of the dose, 1 for the lowest, times
	// the sum of ranks counted from the last, so that it grows where more is
	// preferred. Equal doses share their places. Expected and SD are its mean and
	// standard deviation without any preference, corrected for ties.
	L, Expected, SD float64
	// Z is (L-Expected)/SD: above 0 where more is preferred. PApproximate is the
	// two-sided p by the normal distribution.
	Z, PApproximate float64
	// P is two-sided, and what the test is judged by, found as By says. PMore and
	// PLess are one-sided: that preference rises with the dose, that it falls.
	P, PMore, PLess float64
	By              string
	// Found says that P is at or below the level.
	Found bool
}

// Pair compares two glasses.
type Pair struct {
	A, B int
	// RankSums is the rank sum of A less that of B: below 0 where A is preferred.
	// Nil where rank sums do not compare: uneven designs.
	RankSums *float64
	// Z is the difference in standard deviations without any preference, below 0
	// where A is preferred; in uneven designs of effects adjusted for who met whom.
	Z float64
	// Differ says that the glasses differ: Difference was found, and this pair is
	// further apart than the least significant difference.
	Differ bool
}

// Preference is how preference goes along the dose.
type Preference struct {
	// Curve is the share (see GlassResult.Share) along the dose: a parabola where
	// there are three doses or more, else a line, with intervals at 1-Level. They
	// are percentiles of the same curve through judges drawn anew from these, one in
	// Judges+1 of them one who puts the glasses in any order; widened for few
	// judges (Hesterberg, Am. Stat. 69 (2015) 371, from memory). Fixed seed.
	Curve []PreferencePoint
	// Best is the dose that is preferred, within the doses that were judged, with
	// its interval at 1-Level; nil where neither Difference nor Trend was found.
	Best *Interval
	// AtLowest and AtHighest say that the interval of Best reaches the lowest or
	// highest dose judged, so that a dose beyond may be preferred.
	AtLowest, AtHighest bool
	// Misses are the glasses, by rising place, whose Share the curve misses by more
	// than its interval. Where there are any, Best is of a curve that does not
	// describe the answers: the glass that is put first says more.
	Misses []int
}

// PreferencePoint is one dose of the curve.
type PreferencePoint struct {
	DoseMLPer100ML float64
	Share          Interval
}

// Power is what this panel could have found, were it held again: see the fields.
// Each is a share of judges, 0.5 to 1, who would put one glass above another if
// they had just those two; nil where not even full agreement is found.
type Power struct {
	// Probability is with what probability it would be found.
	Probability float64
	// OneGlass: one glass stands out from all others, which are alike.
	OneGlass *float64
	// Ends: preference changes evenly along the doses; the share is for the
	// preferred end against the other. Nil also where there is no Trend.
	Ends *float64
}

package release

import (
	"pourpath/api/calc"
	"pourpath/api/record"
)

// Chart is a series of lots in the order of time with what stands out in it.
type Chart struct {
	Kind      string          `json:"kind" enum:"individuals,ewma,run,t2,plane" doc:"What is charted how."`
	Product   string          `json:"product,omitempty" doc:"The product that was asked for."`
	Spec      *ChartSpec      `json:"spec,omitempty" doc:"The specification that gives limits and region: the one asked for, in its newest version, or the product's that holds now; absent where none or several do."`
	Quantity  string          `json:"quantity,omitempty" enum:"L,a,b,intensity,tint,delta_e_00" doc:"What is charted; absent for t2 and plane."`
	From      *record.Instant `json:"from,omitempty" doc:"Lots from then on."`
	To        *record.Instant `json:"to,omitempty" doc:"Lots before then."`
	Lots      int             `json:"lots" doc:"How many lots count: each is the mean of its samples by their newest verdicts, in the order of bottled_at, else of when the first sample was taken, else recorded. Retained bottles and archived lots do not count."`
	Condition string          `json:"conditions" doc:"What all values hold for and were made from."`
	LeftOut   []ChartLeftOut  `json:"left_out" doc:"Lots of the period that do not count, with the reason; the newest 100."`
	LeftCount int             `json:"left_out_count" doc:"How many there are."`

	Rules        []ChartRule      `json:"rules,omitempty" doc:"individuals: the run rules that were looked for."`
	Level        *ChartLevel      `json:"level,omitempty" doc:"individuals, ewma: the usual level, from the base period."`
	Limits       *ChartLimits     `json:"limits,omitempty" doc:"individuals: limits on single lots (ISO 7870-2)."`
	Ranges       *ChartRanges     `json:"ranges,omitempty" doc:"individuals: the chart of moving ranges."`
	Lambda       float64          `json:"lambda,omitempty" doc:"ewma: weight of the newest lot."`
	Median       *float64         `json:"median,omitempty" doc:"run: the middle value."`
	T2           *ChartT2         `json:"t2,omitempty" doc:"t2: limits of T²."`
	SpecLimits   *ChartSpecLimits `json:"spec_limits,omitempty" doc:"The specification's limits of the quantity."`
	Capability   *ChartCapability `json:"capability,omitempty" doc:"individuals: how well a steady process keeps within spec_limits."`
	NoCapability string           `json:"no_capability,omitempty" doc:"individuals: why there is no capability."`
	Signals      []ChartSignal    `json:"signals" doc:"What is unlikely without a cause, in the order in which it rang; the newest 200."`
	SignalCount  int              `json:"signal_count" doc:"How many there are."`
	FirstPoint   int              `json:"first_point" doc:"Number of the first lot in points, from 1; as before it asks for those before these."`
	Points       []ChartPoint     `json:"points" doc:"The lots, as many as were asked for."`
	Warnings     []calc.Warning   `json:"warnings" doc:"What must be known about the chart."`

	drawn drawn
}

// ChartSpec names a version of a specification.
type ChartSpec struct {
	ID      string `json:"id" doc:"Identifier."`
	Version int    `json:"version" doc:"Its version."`
	Name    string `json:"name" doc:"What it is called."`
}

// ChartLeftOut is a lot that does not count.
type ChartLeftOut struct {
	Lot    string         `json:"lot" doc:"Identifier of the lot."`
	Name   string         `json:"name" doc:"What it is called."`
	At     record.Instant `json:"at" doc:"When it counts from."`
	Reason string         `json:"reason" doc:"Why it is left out."`
}

// ChartRule is a run rule.
type ChartRule struct {
	Rule string `json:"rule" doc:"For programs."`
	Name string `json:"name" doc:"For people, with its number in the lists of Western Electric and Nelson."`
}

// ChartLevel is what a steady process does.
type ChartLevel struct {
	Centre float64 `json:"centre" doc:"Mean of the base period."`
	Sigma  float64 `json:"sigma" doc:"Standard deviation from lot to lot: mean moving range / 1.128."`
	Base   int     `json:"base_lots" doc:"How many lots from the first on it rests on."`
}

// ChartLimits are limits on single lots.
type ChartLimits struct {
	LowerAction  float64 `json:"lower_action" doc:"Three standard deviations below the centre."`
	UpperAction  float64 `json:"upper_action" doc:"Three above."`
	LowerWarning float64 `json:"lower_warning" doc:"Two below."`
	UpperWarning float64 `json:"upper_warning" doc:"Two above."`
}

// ChartRanges is the chart of the moving ranges.
type ChartRanges struct {
	Centre      float64 `json:"centre" doc:"Mean moving range of the base period."`
	UpperAction float64 `json:"upper_action" doc:"3.267 times it."`
}

// ChartT2 are the limits of T².
type ChartT2 struct {
	Base         int     `json:"base_lots" doc:"How many lots from the first on it rests on."`
	BaseLimit    float64 `json:"base_limit" doc:"Limit for lots of the base period."`
	FurtherLimit float64 `json:"further_limit" doc:"Limit for the others."`
}

// ChartSpecLimits are a specification's limits, one of which may be absent.
type ChartSpecLimits struct {
	Lower *float64 `json:"lower" doc:"The least; null on an open side."`
	Upper *float64 `json:"upper" doc:"The most."`
}

// ChartIndex is a capability with its 95 % confidence interval.
type ChartIndex struct {
	Value float64 `json:"value" doc:"The estimate."`
	Lower float64 `json:"lower" doc:"Lower end of its 95 % confidence interval."`
	Upper float64 `json:"upper" doc:"Upper end."`
}

// ChartCapability compares the scatter of a steady process with limits (ISO
// 22514-2).
type ChartCapability struct {
	Lots    int         `json:"lots" doc:"How many it rests on."`
	Mean    float64     `json:"mean" doc:"Mean of the lots."`
	Within  float64     `json:"within" doc:"Standard deviation from one lot to the next."`
	Overall float64     `json:"overall" doc:"Standard deviation of all of them together."`
	Cp      *ChartIndex `json:"cp,omitempty" doc:"Width of the limits in six standard deviations from lot to lot; absent with one limit."`
	Cpk     ChartIndex  `json:"cpk" doc:"Distance of the nearer limit in three of them."`
	Pp      *ChartIndex `json:"pp,omitempty" doc:"As Cp with the overall standard deviation."`
	Ppk     ChartIndex  `json:"ppk" doc:"As Cpk with the overall standard deviation."`
	Normal  float64     `json:"normality_p" doc:"Probability of a shape as far from the normal distribution as this, were it normal (Anderson and Darling)."`
}

// ChartSignal is a pattern that is unlikely without a cause.
type ChartSignal struct {
	Chart string         `json:"chart" enum:"values,ranges,average,t2" doc:"Where it stands out: single lots, moving ranges, the running average, T²."`
	Rule  string         `json:"rule" doc:"The rule that found it."`
	Side  string         `json:"side" enum:"above,below,neither" doc:"Side of the centre, or direction of a trend."`
	Lot   string         `json:"lot" doc:"Identifier of the lot at which it rang."`
	Name  string         `json:"name" doc:"What that lot is called."`
	No    int            `json:"no" doc:"Its number in the series, from 1."`
	At    record.Instant `json:"at" doc:"When it counts from."`
	First int            `json:"first" doc:"Number of the first lot that is part of it."`
	Last  int            `json:"last" doc:"Number of the last one."`
	Text  string         `json:"text" doc:"What it means, in words."`
}

// ChartPoint is a lot of a chart.
type ChartPoint struct {
	No      int            `json:"no" doc:"Its number in the series, from 1."`
	Lot     string         `json:"lot" doc:"Identifier of the lot."`
	Name    string         `json:"name" doc:"What it is called."`
	At      record.Instant `json:"at" doc:"When it counts from."`
	Value   *float64       `json:"value,omitempty" doc:"The quantity; absent for t2 and plane."`
	L       *float64       `json:"L,omitempty" doc:"t2, plane: L*."`
	A       *float64       `json:"a,omitempty" doc:"t2, plane: a*."`
	B       *float64       `json:"b,omitempty" doc:"t2, plane: b*."`
	Range   *float64       `json:"range,omitempty" doc:"individuals: distance from the lot before; absent for the first."`
	Zone    *int           `json:"zone,omitempty" doc:"individuals: whole standard deviations from the centre, rounded away from it; 4 and -4 are beyond an action limit."`
	Average *float64       `json:"average,omitempty" doc:"ewma: the running average."`
	Lower   *float64       `json:"lower_action,omitempty" doc:"ewma: its lower limit."`
	Upper   *float64       `json:"upper_action,omitempty" doc:"ewma: its upper limit."`
	T2      *float64       `json:"t2,omitempty" doc:"t2: Hotelling's T²."`
}

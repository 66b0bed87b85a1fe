package control

import (
	"fmt"
	"slices"

	"pourpath/colour"
)

// RunPlot is a series and its median. It has no limits, and Why says so.
type RunPlot struct {
	// Values are those given; Median is the middle one, or the mean of the two
	// in the middle. Same unit.
	Values []float64
	Median float64
	// Why tells a person why no limits are drawn.
	Why string
}

// whyNoLimits is borne out by a test: three standard deviations above the mean
// ring two to five times as often as they should for a colour difference.
const whyNoLimits = "No limits are drawn: this quantity is never negative and its scatter grows with its distance from zero, " +
	"so limits at a number of standard deviations would ring without a cause above and mean nothing below. " +
	"Chart what it is made of instead, such as L*, a* and b*."

// NewRunPlot plots a quantity that is never negative, such as ΔE00, in the
// order of time. Errors are colour.FieldErrors at values: none given, one that
// is not finite or is negative.
func NewRunPlot(values []float64) (RunPlot, error) {
	var faults colour.FieldErrors
	if len(values) == 0 {
		faults.Addf("values", 0, "there is no point to plot; give one or more")
	}
	checkFinite("values", values, &faults)
	for i, v := range values {
		if v < 0 && finite(v) && len(faults) < maxFaults {
			faults.Addf(fmt.Sprintf("values/%d", i), v, "must be 0 or more; a quantity that can be negative has a chart with limits")
		}
	}
	if err := faults.Err(); err != nil {
		return RunPlot{}, fmt.Errorf("control: %w", err)
	}
	return RunPlot{Values: values, Median: median(values), Why: whyNoLimits}, nil
}

func median(values []float64) float64 {
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	n := len(sorted)
	return sorted[(n-1)/2]/2 + sorted[n/2]/2
}

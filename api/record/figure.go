package record

import (
	"fmt"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/colour/cie"
)

// Figure is what a chart needs of a verdict.
type Figure struct {
	// No numbers figures in the order in which they were committed, from 1.
	No int64
	// Sample and Lot are identifiers.
	Sample, Lot string
	// AtMicros is when the lot was bottled, else when the sample was taken, else
	// when it was recorded: microseconds since 1970, UTC.
	AtMicros int64
	// Retained is that the sample is of a bottle that was kept back.
	Retained bool
	// Conditions are what the colour holds under and was made from, one text for
	// each combination.
	Conditions string
	// L, A and B are L*, a* and b* under the conditions.
	L, A, B float64
	// Intensity and Tint are for 10 mm; DeltaE00 is the difference from the
	// specification's reference. NaN where there is none.
	Intensity, Tint, DeltaE00 float64
}

// FigureOf says which figures are meant: those of the verdicts by one
// specification, in any version, or those of the lots of one product. Exactly one
// is set.
type FigureOf struct{ Spec, Product string }

// figureSources are what a figure was made from, in words, by the names of
// calc.WineColour.
var figureSources = map[string]string{"readings": "single readings", "spectrum": "a scan", "cielab": "stated L*, a*, b*"}

// FigureConditions is the text of Figure.Conditions, for people too. source is as
// in calc.WineColour.
func FigureConditions(c calc.Conditions, source string) string {
	if words := figureSources[source]; words != "" {
		source = words
	}
	return fmt.Sprintf("%s, %s° observer, %g mm of wine, from %s", c.Illuminant, c.Observer, c.PathMM, source)
}

// FigureView is the view in a text of FigureConditions and the source, as in
// calc.WineColour; ok is false where there is no view in it.
func FigureView(conditions string) (v cie.View, source string, ok bool) {
	parts := strings.SplitN(conditions, ", ", 4)
	if len(parts) != 4 {
		return v, "", false
	}
	source = strings.TrimPrefix(parts[3], "from ")
	for name, words := range figureSources {
		if words == source {
			source = name
			break
		}
	}
	mm, err := strconv.ParseFloat(strings.TrimSuffix(parts[2], " mm of wine"), 64)
	v = cie.View{Illuminant: cie.Illuminant(parts[0]), Observer: cie.Observer(strings.TrimSuffix(parts[1], "° observer")), DepthMM: mm}
	return v, source, err == nil && v.Validate() == nil
}

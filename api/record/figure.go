package record

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

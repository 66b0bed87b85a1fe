package spectrum

import (
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
)

// Source says what a spectrum was made from.
type Source string

// The sources of a spectrum.
const (
	Readings Source = "readings"
	Scan     Source = "spectrum"
	CIELAB   Source = "cielab"
	Blend    Source = "blend"
)

// Cause names where an error comes from.
type Cause string

// The causes of uncertainty.
const (
	Reading  Cause = "reading"  // repeatability and photometric error of the instrument
	Dilution Cause = "dilution" // volumes of the dilution made for reading
	Shape    Cause = "shape"    // the spectrum between the readings
	Rounding Cause = "rounding" // the last printed digit of CIELAB values
	Dose     Cause = "dose"     // volumes poured
	Medium   Cause = "medium"   // the pigment's colour changes when it is poured into another wine
	Learned  Cause = "learned"  // what measured rungs leave open of all the above
)

// Causes lists all causes in the order reports give them.
func Causes() []Cause {
	return []Cause{Reading, Dilution, Shape, Rounding, Dose, Medium, Learned}
}

// Term is one independent error, scaled to a standard deviation of 1.
type Term struct {
	Cause Cause
	// Effect is the change of absorbance per 10 mm that one standard
	// deviation of the error makes, to first order.
	Effect cie.Curve
}

// Wine is what is known of the absorbance of a wine or a blend.
// It is a value: copies share nothing that changes.
type Wine struct {
	// Absorbance is per 10 mm of undiluted wine, at the grid of package cie.
	Absorbance cie.Curve
	// Terms are the errors of Absorbance. They are independent of each other
	// and of the terms of any other wine. Read only.
	Terms []Term
	// Source says what the spectrum was made from.
	Source Source
	// Method tells apart ways of reading whose errors differ: the source and
	// for readings the wavelengths, such as "readings 420 460 520 560 620".
	Method string
	// Observed is what was measured, as a later estimate takes it in; empty for
	// a blend. Read only.
	Observed []Observation
	// CommonU is the standard uncertainty of an error that all of Observed
	// share, an absorbance per 10 mm: the baseline of a scan.
	CommonU float64
	// Warnings are what the reader of any result must be told.
	Warnings []colour.Warning
}

// Observation is one measured number as a linear function of the spectrum:
// Value = Row · absorbance per 10 mm, with standard uncertainty U of its own.
type Observation struct {
	Row      cie.Curve
	Value, U float64
}

// Pigment is the absorbance per 10 mm at 520 nm that stands above a white
// wine's yellow there: a measure of how much red pigment is in the wine. Never
// negative.
func (w *Wine) Pigment() float64 {
	return math.Max(0, w.Absorbance[cie.Index(520)]-whiteAt520*w.Absorbance[cie.Index(420)])
}

// whiteAt520 is A520/A420 of white wines: the mean of the 15 spectra in
// testdata/wine/white_spectra.csv.
const whiteAt520 = 0.153

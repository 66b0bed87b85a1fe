package reading

import (
	"math"

	"pourpath/colour"
)

// Cell says how the light passed the wine.
type Cell struct {
	// PathMM is the optical path of the cell, in millimetres, 0.01 to 100.
	PathMM float64
	// Dilution is total volume over wine volume: 1 for neat wine, 10 for one
	// part of wine made up to ten. At least 1 and at most 1000.
	Dilution float64
}

const (
	minPathMM   = 0.01
	maxPathMM   = 100
	maxDilution = 1000
)

// Per10MM is the factor that takes an absorbance read in this cell to one per
// 10 mm of undiluted wine (Beer-Lambert law).
func (c Cell) Per10MM() float64 { return c.Dilution * 10 / c.PathMM }

// Validate returns colour.FieldErrors on path_mm and dilution, or nil.
func (c Cell) Validate() error {
	var faults colour.FieldErrors
	c.validate(&faults)
	return faults.Err()
}

func (c Cell) validate(faults *colour.FieldErrors) {
	if !(c.PathMM >= minPathMM && c.PathMM <= maxPathMM) {
		faults.Addf("path_mm", c.PathMM, "the cell's optical path must be from %g to %d mm; cells of 1, 2, 5, 10 and 20 mm are usual", minPathMM, maxPathMM)
	}
	if !(c.Dilution >= 1 && c.Dilution <= maxDilution) {
		faults.Addf("dilution", c.Dilution, "dilution is total volume over wine volume: 1 for neat wine, 10 for 1 mL made up to 10 mL; it must be from 1 to %d", maxDilution)
	}
}

// DefaultU is the standard uncertainty (k = 1) of one absorbance reading where
// none is stated, in absorbance units. Common practice for a laboratory
// spectrophotometer between 0.1 and 1; no source.
const DefaultU = 0.002

const (
	// strayLight is the share of light that reaches the detector without
	// having passed the wine. 0.03 % is what a plain laboratory instrument
	// states. Common practice, no source.
	strayLight = 0.0003
	// maxAbsorbance is where a reading is no longer a measurement: less than
	// one part in a million of the light is left.
	maxAbsorbance = 6
	// minAbsorbance is how far below zero noise and blank may bring a reading.
	minAbsorbance = -0.05
)

// Uncertainty is the standard uncertainty of one reading of absorbance a in
// the cell, given u for the middle of the scale: u itself, widened where stray
// light becomes a share of what is measured,
//
//	u(a)² = u² + (0.0003 · 10^a / ln 10)²
//
// which is 0.013 at an absorbance of 2 and 0.13 at 3. OIV-MA-AS2-07B asks for
// readings from 0.3 to 0.7; below that the same absolute u weighs more by
// itself.
func Uncertainty(a, u float64) float64 {
	return math.Hypot(u, strayLight*math.Pow(10, a)/math.Ln10)
}

func validateU(u float64, faults *colour.FieldErrors) {
	if !(u > 0 && u <= 0.5) {
		faults.Addf("u_absorbance", u, "the standard uncertainty of one reading must be above 0 and at most 0.5; %g is usual", DefaultU)
	}
}

func validateAbsorbance(field string, a float64, faults *colour.FieldErrors) {
	switch {
	case math.IsNaN(a) || math.IsInf(a, 0):
		faults.Addf(field, nil, "the absorbance is not a number")
	case a > maxAbsorbance:
		faults.Addf(field, a, "an absorbance above %d in the cell is saturated, not measured: use a shorter cell (1 mm for a red) or dilute", maxAbsorbance)
	case a < minAbsorbance:
		faults.Addf(field, a, "an absorbance below %g is no noise: the blank was darker than the wine; zero the instrument on water and read again", minAbsorbance)
	}
}

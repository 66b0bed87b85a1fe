package drift

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// Reading holds absorbances per 10 mm of undiluted wine at 420, 520 and 620 nm
// with the standard uncertainty (k = 1) of each. An absorbance may be 0 or
// slightly below, as A620 of a pale wine is read; an uncertainty is above 0.
type Reading struct {
	A420, A520, A620 float64
	U420, U520, U620 float64
}

// Observation is one reading of one lot after blending or bottling.
//
// Replicates read in one session share its error: give their mean, not each of
// them, or the intervals come out too narrow.
type Observation struct {
	// Lot is any key that is the same for all readings of one lot.
	Lot string
	// Storage is the class of storage, such as "bottle, 12 °C": lots of one class
	// are taken to drift alike. Empty is a class like any other.
	Storage string
	// Days since blending or bottling, 0 or more and at most MaxDays; the caller
	// says which of the two, and says it the same for all observations.
	Days float64
	Reading
}

// MaxDays is the longest time that is taken for one: a hundred years.
const MaxDays = 36525

// maxAbsorbance per 10 mm is beyond the darkest wines (about 50, from memory).
const maxAbsorbance = 200

// NMs are the wavelengths, in nm, in the order that all triples here have.
func NMs() [3]int { return [3]int{420, 520, 620} }

const bands = 3

// values gives the absorbances and their uncertainties in the order of NMs.
func (r Reading) values() (a, u [bands]float64) {
	return [bands]float64{r.A420, r.A520, r.A620}, [bands]float64{r.U420, r.U520, r.U620}
}

// Validate returns colour.FieldErrors at "a420", "u420" and so on, or nil.
func (r Reading) Validate() error {
	var faults colour.FieldErrors
	a, u := r.values()
	for b, nm := range NMs() {
		if !(a[b] >= -1 && a[b] <= maxAbsorbance) {
			faults.Addf(fmt.Sprintf("a%d", nm), finite(a[b]), "A%d per 10 mm must be a number from -1 to %d", nm, maxAbsorbance)
		}
		if !(u[b] > 0 && u[b] <= maxAbsorbance) {
			faults.Addf(fmt.Sprintf("u%d", nm), finite(u[b]), "the standard uncertainty of A%d must be above 0, such as 0.002", nm)
		}
	}
	return faults.Err()
}

func (o Observation) validate(at string, faults *colour.FieldErrors) {
	if o.Lot == "" {
		faults.Addf(at+"/lot", nil, "every observation needs the key of its lot")
	}
	validateDays(at+"/days", o.Days, faults)
	faults.AddUnder(at, o.Reading.Validate())
}

func validateDays(at string, days float64, faults *colour.FieldErrors) {
	if !(days >= 0 && days <= MaxDays) {
		faults.Addf(at, finite(days), "days since blending or bottling must be from 0 to %d", MaxDays)
	}
}

// maxFaults is how many observations are named that are none.
const maxFaults = 100

func validateAll(observations []Observation) error {
	var faults colour.FieldErrors
	for i, o := range observations {
		o.validate(fmt.Sprintf("observations/%d", i), &faults)
		if len(faults) >= maxFaults {
			break
		}
	}
	return faults.Err()
}

// finite is x for an error's value, or its text where no wire form has it.
func finite(x float64) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return fmt.Sprint(x)
	}
	return x
}

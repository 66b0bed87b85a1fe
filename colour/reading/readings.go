package reading

import (
	"fmt"

	"pourpath/colour"
)

// At is one absorbance reading at a wavelength.
type At struct {
	// NM is the wavelength in nanometres, 380 to 780.
	NM float64
	// Absorbance is as read in the cell, without unit.
	Absorbance float64
}

// Readings are absorbances at single wavelengths, as read in the cell: the
// three of OIV-MA-AS2-07B and any further ones.
type Readings struct {
	Cell
	A420, A520, A620 float64
	// UAbsorbance is the standard uncertainty (k = 1) of one reading in the
	// middle of the instrument's scale: see Uncertainty.
	UAbsorbance float64
	// Extra are readings at other wavelengths, in any order.
	Extra []At
}

// closestNM is how near two wavelengths may be: the usual spectral bandwidth
// of the instruments is 2 to 5 nm, so nearer ones tell nothing new and their
// difference is noise.
const closestNM = 2

// All lists the readings as given, the three first and then Extra in its
// order.
func (r Readings) All() []At {
	return append([]At{{420, r.A420}, {520, r.A520}, {620, r.A620}}, r.Extra...)
}

// Validate returns colour.FieldErrors with every fault of r, or nil.
func (r Readings) Validate() error {
	var faults colour.FieldErrors
	r.validate(&faults)
	validateU(r.UAbsorbance, &faults)
	names := []string{"a420", "a520", "a620"}
	all := r.All()
	for i, at := range all {
		field := ""
		if i < 3 {
			field = names[i]
		} else {
			field = fmt.Sprintf("extra/%d/absorbance", i-3)
		}
		validateAbsorbance(field, at.Absorbance, &faults)
	}
	for i, at := range r.Extra {
		field := fmt.Sprintf("extra/%d/nm", i)
		if !(at.NM >= 380 && at.NM <= 780) {
			faults.Addf(field, at.NM, "the wavelength must be from 380 to 780 nm")
			continue
		}
		for _, other := range all[:3+i] {
			if d := at.NM - other.NM; d < closestNM && d > -closestNM {
				faults.Addf(field, at.NM, "%g nm is given twice (or within %d nm of %g nm): keep one reading, or give the mean of both", at.NM, closestNM, other.NM)
				break
			}
		}
	}
	return faults.Err()
}

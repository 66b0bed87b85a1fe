package reading

import (
	"fmt"
	"math"
	"slices"

	"pourpath/colour"
)

// Scan is an absorbance spectrum as read in the cell.
type Scan struct {
	Cell
	// NM are the wavelengths in nanometres, ascending, without doubles. They
	// must cover 400 to 700 nm at 10 nm or finer.
	NM []float64
	// Absorbance holds one value for each wavelength, as read in the cell.
	Absorbance []float64
	// UAbsorbance is the standard uncertainty (k = 1) of one reading. In a
	// scan it is taken as an error common to all wavelengths (blank and
	// baseline), which is what is left when noise has averaged out.
	UAbsorbance float64
}

const (
	mustStartNM  = 400
	mustEndNM    = 700
	widestStepNM = 10
	maxScanPoint = 10000
	// stepSlackNM forgives wavelengths that an instrument rounds.
	stepSlackNM = 0.51
)

// Validate returns colour.FieldErrors with every fault of s, or nil. Faults of
// single values are reported for the first few values only.
func (s Scan) Validate() error {
	var faults colour.FieldErrors
	s.validate(&faults)
	validateU(s.UAbsorbance, &faults)
	s.validateWavelengths(&faults)
	if len(s.Absorbance) != len(s.NM) {
		faults.Addf("absorbance", len(s.Absorbance), "%d values for %d wavelengths: each wavelength needs one value", len(s.Absorbance), len(s.NM))
	}
	for i, a := range s.Absorbance {
		if len(faults) > 12 {
			break
		}
		if i < len(s.NM) && (s.NM[i] < 380 || s.NM[i] > 780) && !math.IsNaN(a) && !math.IsInf(a, 0) {
			continue // a scan may run into the ultraviolet, where a wine lets no light pass
		}
		validateAbsorbance(fmt.Sprintf("absorbance/%d", i), a, &faults)
	}
	return faults.Err()
}

func (s Scan) validateWavelengths(faults *colour.FieldErrors) {
	n := len(s.NM)
	if n < 2 || n > maxScanPoint {
		faults.Addf("nm", n, "a scan needs 2 to %d wavelengths that cover %d-%d nm", maxScanPoint, mustStartNM, mustEndNM)
		return
	}
	for i, nm := range s.NM {
		if math.IsNaN(nm) || math.IsInf(nm, 0) || nm < 100 || nm > 5000 {
			faults.Addf(fmt.Sprintf("nm/%d", i), nm, "a wavelength in nanometres is expected here, such as 520")
			return
		}
		if i == 0 {
			continue
		}
		prev := s.NM[i-1]
		if nm == prev {
			faults.Addf(fmt.Sprintf("nm/%d", i), nm, "%g nm stands twice: keep one value for each wavelength", nm)
			return
		}
		if nm < prev {
			faults.Addf(fmt.Sprintf("nm/%d", i), nm, "%g nm follows %g nm: wavelengths must ascend", nm, prev)
			return
		}
		if nm-prev > widestStepNM+stepSlackNM && nm > mustStartNM && prev < mustEndNM {
			faults.Addf(fmt.Sprintf("nm/%d", i), nm, "nothing is given between %g and %g nm: %d-%d nm must be covered at %d nm or finer", prev, nm, mustStartNM, mustEndNM, widestStepNM)
		}
	}
	if s.NM[0] > mustStartNM+stepSlackNM || s.NM[n-1] < mustEndNM-stepSlackNM {
		faults.Addf("nm", fmt.Sprintf("%g-%g", s.NM[0], s.NM[n-1]), "the scan covers %g-%g nm, but %d-%d nm is needed", s.NM[0], s.NM[n-1], mustStartNM, mustEndNM)
	}
}

// FromTransmittance makes a Scan of transmittances in per cent of the blank,
// A = 2 - log10(T%). A transmittance of 0 or less has no absorbance and is a
// fault on transmittance_percent, as is one above 112 % (absorbance -0.05).
// The slices are not kept.
func FromTransmittance(c Cell, nm, percent []float64, u float64) (Scan, error) {
	var faults colour.FieldErrors
	out := Scan{Cell: c, NM: append([]float64(nil), nm...), Absorbance: make([]float64, len(percent)), UAbsorbance: u}
	for i, t := range percent {
		if len(faults) > 12 {
			break
		}
		field := fmt.Sprintf("transmittance_percent/%d", i)
		a := 2 - math.Log10(t)
		switch {
		case math.IsNaN(t):
			faults.Addf(field, nil, "the transmittance is not a number")
		case t <= 0 || a > maxAbsorbance:
			faults.Addf(field, t, "no light is left at this wavelength: use a shorter cell (1 mm for a red) or dilute; transmittance is in per cent of the water blank")
		case a < minAbsorbance:
			faults.Addf(field, t, "a transmittance above 112 %% is no noise: the blank was darker than the wine; zero the instrument on water and read again")
		}
		out.Absorbance[i] = a
	}
	if len(percent) != len(nm) {
		faults.Addf("transmittance_percent", len(percent), "%d values for %d wavelengths: each wavelength needs one value", len(percent), len(nm))
	}
	if len(faults) > 0 {
		// Faults of the wavelengths and the cell are told in the same breath.
		c.validate(&faults)
		out.validateWavelengths(&faults)
		return Scan{}, faults
	}
	return out, out.Validate()
}

// At is the absorbance as read at a wavelength, linearly between those of the
// scan; NaN outside it.
func (s Scan) At(nm float64) float64 {
	n := len(s.NM)
	if n == 0 || !(nm >= s.NM[0] && nm <= s.NM[n-1]) {
		return math.NaN()
	}
	i, exact := slices.BinarySearch(s.NM, nm)
	if exact {
		return s.Absorbance[i]
	}
	share := (nm - s.NM[i-1]) / (s.NM[i] - s.NM[i-1])
	return s.Absorbance[i-1] + share*(s.Absorbance[i]-s.Absorbance[i-1])
}

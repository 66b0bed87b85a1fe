package cie

// The grid that all spectra share. Source: OIV-AS2-11 (5 nm interval).
const (
	FirstNM = 380.0 // wavelength of the first value, in nm
	LastNM  = 780.0 // wavelength of the last value, in nm
	StepNM  = 5.0   // interval between values, in nm
	Points  = 81    // number of values
)

// Curve holds one value each 5 nm from 380 to 780 nm: value i belongs to
// FirstNM + i StepNM. Whether it is absorbance, transmittance (0-1) or a
// derivative is said where it is used; none of them has a unit, save the
// derivatives, which are per unit of absorbance.
type Curve [Points]float64

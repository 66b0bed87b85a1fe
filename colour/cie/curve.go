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

// Index is the place of a wavelength in a Curve, nearest to it; nm must be from
// FirstNM to LastNM.
func Index(nm float64) int { return int((nm-FirstNM)/StepNM + 0.5) }

// Wavelength is that of value i, in nm.
func Wavelength(i int) float64 { return FirstNM + StepNM*float64(i) }

// Dot is the sum of products, wavelength by wavelength.
func (c *Curve) Dot(d *Curve) float64 {
	var s float64
	for i := range c {
		s += c[i] * d[i]
	}
	return s
}

// Times is c scaled by f.
func (c *Curve) Times(f float64) (out Curve) {
	for i, x := range c {
		out[i] = f * x
	}
	return out
}

// Add adds f times d to c.
func (c *Curve) Add(f float64, d *Curve) {
	for i := range c {
		c[i] += f * d[i]
	}
}

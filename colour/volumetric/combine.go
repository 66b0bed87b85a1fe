package volumetric

import "math"

// Uncertainty is the standard uncertainty (k = 1) of something that was made of
// pours, in its two parts.
type Uncertainty struct {
	Bias    float64 // of the tools' own errors
	Reading float64 // of all readings
}

// Combined is the root of the summed squares of both parts.
func (u Uncertainty) Combined() float64 { return math.Hypot(u.Bias, u.Reading) }

// Combine propagates the uncertainties of pours to a quantity that changes by
// sensitivities[i] for each mL of pours[i]. Biases of one tool add linearly, those
// of different tools and all readings in quadrature. Both slices have one length.
//
// Source: JCGM100, 5.1.2 (independent) and 5.2.2 note 1 (fully correlated).
func Combine(sensitivities []float64, pours []Pour) Uncertainty {
	var u Uncertainty
	byTool := map[Tool]float64{}
	var order []Tool // a sum in the order of a map would differ in its last digits
	for i, p := range pours {
		if _, seen := byTool[p.Tool]; !seen {
			order = append(order, p.Tool)
		}
		byTool[p.Tool] += sensitivities[i] * p.BiasU
		u.Reading = math.Hypot(u.Reading, sensitivities[i]*p.ReadingU)
	}
	for _, t := range order {
		u.Bias = math.Hypot(u.Bias, byTool[t])
	}
	return u
}

// Sum is the volume of all pours together, in mL, and its uncertainty.
func Sum(pours []Pour) (volumeML float64, u Uncertainty) {
	ones := make([]float64, len(pours))
	for i, p := range pours {
		ones[i] = 1
		volumeML += p.VolumeML
	}
	return volumeML, Combine(ones, pours)
}

package blend

import (
	"fmt"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// VolumeU is the relative standard uncertainty of one poured volume where none
// is known: limits of 1 to 2 % of a cylinder or pipette in good use, as a
// triangular distribution. A judgement on ASTM E1272 class B, no source.
const VolumeU = 0.007

// Mix blends wines by volume fraction: absorbance adds,
//
//	A(λ) = Σ fᵢ Aᵢ(λ)
//
// L*a*b* values do not. uVolume is the relative standard uncertainty of each
// volume, 0 where the fractions are exact. The result carries the errors of
// every wine, of the volumes, and of the medium: see mediumErrors. Contraction
// on mixing is neglected (under 0.01 % between wines).
//
// Errors: colour.FieldErrors on "fractions" and "wines".
func Mix(wines []spectrum.Wine, fractions []float64, uVolume float64) (spectrum.Wine, error) {
	if err := CheckFractions(fractions); err != nil {
		return spectrum.Wine{}, err
	}
	if len(wines) < 2 || len(wines) != len(fractions) {
		return spectrum.Wine{}, colour.FieldErrors{{Field: "wines", Value: len(wines), Message: fmt.Sprintf("a blend needs two wines or more and a fraction for each: %d wines, %d fractions", len(wines), len(fractions))}}
	}
	out := spectrum.Wine{Source: spectrum.Blend, Method: string(spectrum.Blend)}
	var pigment float64
	for i := range wines {
		for k, a := range wines[i].Absorbance {
			out.Absorbance[k] += fractions[i] * a
		}
		pigment += fractions[i] * wines[i].Pigment()
		out.Warnings = append(out.Warnings, wines[i].Warnings...)
	}
	for i := range wines {
		f := fractions[i]
		for _, t := range wines[i].Terms {
			out.Terms = append(out.Terms, spectrum.Term{Cause: t.Cause, Effect: t.Effect.Times(f)})
		}
		if uVolume > 0 {
			var t cie.Curve
			for k := range t {
				t[k] = uVolume * f * (wines[i].Absorbance[k] - out.Absorbance[k])
			}
			out.Terms = append(out.Terms, spectrum.Term{Cause: spectrum.Dose, Effect: t})
		}
		if d := diluted(wines[i].Pigment(), pigment); d > 0 && f > 0 {
			others, own := mediumErrors(&wines[i])
			out.Terms = append(out.Terms, spectrum.Term{Cause: spectrum.Medium, Effect: own.Times(f * d * factorSpread)})
			for k := range others {
				out.Terms = append(out.Terms, spectrum.Term{Cause: spectrum.Medium, Effect: others[k].Times(f * d)})
			}
		}
	}
	return out, nil
}

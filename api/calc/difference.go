package calc

import (
	"fmt"

	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

// Difference is how a colour differs from its target: sample minus reference.
// Against a colour it has the ΔE and L*a*b* parts, against an intensity and
// tint the d_ parts.
type Difference struct {
	DeltaE00   *float64 `json:"delta_e_00,omitempty" minimum:"0" doc:"CIEDE2000."`
	DeltaEab   *float64 `json:"delta_e_ab,omitempty" minimum:"0" doc:"CIE 1976 ΔE*ab, which OIV-MA-AS2-11 recommends."`
	DL         *float64 `json:"dL,omitempty" doc:"Above 0: paler than the target."`
	DA         *float64 `json:"da,omitempty" doc:"Above 0: redder."`
	DB         *float64 `json:"db,omitempty" doc:"Above 0: yellower."`
	DC         *float64 `json:"dC,omitempty" doc:"Above 0: more vivid."`
	DH         *float64 `json:"dH,omitempty" doc:"Metric hue difference ΔH*; above 0 from red towards yellow."`
	DIntensity *float64 `json:"d_intensity,omitempty" doc:"Colour intensity less the target's."`
	DTint      *float64 `json:"d_tint,omitempty" doc:"Tint less the target's; left out where there is no tint."`
}

// differenceOf compares a colour with a target under the same view.
func differenceOf(t blend.Target, c spectrum.Colour) (*Difference, error) {
	if t.Lab == nil {
		return &Difference{
			DIntensity: number(c.Indices.Intensity - *t.Intensity),
			DTint:      number(c.Indices.Tint - *t.Tint),
		}, nil
	}
	return labDifference(*t.Lab, c.Lab)
}

func labDifference(reference, sample cie.Lab) (*Difference, error) {
	d, err := difference.Compare(reference, sample)
	if err != nil {
		return nil, fmt.Errorf("calc: comparing with the target: %w", err)
	}
	return comparisonOf(d), nil
}

func comparisonOf(d difference.Comparison) *Difference {
	return &Difference{
		DeltaE00: number(d.DeltaE00), DeltaEab: number(d.DeltaEab),
		DL: number(d.DL), DA: number(d.DA), DB: number(d.DB), DC: number(d.DC), DH: number(d.DH),
	}
}

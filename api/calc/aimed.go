package calc

import (
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// Aimed is a target that was taken in.
type Aimed struct {
	Target blend.Target
	View   cie.View
	// Wine is what has the target's colour: as it was read, or an estimate where only
	// L*, a*, b* are given; nil for an intensity and tint, which fix no colour.
	Wine *spectrum.Wine
	// Estimated says that Wine is an estimate.
	Estimated bool
	Warnings  []Warning
}

// Aim takes in a target under a view. The error is a *Problem with places below
// /target and /view.
func Aim(t *Target, v *View) (Aimed, error) {
	var f Faults
	out := Aimed{View: v.resolve(&f)}
	target := t.resolve("/target", out.View, &f)
	if t == nil {
		f.Addf("/target", nil, "the field %q is missing", "target")
	}
	if err := f.Err(); err != nil || target == nil {
		return out, err
	}
	out.Target, out.Warnings, out.Wine = target.Target, warningsOf(target.warnings), target.wine
	if out.Wine == nil && target.Lab != nil {
		wine, err := spectrum.FromLab(spectrum.Stated{Lab: *target.Lab, HalfStepL: 0.05, HalfStepAB: 0.05})
		if err != nil {
			f.Add("/target", err)
			return out, f.Err()
		}
		out.Wine, out.Estimated = &wine, true
	}
	return out, nil
}

// ColourShown is a colour as a screen shows it, without the rest of what is known of a
// wine.
type ColourShown struct {
	CIELAB      ColourValues `json:"cielab" doc:"The colour."`
	SRGB        *string      `json:"srgb" nullable:"true" doc:"The colour for a screen, #rrggbb; null where there is none."`
	InSRGBGamut *bool        `json:"in_srgb_gamut" nullable:"true" doc:"Whether a screen can show it; where not, srgb is the nearest that it can."`
	Conditions  Conditions   `json:"conditions" doc:"Conditions that it holds under."`
}

// Show is a colour with its hue and chroma and what a screen shows of it.
func Show(l cie.Lab) ColourShown {
	out := ColourShown{CIELAB: valuesOf(l), Conditions: conditionsOf(l.View)}
	if s, err := cie.LabScreen(l); err == nil {
		out.SRGB, out.InSRGBGamut = &s.Hex, &s.InGamut
	}
	return out
}

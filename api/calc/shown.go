package calc

import (
	"fmt"

	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
	"pourpath/reports"
)

// Shown is a colour as documents show it: under one view, with its swatches.
type Shown struct {
	Lab    cie.Lab
	U      [3]float64 // standard uncertainty (k = 1) of L*, a*, b*
	Swatch reports.Swatch
	// Warnings are of the wine; none of a blend, whose ladder has them.
	Warnings []Warning
}

// At is the blend at a dose in mL per 100 mL of base, on the path as it is known
// after all measured rungs.
func (p Prepared) At(doseMLPer100ML float64) (Shown, error) {
	return p.in.shown(p.in.path, doseMLPer100ML)
}

// Before is the blend at a dose by the wines alone, before any rung was measured.
func (p Prepared) Before(doseMLPer100ML float64) (Shown, error) {
	return p.in.shown(p.in.predicted, doseMLPer100ML)
}

func (in ladderInput) shown(path *blend.Path, dose float64) (out Shown, err error) {
	colours, err := path.Colours([]blend.Dose{blend.Dose(dose)}, in.view)
	if err != nil {
		return out, refused(err)
	}
	out.Lab, out.U = colours[0].Lab, uncertaintyOf(colours[0])
	out.Swatch, err = in.swatch(path.At(blend.Dose(dose)))
	return out, err
}

// ShowWine is the colour of one wine under a view. The error is a *Problem, or a
// fault of this program.
func ShowWine(w Wine, v *View) (Shown, error) {
	var f Faults
	in := ladderInput{view: v.resolve(&f)}
	s := w.resolveSubject("", in.view, &f)
	if err := f.Err(); err != nil {
		return Shown{}, err
	}
	if s.stated != nil {
		return in.wineShown(s.wine, &s.stated.Lab)
	}
	return in.wineShown(s.wine, nil)
}

// wineShown is a wine, or a colour as given, of which there may be no spectrum.
func (in ladderInput) wineShown(wine *spectrum.Wine, given *cie.Lab) (out Shown, err error) {
	if wine != nil {
		c, err := colourIn(*wine, in.view)
		if err != nil {
			return out, err
		}
		out.Lab, out.U, out.Warnings = c.Lab, uncertaintyOf(c), warningsOf(c.Warnings)
		if out.Swatch, err = in.swatch(*wine); err != nil {
			return out, err
		}
	}
	if given != nil {
		out.Lab = *given
	}
	if wine == nil && in.view.DepthMM == cie.OIV().DepthMM {
		if out.Swatch.At10MM, err = cie.LabScreen(out.Lab); err != nil {
			return out, fmt.Errorf("calc: swatch: %w", err)
		}
	}
	return out, nil
}

// ShowTarget is a target that is a colour, and its tolerance as ΔE00, 0 where
// there is none. ok is false where there is no target, or it is an intensity with
// a tint. The error is a *Problem, or a fault of this program.
func ShowTarget(t *Target, v *View) (out Shown, tolerance float64, ok bool, err error) {
	var f Faults
	in := ladderInput{view: v.resolve(&f)}
	aim := t.resolve("/target", in.view, &f)
	if err := f.Err(); err != nil || aim == nil || aim.Lab == nil {
		return out, 0, false, err
	}
	out, err = in.wineShown(aim.wine, aim.Lab)
	return out, aim.Tolerance, true, err
}

package calc

import (
	"fmt"
	"slices"
	"strconv"

	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/ladder"
	"pourpath/colour/spectrum"
	"pourpath/reports"
)

// curvePoints is how many points a drawn path has: smooth at any size.
const curvePoints = 101

// GlassDepthMM is the depth of the second row of swatches: about the width of
// the tasting glass of ISO 3591 where 50 mL of wine stand in it (from memory).
const GlassDepthMM = 55

// LadderFigure answers a ladder as the figure to draw. version names the
// program in the footer; texts are the figure's words, nil for English. The error is a
// *Problem, or a fault of this program.
func LadderFigure(r LadderRequest, version string, texts *reports.Texts) (reports.LadderFigure, error) {
	var f Faults
	in := r.resolve(&f)
	if err := f.Err(); err != nil {
		return reports.LadderFigure{}, err
	}
	out := reports.LadderFigure{
		Base: r.baseName(reports.InEnglish(texts)), Addition: r.Addition.Name, View: in.view,
		GlassDepthMM: GlassDepthMM, Version: "Pourpath " + version, Texts: texts,
	}
	for _, h := range r.Held {
		out.HeldMLPer100ML += h.DoseMLPer100ML
	}
	for _, step := range []func(*reports.LadderFigure) error{
		in.drawCurves, in.drawRungs, in.drawMeasured, in.drawTarget, in.drawNearest,
	} {
		if err := step(&out); err != nil {
			return reports.LadderFigure{}, err
		}
	}
	return out, nil
}

// baseName names the base with what is held in it.
func (r LadderRequest) baseName(t *reports.Texts) string {
	name := r.Base.Name
	for i, h := range r.Held {
		wine := h.Wine.Name
		if wine == "" {
			wine = reports.Fill(t.Ladder.WineNo, "no", strconv.Itoa(i+2))
		}
		name += reports.Fill(t.Ladder.HeldWine, "dose", t.Significant(h.DoseMLPer100ML, 4), "wine", wine)
	}
	return name
}

func (in ladderInput) drawCurves(out *reports.LadderFigure) (err error) {
	if out.Curve, err = in.curve(in.path); err != nil || in.path == in.predicted || in.unread {
		return err // nothing was predicted that the rungs could be held against
	}
	out.Predicted, err = in.curve(in.predicted)
	return err
}

// curve is a path from dose 0 to the largest rung.
func (in ladderInput) curve(path *blend.Path) ([]reports.PathPoint, error) {
	doses := make([]blend.Dose, curvePoints)
	for i := range doses {
		doses[i] = in.largest() * blend.Dose(i) / (curvePoints - 1)
	}
	colours, err := path.Colours(doses, in.view)
	if err != nil {
		return nil, refused(err)
	}
	points := make([]reports.PathPoint, curvePoints)
	for i, c := range colours {
		points[i] = reports.PathPoint{DoseMLPer100ML: float64(doses[i]), Lab: c.Lab, U: uncertaintyOf(c)}
		if in.target != nil && in.target.Lab != nil {
			points[i].DeltaE00 = deltaE00(*in.target.Lab, c.Lab)
		}
	}
	return points, nil
}

func uncertaintyOf(c spectrum.Colour) [3]float64 {
	return [3]float64{c.Uncertainty.L, c.Uncertainty.A, c.Uncertainty.B}
}

func deltaE00(x, y cie.Lab) float64 {
	return difference.DeltaE00(x.L, x.A, x.B, y.L, y.A, y.B)
}

func (in ladderInput) drawRungs(out *reports.LadderFigure) error {
	doses := slices.Clone(in.dosesML)
	slices.Sort(doses)
	rungs, err := ladder.Rungs(in.path, in.baseML, doses, in.view)
	if err != nil {
		return refused(err)
	}
	for _, r := range rungs {
		swatch, err := in.swatch(in.path.At(r.Dose))
		if err != nil {
			return err
		}
		out.Rungs = append(out.Rungs, reports.RungMark{
			DoseML: r.DoseML, DoseMLPer100ML: float64(r.Dose), Lab: r.Colour.Lab, Swatch: swatch,
		})
	}
	if doses[0] > 0 {
		swatch, err := in.swatch(in.path.At(0))
		if err != nil {
			return err
		}
		out.BaseSwatch = &swatch
	}
	return nil
}

// swatch is a wine for the screen, in the standard cell and in the glass.
func (in ladderInput) swatch(w spectrum.Wine) (reports.Swatch, error) {
	cell, err := cie.ScreenColour(&w.Absorbance, in.view.Illuminant, cie.OIV().DepthMM)
	if err != nil {
		return reports.Swatch{}, fmt.Errorf("calc: swatch: %w", err)
	}
	glass, err := cie.ScreenColour(&w.Absorbance, in.view.Illuminant, GlassDepthMM)
	if err != nil {
		return reports.Swatch{}, fmt.Errorf("calc: swatch: %w", err)
	}
	return reports.Swatch{At10MM: cell, InGlass: glass}, nil
}

func (in ladderInput) drawMeasured(out *reports.LadderFigure) error {
	for _, m := range in.measured {
		c, err := colourIn(m.Wine, in.view)
		if err != nil {
			return err
		}
		mark := reports.MeasuredMark{DoseMLPer100ML: float64(m.Dose), Lab: c.Lab, U: uncertaintyOf(c)}
		for path, at := range map[*blend.Path]**cie.Lab{in.path: &mark.OnPath, in.predicted: &mark.Before} {
			there, err := path.Colours([]blend.Dose{m.Dose}, in.view)
			if err != nil {
				return refused(err)
			}
			*at = &there[0].Lab
		}
		out.Measured = append(out.Measured, mark)
	}
	return nil
}

// drawTarget marks a colour; an intensity and tint are no point in L*a*b*.
func (in ladderInput) drawTarget(out *reports.LadderFigure) error {
	if in.target == nil || in.target.Lab == nil {
		return nil
	}
	mark := reports.TargetMark{Lab: *in.target.Lab, Tolerance: in.target.Tolerance}
	if w := in.target.wine; w != nil {
		swatch, err := in.swatch(*w)
		if err != nil {
			return err
		}
		mark.Swatch = swatch
	} else if screen, err := cie.LabScreen(mark.Lab); err == nil && in.view.DepthMM == cie.OIV().DepthMM {
		mark.Swatch.At10MM = screen
	}
	out.Target = &mark
	return nil
}

func (in ladderInput) drawNearest(out *reports.LadderFigure) error {
	if in.target == nil {
		return nil
	}
	found, err := in.path.Nearest(in.target.Target, in.view, in.largest())
	if err != nil {
		return refused(err)
	}
	if in.target.Lab == nil {
		out.Conditions = fmt.Sprintf("The intensity %.3g is met at %.2f mL per 100 mL of base", *in.target.Intensity, float64(found.Dose))
		return nil
	}
	c, err := colourIn(found.Wine, in.view)
	if err != nil {
		return err
	}
	swatch, err := in.swatch(found.Wine)
	if err != nil {
		return err
	}
	out.Acceptable, out.Nominal = pair(found.Acceptable), pair(found.Nominal)
	out.Nearest = &reports.NearestMark{
		DoseMLPer100ML: float64(found.Dose), Lab: c.Lab, DeltaE00: deltaE00(*in.target.Lab, c.Lab),
		Interval95: pair(found.Interval95), Swatch: swatch,
	}
	return nil
}

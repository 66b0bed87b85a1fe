package calc

import (
	"fmt"
	"math"
	"slices"

	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/ladder"
	"pourpath/colour/spectrum"
)

const (
	// TracePoints is how many doses a trace has.
	TracePoints = 201
	// TraceGlassEvery is for how many of them the drawn glass is coloured once.
	TraceGlassEvery = 4
	// outlinePoints is how many points the outline of a tolerance has.
	outlinePoints = 72
)

// Trace is a ladder's path at TracePoints doses, evenly from none to the
// largest: close enough that what lies between two of them can be read off a
// straight line (within 1/255 of a channel and 0.05 of L*, a*, b*), so that
// whoever moves a dose need not ask again. A value that cannot be had is NaN.
type Trace struct {
	DosesMLPer100ML []float64
	Points          []TracePoint
	Predicted       []TraceColour // before recalibration; nil where nothing was measured
	Rungs           []TraceRung   // of the request, by rising dose
	Measured        []TraceMeasured
	Target          *TraceTarget   // nil where the target is no colour
	LevelsMM        []float64      // depths of wine in the drawn glass
	Glass           [][]cie.Screen // for every TraceGlassEvery-th dose a colour for each level
}

// TraceColour is L*, a*, b* in the request's view.
type TraceColour struct{ L, A, B float64 }

// TracePoint is the blend at one dose. Uncertainties are standard uncertainties
// (k = 1); differences are blend less target.
type TracePoint struct {
	TraceColour
	C, H            float64 // chroma, and hue in degrees
	Intensity, Tint float64
	Fraction        float64 // of the addition in the blend

	UL, UA, UB, UC, UH, UIntensity, UTint float64
	RAB                                   float64 // correlation of a* and b*

	DeltaE00, DL, DA, DB float64 // from a colour
	DIntensity, DTint    float64 // from an intensity and tint

	Cell, Glass cie.Screen // in the depth of the view, and in that of a glass
}

// TraceRung is a rung of the request.
type TraceRung struct {
	DoseML, DoseMLPer100ML float64
	TraceColour
	Cell, Glass cie.Screen
}

// TraceMeasured is a rung that was poured and read, with the standard
// uncertainties of its L*, a*, b*, and its difference from a target that is a
// colour.
type TraceMeasured struct {
	DoseMLPer100ML float64
	TraceColour
	U        [3]float64
	DeltaE00 float64
}

// TraceTarget is the colour to reach. Outline is where ΔE00 is the tolerance at
// the target's own L*, as points (a*, b*); nil where there is none. An empty Hex
// is a colour that is not known at that depth.
type TraceTarget struct {
	TraceColour
	Tolerance   float64
	Outline     [][2]float64
	Cell, Glass cie.Screen
}

// TraceLadder answers a ladder as its trace up to a dose in mL per 100 mL of
// base, with the colours of the depths levelsMM. The error is a *Problem, or a
// fault of this program.
func TraceLadder(r LadderRequest, largestMLPer100ML float64, levelsMM []float64) (Trace, error) {
	var f Faults
	in := r.resolve(&f)
	if !(largestMLPer100ML >= 0 && largestMLPer100ML <= float64(blend.MaxDose)) {
		f.Addf("/doses_ml", largestMLPer100ML, "a path ends at a dose from 0 to %g mL per 100 mL of base", float64(blend.MaxDose))
	}
	if err := f.Err(); err != nil {
		return Trace{}, err
	}
	t := tracer{ladderInput: in, out: Trace{LevelsMM: levelsMM}}
	for i := range TracePoints {
		t.out.DosesMLPer100ML = append(t.out.DosesMLPer100ML, largestMLPer100ML*float64(i)/(TracePoints-1))
	}
	for _, step := range []func() error{t.points, t.predicted, t.rungs, t.measured, t.target} {
		if err := step(); err != nil {
			return Trace{}, err
		}
	}
	return t.out, nil
}

type tracer struct {
	ladderInput
	out Trace
}

func colourTraced(l cie.Lab) TraceColour { return TraceColour{l.L, l.A, l.B} }

func (t *tracer) doses() []blend.Dose {
	doses := make([]blend.Dose, len(t.out.DosesMLPer100ML))
	for i, d := range t.out.DosesMLPer100ML {
		doses[i] = blend.Dose(d)
	}
	return doses
}

func (t *tracer) points() error {
	doses := t.doses()
	colours, err := t.path.Colours(doses, t.view)
	if err != nil {
		return refused(err)
	}
	for i, c := range colours {
		a := t.path.Absorbance(doses[i])
		p := t.point(c)
		p.Fraction = t.path.Fraction(doses[i])
		p.Cell = c.Screen
		if p.Glass, err = t.screen(&a, GlassDepthMM); err != nil {
			return err
		}
		t.out.Points = append(t.out.Points, p)
		if i%TraceGlassEvery != 0 {
			continue
		}
		row := make([]cie.Screen, len(t.out.LevelsMM))
		for k, depth := range t.out.LevelsMM {
			if row[k], err = t.screen(&a, depth); err != nil {
				return err
			}
		}
		t.out.Glass = append(t.out.Glass, row)
	}
	return nil
}

// screen is a wine for the screen; no depth of it is white.
func (t *tracer) screen(a *cie.Curve, depthMM float64) (cie.Screen, error) {
	if depthMM == 0 {
		return cie.Screen{Hex: "#ffffff", InGamut: true}, nil
	}
	s, err := cie.ScreenColour(a, t.view.Illuminant, depthMM)
	if err != nil {
		return s, fmt.Errorf("calc: trace: %w", err)
	}
	return s, nil
}

func (t *tracer) point(c spectrum.Colour) TracePoint {
	u, nan := c.Uncertainty, math.NaN()
	p := TracePoint{
		TraceColour: colourTraced(c.Lab), C: c.Lab.Chroma(), H: c.Lab.Hue(),
		Intensity: c.Indices.Intensity, Tint: c.Indices.Tint,
		UL: u.L, UA: u.A, UB: u.B, UC: u.C, UH: u.H, UIntensity: u.Intensity, UTint: u.Tint, RAB: u.RAB,
		DeltaE00: nan, DL: nan, DA: nan, DB: nan, DIntensity: nan, DTint: nan,
	}
	switch {
	case t.ladderInput.target == nil:
	case t.ladderInput.target.Lab != nil:
		aim := *t.ladderInput.target.Lab
		p.DeltaE00, p.DL, p.DA, p.DB = deltaE00(aim, c.Lab), p.L-aim.L, p.A-aim.A, p.B-aim.B
	default:
		p.DIntensity, p.DTint = p.Intensity-*t.ladderInput.target.Intensity, p.Tint-*t.ladderInput.target.Tint
	}
	return p
}

func (t *tracer) predicted() error {
	if t.path == t.ladderInput.predicted {
		return nil
	}
	colours, err := t.ladderInput.predicted.Colours(t.doses(), t.view)
	if err != nil {
		return refused(err)
	}
	for _, c := range colours {
		t.out.Predicted = append(t.out.Predicted, colourTraced(c.Lab))
	}
	return nil
}

func (t *tracer) rungs() error {
	doses := slices.Sorted(slices.Values(t.dosesML))
	rungs, err := ladder.Rungs(t.path, t.baseML, doses, t.view)
	if err != nil {
		return refused(err)
	}
	for _, r := range rungs {
		a := t.path.Absorbance(r.Dose)
		mark := TraceRung{DoseML: r.DoseML, DoseMLPer100ML: float64(r.Dose), TraceColour: colourTraced(r.Colour.Lab), Cell: r.Colour.Screen}
		if mark.Glass, err = t.screen(&a, GlassDepthMM); err != nil {
			return err
		}
		t.out.Rungs = append(t.out.Rungs, mark)
	}
	return nil
}

func (t *tracer) measured() error {
	for _, m := range t.ladderInput.measured {
		c, err := colourIn(m.Wine, t.view)
		if err != nil {
			return err
		}
		mark := TraceMeasured{DoseMLPer100ML: float64(m.Dose), TraceColour: colourTraced(c.Lab), U: uncertaintyOf(c), DeltaE00: math.NaN()}
		if aim := t.ladderInput.target; aim != nil && aim.Lab != nil {
			mark.DeltaE00 = deltaE00(*aim.Lab, c.Lab)
		}
		t.out.Measured = append(t.out.Measured, mark)
	}
	return nil
}

func (t *tracer) target() (err error) {
	aim := t.ladderInput.target
	if aim == nil || aim.Lab == nil {
		return nil
	}
	mark := TraceTarget{TraceColour: colourTraced(*aim.Lab), Tolerance: aim.Tolerance}
	if aim.Tolerance > 0 {
		mark.Outline = difference.Locus(*aim.Lab, aim.Lab.L, aim.Tolerance, outlinePoints)
	}
	if aim.wine == nil {
		if mark.Cell, err = cie.LabScreen(*aim.Lab); err != nil {
			return fmt.Errorf("calc: trace: %w", err)
		}
	} else {
		if mark.Cell, err = t.screen(&aim.wine.Absorbance, t.view.DepthMM); err != nil {
			return err
		}
		if mark.Glass, err = t.screen(&aim.wine.Absorbance, GlassDepthMM); err != nil {
			return err
		}
	}
	t.out.Target = &mark
	return nil
}

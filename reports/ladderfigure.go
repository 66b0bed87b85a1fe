package reports

import (
	"io"

	"pourpath/colour/cie"
)

// LadderFigure is the picture of a dosing ladder: its path in the a*b* plane,
// L* and ΔE00 against the dose, and swatches. Every part but View may be
// absent; what is absent is not drawn and not named in the legend.
//
// Doses are mL of the addition per 100 mL of base unless a name says otherwise.
type LadderFigure struct {
	Title    string // headline; "Dosing ladder" when empty
	Base     string // name of the base
	Addition string // name of the addition
	View     cie.View
	// GlassDepthMM is the depth of the second row of swatches, in mm; 0 leaves
	// that row out.
	GlassDepthMM float64
	// HeldMLPer100ML is what further wines are in the base, in mL per 100 mL of it.
	// They are a part of the blend.
	HeldMLPer100ML float64

	Curve     []PathPoint // the path, dense, by rising dose
	Predicted []PathPoint // the path before recalibration, by rising dose
	Rungs     []RungMark  // by rising dose
	Measured  []MeasuredMark
	Target    *TargetMark // the colour aimed at
	Nearest   *NearestMark
	// BaseSwatch leads the strip where no rung has dose 0.
	BaseSwatch *Swatch
	// Acceptable are the lowest and highest dose within tolerance with
	// probability at least 0.95; nil where there is none, which the figure says.
	Acceptable *[2]float64
	// Nominal are the lowest and highest dose whose predicted ΔE00 is within
	// tolerance, uncertainty left aside.
	Nominal *[2]float64

	Conditions string // further conditions for the footer, a sentence
	Version    string // version of the program, for the footer
	Texts      *Texts // of the figure's words; nil is English
}

// PathPoint is one point of a path.
type PathPoint struct {
	DoseMLPer100ML float64
	Lab            cie.Lab
	U              [3]float64 // standard uncertainty (k = 1) of L*, a*, b*
	// DeltaE00 is the difference from the target. It is read only where there
	// is a target, and may be NaN where there is none.
	DeltaE00 float64
}

// RungMark is one rung: a glass of the ladder.
type RungMark struct {
	DoseML         float64 // mL into a glass
	DoseMLPer100ML float64
	Lab            cie.Lab
	Swatch         Swatch
}

// Swatch is one colour at the two depths of the strip. An empty Hex leaves that
// place blank.
type Swatch struct {
	At10MM, InGlass cie.Screen
}

// TargetMark is the colour aimed at.
type TargetMark struct {
	Lab       cie.Lab
	Tolerance float64 // ΔE00; 0 means none
	Swatch    Swatch
}

// NearestMark is the point of the path closest to the target.
type NearestMark struct {
	DoseMLPer100ML float64
	Lab            cie.Lab
	// DeltaE00 is the difference from the target. It is read only where the
	// target is a colour; aiming at an intensity and tint leaves Target nil.
	DeltaE00   float64
	Interval95 *[2]float64 // doses that hold 95 % of that closest dose
	Swatch     Swatch
}

// MeasuredMark is a blend that was poured and measured.
type MeasuredMark struct {
	DoseMLPer100ML float64
	Lab            cie.Lab
	U              [3]float64 // standard uncertainty (k = 1) of L*, a*, b*
	// OnPath and Before are the colours of the path and of the path before
	// recalibration at that dose, by which the figure shows what they leave
	// unexplained; nil where not known.
	OnPath, Before *cie.Lab
}

// Drawing lays the figure out. Errors: its faults, up to ten, each with its place.
func (f LadderFigure) Drawing() (*Drawing, error) {
	s, err := layOut(f)
	if err != nil {
		return nil, err
	}
	return &Drawing{title: s.f.Title, described: s.f.described(), texts: s.f.Texts, high: s.high, paint: s.draw}, nil
}

// WriteSVG writes the figure as Drawing.WriteSVG does. Errors: a fault of the
// figure, which names the place; a fault of w. A figure at fault writes nothing.
func (f LadderFigure) WriteSVG(w io.Writer) error { return draws(f, w, (*Drawing).WriteSVG) }

// WritePNG writes the figure as Drawing.WritePNG does. Errors are those of WriteSVG.
func (f LadderFigure) WritePNG(w io.Writer) error { return draws(f, w, (*Drawing).WritePNG) }

// WritePDF writes the figure as Drawing.WritePDF does. Errors are those of WriteSVG.
func (f LadderFigure) WritePDF(w io.Writer) error { return draws(f, w, (*Drawing).WritePDF) }

// WriteInlineSVG writes the figure as Drawing.WriteInlineSVG does. Errors are
// those of WriteSVG.
func (f LadderFigure) WriteInlineSVG(w io.Writer) error {
	return draws(f, w, (*Drawing).WriteInlineSVG)
}

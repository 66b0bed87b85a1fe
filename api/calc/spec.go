package calc

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/conform"
	"pourpath/colour/difference"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// Spec is what a wine must meet: a tolerance around a target, limits, a region
// of approved lots, or several of them together.
type Spec struct {
	Name         string          `json:"name,omitempty" maxLength:"200" doc:"What the specification is called."`
	Target       *Target         `json:"target,omitempty" doc:"The colour that the wine is compared with. It must meet the specification's own limits."`
	Tolerance    *SpecTolerance  `json:"tolerance,omitempty" doc:"The largest difference from the target's colour."`
	Limits       *Limits         `json:"limits,omitempty" doc:"The least and the most of single quantities."`
	ApprovedLots []TargetColour  `json:"approved_lots,omitempty" maxItems:"1000" doc:"Colours of approved lots in the view's conditions. Where there is no target their mean is the target, taken as what is wanted; two or more."`
	Ellipsoid    *EllipsoidLimit `json:"ellipsoid,omitempty" doc:"The region of L*a*b* in which the next lot of the same making is found, from the approved lots: Hotelling's T² prediction region. It needs eight lots or more, and no limits of one's own."`
	Warning      *SpecWarning    `json:"warning,omitempty" doc:"Warning limits inside the specification's own; they say something and decide nothing."`
	Reading      *ReadingMethod  `json:"reading_method,omitempty" doc:"How lots are to be read. A wine read in another way is judged with a warning; /v1/feasibility tells whether lots read in this way could pass."`
	Rule         string          `json:"rule,omitempty" enum:"simple,guarded" default:"simple" doc:"simple compares the values; guarded asks for the probability of conforming to all parts together (JCGM 106)."`
	MaxRisk      *float64        `json:"max_risk,omitempty" minimum:"0.001" exclusiveMaximum:"0.5" default:"0.05" doc:"guarded only: pass when the probability of conforming is at least 1 - max_risk; fail when it is at most max_risk and a wine on the limit would be measured as far outside at most that often; else inconclusive."`
}

// SpecTolerance is the largest difference from a target: at least one of two.
type SpecTolerance struct {
	DeltaE00 float64  `json:"delta_e_00,omitempty" exclusiveMinimum:"0" maximum:"100" doc:"CIEDE2000. About 1 is just seen side by side; 1 to 3 is usual."`
	KL       *float64 `json:"kL,omitempty" minimum:"0.1" maximum:"10" default:"1" doc:"Parametric factor of lightness in delta_e_00 (CIE 142, ISO/CIE 11664-6): 2 makes its differences count half."`
	KC       *float64 `json:"kC,omitempty" minimum:"0.1" maximum:"10" default:"1" doc:"Parametric factor of chroma in delta_e_00."`
	KH       *float64 `json:"kH,omitempty" minimum:"0.1" maximum:"10" default:"1" doc:"Parametric factor of hue in delta_e_00."`
	DeltaEab float64  `json:"delta_e_ab,omitempty" exclusiveMinimum:"0" maximum:"100" doc:"CIE 1976 ΔE*ab."`
}

// Limits are the least and the most of quantities, both included.
type Limits struct {
	L             *[2]float64 `json:"L,omitempty" doc:"L*."`
	A             *[2]float64 `json:"a,omitempty" doc:"a*."`
	B             *[2]float64 `json:"b,omitempty" doc:"b*."`
	C             *[2]float64 `json:"C,omitempty" doc:"Chroma C*."`
	H             *[2]float64 `json:"h,omitempty" doc:"Hue angle in degrees; [350, 20] runs through 0."`
	Intensity     *[2]float64 `json:"intensity,omitempty" doc:"Colour intensity for 10 mm."`
	Tint          *[2]float64 `json:"tint,omitempty" doc:"Tint A420 / A520."`
	YellowPercent *[2]float64 `json:"yellow_percent,omitempty" doc:"Share of A420 in the intensity, in %."`
	RedPercent    *[2]float64 `json:"red_percent,omitempty" doc:"Share of A520 in the intensity, in %."`
	BluePercent   *[2]float64 `json:"blue_percent,omitempty" doc:"Share of A620 in the intensity, in %."`
}

// EllipsoidLimit is the region of the approved lots at a confidence.
type EllipsoidLimit struct {
	Confidence *float64 `json:"confidence,omitempty" minimum:"0.5" maximum:"0.9999" default:"0.95" doc:"Probability that the next lot of the same making falls inside."`
}

// SpecWarning holds warning limits. Each lies within one of the specification's.
type SpecWarning struct {
	Tolerance *WarningTolerance `json:"tolerance,omitempty" doc:"Differences from the target."`
	Limits    *Limits           `json:"limits,omitempty" doc:"The least and the most of single quantities."`
	Ellipsoid *SmallerEllipsoid `json:"ellipsoid,omitempty" doc:"A smaller region of the approved lots, at a lower confidence."`
}

// SmallerEllipsoid is the region of the approved lots at a lower confidence.
type SmallerEllipsoid struct {
	Confidence float64 `json:"confidence" minimum:"0.5" maximum:"0.9999" doc:"Below that of the specification's ellipsoid."`
}

// WarningTolerance is a difference inside a tolerance.
type WarningTolerance struct {
	DeltaE00 float64 `json:"delta_e_00,omitempty" exclusiveMinimum:"0" maximum:"100" doc:"CIEDE2000, with the tolerance's parametric factors."`
	DeltaEab float64 `json:"delta_e_ab,omitempty" exclusiveMinimum:"0" maximum:"100" doc:"CIE 1976 ΔE*ab."`
}

// DefaultMaxRisk is the accepted risk of a specification that says none: JCGM106
// gives none either; 0.05 is usual.
const DefaultMaxRisk = 0.05

// ReadingMethod is how lots are to be read.
type ReadingMethod struct {
	Source      string    `json:"source" enum:"readings,spectrum,cielab" doc:"What a lot is known by."`
	ExtraNM     []float64 `json:"extra_nm,omitempty" maxItems:"100" doc:"readings only: wavelengths beside 420, 520 and 620 nm."`
	PathMM      *float64  `json:"path_mm,omitempty" minimum:"0.01" maximum:"100" default:"10" doc:"Optical path of the cell in mm."`
	Dilution    *float64  `json:"dilution,omitempty" minimum:"1" maximum:"1000" default:"1" doc:"Total volume divided by wine volume of what is read."`
	UAbsorbance *float64  `json:"u_absorbance,omitempty" minimum:"0" maximum:"1" default:"0.002" doc:"Standard uncertainty (k = 1) of one reading."`
	Decimals    *int      `json:"decimals,omitempty" minimum:"0" maximum:"4" default:"1" doc:"cielab only: digits behind the point in which L*, a* and b* are stated."`
	SameSession bool      `json:"same_session,omitempty" doc:"Whether the target, a wine, is read again with each lot on the same instrument."`
}

// Text is the method in words.
func (m ReadingMethod) Text() string {
	if m.Source == "cielab" {
		decimals := 1
		if m.Decimals != nil {
			decimals = *m.Decimals
		}
		return fmt.Sprintf("L*, a*, b* to %d decimals", decimals)
	}
	words := "a scan"
	if m.Source == "readings" {
		words = "absorbances at 420, 520, 620"
		for _, nm := range m.ExtraNM {
			words += fmt.Sprintf(", %g", nm)
		}
		words += " nm"
	}
	words += fmt.Sprintf(", %g mm cell", orDefault(m.PathMM, 10))
	if d := orDefault(m.Dilution, 1); d != 1 {
		words += fmt.Sprintf(", diluted %g-fold", d)
	}
	if m.SameSession {
		words += ", in one session with the target"
	}
	return words
}

// resolve makes the core's specification of s, which stands at pointer, with the
// target that its reference comes from.
func (s Spec) resolve(pointer string, view cie.View, f *Faults) (conform.Spec, *targeted) {
	out := conform.Spec{
		Name: s.Name, Limits: s.Limits.core(), Rule: conform.Simple, MaxRisk: orDefault(s.MaxRisk, DefaultMaxRisk),
		Warning: s.Warning.core(), Setup: s.Reading.core(),
	}
	if s.Rule != "" {
		out.Rule = conform.Rule(s.Rule)
	}
	before := len(f.list)
	s.Reading.check(pointer+"/reading_method", f)
	s.tolerances(pointer, &out, f)
	s.approved(pointer, view, &out, f)
	target := s.Target.untolerated().resolve(pointer+"/target", view, f)
	if target != nil {
		out.Reference = target.reference()
	}
	if lookedUp := target != nil || s.Target == nil; lookedUp && len(f.list) == before {
		f.Add(pointer, out.ValidateIn(view))
	}
	return out, target
}

// tolerances are the specification's own, or its target's ΔE00 but not both.
func (s Spec) tolerances(pointer string, out *conform.Spec, f *Faults) {
	if s.Target != nil && s.Target.Tolerance != nil {
		out.Tolerance = s.Target.Tolerance.DeltaE00
	}
	own := s.Tolerance
	if own == nil {
		return
	}
	if out.Tolerance > 0 && own.DeltaE00 > 0 {
		f.Addf(pointer+"/tolerance", own.DeltaE00, "the tolerance stands here and in the target; give it once")
	}
	if own.DeltaE00 == 0 && own.DeltaEab == 0 && out.Tolerance == 0 {
		f.Addf(pointer+"/tolerance", nil, "the tolerance is empty: give \"delta_e_00\", \"delta_e_ab\" or both")
	}
	out.Tolerance, out.ToleranceAB = max(own.DeltaE00, out.Tolerance), own.DeltaEab
	if own.KL != nil || own.KC != nil || own.KH != nil {
		out.Weights = difference.Weights{KL: orDefault(own.KL, 1), KC: orDefault(own.KC, 1), KH: orDefault(own.KH, 1)}
	}
}

// approved brings in the approved lots: as a region, as the reference, or both.
func (s Spec) approved(pointer string, view cie.View, out *conform.Spec, f *Faults) {
	lots := make([]cie.Lab, len(s.ApprovedLots))
	for i, lot := range s.ApprovedLots {
		lots[i] = cie.Lab{L: lot.L, A: lot.A, B: lot.B, View: view}
	}
	place := pointer + "/approved_lots"
	switch {
	case s.Ellipsoid != nil:
		e, err := conform.EllipsoidOf(lots, orDefault(s.Ellipsoid.Confidence, 0.95))
		out.Ellipsoid = &e
		var faults colour.FieldErrors
		if errors.As(err, &faults) {
			for _, fault := range faults {
				at := pointer + "/ellipsoid/" + fault.Field
				if rest, ofLots := strings.CutPrefix(fault.Field, "lots"); ofLots {
					at = place + rest
				}
				f.Addf(at, fault.Value, "%s", fault.Message)
			}
		}
	case s.ApprovedLots == nil:
	case s.Target != nil:
		f.Addf(place, nil, "the approved lots serve nothing beside a target: add \"ellipsoid\" to hold wines against their region, or leave out the target to compare with their mean")
	case len(lots) < 2:
		f.Addf(place, nil, "the mean of approved lots needs two or more; give the colour of one as the target")
	default:
		mean, err := conform.MeanOf(lots)
		f.Add(place, err)
		out.Reference = &conform.Reference{Stated: &spectrum.Stated{Lab: mean}}
	}
}

// untolerated is t without its tolerance, which the specification has taken.
func (t *Target) untolerated() *Target {
	if t == nil {
		return nil
	}
	out := *t
	out.Tolerance = nil
	return &out
}

// reference is the target as a specification holds it.
func (t *targeted) reference() *conform.Reference {
	r := &conform.Reference{Wine: t.wine, Intensity: t.Intensity, Tint: t.Tint}
	switch {
	case t.stated != nil:
		r.Stated = t.stated
	case t.wine == nil && t.Lab != nil:
		r.Stated = &spectrum.Stated{Lab: *t.Lab}
	}
	return r
}

// core lists the limits that are given.
func (l *Limits) core() map[conform.Quantity][2]float64 {
	out := map[conform.Quantity][2]float64{}
	if l == nil {
		return out
	}
	for q, limits := range map[conform.Quantity]*[2]float64{
		conform.L: l.L, conform.A: l.A, conform.B: l.B, conform.Chroma: l.C, conform.Hue: l.H,
		conform.Intensity: l.Intensity, conform.Tint: l.Tint,
		conform.Yellow: l.YellowPercent, conform.Red: l.RedPercent, conform.Blue: l.BluePercent,
	} {
		if limits != nil {
			out[q] = *limits
		}
	}
	return out
}

func (w *SpecWarning) core() (out conform.WarningLimits) {
	if w == nil {
		return out
	}
	if w.Tolerance != nil {
		out.Tolerance, out.ToleranceAB = w.Tolerance.DeltaE00, w.Tolerance.DeltaEab
	}
	if w.Ellipsoid != nil {
		out.Confidence = w.Ellipsoid.Confidence
	}
	out.Limits = w.Limits.core()
	return out
}

// check appends what of m, which may be nil, its source has no use for.
func (m *ReadingMethod) check(pointer string, f *Faults) {
	if m == nil || m.Source == "" {
		return
	}
	stated := m.Source == string(spectrum.CIELAB)
	for _, field := range []struct {
		name   string
		given  bool
		stated bool
	}{{"path_mm", m.PathMM != nil, false}, {"dilution", m.Dilution != nil, false}, {"u_absorbance", m.UAbsorbance != nil, false}, {"decimals", m.Decimals != nil, true}} {
		if field.given && field.stated != stated {
			f.Addf(pointer+"/"+field.name, nil, "%q serves nothing where the source is %q: leave it out", field.name, m.Source)
		}
	}
}

func (m *ReadingMethod) core() *conform.Setup {
	if m == nil {
		return nil
	}
	out := &conform.Setup{
		Source: spectrum.Source(m.Source), ExtraNM: m.ExtraNM, Cell: cellOf(m.PathMM, m.Dilution),
		UAbsorbance: orDefault(m.UAbsorbance, reading.DefaultU), SameSession: m.SameSession,
	}
	if out.Source == spectrum.CIELAB {
		decimals := 1
		if m.Decimals != nil {
			decimals = *m.Decimals
		}
		half := 0.5 * math.Pow10(-decimals)
		out.HalfStepL, out.HalfStepAB = half, half
	}
	return out
}

package calc

import (
	"fmt"
	"math"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// WineColour is the colour of a wine or blend under stated conditions. A value
// that cannot be had is null, and a warning says why.
type WineColour struct {
	Absorbance    *Absorbance  `json:"absorbance" doc:"Absorbance of the undiluted wine for a 10 mm path."`
	Intensity     *float64     `json:"intensity" doc:"Colour intensity A420 + A520 + A620 for 10 mm (OIV-MA-AS2-07B)."`
	Tint          *float64     `json:"tint" doc:"Tint (shade N) A420 / A520 (OIV-MA-AS2-07B); null where A520 is not above 0."`
	YellowPercent *float64     `json:"yellow_percent" doc:"Share of A420 in the intensity, in %."`
	RedPercent    *float64     `json:"red_percent" doc:"Share of A520 in the intensity, in %."`
	BluePercent   *float64     `json:"blue_percent" doc:"Share of A620 in the intensity, in %."`
	CIELAB        ColourValues `json:"cielab" doc:"CIE 1976 L*a*b* with chroma and hue, under the conditions."`
	Conditions    Conditions   `json:"conditions" doc:"What the L*a*b* values and the screen colour hold for."`
	SRGB          *string      `json:"srgb" pattern:"^#[0-9a-f]{6}$" doc:"For the screen: the spectrum under the illuminant and the 2° observer at the view's depth, adapted to D65 by the Bradford transform."`
	InSRGBGamut   *bool        `json:"in_srgb_gamut" doc:"False where a screen cannot show the colour and srgb is clipped."`
	Uncertainty   Uncertainty  `json:"uncertainty" doc:"Standard uncertainties (k = 1)."`
	Budget        []BudgetPart `json:"uncertainty_budget,omitempty" doc:"The share of each cause in the uncertainty of L*, a*, b*; their squares add up to its square."`
	Source        string       `json:"source" enum:"readings,spectrum,cielab,blend" doc:"What the colour was made from."`
	Warnings      []Warning    `json:"warnings" doc:"What the reader of the colour must be told."`
}

// TransformSchema lets absorbance be null.
func (WineColour) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	orNull(s, "absorbance")
	return s
}

// Absorbance holds the three readings that the OIV indices are made of.
type Absorbance struct {
	A420 float64 `json:"a420" doc:"At 420 nm, for 10 mm."`
	A520 float64 `json:"a520" doc:"At 520 nm, for 10 mm."`
	A620 float64 `json:"a620" doc:"At 620 nm, for 10 mm."`
}

// ColourValues are L*a*b* in rectangular and polar form.
type ColourValues struct {
	L float64 `json:"L" doc:"Lightness L*."`
	A float64 `json:"a" doc:"a*, red against green."`
	B float64 `json:"b" doc:"b*, yellow against blue."`
	C float64 `json:"C" doc:"Chroma C*."`
	H float64 `json:"h" minimum:"0" exclusiveMaximum:"360" doc:"Hue angle in degrees, 0 to 360; 0 for a neutral colour."`
}

// Uncertainty holds standard uncertainties (k = 1).
type Uncertainty struct {
	A420      *float64 `json:"a420" doc:"Of the absorbance at 420 nm for 10 mm."`
	A520      *float64 `json:"a520" doc:"Of the absorbance at 520 nm for 10 mm."`
	A620      *float64 `json:"a620" doc:"Of the absorbance at 620 nm for 10 mm."`
	Intensity *float64 `json:"intensity" doc:"Of the colour intensity."`
	Tint      *float64 `json:"tint" doc:"Of the tint."`
	L         *float64 `json:"L" doc:"Of L*."`
	A         *float64 `json:"a" doc:"Of a*."`
	B         *float64 `json:"b" doc:"Of b*."`
	C         *float64 `json:"C" doc:"Of the chroma C*."`
	H         *float64 `json:"h" doc:"Of the hue angle, in degrees; null at chroma 0."`
}

// BudgetPart is what one cause adds to the uncertainty.
type BudgetPart struct {
	Cause string  `json:"cause" doc:"Such as reading (instrument), dilution, shape (the spectrum between the readings), rounding (last digit given), dose (volumes) or medium (the pigment changes when poured into another wine)."`
	L     float64 `json:"L" doc:"Standard uncertainty of L* from this cause."`
	A     float64 `json:"a" doc:"Standard uncertainty of a* from this cause."`
	B     float64 `json:"b" doc:"Standard uncertainty of b* from this cause."`
}

// Warning says that there is an answer but something must be known about it.
type Warning struct {
	Code    string `json:"code" doc:"For programs: lower case words joined by underscores."`
	Message string `json:"message" doc:"For people: what was found and what to do about it."`
}

// colourOf puts the core's colour into the interface's words.
func colourOf(c spectrum.Colour) WineColour {
	i, u := c.Indices, c.Uncertainty
	out := WineColour{
		Absorbance: &Absorbance{A420: i.A420, A520: i.A520, A620: i.A620},
		Intensity:  number(i.Intensity), Tint: number(i.Tint),
		YellowPercent: number(i.YellowPercent), RedPercent: number(i.RedPercent), BluePercent: number(i.BluePercent),
		CIELAB: valuesOf(c.Lab), Conditions: conditionsOf(c.Lab.View),
		Uncertainty: Uncertainty{
			A420: number(u.A420), A520: number(u.A520), A620: number(u.A620),
			Intensity: number(u.Intensity), Tint: number(u.Tint),
			L: number(u.L), A: number(u.A), B: number(u.B), C: number(u.C), H: number(u.H),
		},
		Source: string(c.Source), Warnings: warningsOf(c.Warnings),
	}
	out.show(c.Screen)
	if out.Tint == nil {
		out.Warnings = append(out.Warnings, Warning{
			Code:    "no_tint",
			Message: fmt.Sprintf("There is no tint: A420 / A520 needs an A520 above 0, and it is %.4g for 10 mm.", i.A520),
		})
	}
	for _, part := range c.Budget {
		out.Budget = append(out.Budget, BudgetPart{Cause: string(part.Cause), L: part.L, A: part.A, B: part.B})
	}
	return out
}

func (c *WineColour) show(s cie.Screen) {
	c.SRGB, c.InSRGBGamut = &s.Hex, &s.InGamut
}

func valuesOf(l cie.Lab) ColourValues {
	return ColourValues{L: l.L, A: l.A, B: l.B, C: l.Chroma(), H: l.Hue()}
}

// warningsOf never returns nil: an empty list is written as one.
func warningsOf(lists ...[]colour.Warning) []Warning {
	out := []Warning{}
	for _, list := range lists {
		for _, w := range list {
			out = append(out, Warning{Code: w.Code, Message: w.Message})
		}
	}
	return out
}

// number makes null of what is not a number.
func number(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// pair is number for an interval.
func pair(x *[2]float64) *[2]float64 {
	if x == nil || number(x[0]) == nil || number(x[1]) == nil {
		return nil
	}
	return x
}

package calc

import (
	"errors"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour/cie"
)

// Illuminant is the name of a tabulated light, such as D65.
type Illuminant string

// Schema lists the lights that there are.
func (Illuminant) Schema(huma.Registry) *huma.Schema {
	s := &huma.Schema{Type: huma.TypeString}
	for _, name := range cie.Illuminants() {
		s.Enum = append(s.Enum, string(name))
	}
	return s
}

// Observer is the visual field of the CIE observer in degrees: "2" or "10".
type Observer string

// Schema lists the observers that there are.
func (Observer) Schema(huma.Registry) *huma.Schema {
	s := &huma.Schema{Type: huma.TypeString}
	for _, name := range cie.Observers() {
		s.Enum = append(s.Enum, string(name))
	}
	return s
}

// View is what a request asks colours to be computed for; what it leaves out is
// the wine method's: D65, 10°, 10 mm (OIV-MA-AS2-11).
type View struct {
	Illuminant Illuminant `json:"illuminant,omitempty" doc:"CIE illuminant that the wine is seen under. D65 where left out." default:"D65"`
	Observer   Observer   `json:"observer,omitempty" doc:"CIE standard observer, by its visual field in degrees. 10 where left out." default:"10"`
	PathMM     *float64   `json:"path_mm,omitempty" exclusiveMinimum:"0" maximum:"1000" doc:"Depth of wine that the colour is computed for, in mm. 10 (the standard cell) where left out." default:"10"`
}

// Conditions are those that a colour holds under. Without them its numbers mean
// nothing, so every answer has them.
type Conditions struct {
	Illuminant string  `json:"illuminant" doc:"CIE illuminant." example:"D65"`
	Observer   string  `json:"observer" doc:"CIE standard observer, by its visual field in degrees." example:"10"`
	PathMM     float64 `json:"path_mm" doc:"Depth of wine in mm." example:"10"`
}

func conditionsOf(v cie.View) Conditions {
	return Conditions{Illuminant: string(v.Illuminant), Observer: string(v.Observer), PathMM: v.DepthMM}
}

// resolve fills in what v, a request's field "view", leaves out. On a fault it returns the standard view,
// so that the rest of the request can still be looked at.
func (v *View) resolve(f *Faults) cie.View {
	if v == nil {
		return cie.OIV()
	}
	return viewOf("/view", v.Illuminant, v.Observer, orDefault(v.PathMM, cie.OIV().DepthMM), f)
}

// Core is v as the science has it, with what v leaves out filled in; the standard
// view where there is no v, or it has a fault.
func (v *View) Core() cie.View {
	var f Faults
	return v.resolve(&f)
}

// viewOf makes the core's view of three fields that stand at pointer.
func viewOf(pointer string, i Illuminant, o Observer, pathMM float64, f *Faults) cie.View {
	view := cie.OIV()
	if i != "" {
		view.Illuminant = cie.Illuminant(i)
	}
	if o != "" {
		view.Observer = cie.Observer(o)
	}
	view.DepthMM = pathMM
	err := view.Validate()
	if errors.Is(err, cie.ErrIlluminant) {
		f.Addf(pointer+"/illuminant", string(i), "unknown illuminant: want one of %q", cie.Illuminants())
	}
	if errors.Is(err, cie.ErrObserver) {
		f.Addf(pointer+"/observer", string(o), "unknown observer: want one of %q", cie.Observers())
	}
	if errors.Is(err, cie.ErrDepth) {
		f.Addf(pointer+"/path_mm", pathMM, "the depth must be above 0 and at most 1000 mm")
	}
	if err != nil {
		return cie.OIV()
	}
	return view
}

func orDefault(x *float64, fallback float64) float64 {
	if x == nil {
		return fallback
	}
	return *x
}

package calc

import (
	"fmt"
	"strconv"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// BlendRequest asks for the colour of a blend of two wines or more, by the
// volumes poured or by their fractions.
type BlendRequest struct {
	Wines     []Wine    `json:"wines" minItems:"2" maxItems:"100" doc:"The wines, in the order of their volumes or fractions."`
	VolumesML []float64 `json:"volumes_ml,omitempty" maxItems:"100" doc:"What is poured of each wine, in mL."`
	Fractions []float64 `json:"fractions,omitempty" maxItems:"100" doc:"Volume fraction of each wine in the blend; they must sum to 1 within 1e-6 and are never made to."`
	View      *View     `json:"view,omitempty" doc:"Conditions to see the blend under. D65, 10°, 10 mm where left out."`
	Target    *Target   `json:"target,omitempty" doc:"The colour that the blend is compared with."`
}

// TransformSchema documents that exactly one kind of amounts is wanted.
func (BlendRequest) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return OneOf(s, []string{"volumes_ml"}, []string{"fractions"})
}

// BlendResponse is the colour of a blend.
type BlendResponse struct {
	Fractions  []float64   `json:"fractions" doc:"Volume fraction of each wine, in the order of the request; they sum to 1."`
	Colour     WineColour  `json:"colour" doc:"The blend's colour."`
	Difference *Difference `json:"difference,omitempty" doc:"Blend less target, where there is one."`
	Provenance
}

type blendInput struct {
	wines     []spectrum.Wine
	fractions []float64
	uVolume   float64
	view      cie.View
	target    *targeted
}

func (r BlendRequest) resolve(f *Faults) (in blendInput) {
	in.view = r.View.resolve(f)
	in.target = r.Target.resolve("/target", in.view, f)
	in.wines = resolveWines(r.Wines, f)
	switch {
	case (r.VolumesML != nil) == (r.Fractions != nil):
		var given []string
		if r.VolumesML != nil {
			given = []string{"volumes_ml", "fractions"}
		}
		f.oneOf("", given, "volumes_ml", "fractions")
	case r.VolumesML != nil:
		var err error
		in.fractions, err = blend.FractionsOf(r.VolumesML)
		f.Add("", err)
		in.uVolume = blend.VolumeU

		f.sameLength("/volumes_ml", len(r.VolumesML), len(r.Wines))
	default:
		f.Add("", blend.CheckFractions(r.Fractions))
		in.fractions = r.Fractions
		f.sameLength("/fractions", len(r.Fractions), len(r.Wines))
	}
	return in
}

// sameLength wants one amount for each wine.
func (f *Faults) sameLength(pointer string, amounts, wines int) {
	if amounts != wines {
		f.Addf(pointer, nil, "there must be one value for each of the %d wines, not %d", wines, amounts)
	}
}

// resolveWines resolves the wines of a blend; their faults stand at /wines/i.
func resolveWines(list []Wine, f *Faults) []spectrum.Wine {
	wines := make([]spectrum.Wine, len(list))
	for i, w := range list {
		wines[i], _ = w.resolveForBlend("/wines/"+strconv.Itoa(i), f)
	}
	if len(list) < 2 {
		f.Addf("/wines", nil, "a blend needs two wines or more, not %d", len(list))
	}
	return wines
}

// Check implements Request.
func (r BlendRequest) Check(f *Faults) { r.resolve(f) }

// Blend answers with the colour of a blend. The error is a *Problem, or a fault
// of this program.
func Blend(r BlendRequest) (BlendResponse, error) {
	var f Faults
	in := r.resolve(&f)
	if err := f.Err(); err != nil {
		return BlendResponse{}, err
	}
	mixed, err := blend.Mix(in.wines, in.fractions, in.uVolume)
	if err != nil {
		return BlendResponse{}, fmt.Errorf("calc: blend: %w", err)
	}
	c, err := colourIn(mixed, in.view)
	if err != nil {
		return BlendResponse{}, err
	}
	out := BlendResponse{Fractions: in.fractions, Colour: colourOf(c)}
	out.Difference, err = in.target.difference(c, &out.Colour)
	return out, err
}

// difference compares c with the target, if there is one, and passes on what
// must be known about the target.
func (t *targeted) difference(c spectrum.Colour, shown *WineColour) (*Difference, error) {
	if t == nil {
		return nil, nil // no target: nothing to compare with
	}
	shown.Warnings = append(shown.Warnings, warningsOf(t.warnings)...)
	return differenceOf(t.Target, c)
}

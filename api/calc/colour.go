package calc

import (
	"fmt"

	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// ColourRequest asks for the colour of one wine.
type ColourRequest struct {
	Wine Wine  `json:"wine" doc:"The wine as its laboratory knows it."`
	View *View `json:"view,omitempty" doc:"Conditions to see it under. D65, 10°, 10 mm where left out."`
}

// ColourResponse is the colour of one wine.
type ColourResponse struct {
	Colour WineColour `json:"colour" doc:"The wine's colour."`
	Provenance
}

// colourInput is a ColourRequest whose faults have been found.
type colourInput struct {
	wine spectrum.Wine
	view cie.View
}

func (r ColourRequest) resolve(f *Faults) (in colourInput) {
	in.view = r.View.resolve(f)
	in.wine, _ = r.Wine.resolve("/wine", f)
	return in
}

// Check implements Request.
func (r ColourRequest) Check(f *Faults) { r.resolve(f) }

// Colour answers with the colour of a wine. The error is a *Problem, or a fault
// of this program.
func Colour(r ColourRequest) (ColourResponse, error) {
	var f Faults
	in := r.resolve(&f)
	if err := f.Err(); err != nil {
		return ColourResponse{}, err
	}
	c, err := Seen{wine: r.Wine, spectrum: in.wine}.colour(in.view)
	if err != nil {
		return ColourResponse{}, err
	}
	return ColourResponse{Colour: c}, nil
}

// colourIn is the colour of a wine under a view that was found valid.
func colourIn(wine spectrum.Wine, view cie.View) (spectrum.Colour, error) {
	c, err := wine.Colour(view)
	if err != nil {
		return c, fmt.Errorf("calc: colour in %v: %w", view, err)
	}
	return c, nil
}

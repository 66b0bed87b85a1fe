package calc

import (
	"errors"
	"fmt"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// MatchRequest asks for the blend of some wines that comes closest to a target.
type MatchRequest struct {
	Wines  []Wine  `json:"wines" minItems:"2" maxItems:"8" doc:"The wines to blend."`
	Target *Target `json:"target" doc:"The colour to reach."`
	Limits []Limit `json:"limits,omitempty" maxItems:"100" doc:"Least and largest fraction of single wines."`
	View   *View   `json:"view,omitempty" doc:"Conditions that the target holds for. D65, 10°, 10 mm where left out."`
}

// Limit bounds the fraction of one wine.
type Limit struct {
	Wine        int      `json:"wine" minimum:"0" doc:"Which wine, counted from 0 in wines."`
	MinFraction *float64 `json:"min_fraction,omitempty" minimum:"0" maximum:"1" doc:"Least volume fraction in the blend. 0 where left out." default:"0"`
	MaxFraction *float64 `json:"max_fraction,omitempty" minimum:"0" maximum:"1" doc:"Largest volume fraction in the blend. 1 where left out." default:"1"`
}

// MatchResponse is the closest blend.
type MatchResponse struct {
	Fractions  []float64   `json:"fractions" doc:"Volume fraction of each wine, in the order of the request; they sum to 1."`
	Colour     WineColour  `json:"colour" doc:"The blend's colour."`
	Difference *Difference `json:"difference" doc:"Blend less target."`
	Reachable  bool        `json:"reachable" doc:"Whether the blend is within the tolerance, or within ΔE00 0.1 where none is given."`
	Warnings   []Warning   `json:"warnings" doc:"What must be known about the search: which way the target is missed, whether other blends come as close."`
	Provenance
}

type matchInput struct {
	wines  []spectrum.Wine
	target *targeted
	limits []blend.Limit
	view   cie.View
}

func (r MatchRequest) resolve(f *Faults) (in matchInput) {
	in.view = r.View.resolve(f)
	in.target = r.Target.resolve("/target", in.view, f)
	if r.Target == nil {
		f.Addf("/target", nil, "the field %q is missing", "target")
	}
	in.wines = resolveWines(r.Wines, f)
	for i, l := range r.Limits {
		if l.Wine < 0 || l.Wine >= len(r.Wines) {
			f.Addf(fmt.Sprintf("/limits/%d/wine", i), l.Wine, "there is no such wine: they are counted from 0 to %d", len(r.Wines)-1)
		}
		in.limits = append(in.limits, blend.Limit{
			Wine: l.Wine, MinFraction: orDefault(l.MinFraction, 0), MaxFraction: orDefault(l.MaxFraction, 1),
		})
	}
	return in
}

// Check implements Request.
func (r MatchRequest) Check(f *Faults) { r.resolve(f) }

// Match answers with the blend that comes closest to a target. The error is a
// *Problem, or a fault of this program.
func Match(r MatchRequest) (MatchResponse, error) {
	var f Faults
	in := r.resolve(&f)
	if err := f.Err(); err != nil {
		return MatchResponse{}, err
	}
	m, err := blend.MatchTarget(in.wines, in.target.Target, in.limits, in.view)
	if err != nil {
		return MatchResponse{}, refused(err)
	}
	c, err := colourIn(m.Wine, in.view)
	if err != nil {
		return MatchResponse{}, err
	}
	out := MatchResponse{
		Fractions: m.Fractions, Colour: colourOf(c), Reachable: m.Reachable, Warnings: warningsOf(m.Warnings),
	}
	out.Difference, err = in.target.difference(c, &out.Colour)
	return out, err
}

// refused makes a Problem of what the core found only while it computed, and
// passes any other error on.
func refused(err error) error {
	var fields colour.FieldErrors
	if !errors.As(err, &fields) {
		return fmt.Errorf("calc: %w", err)
	}
	var f Faults
	f.Add("", err)
	return f.Err()
}

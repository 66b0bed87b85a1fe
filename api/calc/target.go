package calc

import (
	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// Target is the colour to reach: exactly one of a colour in the view's
// conditions, another wine, or an intensity with a tint.
type Target struct {
	CIELAB    *TargetColour `json:"cielab,omitempty" doc:"A colour, in the view's conditions."`
	Wine      *Wine         `json:"wine,omitempty" doc:"Another wine, whose colour is wanted."`
	Intensity *float64      `json:"intensity,omitempty" exclusiveMinimum:"0" doc:"Colour intensity A420 + A520 + A620 for 10 mm, together with tint."`
	Tint      *float64      `json:"tint,omitempty" exclusiveMinimum:"0" doc:"Tint A420 / A520, together with intensity."`
	ID        *string       `json:"id,omitempty" doc:"Identifier of a stored target, instead of its data; it holds in the conditions it was stored with. A tolerance given here takes the place of the stored one."`
	Tolerance *Tolerance    `json:"tolerance,omitempty" doc:"How far off still counts as the target."`

	stored *View // set where the data above are those of ID
}

// TransformSchema documents that exactly one kind of target is wanted.
func (Target) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return OneOf(s, []string{"cielab"}, []string{"wine"}, []string{"intensity", "tint"}, []string{"id"})
}

// TargetColour is L*a*b* in the view's conditions.
type TargetColour struct {
	L float64 `json:"L" minimum:"0" maximum:"110" doc:"Lightness L*."`
	A float64 `json:"a" minimum:"-150" maximum:"150" doc:"a*, red against green."`
	B float64 `json:"b" minimum:"-150" maximum:"150" doc:"b*, yellow against blue."`
}

// Tolerance is the largest difference that still counts as the target.
type Tolerance struct {
	DeltaE00 float64 `json:"delta_e_00" exclusiveMinimum:"0" maximum:"100" doc:"CIEDE2000. About 1 is just seen side by side; 1 to 3 is usual."`
}

// targeted is a target whose faults have been found, with the warnings that
// belong to the wine it came from.
type targeted struct {
	blend.Target
	wine     *spectrum.Wine   // the target's spectrum, nil where none is known
	stated   *spectrum.Stated // the target as given, nil unless it is a wine's
	warnings []colour.Warning
}

// resolve makes the core's target of t, or nil where there is none or it has a
// fault.
func (t *Target) resolve(pointer string, view cie.View, f *Faults) *targeted {
	if t == nil {
		return nil
	}
	before := len(f.list)
	var out targeted
	if !t.oneKind(pointer, f) || !t.holdsIn(pointer, view, f) {
		return nil
	}
	if t.Tolerance != nil {
		out.Tolerance = t.Tolerance.DeltaE00
	}
	switch {
	case t.CIELAB != nil:
		out.Lab = &cie.Lab{L: t.CIELAB.L, A: t.CIELAB.A, B: t.CIELAB.B, View: view}
	case t.Wine != nil:
		t.Wine.target(pointer+"/wine", view, &out, f)
		if out.wine == nil && out.stated == nil {
			return nil // it has a fault, or is yet to be looked up
		}
	default:
		out.Intensity, out.Tint = t.Intensity, t.Tint
		if t.Tolerance != nil {
			f.Addf(pointer+"/tolerance", nil, "a ΔE00 tolerance needs a colour as target: an intensity and tint do not fix one")
		}
	}
	if len(f.list) == before {
		f.Add(pointer, out.Validate())
	}
	if len(f.list) > before {
		return nil
	}
	return &out
}

// holdsIn checks that a stored colour is asked for in its own conditions: L*a*b*
// of another lamp, observer or depth is another colour.
func (t *Target) holdsIn(pointer string, view cie.View, f *Faults) bool {
	if t.stored == nil || t.CIELAB == nil {
		return true
	}
	var known Faults
	if own := t.stored.resolve(&known); own != view {
		f.Addf(pointer+"/id", *t.ID, "this target was stored for %v, and the request asks for %v: ask under the target's conditions", own, view)
		return false
	}
	return true
}

// oneKind checks that t says exactly once what it is.
func (t *Target) oneKind(pointer string, f *Faults) bool {
	var given []string
	if t.CIELAB != nil {
		given = append(given, "cielab")
	}
	if t.Wine != nil {
		given = append(given, "wine")
	}
	if t.Intensity != nil || t.Tint != nil {
		given = append(given, "intensity")
	}
	if t.ID != nil && t.stored == nil {
		given = append(given, "id")
	}
	if len(given) != 1 {
		f.oneOf(pointer, given, "cielab", "wine", "intensity with tint", "id")
		return false
	}
	switch {
	case given[0] == "id":
		if !f.unlooked {
			f.Addf(pointer+"/id", *t.ID, "%s", ErrNotStored)
		}
		return false
	case given[0] != "intensity":
	case t.Tint == nil:
		f.Addf(pointer+"/tint", nil, "intensity and tint go together: give tint (A420/A520) too")
		return false
	case t.Intensity == nil:
		f.Addf(pointer+"/intensity", nil, "intensity and tint go together: give intensity (A420 + A520 + A620 for 10 mm) too")
		return false
	}
	return true
}

// target makes w the colour to reach.
func (w Wine) target(pointer string, view cie.View, out *targeted, f *Faults) {
	s := w.resolveSubject(pointer, view, f)
	out.wine, out.stated, out.warnings = s.wine, s.stated, s.notes
	switch {
	case s.stated != nil:
		out.Lab = &s.stated.Lab
	case s.wine != nil:
		c, err := colourIn(*s.wine, view)
		if err != nil {
			f.Add(pointer, err)
			return
		}
		out.Lab, out.warnings = &c.Lab, append(out.warnings, c.Warnings...)
	}
}

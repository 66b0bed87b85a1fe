package record

import (
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
)

// SpecBody is a new specification, or a new version of one: what a wine must
// meet, the conditions that it holds for, when, and who approved it.
type SpecBody struct {
	calc.Spec
	View           *calc.View     `json:"view,omitempty" doc:"Conditions that the specification holds for. D65, 10°, 10 mm where left out."`
	Reference      *SpecReference `json:"reference,omitempty" doc:"Instead of a target: where its colour is taken from. What it is at this moment is copied in, with the readings used."`
	ReferenceState *State         `json:"reference_state,omitempty" doc:"Cellar state of the reference when it was read. A sample in another state is judged with a warning; nothing is computed with it."`
	Product        string         `json:"product,omitempty" maxLength:"200" doc:"What it is the specification of, such as House rosé 750 mL: a lot of that product needs to name no specification."`
	ValidFrom      *Instant       `json:"valid_from,omitempty" doc:"From when it holds (RFC 3339, or a date). The first version holds from ever, a later one from when it is recorded, where left out."`
	ValidTo        *Instant       `json:"valid_to,omitempty" doc:"Until when it holds, that moment not included. Until the next version begins where left out."`
	ApprovedBy     string         `json:"approved_by,omitempty" maxLength:"200" doc:"Who approved it."`
}

// SpecReference is where the colour of a specification's reference is taken
// from: exactly one of the two.
type SpecReference struct {
	Trial string   `json:"trial,omitempty" maxLength:"100" doc:"Identifier of a trial: the colour of its chosen dose, as the final check read it, else as its glass was read, else as it is predicted."`
	Lots  []string `json:"lots,omitempty" maxItems:"1000" doc:"Identifiers of released lots: the mean of their colours. The colours become approved_lots."`
}

// TransformSchema documents that exactly one source is wanted.
func (SpecReference) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return calc.OneOf(s, []string{"trial"}, []string{"lots"})
}

// Check implements calc.Request.
func (b SpecBody) Check(f *calc.Faults) {
	b.checkKept(f)
	if b.Reference == nil {
		calc.CheckSpec(b.Spec, b.View, f)
		return
	}
	b.checkReference(f)
}

// checkKept looks at what is kept beside the specification itself.
func (b SpecBody) checkKept(f *calc.Faults) {
	checkInstant("/valid_from", b.ValidFrom, f)
	checkInstant("/valid_to", b.ValidTo, f)
	b.ReferenceState.check("/reference_state", f)
	if from, to := b.ValidFrom, b.ValidTo; from != nil && to != nil && !from.IsZero() && !to.IsZero() && !to.After(from.Time) {
		f.Addf("/valid_to", to.String(), "it ends at or before its beginning, %s: valid_to is later than valid_from", from)
	}
}

// checkReference looks at where a reference is taken from. What it comes to is
// looked at once it is known.
func (b SpecBody) checkReference(f *calc.Faults) {
	r := b.Reference
	switch {
	case (r.Trial == "") == (r.Lots == nil):
		f.Addf("/reference", nil, "give exactly one of \"trial\" or \"lots\"")
	case r.Lots != nil && len(r.Lots) == 0:
		f.Addf("/reference/lots", r.Lots, "the list is empty: name two released lots or more, whose mean is the reference")
	case b.Target != nil:
		f.Addf("/reference", nil, "the reference is given twice, here and as the target: give one of the two")
	}
	seen := map[string]int{}
	for i, id := range r.Lots {
		if first, twice := seen[id]; twice {
			f.Addf(pointerTo("/reference/lots", i), id, "this lot stands here twice, first as number %d", first+1)
			continue
		}
		seen[id] = i
	}
}

// Spec is the record of a version of a specification. It is never changed:
// another one is another version, or another specification.
type Spec struct {
	ID      string `json:"id" doc:"Identifier; all versions have the same."`
	Version int    `json:"version" doc:"Version of the specification, from 1. A version is never changed."`
	SpecBody
	TargetID          string              `json:"target_id,omitempty" doc:"Identifier of the stored target that target was copied from when this was made."`
	ReferenceSource   string              `json:"reference_source,omitempty" doc:"What the colour of the reference was taken from, in words."`
	ReferenceReadings []string            `json:"reference_readings,omitempty" doc:"Identifiers of the entry in the trial's log, or of the lots' samples, that the colour of the reference was taken from."`
	ReadingsUsed      []calc.ReadingsUsed `json:"readings_used,omitempty" doc:"The readings of stored wines that the target was copied from when this was made. Verdicts are given by this copy, whatever becomes of the wine's record later."`
	CreatedAt         Instant             `json:"created_at" doc:"When the record was made."`
	ArchivedAt        *Instant            `json:"archived_at,omitempty" doc:"When it was archived; absent while it is in use."`
}

// Begins is from when the version holds: zero for ever.
func (s Spec) Begins() Instant {
	switch {
	case s.ValidFrom != nil:
		return *s.ValidFrom
	case s.Version <= 1:
		return Instant{}
	}
	return s.CreatedAt
}

// VersionAt finds the version of a specification that holds at a moment, among
// all of its versions in ascending order: one that has begun, has not ended, and
// was not followed by another.
func VersionAt(versions []Spec, at Instant) (Spec, bool) {
	for i := len(versions) - 1; i >= 0; i-- {
		v := versions[i]
		if v.Begins().After(at.Time) {
			continue
		}
		return v, v.ValidTo == nil || at.Before(v.ValidTo.Time)
	}
	return Spec{}, false
}

// CheckFollows appends what stands in the way of next's following after last, the
// newest version so far: each moment has one version at most.
func CheckFollows(last, next Spec, f *calc.Faults) {
	begins := next.Begins()
	value := any(nil)
	if next.ValidFrom != nil {
		value = begins.String()
	}
	switch {
	case !begins.After(last.Begins().Time) && !last.Begins().IsZero():
		f.Addf("/valid_from", value, "it would begin at %s, and version %d begins at %s: a version begins after the one before it", begins, last.Version, last.Begins())
	case last.ValidTo != nil && begins.Before(last.ValidTo.Time):
		f.Addf("/valid_from", value, "it would begin at %s, while version %d is valid until %s, so the two overlap: begin at %s or later", begins, last.Version, last.ValidTo, last.ValidTo)
	}
	if to := next.ValidTo; to != nil && next.ValidFrom == nil && !to.After(begins.Time) {
		f.Addf("/valid_to", to.String(), "it ends at or before its beginning, %s", begins)
	}
}

// Term is when a version holds, in words.
func (s Spec) Term() string {
	var words []string
	if begins := s.Begins(); !begins.IsZero() {
		words = append(words, "from "+begins.String())
	}
	if s.ValidTo != nil {
		words = append(words, "until "+s.ValidTo.String())
	}
	if words == nil {
		return "always"
	}
	return strings.Join(words, " ")
}

package record

import (
	"strings"

	"pourpath/api/calc"
)

// TargetFields are a colour to reach, with the conditions it holds in.
type TargetFields struct {
	Name   string       `json:"name" minLength:"1" maxLength:"200" doc:"What the target is called."`
	Target *calc.Target `json:"target" doc:"The colour to reach."`
	View   *calc.View   `json:"view,omitempty" doc:"Conditions that the target holds in. D65, 10°, 10 mm where left out."`
	Notes  string       `json:"notes,omitempty" maxLength:"10000" doc:"Anything else."`
}

// Check implements calc.Request.
func (t TargetFields) Check(f *calc.Faults) {
	if strings.TrimSpace(t.Name) == "" {
		f.Addf("/name", t.Name, "a target needs a name")
	}
	if t.Target != nil && t.Target.ID != nil {
		f.Addf("/target/id", *t.Target.ID, "a stored target is a colour of its own, not another stored target: give cielab, wine, or intensity with tint")
		return
	}
	calc.CheckTarget(t.Target, t.View, f)
}

// Target is the record of a target.
type Target struct {
	ID string `json:"id" doc:"Identifier."`
	TargetFields
	Version    int64    `json:"version" doc:"Counts the changes of this record, from 1."`
	CreatedAt  Instant  `json:"created_at" doc:"When the record was made."`
	UpdatedAt  Instant  `json:"updated_at" doc:"When it was last changed."`
	ArchivedAt *Instant `json:"archived_at,omitempty" doc:"When it was archived; absent while it is in use."`
}

// CopyTarget takes the identifiers off a target whose data were looked up, so that
// what is kept of it is the data. It returns the stored target's.
func CopyTarget(t *calc.Target) (id string) {
	if t == nil {
		return ""
	}
	if t.ID != nil {
		id, t.ID = *t.ID, nil
	}
	if t.Wine != nil {
		t.Wine.ID = nil
	}
	return id
}

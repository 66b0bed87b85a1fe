package record

import (
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
)

// SpecBody is a new specification: what a wine must meet, and the conditions
// that it holds for.
type SpecBody struct {
	calc.Spec
	View *calc.View `json:"view,omitempty" doc:"Conditions that the specification holds for. D65, 10°, 10 mm where left out."`
}

// Check implements calc.Request.
func (b SpecBody) Check(f *calc.Faults) { calc.CheckSpec(b.Spec, b.View, f) }

// Spec is the record of a specification. It is never changed: another one is
// another version, or another specification.
type Spec struct {
	ID      string `json:"id" doc:"Identifier."`
	Version int    `json:"version" doc:"Version of the specification, from 1. A version is never changed."`
	SpecBody
	TargetID     string              `json:"target_id,omitempty" doc:"Identifier of the stored target that target was copied from when this was made."`
	ReadingsUsed []calc.ReadingsUsed `json:"readings_used,omitempty" doc:"The readings of a stored wine that the target was copied from when this was made. Verdicts are given by this copy, whatever becomes of the wine's record later."`
	CreatedAt    Instant             `json:"created_at" doc:"When the record was made."`
	ArchivedAt   *Instant            `json:"archived_at,omitempty" doc:"When it was archived; absent while it is in use."`
}

// LotBody is a new lot.
type LotBody struct {
	Name string `json:"name" minLength:"1" maxLength:"200" doc:"What the lot is called."`
	Spec string `json:"spec" minLength:"1" maxLength:"100" doc:"Identifier of the specification that its samples are held against."`
	Wine string `json:"wine,omitempty" maxLength:"100" doc:"Identifier of the wine that was filled."`
}

// Check implements calc.Request.
func (b LotBody) Check(f *calc.Faults) {
	if strings.TrimSpace(b.Name) == "" {
		f.Addf("/name", b.Name, "a lot needs a name")
	}
}

// Lot is the record of a lot, with the version of the specification that it was
// given.
type Lot struct {
	ID string `json:"id" doc:"Identifier."`
	LotBody
	SpecVersion int      `json:"spec_version" doc:"Version of the specification that its samples are held against."`
	CreatedAt   Instant  `json:"created_at" doc:"When the record was made."`
	ArchivedAt  *Instant `json:"archived_at,omitempty" doc:"When it was archived; absent while it is in use."`
}

// SampleBody is what was read of a sample of a lot.
type SampleBody struct {
	Measurement
	Circumstances
}

// TransformSchema documents that exactly one kind of input is wanted.
func (SampleBody) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return calc.OneOf(s, []string{"readings"}, []string{"spectrum"}, []string{"cielab"})
}

// Check implements calc.Request. A stated colour may be one that no wine-like
// spectrum has: it is judged as given.
func (b SampleBody) Check(f *calc.Faults) {
	if n := b.given(); n != 1 {
		f.Addf("", nil, "give exactly one of \"readings\", \"spectrum\" or \"cielab\"; here are %d", n)
	} else {
		calc.CheckAsRead(b.Wine(""), f)
	}
	b.Circumstances.check(f)
}

// Judgement is what a sample was found to be, with all that this was found by: the
// specification's version, the sample, and the program.
type Judgement struct {
	VerdictID   string  `json:"verdict_id" doc:"Identifier of the verdict."`
	Spec        string  `json:"spec" doc:"Identifier of the specification."`
	SpecVersion int     `json:"spec_version" doc:"Its version."`
	Program     string  `json:"program" doc:"Version of the program that judged."`
	DecidedAt   Instant `json:"decided_at" doc:"When it was judged."`
	calc.CheckResponse
}

// Sample is the record of a sample with its verdict. It is never changed.
type Sample struct {
	ID    string `json:"id" doc:"Identifier."`
	LotID string `json:"lot_id" doc:"Identifier of the lot."`
	Measurement
	Circumstances
	RecordedAt Instant `json:"recorded_at" doc:"When the record was made."`
	Judgement
}

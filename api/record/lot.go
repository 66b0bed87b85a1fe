package record

import (
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
)

// LotBody is a new lot.
type LotBody struct {
	Name      string   `json:"name" minLength:"1" maxLength:"200" doc:"What the lot is called."`
	Spec      string   `json:"spec,omitempty" maxLength:"100" doc:"Identifier of the specification that its samples are held against. It may be left out where product is given and one specification of that product holds."`
	Wine      string   `json:"wine,omitempty" maxLength:"100" doc:"Identifier of the wine that was filled."`
	Product   string   `json:"product,omitempty" maxLength:"200" doc:"What it is a lot of, in the words of the specifications."`
	BottledAt *Instant `json:"bottled_at,omitempty" doc:"When it was or will be bottled (RFC 3339, or a date). The version of the specification is the one that holds then, else now."`
	Storage   string   `json:"storage,omitempty" maxLength:"200" doc:"How its bottles are kept, in words of the winery's own, such as 12 °C, screw cap: lots with the same words are taken to drift alike."`
	Notes     string   `json:"notes,omitempty" maxLength:"10000" doc:"Anything else."`
}

// Check implements calc.Request.
func (b LotBody) Check(f *calc.Faults) {
	if strings.TrimSpace(b.Name) == "" {
		f.Addf("/name", b.Name, "a lot needs a name")
	}
	if strings.TrimSpace(b.Spec) == "" && strings.TrimSpace(b.Product) == "" {
		f.Addf("/spec", nil, "which specification is the lot held against? Give its identifier, or the \"product\" that it is the specification of")
	}
	checkInstant("/bottled_at", b.BottledAt, f)
}

// Lot is the record of a lot, with the version of the specification that it was
// given.
type Lot struct {
	ID string `json:"id" doc:"Identifier."`
	LotBody
	SpecVersion int `json:"spec_version" doc:"Version of the specification that its samples are held against."`
	// Bottlings are in the order in which they were recorded; BottledAt is that of the last.
	Bottlings  []Bottling `json:"bottlings,omitempty" doc:"When it was bottled, as it was told or corrected after the lot was set up, the oldest record first; the newest is bottled_at. Absent where bottled_at is as the lot was set up."`
	CreatedAt  Instant    `json:"created_at" doc:"When the record was made."`
	ArchivedAt *Instant   `json:"archived_at,omitempty" doc:"When it was archived; absent while it is in use."`
}

// Version counts what was recorded of the lot itself, from 1.
func (l Lot) Version() int64 { return int64(len(l.Bottlings)) + 1 }

// Stage says where in the life of a lot a sample was taken.
type Stage string

// The stages. The first four are of the bottling run.
const (
	FirstBottles Stage = "first_bottles" // off the line, against what was chosen
	Beginning    Stage = "beginning"
	Middle       Stage = "middle"
	End          Stage = "end"
	Retained     Stage = "retained" // bottles kept back and read again over months
)

// InRun reports whether a sample of the stage is of the bottling run.
func (s Stage) InRun() bool { return s != "" && s != Retained }

// SampleBody is what was read of a sample of a lot.
type SampleBody struct {
	Measurement
	Circumstances
	Stage       Stage  `json:"stage,omitempty" enum:"first_bottles,beginning,middle,end,retained" doc:"Where it was taken: the first bottles off the line, the beginning, middle or end of the run, or a bottle that was retained."`
	Bottle      string `json:"bottle,omitempty" maxLength:"200" doc:"Which bottle, or from where on the line."`
	Storage     string `json:"storage,omitempty" maxLength:"200" doc:"How this bottle was kept, where that is not how the lot is."`
	State       *State `json:"state,omitempty" doc:"State of the wine: recorded, and held against that of the reference in words. Nothing is computed with it."`
	SameSession bool   `json:"same_session,omitempty" doc:"Whether sample and reference wine were read in one session on one instrument: see /v1/check."`
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
	b.State.check("/state", f)
}

// Sample is the record of a sample with its first verdict. It is never changed.
type Sample struct {
	ID    string `json:"id" doc:"Identifier."`
	LotID string `json:"lot_id" doc:"Identifier of the lot."`
	SampleBody
	DaysSinceBottling *float64 `json:"days_since_bottling,omitempty" doc:"Days from the lot's bottling to when the sample was taken, or else recorded; absent where no bottling date is known."`
	RecordedAt        Instant  `json:"recorded_at" doc:"When the record was made."`
	Judgement
}

// TransformSchema lets difference be null, as in the verdict that is part of it.
func (Sample) TransformSchema(r huma.Registry, s *huma.Schema) *huma.Schema {
	return calc.CheckResponse{}.TransformSchema(r, s)
}

// At is when the sample counts from: when it was taken, or else recorded.
func (s Sample) At() Instant {
	if s.TakenAt != nil {
		return *s.TakenAt
	}
	return s.RecordedAt
}

// Age sets the days since bottling.
func (s *Sample) Age(bottled *Instant) {
	s.DaysSinceBottling = nil
	if bottled == nil {
		return
	}
	days := s.At().Sub(bottled.Time).Hours() / 24
	s.DaysSinceBottling = &days
}

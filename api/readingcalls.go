package api

import (
	"context"
	"net/http"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// ReadingAnswer is a reading with what must be known of it.
type ReadingAnswer struct {
	record.Reading
	Warnings []calc.Warning `json:"warnings" doc:"What must be known of the reading, and what to do about it. It is kept all the same."`
}

// Archiving says why a record is archived.
type Archiving struct {
	Reason string `json:"reason" minLength:"1" maxLength:"1000" doc:"Why the record no longer counts."`
}

// Check implements calc.Request.
func (a Archiving) Check(f *calc.Faults) {
	if strings.TrimSpace(a.Reason) == "" {
		f.Addf("/reason", a.Reason, "say why it no longer counts")
	}
}

// BringingBack says why an archived record is brought back.
type BringingBack struct {
	Reason string `json:"reason,omitempty" maxLength:"1000" doc:"Why it counts again."`
}

// Check implements calc.Request.
func (BringingBack) Check(*calc.Faults) {}

const exampleReading = `{"readings": {"a420": 0.431, "a520": 0.592, "a620": 0.102, "path_mm": 1}, "taken_at": "2026-11-25T14:30:00Z", "instrument": "bench 2"}`

type (
	ofWine struct {
		ByID
		Listing
	}
	toWine struct {
		ByID
		Sent
	}
)

// readingCalls are the calls about readings.
func (s *service) readingCalls(api huma.API) {
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/wines/{id}/readings", id: "add-reading", tag: tagRecords, summary: "Add a reading of a wine",
		description: "A reading is never changed: one with supersedes and a reason corrects another, and both stay.",
		body:        reflect.TypeFor[record.ReadingBody](), example: exampleReading,
		status: http.StatusCreated, answer: reflect.TypeFor[ReadingAnswer](), errors: []int{http.StatusConflict}, handle: s.addReading,
	})
	registerRecord(s, api, recordOp[ofWine]{
		method: http.MethodGet, path: "/v1/wines/{id}/readings", id: "list-readings-of-wine", tag: tagRecords, summary: "The readings of a wine",
		description: "From the oldest to the newest, superseded ones too.",
		answer:      reflect.TypeFor[listOf[record.Reading]](),
		handle: func(ctx context.Context, in *ofWine) (*reply, error) {
			return s.listReadings(in.Listing, func(p record.Page) ([]record.Reading, error) { return s.config.Records.ReadingsOf(ctx, in.ID, p) })
		},
	})
	registerRecord(s, api, recordOp[Listing]{
		method: http.MethodGet, path: "/v1/readings", id: "list-readings", tag: tagRecords, summary: "The readings of all wines",
		description: "In the order in which they were recorded, superseded ones too.",
		answer:      reflect.TypeFor[listOf[record.Reading]](),
		handle: func(ctx context.Context, in *Listing) (*reply, error) {
			return s.listReadings(*in, func(p record.Page) ([]record.Reading, error) { return s.config.Records.Readings(ctx, p) })
		},
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/readings/{id}", id: "reading", tag: tagRecords, summary: "One reading",
		description: "A reading, also where it is superseded or archived, with warnings about the checks of its instrument: those that it had then, and a check that failed since.",
		answer:      reflect.TypeFor[ReadingAnswer](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			r, err := s.config.Records.Reading(ctx, in.ID)
			if err != nil {
				return nil, err
			}
			ofInstrument, err := s.release.OfReading(ctx, r)
			return foundReply(ReadingAnswer{Reading: r, Warnings: append([]calc.Warning{}, ofInstrument...)}, err)
		},
	})
}

// readingStanding are the calls that archive a reading and bring it back.
func (s *service) readingStanding(api huma.API) {
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/readings/{id}/archive", id: "archive-reading", tag: tagRecords, summary: "Archive a reading",
		description: "The reading no longer counts; it stays readable. To put another value in its place, add a reading that supersedes it instead.",
		body:        reflect.TypeFor[Archiving](), example: `{"reason": "read in the wrong cell"}`,
		answer: reflect.TypeFor[record.Reading](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *toWine) (*reply, error) {
			why, err := calc.DecodeWhole[Archiving](in.RawBody)
			if err != nil {
				return nil, err
			}
			r, err := s.config.Records.ArchiveReading(ctx, in.ID, why.Reason)
			if err != nil {
				return nil, err
			}
			return jsonReply(r, 0)
		},
	})
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/readings/{id}/unarchive", id: "unarchive-reading", tag: tagRecords, summary: "Bring back an archived reading",
		description: "The reading counts again, unless it is superseded. That it was archived, and why, stays on record. A reading of an archived wine is brought back with it or after it.",
		body:        reflect.TypeFor[BringingBack](), example: `{"reason": "it was the right cell after all"}`,
		answer: reflect.TypeFor[record.Reading](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *toWine) (*reply, error) {
			why, err := calc.DecodeWhole[BringingBack](in.RawBody)
			if err != nil {
				return nil, err
			}
			r, err := s.config.Records.BringBackReading(ctx, in.ID, why.Reason)
			if err != nil {
				return nil, err
			}
			return jsonReply(r, 0)
		},
	})
}

func (s *service) addReading(ctx context.Context, in *toWine) (*reply, error) {
	asked, err := calc.DecodeWhole[record.ReadingBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	wine, err := s.config.Records.Wine(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	before, err := s.config.Records.Current(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	added, err := s.config.Records.AddReading(ctx, in.ID, record.Reading{
		Measurement: asked.Measurement, Circumstances: asked.Circumstances, Supersedes: asked.Supersedes, Reason: asked.Reason,
	})
	if err != nil {
		return nil, err
	}
	answer := ReadingAnswer{Reading: added, Warnings: []calc.Warning{}}
	var last *record.Reading
	if len(before) > 0 && asked.Supersedes == "" {
		last = &before[0]
	}
	answer.Warnings = append(answer.Warnings, record.Suspicions(wine.Kind, added, last)...)
	ofInstrument, err := s.release.OfReading(ctx, added)
	answer.Warnings = append(answer.Warnings, ofInstrument...)
	return madeReply("/v1/readings/"+added.ID, answer, err)
}

func (s *service) listReadings(l Listing, list func(record.Page) ([]record.Reading, error)) (*reply, error) {
	p, err := l.page()
	if err != nil {
		return nil, err
	}
	limit := p.Limit
	p.Limit++
	readings, err := list(p)
	if err != nil {
		return nil, err
	}
	return jsonReply(paged(readings, limit, func(r record.Reading) string { return r.ID }), 0)
}

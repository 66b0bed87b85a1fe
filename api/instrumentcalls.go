package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
)

const exampleCheckOfInstrument = `{"instrument": "bench 2", "kind": "filter", "reference": "neutral glass N3, certificate 2026-014", "points": [{"nm": 440, "certified": 0.503, "limit": 0.005, "reading": 0.505}, {"nm": 546.1, "certified": 0.498, "limit": 0.005, "reading": 0.496}], "checked_at": "2026-03-10T08:00:00Z", "by": "Ada", "next_due": "2026-06-10"}`

// instrumentCalls are the calls about checks of instruments.
func (s *service) instrumentCalls(api huma.API) {
	registerRecord(s, api, recordOp[Sent]{
		method: http.MethodPost, path: "/v1/instrument-checks", id: "add-instrument-check", tag: tagRecords, summary: "Record a check of an instrument",
		description: "What was read of filters, a dye, the blank, stray light or a wavelength standard, with the certified values and how far off they may be. It passes where every reading is within its limit. Readings and samples that were taken with the instrument while the newest check of a kind was failed or overdue carry a warning, and verdicts repeat it.",
		body:        reflect.TypeFor[record.InstrumentCheckBody](), example: exampleCheckOfInstrument,
		status: http.StatusCreated, answer: reflect.TypeFor[record.InstrumentCheck](),
		handle: func(ctx context.Context, in *Sent) (*reply, error) {
			asked, err := calc.DecodeWhole[record.InstrumentCheckBody](in.RawBody)
			if err != nil {
				return nil, err
			}
			made, err := s.release.AddCheck(ctx, asked)
			return madeReply("/v1/instrument-checks/"+made.ID, made, err)
		},
	})
	registerRecord(s, api, recordOp[Listing]{
		method: http.MethodGet, path: "/v1/instrument-checks", id: "list-instrument-checks", tag: tagRecords, summary: "List checks of instruments",
		description: "In the order in which they were recorded.",
		answer:      reflect.TypeFor[listOf[record.InstrumentCheck]](),
		handle: func(ctx context.Context, in *Listing) (*reply, error) {
			return pageReply(*in, func(p record.Page) ([]record.InstrumentCheck, error) {
				return s.config.Records.InstrumentChecks(ctx, p)
			},
				func(c record.InstrumentCheck) string { return c.ID })
		},
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/instrument-checks/{id}", id: "instrument-check", tag: tagRecords, summary: "One check of an instrument",
		description: "A check as it was recorded.",
		answer:      reflect.TypeFor[record.InstrumentCheck](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return foundReply(s.config.Records.InstrumentCheck(ctx, in.ID))
		},
	})
}

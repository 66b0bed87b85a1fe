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

// LotAnswer is a lot with its samples.
type LotAnswer struct {
	record.Lot
	Samples []record.Sample `json:"samples" doc:"The first 100 samples with their verdicts, in the order in which they were recorded."`
	Next    string          `json:"next,omitempty" doc:"Cursor for the samples after those, at /v1/lots/{id}/samples."`
}

// samplesWithLot is how many samples a lot is answered with.
const samplesWithLot = 100

const (
	exampleLot    = `{"name": "L-2026-31", "spec": "0199f5a2-7c1e-7b53-9d0a-5f6e8c2b1a47"}`
	exampleSample = `{"readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021, "path_mm": 10}, "taken_at": "2026-11-25T14:30:00Z", "instrument": "bench 2"}`
)

// lotCalls are the calls about lots and their samples.
func (s *service) lotCalls(api huma.API) {
	registerRecord(s, api, recordOp[Sent]{
		method: http.MethodPost, path: "/v1/lots", id: "add-lot", tag: tagRecords, summary: "Add a lot",
		description: "A lot, with the specification that its samples are held against, in the version that is the newest now.",
		body:        reflect.TypeFor[record.LotBody](), example: exampleLot,
		status: http.StatusCreated, answer: reflect.TypeFor[LotAnswer](), handle: s.addLot,
	})
	registerRecord(s, api, recordOp[Listing]{
		method: http.MethodGet, path: "/v1/lots", id: "list-lots", tag: tagRecords, summary: "List lots",
		description: "Lots in the order in which they were added.",
		answer:      reflect.TypeFor[listOf[LotAnswer]](), handle: s.listLots,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/lots/{id}", id: "lot", tag: tagRecords, summary: "One lot",
		description: "A lot with its samples and their verdicts, also where it is archived.",
		answer:      reflect.TypeFor[LotAnswer](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			lot, err := s.config.Records.Lot(ctx, in.ID)
			return s.lotReply(ctx, lot, err)
		},
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodDelete, path: "/v1/lots/{id}", id: "archive-lot", tag: tagRecords, summary: "Archive a lot",
		description: "Takes the lot out of lists; it and its samples stay readable, and it takes no more of them.",
		answer:      reflect.TypeFor[LotAnswer](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			lot, err := s.config.Records.ArchiveLot(ctx, in.ID)
			return s.lotReply(ctx, lot, err)
		},
	})
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/lots/{id}/samples", id: "add-sample", tag: tagRecords, summary: "Judge a sample of a lot",
		description: "What was read of a sample, with the verdict by the lot's specification as /v1/check gives it. Sample and verdict are kept and never change.",
		body:        reflect.TypeFor[record.SampleBody](), example: exampleSample,
		status: http.StatusCreated, answer: reflect.TypeFor[record.Sample](), errors: []int{http.StatusConflict}, handle: s.addSample,
	})
	registerRecord(s, api, recordOp[ofWine]{
		method: http.MethodGet, path: "/v1/lots/{id}/samples", id: "list-samples", tag: tagRecords, summary: "The samples of a lot",
		description: "Samples with their verdicts, in the order in which they were recorded.",
		answer:      reflect.TypeFor[listOf[record.Sample]](), handle: s.listSamples,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/samples/{id}", id: "sample", tag: tagRecords, summary: "One sample",
		description: "A sample of a lot with its verdict.",
		answer:      reflect.TypeFor[record.Sample](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return sampleReply(s.config.Records.Sample(ctx, in.ID))
		},
	})
}

func (s *service) addLot(ctx context.Context, in *Sent) (*reply, error) {
	asked, err := calc.DecodeWhole[record.LotBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	lot, err := s.config.Records.CreateLot(ctx, asked)
	out, err := s.lotReply(ctx, lot, err)
	if err != nil {
		return nil, err
	}
	out.Location = "/v1/lots/" + lot.ID
	return out, nil
}

func (s *service) lotAnswer(ctx context.Context, lot record.Lot) (LotAnswer, error) {
	samples, err := s.config.Records.SamplesOf(ctx, lot.ID, record.Page{Limit: samplesWithLot + 1})
	if err != nil {
		return LotAnswer{}, err
	}
	page := paged(samples, samplesWithLot, sampleID)
	return LotAnswer{Lot: lot, Samples: page.Items, Next: page.Next}, nil
}

func sampleID(sample record.Sample) string { return sample.ID }

func (s *service) lotReply(ctx context.Context, lot record.Lot, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	answer, err := s.lotAnswer(ctx, lot)
	if err != nil {
		return nil, err
	}
	return jsonReply(answer, 0)
}

func (s *service) listLots(ctx context.Context, in *Listing) (*reply, error) {
	p, err := in.page()
	if err != nil {
		return nil, err
	}
	limit := p.Limit
	p.Limit++
	lots, err := s.config.Records.Lots(ctx, p)
	if err != nil {
		return nil, err
	}
	page := paged(lots, limit, func(lot record.Lot) string { return lot.ID })
	out := listOf[LotAnswer]{Items: make([]LotAnswer, len(page.Items)), Next: page.Next}
	for i, lot := range page.Items {
		if out.Items[i], err = s.lotAnswer(ctx, lot); err != nil {
			return nil, err
		}
	}
	return jsonReply(out, 0)
}

func (s *service) listSamples(ctx context.Context, in *ofWine) (*reply, error) {
	p, err := in.page()
	if err != nil {
		return nil, err
	}
	limit := p.Limit
	p.Limit++
	samples, err := s.config.Records.SamplesOf(ctx, in.ID, p)
	if err != nil {
		return nil, err
	}
	return jsonReply(paged(samples, limit, sampleID), 0)
}

func sampleReply(sample record.Sample, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	return jsonReply(sample, 0)
}

func (s *service) addSample(ctx context.Context, in *toWine) (*reply, error) {
	asked, err := calc.DecodeWhole[record.SampleBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	lot, err := s.config.Records.Lot(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	spec, err := s.config.Records.SpecVersion(ctx, lot.Spec, lot.SpecVersion)
	if err != nil {
		return nil, err
	}
	answer, err := calc.Check(calc.CheckRequest{Spec: spec.Spec, Wine: asked.Wine(lot.Name), View: spec.View})
	if err != nil {
		return nil, ofSample(err)
	}
	added, err := s.config.Records.AddSample(ctx, record.Sample{
		LotID: lot.ID, Measurement: asked.Measurement, Circumstances: asked.Circumstances,
		Judgement: record.Judgement{Spec: spec.ID, SpecVersion: spec.Version, Program: s.config.Version, CheckResponse: answer},
	})
	out, err := sampleReply(added, err)
	if err != nil {
		return nil, err
	}
	out.Location = "/v1/samples/" + added.ID
	return out, nil
}

// ofSample gives a problem of the check its places in the sample, which is the
// check's wine; what is not in it has none.
func ofSample(err error) error {
	problem := calc.AsProblem(err)
	if problem == nil {
		return err
	}
	faults := problem.Errors
	for i := range faults {
		rest, inWine := strings.CutPrefix(faults[i].Location, "/wine")
		if !inWine {
			rest, faults[i].Message = "", "held against the lot's specification: "+faults[i].Message
		}
		faults[i].Location = rest
	}
	return calc.Refuse(faults...)
}

package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

const (
	exampleLot      = `{"name": "L-2026-31", "spec": "0199f5a2-7c1e-7b53-9d0a-5f6e8c2b1a47", "bottled_at": "2026-03-12"}`
	exampleBottling = `{"bottled_at": "2026-03-14", "by": "Ada", "reason": "bottled two days later than planned"}`
	exampleSample   = `{"readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021, "path_mm": 10}, "taken_at": "2026-03-12T14:30:00Z", "instrument": "bench 2", "stage": "beginning", "state": {"free_so2_mg_per_l": 28, "total_so2_mg_per_l": 95, "filtered": true}}`
)

// lotCalls are the calls about lots and their samples.
func (s *service) lotCalls(api huma.API) {
	registerRecord(s, api, recordOp[Sent]{
		method: http.MethodPost, path: "/v1/lots", id: "add-lot", tag: tagRecords, summary: "Add a lot",
		description: "A lot, with the specification that its samples are held against, in the version that holds when the lot is bottled, or now. Where it names a product and no specification, the one specification of that product that holds; where several do, which one is meant is asked.",
		body:        reflect.TypeFor[record.LotBody](), example: exampleLot,
		status: http.StatusCreated, answer: reflect.TypeFor[release.LotAnswer](), handle: s.addLot,
	})
	registerRecord(s, api, recordOp[Listing]{
		method: http.MethodGet, path: "/v1/lots", id: "list-lots", tag: tagRecords, summary: "List lots",
		description: "Lots in the order in which they were added.",
		answer:      reflect.TypeFor[listOf[release.LotAnswer]](), handle: s.listLots,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/lots/{id}", id: "lot", tag: tagRecords, summary: "One lot",
		description: "A lot with its samples and their verdicts, also where it is archived.",
		answer:      reflect.TypeFor[release.LotAnswer](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return lotReply(s.release.Lot(ctx, in.ID))
		},
	})
	registerRecord(s, api, recordOp[wineByID]{
		method: http.MethodPut, path: "/v1/lots/{id}/bottling", id: "bottle-lot", tag: tagRecords, summary: "Record when a lot was bottled",
		description: "When the lot was or will be bottled, where that was not known when it was set up, or is corrected: then with the reason. Each is a further record, with who says so and when it was recorded, and the newest counts: days since bottling, charts and drift go by it. If-Match holds the ETag of the lot. The lot keeps the version of the specification that it was given; a warning says where another holds at that time. A date after a sample of the bottling run was taken is refused.",
		body:        reflect.TypeFor[record.BottlingBody](), example: exampleBottling,
		answer: reflect.TypeFor[release.LotAnswer](), errors: []int{http.StatusConflict, http.StatusPreconditionFailed, http.StatusPreconditionRequired},
		handle: s.bottleLot,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodDelete, path: "/v1/lots/{id}", id: "archive-lot", tag: tagRecords, summary: "Archive a lot",
		description: "Takes the lot out of lists; it and its samples stay readable, and it takes no more of them.",
		answer:      reflect.TypeFor[release.LotAnswer](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return lotReply(s.release.ArchiveLot(ctx, in.ID))
		},
	})
	registerRecord(s, api, recordOp[toWine]{
		method: http.MethodPost, path: "/v1/lots/{id}/samples", id: "add-sample", tag: tagRecords, summary: "Judge a sample of a lot",
		description: "What was read of a sample, with the verdict by the lot's specification as /v1/check gives it, and warnings about the state of the wine and the instrument's checks. A sample from the future is refused, and L*, a*, b* stated for other conditions than the specification's. Sample and verdict are kept and never change. What the samples of a bottling run say of going on is at /v1/lots/{id}/run.",
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
			return foundReply(s.release.Sample(ctx, in.ID))
		},
	})
}

func (s *service) addLot(ctx context.Context, in *Sent) (*reply, error) {
	asked, err := calc.DecodeWhole[record.LotBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	lot, err := s.release.AddLot(ctx, asked)
	out, err := lotReply(lot, err)
	if err != nil {
		return nil, err
	}
	out.Location = "/v1/lots/" + lot.ID
	return out, nil
}

// lotReply answers with a lot and its version.
func lotReply(lot release.LotAnswer, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	return jsonReply(lot, lot.Version())
}

func (s *service) bottleLot(ctx context.Context, in *wineByID) (*reply, error) {
	seen, err := in.version()
	if err != nil {
		return nil, err
	}
	asked, err := calc.DecodeWhole[record.BottlingBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	return lotReply(s.release.Bottled(ctx, in.ID, seen, asked))
}

// madeReply answers with a record that was made, and where it is.
func madeReply(location string, answer any, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	out, err := jsonReply(answer, 0)
	if err == nil {
		out.Location = location
	}
	return out, err
}

func foundReply[T any](answer T, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	return jsonReply(answer, 0)
}

func (s *service) listLots(ctx context.Context, in *Listing) (*reply, error) {
	return pageReply(*in, func(p record.Page) ([]release.LotAnswer, error) { return s.release.Lots(ctx, p) }, func(lot release.LotAnswer) string { return lot.ID })
}

// pageReply answers with the page of a list that is asked for.
func pageReply[T any](l Listing, list func(record.Page) ([]T, error), id func(T) string) (*reply, error) {
	p, err := l.page()
	if err != nil {
		return nil, err
	}
	limit := p.Limit
	p.Limit++
	items, err := list(p)
	if err != nil {
		return nil, err
	}
	return jsonReply(paged(items, limit, id), 0)
}

func (s *service) listSamples(ctx context.Context, in *ofWine) (*reply, error) {
	return pageReply(in.Listing, func(p record.Page) ([]record.Sample, error) { return s.release.Samples(ctx, in.ID, p) },
		func(sample record.Sample) string { return sample.ID })
}

func (s *service) addSample(ctx context.Context, in *toWine) (*reply, error) {
	asked, err := calc.DecodeWhole[record.SampleBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	added, err := s.release.AddSample(ctx, in.ID, asked)
	return madeReply("/v1/samples/"+added.ID, added, err)
}

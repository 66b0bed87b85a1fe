package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
)

const exampleSpec = `{"name": "House rosé", "target": {"cielab": {"L": 84.2, "a": 13.1, "b": 8.4}}, "tolerance": {"delta_e_00": 2}, "limits": {"L": [80, 90]}, "rule": "guarded"}`

// specCalls are the calls about specifications. There is none that changes one.
func (s *service) specCalls(api huma.API) {
	registerRecord(s, api, recordOp[Sent]{
		method: http.MethodPost, path: "/v1/specs", id: "add-spec", tag: tagRecords, summary: "Add a specification",
		description: "What a wine must meet, and the conditions that it holds for. It is never changed. What a stored target or wine is at this moment is copied into it.",
		body:        reflect.TypeFor[record.SpecBody](), example: exampleSpec,
		status: http.StatusCreated, answer: reflect.TypeFor[record.Spec](), handle: s.addSpec,
	})
	registerRecord(s, api, recordOp[Listing]{
		method: http.MethodGet, path: "/v1/specs", id: "list-specs", tag: tagRecords, summary: "List specifications",
		description: "Specifications in the order in which they were added, each in its newest version.",
		answer:      reflect.TypeFor[listOf[record.Spec]](), handle: s.listSpecs,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/specs/{id}", id: "spec", tag: tagRecords, summary: "One specification",
		description: "A specification in its newest version, also where it is archived.",
		answer:      reflect.TypeFor[record.Spec](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return specReply(s.config.Records.Spec(ctx, in.ID))
		},
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodDelete, path: "/v1/specs/{id}", id: "archive-spec", tag: tagRecords, summary: "Archive a specification",
		description: "Takes the specification out of lists; it stays readable, and lots that have it keep it.",
		answer:      reflect.TypeFor[record.Spec](), errors: []int{http.StatusConflict},
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return specReply(s.config.Records.ArchiveSpec(ctx, in.ID))
		},
	})
}

func specReply(spec record.Spec, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	return jsonReply(spec, 0)
}

func (s *service) addSpec(ctx context.Context, in *Sent) (*reply, error) {
	asked, err := calc.DecodeWhole[record.SpecBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	var f calc.Faults
	spec := record.Spec{SpecBody: asked}
	if spec.ReadingsUsed, err = calc.LookupTarget(ctx, s.config.Records, "/target", spec.Target, &f); err != nil {
		return nil, err
	}
	calc.CheckSpec(spec.Spec, spec.View, &f)
	if err := f.Err(); err != nil {
		return nil, err
	}
	spec.TargetID = record.CopyTarget(spec.Target)
	added, err := s.config.Records.CreateSpec(ctx, spec)
	out, err := specReply(added, err)
	if err != nil {
		return nil, err
	}
	out.Location = "/v1/specs/" + added.ID
	return out, nil
}

func (s *service) listSpecs(ctx context.Context, in *Listing) (*reply, error) {
	p, err := in.page()
	if err != nil {
		return nil, err
	}
	limit := p.Limit
	p.Limit++
	specs, err := s.config.Records.Specs(ctx, p)
	if err != nil {
		return nil, err
	}
	return jsonReply(paged(specs, limit, func(spec record.Spec) string { return spec.ID }), 0)
}

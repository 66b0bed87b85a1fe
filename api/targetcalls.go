package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
)

const exampleTarget = `{"name": "House rosé", "target": {"cielab": {"L": 86.0, "a": 15.0, "b": 6.5}, "tolerance": {"delta_e_00": 1.5}}}`

// targetCalls are the calls about targets.
func (s *service) targetCalls(api huma.API) {
	registerRecord(s, api, recordOp[Sent]{
		method: http.MethodPost, path: "/v1/targets", id: "add-target", tag: tagRecords, summary: "Add a target",
		description: "A colour to reach, with the conditions it holds in. A calculation names it as {\"id\": ...} in place of a target.",
		body:        reflect.TypeFor[record.TargetFields](), example: exampleTarget,
		status: http.StatusCreated, answer: reflect.TypeFor[record.Target](), handle: s.addTarget,
	})
	registerRecord(s, api, recordOp[Listing]{
		method: http.MethodGet, path: "/v1/targets", id: "list-targets", tag: tagRecords, summary: "List targets",
		description: "Targets in the order in which they were added.",
		answer:      reflect.TypeFor[listOf[record.Target]](), handle: s.listTargets,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/targets/{id}", id: "target", tag: tagRecords, summary: "One target",
		description: "A target, also where it is archived.",
		answer:      reflect.TypeFor[record.Target](),
		handle: func(ctx context.Context, in *ByID) (*reply, error) {
			return targetReply(s.config.Records.Target(ctx, in.ID))
		},
	})
	registerRecord(s, api, recordOp[wineByID]{
		method: http.MethodPut, path: "/v1/targets/{id}", id: "change-target", tag: tagRecords, summary: "Change a target",
		description: "Replaces the target. What is left out is cleared.",
		body:        reflect.TypeFor[record.TargetFields](), example: exampleTarget,
		answer: reflect.TypeFor[record.Target](), errors: []int{http.StatusConflict, http.StatusPreconditionFailed, http.StatusPreconditionRequired},
		handle: s.changeTarget,
	})
	registerRecord(s, api, recordOp[struct {
		ByID
		Precondition
	}]{
		method: http.MethodDelete, path: "/v1/targets/{id}", id: "archive-target", tag: tagRecords, summary: "Archive a target",
		description: "Takes the target out of lists; it stays readable. Without If-Match the present version is archived.",
		answer:      reflect.TypeFor[record.Target](), errors: []int{http.StatusConflict, http.StatusPreconditionFailed},
		handle: func(ctx context.Context, in *struct {
			ByID
			Precondition
		}) (*reply, error) {
			return s.archiveTarget(ctx, in.ID, in.Precondition)
		},
	})
}

func targetReply(t record.Target, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	return jsonReply(t, t.Version)
}

func (s *service) addTarget(ctx context.Context, in *Sent) (*reply, error) {
	asked, err := calc.DecodeWhole[record.TargetFields](in.RawBody)
	if err != nil {
		return nil, err
	}
	added, err := s.config.Records.CreateTarget(ctx, asked)
	out, err := targetReply(added, err)
	if err != nil {
		return nil, err
	}
	out.Location = "/v1/targets/" + added.ID
	return out, nil
}

func (s *service) listTargets(ctx context.Context, in *Listing) (*reply, error) {
	p, err := in.page()
	if err != nil {
		return nil, err
	}
	limit := p.Limit
	p.Limit++
	targets, err := s.config.Records.Targets(ctx, p)
	if err != nil {
		return nil, err
	}
	return jsonReply(paged(targets, limit, func(t record.Target) string { return t.ID }), 0)
}

func (s *service) changeTarget(ctx context.Context, in *wineByID) (*reply, error) {
	version, err := in.version()
	if err != nil {
		return nil, err
	}
	fields, err := calc.DecodeWhole[record.TargetFields](in.RawBody)
	if err != nil {
		return nil, err
	}
	return targetReply(s.config.Records.ChangeTarget(ctx, in.ID, version, fields))
}

func (s *service) archiveTarget(ctx context.Context, id string, p Precondition) (*reply, error) {
	target, err := s.config.Records.Target(ctx, id)
	if err != nil {
		return nil, err
	}
	version := target.Version
	if p.IfMatch != "" {
		if version, err = p.version(); err != nil {
			return nil, err
		}
	}
	return targetReply(s.config.Records.ArchiveTarget(ctx, id, version))
}

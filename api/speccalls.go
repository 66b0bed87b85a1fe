package api

import (
	"context"
	"net/http"
	"reflect"
	"strconv"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
)

const exampleSpec = `{"name": "House rosé", "target": {"cielab": {"L": 84.2, "a": 13.1, "b": 8.4}}, "tolerance": {"delta_e_00": 2}, "limits": {"L": [80, 90]}, "rule": "guarded"}`

// exampleSpecVersion is the version for a next vintage.
const exampleSpecVersion = `{"name": "House rosé", "product": "House rosé 750 mL", "target": {"cielab": {"L": 84.6, "a": 12.8, "b": 8.1}}, "tolerance": {"delta_e_00": 1.8}, "rule": "guarded", "valid_from": "2026-12-01", "valid_to": "2027-12-01", "approved_by": "Ada"}`

// specVersion is the part of a request that names a version of a specification.
type specVersion struct {
	ByID
	Version string `path:"version" doc:"Version of the specification, from 1."`
}

// specCalls are the calls about specifications. There is none that changes one:
// a change is another version.
func (s *service) specCalls(api huma.API) {
	registerRecord(s, api, recordOp[Sent]{
		method: http.MethodPost, path: "/v1/specs", id: "add-spec", tag: tagRecords, summary: "Add a specification",
		description: "What a wine must meet, and the conditions that it holds for. It is never changed: a change is another version, by PUT. What a stored target or wine, a trial's chosen dose or the mean of released lots is at this moment is copied into it.",
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
	registerRecord(s, api, recordOp[wineByID]{
		method: http.MethodPut, path: "/v1/specs/{id}", id: "add-spec-version", tag: tagRecords, summary: "Add a version of a specification",
		description: "A further version under the same identifier; the versions before stay as they are, and so do the lots and verdicts that go by them. The body is the whole specification. If-Match holds the ETag, which is the newest version. A version holds from valid_from, or from now, until valid_to or the next version begins; two that would hold at one time are refused.",
		body:        reflect.TypeFor[record.SpecBody](), example: exampleSpecVersion,
		answer: reflect.TypeFor[record.Spec](), errors: []int{http.StatusConflict, http.StatusPreconditionFailed, http.StatusPreconditionRequired},
		handle: s.addSpecVersion,
	})
	registerRecord(s, api, recordOp[ByID]{
		method: http.MethodGet, path: "/v1/specs/{id}/versions", id: "list-spec-versions", tag: tagRecords, summary: "The versions of a specification",
		description: "All versions in ascending order.",
		answer:      reflect.TypeFor[listOf[record.Spec]](), handle: s.listSpecVersions,
	})
	registerRecord(s, api, recordOp[specVersion]{
		method: http.MethodGet, path: "/v1/specs/{id}/versions/{version}", id: "spec-version", tag: tagRecords, summary: "One version of a specification",
		description: "A version as it was made.",
		answer:      reflect.TypeFor[record.Spec](), handle: s.specVersion,
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
	return jsonReply(spec, int64(spec.Version))
}

func (s *service) addSpec(ctx context.Context, in *Sent) (*reply, error) {
	asked, err := calc.DecodeWhole[record.SpecBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	added, err := s.release.AddSpec(ctx, asked)
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

func (s *service) addSpecVersion(ctx context.Context, in *wineByID) (*reply, error) {
	seen, err := in.version()
	if err != nil {
		return nil, err
	}
	asked, err := calc.DecodeWhole[record.SpecBody](in.RawBody)
	if err != nil {
		return nil, err
	}
	return specReply(s.release.AddVersion(ctx, in.ID, seen, asked))
}

func (s *service) listSpecVersions(ctx context.Context, in *ByID) (*reply, error) {
	versions, err := s.config.Records.SpecVersions(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	return jsonReply(listOf[record.Spec]{Items: versions}, 0)
}

func (s *service) specVersion(ctx context.Context, in *specVersion) (*reply, error) {
	n, err := strconv.Atoi(in.Version)
	if err != nil || n < 1 {
		return nil, record.ErrNotFound
	}
	return specReply(s.config.Records.SpecVersion(ctx, in.ID, n))
}

package api

import (
	"context"
	"encoding/json"
	"net/http"
	"reflect"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// recordOp describes a call about records. In is what it takes beside a body:
// parts of the path, of the query, and headers.
type recordOp[In any] struct {
	method, path, id, summary, description string
	tag                                    string
	// body is the type of the body, nil for none, and example a whole one that
	// works.
	body    reflect.Type
	example string
	// status of success, and the type of the answer; nil for bytes of media, or of
	// the media that the header Accept chooses from.
	status  int
	answer  reflect.Type
	media   string
	choices []string
	// once is that what was recorded before is answered again, with 200.
	once bool
	// errors are statuses beyond those that every call may answer with.
	errors []int
	handle func(context.Context, *In) (*reply, error)
	// stream is in the place of handle where the answer comes piece by piece.
	stream func(context.Context, *In) (func(huma.Context), error)
}

// reply is what a call about records answers with.
type reply struct {
	Status      int
	ContentType string `header:"Content-Type" hidden:"true"`
	ETag        string `header:"ETag" hidden:"true"`
	Location    string `header:"Location" hidden:"true"`
	Disposition string `header:"Content-Disposition" hidden:"true"`
	Body        []byte
}

type (
	// ByID is the part of a request that names a record. It and the next ones are
	// exported for the schema library, which reads the tags of no others.
	ByID struct {
		ID string `path:"id" doc:"Identifier of the record."`
	}
	// Listing is the part that asks for a page of a list.
	Listing struct {
		Limit    string `query:"limit" doc:"The most records to answer with, 1 to 1000. 100 where left out."`
		Cursor   string `query:"cursor" doc:"What the page before gave as next."`
		Archived string `query:"archived" doc:"true lists archived records too."`
	}
	// Sent is the body of a request, which package calc reads. It must not be called
	// Body: the schema library would read a field of that name, and refuse in its own
	// words what is no JSON.
	Sent struct {
		RawBody []byte `contentType:"application/json"`
	}
	// Precondition is the part that names the version that a change is of.
	Precondition struct {
		IfMatch string `header:"If-Match" doc:"The ETag that the record was last answered with: a change is refused when somebody else changed it since."`
	}
)

// registerRecord tells the schema library about a call on records.
func registerRecord[In any](s *service, api huma.API, op recordOp[In]) {
	if op.status == 0 {
		op.status = http.StatusOK
	}
	operation := huma.Operation{
		OperationID: op.id, Method: op.method, Path: op.path, Summary: op.summary, Description: op.description, Tags: []string{op.tag},
		BodyReadTimeout: bodyWithin, SkipValidateBody: true, SkipValidateParams: true, DefaultStatus: op.status,
		Responses: map[string]*huma.Response{strconv.Itoa(op.status): {Description: "The answer.", Content: op.content(api)}},
		Errors:    op.allErrors(),
	}
	if op.once {
		operation.Responses["200"] = &huma.Response{Description: "The same was recorded before, and stands.", Content: op.content(api)}
	}
	if op.stream != nil {
		huma.Register(api, operation, func(ctx context.Context, in *In) (*huma.StreamResponse, error) {
			body, err := op.stream(ctx, in)
			if err != nil {
				return nil, s.recordProblem(err)
			}
			return &huma.StreamResponse{Body: body}, nil
		})
	} else {
		huma.Register(api, operation, func(ctx context.Context, in *In) (*reply, error) {
			out, err := op.handle(ctx, in)
			if err != nil {
				return nil, s.recordProblem(err)
			}
			if out.Status == 0 {
				out.Status = op.status
			}
			if out.ContentType == "" {
				out.ContentType = "application/json"
			}
			return out, nil
		})
	}
	if op.body != nil {
		described := requestBodyOf(api.OpenAPI().Paths[op.path], op.method)
		described.Description = "The record; unknown fields are refused."
		described.Content["application/json"] = &huma.MediaType{
			Schema:  api.OpenAPI().Components.Schemas.Schema(op.body, true, ""),
			Example: json.RawMessage(op.example),
		}
	}
}

// content are the media that the call answers in.
func (op recordOp[In]) content(api huma.API) map[string]*huma.MediaType {
	out := map[string]*huma.MediaType{}
	if op.answer != nil {
		out["application/json"] = &huma.MediaType{Schema: api.OpenAPI().Components.Schemas.Schema(op.answer, true, "")}
	}
	for _, media := range append(op.choices, op.media) {
		if media != "" {
			out[media] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}
		}
	}
	if op.answer != nil {
		out["application/json"] = &huma.MediaType{Schema: api.OpenAPI().Components.Schemas.Schema(op.answer, true, "")}
	}
	return out
}

func (op recordOp[In]) allErrors() []int {
	all := []int{http.StatusUnauthorized, http.StatusForbidden, http.StatusMisdirectedRequest, http.StatusTooManyRequests, http.StatusServiceUnavailable, http.StatusUnprocessableEntity}
	if op.body != nil {
		all = append(all, http.StatusBadRequest, http.StatusRequestTimeout, http.StatusRequestEntityTooLarge,
			http.StatusUnsupportedMediaType, http.StatusInsufficientStorage)
	}
	if strings.Contains(op.path, "{") {
		all = append(all, http.StatusNotFound)
	}
	return append(all, op.errors...)
}

func requestBodyOf(item *huma.PathItem, method string) *huma.RequestBody {
	if method == http.MethodPut {
		return item.Put.RequestBody
	}
	return item.Post.RequestBody
}

// page reads the parts of the query that all lists take.
func (l Listing) page() (record.Page, error) {
	p := record.Page{After: l.Cursor, Limit: 100, Archived: l.Archived == "true"}
	var faults []calc.Fault
	if l.Limit != "" {
		n, err := strconv.Atoi(l.Limit)
		if err != nil || n < 1 || n > 1000 {
			faults = append(faults, calc.Fault{Message: "limit: want a whole number from 1 to 1000", Value: l.Limit})
		}
		p.Limit = n
	}
	if l.Archived != "" && l.Archived != "true" && l.Archived != "false" {
		faults = append(faults, calc.Fault{Message: "archived: want true or false", Value: l.Archived})
	}
	if len(faults) > 0 {
		return p, calc.Refuse(faults...)
	}
	return p, nil
}

// listOf is a page of a list.
type listOf[T any] struct {
	Items []T    `json:"items" doc:"The records, oldest first."`
	Next  string `json:"next,omitempty" doc:"Give this as cursor for the next page; absent on the last."`
}

// paged makes a page of records that were asked for one beyond the limit, so
// that it is known whether there are more.
func paged[T any](items []T, limit int, id func(T) string) listOf[T] {
	if len(items) <= limit {
		if items == nil {
			items = []T{}
		}
		return listOf[T]{Items: items}
	}
	return listOf[T]{Items: items[:limit], Next: id(items[limit-1])}
}

// jsonReply answers with JSON; a version makes it an ETag.
func jsonReply(answer any, version int64) (*reply, error) {
	text, err := encode(answer)
	if err != nil {
		return nil, err
	}
	out := &reply{Body: text}
	if version > 0 {
		out.ETag = etag(version)
	}
	return out, nil
}

func etag(version int64) string { return `"` + strconv.FormatInt(version, 10) + `"` }

// version is the version that If-Match names.
func (p Precondition) version() (int64, error) {
	if p.IfMatch == "" {
		return 0, kindPrecondition.problem("give the header If-Match with the ETag of the record as you last read it, so that no change of somebody else is lost")
	}
	n, err := strconv.ParseInt(strings.Trim(strings.TrimPrefix(p.IfMatch, "W/"), `"`), 10, 64)
	if err != nil || n < 1 {
		return 0, kindChanged.problem("the header If-Match (%.50q) is no ETag of this record; read the record again", p.IfMatch)
	}
	return n, nil
}

package api

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"reflect"
	"runtime/debug"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/reports"
)

// bodyWithin is how long the body of a request may take to arrive.
const bodyWithin = 10 * time.Second

// operation describes one call.
type operation struct {
	id, path, summary, description string
	// example is a whole request that works, as JSON.
	example string
	// errors are statuses beyond those that every call may answer with.
	errors []int
}

// request is what every call takes: bytes, which calc reads and checks, so that
// the service and the commands refuse the same things in the same words.
type request struct {
	Accept  string `header:"Accept" hidden:"true"`
	RawBody []byte `contentType:"application/json"`
}

// response is what every call answers with.
type response struct {
	ContentType string `header:"Content-Type" hidden:"true"`
	Body        []byte
}

// calculation registers a call that is answered by f with JSON.
func calculation[Req calc.Request, Res any](s *service, api huma.API, op operation, f func(Req) (Res, error)) {
	content := map[string]*huma.MediaType{"application/json": {Schema: schemaOf[Res](api)}}
	register[Req](api, op, content, func(ctx context.Context, in *request) (*response, error) {
		_, answer, err := calc.Answer(ctx, in.RawBody, s.config.Records, f)
		if err != nil {
			return nil, s.problem(err)
		}
		body, err := encode(answer)
		if err != nil {
			return nil, s.problem(err)
		}
		return &response{ContentType: "application/json", Body: body}, nil
	})
}

// pictures are the forms of a drawn ladder, the first one for whoever takes any.
var pictures = []struct {
	mediaType string
	draw      func(reports.LadderFigure, io.Writer) error
}{
	{"image/svg+xml", reports.LadderFigure.WriteSVG},
	{"image/png", reports.LadderFigure.WritePNG},
	{"application/pdf", reports.LadderFigure.WritePDF},
}

// plot registers the call that draws a ladder.
func plot(s *service, api huma.API, op operation) {
	content := map[string]*huma.MediaType{}
	var offered []string
	for _, p := range pictures {
		content[p.mediaType] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}
		offered = append(offered, p.mediaType)
	}
	content[offered[0]].Schema.Format = ""
	register[calc.LadderRequest](api, op, content, func(ctx context.Context, in *request) (*response, error) {
		chosen := negotiate(in.Accept, offered)
		if chosen < 0 {
			return nil, kindNotAcceptable.problem("a ladder is drawn as %s, not as %.100q", strings.Join(offered, ", "), in.Accept)
		}
		_, figure, err := calc.Answer(ctx, in.RawBody, s.config.Records, func(r calc.LadderRequest) (reports.LadderFigure, error) {
			return calc.LadderFigure(r, s.config.Version)
		})
		if err != nil {
			return nil, s.problem(err)
		}
		var picture bytes.Buffer
		if err := pictures[chosen].draw(figure, &picture); err != nil {
			return nil, s.problem(err)
		}
		return &response{ContentType: offered[chosen], Body: picture.Bytes()}, nil
	})
}

// register tells the schema library about a call and completes what it cannot
// find out from types that are bytes.
func register[Req any](api huma.API, op operation, content map[string]*huma.MediaType, handler func(context.Context, *request) (*response, error)) {
	huma.Register(api, huma.Operation{
		OperationID: op.id, Method: http.MethodPost, Path: op.path,
		Summary: op.summary, Description: op.description, Tags: []string{tagCalculations},
		BodyReadTimeout: bodyWithin, SkipValidateBody: true,
		Responses: map[string]*huma.Response{"200": {Description: "The answer.", Content: content}},
		Errors: append([]int{
			http.StatusBadRequest, http.StatusForbidden, http.StatusRequestTimeout, http.StatusRequestEntityTooLarge,
			http.StatusUnsupportedMediaType, http.StatusMisdirectedRequest, http.StatusUnauthorized, http.StatusTooManyRequests,
		}, op.errors...),
	}, handler)
	body := api.OpenAPI().Paths[op.path].Post.RequestBody
	body.Description = "The request; unknown fields are refused."
	body.Content["application/json"] = &huma.MediaType{
		Schema:  schemaOf[Req](api),
		Example: json.RawMessage(op.example),
	}
}

func schemaOf[T any](api huma.API) *huma.Schema {
	return api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[T](), true, "")
}

// problem is what the sender of a request is told about err: the Problem that it
// is, or that there was a fault of the service.
func (s *service) problem(err error) *calc.Problem {
	if p := calc.AsProblem(err); p != nil {
		return p
	}
	return s.internal(err, debug.Stack())
}

// encode writes an answer whole before any of it is sent, so that one that
// cannot be written becomes an error and not half an answer.
func encode(answer any) ([]byte, error) {
	var body bytes.Buffer
	e := json.NewEncoder(&body)
	e.SetEscapeHTML(false)
	if err := e.Encode(answer); err != nil {
		return nil, fmt.Errorf("api: writing the answer: %w", err)
	}
	return body.Bytes(), nil
}

package api

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"mime"
	"net/http"
	"reflect"
	"strings"
	"sync"
	"unicode"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/reports/sheet"
)

const (
	exampleSheet = `{"kind": "even", "tools": [{"name": "10 mL syringe", "kind": "syringe", "capacity_ml": 10, "graduation_ml": 0.5}], "to_ml": 12, "step_ml": 2}`
	exampleOrder = `{"base_l": 2000, "loss_percent": 1.5, "stock": {"base_l": 2150, "addition_l": 250}, "vessel": "Tank 7",
 "measuring": {"base_graduation_l": 10, "addition_graduation_ml": 500, "base_u_percent": 0.6, "addition_u_percent": 0.3, "heel_l": 3}}`
)

// sheetMedia are the forms of a printed document, the first one for whoever takes
// any, and the names that the query takes.
var sheetMedia = []medium{{"application/pdf", "pdf"}, {"text/html", "html"}}

// medium is a form of a document and its name in a query and at the end of a
// file's name.
type medium struct{ mediaType, name string }

// sheetForms describes how the form of a document is chosen.
const sheetForms = " The header Accept chooses application/pdf (also for */*) or text/html, or the query's format does. A4; the page of HTML links to a style sheet of this service."

type (
	// AsSheet is the part of a request that says in which form a document is wanted.
	AsSheet struct {
		Accept   string `header:"Accept" hidden:"true"`
		Format   string `query:"format" doc:"pdf or html, instead of the header Accept."`
		Language string `query:"language" doc:"Of the document's own words: en, fr or es; en where left out. What the service found is in English."`
	}
	sheetOf struct {
		ByID
		AsSheet
		Sent
	}
)

// sheetCalls are the calls for printed documents of a trial.
func (s *service) sheetCalls(api huma.API) {
	offered := make([]string, len(sheetMedia))
	for i, m := range sheetMedia {
		offered[i] = m.mediaType
	}
	notAcceptable := []int{http.StatusNotAcceptable}
	registerRecord(s, api, recordOp[sheetOf]{
		method: http.MethodPost, path: "/v1/trials/{id}/bench-sheet", id: "bench-sheet", tag: tagRecords, summary: "Bench sheet for a plan",
		description: "What to pour, as POST /v1/trials/{id}/plan answers for the same request, to be printed before pouring: with tick boxes, swatches, and fields for what was poured and read." + sheetForms,
		body:        reflect.TypeFor[bench.TrialPlanRequest](), example: exampleSheet, choices: offered, errors: notAcceptable,
		handle: func(ctx context.Context, in *sheetOf) (*reply, error) {
			return asked(ctx, in, s.bench.Sheet)
		},
	})
	registerRecord(s, api, recordOp[planQuery]{
		method: http.MethodGet, path: "/v1/trials/{id}/bench-sheet", id: "bench-sheet-by-query", tag: tagRecords, summary: "Bench sheet by address",
		description: "The bench sheet of a plan that the query asks for, with the tools and glasses of the trial." + sheetForms,
		choices:     offered, errors: notAcceptable,
		handle: func(ctx context.Context, in *planQuery) (*reply, error) {
			return queried(ctx, in.ID, in.AsSheet, in.query, planFields, s.bench.Sheet)
		},
	})
	registerRecord(s, api, recordOp[orderQuery]{
		method: http.MethodGet, path: "/v1/trials/{id}/report", id: "trial-report", tag: tagRecords, summary: "Report of a trial",
		description: "The trial as its log stands: the path before and after learning, every pour, what was read against what was predicted, notes, the choice and its final check. With a size in the query (base_l, blend_l, or bottle_count with bottle_ml, and what else a work order takes) the chosen dose in litres too." + sheetForms,
		choices:     offered, errors: notAcceptable,
		handle: func(ctx context.Context, in *orderQuery) (*reply, error) {
			return queried(ctx, in.ID, in.AsSheet, in.query, orderFields, func(ctx context.Context, id string, size bench.WorkOrderRequest) (sheet.Trial, error) {
				if in.sized() {
					return s.bench.Report(ctx, id, &size)
				}
				return s.bench.Report(ctx, id, nil)
			})
		},
	})
	registerRecord(s, api, recordOp[sheetOf]{
		method: http.MethodPost, path: "/v1/trials/{id}/work-order", id: "work-order", tag: tagRecords, summary: "Work order for the chosen dose",
		description: "The order for whoever doses the tank: volumes in litres, hectolitres, US and imperial gallons, base-led and blend-led side by side, steps, samples, and the trim where the tank was read after its first part. A trial without a choice is refused." + sheetForms,
		body:        reflect.TypeFor[bench.WorkOrderRequest](), example: exampleOrder, choices: offered, errors: notAcceptable,
		handle: func(ctx context.Context, in *sheetOf) (*reply, error) {
			return asked(ctx, in, s.bench.WorkOrder)
		},
	})
	registerRecord(s, api, recordOp[orderQuery]{
		method: http.MethodGet, path: "/v1/trials/{id}/work-order", id: "work-order-by-query", tag: tagRecords, summary: "Work order by address",
		description: "The work order for the size that the query gives: base_l, blend_l, or bottle_count with bottle_ml." + sheetForms,
		choices:     offered, errors: notAcceptable,
		handle: func(ctx context.Context, in *orderQuery) (*reply, error) {
			return queried(ctx, in.ID, in.AsSheet, in.query, orderFields, s.bench.WorkOrder)
		},
	})
}

// document is what every printed document can do.
type document interface {
	WritePDF(w io.Writer, texts *sheet.Texts) error
	WriteHTML(w io.Writer, texts *sheet.Texts, stylesheet string) error
}

// asked answers a body with the document that it asks for.
func asked[Req calc.Request, Doc document](ctx context.Context, in *sheetOf, make func(context.Context, string, Req) (Doc, error)) (*reply, error) {
	return printed(in.AsSheet, func() (doc Doc, err error) {
		ask, err := calc.DecodeWhole[Req](in.RawBody)
		if err != nil {
			return doc, err
		}
		return make(ctx, in.ID, ask)
	})
}

// printed answers with a document in the form that is wanted.
func printed[Doc document](as AsSheet, make func() (Doc, error)) (*reply, error) {
	form, err := as.form(sheetMedia)
	if err != nil {
		return nil, err
	}
	doc, err := make()
	if err != nil {
		return nil, err
	}
	return written(doc, sheetMedia[form], as.Language)
}

// written answers with a document in a form and a language.
func written(doc document, as medium, language string) (*reply, error) {
	texts, ok := sheet.In(cmp.Or(language, "en"))
	if !ok {
		return nil, calc.Refuse(calc.Fault{Message: "language: want en, fr or es", Value: language})
	}
	var body bytes.Buffer
	var err error
	out := &reply{ContentType: as.mediaType}
	if as.name == "html" {
		out.ContentType += "; charset=utf-8"
		err = doc.WriteHTML(&body, &texts, sheetStyles())
	} else {
		err = doc.WritePDF(&body, &texts)
	}
	out.Body = body.Bytes()
	out.Disposition = mime.FormatMediaType("inline", map[string]string{"filename": sheetName(doc) + "." + as.name})
	return out, err
}

// form is the place in media of the form that is asked for.
func (as AsSheet) form(media []medium) (int, error) {
	offered, names := make([]string, len(media)), make([]string, len(media))
	for i, m := range media {
		if as.Format == m.name {
			return i, nil
		}
		offered[i], names[i] = m.mediaType, m.name
	}
	if as.Format != "" {
		return 0, calc.Refuse(calc.Fault{Message: "format: want " + strings.Join(names, " or "), Value: as.Format})
	}
	chosen := negotiate(as.Accept, offered)
	if chosen < 0 {
		return 0, kindNotAcceptable.problem("this document is %s, not %.100q", strings.Join(offered, " or "), as.Accept)
	}
	return chosen, nil
}

// sheetName is the name of a document's file: its kind and its trial.
func sheetName(doc document) string {
	kind, trial := "document", ""
	switch d := doc.(type) {
	case sheet.Bench:
		kind, trial = "bench-sheet", d.Trial
	case sheet.Trial:
		kind, trial = "trial-report", d.Trial
	case sheet.WorkOrder:
		kind, trial = "work-order", d.Trial
	case sheet.Statement:
		kind, trial = "statement", d.Number+" "+d.Lot.Name
	case sheet.CodeLabels:
		kind = "code-labels"
	case sheet.JudgeSheets:
		kind = "judge-sheets"
	case sheet.PouringList:
		kind, trial = "pouring-list", d.Title
	}
	const longest = 60
	var b strings.Builder
	for _, r := range trial {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(unicode.ToLower(r))
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= longest {
			break
		}
	}
	return strings.TrimSuffix(kind+"-"+b.String(), "-")
}

// sheetStyles is the address of the documents' style sheet. It has a part of its
// checksum in it, so that a browser may keep it for ever.
var sheetStyles = sync.OnceValue(func() string {
	sum := sha256.Sum256([]byte(sheet.Stylesheet()))
	return "/sheet." + hex.EncodeToString(sum[:6]) + ".css"
})

// stylesheet answers with the documents' style sheet.
func stylesheet(c *gin.Context) {
	c.Header("Cache-Control", "public, max-age=31536000, immutable")
	c.Data(http.StatusOK, "text/css; charset=utf-8", []byte(sheet.Stylesheet()))
}

package api

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"github.com/pb33f/libopenapi"
	validator "github.com/pb33f/libopenapi-validator"

	"pourpath/api/calc"
)

// readDocuments are the documents that were read before, by their text: reading one takes
// longer than most tests, and a service that serves another text gets one of its own.
var readDocuments = struct {
	sync.Mutex
	byText map[string]validator.Validator
}{byText: map[string]validator.Validator{}}

// served is the document that the service serves, as another library reads it.
func served(t *testing.T, service http.Handler) validator.Validator {
	t.Helper()
	w := do(service, call{method: "GET", path: "/openapi.json"})
	text := w.Body.String()
	readDocuments.Lock()
	defer readDocuments.Unlock()
	if v := readDocuments.byText[text]; v != nil {
		return v
	}
	document, err := libopenapi.NewDocument([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	v, errs := validator.NewValidator(document)
	if len(errs) > 0 {
		t.Fatal(errs)
	}
	readDocuments.byText[text] = v
	return v
}

func TestDocumentIsValid(t *testing.T) {
	if ok, errs := served(t, newTestService(t)).ValidateDocument(); !ok {
		for _, e := range errs {
			t.Error(e.Message, e.Reason)
		}
	}
}

// TestContract holds requests and answers of every operation, problems
// included, against the document that the service serves.
func TestContract(t *testing.T) {
	service := newTestService(t)
	document := served(t, service)
	for _, row := range []struct {
		name   string
		call   call
		status int
		lawful bool // whether the document allows the request
	}{
		{"colour", call{path: "/v1/colour", body: calc.ExampleColour}, 200, true},
		{"colour of a scan in a glass", call{path: "/v1/colour", body: `{"wine":` + scan(380, 780, 5, 60, "transmittance_percent") + `,"view":{"illuminant":"LED-B3","observer":"2","path_mm":55}}`}, 200, true},
		{"colour of L*a*b*", call{path: "/v1/colour", body: wine(rose)}, 200, true},
		{"colour without tint", call{path: "/v1/colour", body: `{"wine":{"readings":{"a420":0.02,"a520":0,"a620":0}}}`}, 200, true},
		{"blend", call{path: "/v1/blend", body: calc.ExampleBlend}, 200, true},
		{"blend with a wine as target", call{path: "/v1/blend", body: blendOf(`"fractions":[0.9,0.1],"target":{"wine":` + rose + `}`)}, 200, true},
		{"blend with an intensity as target", call{path: "/v1/blend", body: blendOf(`"fractions":[0.9,0.1],"target":{"intensity":0.5,"tint":1}`)}, 200, true},
		{"ladder", call{path: "/v1/ladder", body: calc.ExampleLadder}, 200, true},
		{"ladder by plan, end of ladder", call{path: "/v1/ladder", body: ladderOf(`"base_ml":250,"plan":{"to_ml":20,"visible_step":1,"graduation_ml":0.5},"target":{"cielab":{"L":40,"a":60,"b":20}}`)}, 200, true},
		{"ladder by intensity", call{path: "/v1/ladder", body: ladderOf(`"base_ml":100,"doses_ml":[20,10,5],"target":{"intensity":0.5,"tint":1}`)}, 200, true},
		{"ladder of the base alone", call{path: "/v1/ladder", body: ladderOf(`"base_ml":100,"doses_ml":[0],"target":{"cielab":{"L":90,"a":5,"b":5},"tolerance":{"delta_e_00":1}}`)}, 200, true},
		{"plot", call{path: "/v1/ladder/plot", body: calc.ExampleLadder, header: map[string]string{"Accept": "image/svg+xml"}}, 200, true},
		{"match", call{path: "/v1/match", body: calc.ExampleMatch}, 200, true},
		{"scale", call{path: "/v1/scale", body: calc.ExampleScale}, 200, true},
		{"scale beyond the stock", call{path: "/v1/scale", body: `{"dose_ml_per_100ml":5,"blend_l":100,"stock":{"base_l":10}}`}, 200, true},
		{"trim", call{path: "/v1/trim", body: calc.ExampleTrim}, 200, true},
		{"trim of a tank in layers", call{path: "/v1/trim", body: strings.Replace(calc.ExampleTrim, `"a420": 0.185, "a520": 0.198`, `"a420": 0.135, "a520": 0.108`, 1)}, 200, true},
		{"trim beyond the room", call{path: "/v1/trim", body: strings.Replace(calc.ExampleTrim, `"room_l": 60`, `"room_l": 1`, 1)}, 422, true},
		{"check", call{path: "/v1/check", body: calc.ExampleCheck}, 200, true},
		{"check by limits only", call{path: "/v1/check", body: checkOf(`{"limits":{"h":[350,40],"intensity":[0,2],"tint":[0.5,2]}}`)}, 200, true},
		{"check by every part", call{path: "/v1/check", body: checkOf(`{"target":{"cielab":{"L":90,"a":4,"b":8}},"tolerance":{"delta_e_00":20,"kL":2,"delta_e_ab":30},"limits":{"yellow_percent":[1,99],"red_percent":[1,99]},"warning":{"tolerance":{"delta_e_00":0.1}},"reading_method":{"source":"spectrum"},"rule":"guarded"}`)}, 200, true},
		{"feasibility", call{path: "/v1/feasibility", body: calc.ExampleFeasibility}, 200, true},
		{"feasibility without a way of reading", call{path: "/v1/feasibility", body: `{"spec":{"limits":{"L":[0,100]}}}`}, 422, true},
		{"check without a spectrum", call{path: "/v1/check", body: `{"spec":{"limits":{"L":[0,100]}},"wine":` + blueLab + `}`}, 200, true},
		{"problem", call{path: "/v1/colour", body: `{"wine":{"readings":{"a420":"x"}},"y":1}`}, 422, false},
		{"problem that the schema cannot see", call{path: "/v1/blend", body: blendOf(`"fractions":[0.5,0.4]`)}, 422, true},
		{"malformed", call{path: "/v1/scale", body: `{`}, 400, false},
		{"foreign origin", call{path: "/v1/scale", body: calc.ExampleScale, header: map[string]string{"Origin": "https://site.example"}}, 403, true},
		{"not acceptable", call{path: "/v1/ladder/plot", body: calc.ExampleLadder, header: map[string]string{"Accept": "text/html"}}, 406, true},
		{"healthz", call{method: "GET", path: "/healthz"}, 200, true},
		{"readyz", call{method: "GET", path: "/readyz"}, 200, true},
		{"openapi", call{method: "GET", path: "/openapi.json"}, 200, true},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := do(service, row.call)
			if w.Code != row.status {
				t.Fatalf("status %d, want %d: %.1000s", w.Code, row.status, w.Body)
			}
			if ok, errs := document.ValidateHttpRequest(row.call.request()); ok != row.lawful {
				t.Errorf("the document allows the request: %v, want %v", ok, row.lawful)
				for _, e := range errs {
					t.Log(e.Message, e.Reason, e.SchemaValidationErrors)
				}
			}
			if ok, errs := document.ValidateHttpResponse(row.call.request(), w.Result()); !ok {
				for _, e := range errs {
					t.Error(e.Message, e.Reason, e.SchemaValidationErrors)
				}
			}
		})
	}
}

// TestContractTestCanFail: an answer that the document does not describe is
// found out.
func TestContractTestCanFail(t *testing.T) {
	service := newTestService(t)
	c := call{path: "/v1/scale", body: calc.ExampleScale}
	body := strings.Replace(do(service, c).Body.String(), `"blend_l":`, `"blend_litres":`, 1)
	response := &http.Response{StatusCode: 200, Header: http.Header{"Content-Type": {"application/json"}}, Body: io.NopCloser(bytes.NewBufferString(body)), Request: httptest.NewRequest("POST", "/v1/scale", nil)}
	if ok, _ := served(t, service).ValidateHttpResponse(c.request(), response); ok {
		t.Error("an answer with a renamed field passes")
	}
}

// TestEveryOperationIsDescribed: each has what a reader without the trade needs,
// and each of the routes under /v1 is in the document.
func TestEveryOperationIsDescribed(t *testing.T) {
	w := do(newTestService(t), call{method: "GET", path: "/openapi.json"})
	document, err := libopenapi.NewDocument(w.Body.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	model, err := document.BuildV3Model()
	if err != nil {
		t.Fatal(err)
	}
	described := map[string]bool{}
	for path, item := range model.Model.Paths.PathItems.FromOldest() {
		described[path] = true
		for method, op := range item.GetOperations().FromOldest() {
			if op.Summary == "" || op.Description == "" || op.OperationId == "" || len(op.Tags) == 0 {
				t.Errorf("%s %s lacks a summary, description, operationId or tag", method, path)
			}
			if method != "post" || op.Tags[0] != tagCalculations {
				continue
			}
			if media := op.RequestBody.Content.GetOrZero("application/json"); media == nil || media.Example == nil {
				t.Errorf("%s %s has no example", method, path)
			}
			for _, code := range []string{"200", "400", "403", "413", "415", "421", "422", "500"} {
				if op.Responses.Codes.GetOrZero(code) == nil {
					t.Errorf("%s %s does not describe status %s", method, path, code)
				}
			}
		}
	}
	for _, path := range []string{"/v1/colour", "/v1/blend", "/v1/ladder", "/v1/ladder/plot", "/v1/match", "/v1/scale", "/v1/trim", "/v1/check", "/healthz", "/readyz", "/metrics", "/openapi.json"} {
		if !described[path] {
			t.Errorf("%s is not described", path)
		}
	}
}

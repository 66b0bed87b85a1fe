package api

import (
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"os"
	"strings"
	"testing"

	"pourpath/api/access"
	"pourpath/api/calc"
	"pourpath/api/store"
	"pourpath/api/store/storetest"
)

func TestMain(m *testing.M) { os.Exit(storetest.Main(m)) }

// opening opens the stores that storetest copies.
func opening(ctx context.Context, dir, address string) (io.Closer, error) {
	return store.Open(ctx, store.Config{Dir: dir, URL: address})
}

// newTestService is the whole service over an empty store.
func newTestService(t testing.TB, change ...func(*Config)) http.Handler {
	t.Helper()
	config := Config{
		Version: "0.0.0-test", DataDir: t.TempDir(), Log: slog.New(slog.NewTextHandler(io.Discard, nil)),
		Records: newTestStore(t), Access: access.Config{Local: atTheMachine},
	}
	for _, c := range change {
		c(&config)
	}
	handler, err := New(config)
	if err != nil {
		t.Fatal(err)
	}
	return handler
}

// atTheMachine takes every address for the machine's own: most tests are of whoever
// sits there, and httptest has them come from 192.0.2.1.
func atTheMachine(netip.Addr) bool { return true }

// newTestStore is an empty store of the kind that is tested.
func newTestStore(t testing.TB) *store.Store {
	t.Helper()
	dir, address := storetest.Made(t, opening)
	s, err := store.Open(t.Context(), store.Config{Dir: dir, URL: address})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// call is one request; the zero Header is that of a JSON client.
type call struct {
	method, path, body string
	header             map[string]string
	host               string
}

func (c call) request() *http.Request {
	if c.method == "" {
		c.method = http.MethodPost
	}
	if c.host == "" {
		c.host = "127.0.0.1:8420"
	}
	r := httptest.NewRequest(c.method, "http://"+c.host+c.path, strings.NewReader(c.body))
	if c.method == http.MethodPost || c.method == http.MethodPut {
		r.Header.Set("Content-Type", "application/json")
	}
	for name, value := range c.header {
		r.Header.Set(name, value)
	}
	return r
}

func do(handler http.Handler, c call) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	handler.ServeHTTP(w, c.request())
	return w
}

// problemOf reads a problem and checks the form that all have.
func problemOf(t *testing.T, w *httptest.ResponseRecorder) calc.Problem {
	t.Helper()
	if got := w.Header().Get("Content-Type"); got != "application/problem+json" {
		t.Errorf("Content-Type = %q, want application/problem+json", got)
	}
	var p calc.Problem
	d := json.NewDecoder(w.Body)
	d.DisallowUnknownFields()
	if err := d.Decode(&p); err != nil {
		t.Fatalf("body is no problem: %v", err)
	}
	if p.Status != w.Code {
		t.Errorf("status in the body %d, of the response %d", p.Status, w.Code)
	}
	if p.Title == "" || p.Detail == "" {
		t.Errorf("problem without title or detail: %+v", p)
	}
	known := false
	for _, k := range kinds {
		known = known || k.path == p.Type && k.title == p.Title && k.status == p.Status
	}
	if !known {
		t.Errorf("problem %q (%q, %d) is not of a kind that the service explains", p.Type, p.Title, p.Status)
	}
	return p
}

func TestAnswers(t *testing.T) {
	service := newTestService(t)
	for _, row := range []struct {
		path, body string
		want       []string
	}{
		{"/v1/colour", calc.ExampleColour, []string{`"colour":{`, `"conditions":{"illuminant":"D65","observer":"10","path_mm":10}`, `"source":"readings"`, `"srgb":"#`, `"uncertainty_budget":[`}},
		{"/v1/blend", calc.ExampleBlend, []string{`"fractions":[0.92592592592592`, `"source":"blend"`}},
		{"/v1/ladder", calc.ExampleLadder, []string{`"rungs":[`, `"delta_e_00_from_previous":null`, `"nearest":{`, `"dose_interval_95":[`, `"at_end_of_ladder":false`, `"measure_next":{`}},
		{"/v1/match", calc.ExampleMatch, []string{`"reachable":true`, `"difference":{"delta_e_00":`}},
		{"/v1/scale", calc.ExampleScale, []string{`"base_l":423.21`, `"addition_percent_of_blend":7.83`, `"left_over_l":`}},
		{"/v1/trim", calc.ExampleTrim, []string{`"mixing":{"mixed":true`, `"nominal_dose_ml_per_100ml":5.4,`, `"addition_interval_95_l":[`, `"passed":false`}},
		{"/v1/feasibility", calc.ExampleFeasibility, []string{`"best_probability":`, `"can_never_pass":`, `"conditions":{`}},
		{"/v1/check", calc.ExampleCheck, []string{`"verdict":"pass"`, `"probability":`, `"results":[`, `"difference":{`}},
	} {
		t.Run(row.path, func(t *testing.T) {
			w := do(service, call{path: row.path, body: row.body})
			if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/json" {
				t.Fatalf("status %d, %s: %s", w.Code, w.Header().Get("Content-Type"), w.Body)
			}
			for _, want := range row.want {
				if !strings.Contains(w.Body.String(), want) {
					t.Errorf("answer lacks %s:\n%s", want, w.Body)
				}
			}
			if strings.Contains(w.Body.String(), "NaN") || !json.Valid(w.Body.Bytes()) {
				t.Errorf("answer is not JSON: %s", w.Body)
			}
		})
	}
}

func TestPlainRoutes(t *testing.T) {
	service := newTestService(t)
	do(service, call{path: "/v1/colour", body: calc.ExampleColour})
	for _, row := range []struct{ path, contentType, want string }{
		{"/healthz", "application/json; charset=utf-8", `"up"`},
		{"/readyz", "application/json; charset=utf-8", `"ready"`},
		{"/openapi.json", "application/json", `"openapi": "3.1.0"`},
		{"/metrics", "text/plain; version=0.0.4; charset=utf-8; escaping=underscores", `pourpath_http_requests_total{method="POST",route="/v1/colour",status="200"} 1`},
		{"/problems/invalid-input", "text/plain; charset=utf-8", "JSON Pointer"},
	} {
		w := do(service, call{method: "GET", path: row.path})
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != row.contentType || !strings.Contains(w.Body.String(), row.want) {
			t.Errorf("GET %s: status %d, %q, want %q with %s:\n%.500s", row.path, w.Code, w.Header().Get("Content-Type"), row.contentType, row.want, w.Body)
		}
	}
	for _, k := range kinds {
		if w := do(service, call{method: "GET", path: k.path}); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), k.title) {
			t.Errorf("GET %s: status %d, %s", k.path, w.Code, w.Body)
		}
	}
}

// TestNotReadyWithoutStore: the reader is told when to ask again, and the log
// why.
func TestNotReadyWithoutStore(t *testing.T) {
	var records *store.Store
	service := newTestService(t, func(c *Config) {
		var err error
		if records, err = store.Open(t.Context(), store.Config{Dir: t.TempDir()}); err != nil {
			t.Fatal(err)
		}
		c.Records = records
	})
	if err := records.Close(); err != nil {
		t.Fatal(err)
	}
	w := do(service, call{method: "GET", path: "/readyz"})
	if p := problemOf(t, w); w.Code != 503 || w.Header().Get("Retry-After") == "" || strings.Contains(p.Detail, "closed") {
		t.Errorf("GET /readyz = %d %+v, want 503 that keeps the reason to the log", w.Code, p)
	}
}

func TestNewWantsLogAndFolder(t *testing.T) {
	for _, config := range []Config{{DataDir: "x"}, {Log: slog.New(slog.NewTextHandler(io.Discard, nil))}} {
		if _, err := New(config); err == nil {
			t.Errorf("New(%+v) has no error", config)
		}
	}
}

func TestPages(t *testing.T) {
	pages := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, err := io.WriteString(w, "page "+r.URL.Path); err != nil {
			t.Error(err)
		}
	})
	service := newTestService(t, func(c *Config) { c.Pages = pages })
	for _, path := range []string{"/", "/assets/x.css"} {
		w := do(service, call{method: "GET", path: path})
		if w.Code != http.StatusOK || w.Body.String() != "page "+path {
			t.Errorf("GET %s = %d %q", path, w.Code, w.Body)
		}
		if !strings.Contains(w.Header().Get("Content-Security-Policy"), "default-src 'self'") {
			t.Errorf("GET %s has no content security policy", path)
		}
	}
	if w := do(newTestService(t), call{method: "GET", path: "/"}); w.Code != http.StatusNotFound {
		t.Errorf("GET / without pages = %d, want 404", w.Code)
	}
}

func TestPlotByAccept(t *testing.T) {
	service := newTestService(t)
	for _, row := range []struct{ accept, contentType, begins string }{
		{"image/svg+xml", "image/svg+xml", "<"},
		{"image/png", "image/png", "\x89PNG\r\n\x1a\n"},
		{"application/pdf", "application/pdf", "%PDF-"},
		{"", "image/svg+xml", "<"},
		{"*/*", "image/svg+xml", "<"},
		{"text/html, image/*;q=0.5", "image/svg+xml", "<"},
		{"image/svg+xml;q=0.2, image/png;q=0.9", "image/png", "\x89PNG"},
		{"*/*;q=0.1, application/pdf", "application/pdf", "%PDF-"},
	} {
		w := do(service, call{path: "/v1/ladder/plot", body: calc.ExampleLadder, header: map[string]string{"Accept": row.accept}})
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != row.contentType || !strings.HasPrefix(w.Body.String(), row.begins) {
			t.Errorf("Accept %q: status %d, %q, body %.20q, want %q", row.accept, w.Code, w.Header().Get("Content-Type"), w.Body, row.contentType)
		}
	}
	for _, accept := range []string{"text/html", "image/svg+xml;q=0", "nonsense"} {
		w := do(service, call{path: "/v1/ladder/plot", body: calc.ExampleLadder, header: map[string]string{"Accept": accept}})
		if p := problemOf(t, w); p.Status != http.StatusNotAcceptable || !strings.Contains(p.Detail, "image/png") {
			t.Errorf("Accept %q: %+v, want 406 that lists the forms", accept, p)
		}
	}
	w := do(service, call{path: "/v1/ladder/plot", body: "{}", header: map[string]string{"Accept": "image/svg+xml"}})
	if p := problemOf(t, w); p.Status != http.StatusUnprocessableEntity {
		t.Errorf("faulty ladder to draw: %+v, want 422", p)
	}
}

// TestComparedAsGiven: a stated colour is held against a stated target without
// any spectrum, so one that no wine has is judged too; what a spectrum would be
// needed for is null, and a warning says why.
func TestComparedAsGiven(t *testing.T) {
	body := `{"spec":{"target":{"cielab":{"L":70.5,"a":-40,"b":-40}},"tolerance":{"delta_e_00":1}},"wine":` + blueLab + `}`
	w := do(newTestService(t), call{path: "/v1/check", body: body})
	if w.Code != http.StatusOK {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	for _, want := range []string{
		`"verdict":"pass"`, `"absorbance":null`, `"intensity":null`, `"tint":null`, `"yellow_percent":null`,
		`"cielab":{"L":70,"a":-40,"b":-40,`, `"dL":-0.5,"da":0,"db":0`, `"code":"no_spectrum"`, `"srgb":"#`,
	} {
		if !strings.Contains(w.Body.String(), want) {
			t.Errorf("answer lacks %s:\n%s", want, w.Body)
		}
	}
}

// TestNoTintIsNull: where A520 is not above 0 there is no tint.
func TestNoTintIsNull(t *testing.T) {
	for _, a520 := range []string{"0", "-0.001"} {
		w := do(newTestService(t), call{path: "/v1/colour", body: `{"wine":{"readings":{"a420":0.02,"a520":` + a520 + `,"a620":0.0}}}`})
		var got struct {
			Colour struct {
				Tint     *float64
				Warnings []calc.Warning
			}
		}
		if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil || w.Code != http.StatusOK {
			t.Fatalf("A520 %s: status %d, %v: %s", a520, w.Code, err, w.Body)
		}
		if got.Colour.Tint != nil || len(got.Colour.Warnings) == 0 {
			t.Errorf("A520 %s: tint %v with warnings %v, want null and a warning", a520, got.Colour.Tint, got.Colour.Warnings)
		}
	}
}

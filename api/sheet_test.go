package api

import (
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// paper asks for a document, holds the call against the interface's description
// and wants the status and media type.
func (r recorder) paper(status int, media string, c call) *httptest.ResponseRecorder {
	r.t.Helper()
	w := do(r.service, c)
	if w.Code != status || !strings.HasPrefix(w.Header().Get("Content-Type"), media) {
		r.t.Fatalf("%s %s: status %d, %s, want %d, %s: %.1000s", c.method, c.path, w.Code, w.Header().Get("Content-Type"), status, media, w.Body)
	}
	if ok, errs := r.document.ValidateHttpRequest(c.request()); !ok && status == 200 {
		for _, e := range errs {
			r.t.Errorf("%s %s: the document does not allow it: %s %s", c.method, c.path, e.Message, e.Reason)
		}
	}
	if media == "text/html" || media == "application/pdf" {
		begins := map[string]string{"text/html": "<!doctype html>", "application/pdf": "%PDF-"}[media]
		if !strings.HasPrefix(w.Body.String(), begins) {
			r.t.Errorf("%s %s: begins with %.20q, want %q", c.method, c.path, w.Body, begins)
		}
		return w
	}
	if ok, errs := r.document.ValidateHttpResponse(c.request(), w.Result()); !ok {
		for _, e := range errs {
			r.t.Errorf("%s %s: %s: %s", c.method, c.path, e.Message, e.Reason)
		}
	}
	return w
}

func accept(media string) map[string]string { return map[string]string{"Accept": media} }

// TestSheetCalls: each document in both forms, by both methods.
func TestSheetCalls(t *testing.T) {
	r := newRecorder(t)
	trial := strings.Replace(exampleTrial, `"First ladder"`, `"Rosé, 1st: \"ladder\""`, 1)
	trial = strings.Replace(trial, `"base_ml"`, `"tools": [{"name": "5 mL syringe", "kind": "syringe", "capacity_ml": 5, "graduation_ml": 0.2}], "base_ml"`, 1)
	path := "/v1/trials/" + text(r.add("/v1/trials", trial)["id"])
	r.add(path+"/pours", `{"glass": "B", "volume_ml": 5}`)
	r.add(path+"/choice", exampleChoice)
	for _, c := range []struct {
		file string
		call call
	}{
		{"bench-sheet", call{path: path + "/bench-sheet", body: exampleSheet}},
		{"bench-sheet", call{method: "GET", path: path + "/bench-sheet"}},
		{"bench-sheet", call{method: "GET", path: path + "/bench-sheet?kind=even&to_ml=12&step_ml=2&tool=5+mL+syringe"}},
		{"bench-sheet", call{method: "GET", path: path + "/bench-sheet?kind=visible&visible_step=2&withdraw_ml=5"}},
		{"bench-sheet", call{method: "GET", path: path + "/bench-sheet?kind=given&doses_ml=2+4,6"}},
		{"bench-sheet", call{method: "GET", path: path + "/bench-sheet?kind=closing&to_ml="}},
		{"trial-report", call{method: "GET", path: path + "/report"}},
		{"work-order", call{path: path + "/work-order", body: exampleOrder}},
		{"work-order", call{method: "GET", path: path + "/work-order?base_l=2000&loss_percent=1.5&stock_base_l=2150&stock_addition_l=250&first_percent=80" +
			"&base_graduation_l=10&addition_graduation_ml=500&base_u_percent=0.6&addition_u_percent=0.3&heel_l=3&vessel=Tank+7&base_lot=W1&addition_lot=R2"}},
		{"work-order", call{method: "GET", path: path + "/work-order?blend_l=500"}},
		{"work-order", call{method: "GET", path: path + "/work-order?bottle_count=600&bottle_ml=750"}},
	} {
		for media, ending := range map[string]string{"application/pdf": "pdf", "text/html": "html"} {
			byHeader, byQuery := c.call, c.call
			byHeader.header = accept(media)
			w := r.paper(200, media, byHeader)
			// The name has a letter that is no ASCII, so it is written as RFC 8187 does.
			if name := w.Header().Get("Content-Disposition"); name != "inline; filename*=utf-8''"+c.file+"-ros%C3%A9-1st-ladder."+ending {
				t.Errorf("%s: Content-Disposition %q", c.call.path, name)
			}
			sign := "?"
			if strings.Contains(c.call.path, "?") {
				sign = "&"
			}
			byQuery.path += sign + "format=" + ending
			byQuery.header = accept("image/png")
			r.paper(200, media, byQuery)
		}
		anything := c.call
		anything.header = accept("*/*")
		r.paper(200, "application/pdf", anything)
		none := c.call
		none.header = accept("image/png")
		if p := problemOf(t, r.paper(406, "application/problem+json", none)); !strings.Contains(p.Detail, "application/pdf or text/html") {
			t.Errorf("%s as a picture: %+v", c.call.path, p)
		}
	}
}

// A page of HTML looks right where it is served: its style sheet is there, and the
// policy lets it pass.
func TestSheetIsStyled(t *testing.T) {
	r := newRecorder(t)
	path := "/v1/trials/" + text(r.add("/v1/trials", exampleTrial)["id"])
	w := r.paper(200, "text/html", call{method: "GET", path: path + "/report?format=html"})
	_, rest, _ := strings.Cut(w.Body.String(), `<link rel="stylesheet" href="`)
	address, _, _ := strings.Cut(rest, `"`)
	styles := do(r.service, call{method: "GET", path: address})
	if styles.Code != 200 || styles.Header().Get("Content-Type") != "text/css; charset=utf-8" || !strings.Contains(styles.Body.String(), ".sheet") ||
		!strings.Contains(styles.Header().Get("Cache-Control"), "immutable") {
		t.Errorf("%q answers %d, %v", address, styles.Code, styles.Header())
	}
	if policy := w.Header().Get("Content-Security-Policy"); !strings.HasPrefix(policy, "default-src 'self';") {
		t.Errorf("policy %q", policy)
	}
	for _, no := range []string{"<script", "<style", ` style="`} {
		if strings.Contains(w.Body.String(), no) {
			t.Errorf("the policy would stop %q", no)
		}
	}
}

// TestSheetLanguages: the words of a document in the language that is asked for.
func TestSheetLanguages(t *testing.T) {
	r := newRecorder(t)
	path := "/v1/trials/" + text(r.add("/v1/trials", exampleTrial)["id"])
	for language, lang := range map[string]string{"": "en-GB", "en": "en-GB", "fr": "fr-FR", "es": "es-ES"} {
		w := r.paper(200, "text/html", call{method: "GET", path: path + "/report?format=html&language=" + language})
		if !strings.Contains(w.Body.String(), `<html lang="`+lang+`"`) {
			t.Errorf("%q: %.120s", language, w.Body)
		}
	}
}

func TestSheetRefusals(t *testing.T) {
	r := newRecorder(t)
	path := "/v1/trials/" + text(r.add("/v1/trials", exampleTrial)["id"])
	if f := r.fault(call{method: "GET", path: path + "/work-order?base_l=1000"}); f.Location != "" || !strings.Contains(f.Message, "no dose is chosen yet") || !strings.Contains(f.Message, path+"/choice") {
		t.Errorf("an order without a choice: %+v", f)
	}
	if f := r.fault(call{method: "GET", path: path + "/bench-sheet"}); !strings.HasPrefix(f.Message, "tools: say which measuring tools are at hand") {
		t.Errorf("a sheet without tools: %+v", f)
	}
	r.add(path+"/choice", `{"dose_ml_per_100ml": 6, "reasons": "closest"}`)
	for _, row := range []struct{ query, words string }{
		{"bench-sheet?to_ml=twelve", "to_ml: want a number"},
		{"bench-sheet?to_ml=1,5", "to_ml: want a number, with a point"},
		{"bench-sheet?to_ml=NaN", "to_ml: want a number"},
		{"bench-sheet?to_ml=-1", "to_ml: "},
		{"bench-sheet?from_ml=-1", "from_ml: "},
		{"bench-sheet?kind=even&step_ml=0", "step_ml: "},
		{"bench-sheet?kind=visible&step_ml=1", "step_ml: step_ml goes with the kind even"},
		{"bench-sheet?kind=given&doses_ml=2+four", "doses_ml: want numbers"},
		{"bench-sheet?kind=given", "doses_ml: which doses"},
		{"bench-sheet?kind=odd", "kind: "},
		{"bench-sheet?visible_step=0", "visible_step: "},
		{"bench-sheet?withdraw_ml=-3", "withdraw_ml: "},
		{"bench-sheet?to=12", "to: this address takes no such parameter; it takes doses_ml, from_ml, kind"},
		{"bench-sheet?to_ml=12&to_ml=13", "to_ml: stands here more than once"},
		{"bench-sheet?format=doc", "format: want pdf or html"},
		{"report?language=xx", "language: want en, fr or es"},
		{"report?format=doc", "format: want pdf or html"},
		{"work-order?format=doc", "format: want pdf or html"},
		{"work-order", "one of"},
		{"work-order?base_l=0", "base_l: "},
		{"work-order?base_l=-1", "base_l: "},
		{"work-order?base_l=1e400", "base_l: want a number"},
		{"work-order?blend_l=x", "blend_l: want a number"},
		{"work-order?bottle_ml=750", "bottle"},
		{"work-order?bottle_count=0&bottle_ml=750", "bottle_count: "},
		{"work-order?bottle_count=1.5&bottle_ml=750", "bottle_count: "},
		{"work-order?bottle_count=1&bottle_ml=-750", "bottle_ml: "},
		{"work-order?base_l=1&loss_percent=100", "loss_percent: "},
		{"work-order?base_l=1&stock_base_l=-1", "stock_base_l: "},
		{"work-order?base_l=1&stock_addition_l=-1", "stock_addition_l: "},
		{"work-order?base_l=1&first_percent=100", "first_percent: "},
		{"work-order?base_l=1&base_graduation_l=-1", "base_graduation_l: "},
		{"work-order?base_l=1&addition_graduation_ml=-1", "addition_graduation_ml: "},
		{"work-order?base_l=1&base_u_percent=51", "base_u_percent: "},
		{"work-order?base_l=1&addition_u_percent=51", "addition_u_percent: "},
		{"work-order?base_l=1&heel_l=-1", "heel_l: "},
		{"work-order?base_l=1&vessel=" + strings.Repeat("x", 201), "vessel: "},
		{"work-order?base_l=1&dose=5", "dose: this address takes no such parameter"},
	} {
		if f := r.fault(call{method: "GET", path: path + "/" + row.query}); f.Location != "" || !strings.Contains(f.Message, row.words) {
			t.Errorf("%.80s: %+v, want %q", row.query, f, row.words)
		}
	}
	for _, row := range []struct{ to, body, place string }{
		{"/bench-sheet", `{"kind": "even", "to": 3}`, "/to"},
		{"/work-order", `{"base_l": -1}`, "/base_l"},
		{"/work-order", `{"base_l": 1, "dose_ml_per_100ml": 5}`, "/dose_ml_per_100ml"},
		{"/work-order", `{"vessels": [{"blend_l": 5}], "vessel": "Tank 7"}`, "/vessel"},
		{"/work-order", `{"base_l": 1, "stock": {"base_l": -1}}`, "/stock/base_l"},
		{"/work-order", `{"base_l": 1, "trim": {"tank": {"base_l": 0, "poured_l": 1}, "top": {"readings": {"a420": 0.1, "a520": 0.1, "a620": 0.1}}, "bottom": {"readings": {"a420": 0.1, "a520": 0.1, "a620": 0.1}}}}`, "/trim/tank/base_l"},
	} {
		if f := r.fault(call{path: path + row.to, body: row.body}); f.Location != row.place {
			t.Errorf("%s %s: %+v, want a fault at %q", row.to, row.body, f, row.place)
		}
	}
	for _, missing := range []call{
		{method: "GET", path: "/v1/trials/none/report"}, {method: "GET", path: "/v1/trials/none/work-order?base_l=1"}, {method: "GET", path: "/v1/trials/none/bench-sheet"},
		{path: "/v1/trials/none/bench-sheet", body: exampleSheet}, {path: "/v1/trials/none/work-order", body: exampleOrder},
	} {
		r.paper(404, "application/problem+json", missing)
	}
	for _, to := range []string{"/work-order", "/bench-sheet", "/plan", "/pours"} {
		if answer, _ := r.ask(400, call{path: path + to, body: `{"base_l": ]`}); !strings.Contains(text(answer["detail"]), "column 12") {
			t.Errorf("%s of what is no JSON: %v", to, answer)
		}
	}
}

// The addresses are the same with pages beside them.
func TestStylesheetBesidePages(t *testing.T) {
	service := newTestService(t, func(c *Config) {
		c.Pages, c.Log = http.NotFoundHandler(), slog.New(slog.NewTextHandler(io.Discard, nil))
	})
	if w := do(service, call{method: "GET", path: sheetStyles()}); w.Code != 200 {
		t.Errorf("status %d", w.Code)
	}
}

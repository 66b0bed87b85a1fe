package api

import (
	"bytes"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/gin-gonic/gin"

	"pourpath/api/calc"
)

func TestGuards(t *testing.T) {
	service := newTestService(t)
	header := func(pairs ...string) map[string]string {
		h := map[string]string{}
		for i := 0; i < len(pairs); i += 2 {
			h[pairs[i]] = pairs[i+1]
		}
		return h
	}
	for _, row := range []struct {
		name   string
		call   call
		status int
		want   string
	}{
		{"foreign host", call{path: "/v1/colour", body: calc.ExampleColour, host: "cellar.example"}, 421, "cellar.example"},
		{"foreign host with our port", call{method: "GET", path: "/openapi.json", host: "cellar.example:8420"}, 421, "cellar.example"},
		{"address of another machine", call{method: "GET", path: "/healthz", host: "192.0.2.7"}, 421, "192.0.2.7"},
		{"name that only begins like ours", call{method: "GET", path: "/healthz", host: "127.0.0.1.example"}, 421, "loopback"},
		{"page of another site", call{path: "/v1/colour", body: calc.ExampleColour, header: header("Sec-Fetch-Site", "cross-site", "Origin", "https://site.example")}, 403, "site.example"},
		{"page of another port", call{path: "/v1/colour", body: calc.ExampleColour, header: header("Origin", "http://127.0.0.1:3000")}, 403, "another site"},
		{"hidden origin", call{path: "/v1/colour", body: calc.ExampleColour, header: header("Origin", "null")}, 403, "another site"},
		{"form", call{path: "/v1/colour", body: "wine=x", header: header("Content-Type", "application/x-www-form-urlencoded")}, 415, "application/json"},
		{"plain text", call{path: "/v1/colour", body: calc.ExampleColour, header: header("Content-Type", "text/plain")}, 415, "text/plain"},
		{"no content type", call{path: "/v1/colour", body: calc.ExampleColour, header: header("Content-Type", "")}, 415, "application/json"},
		{"unknown route", call{method: "GET", path: "/v1/nothing"}, 404, "/v1/nothing"},
		{"unknown route, posted", call{path: "/v2/colour", body: calc.ExampleColour}, 404, "/v2/colour"},
		{"trailing slash", call{path: "/v1/colour/", body: calc.ExampleColour}, 404, "/v1/colour/"},
		{"NUL in a path", call{method: "GET", path: "/v1/specs/%00"}, 404, "U+0000"},
		{"NUL in a query", call{method: "GET", path: "/v1/specs?after=%00"}, 404, "U+0000"},
		{"wrong method", call{method: "GET", path: "/v1/colour"}, 405, "POST"},
		{"wrong method on a page", call{path: "/healthz"}, 405, "GET"},
		{"odd method", call{method: "BREW", path: "/v1/colour"}, 405, "BREW"},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := do(service, row.call)
			if p := problemOf(t, w); p.Status != row.status || !strings.Contains(p.Detail, row.want) {
				t.Errorf("%+v, want status %d and %q", p, row.status, row.want)
			}
			if w.Header().Get("X-Content-Type-Options") != "nosniff" || w.Header().Get("X-Frame-Options") != "DENY" || w.Header().Get("Referrer-Policy") != "same-origin" {
				t.Errorf("security headers are missing: %v", w.Header())
			}
			if row.status == http.StatusMethodNotAllowed && w.Header().Get("Allow") == "" {
				t.Error("405 without the header Allow")
			}
		})
	}
}

func TestOwnHostsAndPages(t *testing.T) {
	service := newTestService(t)
	for _, c := range []call{
		{host: "localhost:8420"}, {host: "LOCALHOST"}, {host: "127.0.0.1"}, {host: "127.1.2.3:80"}, {host: "[::1]:8420"}, {host: "[::1]"},
		{header: map[string]string{"Sec-Fetch-Site": "same-origin", "Origin": "http://127.0.0.1:8420"}},
		{header: map[string]string{"Origin": "http://127.0.0.1:8420"}},
		{header: map[string]string{"Content-Type": "application/json; charset=utf-8"}},
	} {
		c.path, c.body = "/v1/colour", calc.ExampleColour
		if w := do(service, c); w.Code != http.StatusOK {
			t.Errorf("%+v: status %d: %s", c, w.Code, w.Body)
		}
	}
}

// endless is a body that never ends and counts what is read of it.
type endless struct{ read int64 }

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	e.read += int64(len(p))
	return len(p), nil
}

func TestBodiesThatAreTooLarge(t *testing.T) {
	const hundredMB = 100 << 20
	service := newTestService(t)
	for _, row := range []struct {
		name   string
		length int64
		atMost int64 // bytes that may be read of it
	}{
		{"length told", hundredMB, 0},
		{"length hidden", -1, calc.MaxBytes + 64<<10},
	} {
		t.Run(row.name, func(t *testing.T) {
			body := &endless{}
			r := call{path: "/v1/ladder"}.request()
			r.Body, r.ContentLength = io.NopCloser(io.LimitReader(body, hundredMB)), row.length
			w := httptest.NewRecorder()
			service.ServeHTTP(w, r)
			if p := problemOf(t, w); p.Status != http.StatusRequestEntityTooLarge || !strings.Contains(p.Detail, "1048576 bytes") {
				t.Errorf("%+v, want 413 with the limit", p)
			}
			if body.read > row.atMost {
				t.Errorf("%d bytes were read, want at most %d", body.read, row.atMost)
			}
		})
	}
	exact := `{"dose_ml_per_100ml": 5, "base_l": 10}`
	if w := do(service, call{path: "/v1/scale", body: exact + strings.Repeat(" ", calc.MaxBytes-len(exact))}); w.Code != http.StatusOK {
		t.Errorf("a body of exactly the limit: status %d: %s", w.Code, w.Body)
	}
}

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, errors.New("connection reset") }

func TestBodyThatBreaksOff(t *testing.T) {
	r := call{path: "/v1/colour"}.request()
	r.Body, r.ContentLength = io.NopCloser(broken{}), -1
	w := httptest.NewRecorder()
	newTestService(t).ServeHTTP(w, r)
	if p := problemOf(t, w); p.Status != http.StatusBadRequest {
		t.Errorf("%+v, want 400: it is not the service's fault", p)
	}
}

func TestPanicIsToldOnlyToTheLog(t *testing.T) {
	var log bytes.Buffer
	pages := http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("secret of the cellar") })
	service := newTestService(t, func(c *Config) {
		c.Pages, c.Log = pages, slog.New(slog.NewTextHandler(&log, nil))
	})
	w := do(service, call{method: "GET", path: "/"})
	body := w.Body.String()
	p := problemOf(t, w)
	if p.Status != http.StatusInternalServerError || !strings.Contains(p.Detail, "internal error") || strings.Contains(body, "secret") {
		t.Errorf("%s, want 500 that says nothing but internal error", body)
	}
	if !strings.HasPrefix(p.Instance, "urn:uuid:") || !strings.Contains(log.String(), p.Instance) || !strings.Contains(log.String(), "secret of the cellar") {
		t.Errorf("the log has not the details under %q:\n%s", p.Instance, &log)
	}
	if w := do(service, call{method: "GET", path: "/metrics"}); !strings.Contains(w.Body.String(), "pourpath_internal_errors_total 1") {
		t.Error("the fault was not counted")
	}
}

// TestPanicAfterTheAnswerBegan: what was sent cannot be taken back, so nothing
// is added to it.
func TestPanicAfterTheAnswerBegan(t *testing.T) {
	pages := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		if _, err := io.WriteString(w, "half"); err != nil {
			t.Error(err)
		}
		panic("late")
	})
	w := do(newTestService(t, func(c *Config) { c.Pages = pages }), call{method: "GET", path: "/"})
	if w.Body.String() != "half" {
		t.Errorf("body %q, want what had been written", w.Body)
	}
}

func TestErrorThatIsNoProblemIsInternal(t *testing.T) {
	s := &service{config: Config{Log: slog.New(slog.NewTextHandler(io.Discard, nil))}, metrics: newMetrics("x")}
	if p := s.problem(errors.New("disk 7 at /secret")); p.Status != 500 || strings.Contains(p.Detail, "disk") {
		t.Errorf("%+v, want 500 without the error's text", p)
	}
}

func TestUnreadableAnswerIsAnError(t *testing.T) {
	if body, err := encode(func() {}); err == nil {
		t.Errorf("encode(func) = %q, want an error", body)
	}
}

func TestGinIsQuiet(t *testing.T) {
	if gin.Mode() != gin.ReleaseMode {
		t.Errorf("gin is in %s mode and writes to standard output", gin.Mode())
	}
}

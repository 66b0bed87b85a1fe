package api

import (
	"encoding/json"
	"log/slog"
	"net/http"
	"reflect"
	"strings"
	"testing"

	"pourpath/api/hook"
)

// TestVerifyInLines: the answer in lines ends with the answer as it is without,
// after how many are done; a body at fault is refused as ever.
func TestVerifyInLines(t *testing.T) {
	r := newRecorder(t)
	lot := r.lotOf(`{"limits": {"L": [50, 100]}}`, "")
	for range 3 {
		r.add(lot+"/samples", readings(0.2, 0.2, 0.05, ""))
	}
	whole, w := r.ask(200, call{path: "/v1/verdicts/verify", body: `{}`})
	if whole["same"] != 3.0 || w.Header().Get("Content-Type") != "application/json" {
		t.Errorf("whole: %v, %v", whole, w.Header())
	}
	inLines := map[string]string{"Accept": "application/x-ndjson"}
	w = do(r.service, call{path: "/v1/verdicts/verify", body: `{}`, header: inLines})
	if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/x-ndjson" || !w.Flushed {
		t.Errorf("status %d, %v, flushed %v", w.Code, w.Header(), w.Flushed)
	}
	var got []map[string]any
	for line := range strings.Lines(w.Body.String()) {
		var m map[string]any
		if err := json.Unmarshal([]byte(line), &m); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		got = append(got, m)
	}
	if want := []map[string]any{{"done": 3.0}, {"answer": whole}}; !reflect.DeepEqual(got, want) {
		t.Errorf("lines %v\nwant %v", got, want)
	}
	for body, status := range map[string]int{`{"limit": 0`: 400, `{"limit": -1}`: 422} {
		if w := do(r.service, call{path: "/v1/verdicts/verify", body: body, header: inLines}); w.Code != status || w.Header().Get("Content-Type") != "application/problem+json" {
			t.Errorf("%s: status %d, %s", body, w.Code, w.Body)
		}
	}
	w = do(r.service, call{path: "/v1/verdicts/verify", body: `{"lot": "none"}`, header: inLines})
	if got := w.Body.String(); !strings.HasPrefix(got, `{"problem":{`) || strings.Count(got, "\n") != 1 {
		t.Errorf("of no lot: %s", got)
	}
}

// TestHookIsCounted: what becomes of events is in the metrics where a command is
// told of them, and only there.
func TestHookIsCounted(t *testing.T) {
	told, err := hook.New("false", slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	service := newTestService(t, func(c *Config) { c.Hook = told })
	r := recorder{t: t, service: service, document: served(t, service)}
	r.add(r.lotOf(`{"limits": {"L": [50, 100]}}`, "")+"/samples", readings(0.2, 0.2, 0.05, ""))
	if err := told.Close(t.Context()); err != nil {
		t.Fatal(err)
	}
	metrics := func(h http.Handler) string { return do(h, call{method: "GET", path: "/metrics"}).Body.String() }
	for _, want := range []string{`pourpath_verdict_events_total{result="failed"} 1`, `pourpath_verdict_events_total{result="dropped"} 0`, `pourpath_verdict_events_waiting 0`} {
		if got := metrics(service); !strings.Contains(got, want) {
			t.Errorf("the metrics lack %s", want)
		}
	}
	if strings.Contains(metrics(newTestService(t)), "verdict_events") {
		t.Error("events are counted although nobody is told")
	}
}

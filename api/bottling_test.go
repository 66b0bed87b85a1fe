package api

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// TestBottlingCall: a lot gets its bottling date later, with who says so; charts that were
// drawn before follow, and what contradicts the samples or another's change is refused.
func TestBottlingCall(t *testing.T) {
	r := newRecorder(t)
	spec := text(r.add("/v1/specs", `{"limits": {"intensity": [0.2, 0.5]}, "valid_from": "2026-01-01"}`)["id"])
	var lots []string
	for i := range 2 {
		lot := "/v1/lots/" + text(r.add("/v1/lots", fmt.Sprintf(`{"name": "L-%d", "spec": %q}`, i+1, spec))["id"])
		r.add(lot+"/samples", readings(0.2, 0.2, 0.05, fmt.Sprintf(`, "taken_at": "2026-03-%d0", "stage": "middle"`, i+1)))
		lots = append(lots, lot)
	}
	charted := func() (names []string) {
		t.Helper()
		chart := r.get("/v1/charts?kind=run&quantity=intensity&spec=" + spec)
		points, _ := chart["points"].([]any)
		for i := range points {
			id := text(at(t, chart, fmt.Sprintf("points/%d/lot", i)))
			names = append(names, text(r.get("/v1/lots/" + id)["name"]))
		}
		return names
	}
	if got := strings.Join(charted(), " "); got != "L-1 L-2" {
		t.Fatalf("by when they were sampled: %s", got)
	}
	_, w := r.ask(200, call{method: "GET", path: lots[1]})
	etag := w.Header().Get("ETag")
	if etag != `"1"` {
		t.Errorf("ETag %q", etag)
	}
	r.ask(http.StatusPreconditionRequired, call{method: "PUT", path: lots[1] + "/bottling", body: exampleBottling})
	told := r.put(200, lots[1]+"/bottling", etag, `{"bottled_at": "2026-03-01", "by": "Ada"}`)
	if at(t, told, "bottlings/0/by") != "Ada" || !strings.HasPrefix(text(told["bottled_at"]), "2026-03-01") || at(t, told, "samples/0/days_since_bottling") != 19.0 {
		t.Errorf("told: %v", told)
	}
	if got := strings.Join(charted(), " "); got != "L-2 L-1" {
		t.Errorf("by when they were bottled: %s", got)
	}
	r.put(412, lots[1]+"/bottling", etag, `{"bottled_at": "2026-03-02", "by": "Ben", "reason": "x"}`)
	for body, want := range map[string]string{
		`{"bottled_at": "2026-03-02", "by": "Ben"}`:                               "/reason: the lot has a bottling date already",
		`{"bottled_at": "2026-03-25", "by": "Ben", "reason": "x"}`:                `/bottled_at: a sample of the stage "middle" was taken from bottles at 2026-03-20`,
		`{"bottled_at": "2026-03-02", "by": " ", "reason": "x"}`:                  "/by: say who gives the bottling date",
		`{"bottled_at": "soon", "by": "Ben", "reason": "x"}`:                      "/bottled_at",
		`{"bottled_at": "2026-03-02", "by": "Ben", "reason": "x", "storage": ""}`: "/storage",
	} {
		if told := r.places(call{method: "PUT", path: lots[1] + "/bottling", body: body, header: map[string]string{"If-Match": `"2"`}}, 422); !strings.HasPrefix(told, want) {
			t.Errorf("%s: %s, want %s", body, told, want)
		}
	}
	r.put(200, "/v1/specs/"+spec, `"1"`, `{"limits": {"intensity": [0.2, 0.4]}, "valid_from": "2026-03-10"}`)
	later := r.put(200, lots[0]+"/bottling", `"1"`, `{"bottled_at": "2026-03-05", "by": "Ada"}`)
	if later["warnings"] != nil {
		t.Errorf("where the lot's own version holds: %v", later["warnings"])
	}
	later = r.put(200, lots[0]+"/bottling", `"2"`, `{"bottled_at": "2026-03-10T09:00:00Z", "by": "Ben", "reason": "the line stood"}`)
	if at(t, later, "warnings/0/code") != "other_version" || later["spec_version"] != 1.0 {
		t.Errorf("where another version holds: %v", later)
	}
	r.ask(404, call{method: "PUT", path: "/v1/lots/none/bottling", body: exampleBottling, header: map[string]string{"If-Match": `"1"`}})
}

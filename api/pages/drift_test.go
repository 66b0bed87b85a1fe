package pages_test

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"
)

// agedLots stores lots that were read over eight months, one of them once, and
// returns the identifier of their specification.
func agedLots(t *testing.T, post func(path, body string) string) string {
	t.Helper()
	spec := post("/v1/specs", `{"name": "House", "product": "House rosé", "target": {"wine": {"readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021}}}, "tolerance": {"delta_e_00": 2}}`)
	bottled := time.Date(2025, 3, 1, 9, 0, 0, 0, time.UTC)
	for i := range 5 {
		storage, days := "12 °C", []float64{0, 30, 60, 120, 240}
		if i == 4 {
			storage, days = "box", days[:1]
		}
		lot := post("/v1/lots", fmt.Sprintf(`{"name": "L-%d", "spec": %q, "storage": %q, "bottled_at": %q}`, i, spec, storage, bottled.Format(time.RFC3339)))
		for k, d := range days {
			left := math.Exp2(-d/100) + 0.004*math.Sin(float64(7*i+3*k))
			post("/v1/lots/"+lot+"/samples", fmt.Sprintf(`{"readings": {"a420": %.5f, "a520": %.5f, "a620": %.5f}, "taken_at": %q}`,
				0.142+0.01*(1-left), 0.118*(2+left)/3, 0.021*(4+left)/5, bottled.Add(time.Duration(d*24)*time.Hour).Format(time.RFC3339)))
		}
	}
	return spec
}

// poster makes records by the interface.
func poster(t *testing.T, h http.Handler) func(path, body string) string {
	return func(path, body string) string {
		t.Helper()
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420"+path, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		var made struct{ ID string }
		if err := json.Unmarshal(w.Body.Bytes(), &made); err != nil || w.Code != http.StatusCreated {
			t.Fatalf("%s: status %d, %v: %.300s", path, w.Code, err, w.Body)
		}
		return made.ID
	}
}

// TestDriftPage: what the lots say with its picture and table, the aim with what
// was typed, and the lots about to leave.
func TestDriftPage(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, true)
	// Pages of lots are another matter.
	answered := map[string]bool{"/lots": true}
	says(t, text(parse(t, get(t, h, "/drift").Body.String())), "How the colour drifts", "No lot has been read after bottling yet. It takes two lots or more")
	spec := agedLots(t, poster(t, h))
	for id := range lotIDs(t, h) {
		answered["/lots/"+id] = true
	}
	const address = "/drift?product=House+ros%C3%A9"
	page := get(t, h, address).Body.String()
	says(t, text(soundBeside(t, h, page, answered)), "12 °C", "4 lots with 20 readings", "% in 30 days at first", "The curve as a table", "box", "Not enough: 0 lots with 0 readings on two days or more, and 1 read once", "What to aim at")
	if n := strings.Count(page, "<svg"); n != 1 {
		t.Errorf("%d pictures, want one of the class that is known", n)
	}

	if !strings.Contains(page, `href="/drift/lots?product=House%20ros%c3%a9"`) {
		t.Error("the way on to the lots does not keep the product")
	}
	ask := address + "&" + url.Values{"storage": {"12 °C"}, "release_days": {"90"}, "from_days": {"10"}, "spec": {spec}}.Encode()
	page = get(t, h, ask).Body.String()
	says(t, text(soundBeside(t, h, page, answered)), "(redder), ΔL* −", "(darker)", "Today", "On release", "L*", "A520", "Days count from bottling", "what local codes and labels allow")
	for _, kept := range []string{`value="90"`, `value="10"`, `value="` + spec + `" selected`} {
		if !strings.Contains(page, kept) {
			t.Errorf("the form does not keep %s", kept)
		}
	}
	for query, want := range map[string]string{
		"&storage=12+%C2%B0C&release_days=&spec=" + spec:    `<p class="fault" id="release_days-fault">`,
		"&storage=12+%C2%B0C&release_days=x&spec=" + spec:   `<p class="fault" id="release_days-fault">`,
		"&storage=12+%C2%B0C&release_days=900&spec=" + spec: "until day 360 at most",
		"&storage=12+%C2%B0C&release_days=90":               `<p class="fault" id="spec-fault">`,
		"&storage=12+%C2%B0C&release_days=90&spec=none":     `<p class="fault" id="spec-fault">`,
		"&storage=12+%C2%B0C&release_days=90&trial=none":    `<p class="fault" id="trial-fault">`,
		"&storage=box&release_days=90&spec=" + spec:         "Not enough: 0 lots",
		"&storage=cave&release_days=90&spec=" + spec:        `<p class="fault" id="storage-fault">`,
	} {
		w := get(t, h, address+query)
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: status %d, does not say %q", query, w.Code, want)
		}
		soundBeside(t, h, w.Body.String(), answered)
	}
	if w := get(t, h, "/drift?product=None"); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "no lot of this product was read yet; there are: House rosé") {
		t.Errorf("no such product: status %d", w.Code)
	}

	lots := get(t, h, "/drift/lots?product=House+ros%C3%A9")
	says(t, text(soundBeside(t, h, lots.Body.String(), answered)), "Lots about to leave their specification", "L-0", "outside when it was read", "ΔE00", "Lots without a forecast", "L-4: Not enough")
	if !strings.Contains(lots.Body.String(), `href="/drift?product=House%20ros%c3%a9"`) {
		t.Error("the way back does not keep the product")
	}
	var answer struct {
		Items []struct {
			First       string   `json:"first"`
			OutsideThen []string `json:"outside_then"`
		}
	}
	if err := json.Unmarshal(get(t, h, "/v1/drift/lots?product=House+ros%C3%A9").Body.Bytes(), &answer); err != nil || len(answer.Items) == 0 {
		t.Fatalf("no lots: %v", err)
	}
	for _, lot := range answer.Items {
		if len(lot.OutsideThen) > 0 && lot.First != "" {
			t.Errorf("a lot that was outside by %v leaves first by %s", lot.OutsideThen, lot.First)
		}
	}
	if w := get(t, h, "/drift/lots?product=None"); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("no such product: status %d", w.Code)
	}
}

// lotIDs are the identifiers of all lots.
func lotIDs(t *testing.T, h http.Handler) map[string]bool {
	t.Helper()
	out := map[string]bool{}
	for _, id := range ids(t, h, "/v1/lots") {
		out[id] = true
	}
	return out
}

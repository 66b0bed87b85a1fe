package api

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// chartedLots adds lots of the product House with a sample each.
func chartedLots(r recorder, n int) {
	r.t.Helper()
	r.add("/v1/specs", `{"name": "House", "product": "House", "limits": {"L": [85, 97], "tint": [1, 1.5]}}`)
	for i := range n {
		lot := r.add("/v1/lots", fmt.Sprintf(`{"name": "L-%d", "product": "House", "bottled_at": "2025-01-%02d"}`, i+1, i+1))
		r.add("/v1/lots/"+text(lot["id"])+"/samples", readings(0.142+0.001*float64(i*7%5), 0.118+0.0007*float64(i*3%4), 0.021+0.0002*float64(i*5%7), ""))
	}
}

// TestChartAnswers: each kind as JSON by the description, and as each picture.
func TestChartAnswers(t *testing.T) {
	r := newRecorder(t)
	chartedLots(r, 28)
	for query, part := range map[string]string{
		"quantity=tint&rules=nelson&base=20": "limits", "kind=ewma&quantity=a&lambda=0.1": "lambda",
		"kind=t2&points=5": "t2", "kind=plane&from=2025-01-05&to=2025-01-20": "points", "quantity=L&rules=none&points=0": "capability",
	} {
		got := r.get("/v1/charts?product=House&" + query)
		if got[part] == nil || got["conditions"] == "" {
			t.Errorf("%s: %v", query, got)
		}
	}
	begins := map[string]string{"image/svg+xml": "<?xml", "image/png": "\x89PNG", "application/pdf": "%PDF"}
	for mediaType, begin := range begins {
		w := do(r.service, call{method: http.MethodGet, path: "/v1/charts?product=House", header: map[string]string{"Accept": mediaType}})
		if w.Code != 200 || w.Header().Get("Content-Type") != mediaType || !strings.HasPrefix(w.Body.String(), begin) {
			t.Errorf("%s: status %d, %s, %.20q", mediaType, w.Code, w.Header().Get("Content-Type"), w.Body)
		}
	}
	r.ask(406, call{method: http.MethodGet, path: "/v1/charts?product=House", header: map[string]string{"Accept": "text/csv"}})
}

// TestChartFaults: each names the part of the query that it comes from.
func TestChartFaults(t *testing.T) {
	r := newRecorder(t)
	chartedLots(r, 11)
	for query, says := range map[string]string{
		"":                                    "product: lots of what?",
		"product=House&colour=red":            "colour: this address takes no such parameter",
		"product=House&points=many":           "points: want a number",
		"product=House&from=yesterday":        "from: ",
		"product=House&rules=mine":            "rules: ",
		"product=House&base=40":               "base: the base period is to have 40 lots, and the period has 11",
		"product=House&to=2025-01-04":         "there are 3 that count, and it needs 10",
		"product=House&quantity=delta_e_00":   "there are 0 that count (11 are left out: the newest because it has no ΔE00 from the reference)",
		"spec=none":                           "spec: no specification is stored",
		"product=House&product=Other":         "product: stands here more than once",
		"product=House&kind=plane&points=0":   "",
		"product=House&kind=t2&quantity=tint": "quantity: t2 is of L*, a*, b* together",
	} {
		status := 422
		if says == "" {
			status = 200
		}
		if told := r.places(call{method: http.MethodGet, path: "/v1/charts?" + strings.ReplaceAll(query, " ", "+")}, status); !strings.Contains(told, says) {
			t.Errorf("%s: %q, want %q", query, told, says)
		}
	}
	w := do(r.service, call{method: http.MethodGet, path: "/v1/charts?" + url.Values{"product": {"House"}, "points": {"0"}}.Encode(), header: map[string]string{"Accept": "image/png"}})
	if w.Code != 422 || !strings.Contains(w.Body.String(), "nothing to draw") {
		t.Errorf("a picture of nothing: status %d, %s", w.Code, w.Body)
	}
}

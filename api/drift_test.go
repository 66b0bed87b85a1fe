package api

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

// decay is a first-order decay that lots of a test go by, per band.
type decay struct{ level, end, halfLife float64 }

func (d decay) at(days float64) float64 {
	return d.level * (d.end + (1-d.end)*math.Exp2(-days/d.halfLife))
}

var (
	truth    = [3]decay{{0.142, 1.12, 90}, {0.118, 0.74, 80}, {0.021, 0.9, 70}}
	readDays = []float64{0, 14, 40, 90, 150, 220, 300, 380}
)

const readU = 0.0008

// simulated adds a lot of a product, of a level of its own, and its samples.
func (r recorder) simulated(rng *rand.Rand, spec any, name, storage string, faster float64, days []float64) (id string, level float64) {
	r.t.Helper()
	bottled := time.Date(2025, 1, 10, 9, 0, 0, 0, time.UTC).AddDate(0, 0, rng.IntN(60))
	lot := r.add("/v1/lots", fmt.Sprintf(`{"name": %q, "spec": %q, "storage": %q, "bottled_at": %q}`, name, spec, storage, bottled.Format(time.RFC3339)))
	level = 0.85 + 0.3*rng.Float64()
	for _, day := range days {
		var a [3]float64
		for b, d := range truth {
			a[b] = level*d.at(day*faster) + readU*rng.NormFloat64()
		}
		r.add("/v1/lots/"+text(lot["id"])+"/samples", fmt.Sprintf(`{"readings": {"a420": %.5f, "a520": %.5f, "a620": %.5f, "u_absorbance": %g}, "taken_at": %q}`,
			a[0], a[1], a[2], readU, bottled.Add(time.Duration(day*24*float64(time.Hour))).Format(time.RFC3339)))
	}
	return text(lot["id"]), level
}

func (r recorder) house() any {
	r.t.Helper()
	return r.add("/v1/specs", `{"name": "House", "product": "House rosé", "target": {"wine": {"readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021}}}, "tolerance": {"delta_e_00": 2.5}}`)["id"]
}

func (r recorder) number(v any, path string) float64 {
	r.t.Helper()
	n, ok := at(r.t, v, path).(float64)
	if !ok {
		r.t.Fatalf("%s is %v, want a number", path, at(r.t, v, path))
	}
	return n
}

// TestDriftOfSimulatedLots: lots with a known decay go in by the API, and what
// comes out holds the truth: the curve's change, the aim, and the day on which a lot
// leaves its specification.
func TestDriftOfSimulatedLots(t *testing.T) {
	r := newRecorder(t)
	rng := rand.New(rand.NewPCG(7, 11))
	spec := r.house()
	for i := range 8 {
		r.simulated(rng, spec, fmt.Sprintf("L-%02d", i), "12 °C", 1, readDays)
		r.simulated(rng, spec, fmt.Sprintf("W-%02d", i), "20 °C", 2.5, readDays)
	}
	r.simulated(rng, spec, "alone", "box", 1, readDays[:3])
	d := r.get("/v1/drift?product=house%20ros%C3%A9")
	if length(d["classes"]) != 3 || d["lots"] != 17.0 || d["samples"] != 131.0 || d["product"] != "House rosé" {
		t.Fatalf("%v", d)
	}
	for i, class := range []struct {
		storage string
		faster  float64
	}{{"12 °C", 1}, {"20 °C", 2.5}} {
		c := at(t, d, fmt.Sprintf("classes/%d", i))
		if at(t, c, "storage") != class.storage || at(t, c, "known") != true || at(t, c, "lots") != 8.0 {
			t.Fatalf("class %d: %v", i, c)
		}
		first, last := at(t, c, "learned/curve/0"), at(t, c, "learned/curve/40")
		for b, name := range []string{"a420", "a520", "a620"} {
			was := truth[b].at(class.faster * r.number(first, "days"))
			want := truth[b].at(class.faster*r.number(last, "days")) / was * r.number(first, name+"/value")
			if lo, hi := r.number(last, name+"/lower"), r.number(last, name+"/upper"); !(lo <= want && want <= hi) || hi-lo > 0.1*want+0.002 {
				t.Errorf("%s: %s at the end is %.5f to %.5f, the truth %.5f", class.storage, name, lo, hi, want)
			}
		}
	}
	unknown := at(t, d, "classes/2")
	if at(t, unknown, "known") != false || !strings.Contains(text(at(t, unknown, "unknown")), "Not enough: 1 lot with 3 readings") || at(t, unknown, "learned") != nil {
		t.Errorf("too few data: %v", unknown)
	}
	// The warmer lots are ahead.
	if c := at(t, d, "storage_comparisons/1"); at(t, c, "storage") != "20 °C" || at(t, c, "nm") != 520.0 || at(t, c, "differs") != true || r.number(c, "difference/value") >= 0 {
		t.Errorf("comparison: %v", c)
	}
	r.aims(t)
	r.leaves(t, rng, spec)
}

// aims asks for what is to be there on day 120.
func (r recorder) aims(t *testing.T) {
	t.Helper()
	const wine = `{"wine": {"readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021}}}`
	a, _ := r.ask(200, call{path: "/v1/drift/aim", body: `{"product": "House rosé", "storage": "12 °C", "release_days": 120, "target": ` + wine + `,
		"base": {"readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008}}, "addition": {"readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}}}`})
	for b, name := range []string{"a420", "a520", "a620"} {
		want := []float64{0.142, 0.118, 0.021}[b] * truth[b].at(0) / truth[b].at(120)
		if lo, hi := r.number(a, "today/absorbances/"+name+"/lower"), r.number(a, "today/absorbances/"+name+"/upper"); !(lo <= want && want <= hi) {
			t.Errorf("%s to aim at: %.5f to %.5f, the truth %.5f", name, lo, hi, want)
		}
	}
	if r.number(a, "today/redder_a") <= 0 || r.number(a, "dose/more_ml_per_100ml") <= 0 || r.number(a, "dose/dose_interval_95/0") >= r.number(a, "dose/dose_ml_per_100ml") {
		t.Errorf("aim: %v", a)
	}
	for body, want := range map[string]string{
		`{"release_days": 10, "product": "House rosé", "target": ` + wine + `}`:                                                     "/storage",
		`{"release_days": 10, "product": "House rosé", "storage": "cave", "target": ` + wine + `}`:                                  "/storage",
		`{"release_days": 10, "product": "Other", "target": ` + wine + `}`:                                                          "/product",
		`{"release_days": 10, "from_days": 20, "target": ` + wine + `}`:                                                             "/release_days",
		`{"release_days": 10, "storage": "12 °C"}`:                                                                                  "/target",
		`{"release_days": 3000, "storage": "12 °C", "target": ` + wine + `}`:                                                        "/release_days",
		`{"release_days": 10, "storage": "12 °C", "target": {"intensity": 0.3, "tint": 1.2}}`:                                       "/target",
		`{"release_days": 10, "storage": "12 °C", "target": ` + wine + `, "base": {"readings": {"a420": 1, "a520": 1, "a620": 1}}}`: "/addition",
		`{"release_days": 10, "storage": "12 °C", "spec": "none"}`:                                                                  "/spec",
		`{"release_days": 10, "storage": "12 °C", "trial": "none"}`:                                                                 "/trial",
	} {
		if f := r.fault(call{path: "/v1/drift/aim", body: body}); f.Location != want {
			t.Errorf("%s: %+v, want a fault at %q", body, f, want)
		}
	}
	if p, _ := r.ask(409, call{path: "/v1/drift/aim", body: `{"release_days": 10, "storage": "box", "target": ` + wine + `}`}); p["type"] != "/problems/too-few-data" || !strings.HasPrefix(text(p["detail"]), "Not enough: 1 lot ") {
		t.Errorf("too few data: %v", p)
	}
}

// leaves asks for the day on which a new lot leaves its specification, of which the
// truth is found on the decay itself.
func (r recorder) leaves(t *testing.T, rng *rand.Rand, spec any) {
	t.Helper()
	intensity := r.add("/v1/specs", `{"name": "deep", "product": "House rosé", "limits": {"intensity": [0.24, 1]}}`)["id"]
	id, level := r.simulated(rng, intensity, "new", "12 °C", 1, []float64{0, 20})
	got := r.get("/v1/lots/" + id + "/drift")
	day := 20.0
	for ; day < 570 && level*(truth[0].at(day)+truth[1].at(day)+truth[2].at(day)) > 0.24; day++ {
	}
	read, err := time.Parse(time.RFC3339, text(got["read_at"]))
	if err != nil {
		t.Fatal(err)
	}
	if day <= 20 || day >= 570 {
		t.Fatalf("the lot of this seed (level %.3f) leaves on day %g: take one that does later, and within the data", level, day)
	}
	left := read.AddDate(0, 0, int(day-20)).Format(time.DateOnly)
	if lo, hi := text(got["earliest_on"]), text(got["latest_on"]); left < lo || got["latest_on"] != nil && left > hi || got["first"] != "intensity" || got["expected_on"] == nil {
		t.Errorf("left on %s: %v", left, got)
	}
	list := r.get("/v1/drift/lots?product=House%20ros%C3%A9")
	if length(list["items"]) != 17 || length(list["unknown"]) != 1 || at(t, list, "unknown/0/lot") != "alone" {
		t.Errorf("%d forecasts, %d without", length(list["items"]), length(list["unknown"]))
	}
	r.ask(404, call{method: "GET", path: "/v1/lots/none/drift"})
	bare := r.add("/v1/lots", fmt.Sprintf(`{"name": "bare", "spec": %q}`, spec))
	if p, _ := r.ask(409, call{method: "GET", path: "/v1/lots/" + text(bare["id"]) + "/drift"}); p["type"] != "/problems/too-few-data" {
		t.Errorf("nothing read: %v", p)
	}
}

// TestDriftTellsWhatItLeavesOut: colours alone, samples with acetaldehyde and lots
// without a bottling date are counted with the reason, and a winery without lots is
// told so.
func TestDriftTellsWhatItLeavesOut(t *testing.T) {
	r := newRecorder(t)
	if d := r.get("/v1/drift"); length(d["classes"]) != 0 || d["samples"] != 0.0 {
		t.Errorf("nothing stored: %v", d)
	}
	r.fault(call{method: "GET", path: "/v1/drift?product=None"})
	spec := r.house()
	lot := text(r.add("/v1/lots", fmt.Sprintf(`{"name": "L", "spec": %q, "bottled_at": "2025-03-01"}`, spec))["id"])
	undated := text(r.add("/v1/lots", fmt.Sprintf(`{"name": "U", "spec": %q}`, spec))["id"])
	const readings = `"readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021}`
	for _, s := range []struct{ lot, body string }{
		{lot, `{` + readings + `, "taken_at": "2025-04-01"}`},
		{lot, `{"cielab": {"L": 84.1, "a": 12.2, "b": 8.3, "path_mm": 10}, "taken_at": "2025-04-01"}`},
		{lot, `{` + readings + `, "taken_at": "2025-04-01", "state": {"acetaldehyde_added": true}}`},
		{lot, `{` + readings + `, "taken_at": "2025-02-01"}`},
		{undated, `{` + readings + `}`},
	} {
		r.add("/v1/lots/"+s.lot+"/samples", s.body)
	}
	d := r.get("/v1/drift")
	var codes []string
	for i := range length(d["left_out"]) {
		codes = append(codes, text(at(t, d, fmt.Sprintf("left_out/%d/code", i))))
	}
	if want := "cielab_alone acetaldehyde no_bottling_date before_bottling"; strings.Join(codes, " ") != want || d["lots"] != 1.0 {
		t.Errorf("left out %q, want %q: %v", codes, want, d)
	}
	for _, path := range []string{"/v1/drift/plot", "/v1/lots/" + lot + "/drift"} {
		if p, _ := r.ask(409, call{method: "GET", path: path}); !strings.HasPrefix(text(p["detail"]), "Not enough: ") {
			t.Errorf("%s: %v", path, p)
		}
	}
}

// TestDriftPlot: the picture in each form.
func TestDriftPlot(t *testing.T) {
	r := newRecorder(t)
	rng := rand.New(rand.NewPCG(3, 5))
	spec := r.house()
	for i := range 4 {
		r.simulated(rng, spec, fmt.Sprintf("L-%02d", i), "", 1, readDays)
	}
	for accept, begins := range map[string]string{"": "<?xml", "image/png": "\x89PNG", "application/pdf": "%PDF"} {
		w := do(r.service, call{method: "GET", path: "/v1/drift/plot", header: map[string]string{"Accept": accept}})
		if w.Code != 200 || !strings.HasPrefix(w.Body.String(), begins) {
			t.Errorf("Accept %q: status %d, %.60q", accept, w.Code, w.Body)
		}
	}
	if w := do(r.service, call{method: "GET", path: "/v1/drift/plot", header: map[string]string{"Accept": "text/css"}}); w.Code != 406 {
		t.Errorf("status %d", w.Code)
	}
}

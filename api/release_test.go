package api

import (
	"fmt"
	"net/http"
	"reflect"
	"strings"
	"testing"
	"time"
)

// readings is a body with readings and more fields.
func readings(a420, a520, a620 float64, more string) string {
	return fmt.Sprintf(`{"readings": {"a420": %g, "a520": %g, "a620": %g}%s}`, a420, a520, a620, more)
}

// put sends another version of a specification.
func (r recorder) put(status int, path, match, body string) map[string]any {
	r.t.Helper()
	a, _ := r.ask(status, call{method: http.MethodPut, path: path, body: body, header: map[string]string{"If-Match": match}})
	return a
}

// faultOf is fault for a method other than POST.
func (r recorder) places(c call, status int) string {
	r.t.Helper()
	a, _ := r.ask(status, c)
	var out []string
	for _, e := range items(a["errors"]) {
		out = append(out, text(object(e)["location"])+": "+text(object(e)["message"]))
	}
	return strings.Join(out, "\n")
}

// TestSpecVersions: a version is never changed, a change is another one, and no
// moment has two.
func TestSpecVersions(t *testing.T) {
	r := newRecorder(t)
	first := r.add("/v1/specs", `{"name": "House", "limits": {"L": [80, 96]}, "valid_to": "2026-01-01", "approved_by": "Ada"}`)
	path := "/v1/specs/" + text(first["id"])
	if first["approved_by"] != "Ada" || first["valid_to"] != "2026-01-01T00:00:00.000000Z" {
		t.Errorf("the first: %v", first)
	}
	body := `{"name": "House", "limits": {"L": [82, 96]}, "valid_from": %q}`
	if told := r.places(call{method: "PUT", path: path, header: map[string]string{"If-Match": `"1"`}, body: fmt.Sprintf(body, "2025-12-31")}, 422); !strings.HasPrefix(told, "/valid_from: ") || !strings.Contains(told, "overlap") {
		t.Errorf("versions that overlap: %s", told)
	}
	second := r.put(200, path, `"1"`, fmt.Sprintf(body, "2026-01-01"))
	if second["version"] != 2.0 || second["id"] != first["id"] || second["approved_by"] != nil {
		t.Errorf("the second: %v", second)
	}
	r.put(412, path, `"1"`, fmt.Sprintf(body, "2026-02-01"))
	if told := r.places(call{method: "PUT", path: path, header: map[string]string{"If-Match": `"2"`}, body: fmt.Sprintf(body, "2025-12-01")}, 422); !strings.Contains(told, "after the one before it") {
		t.Errorf("a version before the one before: %s", told)
	}
	third := r.put(200, path, `"2"`, fmt.Sprintf(body, "2026-02-01"))
	all := r.get(path + "/versions")
	if !reflect.DeepEqual(all["items"], any([]any{first, second, third})) {
		t.Errorf("the versions are %v", all["items"])
	}
	for n, want := range map[int]any{1: first, 2: second, 3: third} {
		if got := r.get(fmt.Sprintf("%s/versions/%d", path, n)); !reflect.DeepEqual(any(got), want) {
			t.Errorf("version %d is %v", n, got)
		}
	}
	newest, w := r.ask(200, call{method: "GET", path: path})
	if !reflect.DeepEqual(newest, third) || w.Header().Get("ETag") != `"3"` {
		t.Errorf("the newest is %v, ETag %s", newest, w.Header().Get("ETag"))
	}
	for _, missing := range []call{
		{method: "GET", path: path + "/versions/4"}, {method: "GET", path: path + "/versions/0"}, {method: "GET", path: path + "/versions/x"},
		{method: "GET", path: "/v1/specs/none/versions"}, {method: "PUT", path: "/v1/specs/none", body: exampleSpec, header: map[string]string{"If-Match": `"1"`}},
	} {
		r.ask(404, missing)
	}
	for bottled, want := range map[string]float64{"2025-06-01": 1, "2026-01-15": 2, "2026-02-01": 3} {
		lot := r.add("/v1/lots", fmt.Sprintf(`{"name": "x", "spec": %q, "bottled_at": %q}`, first["id"], bottled))
		if lot["spec_version"] != want {
			t.Errorf("a lot bottled %s goes by version %v, want %g", bottled, lot["spec_version"], want)
		}
	}
	r.ask(200, call{method: "DELETE", path: path})
	r.put(409, path, `"3"`, fmt.Sprintf(body, "2026-03-01"))
}

// TestSpecRefusals: each fault at its place.
func TestSpecRefusals(t *testing.T) {
	r := newRecorder(t)
	trial := text(r.add("/v1/trials", exampleTrial)["id"])
	spec := r.add("/v1/specs", `{"limits": {"L": [1, 100]}}`)
	lot := text(r.add("/v1/lots", fmt.Sprintf(`{"name": "x", "spec": %q}`, spec["id"]))["id"])
	for body, want := range map[string]string{
		`{"limits": {"L": [80, 90]}, "valid_from": "soon"}`:                                                   "/valid_from: this is no time",
		`{"limits": {"L": [80, 90]}, "valid_from": "2026-02-01", "valid_to": "2026-02-01"}`:                   "/valid_to: it ends at or before",
		`{"target": {"cielab": {"L": 70, "a": 10, "b": 5}}, "limits": {"L": [80, 90]}}`:                       "/limits/L: the target does not meet",
		`{"limits": {"L": [80, 90]}, "reference_state": {"free_so2_mg_per_l": 50, "total_so2_mg_per_l": 40}}`: "/reference_state/free_so2_mg_per_l: ",
		`{"limits": {"L": [80, 90]}, "name": "a\u0000b"}`:                                                     "/name: the text has a character U+0000",
		`{"reference": {"lots": []}, "tolerance": {"delta_e_00": 1}}`:                                         "/reference/lots: the list is empty",
		`{"reference": {}, "tolerance": {"delta_e_00": 1}}`:                                                   "/reference: give exactly one",
		`{"reference": {"trial": "none"}, "tolerance": {"delta_e_00": 1}}`:                                    "/reference/trial: no trial",
		`{"reference": {"trial": "` + trial + `"}, "tolerance": {"delta_e_00": 1}}`:                           "/reference/trial: no dose was chosen",
		`{"reference": {"lots": ["none"]}, "tolerance": {"delta_e_00": 1}}`:                                   "/reference/lots/0: no lot",
		`{"reference": {"lots": ["a", "a"]}, "tolerance": {"delta_e_00": 1}}`:                                 "/reference/lots/1: this lot stands here twice",
		`{"reference": {"lots": ["` + lot + `"]}, "tolerance": {"delta_e_00": 1}}`:                            "/reference/lots/0: the lot \"x\" was not released",
		`{"reference": {"trial": "x"}, "target": {"intensity": 1, "tint": 1}, "limits": {"tint": [0, 2]}}`:    "/reference: the reference is given twice",
		`{"reference": {"trial": "x", "lots": ["y"]}, "limits": {"tint": [0, 2]}}`:                            "/reference: give exactly one",
	} {
		if told := r.places(call{path: "/v1/specs", body: body}, 422); !strings.Contains(told, want) {
			t.Errorf("%s: %s\nwant %s", body, told, want)
		}
	}
}

// TestSpecOfTrial: the chosen dose is the reference, as it is predicted and then
// as it was read, and stays what it was.
func TestSpecOfTrial(t *testing.T) {
	r := newRecorder(t)
	trial := "/v1/trials/" + text(r.add("/v1/trials", exampleTrial)["id"])
	r.add(trial+"/pours", `{"glass": "B", "volume_ml": 5}`)
	r.add(trial+"/choice", exampleChoice)
	body := fmt.Sprintf(`{"reference": {"trial": %q}, "tolerance": {"delta_e_00": 2}}`, strings.TrimPrefix(trial, "/v1/trials/"))
	predicted := r.add("/v1/specs", body)
	if !strings.Contains(text(predicted["reference_source"]), "predicted") || at(t, predicted, "target/cielab/L") == nil {
		t.Errorf("as predicted: %v", predicted)
	}
	glass := at(t, r.get(trial), "ladder/rungs/1/colour/cielab/L")
	if at(t, predicted, "target/cielab/L") != glass {
		t.Errorf("the target's L* is %v, the glass's %v", at(t, predicted, "target/cielab/L"), glass)
	}
	r.add(trial+"/measurements", exampleMeasurement)
	read := r.add("/v1/specs", body)
	if at(t, read, "target/wine/readings/a520") != 0.216 || length(read["reference_readings"]) != 1 || !strings.Contains(text(read["reference_source"]), "glass B") {
		t.Errorf("as read: %v", read)
	}
	lot := r.add("/v1/lots", fmt.Sprintf(`{"name": "x", "spec": %q, "bottled_at": "2026-03-12"}`, read["id"]))
	first := r.add("/v1/lots/"+text(lot["id"])+"/samples", readings(0.196, 0.216, 0.043, `, "stage": "first_bottles", "taken_at": "2026-03-12T10:00:00Z"`))
	if first["verdict"] != "pass" || at(t, first, "difference/delta_e_00") != 0.0 {
		t.Errorf("the first bottles are what was chosen: %v", first["verdict"])
	}
	if days := number(first["days_since_bottling"]); days < 0.41 || days > 0.42 {
		t.Errorf("%g days since bottling, want 10 hours", days)
	}
	other := `{"reference": {"trial": %q}, "tolerance": {"delta_e_00": 2}, "view": {"illuminant": "A"}}`
	r.add("/v1/specs", fmt.Sprintf(other, strings.TrimPrefix(trial, "/v1/trials/"))) // it was read: any view will do
}

// TestSpecOfProduct: a lot that names a product gets the one specification of it;
// of two it is asked which.
func TestSpecOfProduct(t *testing.T) {
	r := newRecorder(t)
	one := r.add("/v1/specs", `{"name": "spring", "product": "House  Rosé", "limits": {"L": [80, 96]}, "valid_to": "2026-02-01"}`)
	lot := func(date string) call {
		return call{path: "/v1/lots", body: fmt.Sprintf(`{"name": "x", "product": "house rosé", "bottled_at": %q}`, date)}
	}
	if got, _ := r.ask(201, lot("2026-01-01")); got["spec"] != one["id"] || got["product"] != "house rosé" {
		t.Errorf("the lot: %v", got)
	}
	if told := r.places(lot("2026-02-01"), 422); !strings.HasPrefix(told, "/product: no specification of this product holds") {
		t.Errorf("after its end: %s", told)
	}
	two := r.add("/v1/specs", `{"name": "strict", "product": "House rosé", "limits": {"L": [84, 96]}}`)
	told := r.places(lot("2026-01-01"), 422)
	if !strings.HasPrefix(told, "/product: 2 specifications") || !strings.Contains(told, text(one["id"])) || !strings.Contains(told, text(two["id"])) {
		t.Errorf("two that fit: %s", told)
	}
	for body, want := range map[string]string{
		`{"name": "x", "product": "other"}`: "/product: no specification of this product is stored",
		`{"name": "x"}`:                     "/spec: ",
		fmt.Sprintf(`{"name": "x", "spec": %q, "product": "other"}`, two["id"]):         "/product: the specification is that of",
		fmt.Sprintf(`{"name": "x", "spec": %q, "bottled_at": "2026-03-01"}`, one["id"]): "/spec: no version of this specification holds",
		fmt.Sprintf(`{"name": "x", "spec": %q, "bottled_at": "March"}`, two["id"]):      "/bottled_at: this is no time",
	} {
		if told := r.places(call{path: "/v1/lots", body: body}, 422); !strings.HasPrefix(told, want) {
			t.Errorf("%s: %s\nwant %s", body, told, want)
		}
	}
}

// lotOf is the path of a new lot of a new specification.
func (r recorder) lotOf(spec, more string) string {
	r.t.Helper()
	made := r.add("/v1/specs", spec)
	return "/v1/lots/" + text(r.add("/v1/lots", fmt.Sprintf(`{"name": "L-31", "spec": %q%s}`, made["id"], more))["id"])
}

// TestSampleInTime: nothing is taken from the future or from before the bottling,
// nor in conditions that it cannot be converted from.
func TestSampleInTime(t *testing.T) {
	r := newRecorder(t)
	path := r.lotOf(`{"limits": {"L": [50, 100]}}`, `, "bottled_at": "2026-03-12T08:00:00Z"`) + "/samples"
	for body, want := range map[string]string{
		readings(0.2, 0.2, 0.05, `, "taken_at": "`+time.Now().Add(24*time.Hour).UTC().Format(time.RFC3339)+`"`): "/taken_at: the sample is from the future",
		readings(0.2, 0.2, 0.05, `, "taken_at": "2026-03-12T07:00:00Z", "stage": "beginning"`):                  "/taken_at: a sample of the stage",
		`{"cielab": {"L": 85, "a": 10, "b": 6, "path_mm": 10, "illuminant": "A"}}`:                              "/cielab: these values are stated for",
		`{"cielab": {"L": 85, "a": 10, "b": 6, "path_mm": 20}}`:                                                 "/cielab: these values are stated for",
		readings(0.2, 0.2, 0.05, `, "stage": "cask"`):                                                           "/stage: ",
		readings(0.2, 0.2, 0.05, `, "state": {"free_so2_mg_per_l": 50, "total_so2_mg_per_l": 40}`):              "/state/free_so2_mg_per_l: ",
		readings(0.2, 0.2, 0.05, `, "state": {"co2_mg_per_l": -1}`):                                             "/state/co2_mg_per_l: ",
		readings(0.2, 0.2, 0.05, `, "same_session": true`):                                                      "/same_session: ",
	} {
		if told := r.places(call{path: path, body: body}, 422); !strings.HasPrefix(told, want) {
			t.Errorf("%s: %s\nwant %s", body, told, want)
		}
	}
	// From before the bottling without a stage, on the day itself as a date alone,
	// a scan, and a colour in the specification's own conditions.
	for _, body := range []string{
		readings(0.2, 0.2, 0.05, `, "taken_at": "2026-03-11T07:00:00Z"`), readings(0.2, 0.2, 0.05, `, "taken_at": "2026-03-12", "stage": "end"`),
		`{"spectrum": ` + spectrumOf(scan(380, 780, 5, 60, "transmittance_percent")) + `}`,
		`{"cielab": {"L": 85, "a": 10, "b": 6, "path_mm": 10, "illuminant": "D65", "observer": "10"}}`,
	} {
		r.add(path, body)
	}
}

// spectrumOf takes the spectrum out of a wine.
func spectrumOf(wine string) string {
	return strings.TrimSuffix(strings.TrimPrefix(wine, `{"spectrum":`), "}")
}

// TestRunAdvice follows a run from nothing to stop, and what is decided of it.
func TestRunAdvice(t *testing.T) {
	r := newRecorder(t)
	path := r.lotOf(`{"limits": {"intensity": [0.2, 0.5]}, "warning": {"limits": {"intensity": [0.25, 0.45]}}}`, `, "bottled_at": "2026-03-12"`)
	advice := func(want, rule string) {
		t.Helper()
		got := r.get(path + "/run")
		if got["advice"] != want || got["rule"] != rule || !reflect.DeepEqual(r.get(path)["run"], any(got)) {
			t.Errorf("advice %v, want %s by %s", got, want, rule)
		}
	}
	sample := func(sum float64, stage, hour string) map[string]any {
		return r.add(path+"/samples", readings(sum/2, sum/4, sum/4, fmt.Sprintf(`, "stage": %q, "taken_at": "2026-03-12T%s:00:00Z"`, stage, hour)))
	}
	advice("none", "none")
	pass := sample(0.35, "first_bottles", "08")
	advice("go_on", "none")
	sample(0.47, "beginning", "09")
	advice("go_on", "none")
	sample(0.40, "middle", "10")
	sample(0.48, "middle", "11")
	advice("stop", "two_of_three_beyond_warning")
	sample(0.3, "middle", "12")
	sample(0.3, "middle", "13")
	advice("go_on", "none")
	fail := sample(0.6, "end", "14")
	advice("stop", "newest_fails")
	sample(0.3, "end", "07") // recorded later, taken earlier
	advice("stop", "newest_fails")

	for body, want := range map[string]string{
		`{"decision": "released", "by": "Ada"}`:                                                    "/verdicts: a release rests on verdicts",
		fmt.Sprintf(`{"decision": "released", "by": "Ada", "verdicts": [%q]}`, fail["verdict_id"]): "/reason: the newest verdict on 1 of",
		`{"decision": "released", "by": "Ada", "verdicts": ["none"]}`:                              "/verdicts/0: this lot has no such verdict",
		`{"decision": "held", "by": "Ada"}`:                                                        "/reason: say why",
		`{"decision": "held", "by": " ", "reason": "x"}`:                                           "/by: ",
		`{"decision": "sold", "by": "Ada", "reason": "x"}`:                                         "/decision: ",
		`{"decision": "held", "by": "Ada", "reason": "x", "at": "2099-01-01"}`:                     "/at: this lies in the future",
	} {
		if told := r.places(call{path: path + "/decisions", body: body}, 422); !strings.HasPrefix(told, want) {
			t.Errorf("%s: %s\nwant %s", body, told, want)
		}
	}
	held := r.add(path+"/decisions", exampleDecision)
	if told := r.places(call{path: path + "/decisions", body: fmt.Sprintf(`{"decision": "released", "by": "Ada", "verdicts": [%q], "reason": " "}`, pass["verdict_id"])}, 422); !strings.HasPrefix(told, "/reason: ") {
		t.Errorf("a release by the pass alone, with a failure beside it: %s", told)
	}
	released := r.add(path+"/decisions", fmt.Sprintf(`{"decision": "released", "by": "Ada", "verdicts": [%q], "reason": "the last pallet is held back"}`, pass["verdict_id"]))
	if got := r.get(path); !reflect.DeepEqual(got["decision"], any(released)) {
		t.Errorf("the lot's decision is %v", got["decision"])
	}
	if got := r.get(path + "/decisions"); !reflect.DeepEqual(got["items"], any([]any{held, released})) {
		t.Errorf("decisions %v", got)
	}
	r.ask(404, call{path: "/v1/lots/none/decisions", body: exampleDecision})
	r.ask(404, call{method: "GET", path: "/v1/lots/none/run"})
}

// TestSpecOfLots: the mean of released lots is the reference, with the samples
// that it was taken from.
func TestSpecOfLots(t *testing.T) {
	r := newRecorder(t)
	var ids []string
	var sum float64
	for _, l := range []float64{84, 86} {
		path := r.lotOf(`{"limits": {"L": [50, 100]}}`, `, "bottled_at": "2026-01-12"`)
		r.add(path+"/samples", `{"cielab": {"L": 70, "a": 10, "b": 6, "path_mm": 10}, "taken_at": "2026-01-02"}`) // of the tank
		sample := r.add(path+"/samples", fmt.Sprintf(`{"cielab": {"L": %g, "a": 10, "b": 6, "path_mm": 10}}`, l))
		r.add(path+"/samples", `{"cielab": {"L": 60, "a": 10, "b": 6, "path_mm": 10}, "stage": "retained"}`)
		r.add(path+"/decisions", fmt.Sprintf(`{"decision": "released", "by": "Ada", "verdicts": [%q]}`, sample["verdict_id"]))
		ids, sum = append(ids, fmt.Sprintf("%q", strings.TrimPrefix(path, "/v1/lots/"))), sum+l
	}
	spec := r.add("/v1/specs", fmt.Sprintf(`{"reference": {"lots": [%s]}, "tolerance": {"delta_e_00": 2}}`, strings.Join(ids, ",")))
	if length(spec["approved_lots"]) != 2 || length(spec["reference_readings"]) != 2 || at(t, spec, "approved_lots/0/L") != 84.0 {
		t.Errorf("the specification: %v", spec)
	}
	lot := "/v1/lots/" + text(r.add("/v1/lots", fmt.Sprintf(`{"name": "x", "spec": %q}`, spec["id"]))["id"])
	at85 := r.add(lot+"/samples", `{"cielab": {"L": 85, "a": 10, "b": 6, "path_mm": 10}}`)
	if d := number(at(t, at85, "difference/delta_e_00")); d > 1e-6 {
		t.Errorf("ΔE00 %g from the mean of 84 and 86", d)
	}
	if told := r.places(call{path: "/v1/specs", body: fmt.Sprintf(`{"reference": {"lots": [%s]}, "tolerance": {"delta_e_00": 2}}`, ids[0])}, 422); !strings.HasPrefix(told, "/reference/lots: the mean of approved lots needs two") {
		t.Errorf("one lot: %s", told)
	}
	if told := r.places(call{path: "/v1/specs", body: fmt.Sprintf(`{"reference": {"lots": [%s]}, "ellipsoid": {}}`, strings.Join(ids, ","))}, 422); !strings.HasPrefix(told, "/reference/lots: an ellipsoid") {
		t.Errorf("two lots for an ellipsoid: %s", told)
	}
}

package api

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

// TestSpecCalls: a specification is answered as it was given, and never changes.
func TestSpecCalls(t *testing.T) {
	r := newRecorder(t)
	made := r.add("/v1/specs", exampleSpec)
	path := "/v1/specs/" + text(made["id"])
	if made["version"] != 1.0 || made["name"] != "House rosé" || at(t, made, "tolerance/delta_e_00") != 2.0 || at(t, made, "limits/L/1") != 90.0 {
		t.Errorf("made: %v", made)
	}
	if got := r.get(path); !reflect.DeepEqual(got, made) {
		t.Errorf("GET answers %v, POST answered %v", got, made)
	}
	if w := do(r.service, call{method: "PUT", path: path, body: exampleSpec}); w.Code != 428 {
		t.Errorf("a version without If-Match: status %d", w.Code)
	}
	other := r.add("/v1/specs", `{"limits": {"h": [350, 40]}, "view": {"illuminant": "A"}}`)
	list := r.get("/v1/specs?limit=1")
	if !reflect.DeepEqual(at(t, list, "items/0"), any(made)) {
		t.Errorf("an item is %v, GET answers %v", at(t, list, "items/0"), made)
	}
	rest := r.get("/v1/specs?cursor=" + text(list["next"]))
	if at(t, rest, "items/0/id") != other["id"] || rest["next"] != nil {
		t.Errorf("the second page: %v", rest)
	}
	r.ask(200, call{method: "DELETE", path: path})
	r.ask(409, call{method: "DELETE", path: path})
	if n := length(r.get("/v1/specs")["items"]); n != 1 {
		t.Errorf("an archived specification is listed: %d", n)
	}
	r.ask(404, call{method: "GET", path: "/v1/specs/none"})
	for body, place := range map[string]string{
		`{"name": "x"}`:               "",
		`{"limits": {"L": [90, 80]}}`: "/limits/L",
		`{"target": {"id": "none"}, "tolerance": {"delta_e_00": 1}}`:                          "/target/id",
		`{"target": {"wine": {"id": "none"}}, "tolerance": {"delta_e_00": 1}}`:                "/target/wine/id",
		`{"limits": {"L": [80, 90]}, "rule": "hopeful"}`:                                      "/rule",
		`{"target": {"cielab": {"L": 84, "a": 13, "b": 8}}, "tolerance": {"delta_e_00": -1}}`: "/tolerance/delta_e_00",
	} {
		if f := r.fault(call{path: "/v1/specs", body: body}); f.Location != place {
			t.Errorf("%s: %+v, want a fault at %q", body, f, place)
		}
	}
}

// TestLotCalls follows a lot: its samples are judged as /v1/check does, and the
// verdicts stay whatever becomes of the wine that the specification names.
func TestLotCalls(t *testing.T) {
	r := newRecorder(t)
	wine := r.add("/v1/wines", exampleWine)
	spec := r.add("/v1/specs", fmt.Sprintf(`{"name": "as tank 4", "target": {"wine": {"id": %q}}, "tolerance": {"delta_e_00": 1}}`, wine["id"]))
	if at(t, spec, "target/wine/readings/a420") != 0.142 || at(t, spec, "target/wine/id") != nil || at(t, spec, "readings_used/0/location") != "/target/wine" {
		t.Errorf("the specification keeps %v", spec)
	}
	lot := r.add("/v1/lots", fmt.Sprintf(`{"name": "L-31", "spec": %q, "wine": %q}`, spec["id"], wine["id"]))
	path := "/v1/lots/" + text(lot["id"])
	if lot["spec"] != spec["id"] || lot["spec_version"] != 1.0 || length(lot["samples"]) != 0 {
		t.Errorf("lot: %v", lot)
	}
	pass := r.add(path+"/samples", exampleSample)
	if pass["verdict"] != "pass" || at(t, pass, "difference/delta_e_00") != 0.0 || at(t, pass, "colour/source") != "readings" || pass["program"] != "0.0.0-test" ||
		pass["spec"] != spec["id"] || pass["spec_version"] != 1.0 || at(t, pass, "results/0/quantity") != "delta_e_00" || pass["instrument"] != "bench 2" {
		t.Errorf("pass: %v", pass)
	}
	r.add("/v1/wines/"+text(wine["id"])+"/readings", `{"readings": {"a420": 0.3, "a520": 0.3, "a620": 0.1}}`)
	fail := r.add(path+"/samples", `{"readings": {"a420": 0.3, "a520": 0.3, "a620": 0.1}}`)
	if fail["verdict"] != "fail" {
		t.Errorf("the specification went along with the wine: %v", fail)
	}
	// The verdict is that of the calculation.
	want, _ := r.ask(200, call{path: "/v1/check", body: `{"spec": {"name": "as tank 4", "target": {"wine": {"readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021, "path_mm": 10}}}, "tolerance": {"delta_e_00": 1}}, "wine": {"readings": {"a420": 0.3, "a520": 0.3, "a620": 0.1}}}`})
	for field := range want {
		if !reflect.DeepEqual(fail[field], want[field]) {
			t.Errorf("%s is %v, the calculation answers %v", field, fail[field], want[field])
		}
	}
	got := r.get(path)
	if !reflect.DeepEqual(got["samples"], any([]any{pass, fail})) {
		t.Errorf("samples %v, want %v", got["samples"], []any{pass, fail})
	}
	if one := r.get("/v1/samples/" + text(pass["id"])); !reflect.DeepEqual(one, pass) {
		t.Errorf("one sample: %v", one)
	}
	first := r.get(path + "/samples?limit=1")
	if rest := r.get(path + "/samples?limit=1&cursor=" + text(first["next"])); at(t, rest, "items/0/id") != fail["id"] || rest["next"] != nil {
		t.Errorf("the second page: %v", rest)
	}
	if item := at(t, r.get("/v1/lots"), "items/0"); !reflect.DeepEqual(item, any(got)) {
		t.Errorf("an item is %v, GET answers %v", item, got)
	}
	if gone, _ := r.ask(200, call{method: "DELETE", path: path}); gone["archived_at"] == nil || length(gone["samples"]) != 2 {
		t.Errorf("archived: %v", gone)
	}
	r.ask(409, call{path: path + "/samples", body: exampleSample})
}

// TestSampleAsGiven: a stated colour that no wine has is judged against a stated
// target all the same, and its digits are kept.
func TestSampleAsGiven(t *testing.T) {
	r := newRecorder(t)
	spec := r.add("/v1/specs", `{"target": {"cielab": {"L": 70.5, "a": -40, "b": -40}}, "tolerance": {"delta_e_00": 1}}`)
	lot := r.add("/v1/lots", fmt.Sprintf(`{"name": "x", "spec": %q}`, spec["id"]))
	path := "/v1/lots/" + text(lot["id"])
	r.add(path+"/samples", `{"cielab": {"L": 70.0, "a": -40.00, "b": -40, "path_mm": 10}}`)
	text := do(r.service, call{method: "GET", path: path}).Body.String()
	for _, want := range []string{`"verdict":"pass"`, `"cielab":{"L":70.0,"a":-40.00,"b":-40,`, `"code":"no_spectrum"`, `"intensity":null`} {
		if !strings.Contains(text, want) {
			t.Errorf("the lot lacks %s: %s", want, text)
		}
	}
}

func TestLotRefusals(t *testing.T) {
	r := newRecorder(t)
	spec := r.add("/v1/specs", `{"limits": {"intensity": [0.1, 1]}}`)
	lot := func(spec any) string { return fmt.Sprintf(`{"name": "x", "spec": %q}`, spec) }
	path := "/v1/lots/" + text(r.add("/v1/lots", lot(spec["id"]))["id"]) + "/samples"
	for _, row := range []struct{ path, body, place string }{
		{"/v1/lots", lot("none"), "/spec"},
		{"/v1/lots", `{"name": " ", "spec": "x"}`, "/name"},
		{"/v1/lots", `{"name": "x"}`, "/spec"},
		{path, `{}`, ""},
		{path, `{"readings": {"a420": 9, "a520": 0.1, "a620": 0.1}}`, "/readings/a420"},
		{path, `{"readings": {"a420": 0.1, "a520": 0.1, "a620": 0.1}, "taken_at": "noon"}`, "/taken_at"},
		{path, `{"id": "x"}`, "/id"},
	} {
		if f := r.fault(call{path: row.path, body: row.body}); f.Location != row.place {
			t.Errorf("%s %s: %+v, want a fault at %q", row.path, row.body, f, row.place)
		}
	}
	// An intensity cannot be had of a colour without a spectrum: the place of the
	// fault is in the sample, not in the check that is made of it.
	if f := r.fault(call{path: path, body: `{"cielab": {"L": 70, "a": -40, "b": -40, "path_mm": 10}}`}); f.Location != "" {
		t.Errorf("%+v names a place that is not in the request", f)
	}
	for _, missing := range []call{
		{method: "GET", path: "/v1/lots/none"}, {method: "DELETE", path: "/v1/lots/none"}, {method: "GET", path: "/v1/lots/none/samples"},
		{path: "/v1/lots/none/samples", body: exampleSample}, {method: "GET", path: "/v1/samples/none"},
	} {
		r.ask(404, missing)
	}
}

// BenchmarkSample judges a sample and keeps it.
func BenchmarkSample(b *testing.B) {
	service := newTestService(b)
	spec := do(service, call{path: "/v1/specs", body: exampleSpec})
	id := func(body string) string { return strings.Split(strings.SplitN(body, `"id":"`, 2)[1], `"`)[0] }
	lot := do(service, call{path: "/v1/lots", body: fmt.Sprintf(`{"name": "x", "spec": %q}`, id(spec.Body.String()))})
	path := "/v1/lots/" + id(lot.Body.String()) + "/samples"
	for b.Loop() {
		if w := do(service, call{path: path, body: exampleSample}); w.Code != 201 {
			b.Fatal(w.Body)
		}
	}
}

package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"reflect"
	"strings"
	"testing"
)

// TestVerdictCalls: samples are judged again by another version; the old verdict
// stays, and all are found again when they are computed anew.
func TestVerdictCalls(t *testing.T) {
	r := newRecorder(t)
	spec := r.add("/v1/specs", `{"limits": {"intensity": [0.2, 0.5]}}`)
	lot := "/v1/lots/" + text(r.add("/v1/lots", fmt.Sprintf(`{"name": "x", "spec": %q}`, spec["id"]))["id"])
	r.ask(409, call{method: "GET", path: lot + "/statement"})
	if told := r.places(call{path: lot + "/verdicts", body: `{"spec_version": 1}`}, 422); !strings.HasPrefix(told, "/samples: this lot has no sample") {
		t.Errorf("no samples: %s", told)
	}
	one := r.add(lot+"/samples", readings(0.2, 0.2, 0.05, ""))
	two := r.add(lot+"/samples", readings(0.1, 0.1, 0.05, ""))
	r.put(200, "/v1/specs/"+text(spec["id"]), `"1"`, `{"limits": {"intensity": [0.4, 0.5]}}`)
	again := r.add(lot+"/verdicts", exampleJudge)
	if again["changed"] != 1.0 || length(again["items"]) != 2 {
		t.Fatalf("judged again: %v", again)
	}
	if at(t, again, "items/0/verdict") != "pass" || at(t, again, "items/1/verdict") != "fail" || at(t, again, "items/1/previous_verdict") != "pass" ||
		at(t, again, "items/1/previous_verdict_id") != two["verdict_id"] || at(t, again, "items/1/changed") != true || at(t, again, "items/0/spec_version") != 2.0 {
		t.Errorf("judged again: %v", again)
	}
	if got := r.get("/v1/samples/" + text(two["id"])); !reflect.DeepEqual(got, two) {
		t.Errorf("the sample became %v", got)
	}
	other := r.add("/v1/specs", `{"limits": {"L": [0, 10]}}`)
	r.add(lot+"/verdicts", fmt.Sprintf(`{"spec": %q, "samples": [%q]}`, other["id"], one["id"]))
	all := r.get(lot + "/verdicts")
	if length(all["items"]) != 5 || at(t, all, "items/4/spec") != other["id"] || at(t, all, "items/0/verdict_id") != one["verdict_id"] {
		t.Errorf("all verdicts: %v", all)
	}
	if got := r.get("/v1/verdicts/" + text(at(t, all, "items/4/verdict_id"))); !reflect.DeepEqual(any(got), at(t, all, "items/4")) {
		t.Errorf("one verdict: %v", got)
	}
	for body, want := range map[string]string{
		`{}`:                                 "/spec_version: by which version",
		`{"spec_version": 3}`:                "/spec_version: the specification has no such version: there are 1 to 2",
		`{"spec": "none"}`:                   "/spec: no specification",
		`{"spec_version": 2, "samples": []}`: "/samples: the list is empty",
		`{"spec_version": 2, "samples": ["none"]}`: "/samples/0: this lot has no such sample",
	} {
		if told := r.places(call{path: lot + "/verdicts", body: body}, 422); !strings.HasPrefix(told, want) {
			t.Errorf("%s: %s, want %s", body, told, want)
		}
	}
	for path, status := range map[string]int{"/v1/verdicts/none": 404, "/v1/lots/none/verdicts": 404} {
		r.ask(status, call{method: "GET", path: path})
	}
	done, _ := r.ask(200, call{path: "/v1/verdicts/verify", body: `{}`})
	if done["verdicts"] != 5.0 || done["same"] != 5.0 || done["differed"] != 0.0 || done["next"] != nil {
		t.Errorf("computed anew: %v", done)
	}
	part, _ := r.ask(200, call{path: "/v1/verdicts/verify", body: `{"limit": 3}`})
	rest, _ := r.ask(200, call{path: "/v1/verdicts/verify", body: fmt.Sprintf(`{"limit": 3, "after": %q}`, part["next"])})
	if part["verdicts"] != 3.0 || rest["verdicts"] != 2.0 || rest["next"] != nil {
		t.Errorf("in parts: %v, %v", part, rest)
	}
	r.ask(404, call{path: "/v1/verdicts/verify", body: `{"lot": "none"}`})
	r.ask(422, call{path: "/v1/verdicts/verify", body: `{"limit": 0}`})
}

// TestStatementCalls: a draft until one is issued; then the register, whose
// checksums anyone can compute from what is answered.
func TestStatementCalls(t *testing.T) {
	r := newRecorder(t)
	r.add("/v1/instrument-checks", exampleCheckOfInstrument)
	lot := r.lotOf(`{"name": "House <rosé> & co", "target": {"cielab": {"L": 93, "a": 7, "b": 5}}, "tolerance": {"delta_e_00": 3}, "rule": "guarded"}`, `, "bottled_at": "2026-03-12"`)
	sample := r.add(lot+"/samples", exampleSample)
	draft := r.get(lot + "/statement")
	if draft["draft"] != true || draft["no"] != 0.0 || draft["sha256"] != "" || at(t, draft, "content/verdict/verdict_id") != sample["verdict_id"] {
		t.Errorf("the draft: %v", draft)
	}
	if n := length(r.get("/v1/statements")["items"]); n != 0 {
		t.Errorf("the draft is in the register")
	}
	first := r.add(lot+"/statements", exampleStatement)
	content := object(first["content"])
	for place, want := range map[string]any{
		"no": 1.0, "issued_by": "Ada", "lot/name": "L-31", "sample/readings/a420": 0.142, "verdict/verdict": sample["verdict"],
		"spec/rule": "guarded", "spec/version": 1.0, "program": "0.0.0-test", "verdict/colour/conditions/illuminant": "D65", "instrument_checks/0/kind": "filter",
	} {
		if got := at(t, content, place); got != want {
			t.Errorf("%s is %v, want %v", place, got, want)
		}
	}
	r.add(lot+"/samples", exampleSample)
	if told := r.places(call{path: lot + "/statements", body: exampleStatement}, 422); !strings.HasPrefix(told, "/verdict: this lot has several verdicts") {
		t.Errorf("several verdicts: %s", told)
	}
	second := r.add(lot+"/statements", fmt.Sprintf(`{"issued_by": "Ada", "verdict": %q}`, sample["verdict_id"]))
	if second["no"] != 2.0 || second["previous_sha256"] != first["sha256"] {
		t.Errorf("the second: %v", second)
	}
	if got := r.get(lot + "/statement"); !reflect.DeepEqual(got, second) {
		t.Errorf("the newest: %v", got)
	}
	if got := r.get("/v1/statements/1"); !reflect.DeepEqual(got, first) {
		t.Errorf("number 1: %v", got)
	}
	page := r.get("/v1/statements?limit=1")
	if rest := r.get("/v1/statements?limit=1&cursor=" + text(page["next"])); !reflect.DeepEqual(at(t, rest, "items/0"), any(second)) || rest["next"] != nil {
		t.Errorf("the second page: %v", rest)
	}
	if got := r.get(lot + "/statements"); length(got["items"]) != 2 {
		t.Errorf("of the lot: %v", got)
	}
	confirm(t, r)
	statementRefusals(t, r, lot)
}

// confirm computes the chain from the answers' own bytes.
func confirm(t *testing.T, r recorder) {
	t.Helper()
	var list struct {
		Items []struct {
			SHA256   string          `json:"sha256"`
			Previous string          `json:"previous_sha256"`
			Content  json.RawMessage `json:"content"`
		} `json:"items"`
	}
	if err := json.Unmarshal(do(r.service, call{method: "GET", path: "/v1/statements"}).Body.Bytes(), &list); err != nil || len(list.Items) != 2 {
		t.Fatalf("%v, %d statements", err, len(list.Items))
	}
	previous := ""
	for i, st := range list.Items {
		sum := sha256.Sum256(append([]byte(previous+"\n"), st.Content...))
		if st.Previous != previous || st.SHA256 != hex.EncodeToString(sum[:]) {
			t.Errorf("statement %d: %s, computed %x", i+1, st.SHA256, sum)
		}
		previous = st.SHA256
	}
}

func statementRefusals(t *testing.T, r recorder, lot string) {
	t.Helper()
	for body, want := range map[string]string{
		`{}`:                 "/issued_by: ",
		`{"issued_by": " "}`: "/issued_by: say who",
		`{"issued_by": "Ada", "verdict": "none"}`: "/verdict: this lot has no such verdict",
	} {
		if told := r.places(call{path: lot + "/statements", body: body}, 422); !strings.HasPrefix(told, want) {
			t.Errorf("%s: %s, want %s", body, told, want)
		}
	}
	for _, path := range []string{"/v1/statements/3", "/v1/statements/x", "/v1/lots/none/statement", "/v1/lots/none/statements"} {
		r.ask(404, call{method: "GET", path: path})
	}
	r.ask(404, call{path: "/v1/lots/none/statements", body: exampleStatement})
	r.ask(422, call{method: "GET", path: "/v1/statements?cursor=x"})
	for _, path := range []string{lot + "/statement", "/v1/statements/1"} {
		r.ask(406, call{method: "GET", path: path, header: map[string]string{"Accept": "image/png"}})
	}
}

// TestInstrumentCalls: whatever is read while a check was failed or overdue
// carries a warning, and the verdict repeats it; before and after it does not.
func TestInstrumentCalls(t *testing.T) {
	r := newRecorder(t)
	check := r.add("/v1/instrument-checks", exampleCheckOfInstrument)
	if check["passed"] != true || !reflect.DeepEqual(r.get("/v1/instrument-checks/"+text(check["id"])), check) {
		t.Errorf("the check: %v", check)
	}
	failed := r.add("/v1/instrument-checks", `{"instrument": "BENCH 2", "kind": "stray_light", "points": [{"certified": 0, "limit": 0.1, "reading": 0.3}], "checked_at": "2026-05-01T08:00:00Z"}`)
	if failed["passed"] != false || !reflect.DeepEqual(r.get("/v1/instrument-checks")["items"], any([]any{check, failed})) {
		t.Errorf("failed: %v", failed)
	}
	lot := r.lotOf(`{"limits": {"L": [50, 100]}, "reference_state": {"free_so2_mg_per_l": 10, "total_so2_mg_per_l": 50, "filtered": false, "co2_mg_per_l": 300}}`, "")
	wine := "/v1/wines/" + text(r.add("/v1/wines", `{"name": "x", "kind": "rose"}`)["id"]) + "/readings"
	codes := func(a map[string]any) string {
		var out []string
		for _, w := range items(a["warnings"]) {
			if code := text(object(w)["code"]); strings.HasPrefix(code, "instrument_") || strings.HasSuffix(code, "_differs") {
				out = append(out, code)
			}
		}
		return strings.Join(out, " ")
	}
	const fails, late = "instrument_check_failed", "instrument_check_overdue"
	for when, want := range map[string]string{
		"2026-03-01": "", "2026-03-11": "", "2026-04-30": "", "2026-05-02": fails, "2026-06-10T23:30:00Z": fails, "2026-06-12": late + " " + fails,
	} {
		more := fmt.Sprintf(`, "taken_at": %q, "instrument": "bench  2"`, when)
		sample := r.add(lot+"/samples", readings(0.2, 0.2, 0.05, more))
		if got := codes(sample); got != want {
			t.Errorf("a sample of %s: %q, want %q", when, got, want)
		}
		if got := r.get("/v1/samples/" + text(sample["id"])); !reflect.DeepEqual(got, sample) {
			t.Errorf("the sample is answered as %v", got)
		}
		if got := codes(r.get("/v1/verdicts/" + text(sample["verdict_id"]))); got != want {
			t.Errorf("the verdict on a sample of %s: %q", when, got)
		}
		since := ""
		if want == "" { // the first check of stray light after it failed
			since = "instrument_check_failed_since"
		}
		if got := codes(map[string]any{"warnings": sample["later_warnings"]}); got != since {
			t.Errorf("since a sample of %s: %q, want %q", when, got, since)
		}
		ofReading := want + since
		reading := r.add(wine, readings(0.2, 0.2, 0.05, more))
		if got := codes(reading); got != ofReading {
			t.Errorf("a reading of %s: %q, want %q", when, got, ofReading)
		}
		if got := codes(r.get("/v1/readings/" + text(reading["id"]))); got != ofReading {
			t.Errorf("a reading of %s, shown: %q, want %q", when, got, ofReading)
		}
		if got := codes(r.add("/v1/wines", readings(0.2, 0.2, 0.05, `, "name": "y", "kind": "rose"`+more))); got != ofReading {
			t.Errorf("a wine with a reading of %s: %q, want %q", when, got, ofReading)
		}
	}
	file := "wine;A420;A520;A620;instrument;date\nz;0.2;0.2;0.05;Bench 2;2026-05-02\nz;0.21;0.2;0.05;Bench 2;2026-03-11\nz;0.22;0.2;0.05;Bench 3;2026-05-02\n"
	var inFile []string
	for _, row := range items(r.imported("readings.csv", file)["rows"]) {
		inFile = append(inFile, codes(object(row)))
	}
	if want := []string{fails, "instrument_check_failed_since", ""}; !reflect.DeepEqual(inFile, want) {
		t.Errorf("from a file: %q, want %q", inFile, want)
	}
	state := r.add(lot+"/samples", readings(0.2, 0.2, 0.05, `, "state": {"free_so2_mg_per_l": 30, "total_so2_mg_per_l": 90, "filtered": true, "co2_mg_per_l": 900}`))
	if got := codes(state); got != "so2_differs state_differs" {
		t.Errorf("another state: %q", got)
	}
	if got := codes(r.add(lot+"/samples", readings(0.2, 0.2, 0.05, `, "state": {"free_so2_mg_per_l": 30, "acetaldehyde_added": true}`))); got != "acetaldehyde_differs" {
		t.Errorf("with acetaldehyde: %q", got)
	}
	if done, _ := r.ask(200, call{path: "/v1/verdicts/verify", body: `{}`}); done["same"] != 8.0 || done["differed"] != 0.0 {
		t.Errorf("verdicts with such warnings are not found again: %v", done)
	}
	instrumentRefusals(t, r)
}

// imported sends a file.
func (r recorder) imported(name, content string) map[string]any {
	r.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile("file", name)
	if err != nil {
		r.t.Fatal(err)
	}
	if _, err := part.Write([]byte(content)); err != nil {
		r.t.Fatal(err)
	}
	if err := form.Close(); err != nil {
		r.t.Fatal(err)
	}
	server := httptest.NewServer(r.service) // a file needs a connection to arrive by
	defer server.Close()
	w, err := http.Post(server.URL+"/v1/imports", form.FormDataContentType(), &body)
	if err != nil {
		r.t.Fatal(err)
	}
	defer w.Body.Close()
	var answer map[string]any
	if err := json.NewDecoder(w.Body).Decode(&answer); err != nil || w.StatusCode != http.StatusCreated {
		r.t.Fatalf("status %d, %v: %.500v", w.StatusCode, err, answer)
	}
	return answer
}

func instrumentRefusals(t *testing.T, r recorder) {
	t.Helper()
	body := func(kind, points, more string) string {
		return fmt.Sprintf(`{"instrument": "b", "kind": %q, "points": [%s]%s}`, kind, points, more)
	}
	const blank = `{"certified": 0, "limit": 0.01, "reading": 0}`
	for body, want := range map[string]string{
		body("filter", blank, ""): "/points/0/nm: at which wavelength",
		body("blank", "", ""):     "/points: ",
		body("lamp", blank, ""):   "/kind: ",
		body("blank", `{"certified": 0, "limit": 0, "reading": 0}`, ""):                "/points/0/limit: ",
		body("wavelength", `{"certified": 5, "limit": 1, "reading": 536}`, ""):         "/points/0/certified: the values of a wavelength check",
		body("stray_light", `{"certified": 0, "limit": 1, "reading": 180}`, ""):        "/points/0/reading: the values of a stray_light check",
		body("blank", blank, `, "checked_at": "2099-01-01"`):                           "/checked_at: this lies in the future",
		body("blank", blank, `, "checked_at": "2026-03-02", "next_due": "2026-02-01"`): "/next_due: the next check is due before",
		body("blank", blank, `, "next_due": "soon"`):                                   "/next_due: this is no time",
		`{"instrument": " ", "kind": "blank", "points": [` + blank + `]}`:              "/instrument: which",
	} {
		if told := r.places(call{path: "/v1/instrument-checks", body: body}, 422); !strings.HasPrefix(told, want) {
			t.Errorf("%s: %s, want %s", body, told, want)
		}
	}
	r.ask(404, call{method: "GET", path: "/v1/instrument-checks/none"})
}

package api

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"reflect"
	"strings"
	"testing"

	validator "github.com/pb33f/libopenapi-validator"
)

// recorder sends calls about records and holds each answer against the
// interface's description.
type recorder struct {
	t        *testing.T
	service  http.Handler
	document validator.Validator
}

func newRecorder(t *testing.T) recorder {
	t.Helper()
	service := newTestService(t)
	return recorder{t: t, service: service, document: served(t, service)}
}

// ask sends a call, wants the status, and returns the answer.
func (r recorder) ask(status int, c call) (map[string]any, *httptest.ResponseRecorder) {
	r.t.Helper()
	w := do(r.service, c)
	if w.Code != status {
		r.t.Fatalf("%s %s: status %d, want %d: %.1000s", c.method, c.path, w.Code, status, w.Body)
	}
	body := w.Body.Bytes()
	if ok, errs := r.document.ValidateHttpResponse(c.request(), w.Result()); !ok {
		for _, e := range errs {
			r.t.Errorf("%s %s: %s: %s %v", c.method, c.path, e.Message, e.Reason, e.SchemaValidationErrors)
		}
	}
	var answer map[string]any
	if err := json.Unmarshal(body, &answer); err != nil {
		r.t.Fatalf("%s %s: %v: %.200s", c.method, c.path, err, body)
	}
	return answer, w
}

func (r recorder) get(path string) map[string]any {
	r.t.Helper()
	a, _ := r.ask(200, call{method: "GET", path: path})
	return a
}

func (r recorder) add(path, body string) map[string]any {
	r.t.Helper()
	a, w := r.ask(201, call{path: path, body: body})
	if at := w.Header().Get("Location"); at == "" {
		r.t.Errorf("POST %s: no Location", path)
	}
	return a
}

// The kinds of JSON values; another kind is the zero value, which no test wants.
func number(v any) float64        { x, _ := v.(float64); return x }
func items(v any) []any           { list, _ := v.([]any); return list }
func object(v any) map[string]any { m, _ := v.(map[string]any); return m }

// TestWineCalls follows a wine through its life.
func TestWineCalls(t *testing.T) {
	r := newRecorder(t)
	made := r.add("/v1/wines", exampleWine)
	id := text(made["id"])
	if made["name"] != "Tank 4" || made["kind"] != "white" || made["colour"] == nil || made["version"] != 1.0 {
		t.Errorf("made: %v", made)
	}
	again, w := r.ask(200, call{method: "GET", path: "/v1/wines/" + id})
	if text, _ := json.Marshal(again); !sameJSON(t, text, made) {
		t.Errorf("GET answers %s, POST answered %v", text, made)
	}
	if w.Header().Get("ETag") != `"1"` {
		t.Errorf("ETag %q", w.Header().Get("ETag"))
	}
	list := r.get("/v1/wines")
	if items := items(list["items"]); len(items) != 1 {
		t.Errorf("list: %v", list)
	} else if text, _ := json.Marshal(items[0]); !sameJSON(t, text, made) {
		t.Errorf("an item is %s, GET answers %v", text, made)
	}
	change := `{"name": "Tank 4", "kind": "white", "stock_l": 1200}`
	put := func(status int, match string) map[string]any {
		header := map[string]string{}
		if match != "" {
			header["If-Match"] = match
		}
		a, _ := r.ask(status, call{method: "PUT", path: "/v1/wines/" + id, body: change, header: header})
		return a
	}
	put(428, "")
	if a := put(200, `"1"`); a["stock_l"] != 1200.0 || a["lot"] != nil || a["version"] != 2.0 {
		t.Errorf("changed: %v", a)
	}
	put(412, `"1"`)
	put(412, `"nonsense"`)
	a, _ := r.ask(200, call{method: "DELETE", path: "/v1/wines/" + id})
	if a["archived_at"] == nil {
		t.Errorf("archived: %v", a)
	}
	put(409, `"3"`)
	if items := items(r.get("/v1/wines")["items"]); len(items) != 0 {
		t.Errorf("an archived wine is listed: %v", items)
	}
	if items := items(r.get("/v1/wines?archived=true")["items"]); len(items) != 1 {
		t.Errorf("archived wines: %v", items)
	}
	post := func(status int, what, body string, match string) map[string]any {
		c := call{method: "POST", path: "/v1/wines/" + id + "/" + what, body: body}
		if match != "" {
			c.header = map[string]string{"If-Match": match}
		}
		a, _ := r.ask(status, c)
		return a
	}
	post(409, "archive", `{"reason": "sold"}`, "")
	if a := post(200, "unarchive", `{}`, ""); a["archived_at"] != nil || a["version"] != 4.0 {
		t.Errorf("brought back: %v", a)
	}
	post(409, "unarchive", `{"reason": "again"}`, "")
	post(422, "archive", `{"reason": "  "}`, "")
	post(412, "archive", `{"reason": "sold"}`, `"3"`)
	if a := post(200, "archive", `{"reason": "sold"}`, `"4"`); a["archive_reason"] != "sold" {
		t.Errorf("archived: %v", a)
	}
	if a := r.get("/v1/wines/" + id); a["archive_reason"] != "sold" {
		t.Errorf("an archived wine: %v", a)
	}
	r.ask(404, call{method: "GET", path: "/v1/wines/none"})
}

func sameJSON(t *testing.T, text []byte, want map[string]any) bool {
	t.Helper()
	other, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	return string(text) == string(other)
}

// TestReadingCalls: a correction, replicates, and what is told of a doubtful
// reading; and every computed answer names the readings that it used.
func TestReadingCalls(t *testing.T) {
	r := newRecorder(t)
	wine := text(r.add("/v1/wines", `{"name": "Red", "kind": "red"}`)["id"])
	path := "/v1/wines/" + wine + "/readings"
	r.ask(422, call{path: "/v1/colour", body: fmt.Sprintf(`{"wine": {"id": %q}}`, wine)})

	first := r.add(path, `{"readings": {"a420": 2.31, "a520": 3.1, "a620": 0.6, "dilution": 2}}`)
	codes := fmt.Sprint(first["warnings"])
	for _, want := range []string{"near_saturation", "diluent_not_given", "diluted_red"} {
		if !strings.Contains(codes, want) {
			t.Errorf("no warning %s in %s", want, codes)
		}
	}
	second := r.add(path, fmt.Sprintf(`{"readings": {"a420": 0.431, "a520": 0.592, "a620": 0.102, "path_mm": 1}, "supersedes": %q, "reason": "read in a 1 mm cell"}`, first["id"]))
	r.ask(409, call{path: path, body: fmt.Sprintf(`{"readings": {"a420": 0.431, "a520": 0.592, "a620": 0.102, "path_mm": 1}, "supersedes": %q, "reason": "again"}`, first["id"])})
	r.ask(422, call{path: path, body: `{"readings": {"a420": 0.431, "a520": 0.592, "a620": 0.102}, "supersedes": "none", "reason": "x"}`})
	r.ask(422, call{path: path, body: fmt.Sprintf(`{"readings": {"a420": 0.431, "a520": 0.592, "a620": 0.102}, "supersedes": %q}`, second["id"])})
	if items := items(r.get(path)["items"]); len(items) != 2 || object(items[0])["superseded_by"] != second["id"] {
		t.Errorf("both stay: %v", items)
	}

	answer, _ := r.ask(200, call{path: "/v1/colour", body: fmt.Sprintf(`{"wine": {"id": %q}}`, wine)})
	used := fmt.Sprint(answer["readings_used"])
	if !strings.Contains(used, text(second["id"])) || strings.Contains(used, text(first["id"])) || !strings.Contains(used, "/wine") {
		t.Errorf("readings used: %s, want the correction", used)
	}
	intensity := number(object(answer["colour"])["intensity"])
	if want := 10 * (0.431 + 0.592 + 0.102); intensity < want-1e-9 || intensity > want+1e-9 {
		t.Errorf("intensity %g, want %g", intensity, want)
	}

	r.ask(200, call{path: "/v1/readings/" + text(second["id"]) + "/archive", body: `{"reason": "wrong bottle"}`})
	r.ask(409, call{path: "/v1/readings/" + text(second["id"]) + "/archive", body: `{"reason": "again"}`})
	for i, a420 := range []string{"0.430", "0.434", "0.432"} {
		r.add(path, fmt.Sprintf(`{"readings": {"a420": %s, "a520": 0.59, "a620": 0.1, "path_mm": 1}, "taken_at": "2026-11-24", "replicate": %d}`, a420, i+1))
	}
	shown := r.get("/v1/wines/" + wine)
	if n := len(items(shown["readings_used"])); n != 3 || shown["replicates"] == nil {
		t.Errorf("three replicates: %v", shown)
	}
	if got := number(object(object(shown["colour"])["absorbance"])["a420"]); got < 4.3199 || got > 4.3201 {
		t.Errorf("mean of the replicates per 10 mm is %g, want 4.32", got)
	}
}

// TestUndoCall: an import is undone with a reason, once, and tells so.
func TestUndoCall(t *testing.T) {
	r := newRecorder(t)
	sent := func() map[string]any {
		t.Helper()
		var body bytes.Buffer
		w := multipart.NewWriter(&body)
		part, err := w.CreateFormFile("file", "log.csv")
		if err == nil {
			_, err = io.WriteString(part, "name,a420,a520,a620\nTank 1,0.1,0.1,0.01\nTank 2,x,0.1,0.01\nTank 3,y,0.1,0.01\n")
		}
		if err == nil {
			err = w.WriteField("corrections", `[{"row":3,"column":"a420","from":"x","to":"0.2"},{"row":4,"leave_out":true}]`)
		}
		if err == nil {
			err = w.Close()
		}
		if err != nil {
			t.Fatal(err)
		}
		server := httptest.NewServer(r.service) // an import sets deadlines
		defer server.Close()
		answer, err := http.Post(server.URL+"/v1/imports", w.FormDataContentType(), &body)
		if err != nil {
			t.Fatal(err)
		}
		defer answer.Body.Close()
		var got map[string]any
		if err := json.NewDecoder(answer.Body).Decode(&got); err != nil || answer.StatusCode != http.StatusCreated {
			t.Fatalf("%d, %v: %v", answer.StatusCode, err, got)
		}
		return got
	}
	first := sent()
	if first["accepted"] != 2. || len(items(first["corrections"])) != 2 {
		t.Fatalf("%v", first)
	}
	at := fmt.Sprint("/v1/imports/", first["id"])
	if kept := r.get(at); !reflect.DeepEqual(kept["corrections"], first["corrections"]) || kept["undone"] != nil {
		t.Errorf("%v", kept)
	}
	r.ask(422, call{path: at + "/undo", body: `{"reason":" "}`})
	r.ask(422, call{path: at + "/undo", body: `{}`})
	r.ask(404, call{path: "/v1/imports/none/undo", body: `{"reason":"x"}`})
	undone, _ := r.ask(200, call{path: at + "/undo", body: `{"reason":"wrong file"}`})
	told, _ := undone["undone"].(map[string]any)
	if told["reason"] != "wrong file" || told["readings"] != 2. || told["wines"] != 2. {
		t.Errorf("%v", told)
	}
	again, _ := r.ask(200, call{path: at + "/undo", body: `{"reason":"once more"}`})
	if !reflect.DeepEqual(again, undone) {
		t.Errorf("undone twice: %v, want %v", again, undone)
	}
	if left := items(r.get("/v1/wines")["items"]); len(left) != 0 {
		t.Errorf("wines: %v", left)
	}
	if anew := sent(); anew["accepted"] != 2. || anew["id"] == first["id"] {
		t.Errorf("%v", anew)
	}
}

// TestStoredInEveryCalculation: a stored wine and a stored target stand in place
// of their data, with the same answer.
func TestStoredInEveryCalculation(t *testing.T) {
	r := newRecorder(t)
	white := `{"readings":{"a420":0.142,"a520":0.118,"a620":0.021,"path_mm":10,"dilution":1}}`
	red := `{"readings":{"a420":0.431,"a520":0.592,"a620":0.102,"path_mm":1,"dilution":1}}`
	target := `{"cielab":{"L":86,"a":15,"b":6.5},"tolerance":{"delta_e_00":1.5}}`
	named := func(kind, data string) string {
		id := text(r.add("/v1/wines", fmt.Sprintf(`{"name":"stored","kind":%q,%s`, kind, data[1:]))["id"])
		return fmt.Sprintf(`{"id":%q}`, id)
	}
	w, d := named("white", white), named("red", red)
	g := fmt.Sprintf(`{"id":%q}`, r.add("/v1/targets", `{"name":"House","target":`+target+`}`)["id"])
	for path, body := range map[string]string{
		"/v1/colour": `{"wine":%[1]s}`,
		"/v1/blend":  `{"wines":[%[1]s,%[2]s],"volumes_ml":[100,6],"target":%[3]s}`,
		"/v1/ladder": `{"base":%[1]s,"addition":%[2]s,"base_ml":100,"doses_ml":[2,6],"target":%[3]s,"measured":[{"dose_ml":6,"wine":%[1]s}]}`,
		"/v1/match":  `{"wines":[%[1]s,%[2]s],"target":%[3]s}`,
		"/v1/check":  `{"spec":{"target":%[3]s},"wine":%[1]s}`,
	} {
		t.Run(path, func(t *testing.T) {
			plain, _ := r.ask(200, call{path: path, body: fmt.Sprintf(strings.ReplaceAll(body, "%[3]s", target), white, red)})
			stored, _ := r.ask(200, call{path: path, body: fmt.Sprintf(strings.ReplaceAll(body, "%[3]s", g), w, d)})
			if stored["readings_used"] == nil {
				t.Error("the answer does not name the readings it used")
			}
			delete(stored, "readings_used")
			a, _ := json.Marshal(plain)
			if !sameJSON(t, a, stored) {
				b, _ := json.Marshal(stored)
				t.Errorf("stored: %.600s\nplain: %.600s", b, a)
			}
			missing, _ := r.ask(422, call{path: path, body: fmt.Sprintf(strings.ReplaceAll(body, "%[3]s", `{"id":"none"}`), `{"id":"none"}`, `{"id":"none"}`)})
			if !strings.Contains(fmt.Sprint(missing["errors"]), "none is stored") {
				t.Errorf("unknown: %v", missing)
			}
		})
	}
	elsewhere, _ := r.ask(422, call{path: "/v1/check", body: fmt.Sprintf(`{"spec":{"target":%s},"wine":%s,"view":{"illuminant":"A"}}`, g, w)})
	if !strings.Contains(fmt.Sprint(elsewhere), "ask under the target's conditions") {
		t.Errorf("a stored target under another lamp: %v", elsewhere)
	}
}

// TestRecordRefusals: what is wrong is named at its place.
func TestRecordRefusals(t *testing.T) {
	r := newRecorder(t)
	wine := text(r.add("/v1/wines", exampleWine)["id"])
	for _, row := range []struct{ name, method, path, body, location, words string }{
		{"no name", "POST", "/v1/wines", `{"kind":"red"}`, "/name", "missing"},
		{"blank name", "POST", "/v1/wines", `{"name":"  ","kind":"red"}`, "/name", "needs a name"},
		{"unknown kind", "POST", "/v1/wines", `{"name":"x","kind":"orange"}`, "/kind", "white"},
		{"unknown field", "POST", "/v1/wines", `{"name":"x","kind":"red","colour":"dark"}`, "/colour", "unknown field"},
		{"two kinds of reading", "POST", "/v1/wines", `{"name":"x","kind":"red","readings":{"a420":1,"a520":1,"a620":1},"cielab":{"L":80,"a":1,"b":1,"path_mm":10}}`, "", "exactly one"},
		{"time without reading", "POST", "/v1/wines", `{"name":"x","kind":"red","taken_at":"2026-11-25"}`, "", "no reading"},
		{"shares beyond the whole", "POST", "/v1/wines", `{"name":"x","kind":"red","varieties":[{"name":"a","share_percent":70},{"name":"b","share_percent":40}]}`, "/varieties", "110.0 %"},
		{"vintage", "POST", "/v1/wines", `{"name":"x","kind":"red","vintage":26}`, "/vintage", "1800"},
		{"no reading in a reading", "POST", "/v1/wines/" + wine + "/readings", `{"instrument":"a"}`, "", "exactly one"},
		{"saturated", "POST", "/v1/wines/" + wine + "/readings", `{"readings":{"a420":1,"a520":7,"a620":1}}`, "/readings/a520", "saturated"},
		{"no time", "POST", "/v1/wines/" + wine + "/readings", `{"readings":{"a420":1,"a520":1,"a620":0.1},"taken_at":"25/11/2026"}`, "/taken_at", "2026-11-25T14:30:00Z"},
		{"unknown diluent", "POST", "/v1/wines/" + wine + "/readings", `{"readings":{"a420":1,"a520":1,"a620":0.1},"diluent":"beer"}`, "/diluent", "water"},
		{"target without colour", "POST", "/v1/targets", `{"name":"x","target":{}}`, "/target", "missing"},
		{"page size", "GET", "/v1/wines?limit=0", "", "", "1 to 1000"},
		{"page size in words", "GET", "/v1/readings?limit=many", "", "", "1 to 1000"},
		{"archived", "GET", "/v1/wines?archived=yes", "", "", "true or false"},
	} {
		t.Run(row.name, func(t *testing.T) {
			a, _ := r.ask(422, call{method: row.method, path: row.path, body: row.body})
			for _, e := range items(a["errors"]) {
				fault := object(e)
				place, _ := fault["location"].(string)
				if place == row.location && strings.Contains(text(fault["message"]), row.words) {
					return
				}
			}
			t.Errorf("no fault at %q with %q in %v", row.location, row.words, a["errors"])
		})
	}
}

// TestPagesOfWines: a list in pages of one.
func TestPagesOfWines(t *testing.T) {
	r := newRecorder(t)
	for i := range 3 {
		r.add("/v1/wines", fmt.Sprintf(`{"name":"Tank %d","kind":"white"}`, i))
	}
	var names []string
	for path := "/v1/wines?limit=1"; path != ""; {
		page := r.get(path)
		for _, item := range items(page["items"]) {
			names = append(names, text(object(item)["name"]))
		}
		next, more := page["next"].(string)
		path = ""
		if more {
			path = "/v1/wines?limit=1&cursor=" + next
		}
	}
	if strings.Join(names, ", ") != "Tank 0, Tank 1, Tank 2" {
		t.Errorf("in pages: %v", names)
	}
}

package api

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"pourpath/api/calc"
)

// near reports whether a JSON number is want to the last digits.
func near(v any, want float64) bool {
	x, ok := v.(float64)
	return ok && math.Abs(x-want) < 1e-12*(1+math.Abs(want))
}

// text is a text of an answer, "" where it is none.
func text(v any) string {
	s, ok := v.(string)
	if !ok {
		return ""
	}
	return s
}

// length is how long a list of an answer is, -1 where it is none.
func length(v any) int {
	list, ok := v.([]any)
	if !ok {
		return -1
	}
	return len(list)
}

// at finds a place in an answer, such as "glasses/1/dose_ml_per_100ml".
func at(t *testing.T, answer any, path string) any {
	t.Helper()
	for _, name := range strings.Split(path, "/") {
		switch v := answer.(type) {
		case map[string]any:
			answer = v[name]
		case []any:
			var i int
			if _, err := fmt.Sscan(name, &i); err != nil || i >= len(v) {
				t.Fatalf("%s: no item %s of %d", path, name, len(v))
			}
			answer = v[i]
		default:
			return nil
		}
	}
	return answer
}

// fault asks what is refused and returns the first fault.
func (r recorder) fault(c call) calc.Fault {
	r.t.Helper()
	answer, _ := r.ask(422, c)
	return calc.Fault{Location: text(at(r.t, answer, "errors/0/location")), Message: text(at(r.t, answer, "errors/0/message"))}
}

// TestTrialCalls follows a trial: what was poured, sipped and read, and the
// ladder that is made of it.
func TestTrialCalls(t *testing.T) {
	r := newRecorder(t)
	made := r.add("/v1/trials", exampleTrial)
	path := "/v1/trials/" + text(made["id"])
	if labels := fmt.Sprintf("%v %v %v", at(t, made, "glasses/0/glass"), at(t, made, "glasses/1/glass"), at(t, made, "glasses/2/glass")); labels != "A B C" || length(made["glasses"]) != 3 {
		t.Errorf("glasses %v", made["glasses"])
	}
	r.add(path+"/pours", `{"glass": "B", "volume_ml": 8, "stated_total_ml": 8}`)
	r.add(path+"/withdrawals", `{"glass": "B", "volume_ml": 15, "why": "tasting"}`)
	poured := r.add(path+"/pours", `{"glass": "B", "volume_ml": 2, "stated_total_ml": 8, "who": "Ada", "tool": "5 mL syringe"}`)
	for field, want := range map[string]float64{
		"poured_total_ml": 10, "base_in_glass_ml": 86.11111111111111, "addition_in_glass_ml": 8.88888888888889,
		"dose_ml_per_100ml": 10.32258064516129, "addition_fraction": 8.88888888888889 / 95,
	} {
		if !near(poured[field], want) {
			t.Errorf("%s is %v, want %g", field, poured[field], want)
		}
	}
	if code := at(t, poured, "warnings/0/code"); code != "total_mismatch" || poured["glass"] != "B" {
		t.Errorf("a total that contradicts: %v", poured)
	}
	r.add(path+"/pours", `{"glass": "C", "volume_ml": 6}`)
	got := r.get(path)
	if !near(at(t, got, "glasses/1/dose_ml_per_100ml"), 10.32258064516129) || length(got["entries"]) != 4 {
		t.Errorf("after four entries: %v", got["glasses"])
	}
	before := got["ladder"]
	r.add(path+"/measurements", `{"glass": "C", "readings": {"a420": 0.156, "a520": 0.176, "a620": 0.031}, "taken_at": "2026-11-25T14:30:00Z", "minutes_since_blending": 20}`)
	got = r.get(path)
	if length(got["entries"]) != 4 || !near(at(t, got, "measurements/0/dose_ml_per_100ml"), 6) || at(t, got, "measurements/0/no") != 5.0 {
		t.Errorf("measurements: %v", got["measurements"])
	}
	if reflect.DeepEqual(before, got["ladder"]) {
		t.Error("the measurement changed nothing in the ladder")
	}
	// The ladder is that of /v1/ladder for the same question.
	question := strings.Replace(exampleTrial, `"glasses": ["A", "B", "C"]}`, `"doses_ml": [0, 10.32258064516129, 6],
		"measured": [{"dose_ml": 6, "wine": {"readings": {"a420": 0.156, "a520": 0.176, "a620": 0.031}}}]}`, 1)
	question = strings.Replace(question, `"name": "First ladder", `, "", 1)
	want, _ := r.ask(200, call{path: "/v1/ladder", body: question})
	if !alike(got["ladder"], any(want)) {
		t.Errorf("the trial's ladder %v\nis not that of the calculation %v", got["ladder"], want)
	}
	list := r.get("/v1/trials")
	if !reflect.DeepEqual(at(t, list, "items/0"), any(got)) {
		t.Errorf("an item is %v, GET answers %v", at(t, list, "items/0"), got)
	}
	gone, _ := r.ask(200, call{method: "DELETE", path: path})
	if gone["archived_at"] == nil || length(r.get("/v1/trials")["items"]) != 0 || length(r.get("/v1/trials?archived=true")["items"]) != 1 {
		t.Errorf("archived: %v", gone)
	}
	if again := r.get(path); again["archived_at"] == nil || !reflect.DeepEqual(again["ladder"], got["ladder"]) {
		t.Errorf("read after archiving: %v", again)
	}
	r.ask(409, call{path: path + "/pours", body: examplePour})
}

// alike compares answers whose numbers may differ in the last digits.
func alike(a, b any) bool {
	switch a := a.(type) {
	case map[string]any:
		m, ok := b.(map[string]any)
		if !ok || len(m) != len(a) {
			return false
		}
		for k := range a {
			if !alike(a[k], m[k]) {
				return false
			}
		}
		return true
	case []any:
		l, ok := b.([]any)
		if !ok || len(l) != len(a) {
			return false
		}
		for i := range a {
			if !alike(a[i], l[i]) {
				return false
			}
		}
		return true
	case float64:
		x, ok := b.(float64)
		return ok && math.Abs(a-x) <= 1e-6*(1+math.Abs(x))
	}
	return a == b
}

// TestTrialOfStoredWines: a trial keeps what its wines were when it began.
func TestTrialOfStoredWines(t *testing.T) {
	r := newRecorder(t)
	base := r.add("/v1/wines", exampleWine)
	unread := r.add("/v1/wines", `{"name": "Tank 9", "kind": "red"}`)
	target := r.add("/v1/targets", exampleTarget)
	begin := func(addition string) string {
		return fmt.Sprintf(`{"base": {"id": %q}, "addition": %s, "base_ml": 50, "target": {"id": %q}, "glasses": ["A"]}`, base["id"], addition, target["id"])
	}
	trial := r.add("/v1/trials", begin(`{"readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}}`))
	path := "/v1/trials/" + text(trial["id"])
	if at(t, trial, "base/id") != base["id"] || at(t, trial, "base/name") != "Tank 4" || at(t, trial, "base/readings/a420") != 0.142 ||
		trial["target_id"] != target["id"] || at(t, trial, "target/cielab/L") != 86.0 || at(t, trial, "readings_used/0/location") != "/base" {
		t.Errorf("the trial keeps %v", trial)
	}
	r.add(path+"/pours", `{"glass": "A", "volume_ml": 4}`)
	was := r.get(path)
	r.add("/v1/wines/"+text(base["id"])+"/readings", `{"readings": {"a420": 0.3, "a520": 0.2, "a620": 0.1}}`)
	r.ask(200, call{method: "PUT", path: "/v1/targets/" + text(target["id"]), body: `{"name": "x", "target": {"intensity": 1, "tint": 1}}`, header: map[string]string{"If-Match": `"1"`}})
	if now := r.get(path); !reflect.DeepEqual(now, was) {
		t.Errorf("a new reading and target changed the trial from %v to %v", was, now)
	}
	for name, addition := range map[string]string{"nothing read": fmt.Sprintf(`{"id": %q}`, unread["id"]), "a name": `{"name": "Tank 9"}`} {
		bare := r.add("/v1/trials", `{"base": {"id": "`+text(base["id"])+`"}, "addition": `+addition+`, "base_ml": 100, "glasses": ["A"]}`)
		if _, there := bare["ladder"]; there || at(t, bare, "warnings/0/code") != "no_ladder" || at(t, bare, "addition/name") != "Tank 9" {
			t.Errorf("%s: %v", name, bare)
		}
	}
	if f := r.fault(call{path: "/v1/trials", body: begin(`{"id": "none"}`)}); f.Location != "/addition/id" {
		t.Errorf("an unknown wine: %+v", f)
	}
	body := strings.Replace(begin(`{"name": "x"}`), text(target["id"]), "none", 1)
	if f := r.fault(call{path: "/v1/trials", body: body}); f.Location != "/target/id" {
		t.Errorf("an unknown target: %+v", f)
	}
	body = strings.Replace(begin(`{"name": "x"}`), `"base_ml"`, `"view": {"path_mm": 50}, "base_ml"`, 1)
	r.add("/v1/trials", body) // an intensity holds under any view
	colour := r.add("/v1/targets", exampleTarget)
	if f := r.fault(call{path: "/v1/trials", body: strings.Replace(body, text(target["id"]), text(colour["id"]), 1)}); f.Location != "/target/id" {
		t.Errorf("a colour asked for under another view: %+v", f)
	}
}

func TestTrialRefusals(t *testing.T) {
	r := newRecorder(t)
	path := "/v1/trials/" + text(r.add("/v1/trials", exampleTrial)["id"])
	for _, row := range []struct{ to, body, place, words string }{
		{"/pours", `{"glass": "D", "volume_ml": 2}`, "/glass", `"A", "B", "C"`},
		{"/pours", `{"glass": "A", "volume_ml": -2}`, "/volume_ml", ""},
		{"/pours", `{"glass": "A", "volume_ml": 2000}`, "/volume_ml", "exchanged"},
		{"/pours", `{"glass": "A", "volume": 2}`, "/volume", "unknown field"},
		{"/withdrawals", `{"glass": "A", "volume_ml": 101}`, "/volume_ml", "100 mL in the glass"},
		{"/withdrawals", `{"glass": "A", "volume_ml": 1, "why": "thirst"}`, "/why", ""},
		{"/measurements", `{"glass": "A"}`, "", "exactly one"},
		{"/measurements", `{"glass": "A", "readings": {"a420": 9, "a520": 0.2, "a620": 0.1}}`, "/readings/a420", ""},
	} {
		if f := r.fault(call{path: path + row.to, body: row.body}); f.Location != row.place || !strings.Contains(f.Message, row.words) {
			t.Errorf("%s %s: %+v, want a fault at %q that says %q", row.to, row.body, f, row.place, row.words)
		}
	}
	if got := r.get(path); length(got["entries"])+length(got["measurements"]) != 0 {
		t.Errorf("refused entries are kept: %v", got)
	}
	for _, missing := range []call{
		{method: "GET", path: "/v1/trials/none"}, {method: "DELETE", path: "/v1/trials/none"},
		{path: "/v1/trials/none/pours", body: examplePour}, {path: "/v1/trials/none/measurements", body: exampleMeasurement},
	} {
		r.ask(404, missing)
	}
}

// TestSentTwice: an entry with a key counts once and is answered as it was.
func TestSentTwice(t *testing.T) {
	r := newRecorder(t)
	path := "/v1/trials/" + text(r.add("/v1/trials", exampleTrial)["id"])
	first := r.add(path+"/pours", examplePour)
	r.add(path+"/pours", `{"glass": "B", "volume_ml": 1}`)
	if again := r.add(path+"/pours", examplePour); !reflect.DeepEqual(again, first) {
		t.Errorf("sent again: %v, at first %v", again, first)
	}
	if total := at(t, r.get(path), "glasses/1/poured_total_ml"); total != 3.0 {
		t.Errorf("%v mL, want 3", total)
	}
	if f := r.fault(call{path: path + "/pours", body: strings.Replace(examplePour, `"volume_ml": 2`, `"volume_ml": 3`, 1)}); f.Location != "/key" {
		t.Errorf("another pour with the key: %+v", f)
	}
}

// BenchmarkTrials lists trials of 12 glasses with a target and three
// measurements: each computed anew, and as remembered.
func BenchmarkTrials(b *testing.B) {
	service := newTestService(b)
	glasses, labels := []string{}, []string{}
	for i := range 12 {
		labels = append(labels, fmt.Sprint("G", i))
		glasses = append(glasses, fmt.Sprintf("%q", labels[i]))
	}
	body := strings.Replace(exampleTrial, `["A", "B", "C"]`, "["+strings.Join(glasses, ",")+"]", 1)
	add := func(path, body string) map[string]any {
		w := do(service, call{path: path, body: body})
		if w.Code != 201 {
			b.Fatal(w.Body)
		}
		var answer map[string]any
		if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil {
			b.Fatal(err)
		}
		return answer
	}
	path := "/v1/trials/" + text(add("/v1/trials", body)["id"])
	for i, label := range labels {
		add(path+"/pours", fmt.Sprintf(`{"glass": %q, "volume_ml": %d}`, label, i+1))
	}
	for i := range 3 {
		add(path+"/measurements", strings.Replace(exampleMeasurement, `"B"`, fmt.Sprintf("%q", labels[4+i]), 1))
	}
	b.Run("computed", func(b *testing.B) {
		for b.Loop() {
			add(path+"/pours", `{"glass": "G0", "volume_ml": 0.001}`) // what is remembered no longer holds
			if w := do(service, call{method: "GET", path: path}); w.Code != 200 {
				b.Fatal(w.Body)
			}
		}
	})
	b.Run("remembered", func(b *testing.B) {
		for b.Loop() {
			if w := do(service, call{method: "GET", path: path}); w.Code != 200 {
				b.Fatal(w.Body)
			}
		}
	})
}

// TestBenchCalls follows what is done at the bench beside pouring: undoing, notes,
// the choice and its final check, and plans. Each answer is held against the
// interface's description.
func TestBenchCalls(t *testing.T) {
	r := newRecorder(t)
	body := strings.Replace(exampleTrial, `"glasses"`, `"tools": [{"name": "10 mL syringe", "kind": "syringe", "capacity_ml": 10, "graduation_ml": 0.5}, {"measure": "tablespoon"}],
		"sample_volumes_ml": [50], "visible_step": 0.8, "held": [{"wine": {"name": "Press", "readings": {"a420": 0.3, "a520": 0.4, "a620": 0.1}}, "dose_ml_per_100ml": 5}], "glasses"`, 1)
	made := r.add("/v1/trials", body)
	path := "/v1/trials/" + text(made["id"])
	if at(t, made, "tools/1/capacity_ml") != 15.0 || at(t, made, "warnings/0/code") != "measure_differs" || made["visible_step"] != 0.8 || at(t, made, "held/0/wine/name") != "Press" {
		t.Errorf("tools %v, held %v, warnings %v", made["tools"], made["held"], made["warnings"])
	}
	poured := r.add(path+"/pours", `{"glass": "B", "volume_ml": 4.2, "tool": "10 mL syringe"}`)
	if at(t, poured, "warnings/0/code") != "off_graduation" || !near(poured["dose_ml_per_100ml"], 4.2) || !near(poured["addition_fraction"], 4.2/109.2) || !near(poured["held_in_glass_ml"], 5) || !near(poured["base_in_glass_ml"], 100) || number(poured["u_dose_ml_per_100ml"]) <= 0 {
		t.Errorf("poured: %v", poured)
	}
	if f := r.fault(call{path: path + "/pours", body: `{"glass": "B", "volume_ml": 12, "tool": "10 mL syringe"}`}); f.Location != "/volume_ml" || !strings.Contains(f.Message, "holds 10 mL") {
		t.Errorf("more than the tool: %+v", f)
	}
	undone := r.add(path+"/undo", `{"entry": 1, "why": "it was 4", "by": "Ada", "key": "u1"}`)
	if undone["kind"] != "undo" || undone["undoes"] != 1.0 || undone["glass"] != "B" || undone["who"] != "Ada" || undone["poured_total_ml"] != 0.0 || undone["no"] != 2.0 {
		t.Errorf("undone: %v", undone)
	}
	if again := r.add(path+"/undo", `{"entry": 1, "why": "it was 4", "by": "Ada", "key": "u1"}`); !reflect.DeepEqual(again, undone) {
		t.Errorf("an undo sent again: %v", again)
	}
	if f := r.fault(call{path: path + "/undo", body: `{"entry": 1}`}); f.Location != "/entry" || !strings.Contains(f.Message, "undo entry 2") {
		t.Errorf("undone twice: %+v", f)
	}
	r.add(path+"/pours", `{"glass": "B", "volume_ml": 4}`)
	r.add(path+"/notes", `{"glass": "B", "note": "bright", "score": 71}`)
	choice := r.add(path+"/choice", `{"glass": "B", "reasons": "liked best"}`)
	if !near(choice["dose_ml_per_100ml"], 4) || choice["kind"] != "choice" {
		t.Errorf("choice: %v", choice)
	}
	if got := r.get(path); at(t, got, "warnings/1/code") != "no_final_check" || at(t, got, "choice/no") != 5.0 || length(got["notes"]) != 1 || length(got["choices"]) != 1 || at(t, got, "entries/0/undone_by") != 2.0 || length(got["entries"]) != 3 {
		t.Errorf("chosen, and not checked: %v", got)
	}
	// A night after now, whenever that is.
	checked := map[string]any{}
	if err := json.Unmarshal([]byte(exampleFinalCheck), &checked); err != nil {
		t.Fatal(err)
	}
	object(checked["looked_again"])["at"] = time.Now().Add(10 * time.Hour).UTC().Format(time.RFC3339)
	overnight, err := json.Marshal(checked)
	if err != nil {
		t.Fatal(err)
	}
	check := r.add(path+"/final-check", string(overnight))
	if length(check["warnings"]) != 0 || !near(check["dose_ml_per_100ml"], 4) {
		t.Errorf("check: %v", check)
	}
	got := r.get(path)
	if at(t, got, "final_check/done") != true || at(t, got, "final_check/choice") != 5.0 || at(t, got, "final_check/colour/absorbance") == nil || at(t, got, "final_check/difference/delta_e_00") == nil || length(got["warnings"]) != 1 {
		t.Errorf("checked: %v, %v", got["final_check"], got["warnings"])
	}
	if f := r.fault(call{path: path + "/undo", body: `{"entry": 5}`}); f.Location != "/entry" || !strings.Contains(f.Message, "entry 6 (final check)") {
		t.Errorf("the choice of a check taken back: %+v", f)
	}
	for _, kind := range []string{"even", "visible", "closing"} {
		plan, _ := r.ask(200, call{path: path + "/plan", body: `{"kind": "` + kind + `"}`})
		if plan["kind"] != kind || length(plan["rungs"]) < 1 || plan["next"] == nil || plan["proposal"] == nil || !near(plan["held_ml"], 5) {
			t.Errorf("plan: %v", plan)
		}
	}
	if f := r.fault(call{path: path + "/plan", body: `{"kind": "even", "tool": "ladle"}`}); f.Location != "/tool" {
		t.Errorf("a plan with no tool of the trial: %+v", f)
	}
	if again := r.get(path); !reflect.DeepEqual(again, got) {
		t.Error("a plan changed the trial")
	}
	for _, missing := range []string{"undo", "notes", "choice", "final-check", "plan"} {
		body := map[string]string{"undo": exampleUndo, "notes": exampleNote, "choice": exampleChoice, "final-check": exampleFinalCheck, "plan": examplePlan}[missing]
		r.ask(404, call{path: "/v1/trials/none/" + missing, body: body})
	}
}

// TestPourAnswers: what the interface promises of a pour: the dose by what is in the
// glass, and a stated total that is held against the log and never stops a pour.
func TestPourAnswers(t *testing.T) {
	r := newRecorder(t)
	path := "/v1/trials/" + text(r.add("/v1/trials", `{"base": {"name": "White"}, "addition": {"name": "Red"}, "base_ml": 100, "glasses": ["A", "B"]}`)["id"])
	r.add(path+"/pours", `{"glass": "A", "volume_ml": 8}`)
	r.add(path+"/withdrawals", `{"glass": "A", "volume_ml": 15}`)
	got := r.add(path+"/pours", `{"glass": "A", "volume_ml": 2, "stated_total_ml": 12}`)
	// By hand: of 108 mL 15 go, so that 100 x 93/108 mL of base and 8 x 93/108 + 2 of
	// addition are left: 10.3226 mL per 100 mL.
	base, addition := 100*93./108, 8*93./108+2
	for field, want := range map[string]float64{
		"poured_total_ml": 10, "base_in_glass_ml": base, "addition_in_glass_ml": addition,
		"dose_ml_per_100ml": 100 * addition / base, "addition_fraction": addition / (base + addition), "stated_total_ml": 12,
	} {
		if !near(got[field], want) {
			t.Errorf("%s: %v, want %.15g", field, got[field], want)
		}
	}
	if got["glass"] != "A" || at(t, got, "warnings/0/code") != "total_mismatch" || length(got["warnings"]) != 1 || at(t, got, "slips/0/kind") != "missed_pour" {
		t.Errorf("a total that contradicts: %v, %v", got["warnings"], got["slips"])
	}
	// A glass at 3 mL that gets 2 mL more holds 5, whatever anyone says.
	r.add(path+"/pours", `{"glass": "B", "volume_ml": 3}`)
	if got = r.add(path+"/pours", `{"glass": "B", "volume_ml": 2, "stated_total_ml": 2}`); got["poured_total_ml"] != 5.0 || at(t, got, "warnings/0/code") != "total_mismatch" {
		t.Errorf("3 mL and 2 mL: %v", got)
	}
	if got = r.add(path+"/pours", `{"glass": "B", "volume_ml": 1, "stated_total_ml": 6}`); length(got["warnings"]) != 0 || got["slips"] != nil {
		t.Errorf("a total that agrees: %v", got)
	}
	for _, row := range []struct{ body, place string }{
		{`{"glass": "C", "volume_ml": 1}`, "/glass"},
		{`{"volume_ml": 1}`, "/glass"},
		{`{"glass": "A", "volume_ml": 0}`, "/volume_ml"},
		{`{"glass": "A", "volume_ml": -1}`, "/volume_ml"},
		{`{"glass": "A", "volume_ml": 1e9}`, "/volume_ml"},
		{`{"glass": "A", "volume_ml": 900}`, "/volume_ml"},
		{`{"glass": "A", "volume_ml": "2"}`, "/volume_ml"},
		{`{"glass": "A", "volume_ml": 1, "stated_total_ml": -1}`, "/stated_total_ml"},
		{`{"glass": "A", "volume_ml": 1, "fills": 0}`, "/fills"},
		{`{"glass": "A", "volume_ml": 1, "at": "yesterday"}`, "/at"},
	} {
		if f := r.fault(call{path: path + "/pours", body: row.body}); f.Location != row.place || f.Message == "" {
			t.Errorf("%s: %+v, want a fault at %s", row.body, f, row.place)
		}
	}
	if now := r.get(path); length(now["entries"]) != 6 || at(t, now, "glasses/0/poured_total_ml") != 10.0 || at(t, now, "glasses/1/poured_total_ml") != 6.0 {
		t.Errorf("what is kept: %v", now["glasses"])
	}
}

// TestLoggingAtOnce: several who log in one trial at once over HTTP lose nothing, and
// no two are answered with the same place in the log.
func TestLoggingAtOnce(t *testing.T) {
	r := newRecorder(t)
	path := "/v1/trials/" + text(r.add("/v1/trials", exampleTrial)["id"])
	const people, each = 4, 8
	answers := make([][]map[string]any, people)
	var group sync.WaitGroup
	for person := range people {
		group.Go(func() {
			for i := range each {
				w := do(r.service, call{path: path + "/pours", body: fmt.Sprintf(`{"glass": "B", "volume_ml": 0.25, "key": "%d-%d"}`, person, i)})
				var answer map[string]any
				if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil || w.Code != 201 {
					t.Errorf("status %d, %v: %s", w.Code, err, w.Body)
					return
				}
				answers[person] = append(answers[person], answer)
			}
		})
	}
	group.Wait()
	places := map[float64]bool{}
	for _, list := range answers {
		for _, a := range list {
			no := number(a["no"])
			places[no] = true
			if !near(a["poured_total_ml"], 0.25*no) {
				t.Errorf("entry %g is answered with a total of %v mL", no, a["poured_total_ml"])
			}
		}
	}
	got := r.get(path)
	if len(places) != people*each || length(got["entries"]) != people*each || !near(at(t, got, "glasses/1/poured_total_ml"), 0.25*people*each) {
		t.Errorf("%d places, %d entries, %v mL", len(places), length(got["entries"]), at(t, got, "glasses/1/poured_total_ml"))
	}
}

package api

import (
	"fmt"
	"math"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"

	"pourpath/api/access"
)

// ladderTrial is a trial with three glasses of 2, 6 and 10 mL per 100 mL of base.
func ladderTrial(r recorder) (path string) {
	r.t.Helper()
	made := r.add("/v1/trials", exampleTrial)
	path = "/v1/trials/" + text(made["id"])
	for i, glass := range []string{"A", "B", "C"} {
		r.add(path+"/pours", fmt.Sprintf(`{"glass": %q, "volume_ml": %d}`, glass, 2+4*i))
	}
	return path
}

// TestPanelPortions: 4 judges at 30 mL take 120 mL, in which 6 mL per 100 mL of base
// are 6/106 of the blend.
func TestPanelPortions(t *testing.T) {
	r := newRecorder(t)
	s := sit(r, ladderTrial(r), examplePanel)
	b := object(items(s.made["portions"])[1])
	if b["glass"] != "B" || b["judges"] != 4.0 || b["blend_ml"] != 120.0 || math.Abs(number(b["addition_ml"])-120*6.0/106) > 1e-9 || math.Abs(number(b["base_ml"])-120*100.0/106) > 1e-9 {
		t.Errorf("glass B: %v", b)
	}
}

// TestPanelOnDoubtfulGlasses: a panel opens on glasses without addition, of one dose
// or empty, and says which.
func TestPanelOnDoubtfulGlasses(t *testing.T) {
	r := newRecorder(t)
	trial := text(r.add("/v1/trials", strings.Replace(exampleTrial, `"C"]`, `"C", "D"]`, 1))["id"])
	at := "/v1/trials/" + trial
	for _, glass := range []string{"B", "C"} {
		r.add(at+"/pours", fmt.Sprintf(`{"glass": %q, "volume_ml": 4}`, glass))
	}
	r.add(at+"/pours", `{"glass": "D", "volume_ml": 8}`)
	r.add(at+"/withdrawals", `{"glass": "D", "volume_ml": 108, "why": "tasting"}`)
	s := sit(r, at, strings.Replace(examplePanel, `["A", "B", "C"]`, `["A", "B", "C", "D"]`, 1))
	warned := map[string]string{}
	for _, w := range items(s.made["warnings"]) {
		warned[text(object(w)["code"])] = text(object(w)["message"])
	}
	if len(warned) != 3 || !strings.Contains(warned["glass_empty"], "Glass D") || !strings.Contains(warned["nothing_poured"], "glass A") || !strings.Contains(warned["same_dose"], "glasses B and C") {
		t.Errorf("warned of %v", warned)
	}
}

// sitting is an open panel.
type sitting struct {
	recorder
	trial, path string
	made        map[string]any
	keys        []string // of the judges, in their order
}

// sit opens a panel of a trial.
func sit(r recorder, trial, body string) sitting {
	r.t.Helper()
	s := sitting{recorder: r, trial: trial, made: r.add(trial+"/panels", body)}
	s.path = "/v1/panels/" + text(s.made["id"])
	for _, l := range items(s.made["links"]) {
		s.keys = append(s.keys, text(object(l)["key"]))
	}
	return s
}

func (s sitting) judge(i int) string { return text(object(items(s.made["judges"])[i])["id"]) }

// codes are those of a judge, in the order of serving.
func (s sitting) codes(i int) (list []string) {
	for _, c := range items(object(items(s.made["judges"])[i])["codes"]) {
		list = append(list, text(c))
	}
	return list
}

// glassOf is the glass with a code.
func (s sitting) glassOf(code string) string {
	for _, g := range items(s.made["glasses"]) {
		if text(object(g)["code"]) == code {
			return text(object(g)["glass"])
		}
	}
	return ""
}

// asJudge is a call with a key.
func asJudge(key, method, body string) call {
	return call{method: method, path: judgingPath, body: body, header: map[string]string{"Authorization": "Bearer " + key}}
}

// ranked is a body that ranks codes in the order in which they stand.
func ranked(codes []string) string {
	list := make([]string, len(codes))
	for i, c := range codes {
		list[i] = fmt.Sprintf(`{"code": %q, "rank": %d}`, c, i+1)
	}
	return `{"answers": [` + strings.Join(list, ",") + `]}`
}

// byGlass puts codes in the order of the labels of their glasses.
func (s sitting) byGlass(codes []string) []string {
	list := slices.Clone(codes)
	slices.SortFunc(list, func(a, b string) int { return strings.Compare(s.glassOf(a), s.glassOf(b)) })
	return list
}

// TestPanelOpens: the doses are those of the moment, each judge has each glass, and
// each has a link.
func TestPanelOpens(t *testing.T) {
	r := newRecorder(t)
	trial := ladderTrial(r)
	s := sit(r, trial, examplePanel)
	for i, want := range []float64{2, 6, 10} {
		g := object(items(s.made["glasses"])[i])
		if !near(g["dose_ml_per_100ml"], want) || !near(g["addition_fraction"], want/(100+want)) || len(text(g["code"])) != 3 {
			t.Errorf("glass %d: %v", i, g)
		}
	}
	if s.made["state"] != "open" || s.made["serving"] != "williams" || s.made["most"] != "preferred" || s.made["answers"] != nil || len(s.keys) != 4 {
		t.Errorf("opened: %v", s.made)
	}
	for i := range s.keys {
		if list := s.byGlass(s.codes(i)); len(list) != 3 || s.glassOf(list[0]) != "A" || s.glassOf(list[2]) != "C" {
			t.Errorf("judge %d has %v", i, list)
		}
	}
	warned := r.add(trial+"/pours", `{"glass": "B", "volume_ml": 5}`)
	if at(t, warned, "warnings/0/code") != "panel_open" {
		t.Errorf("a pour into a glass that is judged: %v", warned["warnings"])
	}
	got := r.get(s.path)
	if !near(at(t, got, "glasses/1/dose_ml_per_100ml"), 6) {
		t.Errorf("after a pour the panel has %v", got["glasses"])
	}
	if got["links"] != nil || strings.Contains(fmt.Sprint(got), s.keys[0]) {
		t.Errorf("the links are told again: %v", got)
	}
	list := r.get(trial + "/panels")
	if length(list["items"]) != 1 || fmt.Sprint(items(list["items"])[0]) != fmt.Sprint(got) {
		t.Errorf("listed: %v, want %v", list, got)
	}
}

// TestPanelRefused: what cannot be opened says where and why.
func TestPanelRefused(t *testing.T) {
	r := newRecorder(t)
	trial := ladderTrial(r)
	for name, c := range map[string]struct{ from, to, place, says string }{
		"no such glass":      {`"C"]`, `"D"]`, "/glasses/2", `"A", "B", "C"`},
		"twice":              {`"C"]`, `"A"]`, "/glasses/2", "twice, first as number 1"},
		"one glass":          {`["A", "B", "C"]`, `["A"]`, "/glasses", ""},
		"blank question":     {`"Which colour do you like most?"`, `" "`, "/question", "asked"},
		"one judge":          {`{"name": "Ada"}, {"name": "Ben"}, {"name": "Cleo"}, {"name": "Dan"}`, `{"name": "Ada"}`, "/judges", "2 to 100 judges"},
		"two of a name":      {`"Ben"`, `" ADA "`, "/judges/1/name", "own"},
		"no name":            {`"Ben"`, `" "`, "/judges/1/name", "needs a name"},
		"an escape":          {`"Ben"`, `"Be\u009bn"`, "/judges/1/name", "U+009B"},
		"turned round":       {`"Ben"`, `"Be\u202en"`, "/judges/1/name", "U+202E"},
		"of no width":        {`"Ben"`, `"\u200b"`, "/judges/1/name", "U+200B"},
		"a scale of ranks":   {`"ties": false`, `"scale": {"from": 0, "to": 10}`, "/scale", "no scale"},
		"scores without tie": {`"answer": "ranks"`, `"answer": "scores"`, "/ties", "always be equal"},
		"scale turned":       {`"answer": "ranks", "ties": false`, `"answer": "scores", "scale": {"from": 9, "to": 1}`, "/scale/to", "above"},
		"more each":          {`"ties": false`, `"per_judge": 4`, "/per_judge", "no more"},
		"unknown":            {`"ties"`, `"tie"`, "/tie", ""},
	} {
		body := strings.Replace(examplePanel, c.from, c.to, 1)
		if f := r.fault(call{path: trial + "/panels", body: body}); body == examplePanel || f.Location != c.place || !strings.Contains(f.Message, c.says) {
			t.Errorf("%s: %+v, want %q at %s", name, f, c.says, c.place)
		}
	}
	r.ask(404, call{path: "/v1/trials/none/panels", body: examplePanel})
	r.ask(200, call{method: "DELETE", path: trial})
	r.ask(409, call{path: trial + "/panels", body: examplePanel})
}

// TestHandIn: an answer is whole, is of the judge's own glasses, counts once, and
// is refused with what stands or with each fault's place.
func TestHandIn(t *testing.T) {
	s := sit(recorderWithTrial(t))
	mine := s.codes(0)
	for name, c := range map[string]struct{ body, place, says string }{
		"one is missing": {ranked(mine[:2]), "/answers", mine[2]},
		"none":           {`{"answers": []}`, "/answers", mine[0]},
		"another's code": {ranked([]string{mine[0], mine[1], "099"}), "/answers/2/code", strings.Join(mine, ", ")},
		"twice":          {ranked([]string{mine[0], mine[1], mine[1]}), "/answers/2/code", "twice"},
		"a tie":          {strings.Replace(ranked(mine), `"rank": 3`, `"rank": 2`, 1), "/answers/2/rank", "decide"},
		"beyond":         {strings.Replace(ranked(mine), `"rank": 3`, `"rank": 4`, 1), "/answers/2/rank", "from 1 to 3"},
		"a score":        {strings.Replace(ranked(mine), `"rank": 3`, `"score": 3`, 1), "/answers/2/score", "ranks are asked for"},
		"no rank":        {strings.Replace(ranked(mine), `, "rank": 3`, ``, 1), "/answers/2/rank", "no rank"},
		"half a rank":    {strings.Replace(ranked(mine), `"rank": 3`, `"rank": 2.5`, 1), "/answers/2/rank", "integer"},
		"unknown":        {strings.Replace(ranked(mine), `"rank": 3`, `"place": 3`, 1), "/answers/2/place", "unknown field"},
	} {
		if f := s.fault(asJudge(s.keys[0], "POST", c.body)); f.Location != c.place || !strings.Contains(f.Message, c.says) {
			t.Errorf("%s: %+v, want %q at %s", name, f, c.says, c.place)
		}
	}
	if got, _ := s.ask(200, asJudge(s.keys[0], "GET", "")); got["state"] != "open" {
		t.Errorf("after what was refused: %v", got)
	}
	first, _ := s.ask(201, asJudge(s.keys[0], "POST", ranked(mine)))
	turned := slices.Clone(mine)
	slices.Reverse(turned)
	same := strings.Replace(strings.Replace(ranked(turned), `"rank": 1`, `"rank": 9`, 1), `"rank": 3`, `"rank": 1`, 1)
	again, _ := s.ask(200, asJudge(s.keys[0], "POST", strings.Replace(same, `"rank": 9`, `"rank": 3`, 1)))
	if fmt.Sprint(first) != fmt.Sprint(again) || first["state"] != "handed_in" || at(t, first, "answers/0/code") != mine[0] {
		t.Errorf("sent again: %v, was %v", again, first)
	}
	other, _ := s.ask(409, asJudge(s.keys[0], "POST", ranked(turned)))
	if other["type"] != "/problems/handed-in" || length(other["errors"]) != 3 || at(t, other, "errors/0/value") != 1.0 || !strings.Contains(text(at(t, other, "errors/0/message")), mine[0]) {
		t.Errorf("another answer: %v", other)
	}
	if got := s.get(s.path); got["handed_in"] != 1.0 || got["answers"] != nil || object(items(got["judges"])[0])["source"] != "link" {
		t.Errorf("the leader sees %v", got)
	}
}

// recorderWithTrial is what sit takes: a service, its trial with three glasses, and
// the panel of the example.
func recorderWithTrial(t *testing.T) (recorder, string, string) {
	t.Helper()
	r := newRecorder(t)
	return r, ladderTrial(r), examplePanel
}

// TestScoresAndTies: scores lie on their scale and may be equal; ranks may where it
// was said.
func TestScoresAndTies(t *testing.T) {
	r := newRecorder(t)
	trial := ladderTrial(r)
	scored := sit(r, trial, strings.Replace(examplePanel, `"answer": "ranks", "ties": false`, `"answer": "scores", "scale": {"from": -4, "to": 4}`, 1))
	body := func(s sitting, what string, values ...string) string {
		list := make([]string, len(values))
		for i, c := range s.codes(0) {
			list[i] = fmt.Sprintf(`{"code": %q, %q: %s}`, c, what, values[i])
		}
		return `{"answers": [` + strings.Join(list, ",") + `]}`
	}
	if f := r.fault(asJudge(scored.keys[0], "POST", body(scored, "score", "1", "4.5", "2"))); f.Location != "/answers/1/score" || !strings.Contains(f.Message, "from -4 to 4") {
		t.Errorf("off the scale: %+v", f)
	}
	r.ask(201, asJudge(scored.keys[0], "POST", body(scored, "score", "1.25", "1.25", "-4")))
	tied := sit(r, trial, strings.Replace(examplePanel, `"ties": false`, `"ties": true`, 1))
	if got, _ := r.ask(200, asJudge(tied.keys[0], "GET", "")); got["ties"] != true {
		t.Errorf("the judge is told %v", got)
	}
	r.ask(201, asJudge(tied.keys[0], "POST", body(tied, "rank", "1", "1", "3")))
}

// TestPaperSheets: the leader types a sheet; a correction names what stands, says
// why, and both are kept; after closing it is marked.
func TestPaperSheets(t *testing.T) {
	s := sit(recorderWithTrial(t))
	sheetOf := func(i int, codes []string, more string) string {
		return strings.TrimSuffix(ranked(codes), "}") + fmt.Sprintf(`, "judge": %q%s}`, s.judge(i), more)
	}
	mine := s.codes(1)
	turned := slices.Clone(mine)
	slices.Reverse(turned)
	first := s.add(s.path+"/answers", sheetOf(1, mine, `, "by": "Eve"`))
	if first["source"] != "sheet" || first["no"] != 1.0 || first["by"] != "Eve" {
		t.Errorf("typed: %v", first)
	}
	if again, _ := s.ask(200, call{path: s.path + "/answers", body: sheetOf(1, mine, `, "by": "Eve"`)}); again["id"] != first["id"] {
		t.Errorf("typed again: %v", again)
	}
	s.ask(409, call{path: s.path + "/answers", body: sheetOf(1, turned, "")})
	s.ask(409, call{path: s.path + "/answers", body: sheetOf(1, turned, `, "corrects": "other", "reason": "swapped"`)})
	s.ask(409, asJudge(s.keys[1], "POST", ranked(turned)))
	right := fmt.Sprintf(`, "corrects": %q, "reason": "two were swapped in typing"`, first["id"])
	for place, body := range map[string]string{
		"/reason":   sheetOf(1, turned, fmt.Sprintf(`, "corrects": %q`, first["id"])),
		"/corrects": sheetOf(1, turned, `, "reason": "swapped"`),
		"/judge":    strings.Replace(sheetOf(1, turned, ""), s.judge(1), "none", 1),
		"/answers":  sheetOf(1, mine, right),
	} {
		if f := s.fault(call{path: s.path + "/answers", body: body}); f.Location != place {
			t.Errorf("%s: %+v", place, f)
		}
	}
	if f := s.fault(call{path: s.path + "/answers", body: sheetOf(0, s.codes(0), `, "corrects": "x", "reason": "y"`)}); f.Location != "/corrects" || !strings.Contains(f.Message, "nothing yet") {
		t.Errorf("a correction of nothing: %+v", f)
	}
	second := s.add(s.path+"/answers", sheetOf(1, turned, right))
	if second["no"] != 2.0 || second["corrects"] != first["id"] || second["after_closing"] != nil {
		t.Errorf("corrected: %v", second)
	}
	if again, _ := s.ask(200, call{path: s.path + "/answers", body: sheetOf(1, turned, right)}); again["id"] != second["id"] {
		t.Errorf("corrected again: %v", again)
	}
	without := fmt.Sprintf(`{"without": [%q, %q, %q]}`, s.judge(0), s.judge(2), s.judge(3))
	s.ask(200, call{path: s.path + "/close", body: without})
	s.ask(409, call{path: s.path + "/answers", body: sheetOf(0, s.codes(0), "")})
	third := s.add(s.path+"/answers", sheetOf(1, mine, fmt.Sprintf(`, "corrects": %q, "reason": "the first was right"`, second["id"])))
	if third["after_closing"] != true || third["no"] != 3.0 {
		t.Errorf("after closing: %v", third)
	}
	if got := s.get(s.path); length(got["answers"]) != 3 || at(t, got, "answers/0/id") != first["id"] {
		t.Errorf("kept: %v", got["answers"])
	}
}

// TestPanelCloses: nobody is left out by accident, nobody who answered is left out
// at all, and nothing is taken afterwards.
func TestPanelCloses(t *testing.T) {
	s := sit(recorderWithTrial(t))
	for i := range 3 {
		s.ask(201, asJudge(s.keys[i], "POST", ranked(s.codes(i))))
	}
	open, _ := s.ask(409, call{path: s.path + "/close", body: `{}`})
	if open["type"] != "/problems/judges-missing" || length(open["errors"]) != 1 || at(t, open, "errors/0/value") != s.judge(3) || !strings.Contains(text(at(t, open, "errors/0/message")), "Dan") {
		t.Errorf("with a judge missing: %v", open)
	}
	for place, body := range map[string]string{
		"/without/0": fmt.Sprintf(`{"without": [%q]}`, s.judge(0)),
		"/without/1": fmt.Sprintf(`{"without": [%q, "none"]}`, s.judge(3)),
	} {
		if f := s.fault(call{path: s.path + "/close", body: body}); f.Location != place {
			t.Errorf("%s: %+v", body, f)
		}
	}
	if f := s.fault(call{path: s.path + "/close", body: fmt.Sprintf(`{"without": [%q, %q]}`, s.judge(3), s.judge(3))}); f.Location != "/without/1" || !strings.Contains(f.Message, "twice") {
		t.Errorf("named twice: %+v", f)
	}
	closed, _ := s.ask(200, call{path: s.path + "/close", body: fmt.Sprintf(`{"without": [%q], "by": "Eve", "note": "overcast"}`, s.judge(3))})
	if closed["state"] != "closed" || at(t, closed, "closing/by") != "Eve" || at(t, closed, "closing/without/0") != s.judge(3) || length(closed["answers"]) != 3 {
		t.Errorf("closed: %v", closed)
	}
	for name, c := range map[string]call{
		"close":   {path: s.path + "/close", body: `{}`},
		"late":    asJudge(s.keys[3], "POST", ranked(s.codes(3))),
		"same":    asJudge(s.keys[0], "POST", ranked(s.codes(0))),
		"join":    {path: s.path + "/judges", body: exampleJudges},
		"link":    {path: s.path + "/judges/" + s.judge(3) + "/link"},
		"trial's": {path: s.path + "/answers", body: strings.Replace(ranked(s.codes(3)), "{", fmt.Sprintf(`{"judge": %q, `, s.judge(3)), 1)},
	} {
		if p, _ := s.ask(409, c); !strings.Contains(text(p["detail"]), "ended") {
			t.Errorf("%s: %v", name, p)
		}
	}
	for _, key := range s.keys {
		if got, _ := s.ask(200, asJudge(key, "GET", "")); len(got) != 1 || got["state"] != "ended" {
			t.Errorf("a judge sees after closing: %v", got)
		}
	}
}

// TestJudgesJoin: who joins gets a link and each glass, and the others keep theirs;
// a new link ends the one before.
func TestJudgesJoin(t *testing.T) {
	s := sit(recorderWithTrial(t))
	if f := s.fault(call{path: s.path + "/judges", body: `{"judges": [{"name": "ada"}]}`}); f.Location != "/judges/0/name" {
		t.Errorf("a name that is taken: %+v", f)
	}
	grown := s.add(s.path+"/judges", `{"judges": [{"name": "Fay"}, {"name": "Gil"}]}`)
	if length(grown["judges"]) != 6 || length(grown["links"]) != 2 || at(t, grown, "links/0/name") != "Fay" || length(at(t, grown, "judges/5/codes")) != 3 {
		t.Errorf("joined: %v", grown)
	}
	if fmt.Sprint(items(grown["judges"])[:4]) != fmt.Sprint(items(s.made["judges"])) {
		t.Error("the first judges have other orders")
	}
	if at(t, grown, "balance/positions/most") != 2.0 || at(t, grown, "balance/carry_over/least") != 2.0 {
		t.Errorf("six judges and three glasses are a whole square: %v", grown["balance"])
	}
	if got, _ := s.ask(200, asJudge(text(at(t, grown, "links/1/key")), "GET", "")); got["judge"] != "Gil" {
		t.Errorf("the new judge is %v", got)
	}
	link := s.add(s.path+"/judges/"+s.judge(0)+"/link", "")
	if link["key"] == s.keys[0] || link["name"] != "Ada" || link["path"] != "/judge/"+text(link["key"]) {
		t.Errorf("another link: %v", link)
	}
	s.ask(401, asJudge(s.keys[0], "GET", ""))
	if got, _ := s.ask(200, asJudge(text(link["key"]), "GET", "")); got["judge"] != "Ada" {
		t.Errorf("by the new link: %v", got)
	}
	s.ask(404, call{path: s.path + "/judges/none/link"})
	s.ask(404, call{path: "/v1/panels/none/judges/" + s.judge(0) + "/link"})
}

// TestJudgeSeesCodesAlone: before and after handing in and closing, no answer to a
// judge has a dose, a glass's label, the trial, the panel's name, another judge, or
// another's answer; and keys that are guessed, of another panel's judge, or dead open
// nothing else.
func TestJudgeSeesCodesAlone(t *testing.T) {
	r := newRecorder(t)
	trial := ladderTrial(r)
	s := sit(r, trial, strings.Replace(strings.Replace(examplePanel, `"Thursday"`, `"Thursday 2 6 10"`, 1), `"Eve"`, `"Yves"`, 1))
	other := sit(r, trial, examplePanel)
	secrets := []string{
		"dose", "fraction", "glass\"", "trial", s.judge(0), s.judge(1), text(s.made["id"]), text(s.made["trial_id"]), "Thursday", "Ben", "Cleo", "Dan", "Yves", "First ladder",
		"serving", "williams", "balance", "White base", "Young red", s.keys[1], other.keys[0],
	}
	allowed := map[string]bool{
		"state": true, "judge": true, "question": true, "answer": true, "most": true, "codes": true, "answers": true, "handed_in_at": true,
	}
	look := func(when string, i int) {
		t.Helper()
		a, w := r.ask(200, asJudge(s.keys[i], "GET", ""))
		for field := range a {
			if !allowed[field] {
				t.Errorf("%s: a judge is told %q", when, field)
			}
		}
		for _, secret := range secrets {
			if i == 0 && strings.Contains(w.Body.String(), secret) {
				t.Errorf("%s: a judge is told %q: %s", when, secret, w.Body.String())
			}
		}
	}
	look("before", 0)
	r.ask(201, asJudge(s.keys[1], "POST", strings.Replace(ranked(s.codes(1)), `"rank": 1`, `"rank": 1, "note": "the note of Ben"`, 1)))
	secrets = append(secrets, "the note of Ben")
	look("after another's answer", 0)
	r.ask(201, asJudge(s.keys[0], "POST", ranked(s.codes(0))))
	look("after handing in", 0)
	conflict := do(r.service, asJudge(s.keys[0], "POST", ranked([]string{s.codes(0)[2], s.codes(0)[1], s.codes(0)[0]})))
	fault := do(r.service, asJudge(s.keys[2], "POST", ranked([]string{"1", "2", "3"})))
	for _, w := range []*httptest.ResponseRecorder{conflict, fault} {
		for _, secret := range secrets {
			if secret != "glass\"" && strings.Contains(w.Body.String(), secret) {
				t.Errorf("a refusal tells %q: %s", secret, w.Body.String())
			}
		}
	}
	// The codes of another panel are none of this judge's, and say nothing of it.
	if w := do(r.service, asJudge(s.keys[2], "POST", ranked(other.codes(0)))); w.Code != 422 && !slices.Equal(s.byGlass(s.codes(2)), other.byGlass(other.codes(0))) {
		t.Errorf("codes of another panel: %d %s", w.Code, w.Body)
	}
	hash, ok := access.Hash(s.keys[0])
	if !ok {
		t.Fatalf("%q is no key", s.keys[0])
	}
	for name, key := range map[string]string{
		"none": "", "guessed": strings.Repeat("A", 27), "the judge's identifier": s.judge(0), "the panel's": text(s.made["id"]),
		"a part": s.keys[0][:26], "more": s.keys[0] + "A", "of other case": strings.ToUpper(s.keys[0]), "hash": hash, "quoted": "' OR ''='",
	} {
		for _, method := range []string{"GET", "POST"} {
			p, w := r.ask(401, asJudge(key, method, `{"answers": []}`))
			if p["type"] != "/problems/no-judge" || w.Header().Get("WWW-Authenticate") != "Bearer" {
				t.Errorf("%s: %v, %v", name, p, w.Header())
			}
		}
	}
	r.ask(200, call{path: s.path + "/close", body: fmt.Sprintf(`{"without": [%q, %q]}`, s.judge(2), s.judge(3))})
	look("after closing", 0)
	look("after closing, without an answer", 2)
	if got, _ := r.ask(200, asJudge(other.keys[0], "GET", "")); got["state"] != "open" {
		t.Errorf("the other panel: %v", got)
	}
}

// TestHandInAtOnce: of two different answers of one judge at once exactly one stands.
func TestHandInAtOnce(t *testing.T) {
	s := sit(recorderWithTrial(t))
	for judge := range s.keys {
		mine := s.codes(judge)
		bodies := []string{ranked(mine), ranked([]string{mine[2], mine[1], mine[0]})}
		const each = 4
		codes := make([]int, each*len(bodies))
		var all sync.WaitGroup
		for i := range codes {
			all.Go(func() { codes[i] = do(s.service, asJudge(s.keys[judge], "POST", bodies[i%2])).Code })
		}
		all.Wait()
		slices.Sort(codes)
		if want := []int{200, 200, 200, 201, 409, 409, 409, 409}; !slices.Equal(codes, want) {
			t.Errorf("judge %d: %v, want %v", judge, codes, want)
		}
	}
	closed, _ := s.ask(200, call{path: s.path + "/close", body: `{}`})
	if length(closed["answers"]) != len(s.keys) {
		t.Errorf("%d answers stand", length(closed["answers"]))
	}
}

// TestCloseAndHandInAtOnce: what is handed in while the session is closed either
// counts or is refused, and closing leaves nobody out who was taken.
func TestCloseAndHandInAtOnce(t *testing.T) {
	r := newRecorder(t)
	trial := ladderTrial(r)
	for range 8 {
		s := sit(r, trial, examplePanel)
		for i := range 3 {
			r.ask(201, asJudge(s.keys[i], "POST", ranked(s.codes(i))))
		}
		var all sync.WaitGroup
		var handed, closed *httptest.ResponseRecorder
		all.Go(func() { handed = do(r.service, asJudge(s.keys[3], "POST", ranked(s.codes(3)))) })
		all.Go(func() {
			closed = do(r.service, call{path: s.path + "/close", body: fmt.Sprintf(`{"without": [%q]}`, s.judge(3))})
		})
		all.Wait()
		if got := [2]int{handed.Code, closed.Code}; got != [2]int{201, 422} && got != [2]int{409, 200} {
			t.Errorf("handing in %d, closing %d: %s %s", handed.Code, closed.Code, handed.Body, closed.Body)
		}
	}
}

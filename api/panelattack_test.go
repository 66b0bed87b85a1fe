package api

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/gin-gonic/gin"

	"pourpath/api/access"
)

// TestJudgeFromElsewhere walks over every route of the service as a judge on a phone
// that was never paired, before and after handing in and after closing: nothing but
// the judge's own session answers, and that tells nothing of the glasses.
func TestJudgeFromElsewhere(t *testing.T) {
	records := newTestStore(t)
	machine := newTestService(t, func(c *Config) { c.Records = records })
	cellar := newTestService(t, func(c *Config) { c.Records, c.Access = records, access.Config{} })
	r := recorder{t: t, service: machine, document: served(t, machine)}
	trial := ladderTrial(r)
	s := sit(r, trial, examplePanel)
	engine, ok := cellar.(*gin.Engine)
	if !ok {
		t.Fatalf("the service is a %T: its routes cannot be walked over", cellar)
	}
	routes := engine.Routes()
	if len(routes) < 60 {
		t.Fatalf("only %d routes: the walk would prove nothing", len(routes))
	}
	open := map[string]bool{"/healthz": true, judgingPath: true}
	places := strings.NewReplacer(":id", text(s.made["id"]), ":judge", s.judge(1), "*path", "x", ":key", s.keys[1], ":no", "1", ":what", "trials")
	from := 0
	ask := func(method, path, body string, key string) *httptest.ResponseRecorder {
		c := asJudge(key, method, body)
		c.path = path
		request := c.request()
		request.AddCookie(&http.Cookie{Name: "pourpath_judge", Value: key})
		from++ // each from an address of its own, so that refusals are not of too many
		request.RemoteAddr = fmt.Sprintf("192.0.2.%d:%d", 1+from%250, 1024+from)
		w := httptest.NewRecorder()
		cellar.ServeHTTP(w, request)
		return w
	}
	walk := func(when string) {
		t.Helper()
		for _, route := range routes {
			path := places.Replace(route.Path)
			if strings.Contains(route.Path, "/trials/") {
				path = strings.NewReplacer(":id", strings.TrimPrefix(trial, "/v1/trials/"), "*path", "x").Replace(route.Path)
			}
			w := ask(route.Method, path, "{}", s.keys[0])
			if open[route.Path] || strings.HasPrefix(route.Path, "/judge") || strings.HasPrefix(route.Path, "/assets/") || route.Path == "/favicon.ico" {
				continue
			}
			if w.Code != http.StatusUnauthorized && w.Code != http.StatusTooManyRequests {
				t.Errorf("%s: %s %s answers a judge with %d: %.300s", when, route.Method, path, w.Code, w.Body)
			}
			if body := w.Body.String(); strings.Contains(body, "dose") || strings.Contains(body, "Young red") {
				t.Errorf("%s: %s %s tells a judge %.300s", when, route.Method, path, body)
			}
		}
	}
	walk("before")
	if w := ask("GET", judgingPath, "", s.keys[0]); w.Code != 200 || !strings.Contains(w.Body.String(), s.codes(0)[0]) || strings.Contains(w.Body.String(), "dose") {
		t.Fatalf("the judge's own session: %d %s", w.Code, w.Body)
	}
	for name, key := range map[string]string{"none": "", "guessed": strings.Repeat("A", 27), "a judge's identifier": s.judge(0), "cut": s.keys[0][:26]} {
		for _, method := range []string{"GET", "POST"} {
			if w := ask(method, judgingPath, ranked(s.codes(0)), key); w.Code != http.StatusUnauthorized {
				t.Errorf("%s with a key that is %s: %d %s", method, name, w.Code, w.Body)
			}
		}
	}
	if w := ask("POST", judgingPath, ranked(s.codes(0)), s.keys[0]); w.Code != http.StatusCreated {
		t.Fatalf("handing in: %d %s", w.Code, w.Body)
	}
	walk("after handing in")
	link := r.add(s.path+"/judges/"+s.judge(1)+"/link", "")
	if w := ask("GET", judgingPath, "", s.keys[1]); w.Code != http.StatusUnauthorized {
		t.Errorf("a link that another took the place of: %d", w.Code)
	}
	s.keys[1] = text(link["key"])
	r.ask(200, call{path: s.path + "/close", body: fmt.Sprintf(`{"without": [%q, %q, %q]}`, s.judge(1), s.judge(2), s.judge(3))})
	walk("after closing")
	if w := ask("GET", judgingPath, "", s.keys[0]); w.Code != 200 || strings.TrimSpace(w.Body.String()) != `{"state":"ended"}` {
		t.Errorf("after closing the judge sees %d %s", w.Code, w.Body)
	}
	if w := ask("POST", judgingPath, ranked(s.codes(1)), s.keys[1]); w.Code != http.StatusConflict {
		t.Errorf("late: %d %s", w.Code, w.Body)
	}
}

// TestLeaderSeesNoAnswers: while the session is open nothing that a leader can ask tells
// what a judge handed in, or whether a guess at it is right.
func TestLeaderSeesNoAnswers(t *testing.T) {
	s := sit(recorderWithTrial(t))
	mine := s.codes(0)
	turned := []string{mine[2], mine[1], mine[0]}
	s.ask(201, asJudge(s.keys[0], "POST", strings.Replace(ranked(mine), `"rank": 1`, `"rank": 1, "note": "dull"`, 1)))
	sheet := func(codes []string, more string) call {
		body := strings.Replace(ranked(codes), `"rank": 1`, `"rank": 1, "note": "dull"`, 1)
		return call{path: s.path + "/answers", body: strings.TrimSuffix(body, "}") + fmt.Sprintf(`, "judge": %q%s}`, s.judge(0), more)}
	}
	blind := func(name string, c call) {
		t.Helper()
		if refused, w := s.ask(409, c); refused["type"] != "/problems/handed-in" || refused["errors"] != nil || strings.Contains(w.Body.String(), "rank") {
			t.Errorf("%s: %s", name, w.Body)
		}
	}
	blind("a wrong guess", sheet(turned, ""))
	blind("a right guess", sheet(mine, ""))
	blind("a wrong correction", sheet(turned, `, "corrects": "x", "reason": "y"`))
	link := s.add(s.path+"/judges/"+s.judge(0)+"/link", "")
	key := text(link["key"])
	if got, w := s.ask(200, asJudge(key, "GET", "")); got["state"] != "handed_in" || got["handed_in_at"] == nil || got["answers"] != nil {
		t.Errorf("by a new link: %s", w.Body)
	}
	blind("a wrong guess by a new link", asJudge(key, "POST", ranked(turned)))
	blind("a right guess by a new link", asJudge(key, "POST", ranked(mine)))
	// A correction is a record that says that there was one, so it is no guess.
	stands := text(object(items(s.get(s.path)["judges"])[0])["answer_id"])
	corrects := fmt.Sprintf(`, "corrects": %q, "reason": "told at the table"`, stands)
	made := s.add(s.path+"/answers", sheet(mine, corrects).body)
	if again, _ := s.ask(200, sheet(mine, corrects)); again["id"] != made["id"] || made["no"] != 2.0 {
		t.Errorf("corrected: %v, then %v", made, again)
	}
	s.ask(200, call{path: s.path + "/close", body: fmt.Sprintf(`{"without": [%q, %q, %q]}`, s.judge(1), s.judge(2), s.judge(3))})
	if got := s.get(s.path); length(got["answers"]) != 2 {
		t.Errorf("after closing: %v", got)
	}
}

package api

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// TestPanelOfTen runs a panel from the trial to the result over the interface: ten
// judges who like more of the addition better, two of whom disagree.
func TestPanelOfTen(t *testing.T) {
	r := newRecorder(t)
	trial := ladderTrial(r)
	names := make([]string, 11)
	for i := range names {
		names[i] = fmt.Sprintf(`{"name": "Judge %d"}`, i+1)
	}
	body := strings.Replace(examplePanel, `{"name": "Ada"}, {"name": "Ben"}, {"name": "Cleo"}, {"name": "Dan"}`, strings.Join(names, ","), 1)
	s := sit(r, trial, body)
	// What each judge thinks of A, B, C; rank 1 is liked best.
	thinks := [][]int{{3, 2, 1}, {3, 2, 1}, {3, 2, 1}, {3, 1, 2}, {3, 2, 1}, {2, 3, 1}, {3, 2, 1}, {3, 2, 1}, {1, 2, 3}, {2, 1, 3}}
	sums := [3]float64{}
	for i, ranks := range thinks {
		list := make([]string, 3)
		for k, code := range s.codes(i) {
			glass := strings.Index("ABC", s.glassOf(code))
			list[k] = fmt.Sprintf(`{"code": %q, "rank": %d}`, code, ranks[glass])
			sums[glass] += float64(ranks[glass])
		}
		if i == 4 { // on paper
			r.add(s.path+"/answers", fmt.Sprintf(`{"judge": %q, "answers": [%s]}`, s.judge(i), strings.Join(list, ",")))
			continue
		}
		r.ask(201, asJudge(s.keys[i], "POST", `{"answers": [`+strings.Join(list, ",")+`]}`))
	}
	r.add(trial+"/pours", `{"glass": "A", "volume_ml": 1}`)
	if p, _ := r.ask(409, call{method: "GET", path: s.path + "/result"}); !strings.Contains(text(p["detail"]), "still open") {
		t.Errorf("before closing: %v", p)
	}
	r.ask(200, call{path: s.path + "/close", body: fmt.Sprintf(`{"without": [%q]}`, s.judge(10))})
	got := r.get(s.path + "/result")

	// Friedman's statistic by its definition for no ties: 12/(J p (p+1)) ΣR² - 3 J (p+1).
	chi := -3 * 10 * 4.
	for i, sum := range sums {
		chi += 12 / (10 * 3 * 4.) * sum * sum
		g := object(items(got["glasses"])[i])
		if !near(g["rank_sum"], sum) || g["answers"] != 10.0 || !near(g["dose_ml_per_100ml"], []float64{2, 6, 10}[i]) || g["glass"] != []string{"A", "B", "C"}[i] {
			t.Errorf("glass %d: %v, rank sum %g", i, g, sum)
		}
	}
	if !near(at(t, got, "difference/statistic"), chi) || at(t, got, "difference/test") != "friedman" || at(t, got, "difference/degrees_of_freedom") != 2.0 {
		t.Errorf("difference %v, want %g", got["difference"], chi)
	}
	if !near(got["agreement"], chi/(10*2)) {
		t.Errorf("W is %v, want %g", got["agreement"], chi/20)
	}
	// Page's L, the ranks turned around so that they grow with preference.
	l := 0.0
	for i, sum := range sums {
		l += float64(i+1) * (40 - sum)
	}
	if !near(at(t, got, "trend/l"), l) || !near(at(t, got, "trend/expected_l"), 10*3*16/4.) || number(at(t, got, "trend/z")) <= 0 {
		t.Errorf("trend %v, want L = %g", got["trend"], l)
	}
	if got["judges"] != 10.0 || at(t, got, "without/0") != "Judge 11" || length(got["answers"]) != 10 || length(got["pairs"]) != 3 {
		t.Errorf("%v judges, without %v", got["judges"], got["without"])
	}
	var codes []string
	for _, w := range items(got["warnings"]) {
		codes = append(codes, text(object(w)["code"]))
	}
	for _, want := range []string{"judges_without", "poured_while_open"} {
		if !slices.Contains(codes, want) {
			t.Errorf("warnings %v, without %s", codes, want)
		}
	}
	if again := r.get(s.path + "/result"); fmt.Sprint(again) != fmt.Sprint(got) {
		t.Error("the same answers have another result")
	}
	if best := object(at(t, got, "preference/best")); best != nil {
		dose := number(at(t, best, "dose_ml_per_100ml/value"))
		if !near(best["addition_fraction"], dose/(100+dose)) {
			t.Errorf("the dose put first: %v", best)
		}
	}
	for media, begins := range map[string]string{"image/svg+xml": "<", "image/png": "\x89PNG", "application/pdf": "%PDF"} {
		w := do(r.service, call{method: "GET", path: s.path + "/result", header: map[string]string{"Accept": media}})
		if w.Code != 200 || !strings.HasPrefix(w.Body.String(), begins) || w.Header().Get("Content-Type") != media {
			t.Errorf("%s: %d, %v, %.40q", media, w.Code, w.Header(), w.Body)
		}
	}
	r.ask(406, call{method: "GET", path: s.path + "/result", header: map[string]string{"Accept": "text/csv"}})
	if p := number(at(t, got, "difference/p")); !(p > 0 && p < 0.05) || math.IsNaN(p) {
		t.Errorf("p is %g", p)
	}
}

// TestPanelOfFew: a panel that one judge handed in for has no result, and says why.
func TestPanelOfFew(t *testing.T) {
	s := sit(recorderWithTrial(t))
	s.ask(201, asJudge(s.keys[0], "POST", ranked(s.codes(0))))
	s.ask(200, call{path: s.path + "/close", body: fmt.Sprintf(`{"without": [%q, %q, %q]}`, s.judge(1), s.judge(2), s.judge(3))})
	p, _ := s.ask(409, call{method: "GET", path: s.path + "/result"})
	if p["type"] != "/problems/too-few-data" || !strings.Contains(text(p["detail"]), "1 of 4 judges handed in") {
		t.Errorf("of one judge: %v", p)
	}
}

// TestPanelOfScoresInBlocks: scores of some of the glasses each: who met whom is
// allowed for, and means are told.
func TestPanelOfScoresInBlocks(t *testing.T) {
	r := newRecorder(t)
	trial := ladderTrial(r)
	body := strings.Replace(examplePanel, `"answer": "ranks", "ties": false`, `"answer": "scores", "per_judge": 2`, 1)
	s := sit(r, trial, strings.Replace(body, `, {"name": "Dan"}`, ``, 1))
	if s.made["serving"] != "balanced_incomplete" || at(t, s.made, "scale/to") != 10.0 {
		t.Errorf("opened: %v", s.made)
	}
	for i := range s.keys {
		var list []string
		for _, code := range s.codes(i) {
			list = append(list, fmt.Sprintf(`{"code": %q, "score": %d}`, code, 2+2*strings.Index("ABC", s.glassOf(code))))
		}
		r.ask(201, asJudge(s.keys[i], "POST", `{"answers": [`+strings.Join(list, ",")+`]}`))
	}
	r.ask(200, call{path: s.path + "/close", body: `{}`})
	got := r.get(s.path + "/result")
	for i, want := range []float64{2, 4, 6} {
		if !near(at(t, got, fmt.Sprintf("glasses/%d/score/value", i)), want) || at(t, got, fmt.Sprintf("glasses/%d/answers", i)) != 2.0 {
			t.Errorf("glass %d: %v", i, items(got["glasses"])[i])
		}
	}
	if at(t, got, "difference/test") != "durbin" {
		t.Errorf("difference %v", got["difference"])
	}
}

// TestPanelPapers: each document comes in both forms and three languages; the sheet
// of a judge has no dose, and the report of the trial has the result once the session
// is closed.
func TestPanelPapers(t *testing.T) {
	s := sit(recorderWithTrial(t))
	page := func(path, query string) string {
		t.Helper()
		w := do(s.service, call{method: "GET", path: path + "?format=html" + query})
		if w.Code != 200 {
			t.Fatalf("%s: %d %s", path, w.Code, w.Body)
		}
		return w.Body.String()
	}
	for paper, want := range map[string]string{"labels": "Code labels", "sheets": "Judge sheet", "pouring-list": "NOT FOR JUDGES"} {
		if got := page(s.path+"/"+paper, ""); !strings.Contains(got, want) || !strings.Contains(got, s.codes(0)[0]) {
			t.Errorf("%s: %.2000s", paper, got)
		}
		if w := do(s.service, call{method: "GET", path: s.path + "/" + paper}); w.Code != 200 || !strings.HasPrefix(w.Body.String(), "%PDF") || !strings.Contains(w.Header().Get("Content-Disposition"), strings.TrimSuffix(paper, "s")) {
			t.Errorf("%s as PDF: %d, %v", paper, w.Code, w.Header())
		}
		s.ask(404, call{method: "GET", path: "/v1/panels/none/" + paper})
		s.ask(406, call{method: "GET", path: s.path + "/" + paper, header: map[string]string{"Accept": "image/png"}})
	}
	for _, paper := range []string{"labels", "sheets"} {
		for _, secret := range []string{"mL per 100", "Thursday", "First ladder", "Young red"} {
			if got := page(s.path+"/"+paper, ""); strings.Contains(got, secret) {
				t.Errorf("%s tells %q", paper, secret)
			}
		}
	}
	if got := page(s.path+"/sheets", "&language=fr&judge="+s.judge(1)); !strings.Contains(got, "Feuille de juge") || !strings.Contains(got, "Ben") || strings.Contains(got, "Ada") {
		t.Errorf("one sheet in French: %s", got)
	}
	s.ask(422, call{method: "GET", path: s.path + "/sheets?judge=none"})
	report := func() string { return page(s.trial+"/report", "") }
	if strings.Contains(report(), "Panel: ") {
		t.Error("the report has a panel that is open")
	}
	for i := range s.keys {
		s.ask(201, asJudge(s.keys[i], "POST", ranked(s.byGlass(s.codes(i)))))
	}
	s.ask(200, call{path: s.path + "/close", body: `{}`})
	// Four judges of one mind on three glasses: of 6^3 ways to follow the first judge,
	// one does, so p = 1/216 = 0.005.
	for _, want := range []string{"Panel: Which colour do you like most?", "The glasses differ (p = 0.005", "Less of the addition is put first", "W = 1.00"} {
		if got := report(); !strings.Contains(got, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
}

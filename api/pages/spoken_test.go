package pages_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"pourpath/api/tongue"
)

// TestNothingInEnglish walks pages with warnings, faults and refusals in French and
// Spanish: nothing that the interface says is left in English.
func TestNothingInEnglish(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	post := poster(t, h)
	issuedStatements(t, h, 2)
	aged := agedLots(t, post)
	lot := releasedLot(t, h)
	panels := walkedPanels(t, h)
	judge := begun(t, h, judgeLinks(t, h, panels.open)[9])
	codes := codesOf(asJudge(t, h, http.MethodGet, "/judging", judge, nil).Body.String())
	drifting := "/drift?product=House+ros%C3%A9"
	trial := demoTrial(t, h)
	pages := []string{
		"/?third=white-9&third_dose=4", "/?base=readings&base_a420=1.085,2&base_a520=9&base_path_mm=0", "/?target=lab&target_L=120&target_a=3&target_b=8",
		"/?doses=0+500+-2", "/wines", "/import", trial, trial + "?plan=even&to_ml=6&step_ml=1.5", trial + "?plan=closing", trial + "?plan=even&to_ml=-6",
		"/lots", lot.lot, lot.unjudged, lot.spec, lot.tight, "/charts?quantity=L&of=" + url.QueryEscape("product:House rosé"), "/charts?quantity=x&of=product:none", "/instruments",
		"/statements", "/statements/1", drifting, drifting + "&storage=12+%C2%B0C&release_days=90&spec=" + aged, drifting + "&release_days=x", "/drift/lots?product=House+ros%C3%A9", "/drift?product=none",
		panels.form, panels.open, panels.open + "/links", panels.sheet, panels.correct, panels.closed, panels.scored, panels.few, panels.trial, panels.trial + "?plan=even&to_ml=6&step_ml=1.5",
	}
	for _, content := range []string{
		"name,kind,a420,a520,a620,path (cm),diluted,date\nA,blue,0.1,0.2,x,1,1:10,31.31.2026\n,white,9,0.2,0.01,1,z,2026-01-02\nB,red,\"1,234.5\",0.1,0.1,100,1,2026-01-02 99:99\n",
		"nm;A;B\n380;0,1;0,2\n390;x;0,2\n400;0,1;\n",
		"name,L,a,b\nA,120,1,2\nB,80,,2\n",
		"A,0.1,0.2,0.3\nB,0.1,0.2,0.3\n",
		"##TITLE= A\n##JCAMP-DX= 3\n##DATA TYPE= INFRARED SPECTRUM\n##XUNITS= 1/CM\n##YUNITS= REFLECTANCE\n##XYDATA= (X++(Y..Y))\n380 1,2\n##END=\n",
		"%PDF-1.4", "hello\n",
	} {
		tree, _ := lookedAt(t, h, "log.csv", content)
		if action, _ := fieldsOfForm(tree, "draft"); action != "" {
			pages = append(pages, action)
		}
	}
	for _, language := range []string{"fr", "es"} {
		for _, address := range pages {
			wellSpoken(t, language, address, parse(t, in(t, h, language, address).Body.String()))
		}
		for _, form := range []struct {
			to     string
			values url.Values
		}{
			{trial + "/pours", url.Values{"glass": {"B"}, "volume_ml": {"x"}, "tool": {"none"}, "key": {"a"}}},
			{trial + "/pours", url.Values{"glass": {"Z"}, "volume_ml": {"5000"}, "tool": {"0.03"}, "key": {"b"}}},
			{trial + "/measurements", url.Values{"glass": {"B"}, "a420": {"99"}, "a520": {"-3"}, "path_mm": {"0"}, "key": {"c"}}},
			{trial + "/undo", url.Values{"entry": {"99"}, "key": {"d"}}},
			{trial + "/notes", url.Values{"glass": {"B"}, "score": {"x"}, "key": {"e"}}},
			{trial + "/choice", url.Values{"glass": {"Z"}, "key": {"f"}}},
			{trial + "/final-check", url.Values{"key": {"g"}}},
			{lot.lot + "/decisions", url.Values{"decision": {"held"}}},
			{lot.lot + "/samples", url.Values{"a420": {"x"}, "taken_at": {"31/31/2026"}, "free_so2": {"50"}, "total_so2": {"20"}}},
			{lot.lot + "/statements", url.Values{}},
			{lot.lot + "/verdicts", url.Values{"spec": {"x"}}},
			{"/lots", url.Values{"name": {""}, "spec": {""}}},
			{"/specs", url.Values{"name": {""}, "delta_e_00": {"-2"}, "limits_L_from": {"90"}, "limits_L_to": {"10"}}},
			{"/instruments", url.Values{"kind": {"filter"}, "instrument": {""}}},
			{"/trials", url.Values{"name": {"a"}, "base_ml": {"-3"}}},
			{panels.trial + "/panels", url.Values{"judges": {"Ada"}, "panel_glasses": {"A"}, "answer": {"scores"}, "scale_from": {"9"}, "scale_to": {"x"}}},
			{panels.trial + "/panels", panelFields([]string{"Ada"})},
			{panels.trial + "/panels", panelFields([]string{"Ada", "Ben", "Ada"}, "per_judge", "9")},
			{panels.trial + "/panels", panelFields(nil, "answer", "scores", "scale_from", "9", "scale_to", "1")},
			{panels.open + "/judges", url.Values{"judges": {"Ada\nZoe\nZoe"}}},
			{panels.open + "/close", url.Values{}},
			{panels.sheet, url.Values{"typed_by": {"Kim"}}},
			{panels.correct, url.Values{"rank-" + codes[0]: {"x"}}},
			{panels.closed + "/judges", url.Values{"judges": {"Zoe"}}},
		} {
			wellSpoken(t, language, form.to, parse(t, answeredForm(t, h, language, form.to, form.values)))
		}
		for _, answer := range []url.Values{
			{}, {"rank-" + codes[0]: {"1"}}, {"rank-" + codes[0]: {"1"}, "rank-" + codes[1]: {"1"}},
			ranked(append([]string{codes[0]}, codes[:4]...)), {"rank-" + codes[0]: {"x"}, "rank-" + codes[1]: {"17"}, "rank-" + codes[2]: {"1.5"}, "note-" + codes[3]: {strings.Repeat("a", 1001)}},
		} {
			r := handedIn(t, answer)
			r.Header.Set("Cookie", judge)
			r.Header.Set("Accept-Language", language)
			w := httptest.NewRecorder()
			if h.ServeHTTP(w, r); w.Code != http.StatusUnprocessableEntity {
				t.Errorf("%v: status %d", answer, w.Code)
			}
			wellSpoken(t, language, "/judging", parse(t, w.Body.String()))
		}
	}
}

// handedIn is a judge's answer by the form, without the judge's key.
func handedIn(t *testing.T, answer url.Values) *http.Request {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420/judging", strings.NewReader(answer.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return r
}

// answeredForm is the page that answers a form in a language.
func answeredForm(t *testing.T, h http.Handler, language, to string, values url.Values) string {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1"+to, strings.NewReader(values.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Accept-Language", language)
	w := httptest.NewRecorder()
	if h.ServeHTTP(w, r); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("%s: status %d", to, w.Code)
	}
	return w.Body.String()
}

// wellSpoken finds what is marked as English on a page, and what is English but not marked.
func wellSpoken(t *testing.T, language, address string, tree *html.Node) {
	t.Helper()
	own, ok := tongue.In(language)
	if !ok {
		t.Fatal(language)
	}
	for n := range tree.Descendants() {
		if n.Type == html.ElementNode && attribute(n, "lang") == "en" && n.Data != "svg" && n.Data != "button" {
			t.Errorf("%s %s says in English: %s", language, address, text(n))
		}
		if n.Type != html.TextNode || slices.Contains([]string{"script", "style", "code", "pre", "option", "text", "title"}, n.Parent.Data) {
			continue
		}
		said := strings.TrimSpace(n.Data)
		if len(strings.Fields(said)) < 3 {
			continue
		}
		if better, ok := own.Say(said); ok && better != said && strings.ContainsAny(said, "abcdefghijklmnopqrstuvwxyz") {
			t.Errorf("%s %s has in English, not marked: %s", language, address, said)
		}
	}
}

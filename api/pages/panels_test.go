package pages_test

import (
	"cmp"
	"encoding/json"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"
	"unicode"

	"golang.org/x/net/html"

	"pourpath/api/access"
)

// pouredTrial is a trial with a dose in each of five glasses.
func pouredTrial(t *testing.T, h http.Handler) string {
	t.Helper()
	at := demoTrial(t, h, "glasses", "A B C D E")
	for glass, ml := range map[string]string{"B": "2", "C": "4", "D": "6", "E": "9"} {
		press(t, h, at, "pours", "glass", glass, "volume_ml", ml, "tool", "10 mL syringe")
	}
	return at
}

// panelFields is the form of a panel that is without fault.
func panelFields(judges []string, change ...string) url.Values {
	f := changed(fields("question", "Which do you like most?", "panel_most", "preferred", "answer", "ranks", "scale_from", "0", "scale_to", "10", "panel_name", "Thursday <1>", "leader", "Kim"), change...)
	f.Set("judges", strings.Join(judges, "\n"))
	if f["panel_glasses"] == nil {
		f["panel_glasses"] = []string{"A", "B", "C", "D", "E"}
	}
	return f
}

var tenJudges = []string{"Ada", "Ben", "Cleo", "Dan", "Eve", "Fay", "Gus", "Hal", "Ida", "Jon"}

// openedPanel looks at a panel and opens it; it returns the panel's address.
func openedPanel(t *testing.T, h http.Handler, trial string, f url.Values) string {
	t.Helper()
	look := sendForm(t, h, trial+"/panels", f)
	if look.Code != http.StatusOK {
		t.Fatalf("looking at it: status %d:\n%s", look.Code, text(parse(t, look.Body.String())))
	}
	says(t, text(parse(t, look.Body.String())), "Nothing was poured into glass A", "judges at 30 mL each")
	tree := parse(t, look.Body.String())
	to := sendWell(t, h, trial+"/panels", changed(f, "seen", valueOf(tree, "seen"), "key", valueOf(tree, "key")))
	return strings.TrimSuffix(to, "/links")
}

// judgeLinks are the addresses of the judges' links, in the order of the judges.
func judgeLinks(t *testing.T, h http.Handler, panel string) (links []string) {
	t.Helper()
	for n := range parse(t, get(t, h, panel+"/links").Body.String()).Descendants() {
		if to := attribute(n, "href"); strings.HasPrefix(to, "/judge/") {
			links = append(links, to)
		}
	}
	return links
}

// asJudge asks for something with a judge's cookie.
func asJudge(t *testing.T, h http.Handler, method, address, cookie string, form url.Values) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), method, "http://127.0.0.1:8420"+address, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if cookie != "" {
		r.Header.Set("Cookie", cookie)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// begun presses Begin behind a judge's link and returns the cookie that is given.
func begun(t *testing.T, h http.Handler, link string) string {
	t.Helper()
	w := asJudge(t, h, http.MethodPost, link, "", nil)
	cookies := w.Result().Cookies()
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/judging" || len(cookies) != 1 {
		t.Fatalf("%s: status %d to %q, %d cookies", link, w.Code, w.Header().Get("Location"), len(cookies))
	}
	if c := cookies[0]; !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.MaxAge != 0 {
		t.Errorf("cookie %+v", c)
	}
	return cookies[0].Name + "=" + cookies[0].Value
}

var glassShown = regexp.MustCompile(`id="glass-(\d{3})"`)

// addressed is an address of a panel or a judge, or of a machine.
var addressed = regexp.MustCompile(`\S*/(judge|panels)/\S+|\d+(\.\d+){3}`)

// codesOf are the codes on a judge's page, in their order.
func codesOf(page string) (codes []string) {
	for _, m := range glassShown.FindAllStringSubmatch(page, -1) {
		codes = append(codes, m[1])
	}
	return codes
}

// shownPanel is a panel as the interface tells its leader.
type shownPanel struct {
	ID      string
	TrialID string `json:"trial_id"`
	Glasses []struct {
		Glass, Code string
		Dose        float64 `json:"dose_ml_per_100ml"`
		Fraction    float64 `json:"addition_fraction"`
	}
	Judges []struct {
		ID, Name string
		Codes    []string
	}
}

func panelShown(t *testing.T, h http.Handler, at string) (p shownPanel) {
	t.Helper()
	body := get(t, h, "/v1"+at).Body.Bytes()
	if err := json.Unmarshal(body, &p); err != nil || len(p.Glasses) == 0 {
		t.Fatalf("%v: %.300s", err, body)
	}
	return p
}

// likedFirst are codes by how near their dose is to 4 mL.
func likedFirst(p shownPanel, codes []string) []string { return nearest(p, codes, 4) }

// nearest are codes by how near their dose is to a judge's own.
func nearest(p shownPanel, codes []string, own float64) []string {
	off := map[string]float64{}
	for _, g := range p.Glasses {
		off[g.Code] = max(g.Dose-own, own+0.1-g.Dose)
	}
	order := slices.Clone(codes)
	slices.SortFunc(order, func(a, b string) int {
		if off[a] < off[b] {
			return -1
		}
		return 1
	})
	return order
}

// likingOf ranks codes so, as a form.
func likingOf(p shownPanel, codes []string) url.Values { return ranked(likedFirst(p, codes)) }

// ranked is an order as a form.
func ranked(order []string) url.Values {
	f := url.Values{}
	for i, code := range order {
		f.Set("rank-"+code, strconv.Itoa(i+1))
	}
	return f
}

// blind wants nothing on a judge's page, in its markup or around it, that tells more
// than codes: no dose, no glass, no identifier, no name of the trial, no colour, no
// way to any other page.
func blind(t *testing.T, w *httptest.ResponseRecorder, p shownPanel) {
	t.Helper()
	page := w.Body.String()
	wellFormed(t, page)
	tree := parse(t, page)
	if !strings.Contains(page, "<style>") { // before a judge has begun there is no style sheet to be had
		safe(t, tree)
	}
	secrets := []string{p.ID, p.TrialID, "Spring", "Thursday", "Kim", "White, tank", "Red, barrel", "mL", "dose", "<svg", "fill="}
	for _, j := range p.Judges {
		secrets = append(secrets, j.ID)
	}
	for _, s := range secrets {
		if strings.Contains(page, s) {
			t.Errorf("a judge's page has %q", s)
		}
	}
	for n := range tree.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		for _, a := range n.Attr {
			if (a.Key == "href" || a.Key == "action" || a.Key == "src") && !strings.HasPrefix(a.Val, "#") && !strings.HasPrefix(a.Val, "/assets/") && a.Val != "/judging" {
				t.Errorf("a judge's page leads to %q", a.Val)
			}
			for _, g := range p.Glasses {
				if slices.Contains(strings.FieldsFunc(a.Val, func(r rune) bool { return r == '-' || r == ' ' || r == '_' }), g.Glass) {
					t.Errorf("<%s %s=%q> has the glass %s", n.Data, a.Key, a.Val, g.Glass)
				}
			}
		}
	}
	if w.Header().Get("Cache-Control") != "no-store" || w.Header().Get("ETag") != "" {
		t.Errorf("a judge's page may be kept: %v", w.Header())
	}
}

// TestNewPanel: each fault of the form stands at its field with what was typed kept,
// and what so many judges can find is told before anything is opened.
func TestNewPanel(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	trial := pouredTrial(t, h)
	answered := map[string]bool{}
	said := text(soundBeside(t, h, get(t, h, trial).Body.String(), answered))
	says(t, said, "Blind panel", "Judges rank or score these glasses by codes alone")
	form := soundBeside(t, h, get(t, h, trial+"/panels/new").Body.String(), answered)
	says(t, text(form), "Glass E: 9.00 mL per 100 mL of base · 8.26 % of the blend")
	if got := valueOf(form, "question"); got != "Which colour do you like most?" {
		t.Errorf("the usual question is %q", got)
	}
	ticked := 0
	for n := range form.Descendants() {
		if attribute(n, "name") == "panel_glasses" && has(n, "checked") {
			ticked++
		}
	}
	if ticked != 5 {
		t.Errorf("%d of 5 glasses are ticked", ticked)
	}
	for _, c := range []struct {
		change []string
		at     string
		says   string
	}{
		{[]string{"question", " "}, "question", ""},
		{[]string{"judges", ""}, "judges", ""},
		{[]string{"judges", "Ada\nada\nBen"}, "judges", "\"ada\": another judge has this name"},
		{[]string{"panel_glasses", "A"}, "panel_glasses", "length >= 2"},
		{[]string{"per_judge", "9"}, "per_judge", "5 glasses"},
		{[]string{"per_judge", "two"}, "per_judge", ""},
		{[]string{"answer", "scores", "scale_to", "-1"}, "scale_to", ""},
		{[]string{"judges", "Ada"}, "judges", ""},
	} {
		f := panelFields(tenJudges, c.change...)
		for i := 0; i+1 < len(c.change); i += 2 {
			f.Set(c.change[i], c.change[i+1])
		}
		tree := refusedForm(t, h, trial+"/panels", f, answered)
		if marked := atFault(tree); !slices.Contains(marked, c.at) {
			t.Errorf("%v: at fault are %v, want %s:\n%.600s", c.change, marked, c.at, text(tree))
		}
		says(t, text(tree), "Nothing was saved", c.says)
		if valueOf(tree, "panel_name") != "Thursday <1>" {
			t.Errorf("%v: the form does not keep what was typed", c.change)
		}
	}
	none := panelFields(tenJudges)
	none.Del("panel_glasses")
	if marked := atFault(refusedForm(t, h, trial+"/panels", none, answered)); !slices.Contains(marked, "panel_glasses") {
		t.Errorf("no glass ticked: at fault are %v", marked)
	}

	for _, c := range []struct {
		judges int
		change []string
		says   []string
	}{
		{10, nil, []string{"Each of 10 judges gets all 5 glasses", "The orders are complete", "A glass that stands out is found in 8 of 10 such panels if", "Where preference changes evenly"}},
		{7, nil, []string{"Each of 7 judges", "it would be with 10"}},
		{2, nil, []string{"not even full agreement on one glass is likely to be found"}},
		{10, []string{"per_judge", "3"}, []string{"gets 3 of the 5 glasses", "The blocks are complete"}},
		{9, []string{"per_judge", "3"}, []string{"it would be with 10"}},
	} {
		w := sendForm(t, h, trial+"/panels", panelFields(tenJudges[:c.judges], c.change...))
		if w.Code != http.StatusOK {
			t.Fatalf("%d judges, %v: status %d:\n%s", c.judges, c.change, w.Code, text(parse(t, w.Body.String())))
		}
		says(t, text(soundBeside(t, h, w.Body.String(), answered)), append(c.says, "Before you open it", "Open the panel")...)
	}
	if n := len(ids(t, h, "/v1"+trial+"/panels")); n != 0 {
		t.Fatalf("looking opened %d panels", n)
	}

	// Another number of judges than was looked at is looked at first.
	f := panelFields(tenJudges)
	tree := parse(t, sendForm(t, h, trial+"/panels", f).Body.String())
	f.Set("seen", valueOf(tree, "seen"))
	f.Set("judges", "Ada\nBen\nCleo")
	if w := sendForm(t, h, trial+"/panels", f); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "Each of 3 judges") {
		t.Errorf("three judges where ten were seen: status %d", w.Code)
	}
	// Pressed twice it is opened once.
	f = panelFields(tenJudges, "seen", valueOf(tree, "seen"), "key", valueOf(tree, "key"))
	if a, b := sendWell(t, h, trial+"/panels", f), sendWell(t, h, trial+"/panels", f); a != b {
		t.Errorf("pressed twice: %s and %s", a, b)
	}
	says(t, text(soundBeside(t, h, get(t, h, trial).Body.String(), answered)), "Thursday <1>", "0 of 10 judges have handed in")
}

// TestPanelByForms runs a panel of ten judges by the pages alone, from opening to its
// result: by link, by paper sheet, and with a correction.
func TestPanelByForms(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	trial := pouredTrial(t, h)
	answered := map[string]bool{}
	at := openedPanel(t, h, trial, panelFields(tenJudges))
	p := panelShown(t, h, at)
	links := judgeLinks(t, h, at)
	if len(links) != 10 {
		t.Fatalf("%d links", len(links))
	}
	page := get(t, h, at+"/links").Body.String()
	soundBeside(t, h, page, answered)
	numbers := strings.FieldsFunc(addressed.ReplaceAllString(text(parse(t, page)), ""), func(r rune) bool { return !unicode.IsDigit(r) })
	for _, g := range p.Glasses { // addresses have digits of their own
		if slices.Contains(numbers, g.Code) {
			t.Errorf("the page of the links has the code %s", g.Code)
		}
	}
	says(t, text(soundBeside(t, h, get(t, h, at).Body.String(), answered)), "Thursday <1>", "0 of 10 judges have handed in.", "Refresh", "Not for judges’ eyes", "Led by Kim.", "10 judges have not handed in")

	var first string // the cookie of the first judge
	for i, link := range links[:8] {
		w := asJudge(t, h, http.MethodGet, link, "", nil)
		blind(t, w, p)
		if w.Code != http.StatusOK || len(w.Result().Cookies()) != 0 || len(codesOf(w.Body.String())) != 0 {
			t.Fatalf("the link: status %d, %d cookies", w.Code, len(w.Result().Cookies()))
		}
		cookie := begun(t, h, link)
		first = cmp.Or(first, cookie)
		w = asJudge(t, h, http.MethodGet, "/judging", cookie, nil)
		blind(t, w, p)
		codes := codesOf(w.Body.String())
		if !slices.Equal(codes, p.Judges[i].Codes) {
			t.Fatalf("judge %d sees %v, is served %v", i, codes, p.Judges[i].Codes)
		}
		f := likingOf(p, codes)
		if i == 0 {
			f.Set("note-"+codes[2], "dull <b>")
			before := text(parse(t, asJudge(t, h, http.MethodGet, links[i], "", nil).Body.String()))
			says(t, before, "reds and greens less well", "before you begin", "sulphites")
			partial := maps.Clone(f)
			partial.Del("rank-" + codes[1])
			w := asJudge(t, h, http.MethodPost, "/judging", cookie, partial)
			blind(t, w, p)
			says(t, text(parse(t, w.Body.String())), "Glass "+codes[1]+": no rank yet: tap one, from 1 to 5")
		}
		if w := asJudge(t, h, http.MethodPost, "/judging", cookie, f); w.Code != http.StatusSeeOther {
			t.Fatalf("handing in: status %d:\n%s", w.Code, text(parse(t, w.Body.String())))
		}
		w = asJudge(t, h, http.MethodGet, "/judging", cookie, nil)
		blind(t, w, p)
		says(t, text(parse(t, w.Body.String())), "Handed in. Thank you.")
		if again := asJudge(t, h, http.MethodPost, "/judging", cookie, f); again.Code != http.StatusSeeOther {
			t.Errorf("the same sent again: status %d", again.Code)
		}
	}
	said := text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "8 of 10 judges have handed in.", "2 judges have not handed in")

	// A paper sheet, with a fault first.
	sheet := at + "/judges/" + p.Judges[8].ID
	says(t, text(soundBeside(t, h, get(t, h, sheet).Body.String(), answered)), "Paper sheet of Ida", "Type what the judge wrote")
	f := likingOf(p, p.Judges[8].Codes)
	f.Del("rank-" + p.Judges[8].Codes[0])
	f.Set("note-"+p.Judges[8].Codes[1], "warm")
	tree := refusedForm(t, h, sheet, f, answered)
	if valueOf(tree, "note-"+p.Judges[8].Codes[1]) != "warm" || !slices.Contains(atFault(tree), "rank-"+p.Judges[8].Codes[0]) {
		t.Errorf("at fault are %v", atFault(tree))
	}
	says(t, text(tree), "no rank yet: type one from 1 to 5")
	says(t, text(refusedForm(t, h, sheet, changed(f, "rank-"+p.Judges[8].Codes[0], "first"), answered)), "a rank is a whole number from 1 to 5")
	if to := sendWell(t, h, sheet, changed(likingOf(p, p.Judges[8].Codes), "typed_by", "Kim")); to != at+"#judges" {
		t.Errorf("the sheet leads to %q", to)
	}
	// A correction: empty, as what stands is not told while the session is open.
	sheet = at + "/judges/" + p.Judges[0].ID
	tree = soundBeside(t, h, get(t, h, sheet).Body.String(), answered)
	says(t, text(tree), "Correct the answer of Ada", "Why it is corrected")
	for n := range tree.Descendants() {
		if has(n, "checked") {
			t.Error("the form of a correction tells what was answered")
		}
	}
	f = changed(likingOf(p, p.Judges[0].Codes), "corrects", valueOf(tree, "corrects"))
	if marked := atFault(refusedForm(t, h, sheet, f, answered)); !slices.Contains(marked, "panel_reason") {
		t.Errorf("without a reason at fault are %v", marked)
	}
	sendWell(t, h, sheet, changed(f, "panel_reason", "the remark was another glass's"))
	one, two := "rank-"+p.Judges[0].Codes[0], "rank-"+p.Judges[0].Codes[1]
	if late := refusedForm(t, h, sheet, changed(f, "panel_reason", "again", one, f.Get(two), two, f.Get(one)), answered); strings.Contains(text(late), "what stands of glass") {
		t.Error("what stands is told while the session is open")
	}

	// Closing asks about those who have not handed in.
	tree = refusedForm(t, h, at+"/close", fields("closed_by", "Kim", "closing_note", "north light"), answered)
	says(t, text(tree), "tick each who is to be left out")
	if !slices.Contains(atFault(tree), "panel_without") || valueOf(tree, "closed_by") != "Kim" {
		t.Errorf("at fault are %v", atFault(tree))
	}
	cookie := begun(t, h, links[9])
	codes := codesOf(asJudge(t, h, http.MethodGet, "/judging", cookie, nil).Body.String())
	if to := sendWell(t, h, at+"/close", fields("closed_by", "Kim", "closing_note", "north light", "panel_without", p.Judges[9].ID)); to != at+"#result" {
		t.Errorf("closing leads to %q", to)
	}
	// Late: nothing but that it has ended.
	for _, w := range []*httptest.ResponseRecorder{
		asJudge(t, h, http.MethodPost, "/judging", cookie, likingOf(p, codes)), asJudge(t, h, http.MethodGet, "/judging", cookie, nil), asJudge(t, h, http.MethodGet, links[0], "", nil),
	} {
		blind(t, w, p)
		says(t, text(parse(t, w.Body.String())), "This session has ended")
		if len(codesOf(w.Body.String())) != 0 {
			t.Error("codes are shown after the end")
		}
	}
	// Who handed in before, and presses again, is not told that nothing was taken.
	w := asJudge(t, h, http.MethodPost, "/judging", first, likingOf(p, p.Judges[0].Codes))
	says(t, text(parse(t, w.Body.String())), "If you had handed in before, that counts")
	said = text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "Liked most of the glasses judged: glass C", "The curve through the glasses has its top at 4.3 mL per 100 mL of base ·", "misses what was said of B, C", "95 % interval", "The glasses differ.", "Friedman’s test: χ² =", "Page’s test: L =", "The judges largely agree.", "Kendall’s W = 1.00", "9 of 10 judges have handed in.", "Closed by Kim.", "north light",
		"Jon", "left out", "corrected", "8.26")
	w = sendForm(t, h, at+"/close", fields("closed_by", "Kim"))
	says(t, text(parse(t, w.Body.String())), "The session has ended and takes nothing more")
	w = sendForm(t, h, at+"/judges", fields("judges", "Kit"))
	says(t, text(parse(t, w.Body.String())), "The session has ended and takes nothing more")
}

// TestJudgesShareABrowser: the page of one judge, sent after the next has opened a link in
// another tab, is not taken for the next's.
func TestJudgesShareABrowser(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	at := openedPanel(t, h, pouredTrial(t, h), panelFields(tenJudges))
	p := panelShown(t, h, at)
	links := judgeLinks(t, h, at)
	page := parse(t, asJudge(t, h, http.MethodGet, "/judging", begun(t, h, links[0]), nil).Body.String())
	next := begun(t, h, links[1])
	f := changed(likingOf(p, p.Judges[0].Codes), "judge", valueOf(page, "judge"))
	w := asJudge(t, h, http.MethodPost, "/judging", next, f)
	blind(t, w, p)
	if said := text(parse(t, w.Body.String())); w.Code != http.StatusConflict || !strings.Contains(said, "This page is of Ada, and the link of another judge") {
		t.Errorf("status %d: %s", w.Code, said)
	}
	says(t, text(parse(t, get(t, h, at).Body.String())), "0 of 10 judges have handed in.")
	if w := asJudge(t, h, http.MethodPost, "/judging", next, changed(f, "judge", p.Judges[1].Name)); w.Code != http.StatusSeeOther {
		t.Errorf("by the next judge's own page: status %d", w.Code)
	}
}

// TestLinksMadeElsewhere: links that the command or the interface made are not shown,
// which is said, and each judge can be given another.
func TestLinksMadeElsewhere(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	trial := pouredTrial(t, h)
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420/v1"+trial+"/panels", strings.NewReader(`{"question": "Which?", "answer": "ranks", "glasses": ["B", "C"], "judges": [{"name": "Ada"}, {"name": "Ben"}]}`))
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	at := strings.TrimPrefix(w.Header().Get("Location"), "/v1")
	if w.Code != http.StatusCreated {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	says(t, text(parse(t, get(t, h, at+"/links").Body.String())), "No link is here to show", "made by the command", "Another link for Ada", "Another link for Ben")
	p := panelShown(t, h, at)
	sendWell(t, h, at+"/judges/"+p.Judges[0].ID+"/link", nil)
	if said := text(parse(t, get(t, h, at+"/links").Body.String())); strings.Contains(said, "No link is here") || strings.Contains(said, "Another link for Ada") || !strings.Contains(said, "Another link for Ben") || len(judgeLinks(t, h, at)) != 1 {
		t.Errorf("after one was made: %s", said)
	}
}

// TestLinksRenewedElsewhere: a link that was shown here and that another took the place of is
// not shown any more, as it opens nothing.
func TestLinksRenewedElsewhere(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	at := openedPanel(t, h, pouredTrial(t, h), panelFields(tenJudges))
	ada := panelShown(t, h, at).Judges[0].ID
	dead := judgeLinks(t, h, at)[0]
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420/v1"+at+"/judges/"+ada+"/link", nil))
	if w.Code != http.StatusCreated {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if shown := judgeLinks(t, h, at); len(shown) != 9 || slices.Contains(shown, dead) {
		t.Errorf("shown are %v", shown)
	}
	says(t, text(parse(t, get(t, h, at+"/links").Body.String())), "Another link for Ada")
}

// panelPages are the addresses of panels in their states.
type panelPages struct{ trial, form, open, sheet, correct, closed, scored, few string }

// walkedPanels opens panels on a trial of its own: one that is open, with answers,
// and closed ones by ranks, by scores in incomplete blocks, and with one answer.
func walkedPanels(t *testing.T, h http.Handler) panelPages {
	t.Helper()
	trial := pouredTrial(t, h)
	answered := func(at string, n int, scores bool) shownPanel {
		p := panelShown(t, h, at)
		for i, link := range judgeLinks(t, h, at)[:n] {
			f := likingOf(p, p.Judges[i].Codes)
			if i == 0 {
				f.Set("note-"+p.Judges[i].Codes[0], "a little dull")
			}
			if scores {
				for _, code := range p.Judges[i].Codes {
					rank, err := strconv.ParseFloat(f.Get("rank-"+code), 64)
					if err != nil {
						t.Fatal(err)
					}
					f.Set("score-"+code, strconv.FormatFloat(9.5-2*rank, 'f', 1, 64))
				}
			}
			if w := asJudge(t, h, http.MethodPost, "/judging", begun(t, h, link), f); w.Code != http.StatusSeeOther {
				t.Fatalf("handing in: status %d:\n%s", w.Code, text(parse(t, w.Body.String())))
			}
		}
		return p
	}
	shut := func(at string, p shownPanel, n int) string {
		f := fields("closed_by", "Kim")
		for _, j := range p.Judges[n:] {
			f.Add("panel_without", j.ID)
		}
		sendWell(t, h, at+"/close", f)
		return at
	}
	out := panelPages{trial: trial, form: trial + "/panels/new", open: openedPanel(t, h, trial, panelFields(tenJudges))}
	p := answered(out.open, 6, false)
	out.correct, out.sheet = out.open+"/judges/"+p.Judges[0].ID, out.open+"/judges/"+p.Judges[9].ID
	out.closed = openedPanel(t, h, trial, panelFields(tenJudges, "ties", "true"))
	shut(out.closed, answered(out.closed, 9, false), 9)
	out.scored = openedPanel(t, h, trial, panelFields(tenJudges, "answer", "scores", "per_judge", "3", "panel_name", ""))
	shut(out.scored, answered(out.scored, 9, true), 9)
	out.few = openedPanel(t, h, trial, panelFields(tenJudges[:4], "panel_most", "closest"))
	shut(out.few, answered(out.few, 1, false), 1)
	return out
}

// TestJudgeFromOutside: whoever is not paired gets by a judge's link what the judge needs,
// and nothing else, before and after; guessed and renewed links open nothing.
func TestJudgeFromOutside(t *testing.T) {
	t.Parallel()
	var outside atomic.Bool
	h, records := admitting(t, true, access.Config{Local: func(netip.Addr) bool { return !outside.Load() }}, access.Listening{})
	fill(t, records)
	trial := pouredTrial(t, h)
	at := openedPanel(t, h, trial, panelFields(tenJudges))
	p, links := panelShown(t, h, at), judgeLinks(t, h, at)
	outside.Store(true)

	blind(t, asJudge(t, h, http.MethodGet, links[0], "", nil), p)
	cookie := begun(t, h, links[0])
	w := asJudge(t, h, http.MethodGet, "/judging", cookie, nil)
	blind(t, w, p)
	if !slices.Equal(codesOf(w.Body.String()), p.Judges[0].Codes) {
		t.Fatalf("status %d:\n%s", w.Code, w.Body)
	}
	for n := range parse(t, w.Body.String()).Descendants() {
		for _, name := range []string{"href", "src"} {
			if to := attribute(n, name); strings.HasPrefix(to, "/") {
				if got := asJudge(t, h, http.MethodGet, to, cookie, nil).Code; got != http.StatusOK {
					t.Errorf("%s, which the page needs: status %d", to, got)
				}
			}
		}
	}
	elsewhere := func(when string) {
		t.Helper()
		for _, to := range []string{"/", "/trials", trial, trial + "/panels/new", at, at + "/links", at + "/judges/" + p.Judges[1].ID, at + "/preference.svg", "/v1" + at, "/v1" + at + "/result", "/v1" + trial, "/wines", "/openapi.json", "/method"} {
			if got := asJudge(t, h, http.MethodGet, to, cookie, nil); got.Code != http.StatusUnauthorized {
				t.Errorf("%s %s: status %d", when, to, got.Code)
			}
		}
		if got := asJudge(t, h, http.MethodPost, at+"/close", cookie, fields("closed_by", "me")); got.Code != http.StatusUnauthorized {
			t.Errorf("%s closing: status %d", when, got.Code)
		}
	}
	elsewhere("before")
	if w := asJudge(t, h, http.MethodPost, "/judging", cookie, likingOf(p, p.Judges[0].Codes)); w.Code != http.StatusSeeOther {
		t.Fatalf("handing in: status %d:\n%s", w.Code, w.Body)
	}
	elsewhere("after")

	page := func(to, cookie string) *httptest.ResponseRecorder {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://127.0.0.1:8420"+to, nil)
		r.Header.Set("Accept", "text/html")
		r.Header.Set("Cookie", cookie)
		r.RemoteAddr = "198.51.100.7:1234" // an address for examples that was not refused yet
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	outside.Store(false)
	sendWell(t, h, at+"/judges/"+p.Judges[1].ID+"/link", nil)
	outside.Store(true)
	for _, w := range []*httptest.ResponseRecorder{page("/judge/AAAAAAAAAAAAAAAAAAAAAAAAAAA", ""), page("/judging", ""), page(links[1], ""), page("/judging", "pourpath_judge="+strings.TrimPrefix(links[1], "/judge/"))} {
		blind(t, w, p)
		if w.Code != http.StatusUnauthorized || !strings.Contains(w.Body.String(), "This link opens nothing") {
			t.Errorf("status %d:\n%s", w.Code, w.Body)
		}
	}
}

// judgedTrial is a trial with six glasses, the last with base alone, a panel on the first
// five, and what ten judges said of it, whose own doses are given; it is closed.
func judgedTrial(t *testing.T, h http.Handler, own []float64, change ...string) (trial, panel string) {
	t.Helper()
	trial = demoTrial(t, h, "glasses", "A B C D E F")
	for glass, ml := range map[string]string{"B": "2", "C": "4", "D": "6", "E": "9"} {
		press(t, h, trial, "pours", "glass", glass, "volume_ml", ml, "tool", "10 mL syringe")
	}
	panel = openedPanel(t, h, trial, panelFields(tenJudges, change...))
	p := panelShown(t, h, panel)
	for i, link := range judgeLinks(t, h, panel) {
		f := ranked(nearest(p, p.Judges[i].Codes, own[i%len(own)]))
		if w := asJudge(t, h, http.MethodPost, "/judging", begun(t, h, link), f); w.Code != http.StatusSeeOther {
			t.Fatalf("handing in: status %d:\n%s", w.Code, text(parse(t, w.Body.String())))
		}
	}
	sendWell(t, h, panel+"/close", fields("closed_by", "Kim"))
	return trial, panel
}

// leadTo is where the link with a text leads.
func leadTo(t *testing.T, page *html.Node, words string) string {
	t.Helper()
	for n := range page.Descendants() {
		if n.Data == "a" && strings.TrimSpace(text(n)) == words {
			return attribute(n, "href")
		}
	}
	t.Fatalf("no link %q:\n%s", words, text(page))
	return ""
}

// begunReasons are what the form of the choice begins with.
func begunReasons(page *html.Node) string {
	for n := range page.Descendants() {
		if attribute(n, "id") == "reasons" {
			return text(n)
		}
	}
	return ""
}

// TestPanelLeadsToChoice: from a result one press leads to the choice of the glass that
// was put first, with what the panel said for a beginning; nothing is chosen before that
// is sent, and a glass that changed since is not offered.
func TestPanelLeadsToChoice(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	answered := map[string]bool{}
	trial, panel := judgedTrial(t, h, []float64{4})
	to := leadTo(t, soundBeside(t, h, get(t, h, panel).Body.String(), answered), "Choose glass C in the trial")
	at, _, _ := strings.Cut(to, "#")
	form := soundBeside(t, h, get(t, h, at).Body.String(), answered)
	const said = "Liked most by a blind panel of 10 judges (Thursday <1>), who were asked: Which do you like most?"
	if got := begunReasons(form); got != said {
		t.Errorf("the reasons begin with %q, want %q", got, said)
	}
	says(t, text(form), "The reasons begin with what the panel said", "Glass C")
	if leadTo(t, form, "To the panel") != panel {
		t.Error("it does not lead back to the panel")
	}
	if shown := text(parse(t, get(t, h, "/trials").Body.String())); strings.Contains(shown, "chosen:") {
		t.Error("looking at the form chose something")
	}
	w := sendForm(t, h, strings.Replace(at, trial, trial+"/choice", 1), fields("glass", "C", "reasons", " "))
	if got := begunReasons(parse(t, w.Body.String())); w.Code != http.StatusUnprocessableEntity || strings.TrimSpace(got) != "" {
		t.Errorf("without reasons: status %d, the field has %q, want what was typed", w.Code, got)
	}
	for _, other := range []string{strings.Replace(at, "glass=C", "glass=D", 1), strings.Replace(at, "panel=", "panel=x", 1)} {
		if got := begunReasons(soundBeside(t, h, get(t, h, other).Body.String(), answered)); got != "" {
			t.Errorf("%s begins with %q, want nothing", other, got)
		}
	}
	next := press(t, h, at, "choice", "glass", "C", "reasons", said+" And we agree.")
	if strings.Contains(next, "panel=") {
		t.Errorf("the choice leads to %q, where the panel begins another", next)
	}
	says(t, text(soundBeside(t, h, get(t, h, next).Body.String(), answered)), "Glass C: 4.00", "And we agree.")
	page := soundBeside(t, h, get(t, h, panel).Body.String(), answered)
	says(t, text(page), "The dose of glass C, 4.00 mL per 100 mL of base · 3.85 % of the blend, was chosen on "+time.Now().UTC().Format(time.DateOnly)+".")
	if got := leadTo(t, page, "To the choice and its final check"); got != trial+"#choice" {
		t.Errorf("the choice on record is linked at %q", got)
	}
	if strings.Contains(text(page), "Choose glass") {
		t.Error("the glass that is chosen is offered again")
	}

	press(t, h, trial, "pours", "glass", "C", "volume_ml", "1", "tool", "10 mL syringe")
	press(t, h, trial, "choice", "glass", "B", "reasons", "Paler after all.")
	page = soundBeside(t, h, get(t, h, panel).Body.String(), answered)
	says(t, text(page), "Glass C was judged at 4.00 mL per 100 mL of base · 3.85 % of the blend and has changed since.")
	if strings.Contains(text(page), "Choose glass") {
		t.Error("a glass is offered that holds another dose than was judged")
	}
	if got := begunReasons(parse(t, get(t, h, at).Body.String())); got != "" {
		t.Errorf("for a glass that changed since the reasons begin with %q", got)
	}
	at, _, _ = strings.Cut(leadTo(t, page, "Plan a fresh glass of it"), "#")
	says(t, text(soundBeside(t, h, get(t, h, at).Body.String(), answered)), "Planned: 4 mL into F → 4 mL in all")
}

// TestPanelBetweenGlasses: where the preferred dose lies between glasses the nearest one
// is offered, and a plan of that dose in a glass of base alone, as long as there is one.
func TestPanelBetweenGlasses(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	answered := map[string]bool{}
	trial, panel := judgedTrial(t, h, []float64{2, 4, 4, 9, 9}, "panel_name", "")
	page := soundBeside(t, h, get(t, h, panel).Body.String(), answered)
	m := regexp.MustCompile(`No glass held ([0-9.]+) mL per 100 mL of base`).FindStringSubmatch(text(page))
	if m == nil {
		t.Fatalf("no dose between glasses:\n%s", text(page))
	}
	says(t, text(page), "Liked most of the glasses judged: glass C", "Glass D is the nearest of those judged: 6.00 mL per 100 mL of base · 5.66 % of the blend.")
	leadTo(t, page, "Choose glass C in the trial")
	at, _, _ := strings.Cut(leadTo(t, page, "Choose glass D in the trial"), "#")
	reasons := begunReasons(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, reasons, "A blind panel of 10 judges (", "put "+m[1]+" mL per 100 mL of base", "this glass is the nearest that was judged. They were asked: Which do you like most?")
	at, _, _ = strings.Cut(leadTo(t, page, "Plan a fresh glass of it"), "#")
	says(t, text(soundBeside(t, h, get(t, h, at).Body.String(), answered)), "mL into F", "100 mL of base into A")
	press(t, h, trial, "pours", "glass", "F", "volume_ml", "5", "tool", "10 mL syringe")
	page = soundBeside(t, h, get(t, h, panel).Body.String(), answered)
	says(t, text(page), "No glass but the reference A holds base alone")
	if to := leadTo(t, page, "Begin a trial"); to != "/trials/new" {
		t.Errorf("it leads to %q", to)
	}

	_, deepest := judgedTrial(t, h, []float64{4}, "panel_most", "deepest")
	if said := text(soundBeside(t, h, get(t, h, deepest).Body.String(), answered)); strings.Contains(said, "Choose glass") || !strings.Contains(said, "Seen as deepest") {
		t.Errorf("the deepest glass is offered as the choice:\n%s", said)
	}
}

// TestPanelChosenBetweenGlasses: a dose between the glasses that was chosen, as the curve
// has it, is told as chosen and not to be poured once more.
func TestPanelChosenBetweenGlasses(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	trial, panel := judgedTrial(t, h, []float64{2, 4, 4, 9, 9})
	m := regexp.MustCompile(`No glass held ([0-9.]+) mL per 100 mL of base`).FindStringSubmatch(text(parse(t, get(t, h, panel).Body.String())))
	if m == nil {
		t.Fatal("no dose between glasses")
	}
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "/v1"+trial+"/choice", strings.NewReader(`{"dose_ml_per_100ml": `+m[1]+`, "reasons": "As the curve has it."}`))
	r.Header.Set("Content-Type", "application/json")
	r.Host, r.RemoteAddr = "127.0.0.1:8420", "127.0.0.1:1234"
	w := httptest.NewRecorder()
	if h.ServeHTTP(w, r); w.Code != http.StatusCreated {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	page := text(parse(t, get(t, h, panel).Body.String()))
	says(t, page, m[1]+" mL per 100 mL of base · ", "% of the blend was chosen on ")
	if strings.Contains(page, "No glass held") {
		t.Errorf("the chosen dose is to be poured once more:\n%s", page)
	}
}

// TestPanelWithoutPreference: where nothing was found the result leads back to the trial.
func TestPanelWithoutPreference(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	answered := map[string]bool{}
	trial, panel := judgedTrial(t, h, []float64{0, 2, 4, 6, 9})
	page := soundBeside(t, h, get(t, h, panel).Body.String(), answered)
	says(t, text(page), "No dose is put first")
	for words, want := range map[string]string{"Back to the glasses of the trial": trial + "#glasses", "Plan further glasses": trial + "#plan"} {
		if got := leadTo(t, page, words); got != want {
			t.Errorf("%q leads to %q, want %q", words, got, want)
		}
	}
}

// TestSecondChoiceSaysWhatIsLost: the form of a choice tells which choice it takes the
// place of, and that a final check does not carry over, where there is one.
func TestSecondChoiceSaysWhatIsLost(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	trial := demoTrial(t, h)
	shown := func() string { return text(parse(t, get(t, h, trial+"?glass=B").Body.String())) }
	press(t, h, trial, "pours", "glass", "B", "volume_ml", "4", "tool", "10 mL syringe")
	const place, check = "This takes the place of the choice", "Its final check does not carry over"
	if said := shown(); strings.Contains(said, place) {
		t.Errorf("the first choice takes the place of one:\n%s", said)
	}
	press(t, h, trial, "choice", "glass", "B", "reasons", "It is.")
	said := shown()
	says(t, said, place+" of glass B (4.00 mL per 100 mL of base · 3.85 % of the blend) on "+time.Now().UTC().Format(time.DateOnly))
	if strings.Contains(said, check) {
		t.Errorf("a check is lost that was never made:\n%s", said)
	}
	press(t, h, trial, "final-check", "volume_ml", "104")
	says(t, shown(), place, check)
}

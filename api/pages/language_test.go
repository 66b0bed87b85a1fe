package pages_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// in asks for an address in a language.
func in(t *testing.T, h http.Handler, language, address string) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://127.0.0.1"+address, nil)
	r.Header.Set("Accept-Language", language)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

var languagesRead = []struct{ wanted, tag, title string }{
	{"en", "en-GB", "What colour will the blend be?"},
	{"", "en-GB", "What colour will the blend be?"},
	{"de-AT, it;q=0.5", "en-GB", "What colour will the blend be?"},
	{"fr-CA, en;q=0.5", "fr-FR", "De quelle couleur sera"},
	{"es-MX,es;q=0.9,en;q=0.8", "es-ES", "¿De qué color"},
	{"no-such-language-at-all, fr;q=0.3, es;q=0.7", "es-ES", "¿De qué color"},
	{strings.Repeat("x,", 5000), "en-GB", "What colour"},
}

func TestLanguageOfRequest(t *testing.T) {
	t.Parallel()
	h := service(t, false)
	for _, c := range languagesRead {
		w := in(t, h, c.wanted, "/")
		page := w.Body.String()
		if !strings.Contains(page, `<html lang="`+c.tag+`">`) || !strings.Contains(page, c.title) {
			t.Errorf("%q: want %s, have %.200s", c.wanted, c.tag, page)
		}
		if vary := strings.Join(w.Header().Values("Vary"), ", "); !strings.Contains(vary, "Accept-Language, Cookie") {
			t.Errorf("%q: Vary: %s", c.wanted, vary)
		}
	}
	asset := regexp.MustCompile(`/assets/page\.[0-9a-f]+\.css`).FindString(in(t, h, "fr", "/").Body.String())
	if w := in(t, h, "fr", asset); w.Code != http.StatusOK || strings.Contains(strings.Join(w.Header().Values("Vary"), ", "), "Language") {
		t.Errorf("%s: status %d, Vary %q", asset, w.Code, w.Header().Values("Vary"))
	}
}

// choose sends the form of a language.
func choose(t *testing.T, h http.Handler, code, to string, headers ...string) *httptest.ResponseRecorder {
	t.Helper()
	body := url.Values{"language": {code}, "to": {to}}.Encode()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1/language", strings.NewReader(body))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// TestLanguageChosen: a form chooses the language for a year, and leads back to the
// page with its query; never elsewhere.
func TestLanguageChosen(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, true)
	const page = "/?red_dose=5&third=white-9"
	tree := parse(t, in(t, h, "fr", page).Body.String())
	back := ""
	buttons := map[string]string{}
	for n := range tree.Descendants() {
		switch {
		case n.Data == "input" && attribute(n, "name") == "to":
			back = attribute(n, "value")
		case n.Data == "button" && attribute(n, "name") == "language":
			buttons[attribute(n, "value")] = attribute(n, "lang") + " " + text(n) + " " + attribute(n, "aria-current")
		}
	}
	if back != page || buttons["en"] != "en-GB English " || buttons["fr"] != "fr-FR Français true" || buttons["es"] != "es-ES Español " {
		t.Fatalf("back to %q; buttons %v", back, buttons)
	}
	w := choose(t, h, "es", back)
	cookies := w.Result().Cookies()
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != page || len(cookies) != 1 {
		t.Fatalf("status %d to %q, %d cookies", w.Code, w.Header().Get("Location"), len(cookies))
	}
	if c := cookies[0]; c.Name != "language" || c.Value != "es" || c.Path != "/" || c.MaxAge != 365*24*3600 || !c.HttpOnly || c.SameSite != http.SameSiteLaxMode {
		t.Errorf("cookie %+v", c)
	}
	r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://127.0.0.1/", nil)
	r.Header.Set("Accept-Language", "fr")
	r.AddCookie(cookies[0])
	w = httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if !strings.Contains(w.Body.String(), `<html lang="es-ES">`) {
		t.Errorf("the cookie does not count: %.100s", w.Body)
	}
	r.Header.Set("Cookie", "language=xx")
	w = httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if !strings.Contains(w.Body.String(), `<html lang="fr-FR">`) {
		t.Errorf("an unknown language in the cookie: %.100s", w.Body)
	}
	for _, to := range []string{"", "https://elsewhere.example/", "//elsewhere.example/x", `/\elsewhere.example`, "javascript:alert(1)", "wines", "/a\r\nSet-Cookie: x=y", "http:/wines"} {
		if got := choose(t, h, "fr", to).Header().Get("Location"); got != "/" {
			t.Errorf("back to %q leads to %q", to, got)
		}
	}
	if w := choose(t, h, "xx", "/"); w.Code != http.StatusBadRequest || len(w.Result().Cookies()) != 0 {
		t.Errorf("an unknown language: status %d", w.Code)
	}
	if w := choose(t, h, "fr", "/", "Origin", "https://elsewhere.example", "Sec-Fetch-Site", "cross-site"); w.Code != http.StatusForbidden || len(w.Result().Cookies()) != 0 {
		t.Errorf("from another site: status %d", w.Code)
	}
}

var (
	rawKey       = regexp.MustCompile(`\b(?:ask|field|note|title|unit|table|verdict|spec_says|bench|drift|charts)\.[a-z_]+\b`)
	decimalPoint = regexp.MustCompile(`[^\w./:-]\d+\.\d+[^\w./-]`)
	isoDay       = regexp.MustCompile(`\b\d{4}-\d\d-\d\d\b`)
)

// TestPagesInLanguages walks the pages in every language: no key for want of a text,
// no value without its place, and numbers and days as the language writes them but
// where it is marked as English, or a program's.
func TestPagesInLanguages(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	post := poster(t, h)
	issuedStatements(t, h, 2)
	aged := agedLots(t, post)
	lot := releasedLot(t, h)
	drifting := "/drift?product=House+ros%C3%A9"
	trial := demoTrial(t, h)
	panels := walkedPanels(t, h)
	pages := []string{
		"/", "/?third=white-9&third_dose=4", "/?base=readings&base_a420=1.085,2#wines", "/method", "/cautions", "/wines", "/import", "/trials", "/trials/new", trial, trial + "?plan=even&to_ml=6&step_ml=1.5",
		"/lots", "/lots/new", lot.lot, lot.unjudged, "/specs", "/specs/new", lot.spec, lot.tight, "/charts", "/charts?quantity=L&of=" + url.QueryEscape("product:House rosé"), "/instruments",
		"/statements", "/statements/1", drifting, drifting + "&storage=12+%C2%B0C&release_days=90&spec=" + aged, drifting + "&release_days=x", "/drift/lots?product=House+ros%C3%A9", "/wines/none",
		panels.form, panels.open, panels.open + "/links", panels.sheet, panels.correct, panels.closed, panels.scored, panels.few,
	}
	english := map[string]string{}
	for _, language := range []string{"en", "fr", "es"} {
		for _, address := range pages {
			page := in(t, h, language, address).Body.String()
			wellFormed(t, page)
			tree := parse(t, page)
			safe(t, tree)
			own := ownText(tree)
			computed(t, tree)
			where := language + " " + address + ": "
			if strings.Contains(page, "%!") || strings.Contains(page, "{n}") && !strings.Contains(page, `data-sending`) {
				t.Errorf("%sa value has no place: %s", where, page[max(0, strings.Index(page, "%!")-80):])
			}
			if key := rawKey.FindString(own); key != "" {
				t.Errorf("%sshows the key %q", where, key)
			}
			if language == "en" {
				english[address] = own
				if strings.Contains(page, `lang="en"`) {
					t.Errorf("%sEnglish is marked as foreign", where)
				}
				continue
			}
			if point := decimalPoint.FindString(" " + own + " "); point != "" {
				t.Errorf("%shas a decimal point in %q: %s", where, point, around(own, point))
			}
			if day := isoDay.FindString(own); day != "" {
				t.Errorf("%shas the day %q: %s", where, day, around(own, day))
			}
			if own == english[address] {
				t.Errorf("%sis as in English", where)
			}
		}
	}
	if said := ownText(parse(t, in(t, h, "fr", "/").Body.String())); !regexp.MustCompile(`\d,\d`).MatchString(said) {
		t.Error("no decimal comma on the French preview")
	}
}

// computed wants a decimal point in what a browser reads as a number.
func computed(t *testing.T, tree *html.Node) {
	t.Helper()
	drawn := []string{"x", "y", "x1", "x2", "y1", "y2", "width", "height", "offset", "cx", "cy", "r"}
	for n := range tree.Descendants() {
		slides := n.Data == "input" && attribute(n, "type") == "range"
		for _, a := range n.Attr {
			if !slides && !slices.Contains(drawn, a.Key) || slides && !slices.Contains([]string{"min", "max", "step", "value"}, a.Key) {
				continue
			}
			if _, err := strconv.ParseFloat(strings.TrimRight(a.Val, "%pt"), 64); err != nil {
				t.Errorf("<%s %s=%q> is no number", n.Data, a.Key, a.Val)
			}
		}
	}
}

func around(s, part string) string {
	i := strings.Index(s, strings.TrimSpace(part))
	return s[max(0, i-60):min(len(s), i+60)]
}

// ownText is what a page says in its own language: without what is marked as English,
// what is a program's, and what was typed as an example.
func ownText(tree *html.Node) string {
	var b strings.Builder
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.TextNode {
			b.WriteString(n.Data + " ")
		}
		if n.Type == html.ElementNode && (attribute(n, "lang") == "en" || n.Data == "script" || n.Data == "noscript" || n.Data == "code" || n.Data == "pre") {
			return
		}
		for c := range n.ChildNodes() {
			walk(c)
		}
	}
	walk(tree)
	return strings.Join(strings.Fields(b.String()), " ")
}

// TestPapersInFrench: the page asks for documents in its language.
func TestPapersInFrench(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	trial := demoTrial(t, h)
	page := in(t, h, "fr", trial).Body.String()
	for _, part := range []string{"/report?format=pdf&amp;language=fr", "/report?format=html&amp;language=fr"} {
		if !strings.Contains(page, part) {
			t.Errorf("the page has no link to %s", part)
		}
	}
	w := in(t, h, "fr", trial+"/bench-sheet?plan=even&to_ml=6,5&step_ml=0,5&format=html")
	to := w.Header().Get("Location")
	if !strings.Contains(to, "language=fr") || !strings.Contains(to, "to_ml=6.5") {
		t.Fatalf("status %d, to %q", w.Code, to)
	}
	if sheet := in(t, h, "fr", to); sheet.Code != http.StatusOK || !strings.Contains(sheet.Body.String(), `lang="fr-FR"`) {
		t.Errorf("%s: status %d: %.200s", to, sheet.Code, sheet.Body)
	}
}

// TestDecimalCommasTravel: a list of numbers that was typed in French is the same list in
// an address that is opened in English, and in a document of the interface.
func TestDecimalCommasTravel(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	trial := demoTrial(t, h)
	preview := "/?" + strings.TrimPrefix(typed(map[string]string{"base_extra": "460: 0,12 560: 0,05", "doses": "0,5"}), "/?")
	for _, c := range []struct{ what, got, field, want string }{
		{"bench sheet", in(t, h, "fr", trial+"/bench-sheet?plan=given&doses_ml=0,5+1,5+8&format=html").Header().Get("Location"), "doses_ml", "0.5 1.5 8"},
		{"plan in English", choose(t, h, "en", trial+"?plan=given&doses_ml=1,5", "Accept-Language", "fr").Header().Get("Location"), "doses_ml", "1.5"},
		{"plan in Spanish", choose(t, h, "es", trial+"?plan=given&doses_ml=1,5", "Accept-Language", "en").Header().Get("Location"), "doses_ml", "1 5"},
		{"preview in English", choose(t, h, "en", preview, "Accept-Language", "fr").Header().Get("Location"), "doses", "0.5"},
		{"further readings", choose(t, h, "en", preview, "Accept-Language", "fr").Header().Get("Location"), "base_extra", "460  0.12 560  0.05"},
		{"a number in English", choose(t, h, "en", "/?red_dose=1,234&lamp=A&named=1,5", "Accept-Language", "fr").Header().Get("Location"), "red_dose", "1.234"},
		{"what is no number", choose(t, h, "en", "/wines?named=1,234", "Accept-Language", "fr").Header().Get("Location"), "named", "1,234"},
		{"an even step in English", choose(t, h, "en", trial+"?plan=even&to_ml=7,5&step_ml=1,125", "Accept-Language", "fr").Header().Get("Location"), "step_ml", "1.125"},
		{"a number that English cannot tell", choose(t, h, "fr", "/?red_dose=1,234", "Accept-Language", "en").Header().Get("Location"), "red_dose", "1,234"},
		{"the preview's own address", addressShown(t, in(t, h, "fr", preview).Body.String()), "doses", "0.5"},
	} {
		at, err := url.Parse(c.got)
		if got := strings.Join(strings.Fields(at.Query().Get(c.field)), " "); err != nil || got != strings.Join(strings.Fields(c.want), " ") {
			t.Errorf("%s: %s = %q, want %q (%s)", c.what, c.field, got, c.want, c.got)
		}
	}
}

// addressShown is the address that a preview's page has for itself.
func addressShown(t *testing.T, page string) string {
	t.Helper()
	for n := range parse(t, page).Descendants() {
		if n.Data == "a" && has(n, "data-address") {
			return attribute(n, "href")
		}
	}
	t.Error("the page has no address of its own")
	return ""
}

// TestDaysInFrench: charts from a day as French writes it, and their figures by a day
// as the interface does.
func TestDaysInFrench(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, true)
	chartedLots(t, h, 12)
	w := in(t, h, "fr", "/charts?quantity=L&of="+url.QueryEscape("product:House & co")+"&from="+url.QueryEscape("01/02/2020"))
	page := w.Body.String()
	if !strings.Contains(page, "from=2020-02-01") || valueOf(parse(t, page), "from") != "01/02/2020" || strings.Contains(page, "aria-invalid") {
		t.Errorf("status %d: %s", w.Code, ownText(parse(t, page)))
	}
}

// TestTypedInFrench: a form takes both decimal marks, shows what it has with the
// language's, and says how to write what can be meant in two ways.
func TestTypedInFrench(t *testing.T) {
	t.Parallel()
	h := service(t, false)
	query := func(a420 string) string {
		return typed(map[string]string{"base_a420": a420, "doses": "0 2,5 5"})
	}
	rows := func(page string) []string { return rowsOf(parse(t, page), "ladder") }
	point, comma := in(t, h, "fr", query("0.085")).Body.String(), in(t, h, "fr", query("0,085")).Body.String()
	if a, b := rows(point), rows(comma); len(a) < 3 || strings.Join(a, "\n") != strings.Join(b, "\n") {
		t.Errorf("with a point and a comma:\n%s\n%s", a, b)
	}
	for _, page := range []string{point, comma} {
		if got := valueOf(parse(t, page), "base_a420"); got != "0,085" {
			t.Errorf("the field has %q", got)
		}
	}
	for language, said := range map[string][2]string{"fr": {"1234,5", "un nombre est attendu"}, "en": {"1234.5", "expected number"}} {
		want, message := said[0], said[1]
		refused := in(t, h, language, query("1,234.5")).Body.String()
		if got := valueOf(parse(t, refused), "base_a420"); got != "1,234.5" {
			t.Errorf("%s: the field has %q", language, got)
		}
		if said := text(parse(t, refused)); strings.Count(said, want+".") < 2 || !strings.Contains(said, message) {
			t.Errorf("%s: it is not said how to write it (%s): %s", language, want, said)
		}
	}
}

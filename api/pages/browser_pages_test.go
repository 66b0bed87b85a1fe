//go:build browser

package pages_test

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
)

// axe is the accessibility checker axe-core, from the script's packages.
func axe(t *testing.T) string {
	t.Helper()
	source, err := os.ReadFile("script/node_modules/axe-core/axe.min.js")
	if err != nil {
		t.Fatalf("axe-core is missing (npm ci --ignore-scripts in api/pages/script): %v", err)
	}
	return string(source)
}

// violations are what axe-core finds against WCAG 2.2 AA on the page as it is shown,
// by all of its rules, or by some.
func violations(v *visit, source string, rules ...string) []string {
	v.t.Helper()
	if !evaluated[bool](v, `"axe" in window`) {
		evaluated[bool](v, source+"; true")
	}
	only := any([]string{"wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"})
	if len(rules) > 0 {
		only = map[string]any{"type": "rule", "values": rules}
	}
	asked, err := json.Marshal(map[string]any{"runOnly": only, "resultTypes": []string{"violations"}})
	if err != nil {
		v.t.Fatal(err)
	}
	return evaluated[[]string](v, `axe.run(document, `+string(asked)+`)
		.then((r) => r.violations.flatMap((x) => x.nodes.map((n) => x.id + ": " + x.help + ": " + n.html.slice(0, 200) + " " + (n.failureSummary ?? ""))))`)
}

// ofColours are the rules of axe-core that look at colours, which are all that differs
// between light and dark.
func ofColours() []string { return []string{"color-contrast", "link-in-text-block"} }

// firstWine is the address of a wine's page.
func firstWine(t *testing.T, base string) string { return "/wines/" + firstOf(t, base, "wines") }

// firstReading is the address of a reading's page.
func firstReading(t *testing.T, base string) string {
	return "/readings/" + firstOf(t, base, "readings")
}

// firstOf is the identifier of the first record of a list.
func firstOf(t *testing.T, base, what string) string {
	t.Helper()
	r, err := http.Get(base + "/v1/" + what + "?limit=1")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	var list struct {
		Items []struct {
			ID string `json:"id"`
		} `json:"items"`
	}
	if err := json.NewDecoder(r.Body).Decode(&list); err != nil || len(list.Items) == 0 {
		t.Fatalf("%v, %d %s", err, len(list.Items), what)
	}
	return list.Items[0].ID
}

// chartedPage is the address of charts of lots, which are added.
func chartedPage(t *testing.T, base string) string {
	t.Helper()
	chartedLots(t, through(base), 28)
	return "/charts?quantity=L&of=" + url.QueryEscape("product:House & co")
}

// through sends what it is asked on to a service.
func through(base string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ask, err := http.NewRequestWithContext(r.Context(), r.Method, base+r.URL.RequestURI(), r.Body)
		if err != nil {
			w.WriteHeader(http.StatusBadGateway)
			return
		}
		ask.Header = r.Header
		answer, err := http.DefaultTransport.RoundTrip(ask) // which follows nothing
		if err != nil {
			w.WriteHeader(http.StatusBadGateway)
			return
		}
		defer answer.Body.Close()
		w.Header().Set("Location", answer.Header.Get("Location"))
		w.Header().Set("Cache-Control", answer.Header.Get("Cache-Control"))
		w.Header()["Set-Cookie"] = answer.Header["Set-Cookie"]
		w.WriteHeader(answer.StatusCode)
		_, _ = io.Copy(w, answer.Body)
	})
}

// posted is the identifier of a record that is made.
func posted(t *testing.T, address, body string) string {
	t.Helper()
	r, err := http.Post(address, "application/json", strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	var made struct{ ID string }
	if err := json.NewDecoder(r.Body).Decode(&made); err != nil || r.StatusCode != http.StatusCreated {
		t.Fatalf("%s: status %d, %v", address, r.StatusCode, err)
	}
	return made.ID
}

// walkedPage is a page that these tests open.
type walkedPage struct {
	name, base, address string
	thumb               bool // has what the thumb presses
	status              int  // other than 200, of which the browser complains
}

// calm wants no complaint but the browser's own of the page's status.
func (p walkedPage) calm(v *visit) {
	v.t.Helper()
	if p.status == 0 {
		v.quiet()
		return
	}
	v.quiet(fmt.Sprintf("error: Failed to load resource: the server responded with a status of %d (%s) %s", p.status, http.StatusText(p.status), p.base+p.address))
}

// walked is every page, of a service that is filled and of an empty one.
func walked(t *testing.T) []walkedPage {
	t.Helper()
	demo, empty := served(t, true), served(t, false)
	bench, charts := begunTrial(t, demo), chartedPage(t, demo)
	issuedStatements(t, through(demo), 3)
	drifting := "/drift?product=House+ros%C3%A9"
	aimed := drifting + "&storage=12+%C2%B0C&release_days=90&spec=" + agedLots(t, func(path, body string) string { return posted(t, demo+path, body) })
	release := releasedLot(t, through(demo))
	panels := walkedPanels(t, through(demo))
	return []walkedPage{
		{"preview", demo, "/", true, 0},
		{"preview, form open", demo, "/?base=readings&base_a420=x#wines", true, 0},
		{"preview, three wines", demo, "/?third=white-9&third_dose=4", true, 0},
		{"preview, empty", empty, "/", true, 0},
		{"preview, broken link", demo, "/?base=nothing&red=%zz&frob=1", true, 0},
		{"wines", demo, "/wines", false, 0},
		{"wines, none", empty, "/wines", false, 0},
		{"one wine", demo, firstWine(t, demo), true, 0},
		{"a wine's forms", demo, firstWine(t, demo) + "/edit", true, 0},
		{"a new reading", demo, firstWine(t, demo) + "/readings/new", true, 0},
		{"a reading", demo, firstReading(t, demo), true, 0},
		{"import", demo, "/import", true, 0},
		{"import, looked at", demo, waitingDraft(t, demo), true, 0},
		{"past imports", demo, "/imports", true, 0},
		{"past imports, none", empty, "/imports", true, 0},
		{"trials", demo, "/trials", true, 0},
		{"trials, none", empty, "/trials", true, 0},
		{"begin a trial", demo, "/trials/new", true, 0},
		{"begin a trial from a preview", demo, "/trials/new?base=readings&base_a420=0.112&base_a520=0.031&base_a620=0.012&third=white-9&third_dose=4", true, 0},
		{"bench, with given doses", demo, bench + "?plan=given&doses_ml=2+4+7", true, 0},
		{"bench", demo, bench, true, 0},
		{"bench, with a plan", demo, bench + "?plan=even&to_ml=6&step_ml=2", true, 0},
		{"method", demo, "/method#tint", false, 0},
		{"cautions", demo, "/cautions", false, 0},
		{"charts", demo, charts, true, 0},
		{"charts, at fault", demo, charts + "&from=soon&base=3", true, 0},
		{"charts, none", empty, "/charts", false, 0},
		{"statements", demo, "/statements", false, 0},
		{"statements, none", empty, "/statements", false, 0},
		{"one statement", demo, "/statements/2", true, 0},
		{"drift", demo, drifting, true, 0},
		{"drift, none", empty, "/drift", false, 0},
		{"drift, with an aim", demo, aimed, true, 0},
		{"drift, at fault", demo, drifting + "&release_days=x", true, http.StatusUnprocessableEntity},
		{"lots about to leave", demo, "/drift/lots?product=House+ros%C3%A9", false, 0},
		{"lots", demo, "/lots", true, 0},
		{"lots, none", empty, "/lots", true, 0},
		{"begin a lot", demo, "/lots/new", true, 0},
		{"lot", demo, release.lot, true, 0},
		{"lot, not judged", demo, release.unjudged, true, 0},
		{"specifications", demo, "/specs", true, 0},
		{"begin a specification", demo, "/specs/new", true, 0},
		{"specification", demo, release.spec, true, 0},
		{"specification, too tight", demo, release.tight, true, 0},
		{"instruments", demo, "/instruments", true, 0},
		{"devices", demo, "/devices", false, 0},
		{"a device", demo, "/device", false, 0},
		{"begin a panel", demo, panels.form, true, 0},
		{"panel, open", demo, panels.open, true, 0},
		{"judges' links", demo, panels.open + "/links", true, 0},
		{"a judge's paper sheet", demo, panels.sheet, true, 0},
		{"a judge's answer, corrected", demo, panels.correct, true, 0},
		{"panel, closed", demo, panels.closed, true, 0},
		{"panel, closed, by scores", demo, panels.scored, true, 0},
		{"panel, closed, too few", demo, panels.few, true, 0},
		{"no page", demo, "/wines/none", false, http.StatusNotFound},
	}
}

// TestBrowserPages opens every page at both sizes in every language, and shows it in
// both modes: nothing scrolls sideways or is too small to press, axe-core finds
// nothing, and nobody complains; in English all is reached by Tab.
func TestBrowserPages(t *testing.T) {
	checker, pages := axe(t), walked(t)
	for _, tag := range []string{"en-GB", "fr-FR", "es-ES"} {
		for _, s := range []sight{desk, phone} {
			t.Run(tag+", "+s.String(), func(t *testing.T) {
				t.Parallel() // with those of other sizes and languages
				inTabs(t, s, tag, pages, func(v *visit, page walkedPage) {
					for _, dark := range []bool{false, true} {
						v.dark(dark)
						v.narrow()
						var rules []string
						if dark {
							plates(v)
							rules = ofColours()
						}
						for _, found := range violations(v, checker, rules...) {
							v.t.Errorf("dark %t: %s", dark, found)
						}
						// Where the focus is differs with the size, and how it is seen with the mode.
						if tag == "en-GB" && dark != s.touch {
							v.byTab()
						}
					}
					page.pressable(v)
				})
			})
		}
	}
}

// TestBrowserChecker: what axe-core shall find is found, in the light and by the rules of
// colours alone in the dark.
func TestBrowserChecker(t *testing.T) {
	checker, v := axe(t), open(t, served(t, false), desk)
	v.reach("/method")
	evaluated[bool](v, `(() => { const p = document.createElement("p"); p.id = "pale"; p.textContent = "hardly seen";
		p.style.color = "#777"; p.style.background = "#888"; document.querySelector("main").append(p, document.createElement("button")); return true })()`)
	for _, c := range []struct {
		dark bool
		want []string
	}{{false, []string{"color-contrast", "button-name"}}, {true, []string{"color-contrast"}}} {
		v.dark(c.dark)
		var rules []string
		if c.dark {
			rules = ofColours()
		}
		found := violations(v, checker, rules...)
		if len(found) != len(c.want) {
			t.Errorf("dark %t: %d found, want %q: %q", c.dark, len(found), c.want, found)
		}
		for _, rule := range c.want {
			if !slices.ContainsFunc(found, func(one string) bool { return strings.HasPrefix(one, rule+":") }) {
				t.Errorf("dark %t: %s is not found", c.dark, rule)
			}
		}
	}
}

// dark shows the page in the dark, or in the light.
func (v *visit) dark(on bool) {
	v.t.Helper()
	mode := "light"
	if on {
		mode = "dark"
	}
	v.do(called(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: mode}}}))
	v.until("the page is shown in its mode", fmt.Sprintf(`matchMedia("(prefers-color-scheme: %s)").matches`, mode))
}

// pagesOfTab is how many pages a tab is for: it has its time.
const pagesOfTab = 10

// inTabs goes through the pages in a language, several in one tab.
func inTabs(t *testing.T, s sight, tag string, pages []walkedPage, look func(*visit, walkedPage)) {
	t.Helper()
	byBase := map[string][]walkedPage{}
	for _, page := range pages {
		byBase[page.base] = append(byBase[page.base], page)
	}
	for base, list := range byBase {
		for some := range slices.Chunk(list, pagesOfTab) {
			v := open(t, base, s)
			v.speak(tag)
			for _, page := range some {
				t.Run(page.name, func(t *testing.T) {
					v.t = t
					v.reach(page.address)
					if lang := evaluated[string](v, `document.documentElement.lang`); lang != tag {
						t.Errorf("the page is in %q", lang)
					}
					look(v, page)
					page.calm(v)
					v.forget()
				})
			}
		}
	}
}

// pressable wants what is pressed on a page to be large enough.
func (p walkedPage) pressable(v *visit) {
	v.t.Helper()
	v.pressable(24, "a[href], button, input, select, textarea, summary")
	if p.thumb {
		v.pressable(48, "main button, main a.button, main input[type=range]")
	}
}

// pressable wants what is pressed to be at least so many px each way, with its
// label where it has one: 24 (WCAG 2.5.8), and 48 for what the thumb presses. A
// link in a line of text is as high as the line; axe-core sees to its distance.
func (v *visit) pressable(px int, selector string) {
	v.t.Helper()
	for _, small := range evaluated[[]string](v, fmt.Sprintf(`[...document.querySelectorAll(%q)]
		.filter((e) => e.checkVisibility() && !(e.localName === "a" && getComputedStyle(e).display === "inline"))
		.filter((e) => [e, ...(e.labels ?? [])].map((x) => x.getBoundingClientRect()).every((r) => r.width < %d - .01 || r.height < %[2]d - .01))
		.map((e) => { const r = e.getBoundingClientRect(); return r.width + " by " + r.height + " px: " + e.outerHTML.slice(0, 120) })`, selector, px)) {
		v.t.Errorf("want %d px to press, have %s", px, small)
	}
}

// narrow wants nothing to scroll sideways but what does so by itself. A telephone
// widens innerWidth until all fits in, so the page is held against its own sight.
func (v *visit) narrow() {
	v.t.Helper()
	width := fmt.Sprintf(`Math.min(document.documentElement.clientWidth, %d)`, v.sight.width)
	if wide := evaluated[int](v, `document.scrollingElement.scrollWidth - `+width); wide > 0 {
		v.t.Errorf("the page is %d px wider than the window: %s", wide, strings.Join(evaluated[[]string](v, fmt.Sprintf(`[...document.querySelectorAll("main *")]
			.filter((e) => e.getBoundingClientRect().right > %s && !e.closest(".scroll, svg")).slice(0, 5).map((e) => e.outerHTML.slice(0, 100))`, width)), "; "))
	}
}

// plates wants swatches and drawings on white in the dark too.
func plates(v *visit) {
	v.t.Helper()
	for _, ground := range evaluated[[]string](v, `[...document.querySelectorAll(".plate")].map((e) => getComputedStyle(e).backgroundColor)`) {
		if ground != "rgb(255, 255, 255)" {
			v.t.Errorf("a plate is %s in the dark", ground)
		}
	}
}

// byTab goes through the page by Tab alone: each thing that can be pressed is
// reached, is seen to be (WCAG 2.4.7), and does not lie under another (2.4.11).
func (v *visit) byTab() {
	v.t.Helper()
	count := evaluated[int](v, `(() => {
		window.wanted_ = [...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")].filter((e) => e.checkVisibility() && !e.disabled);
		window.reached_ = new Set(); window.unseen_ = [];
		window.lookAt_ = () => {
			const e = document.activeElement, s = getComputedStyle(e), told = e.outerHTML.slice(0, 120);
			if (e === document.body) return true;
			reached_.add(e);
			if (s.outlineStyle === "none" || parseFloat(s.outlineWidth) < 2) unseen_.push("no outline on " + told);
			const hit = (x, y) => { const at = document.elementFromPoint(x, y); return at && (at === e || e.contains(at) || [...(e.labels ?? [])].some((l) => l.contains(at))) };
			const clear = [...e.getClientRects()].some((r) => [.1, .3, .5, .7, .9].some((i) => [.1, .5, .9].some((j) => hit(r.x + r.width * i, r.y + r.height * j))));
			if (!clear) unseen_.push("out of sight: " + told);
			return true;
		};
		scrollTo(0, 0);
		return wanted_.length })()`)
	for range count + 3 {
		v.key("Tab")
		evaluated[bool](v, `lookAt_()`)
	}
	for _, fault := range evaluated[[]string](v, `[...unseen_, ...wanted_.filter((e) => !reached_.has(e)).map((e) => "not reached by Tab: " + e.outerHTML.slice(0, 120))]`) {
		v.t.Error(fault)
	}
	if count < 5 {
		v.t.Errorf("only %d things to reach", count)
	}
}

// TestBrowserZoom: at 200 % a desk is as narrow as 640 px, and at 400 % as 320;
// nothing scrolls sideways (WCAG 1.4.10).
func TestBrowserZoom(t *testing.T) {
	base := served(t, true)
	for _, width := range []int64{640, 320} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			v := open(t, base, sight{width: width, height: 450})
			for _, address := range []string{"/", "/?third=white-9", "/wines", "/import", firstWine(t, base)} {
				v.reach(address)
				v.narrow()
			}
			v.quiet()
		})
	}
}

// TestBrowserStill: where less motion is asked for, nothing moves by itself.
func TestBrowserStill(t *testing.T) {
	for _, s := range []sight{desk, phone} {
		s.still = true
		v := open(t, served(t, true), s)
		v.reach("/?red_dose=5")
		if !evaluated[bool](v, `matchMedia("(prefers-reduced-motion: reduce)").matches`) {
			t.Fatal("the browser does not ask for less motion")
		}
		v.keyTo("#red-slide", 9.8)
		if moving := evaluated[[]string](v, `[...document.getAnimations().map((a) => "animation of " + a.effect?.target?.outerHTML.slice(0, 100)),
			...[document.documentElement, ...document.querySelectorAll("*")].filter((e) => { const s = getComputedStyle(e); return s.scrollBehavior === "smooth" || s.animationName !== "none" || s.transitionDuration.split(",").some((d) => parseFloat(d) > 0.01) })
				.map((e) => e.outerHTML.slice(0, 100))]`); len(moving) > 0 {
			t.Errorf("%v: %d things move, the first %s", s, len(moving), moving[0])
		}
		v.narrow()
		v.quiet()
	}
}

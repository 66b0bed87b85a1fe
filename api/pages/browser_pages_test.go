//go:build browser

package pages_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"strings"
	"testing"
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

// violations are what axe-core finds against WCAG 2.2 AA.
func violations(v *visit, source string) []string {
	v.t.Helper()
	evaluated[bool](v, source+"; true")
	return evaluated[[]string](v, `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]})
		.then((r) => r.violations.flatMap((x) => x.nodes.map((n) => x.id + ": " + x.help + ": " + n.html.slice(0, 200) + " " + (n.failureSummary ?? ""))))`)
}

// firstWine is the address of a wine's page.
func firstWine(t *testing.T, base string) string {
	t.Helper()
	r, err := http.Get(base + "/v1/wines?limit=1")
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
		t.Fatalf("%v, %d wines", err, len(list.Items))
	}
	return "/wines/" + list.Items[0].ID
}

// TestBrowserPages opens every page at both sizes, light and dark.
func TestBrowserPages(t *testing.T) {
	checker := axe(t)
	demo, empty := served(t, true), served(t, false)
	for _, page := range []struct {
		name, base, address string
		complains           string // what the browser itself says of the status
	}{
		{"preview", demo, "/", ""},
		{"preview, form open", demo, "/?base=readings&base_a420=x#wines", ""},
		{"preview, three wines", demo, "/?third=white-9&third_dose=4", ""},
		{"preview, empty", empty, "/", ""},
		{"preview, broken link", demo, "/?base=nothing&red=%zz&frob=1", ""},
		{"wines", demo, "/wines", ""},
		{"wines, none", empty, "/wines", ""},
		{"one wine", demo, firstWine(t, demo), ""},
		{"import", demo, "/import", ""},
		{"no page", demo, "/wines/none", "404"},
	} {
		for _, s := range sights() {
			t.Run(page.name+", "+s.String(), func(t *testing.T) {
				v := open(t, page.base, s)
				v.reach(page.address)
				if page.complains != "" {
					v.quiet(page.complains)
				} else {
					v.quiet()
				}
				if wide := evaluated[int](v, `document.scrollingElement.scrollWidth - innerWidth`); wide > 0 {
					t.Errorf("the page is %d px wider than the window", wide)
				}
				for _, found := range violations(v, checker) {
					t.Error(found)
				}
				targets(v)
				if s.dark {
					plates(v)
				}
			})
		}
	}
}

// targets wants what is pressed to be at least 24 px each way (WCAG 2.5.8), but
// for links in a line of text.
func targets(v *visit) {
	v.t.Helper()
	for _, small := range evaluated[[]string](v, `[...document.querySelectorAll("button, select, input, textarea, summary, a.button, nav a")]
		.filter((e) => e.checkVisibility() && !e.closest(".unseen")).filter((e) => { const r = e.getBoundingClientRect(); return r.width > 0 && (r.width < 24 || r.height < 24) && e.type !== "checkbox" })
		.map((e) => e.outerHTML.slice(0, 120))`) {
		v.t.Errorf("too small to press: %s", small)
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

// TestBrowserZoom: at 200 % a desk is as narrow as 640 px, and at 400 % as 320;
// nothing scrolls sideways (WCAG 1.4.10).
func TestBrowserZoom(t *testing.T) {
	base := served(t, true)
	for _, width := range []int64{640, 320} {
		v := open(t, base, sight{width: width, height: 450})
		for _, address := range []string{"/", "/?third=white-9", "/wines", "/import"} {
			v.reach(address)
			if wide := evaluated[int](v, `document.scrollingElement.scrollWidth - innerWidth`); wide > 0 {
				t.Errorf("%s is %d px wider than %d px: %s", address, wide, width, strings.Join(evaluated[[]string](v, fmt.Sprintf(`[...document.querySelectorAll("main *")].filter((e) => e.getBoundingClientRect().right > %d && !e.closest(".scroll")).slice(0, 5).map((e) => e.outerHTML.slice(0, 100))`, width)), "; "))
			}
		}
	}
}

// TestBrowserKeyboard goes through the preview by Tab alone: each thing that can
// be pressed is reached and seen to be.
func TestBrowserKeyboard(t *testing.T) {
	v := open(t, served(t, true), desk)
	v.reach("/")
	evaluated[bool](v, `document.querySelector("#wines").open = true`)
	want := evaluated[[]string](v, `[...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")].filter((e) => e.checkVisibility() && !e.disabled).map((e, i) => (e.dataset.tab = String(i)))`)
	reached := map[string]bool{}
	for range len(want) + 5 {
		v.key("Tab")
		at := evaluated[struct {
			Tab  string
			Seen bool
		}](v, `(() => { const e = document.activeElement, s = getComputedStyle(e); return {Tab: e.dataset.tab ?? "", Seen: s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2} })()`)
		if at.Tab != "" {
			reached[at.Tab] = true
			if !at.Seen {
				t.Errorf("no focus is seen on %s", evaluated[string](v, `document.activeElement.outerHTML.slice(0, 120)`))
			}
		}
	}
	for _, tab := range want {
		if !reached[tab] {
			t.Errorf("not reached by Tab: %s", evaluated[string](v, fmt.Sprintf(`document.querySelector("[data-tab='%s']").outerHTML.slice(0, 120)`, tab)))
		}
	}
}

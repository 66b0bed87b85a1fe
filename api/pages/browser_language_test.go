//go:build browser

package pages_test

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/network"
)

// speak asks for pages in a language from now on.
func (v *visit) speak(tag string) {
	v.t.Helper()
	v.do(called(network.SetExtraHTTPHeaders, network.SetExtraHTTPHeadersParams{Headers: network.Headers{"Accept-Language": tag}}))
}

// TestBrowserLanguage: what follows the slider has the marks of the page's language,
// the field takes both, and another language is chosen where the page is by then.
func TestBrowserLanguage(t *testing.T) {
	v := open(t, served(t, true), desk)
	v.speak("fr-FR")
	v.reach("/?red_dose=5")
	shows := func(what, selector, want string) {
		t.Helper()
		if got := evaluated[string](v, `(() => { const e = document.querySelector("`+selector+`"); return e.value ?? e.textContent })()`); got != want {
			t.Errorf("%s: %s has %q, want %q", what, selector, got, want)
		}
	}
	v.keyTo("#red-slide", 5.3)
	shows("by keys", ".amount [data-live=dose]", "5,3")
	shows("by keys", "input[name=red_dose]", "5,3")
	shows("by keys", "#red-slide", "5.3") // the control's own number
	if heard := evaluated[string](v, `document.querySelector("#red-slide").getAttribute("aria-valuetext")`); !strings.HasPrefix(heard, "5,3") {
		t.Errorf("a screen reader hears %q", heard)
	}
	for text, want := range map[string]string{"7,25": "7,25", "6.5": "6,5"} {
		v.retype("input[name=red_dose]", text)
		v.settle()
		shows(text+" typed", ".amount [data-live=dose]", want)
	}
	if drawn := evaluated[[]string](v, `[...document.querySelectorAll("#chart text")].map((e) => e.textContent).filter((x) => /\d\.\d/.test(x))`); len(drawn) > 0 {
		t.Errorf("points in the chart: %q", drawn)
	}
	v.keyTo("#red-slide", 8)
	v.until("that the address has the dose", `location.search.includes("red_dose=8")`)
	evaluated[bool](v, `document.querySelector(".languages button[value=es]").click(); true`)
	v.until("that the page is in Spanish", `document.documentElement?.lang === "es-ES" && document.readyState === "complete"`)
	if at := evaluated[string](v, `location.pathname + location.search`); !strings.HasPrefix(at, "/?") || !strings.Contains(at, "red_dose=8") {
		t.Errorf("the page is at %s", at)
	}
	v.reach("/cautions")
	if lang := evaluated[string](v, `document.documentElement.lang`); lang != "es-ES" {
		t.Errorf("the next page is in %q", lang)
	}
	v.quiet()
}

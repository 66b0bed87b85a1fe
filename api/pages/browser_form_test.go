//go:build browser

package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"pourpath/api/calc"
)

// TestBrowserRenewal changes a choice: the page is renewed without being loaded,
// and keeps what is typed, what is open and where the reader is.
func TestBrowserRenewal(t *testing.T) {
	v := open(t, served(t, true), desk)
	v.reach("/")
	evaluated[bool](v, `document.querySelector("#wines").open = true; window.same_ = true`)
	v.do(chromedp.SetValue(chromedp.CSS("#base"), "white-9"))
	evaluated[bool](v, `document.querySelector("#base").dispatchEvent(new Event("change", {bubbles: true}))`)
	v.until("the heading is of the new wine", `document.querySelector("h1").textContent.startsWith("Golden white")`)
	if !evaluated[bool](v, `window.same_ === true && document.querySelector("#wines").open && location.search.includes("base=white-9")`) {
		t.Error("the page was loaded anew, the form closed, or the address left behind")
	}
	// By keys alone: a field is typed in and left, and a choice changed.
	v.retype("#tank_l", "750")
	v.do(chromedp.Focus(chromedp.CSS("#lamp")))
	v.key("Down")
	v.until("the address has both", `location.search.includes("tank_l=750") && location.search.includes("lamp=" + document.querySelector("#lamp").value) && !location.search.includes("lamp=D65")`)
	v.until("the page is of both", `document.querySelector(".volumes").innerText.includes("Tank of 750 L") && document.querySelector(".cell figcaption").innerText.includes(document.querySelector("#lamp").value)`)
	if at := evaluated[string](v, `document.activeElement.id + " " + document.querySelector("#tank_l").value + " " + window.same_`); at != "lamp 750 true" {
		t.Errorf("the focus, what was typed, and whether the page is the same: %q", at)
	}
	// What is half typed stays as it is when another field renews the page.
	v.retype("#bottles", "12")
	evaluated[bool](v, `(() => { const e = document.querySelector("#depth_mm"); e.value = "7"; e.dispatchEvent(new Event("change", {bubbles: true})); return true })()`)
	v.until("the page is of the other depth", `document.querySelector(".cell figcaption").innerText.includes("7 mm")`)
	v.do(chromedp.KeyEvent("00"))
	if at := evaluated[string](v, `document.activeElement.id + " " + document.activeElement.value`); at != "bottles 1200" {
		t.Errorf("typed on in %q, want bottles 1200", at)
	}
	v.quiet()
	v.do(chromedp.NavigateBack())
	v.until("the way back", `!location.search.includes("depth_mm=7") && document.querySelector("#depth_mm").value !== "7"`)
	v.quiet()
}

// TestBrowserFaults types what is wrong: it stays in its field, which is marked,
// and the message is the interface's own for the same request.
func TestBrowserFaults(t *testing.T) {
	base := served(t, true)
	ladder := func(change func(map[string]any)) map[string]any {
		wine := func() map[string]any {
			return map[string]any{"readings": map[string]any{"a420": 0.112, "a520": 0.031, "a620": 0.012, "path_mm": 10}}
		}
		r := map[string]any{"base": wine(), "addition": wine(), "base_ml": 100, "doses_ml": []float64{0, 5}}
		change(r)
		return r
	}
	v := open(t, base, phone)
	for _, c := range []struct {
		query, field, text string
		path, location     string
		request            any
	}{
		{"", "tank_l", "lots", "/v1/scale", "/base_l", map[string]any{"dose_ml_per_100ml": 1, "base_l": "lots"}},
		{"", "depth_mm", "-3", "/v1/ladder", "/view/path_mm", ladder(func(r map[string]any) { r["view"] = map[string]any{"path_mm": -3} })},
		{"", "base_ml", "0", "/v1/ladder", "/base_ml", ladder(func(r map[string]any) { r["base_ml"] = 0 })},
		{"base=readings&base_a420=0.112&base_a520=0.03&base_a620=0.01&base_path_mm=10", "base_a420", "1,112", "/v1/ladder", "/base/readings/a420", ladder(func(r map[string]any) {
			r["base"] = map[string]any{"readings": map[string]any{"a420": "1,112", "a520": 0.03, "a620": 0.01, "path_mm": 10}}
		})},
	} {
		v.reach("/?" + c.query)
		evaluated[bool](v, `document.querySelector("#wines").open = true`)
		if evaluated[bool](v, fmt.Sprintf(`document.querySelector("#%s").hasAttribute("aria-invalid")`, c.field)) {
			t.Fatalf("%s is marked before anything wrong is typed", c.field)
		}
		v.retype("#"+c.field, c.text)
		v.key("Tab")
		v.until("the field is marked", fmt.Sprintf(`document.querySelector("#%s").getAttribute("aria-invalid") === "true"`, c.field))
		problem := answered[calc.Problem](t, base+c.path, c.request, http.StatusUnprocessableEntity)
		if len(problem.Errors) != 1 || problem.Errors[0].Location != c.location {
			t.Fatalf("%s: the interface says %+v, want one fault at %s", c.field, problem.Errors, c.location)
		}
		got := evaluated[struct{ Text, Said, Label string }](v, fmt.Sprintf(`(() => { const e = document.querySelector("#%s"), said = document.getElementById(e.getAttribute("aria-describedby"));
			return {Text: e.value, Said: said?.checkVisibility() ? said.textContent.trim() : "", Label: e.labels[0].textContent.trim()} })()`, c.field))
		if want := got.Label + ": " + problem.Errors[0].Message; got.Text != c.text || !strings.HasPrefix(got.Said, want) {
			t.Errorf("%s has %q and says %q, want %q and %q", c.field, got.Text, got.Said, c.text, want)
		}
		v.quiet()
	}
}

// TestBrowserNoScript: without script the form submits, and what needs script is
// not in the way.
func TestBrowserNoScript(t *testing.T) {
	base := served(t, true)
	for _, s := range []sight{desk, phone} {
		s.noScript = true
		t.Run(s.String(), func(t *testing.T) {
			v := open(t, base, s)
			v.do(chromedp.Navigate(base + "/"))
			v.do(chromedp.SetValue(chromedp.CSS("#red_dose"), "14.5"), chromedp.Click(chromedp.CSS(".exact button")), chromedp.WaitReady(chromedp.CSS("#red_dose[value='14.5']")))
			page := said(v)
			for _, want := range []string{"14.5 mL per 100 mL of base", "12.7 % of the blend"} {
				if !strings.Contains(page, want) {
					t.Errorf("the page does not say %q", want)
				}
			}
			v.do(chromedp.ScrollIntoView(chromedp.CSS("#chart img")), chromedp.WaitVisible(chromedp.CSS("#chart img")))
			if dead := evaluated[[]string](v, `[...document.querySelectorAll("main [data-needs-script], main button[type=button], main input[type=range]")].filter((e) => e.checkVisibility()).map((e) => e.outerHTML.slice(0, 100))`); len(dead) > 0 {
				t.Errorf("without script there is still %s", dead)
			}
			if bare := evaluated[[]string](v, `[...document.querySelectorAll("main, main section, main div, main figure, main p, main dl, main table, main ul, main h2, main h3")]
				.filter((e) => e.checkVisibility() && !e.innerText.trim() && !e.querySelector("svg, img, input, select, textarea")).map((e) => e.outerHTML.slice(0, 100))`); len(bare) > 0 {
				t.Errorf("without script nothing stands in %s", bare)
			}
			v.narrow()
			v.quiet()
		})
	}
}

// said is what the page says, by the browser's protocol.
func said(v *visit) string {
	v.t.Helper()
	text, err := chromedp.Run(v.ctx, chromedp.Text(chromedp.CSS("main")))
	if err != nil {
		v.t.Fatal(err)
	}
	return strings.Join(strings.Fields(text), " ")
}

// TestBrowserLinkInPieces: a link with a broken state opens with what could be
// read, and says what could not.
func TestBrowserLinkInPieces(t *testing.T) {
	v := open(t, served(t, true), phone)
	v.reach("/?" + url.Values{"base": {"white-3"}, "red": {"no-such"}, "red_dose": {"a lot"}, "lamp": {"moon"}, "frob": {"1"}}.Encode())
	page := said(v)
	for _, want := range []string{"White, tank 3", `"no-such" is not in this cellar`, "expected number", "frob", "Lamp: expected value to be one of"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q:\n%s", want, page)
		}
	}
	v.quiet()
}

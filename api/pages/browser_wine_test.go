//go:build browser

package pages_test

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"
)

// refusedAt is what a browser says of a form that was refused.
func refusedAt(address string) string {
	return fmt.Sprintf("error: Failed to load resource: the server responded with a status of 422 (%s) %s", http.StatusText(http.StatusUnprocessableEntity), address)
}

// TestBrowserWineCorrection corrects a reading by the keyboard alone, at both sizes:
// first without a reason, which is asked for.
func TestBrowserWineCorrection(t *testing.T) {
	checker := axe(t)
	for _, s := range []sight{desk, phone} {
		t.Run(s.String(), func(t *testing.T) {
			base := served(t, false)
			id := posted(t, base+"/v1/wines", `{"name": "Tank 4", "kind": "white", "readings": {"a420": 0.142, "a520": 0.811, "a620": 0.021}}`)
			v := open(t, base, s)
			v.reach("/wines/" + id)
			v.says("Tank 4", "Spectrum", "The colour over time", "today")
			v.follow("Correct this reading")
			at := evaluated[string](v, `location.pathname`)
			v.tabUntil("A520", `e.id === "correct-a520"`)
			if got := evaluated[string](v, `document.activeElement.value`); got != "0.811" {
				t.Fatalf("the form begins with %q", got)
			}
			v.retype("#correct-a520", "0.118")
			v.enter("what is wrong")
			v.says("Nothing was saved", "say why")
			if got := evaluated[string](v, `document.querySelector("#correct-a520").value + " " + document.querySelector("#correct-correct_reason").getAttribute("aria-invalid")`); got != "0.118 true" {
				t.Fatalf("typed, and whether the reason is marked: %q", got)
			}
			for _, found := range violations(v, checker) {
				t.Error(found)
			}
			v.narrow()
			v.write("correct-correct_reason", "two digits were turned")
			v.tabUntil("the button", `e.localName === "button"`)
			v.enter("the wine")
			v.says("two digits were turned", "Superseded", "0.118", "0.811", "Superseded and drawn open: 1")
			v.narrow()
			v.quiet(refusedAt(base + at + "/correct"))
		})
	}
}

// TestBrowserWineTwoTabs edits one wine in two tabs: the second is told of what the
// first changed, and nothing of either is lost.
func TestBrowserWineTwoTabs(t *testing.T) {
	checker := axe(t)
	for _, s := range []sight{desk, phone} {
		t.Run(s.String(), func(t *testing.T) {
			base := served(t, false)
			id := posted(t, base+"/v1/wines", `{"name": "Tank 4", "kind": "white", "lot": "W-4", "stock_l": 1200, "notes": "one\ntwo"}`)
			edit := "/wines/" + id + "/edit"
			one, two := open(t, base, s), open(t, base, s)
			one.reach(edit)
			two.reach(edit)
			one.retype("#wine-stock_l", "900")
			one.enter("the wine in the first tab")
			one.says("900 L")
			two.retype("#wine-wine_lot", "W-4b")
			two.retype("#wine-stock_l", "1100")
			two.enter("the difference in the second tab")
			two.says("Somebody else changed this wine meanwhile", "1200", "900", "1100")
			if got := evaluated[string](two, `["wine_lot", "stock_l", "notes"].map((f) => document.querySelector("#wine-" + f).value).join("|")`); got != "W-4b|1100|one\ntwo" {
				t.Fatalf("the form has %q", got)
			}
			for _, found := range violations(two, checker) {
				t.Error(found)
			}
			two.narrow()
			two.do(chromedp.Focus(chromedp.CSS("#wine-name")))
			two.enter("the wine in the second tab")
			two.says("W-4b", "1100 L", "one two")
			one.quiet()
			two.quiet(refusedAt(base + edit))
		})
	}
}

// TestBrowserWinePreviewToTrial types two wines into the preview and saves it as a
// trial, by the keyboard alone, at both sizes and without script too.
func TestBrowserWinePreviewToTrial(t *testing.T) {
	checker := axe(t)
	for _, s := range []sight{desk, phone, {width: 1280, height: 900, noScript: true}} {
		t.Run(fmt.Sprintf("%s, script %t", s, !s.noScript), func(t *testing.T) {
			base := served(t, false)
			v := open(t, base, s)
			address := "/?base=readings&base_a420=0.112&base_a520=0.031&base_a620=0.012&red=readings&red_a420=0.243&red_a520=0.412&red_a620=0.069&red_dose=6&doses=0+2+4&target=lab&target_L=88&target_a=12&target_b=7"
			if s.noScript {
				v.do(chromedp.Navigate(base + address))
				v.do(chromedp.Click(chromedp.CSS(`a.button[href^="/trials/new"]`)), chromedp.WaitReady(chromedp.CSS("#base_as")))
				v.do(chromedp.SendKeys(chromedp.CSS("#base_as"), "Tank 4"), chromedp.SendKeys(chromedp.CSS("#addition_as"), "Barrel 7"), chromedp.Click(chromedp.CSS("form.begin .submit button")), chromedp.WaitReady(chromedp.CSS(".bench")))
				v.says("Tank 4 + Barrel 7")
				return
			}
			v.reach(address)
			v.follow("Save as a trial")
			v.says("Filled from the preview", "Wines that are not stored yet")
			for _, found := range violations(v, checker) {
				t.Error(found)
			}
			v.narrow()
			v.pressable(48, "main button, main a.button")
			v.write("base_as", "Tank 4")
			v.enter("what is wrong")
			v.says("a wine needs a name")
			if got := evaluated[string](v, `document.querySelector("#base_as").value + " " + document.querySelector("#addition_as").getAttribute("aria-invalid")`); got != "Tank 4 true" {
				t.Fatalf("typed, and whether the name is marked: %q", got)
			}
			v.write("addition_as", "Barrel 7")
			v.enter("the bench")
			v.says("Tank 4 + Barrel 7", "Measured with the 10 mL syringe")
			v.narrow()
			v.quiet(refusedAt(base + "/trials"))
		})
	}
}

//go:build browser

package pages_test

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestBrowserFind narrows the list of wines while one types.
func TestBrowserFind(t *testing.T) {
	base := served(t, true)
	v := open(t, base, desk)
	v.reach("/wines")
	before := evaluated[int](v, `document.querySelectorAll("#found tbody tr").length`)
	v.do(chromedp.SendKeys(chromedp.CSS("#named"), "barrel 7"))
	v.until("one wine", `document.querySelectorAll("#found tbody tr").length === 1 && location.search === "?named=barrel+7"`)
	if before < 2 {
		t.Errorf("%d wines at first", before)
	}
	v.do(chromedp.SendKeys(chromedp.CSS("#named"), "xx"))
	v.until("no wine", `document.querySelector("#found").innerText.includes("No wine has")`)
	v.quiet()
}

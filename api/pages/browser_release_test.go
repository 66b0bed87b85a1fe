//go:build browser

package pages_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// tabUntil goes on by Tab until what has the focus meets a condition on e.
func (v *visit) tabUntil(what, condition string) {
	v.t.Helper()
	for range 300 {
		v.key("Tab")
		if evaluated[bool](v, `((e) => Boolean(e) && e !== document.body && (`+condition+`))(document.activeElement)`) {
			return
		}
	}
	v.t.Fatalf("Tab does not lead to %s", what)
}

// follow goes to what says some words by Tab and presses Enter, and waits for the
// page it leads to.
func (v *visit) follow(words string) {
	v.t.Helper()
	v.tabUntil(words, fmt.Sprintf(`e.textContent.trim() === %q`, words))
	v.enter("the page after " + words)
}

// enter presses Enter and waits for another page.
func (v *visit) enter(what string) {
	v.t.Helper()
	evaluated[bool](v, `document.querySelector("main").before_ = true`)
	v.key("Enter")
	v.until(what, `!document.querySelector("main")?.before_ && document.readyState === "complete"`)
}

// write goes to a field by Tab and writes into it; of a list it chooses what begins
// so.
func (v *visit) write(id, words string) {
	v.t.Helper()
	v.tabUntil(id, fmt.Sprintf(`e.id === %q`, id))
	v.do(chromedp.KeyEvent(words))
}

// says wants a page to have some words.
func (v *visit) says(words ...string) {
	v.t.Helper()
	said := strings.Join(strings.Fields(evaluated[string](v, `document.querySelector("main").innerText`)), " ")
	for _, w := range words {
		if !strings.Contains(said, w) {
			v.t.Fatalf("the page does not say %q; it says:\n%.1500s", w, said)
		}
	}
}

// TestBrowserRelease goes from an empty store to a released lot by the pages and
// the keyboard alone, at both sizes.
func TestBrowserRelease(t *testing.T) {
	for _, s := range []sight{desk, phone} {
		t.Run(s.String(), func(t *testing.T) {
			v := open(t, served(t, false), s)
			v.reach("/lots")
			v.follow("A new specification")
			v.write("spec-name", "House rosé")
			v.write("spec-product", "House")
			v.write("spec-target_L", "92.3")
			v.write("spec-target_a", "7.6")
			v.write("spec-target_b", "6.3")
			v.write("spec-delta_e_00", "three")
			v.enter("what is wrong with the form")
			v.says("Nothing was saved", "expected number")
			v.tabUntil("the way to the field", `e.getAttribute("href") === "#spec-delta_e_00-at"`)
			v.key("Enter")
			v.key("Tab")
			if at := evaluated[string](v, `document.activeElement.id`); at != "spec-delta_e_00" {
				t.Fatalf("the link leads to %q", at)
			}
			v.retype("#spec-delta_e_00", "3")
			v.enter("the specification")
			v.says("House rosé", "A perfect lot can pass with this setup", "at most 3")
			v.follow("Lots")
			v.follow("A new lot")
			v.write("lot-name", "L-31")
			v.write("lot-lot_spec", "House")
			v.write("lot-bottled_at", "2026-03-12")
			v.enter("the lot")
			v.says("L-31", "Not judged yet")
			v.write("sample-stage", "beginning")
			v.write("sample-taken_at", "2026-03-12 14:30")
			v.write("sample-a420", "0.142")
			v.write("sample-a520", "0.118")
			v.write("sample-a620", "0.021")
			v.enter("the verdict")
			v.says("Within specification with probability", "Go on with the run")
			v.narrow()
			v.write("decide-decision", "release")
			v.write("decide-by", "Ada")
			v.enter("the decision")
			v.says("Released by Ada", "rests on one verdict")
			v.write("issue-issued_by", "Ada")
			v.enter("the statement")
			v.follow("Statement 1")
			v.says("L-31")
			v.quiet("error: Failed to load resource: the server responded with a status of 422 (Unprocessable Entity) " + v.base + "/specs")
		})
	}
}

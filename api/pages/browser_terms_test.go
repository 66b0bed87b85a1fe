//go:build browser

package pages_test

import (
	"net/http"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// TestBrowserTerms: each quantity that a page explains leads to its paragraph of
// the method and says in a sentence what it means; pages of figures explain some.
func TestBrowserTerms(t *testing.T) {
	pages := walked(t)
	at := func(address string) *html.Node {
		t.Helper()
		r, err := http.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		tree, err := html.Parse(r.Body)
		if err != nil {
			t.Fatal(err)
		}
		return tree
	}
	explained := map[string]bool{}
	for n := range at(pages[0].base + "/method").Descendants() {
		if id := attribute(n, "id"); id != "" {
			explained["/method#"+id] = true
		}
	}
	of := map[string]int{}
	for _, page := range pages {
		if page.status != 0 {
			continue
		}
		for n := range at(page.base + page.address).Descendants() {
			href := attribute(n, "href")
			if !strings.HasPrefix(href, "/method#") {
				continue
			}
			if !explained[href] {
				t.Errorf("%s: nothing at %s", page.name, href)
			}
			if attribute(n, "class") == "what" {
				of[page.name]++
				if attribute(n, "title") == "" || strings.TrimSpace(text(n)) == "" {
					t.Errorf("%s: a quantity without its meaning: %s", page.name, href)
				}
			}
		}
	}
	for _, name := range []string{"preview", "wines", "one wine", "bench", "charts", "one statement", "drift", "lots about to leave", "lots", "lot", "specification"} {
		if of[name] == 0 {
			t.Errorf("%s: no quantity is explained", name)
		}
	}
}

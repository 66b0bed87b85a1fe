//go:build browser

package pages_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"image/png"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"pourpath/api/calc"
)

// The most that a page may take, in bytes on the wire and in requests.
const (
	firstBytes, firstRequests = 200e3, 12 // the bench asks for what it shows once more, to keep it
	againBytes                = 5e3       // conditional answers
)

// TestBrowserBytes counts what goes over the wire for each page: the first time, and
// next to nothing when it is loaded again, but for a page that nobody may keep. How
// long it takes is told against a page with nothing on it, as machines differ.
func TestBrowserBytes(t *testing.T) {
	took := func(v *visit, address string) float64 {
		t.Helper()
		v.reach(address)
		return evaluated[float64](v, `performance.getEntriesByType("navigation")[0].duration`)
	}
	sum := func(list []asked) (total float64) {
		for _, one := range list {
			total += one.bytes
		}
		return total
	}
	for _, page := range walked(t) {
		if page.status != 0 {
			continue
		}
		t.Run(page.name, func(t *testing.T) {
			v := open(t, page.base, desk)
			blank := took(v, "/blank")
			v.all()
			time := took(v, page.address)
			v.answered()
			first := v.all()
			v.do(chromedp.Reload())
			v.settle()
			v.answered()
			again := v.all()
			t.Logf("first load: %d requests, %.0f bytes, %.1f times as long as a blank page; again: %d requests, %.0f bytes", len(first), sum(first), time/blank, len(again), sum(again))
			if got := sum(first); got > firstBytes || got < 3e3 || len(first) > firstRequests || len(first) < 3 {
				t.Errorf("the first load takes %.0f bytes in %d requests, want under %.0f and %d", got, len(first), firstBytes, firstRequests)
			}
			kept, passing := 0, 0.0
			for _, one := range first {
				if strings.Contains(one.url, "/assets/") && !strings.Contains(one.url, "/favicon.") {
					kept++
					if !strings.Contains(one.keep, "immutable") {
						t.Errorf("%s may be kept as %q, want immutable", one.url, one.keep)
					}
				}
			}
			if kept < 2 {
				t.Errorf("%d assets on the first load, want the style and the script at least", kept)
			}
			for _, one := range again {
				if strings.Contains(one.url, "/assets/") && !one.cached {
					t.Errorf("%s is asked for again", one.url)
				}
				if one.keep == "no-store" && one.url == page.base+page.address {
					passing += one.bytes
				}
			}
			if got := sum(again) - passing; got > againBytes || passing > 50e3 {
				t.Errorf("a reload takes %.0f bytes, want under %.0f, and %.0f of what nobody may keep", got, againBytes, passing)
			}
			v.quiet()
		})
	}
}

// TestBrowserLinks: picture and request are there to save; the chart has a text
// and the table behind it; the closest dose is one press away.
func TestBrowserLinks(t *testing.T) {
	base := served(t, true)
	v := open(t, base, desk)
	v.reach("/?red_dose=3")
	v.keyTo("#red-slide", 12)
	v.until("the address has the dose", `location.search.includes("red_dose=12")`)
	links := evaluated[[]struct{ Href, Name string }](v, `[...document.querySelectorAll("a[data-address][download]")].map((a) => ({Href: a.getAttribute("href"), Name: a.download}))`)
	if len(links) != 3 {
		t.Fatalf("%d links to save something, want 3", len(links))
	}
	for i, want := range []struct {
		kind, ending string
		reads        func([]byte) error
	}{
		{"image/svg+xml", ".svg", func(b []byte) error {
			return xml.Unmarshal(b, &struct {
				XMLName xml.Name `xml:"http://www.w3.org/2000/svg svg"`
			}{})
		}},
		{"image/png", ".png", func(b []byte) error { _, err := png.Decode(bytes.NewReader(b)); return err }},
		{"application/json", ".json", func(b []byte) error {
			ladder := answered[calc.LadderResponse](t, base+"/v1/ladder", json.RawMessage(b), http.StatusOK)
			if len(ladder.Rungs) == 0 {
				t.Error("the request is answered with no rungs")
			}
			return nil
		}},
	} {
		body, kind := fetched(t, base+links[i].Href)
		if kind != want.kind || !strings.HasSuffix(links[i].Name, want.ending) || !strings.Contains(links[i].Href, "red_dose=12") {
			t.Errorf("%+v answers with %s, want %s of the dose 12", links[i], kind, want.kind)
		}
		if err := want.reads(body); err != nil {
			t.Errorf("%s: %v", links[i].Href, err)
		}
	}
	chart := evaluated[struct {
		Name string
		Rows int
	}](v, `({Name: [...document.querySelectorAll("#chart svg[role=img]")].map((s) => s.getAttribute("aria-label") || s.querySelector("title")?.textContent || "").join("|"), Rows: document.querySelectorAll("table.ladder tbody tr").length})`)
	if chart.Name == "" || strings.HasPrefix(chart.Name, "|") || strings.HasSuffix(chart.Name, "|") || chart.Rows < 9 {
		t.Errorf("the chart's text and the table's rows: %+v", chart)
	}
	v.asks()
	v.do(chromedp.Click(chromedp.CSS("a[data-go]")))
	v.settle()
	if dose := evaluated[float64](v, `Number(document.querySelector("#red_dose").value)`); dose > 8 || len(v.asks()) > 0 {
		t.Errorf("the closest dose is %g, or it was asked for", dose)
	}
	v.quiet()
}

//go:build browser

package pages_test

import (
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestBrowserKeptLanguage: the page that is shown while the service cannot be reached is in
// the language that was used last, also where that was chosen on another page.
func TestBrowserKeptLanguage(t *testing.T) {
	h, records := withRecords(t, true)
	fill(t, records)
	l := &line{service: h}
	s := httptest.NewServer(l)
	t.Cleanup(s.Close)
	v := open(t, s.URL, phone)
	at := begunTrial(t, s.URL)
	v.reach(at)
	v.until("that the page is kept", `caches.match(location.href).then((page) => page !== undefined && navigator.serviceWorker.ready.then(() => true))`)
	v.reach("/cautions")
	for _, c := range []struct{ button, lang string }{{"es", "es-ES"}, {"fr", "fr-FR"}} {
		evaluated[bool](v, `document.querySelector(".languages button[value=`+c.button+`]").click(); true`)
		v.until("that the page is in "+c.lang, `document.documentElement?.lang === "`+c.lang+`" && document.readyState === "complete"`)
		v.until("that what is kept follows", `caches.match("`+at+`").then((page) => page.text()).then((text) => text.includes('<html lang="`+c.lang+`"'))`)
	}
	l.cut.Store(true)
	v.do(chromedp.Navigate(s.URL + at))
	v.until("the page that was kept", `document.documentElement.hasAttribute("data-kept") && document.readyState === "complete"`)
	if lang := evaluated[string](v, `document.documentElement.lang`); lang != "fr-FR" {
		t.Errorf("the page that was kept is in %q", lang)
	}
}

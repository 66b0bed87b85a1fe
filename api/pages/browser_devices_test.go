//go:build browser

package pages_test

import (
	"net/http/httptest"
	"net/netip"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/chromedp/chromedp"

	"pourpath/api/access"
)

// fits wants a page to be as every other in both modes.
func (v *visit) fits(checker string) {
	v.t.Helper()
	for _, dark := range []bool{false, true} {
		v.dark(dark)
		v.narrow()
		for _, found := range violations(v, checker) {
			v.t.Errorf("dark %t: %s", dark, found)
		}
	}
	v.pressable(24, "a[href], button, input, summary")
	v.pressable(48, "main button, main a.button")
}

// TestBrowserDevices: a phone that was never paired is told how, is paired by a link of
// the machine's page, reads, and is sent away at once.
func TestBrowserDevices(t *testing.T) {
	var outside atomic.Bool // whoever asks now is another machine
	reached := access.Listening{Address: netip.MustParseAddrPort("192.0.2.7:8420")}
	h, records := admitting(t, true, access.Config{Local: func(netip.Addr) bool { return !outside.Load() }}, reached)
	fill(t, records)
	service := httptest.NewServer(h)
	t.Cleanup(service.Close)
	checker := axe(t)
	machine, telephone := open(t, service.URL, desk), open(t, service.URL, phone)
	heading := func(v *visit, want string) {
		t.Helper()
		if got := evaluated[string](v, `document.querySelector("h1").textContent`); got != want {
			t.Fatalf("the page is headed %q, want %q", got, want)
		}
	}
	asOther := func(address string) {
		t.Helper()
		outside.Store(true)
		telephone.reach(address)
	}

	asOther("/wines")
	heading(telephone, "This device is not paired")
	telephone.fits(checker)

	outside.Store(false)
	machine.reach("/devices")
	machine.fits(checker)
	machine.do(chromedp.Click(chromedp.CSS(`form[action="/devices/keys"] button`)))
	machine.until("the link", `document.querySelector(".pairing a code") !== null`)
	machine.fits(checker)
	link, err := url.Parse(evaluated[string](machine, `document.querySelector(".pairing a code").textContent`))
	if err != nil || link.Host != reached.Address.String() || !strings.HasPrefix(link.Path, "/pair/") {
		t.Fatalf("the link is %v (%v)", link, err)
	}

	asOther(link.Path)
	heading(telephone, "Pair this device")
	telephone.fits(checker)
	telephone.retype("#name", "Cellar phone")
	telephone.do(chromedp.Click(chromedp.CSS("main button")))
	telephone.until("the first page", `location.pathname === "/" && document.readyState === "complete"`)
	asOther("/wines")
	heading(telephone, "Wines")
	asOther("/device")
	telephone.fits(checker)
	asOther("/devices")
	heading(telephone, "Only the machine itself may do that")
	telephone.fits(checker)

	outside.Store(false)
	machine.reach("/devices")
	if list := evaluated[string](machine, `document.querySelector("table.paired tbody").innerText`); !strings.Contains(list, "Cellar phone") {
		t.Fatalf("the list has %q", list)
	}
	machine.fits(checker)
	machine.do(chromedp.Click(chromedp.CSS("table.paired button")))
	machine.until("nobody is paired", `document.querySelector("table.paired") === null`)
	asOther("/wines")
	heading(telephone, "This device is not paired")
	// The link was good once.
	asOther(link.Path)
	heading(telephone, "This device is not paired")
	outside.Store(false)
	machine.quiet()
}

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

// TestBrowserKeepsNothing: the pages of trials that a device keeps are gone once it was
// sent away and asks again, or has ended its session itself.
func TestBrowserKeepsNothing(t *testing.T) {
	var outside atomic.Bool // whoever asks now is another machine
	h, records := admitting(t, true, access.Config{Local: func(netip.Addr) bool { return !outside.Load() }}, access.Listening{})
	fill(t, records)
	trial := demoTrial(t, h)
	outside.Store(true)
	service := httptest.NewServer(h)
	t.Cleanup(service.Close)
	const kept = `caches.has("bench")`
	const none = `caches.has("bench").then((there) => !there)`
	for name, leave := range map[string]func(v *visit){
		"sent away": func(v *visit) {
			all, err := records.Devices(t.Context())
			if err != nil || len(all) != 1 {
				t.Fatal(all, err)
			}
			if err := records.RemoveDevice(t.Context(), all[0].ID); err != nil {
				t.Fatal(err)
			}
			v.reach(trial)
		},
		"ended": func(v *visit) {
			v.reach("/device")
			v.do(chromedp.Click(chromedp.CSS("main button")))
			v.until("the end", `document.querySelector("form") === null`)
		},
	} {
		key, _, err := access.NewPairing(t.Context(), records)
		if err != nil {
			t.Fatal(err)
		}
		v := open(t, service.URL, phone)
		v.reach("/pair/" + key)
		v.do(chromedp.Click(chromedp.CSS("main button")))
		v.until("the first page", `location.pathname === "/" && document.readyState === "complete"`)
		v.reach(trial)
		v.until("the page is kept, by what answers for it", `caches.match(location.href).then((page) => page !== undefined && navigator.serviceWorker.ready.then(() => true))`)
		v.reach(trial)
		if !evaluated[bool](v, kept) {
			t.Fatalf("%s: nothing is kept", name)
		}
		leave(v)
		v.until(name+": nothing is kept", none)
	}
}

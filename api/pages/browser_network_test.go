//go:build browser

package pages_test

import (
	"fmt"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/chromedp/chromedp"

	"pourpath/api/access"
)

// TestBrowserNetwork: forms work over a line that is not encrypted, from another machine.
// Browsers send less of where a form comes from there than they do on loopback addresses.
func TestBrowserNetwork(t *testing.T) {
	var outside atomic.Bool // whoever asks now is another machine
	reached := access.Listening{Address: netip.MustParseAddrPort("0.0.0.0:8420"), Hosts: []string{cellarName}}
	service, records := admitting(t, true, access.Config{Local: func(netip.Addr) bool { return !outside.Load() }, Hosts: reached.Hosts}, reached)
	fill(t, records)
	server := httptest.NewServer(service)
	t.Cleanup(server.Close)
	trial := pouredTrial(t, service)
	panel := openedPanel(t, service, trial, panelFields(tenJudges))
	judge := judgeLinks(t, service, panel)[0]
	own, err := url.Parse(server.URL)
	if err != nil {
		t.Fatal(err)
	}
	base := fmt.Sprintf("http://%s:%s", cellarName, own.Port())

	machine := open(t, server.URL, desk)
	machine.reach("/devices")
	machine.do(chromedp.Click(chromedp.CSS(`form[action="/devices/keys"] button`)))
	machine.until("the link", `document.querySelector(".pairing a code") !== null`)
	link, err := url.Parse(evaluated[string](machine, `document.querySelector(".pairing a code").textContent`))
	if err != nil || link.Hostname() != cellarName {
		t.Fatalf("the link is %v (%v)", link, err)
	}

	outside.Store(true)
	telephone := open(t, base, phone)
	telephone.reach(link.Path)
	if evaluated[bool](telephone, `isSecureContext`) {
		t.Fatalf("the browser trusts %s: the test would prove nothing", base)
	}
	telephone.do(chromedp.Click(chromedp.CSS("main button")))
	telephone.until("the first page", `location.pathname === "/" && document.readyState === "complete"`)

	telephone.reach(trial)
	evaluated[bool](telephone, `(document.querySelector("#note").value = "a cold cellar", document.querySelector("#note").form.requestSubmit(), true)`)
	telephone.until("the note", `document.readyState === "complete" && document.querySelector("main")?.innerText.includes("a cold cellar")`)

	taster := open(t, base, phone)
	taster.reach(judge)
	taster.do(chromedp.Click(chromedp.CSS("main button")))
	taster.until("the judge's page", `location.pathname === "/judging" && document.readyState === "complete"`)
	if said := evaluated[string](taster, `document.body.innerText`); !strings.Contains(said, "Judge: Ada") {
		t.Errorf("the judge reads %.300s", said)
	}
}

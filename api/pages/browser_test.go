//go:build browser

package pages_test

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	chromelog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// These tests open the pages in Debian's Chromium as the service serves them:
// go test -tags browser ./api/pages.

// cellarName leads the browser to this machine. Without encryption it is to the browser
// what the machine's address on a network is: no trustworthy origin.
const cellarName = "cellar.test"

// chromium is the one browser of this test binary.
var chromium struct {
	sync.Mutex
	ctx  context.Context //nolint:containedctx // lives as long as the binary
	stop []func()
}

func TestMain(m *testing.M) {
	code := m.Run()
	for i := len(chromium.stop) - 1; i >= 0; i-- {
		chromium.stop[i]()
	}
	os.Exit(code)
}

// browser returns the browser, which it starts at first.
func browser(t *testing.T) context.Context {
	t.Helper()
	chromium.Lock()
	defer chromium.Unlock()
	if chromium.ctx != nil {
		return chromium.ctx
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.NoSandbox, // as root Chromium starts no other way; it opens these pages only
		chromedp.Flag("disable-gpu", true), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("hide-scrollbars", false),
		// A name that no browser trusts as it does this machine's own addresses.
		chromedp.Flag("host-resolver-rules", "MAP "+cellarName+" 127.0.0.1"))
	allocated, stop := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, closeTab := chromedp.NewContext(allocated)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("Chromium does not start (apt-get install chromium): %v", err)
	}
	chromium.ctx, chromium.stop = ctx, []func(){stop, closeTab}
	return ctx
}

// served is the whole service on an address of this machine, filled as the
// demonstration is, or empty.
func served(t *testing.T, demo bool) string {
	t.Helper()
	h, records := withRecords(t, demo)
	if demo {
		fill(t, records)
	}
	mux := http.NewServeMux()
	mux.Handle("/", h)
	// A page with nothing on it, to measure the browser itself by.
	mux.HandleFunc("/blank", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		if _, err := io.WriteString(w, `<!doctype html><html lang="en"><title>blank</title><main><input type="range" data-dose max="20" step="0.1"></main>`); err != nil {
			t.Log(err) // the tab may have gone
		}
	})
	s := httptest.NewServer(mux)
	t.Cleanup(s.Close)
	return s.URL
}

// sight is how a page is looked at.
type sight struct {
	width, height int64
	dark, touch   bool
	still         bool // whoever looks asked for less motion
	noScript      bool
}

func (s sight) String() string { return fmt.Sprintf("%d px", s.width) }

var (
	desk  = sight{width: 1280, height: 900}
	phone = sight{width: 390, height: 844, touch: true}
)

// asked is one request of a page.
type asked struct {
	method, url string
	bytes       float64 // on the wire
	status      int64
	cached      bool
	keep        string // its answer's Cache-Control
	whole       bool   // the answer is there to its end
}

// visit is a tab of its own, with nothing kept from others.
type visit struct {
	t     *testing.T
	ctx   context.Context //nolint:containedctx // lives as long as the test
	base  string
	sight sight

	mu        sync.Mutex
	requests  map[network.RequestID]*asked
	order     []*asked
	hosts     map[string]string // each host that was asked, with an address of it
	complaint []string
}

// open opens a tab; go goes to an address of the service in it.
func open(t *testing.T, base string, s sight) *visit {
	t.Helper()
	ctx, cancel := chromedp.NewContext(browser(t), chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	v := &visit{t: t, base: base, sight: s, requests: map[network.RequestID]*asked{}, hosts: map[string]string{}}
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	v.ctx, cancel = context.WithTimeout(ctx, 3*time.Minute)
	t.Cleanup(cancel)
	if err := chromedp.Listen(v.ctx, v.heard); err != nil {
		t.Fatal(err)
	}
	mode, motion := "light", "no-preference"
	if s.dark {
		mode = "dark"
	}
	if s.still {
		motion = "reduce"
	}
	v.do(
		called(network.Enable, network.EnableParams{}), called(runtime.Enable, cdp.Empty{}), called(chromelog.Enable, cdp.Empty{}),
		called(emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: s.width, Height: s.height, DeviceScaleFactor: 1, Mobile: s.touch}),
		called(emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: s.touch}),
		called(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: mode}, {Name: "prefers-reduced-motion", Value: motion}}}),
		// A window without the focus of the desktop shows no focus of its own.
		called(emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}),
		called(emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: s.noScript}),
	)
	return v
}

// called is a command of the browser's protocol as a step.
func called[P any, R any](command cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, target, command, params)
		return chromedp.Void{}, err
	}
}

// heard notes requests and complaints.
func (v *visit) heard(event any) {
	v.mu.Lock()
	defer v.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		// A redirection keeps the number of the request that led to it.
		if before := v.requests[e.RequestID]; before != nil && e.RedirectResponse != nil {
			before.status, before.bytes = e.RedirectResponse.Status, e.RedirectResponse.EncodedDataLength
		}
		one := &asked{method: e.Request.Method, url: e.Request.URL}
		v.requests[e.RequestID] = one
		v.order = append(v.order, one)
		if u, err := url.Parse(one.url); err != nil {
			v.hosts[one.url] = one.url
		} else if u.Scheme != "data" && u.Scheme != "blob" { // which ask nobody
			v.hosts[u.Host] = one.url
		}
	case *network.EventRequestServedFromCache:
		if one := v.requests[e.RequestID]; one != nil {
			one.cached = true
		}
	case *network.EventResponseReceived:
		if one := v.requests[e.RequestID]; one != nil {
			one.status = e.Response.Status
			one.cached = one.cached || e.Response.FromDiskCache
			for name, value := range e.Response.Headers {
				if strings.EqualFold(name, "Cache-Control") {
					one.keep = fmt.Sprint(value)
				}
			}
		}
	case *network.EventLoadingFinished:
		if one := v.requests[e.RequestID]; one != nil {
			one.bytes, one.whole = e.EncodedDataLength, true
		}
	case *runtime.EventConsoleAPICalled:
		v.complaint = append(v.complaint, fmt.Sprintf("console.%s: %v", e.Type, e.Args))
	case *runtime.EventExceptionThrown:
		told := e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			told += " " + e.ExceptionDetails.Exception.Description
		}
		v.complaint = append(v.complaint, "exception: "+told)
	case *chromelog.EventEntryAdded:
		v.complaint = append(v.complaint, fmt.Sprintf("%s: %s %s", e.Entry.Level, e.Entry.Text, e.Entry.URL))
	}
}

func (v *visit) do(steps ...chromedp.Action[chromedp.Void]) {
	v.t.Helper()
	if err := chromedp.Do(v.ctx, steps...); err != nil {
		v.t.Fatal(err)
	}
}

// evaluated is a value of the page.
func evaluated[T any](v *visit, expression string) T {
	v.t.Helper()
	x, err := chromedp.Run(v.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		v.t.Fatalf("%s: %v", expression, err)
	}
	return x
}

// reach goes to an address and waits until it stands still, which without script
// nobody tells.
func (v *visit) reach(address string) {
	v.t.Helper()
	v.do(chromedp.Navigate(v.base + address))
	if !v.sight.noScript {
		v.settle()
	}
}

// settle waits for two frames after everything was loaded.
func (v *visit) settle() {
	v.t.Helper()
	evaluated[bool](v, `new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(() => done(true), 50))))`)
}

// until waits until an expression is true.
func (v *visit) until(what, expression string) {
	v.t.Helper()
	for range 200 {
		if evaluated[bool](v, expression) {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
	v.t.Fatalf("%s: not within 5 s", what)
}

// asks returns the requests to the service since the last call. Chromium looks up
// the page's icon whenever an address changes, and says a moment later that its
// cache answered.
func (v *visit) asks() []asked {
	return slices.DeleteFunc(v.all(), func(one asked) bool { return one.cached || strings.Contains(one.url, "/assets/favicon.") })
}

// answered waits until every request since the last call of all is answered; the icon
// may not be, which Chromium looks up when it likes.
func (v *visit) answered() {
	v.t.Helper()
	open := func() bool {
		v.mu.Lock()
		defer v.mu.Unlock()
		return slices.ContainsFunc(v.order, func(one *asked) bool { return !one.whole && !strings.Contains(one.url, "/favicon.") })
	}
	for range 200 {
		if !open() {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
	v.t.Fatal("requests are not answered within 5 s")
}

// all returns the requests since the last call, answered by the cache or not.
func (v *visit) all() []asked {
	v.mu.Lock()
	defer v.mu.Unlock()
	var out []asked
	for _, one := range v.order {
		out = append(out, *one)
	}
	v.order = nil
	return out
}

// forget leaves what was complained of and asked for so far.
func (v *visit) forget() {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.complaint, v.order = nil, nil
}

// quiet wants no complaint of the page and no request to anywhere else; but for
// the complaints that are given, whole.
func (v *visit) quiet(but ...string) {
	v.t.Helper()
	v.mu.Lock()
	defer v.mu.Unlock()
	for _, c := range v.complaint {
		if !slices.Contains(but, c) {
			v.t.Errorf("the page complains: %s", c)
		}
	}
	own, err := url.Parse(v.base)
	if err != nil {
		v.t.Fatal(err)
	}
	for host, address := range v.hosts {
		if host != own.Host {
			v.t.Errorf("a request to %s", address)
		}
	}
}

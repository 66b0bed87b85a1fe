package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gin-gonic/gin"

	"pourpath/api/access"
	"pourpath/api/pages"
	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/api/store/storetest"
)

// opened is the service on an address that other machines reach, with its pages.
type opened struct {
	t       *testing.T
	handler http.Handler
	records *store.Store
	now     time.Time
	wine    string // identifier of a stored one
	judge   string // key of a judge
	last    netip.Addr
}

// atHome are the addresses that count as this machine; others of its loopback network
// stand for other machines.
var atHome = netip.MustParsePrefix("127.7.0.0/16")

// here has a request come from this machine.
func here(r *http.Request) {
	at := netip.MustParseAddrPort(r.RemoteAddr).Addr().As4()
	at[1] = 7
	r.RemoteAddr = netip.AddrPortFrom(netip.AddrFrom4(at), 1).String()
}

func newOpened(t *testing.T) *opened {
	t.Helper()
	o := &opened{t: t, now: time.Now(), last: netip.MustParseAddr("127.1.0.0")}
	dir, address := storetest.Made(t, opening)
	records, err := store.Open(t.Context(), store.Config{Dir: dir, URL: address, Now: func() time.Time { return o.now }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := records.Close(); err != nil {
			t.Error(err)
		}
	})
	log := slog.New(slog.DiscardHandler)
	site, err := pages.New(pages.Config{Version: "test", Records: records, DataDir: dir, Log: log, Listening: access.Listening{Address: netip.MustParseAddrPort("192.0.2.7:8420")}})
	if err != nil {
		t.Fatal(err)
	}
	o.records = records
	o.handler = newTestService(t, func(c *Config) {
		c.Records, c.DataDir, c.Pages, c.Refused = records, dir, site, site.Refused
		c.Access = access.Config{Local: atHome.Contains}
	})
	machine := newTestService(t, func(c *Config) { c.Records = records })
	r := recorder{t: t, service: machine, document: served(t, machine)}
	o.judge = sit(r, ladderTrial(r), examplePanel).keys[0]
	w, _, err := records.CreateWine(t.Context(), record.WineFields{Name: "Secret of the cellar", Kind: record.White}, nil)
	if err != nil {
		t.Fatal(err)
	}
	o.wine = w.ID
	return o
}

// paired is the session of a new device.
func (o *opened) paired(name string) (session string, d record.Device) {
	o.t.Helper()
	key, _, err := access.NewPairing(o.t.Context(), o.records)
	if err != nil {
		o.t.Fatal(err)
	}
	w := o.ask(http.MethodPost, "/pair/"+key, "name="+name, form)
	cookies := w.Result().Cookies()
	if w.Code != http.StatusSeeOther || len(cookies) != 1 {
		o.t.Fatalf("pairing %s: %d %v", name, w.Code, cookies)
	}
	all, err := o.records.Devices(o.t.Context())
	if err != nil || len(all) == 0 {
		o.t.Fatal(all, err)
	}
	return cookies[0].Name + "=" + cookies[0].Value, all[len(all)-1]
}

// ask sends a request from an address that has not asked before, so that the walks do
// not end where an address was refused too often.
func (o *opened) ask(method, path, body string, as ...func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequestWithContext(o.t.Context(), method, "http://127.0.0.1:8420"+path, strings.NewReader(body))
	o.last = o.last.Next()
	r.Host, r.RemoteAddr = "127.0.0.1:8420", netip.AddrPortFrom(o.last, 1).String()
	for _, a := range as {
		a(r)
	}
	w := httptest.NewRecorder()
	o.handler.ServeHTTP(w, r)
	return w
}

func with(header, value string) func(*http.Request) {
	return func(r *http.Request) { r.Header.Set(header, value) }
}

func form(r *http.Request) { r.Header.Set("Content-Type", "application/x-www-form-urlencoded") }

// everything is a hash of all that is stored.
func (o *opened) everything() string {
	o.t.Helper()
	var archive bytes.Buffer
	if _, err := o.records.Archive(o.t.Context(), &archive); err != nil {
		o.t.Fatal(err)
	}
	_, rows, _ := strings.Cut(archive.String(), "\n") // without the time in the head
	rows = rows[:strings.LastIndex(strings.TrimSpace(rows), "\n")]
	sum := sha256.Sum256([]byte(rows))
	return hex.EncodeToString(sum[:])
}

// walked are all routes of the service, each with methods that it takes and that it does
// not, and some that are none.
func (o *opened) walked() (calls [][3]string) {
	engine, ok := o.handler.(*gin.Engine)
	if !ok {
		o.t.Fatalf("the service is a %T", o.handler)
	}
	known := map[string]bool{}
	for _, route := range engine.Routes() {
		known[route.Path] = true
	}
	if len(known) < 90 {
		o.t.Fatalf("only %d routes: the walk would prove little", len(known))
	}
	for _, odd := range []string{"/nothing", "/v1/", "/v1/nothing", "/healthz/", "/healthz/x", "/HEALTHZ", "//healthz", "/assets", "/judge", "/pair", "/pair/", "/.git/config"} {
		known[odd] = true
	}
	for route := range known {
		path := strings.NewReplacer(":id", o.wine, ":key", access.NewKey(), "*path", "x", ":what", "wines", "{", "", "}", "").Replace(route)
		if i := strings.Index(path, ":"); i >= 0 {
			path = path[:i] + "1"
		}
		for _, method := range []string{"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "CONNECT", "TRACE", "BREW"} {
			calls = append(calls, [3]string{method, path, route})
		}
	}
	return calls
}

// TestStrangers walks over every route of the service by every method, as whoever is not
// paired: nothing is read or changed, and what there is looks like what there is not.
func TestStrangers(t *testing.T) {
	o := newOpened(t)
	revoked, gone := o.paired("Revoked")
	if err := o.records.RemoveDevice(t.Context(), gone.ID); err != nil {
		t.Fatal(err)
	}
	expired, _ := o.paired("Expired")
	o.now = o.now.Add(store.DeviceUnused)
	before := o.everything()
	judges := []string{"/judging", "/v1/judging", "/assets/*path", "/favicon.ico"}
	for name, as := range map[string][]func(*http.Request){
		"nobody":                      nil,
		"revoked":                     {with("Cookie", revoked)},
		"expired":                     {with("Cookie", expired)},
		"judge":                       {with("Authorization", "Bearer "+o.judge)},
		"judge, by a cookie":          {with("Cookie", "pourpath_judge="+o.judge)},
		"who says to be here":         {with("X-Forwarded-For", "127.0.0.1")},
		"who says to be here, twice":  {with("X-Real-Ip", "127.0.0.1"), with("Forwarded", "for=127.0.0.1")},
		"the machine, by a proxy":     {here, with("X-Forwarded-For", "127.0.0.1")},
		"a judge's key for a session": {with("Cookie", "pourpath_device="+o.judge)},
	} {
		none := map[string]string{}
		for _, call := range o.walked() {
			method, path, route := call[0], call[1], call[2]
			w := o.ask(method, path, `{"name": "x"}`, append([]func(*http.Request){with("Content-Type", "application/json")}, as...)...)
			if route == "/healthz" && (method == http.MethodGet || method == http.MethodHead) && w.Code == http.StatusOK {
				continue
			}
			if strings.HasPrefix(name, "judge") && slices.Contains(judges, route) {
				continue // TestJudges
			}
			if w.Code != http.StatusUnauthorized || w.Header().Get("WWW-Authenticate") == "" || strings.Contains(w.Body.String(), "Secret") {
				t.Errorf("%s: %s %s: %d %v %.200s", name, method, path, w.Code, w.Header(), w.Body)
				continue
			}
			if strings.HasPrefix(path, "/v1/") {
				method += " v1"
			}
			answer := strings.Join(headersOf(w), "\n") + w.Body.String()
			if none[method] == "" {
				none[method] = answer
			}
			if answer != none[method] {
				t.Errorf("%s: %s %s tells that it is there:\n%s\nwant\n%s", name, method, path, answer, none[method])
			}
		}
	}
	if o.everything() != before {
		t.Error("something that is stored was changed")
	}
}

func headersOf(w *httptest.ResponseRecorder) (lines []string) {
	for name, values := range w.Header() {
		lines = append(lines, name+": "+strings.Join(values, ", "))
	}
	slices.Sort(lines)
	return lines
}

// TestJudges: a judge gets to the pages of judges and to style sheets, and to none of the
// rest, and nobody else gets there by a key that is not one.
func TestJudges(t *testing.T) {
	o := newOpened(t)
	style := "/assets/" + strings.Split(strings.Split(o.ask(http.MethodGet, "/method", "", here).Body.String(), "/assets/")[1], `"`)[0]
	for _, row := range []struct {
		name   string
		as     func(*http.Request)
		path   string
		status int
	}{
		{"style sheet by a cookie", with("Cookie", "pourpath_judge="+o.judge), style, http.StatusOK},
		{"style sheet by a bearer", with("Authorization", "Bearer "+o.judge), style, http.StatusOK},
		{"style sheet that there is not", with("Cookie", "pourpath_judge="+o.judge), "/assets/missing", http.StatusNotFound},
		{"elsewhere by dots", with("Cookie", "pourpath_judge="+o.judge), "/assets/../v1/wines", http.StatusNotFound},
		{"style sheet by another key", with("Cookie", "pourpath_judge="+access.NewKey()), style, http.StatusUnauthorized},
		{"style sheet by no key", with("Cookie", "pourpath_judge="), style, http.StatusUnauthorized},
		{"first page", with("Cookie", "pourpath_judge="+o.judge), "/", http.StatusUnauthorized},
		{"a wine", with("Authorization", "Bearer "+o.judge), "/v1/wines/" + o.wine, http.StatusUnauthorized},
		{"trials", with("Cookie", "pourpath_judge="+o.judge), "/v1/trials", http.StatusUnauthorized},
		{"devices", with("Cookie", "pourpath_judge="+o.judge), "/devices", http.StatusUnauthorized},
	} {
		if w := o.ask(http.MethodGet, row.path, "", row.as); w.Code != row.status || w.Code == http.StatusNotFound && strings.Contains(w.Body.String(), "<") {
			t.Errorf("%s: %d, want %d: %.200s", row.name, w.Code, row.status, w.Body)
		}
	}
}

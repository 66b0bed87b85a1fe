package api

import (
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"pourpath/api/access"
)

// shown is the key of a link that whoever sits at the machine has shown.
func (o *opened) shown() string {
	o.t.Helper()
	w := o.ask(http.MethodPost, "/devices/keys", "", here, form)
	m := regexp.MustCompile(`<code>http://192\.0\.2\.7:8420/pair/([\w-]{27})</code>`).FindStringSubmatch(w.Body.String())
	if w.Code != http.StatusOK || m == nil || !strings.Contains(w.Body.String(), `<svg class="qr"`) || w.Header().Get("Cache-Control") != "no-store" {
		o.t.Fatalf("a link: %d %v %s", w.Code, w.Header(), w.Body)
	}
	return m[1]
}

// TestPairing goes the way of a phone, from the link to being sent away.
func TestPairing(t *testing.T) {
	o := newOpened(t)
	key := o.shown()
	if strings.Contains(o.ask(http.MethodGet, "/devices", "", here).Body.String(), key) {
		t.Error("the list shows a link again")
	}
	for _, method := range []string{http.MethodGet, http.MethodHead, http.MethodGet} { // a preview of the link uses nothing up
		if w := o.ask(method, "/pair/"+key, ""); w.Code != http.StatusOK || w.Header().Get("Set-Cookie") != "" || w.Header().Get("Cache-Control") != "no-store" {
			t.Fatalf("%s of a link: %d %v", method, w.Code, w.Header())
		}
	}
	for _, name := range []string{"", "+", strings.Repeat("x", 61), "%FF", "a%00b", "a%C2%9Bb", "a%E2%80%AEb", "%E2%80%8B"} {
		w := o.ask(http.MethodPost, "/pair/"+key, "name="+name, form)
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `aria-invalid="true"`) {
			t.Errorf("the name %.10q: %d", name, w.Code)
		}
	}
	w := o.ask(http.MethodPost, "/pair/"+key, "name="+url.QueryEscape("  Bea's\tphone <1> "), form)
	cookies := w.Result().Cookies()
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/" || len(cookies) != 1 {
		t.Fatalf("pairing: %d %v", w.Code, w.Header())
	}
	session := with("Cookie", cookies[0].Name+"="+cookies[0].Value)
	for path, status := range map[string]int{
		"/": 200, "/wines": 200, "/v1/wines/" + o.wine: 200, "/metrics": 200, "/readyz": 200, "/openapi.json": 200, "/device": 200, "/nothing": 404, "/pair/" + key: 200,
		"/devices": 403, "/devices/keys": 403,
	} {
		if w := o.ask(http.MethodGet, path, "", session); w.Code != status {
			t.Errorf("a device at %s: %d, want %d", path, w.Code, status)
		}
	}
	page := o.ask(http.MethodGet, "/", "", session).Body.String()
	if strings.Contains(page, `href="/devices"`) || !strings.Contains(page, `href="/device"`) || strings.Count(page, "not encrypted") != 1 {
		t.Error("the page of a device leads to all devices, not to itself, or does not say once that others can read along")
	}
	d := o.devices("Bea's phone <1>")
	for _, path := range []string{"/devices/keys", "/devices/" + d + "/end"} {
		if w := o.ask(http.MethodPost, path, "", session, form); w.Code != http.StatusForbidden {
			t.Errorf("a device at %s: %d", path, w.Code)
		}
	}
	list := o.ask(http.MethodGet, "/devices", "", here).Body.String()
	if !strings.Contains(list, "Bea&#39;s phone &lt;1&gt;") || strings.Contains(list, "not encrypted") == false {
		t.Errorf("the list: %s", list)
	}
	// A link is good once.
	for _, method := range []string{http.MethodGet, http.MethodPost} {
		if w := o.ask(method, "/pair/"+key, "name=x", form); w.Code != http.StatusUnauthorized {
			t.Errorf("%s of a used link: %d", method, w.Code)
		}
	}
	if w := o.ask(http.MethodPost, "/devices/"+d+"/end", "", here, form); w.Code != http.StatusSeeOther {
		t.Errorf("sending away: %d", w.Code)
	}
	if w := o.ask(http.MethodGet, "/", "", session); w.Code != http.StatusUnauthorized {
		t.Errorf("a device that was sent away: %d", w.Code)
	}
}

// devices is the identifier of the one device, which has a name.
func (o *opened) devices(name string) string {
	o.t.Helper()
	all, err := o.records.Devices(o.t.Context())
	if err != nil || len(all) != 1 || all[0].Name != name {
		o.t.Fatalf("devices %+v, %v, want %q", all, err, name)
	}
	return all[0].ID
}

// TestNoNeedToPair: a link uses nothing up at the machine, and on a device that is paired.
func TestNoNeedToPair(t *testing.T) {
	o := newOpened(t)
	session, _ := o.paired("Phone")
	key := o.shown()
	for name, as := range map[string]func(*http.Request){"machine": here, "device": with("Cookie", session)} {
		for _, method := range []string{http.MethodGet, http.MethodPost} {
			if w := o.ask(method, "/pair/"+key, "name=x", as, form); w.Code != http.StatusOK || w.Header().Get("Set-Cookie") != "" {
				t.Errorf("%s, %s: %d %v", name, method, w.Code, w.Header())
			}
		}
	}
	if w := o.ask(http.MethodGet, "/pair/"+key, ""); w.Code != http.StatusOK {
		t.Errorf("the link was used up: %d", w.Code)
	}
}

// TestRunningOut: a link ends after ten minutes, a session after 30 days without use.
func TestRunningOut(t *testing.T) {
	o := newOpened(t)
	key := o.shown()
	o.now = o.now.Add(access.KeyWithin - time.Second)
	if w := o.ask(http.MethodGet, "/pair/"+key, ""); w.Code != http.StatusOK {
		t.Errorf("a second before: %d", w.Code)
	}
	o.now = o.now.Add(time.Second)
	for _, method := range []string{http.MethodGet, http.MethodPost} {
		if w := o.ask(method, "/pair/"+key, "name=x", form); w.Code != http.StatusUnauthorized {
			t.Errorf("%s after ten minutes: %d", method, w.Code)
		}
	}
	session, _ := o.paired("Phone")
	for _, step := range []struct {
		days, status int
	}{{29, 200}, {29, 200}, {30, 401}} {
		o.now = o.now.Add(time.Duration(step.days) * 24 * time.Hour)
		if w := o.ask(http.MethodGet, "/", "", with("Cookie", session)); w.Code != step.status {
			t.Errorf("%d days after the last use: %d, want %d", step.days, w.Code, step.status)
		}
	}
}

// TestLeaving: a device ends its own session.
func TestLeaving(t *testing.T) {
	o := newOpened(t)
	session, _ := o.paired("Phone")
	w := o.ask(http.MethodPost, "/device", "", with("Cookie", session), form)
	if c := w.Result().Cookies(); w.Code != http.StatusOK || len(c) != 1 || c[0].MaxAge >= 0 || c[0].Value != "" || w.Header().Get("Clear-Site-Data") != `"cache", "storage"` {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	if w := o.ask(http.MethodGet, "/", "", with("Cookie", session)); w.Code != http.StatusUnauthorized {
		t.Errorf("after it: %d", w.Code)
	}
}

// TestOneKeyTwoDevicesAtOnce: however many come with one key at the same moment, it lets
// in one.
func TestOneKeyTwoDevicesAtOnce(t *testing.T) {
	o := newOpened(t)
	for range 5 {
		key := o.shown()
		before, err := o.records.Devices(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		var all sync.WaitGroup
		statuses, begin := make([]int, 8), make(chan struct{})
		for i := range statuses {
			all.Go(func() {
				r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420/pair/"+key, strings.NewReader("name=Phone"))
				form(r)
				<-begin
				w := httptest.NewRecorder()
				o.handler.ServeHTTP(w, r)
				statuses[i] = w.Code
			})
		}
		close(begin)
		all.Wait()
		in := 0
		for _, status := range statuses {
			if status == http.StatusSeeOther {
				in++
			} else if status != http.StatusUnauthorized {
				t.Errorf("status %d", status)
			}
		}
		after, err := o.records.Devices(t.Context())
		if err != nil || in != 1 || len(after) != len(before)+1 {
			t.Errorf("%d got in, %d devices more, %v", in, len(after)-len(before), err)
		}
	}
}

// TestRefusedPage: a browser gets a page that needs nothing else, whose style its policy
// allows, and that is alike wherever it leads; after too many it is told when to return.
func TestRefusedPage(t *testing.T) {
	o := newOpened(t)
	html := with("Accept", "text/html,application/xhtml+xml,*/*;q=0.8")
	first := o.ask(http.MethodGet, "/", "", html)
	if !strings.Contains(first.Body.String(), "<h1>This device is not paired</h1>") || first.Code != http.StatusUnauthorized || first.Header().Get("WWW-Authenticate") == "" {
		t.Errorf("%d %v %s", first.Code, first.Header(), first.Body)
	}
	if regexp.MustCompile(`(?i)(src|href)=`).MatchString(first.Body.String()) || !strings.Contains(first.Header().Get("Content-Security-Policy"), "default-src 'none'; style-src 'sha256-") {
		t.Errorf("the page asks for something else: %v %s", first.Header(), first.Body)
	}
	if w := o.ask(http.MethodGet, "/wines/nothing", "", html); w.Body.String() != first.Body.String() {
		t.Error("another address has another page")
	}
	if w := o.ask(http.MethodGet, "/", "", html, with("Accept-Language", "fr")); !strings.Contains(w.Body.String(), "associé") {
		t.Error("it is not in the reader's language")
	}
	if p := problemOf(t, o.ask(http.MethodGet, "/v1/wines", "", html)); p.Status != http.StatusUnauthorized {
		t.Errorf("a call of the interface: %+v", p)
	}
	same := func(r *http.Request) { r.RemoteAddr = "127.6.0.1:1" }
	for range 60 {
		if w := o.ask(http.MethodGet, "/pair/"+access.NewKey(), "", same); w.Code != http.StatusUnauthorized {
			t.Fatalf("a guess: %d", w.Code)
		}
	}
	for _, as := range []func(*http.Request){html, with("Accept", "*/*")} {
		if w := o.ask(http.MethodGet, "/pair/"+access.NewKey(), "", same, as); w.Code != http.StatusTooManyRequests || w.Header().Get("Retry-After") != "1" {
			t.Errorf("one guess too many: %d %v", w.Code, w.Header())
		}
	}
}

// TestBackupsHaveNoSessions: who may come in is in no archive.
func TestBackupsHaveNoSessions(t *testing.T) {
	o := newOpened(t)
	before := o.everything()
	o.paired("Phone")
	o.shown()
	if o.everything() != before {
		t.Error("pairing changes the archive")
	}
}

// TestOverTheWire: the same over a real listener, where this machine is 127.7.0.1 and
// 127.0.0.2 another one.
func TestOverTheWire(t *testing.T) {
	o := newOpened(t)
	server := httptest.NewServer(o.handler)
	t.Cleanup(server.Close)
	client := func(address string) *http.Client {
		dialer := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}}
		return &http.Client{
			Transport:     &http.Transport{DialContext: dialer.DialContext, DisableKeepAlives: true},
			CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		}
	}
	machine, phone := client("127.7.0.1"), client("127.0.0.2")
	do := func(c *http.Client, method, path, host string, headers ...string) (int, string, http.Header) {
		r, err := http.NewRequestWithContext(t.Context(), method, server.URL+path, strings.NewReader("name=Phone"))
		if err != nil {
			t.Fatal(err)
		}
		form(r)
		if host != "" {
			r.Host = host
		}
		for i := 0; i < len(headers); i += 2 {
			r.Header.Set(headers[i], headers[i+1])
		}
		answer, err := c.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer answer.Body.Close()
		body, err := io.ReadAll(answer.Body)
		if err != nil {
			t.Fatal(err)
		}
		return answer.StatusCode, string(body), answer.Header
	}
	for _, row := range []struct {
		name         string
		by           *http.Client
		method, path string
		host         string
		headers      []string
		status       int
	}{
		{"machine", machine, "GET", "/wines", "", nil, 200},
		{"machine by a proxy", machine, "GET", "/wines", "", []string{"X-Forwarded-For", "127.7.0.1"}, 401},
		{"machine, another site's page", machine, "POST", "/devices/keys", "", []string{"Origin", "http://site.example"}, 403},
		{"machine, another name", machine, "GET", "/wines", "site.example", nil, 421},
		{"phone", phone, "GET", "/wines", "", nil, 401},
		{"phone, health", phone, "GET", "/healthz", "", nil, 200},
		{"phone, health of another name", phone, "GET", "/healthz", "site.example", nil, 421},
		{"phone that says to be here", phone, "GET", "/wines", "", []string{"X-Forwarded-For", "127.7.0.1"}, 401},
		{"phone that names this machine", phone, "GET", "/wines", "localhost", nil, 401},
		{"phone that pairs itself", phone, "POST", "/devices/keys", "", nil, 401},
	} {
		if status, body, _ := do(row.by, row.method, row.path, row.host, row.headers...); status != row.status {
			t.Errorf("%s: %d, want %d: %.200s", row.name, status, row.status, body)
		}
	}
	_, page, _ := do(machine, "POST", "/devices/keys", "")
	key := regexp.MustCompile(`/pair/([\w-]{27})<`).FindStringSubmatch(page)
	if key == nil {
		t.Fatalf("no link: %s", page)
	}
	if status, _, _ := do(phone, "POST", "/pair/"+key[1], "", "Origin", "http://site.example"); status != http.StatusForbidden {
		t.Errorf("another site's page pairs: %d", status)
	}
	status, _, headers := do(phone, "POST", "/pair/"+key[1], "", "Origin", server.URL)
	session, _, _ := strings.Cut(headers.Get("Set-Cookie"), ";")
	if status != http.StatusSeeOther || session == "" {
		t.Fatalf("pairing: %d %v", status, headers)
	}
	if status, body, _ := do(phone, "GET", "/wines", "", "Cookie", session); status != http.StatusOK || !strings.Contains(body, "Secret of the cellar") {
		t.Errorf("a paired phone: %d", status)
	}
	if err := o.records.RemoveDevice(t.Context(), o.devices("Phone")); err != nil {
		t.Fatal(err)
	}
	if status, _, _ := do(phone, "GET", "/wines", "", "Cookie", session); status != http.StatusUnauthorized {
		t.Errorf("a phone that was sent away: %d", status)
	}
}

package access

import (
	"context"
	"crypto/tls"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"pourpath/api/record"
)

// kept is a store of devices that a test fills.
type kept struct {
	Devices

	now      time.Time
	sessions map[string]record.Device
	keys     map[string]bool
	used     int
	fault    error
	busy     error
}

func (k *kept) Now() record.Instant { return record.At(k.now) }

func (k *kept) DeviceOf(_ context.Context, hash string) (record.Device, error) {
	d, ok := k.sessions[hash]
	if !ok && k.fault == nil {
		return d, record.ErrNotFound
	}
	return d, k.fault
}

func (k *kept) PairingKey(_ context.Context, hash string) (record.Instant, error) {
	if !k.keys[hash] && k.fault == nil {
		return record.Instant{}, record.ErrNotFound
	}
	return record.Instant{}, k.fault
}

func (k *kept) DeviceUsed(context.Context, string, string) error { k.used++; return k.busy }

// panel knows one judge.
type panel struct{ hash string }

func (p panel) JudgeOf(_ context.Context, hash string) (string, bool, error) {
	return "judge 1", hash == p.hash, nil
}

func hashOf(t *testing.T, key string) string {
	t.Helper()
	hash, ok := Hash(key)
	if !ok {
		t.Fatalf("%q is no key", key)
	}
	return hash
}

// world is a gate with a device, a key that pairs, and a judge.
type world struct {
	*kept
	gate                    *Gate
	session, pairing, judge string
}

func newWorld(t *testing.T) world {
	t.Helper()
	w := world{session: NewKey(), pairing: NewKey(), judge: NewKey()}
	w.kept = &kept{
		now:      time.Unix(1_800_000_000, 0),
		sessions: map[string]record.Device{hashOf(t, w.session): {ID: "d1", Name: "Phone", UsedAt: record.At(time.Unix(1_800_000_000, 0))}},
		keys:     map[string]bool{hashOf(t, w.pairing): true},
	}
	gate, err := NewGate(Config{Devices: w.kept, Judges: panel{hashOf(t, w.judge)}, Hosts: []string{"cellar.local"}, Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	w.gate = gate
	return w
}

// TestWhoMay is the table of who may ask for which route.
func TestWhoMay(t *testing.T) {
	w := newWorld(t)
	const machine, phone = "127.0.0.1:40000", "192.0.2.7:40000"
	by := map[string]func(*http.Request){
		"machine":       func(r *http.Request) { r.RemoteAddr = machine },
		"machine, v6":   func(r *http.Request) { r.RemoteAddr = "[::1]:40000" },
		"machine, 4in6": func(r *http.Request) { r.RemoteAddr = "[::ffff:127.0.0.1]:40000" },
		"device":        func(r *http.Request) { r.AddCookie(&http.Cookie{Name: deviceCookie, Value: w.session}) },
		"judge":         func(r *http.Request) { r.AddCookie(&http.Cookie{Name: judgeCookie, Value: w.judge}) },
		"judge, bearer": func(r *http.Request) { r.Header.Set("Authorization", "Bearer "+w.judge) },
		"judge, bEARER": func(r *http.Request) { r.Header.Set("Authorization", "bEARER "+w.judge) },
		"nobody":        func(*http.Request) {},
		"no address":    func(r *http.Request) { r.RemoteAddr = "" },
		"odd address":   func(r *http.Request) { r.RemoteAddr = "@" },
		"wrong session": func(r *http.Request) { r.AddCookie(&http.Cookie{Name: deviceCookie, Value: NewKey()}) },
		"judge's key as a session": func(r *http.Request) {
			r.AddCookie(&http.Cookie{Name: deviceCookie, Value: w.judge})
		},
		"session as a judge's key": func(r *http.Request) { r.AddCookie(&http.Cookie{Name: judgeCookie, Value: w.session}) },
		"hash as a session": func(r *http.Request) {
			r.AddCookie(&http.Cookie{Name: deviceCookie, Value: hashOf(t, w.session)})
		},
	}
	for _, name := range proxied {
		by["machine by a proxy: "+name] = func(r *http.Request) { r.RemoteAddr = machine; r.Header.Set(name, "127.0.0.1") }
		by["machine by a proxy that says nothing: "+name] = func(r *http.Request) { r.RemoteAddr = machine; r.Header[name] = []string{""} }
		by["nobody, who says to be here: "+name] = func(r *http.Request) { r.Header.Set(name, "127.0.0.1") }
	}
	all := map[string]bool{"machine": true, "machine, v6": true, "machine, 4in6": true}
	and := func(more ...string) map[string]bool {
		out := map[string]bool{"machine": true, "machine, v6": true, "machine, 4in6": true}
		for _, m := range more {
			out[m] = true
		}
		return out
	}
	for _, row := range []struct {
		route, path string
		may         map[string]bool // nil is everybody
	}{
		{"/healthz", "/healthz", nil},
		{"/devices", "/devices", all},
		{"/devices/*path", "/devices/keys", all},
		{"/assets/*path", "/assets/page.css", and("device", "judge", "judge, bearer", "judge, bEARER")},
		{"/judging", "/judging", and("device", "judge", "judge, bearer", "judge, bEARER")},
		{"/v1/judging", "/v1/judging", and("device", "judge", "judge, bearer", "judge, bEARER")},
		{"/", "/", and("device")},
		{"/v1/wines/:id", "/v1/wines/judging", and("device")},
		{"/metrics", "/metrics", and("device")},
		{"/device", "/device", and("device")},
		{"", "/healthz/", and("device")},
		{"", "/nothing", and("device")},
		{"/pair/:key", "/pair/" + NewKey(), and("device")},
		{"/pair/:key", "/pair/healthz", and("device")},
		{"/judge/:key", "/judge/" + NewKey(), and("device")},
		{"/judge/:key", "/judge/" + w.pairing, and("device")},
		{"/pair/:key", "/pair/" + w.judge, and("device")},
		{"/pair/:key", "/pair/" + w.pairing, nil},
		{"/judge/:key", "/judge/" + w.judge, nil},
	} {
		for name, as := range by {
			limits, err := newLimits() // how often is another test
			if err != nil {
				t.Fatal(err)
			}
			w.gate.limits = limits
			r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://127.0.0.1:8420"+row.path, nil)
			r.RemoteAddr = phone
			as(r)
			admitted, err := w.gate.Admit(r, row.route)
			if may := row.may == nil || row.may[name]; (err == nil) != may {
				t.Errorf("%s at %s (%q): %v", name, row.path, row.route, err)
				continue
			}
			switch {
			case err == nil:
				v := VisitorOf(admitted.Context())
				if v.Local != all[name] || (v.Device != nil) != (name == "device") {
					t.Errorf("%s is %+v", name, v)
				}
			case name == "device" && !errors.Is(err, ErrLocalOnly), name != "device" && !errors.Is(err, ErrUnpaired):
				t.Errorf("%s at %s: %v", name, row.path, err)
			}
		}
	}
}

// TestJudgeAlso: on the routes of judges who is local or has a device is a judge too, if
// the key is there; on others nobody is.
func TestJudgeAlso(t *testing.T) {
	w := newWorld(t)
	for route, want := range map[string]string{"/judging": "judge 1", "/v1/judging": "judge 1", "/": "", "/v1/wines": ""} {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://127.0.0.1"+route, nil)
		r.RemoteAddr = "127.0.0.1:1"
		r.AddCookie(&http.Cookie{Name: judgeCookie, Value: w.judge})
		admitted, err := w.gate.Admit(r, route)
		if err != nil || VisitorOf(admitted.Context()).Judge != want {
			t.Errorf("%s: %v", route, err)
		}
	}
}

// TestHosts: a request must be for a name or an address that the service has.
func TestHosts(t *testing.T) {
	w := newWorld(t)
	for host, own := range map[string]bool{
		"localhost": true, "LOCALHOST:8420": true, "127.0.0.1": true, "127.1.2.3:80": true, "[::1]:8420": true, "[::1]": true,
		"cellar.local": true, "Cellar.Local:8420": true, "192.0.2.1:8420": true, "192.0.2.1": true, "[::ffff:192.0.2.1]:8420": true,
		"": false, "192.0.2.2:8420": false, "cellar.example": false, "127.0.0.1.example": false, "localhost.example": false, "cellar.local.example": false, "0.0.0.0:8420": false, "[::]:8420": false,
	} {
		for _, peer := range []string{"127.0.0.1:1", "192.0.2.7:1"} {
			r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "/healthz", nil)
			r.Host, r.RemoteAddr = host, peer
			r = r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, net.Addr(&net.TCPAddr{IP: net.IPv4(192, 0, 2, 1), Port: 8420})))
			if _, err := w.gate.Admit(r, "/healthz"); errors.Is(err, ErrForeignHost) == own {
				t.Errorf("%q from %s: %v", host, peer, err)
			}
		}
	}
}

// TestOrigins: no page of another site has a paired browser, or one at the machine, do
// anything; the page of another port of this machine is another site.
func TestOrigins(t *testing.T) {
	w := newWorld(t)
	for origin, own := range map[string]bool{"http://127.0.0.1:8420": true, "": true, "https://site.example": false, "null": false, "http://127.0.0.1:3000": false} {
		for _, local := range []bool{true, false} {
			r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420/v1/wines", nil)
			r.AddCookie(&http.Cookie{Name: deviceCookie, Value: w.session})
			if local {
				r.RemoteAddr = "127.0.0.1:1"
			}
			if origin != "" {
				r.Header.Set("Origin", origin)
			}
			if _, err := w.gate.Admit(r, "/v1/wines"); errors.Is(err, ErrForeignOrigin) == own || own && err != nil {
				t.Errorf("%q, local %t: %v", origin, local, err)
			}
		}
	}
}

// TestGuessing: keys are guessed a few times and no more, whatever is guessed; a device
// at the same address goes on all the same.
func TestGuessing(t *testing.T) {
	w := newWorld(t)
	ask := func(path, route, session string) error {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://127.0.0.1"+path, nil)
		if session != "" {
			r.AddCookie(&http.Cookie{Name: deviceCookie, Value: session})
		}
		_, err := w.gate.Admit(r, route)
		return err
	}
	for i := range refusedBurst {
		path, route := "/pair/"+NewKey(), PairPage
		switch i % 3 {
		case 1:
			path, route = "/judge/"+NewKey(), "/judge/:key"
		case 2:
			path, route = "/nothing", ""
		}
		if err := ask(path, route, ""); !errors.Is(err, ErrUnpaired) {
			t.Fatalf("guess %d: %v", i, err)
		}
	}
	var tooMany *TooManyError
	for _, path := range []string{"/pair/" + NewKey(), "/pair/healthz", "/nothing"} {
		if err := ask(path, PairPage, ""); !errors.As(err, &tooMany) || tooMany.Wait <= 0 {
			t.Errorf("%s: %v", path, err)
		}
	}
	if err := ask("/", "/", NewKey()); !errors.As(err, &tooMany) {
		t.Errorf("a guessed session: %v", err)
	}
	if err := ask("/", "/", w.session); err != nil {
		t.Errorf("a device at that address: %v", err)
	}
	if err := ask("/healthz", "/healthz", ""); err != nil {
		t.Errorf("health: %v", err)
	}
	for path, route := range map[string]string{"/pair/" + w.pairing: PairPage, "/judge/" + w.judge: JudgePage} {
		if err := ask(path, route, ""); err != nil {
			t.Errorf("a good link of somebody else there: %v", err)
		}
	}
	w.now = w.now.Add(2 * time.Second)
	if err := ask("/pair/"+NewKey(), PairPage, ""); !errors.Is(err, ErrUnpaired) {
		t.Errorf("a guess, later: %v", err)
	}
}

// TestRoomful: thirty judges behind one router open their links at once, each with what a
// browser asks for beside; links that are good count for nothing.
func TestRoomful(t *testing.T) {
	w := newWorld(t)
	ask := func(method, path, route string) error {
		r := httptest.NewRequestWithContext(t.Context(), method, "http://127.0.0.1"+path, nil)
		_, err := w.gate.Admit(r, route)
		return err
	}
	for i := range 30 {
		for _, method := range []string{http.MethodGet, http.MethodPost} {
			if err := ask(method, "/judge/"+w.judge, JudgePage); err != nil {
				t.Fatalf("judge %d: %s: %v", i+1, method, err)
			}
		}
		if err := ask(http.MethodGet, "/favicon.ico", "/favicon.ico"); !errors.Is(err, ErrUnpaired) { // before there is a cookie
			t.Fatalf("judge %d: the icon: %v", i+1, err)
		}
	}
}

// TestLastUse: it is written down once a minute, and nobody is refused for want of it.
func TestLastUse(t *testing.T) {
	w := newWorld(t)
	for _, step := range []struct {
		later time.Duration
		used  int
	}{{0, 0}, {59 * time.Second, 0}, {time.Minute, 1}} {
		w.now = time.Unix(1_800_000_000, 0).Add(step.later)
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://127.0.0.1/", nil)
		r.AddCookie(&http.Cookie{Name: deviceCookie, Value: w.session})
		w.busy = errors.New("busy")
		if _, err := w.gate.Admit(r, "/"); err != nil || w.used != step.used {
			t.Errorf("after %v: %v, written %d times, want %d", step.later, err, w.used, step.used)
		}
	}
}

// TestStoreFails: who cannot be looked up is not let in.
func TestStoreFails(t *testing.T) {
	w := newWorld(t)
	w.fault = record.ErrUnavailable
	for path, route := range map[string]string{"/": "/", "/pair/" + w.pairing: PairPage} {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://127.0.0.1"+path, nil)
		if route == "/" {
			r.AddCookie(&http.Cookie{Name: deviceCookie, Value: w.session})
		}
		if _, err := w.gate.Admit(r, route); !errors.Is(err, record.ErrUnavailable) {
			t.Errorf("%s: %v", path, err)
		}
	}
}

// TestCookies: no script reads them, no other site sends them with a form, and over an
// encrypted line they go over no other.
func TestCookies(t *testing.T) {
	for _, encrypted := range []bool{false, true} {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1/", nil)
		if encrypted {
			r.TLS = new(tls.ConnectionState)
		}
		w := httptest.NewRecorder()
		setDevice(w, r, "device")
		SetJudge(w, r, "judge")
		ForgetDevice(w, r)
		set := w.Result().Cookies()
		for _, c := range set {
			if !c.HttpOnly || c.Secure != encrypted || c.Path != "/" || c.Domain != "" || c.SameSite != http.SameSiteLaxMode && c.SameSite != http.SameSiteStrictMode {
				t.Errorf("%+v", c)
			}
		}
		if len(set) != 3 || set[1].SameSite != http.SameSiteStrictMode || set[2].MaxAge >= 0 {
			t.Errorf("%v", set)
		}
	}
}

func TestGateNeedsDevices(t *testing.T) {
	if _, err := NewGate(Config{Log: slog.New(slog.DiscardHandler)}); err == nil {
		t.Error("a gate that knows no devices")
	}
}

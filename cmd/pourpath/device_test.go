package main

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"pourpath/api/access"
	"pourpath/api/panel"
	"pourpath/api/record"
)

// browse is a client with an address of its own that keeps cookies by hand and follows
// nothing.
func browse(from string, trusted *x509.CertPool) *http.Client {
	dialer := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(from)}}
	return &http.Client{
		Transport: &http.Transport{
			DialContext:       dialer.DialContext,
			DisableKeepAlives: true, TLSClientConfig: &tls.Config{RootCAs: trusted},
		},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
}

// own is an address of this machine that is not loopback; a machine without any proves
// nothing here, and fails.
func own(t *testing.T) string {
	t.Helper()
	got := pourpath("", "device", "pair", "--data", t.TempDir(), "--json")
	var made pairing
	if err := json.Unmarshal([]byte(got.out), &made); err != nil || got.exit != 0 {
		t.Fatalf("exit %d, %v: %s", got.exit, err, got.err)
	}
	u, err := url.Parse(made.Links[0])
	if err != nil || u.Port() != "8420" || !strings.HasPrefix(u.Path, "/pair/") {
		t.Fatalf("%q, %v", made.Links[0], err)
	}
	return u.Hostname()
}

// TestServeDevices: on all addresses this machine is served as ever at 127.0.0.1, and
// nobody by another address until paired; the command pairs, lists and sends away.
func TestServeDevices(t *testing.T) {
	address, data := own(t), t.TempDir()
	for _, listen := range []string{"0.0.0.0:0", address + ":0"} {
		base, _, stop := started(t, "serve", "--listen", listen, "--data", data)
		if !strings.HasPrefix(base, "http://127.0.0.1:") {
			t.Errorf("%s: the address for this machine is %s", listen, base)
		}
		if status, body := get(t, base+"/devices"); status != http.StatusOK || !strings.Contains(body, "/devices/keys") {
			t.Errorf("%s: the page of devices: %d", listen, status)
		}
		port := base[strings.LastIndex(base, ":"):]
		there := "http://" + address + port
		if status, body := get(t, there+"/v1/wines"); status != http.StatusUnauthorized || !strings.Contains(body, "/problems/unpaired") {
			t.Errorf("%s: by %s: %d %s", listen, there, status, body)
		}
		if status, _ := get(t, there+"/healthz"); status != http.StatusOK {
			t.Errorf("%s: health by %s: %d", listen, there, status)
		}
		pairs(t, data, address, port, there)
		if exit := stop(); exit != 0 {
			t.Errorf("exit %d", exit)
		}
	}
}

// pairs pairs a phone with a running service by the command, and sends it away.
func pairs(t *testing.T, data, address, port, there string) {
	t.Helper()
	got := pourpath("", "device", "pair", "--listen", address+port, "--data", data)
	m := regexp.MustCompile(`(?m)^  (` + regexp.QuoteMeta(there) + `/pair/\S+)$`).FindStringSubmatch(got.out)
	if m == nil || !strings.Contains(got.out, "▀") {
		t.Fatalf("exit %d: %s%s", got.exit, got.out, got.err)
	}
	phone := browse(address, nil)
	r, err := phone.PostForm(m[1], url.Values{"name": {"Phone"}})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if r.StatusCode != http.StatusSeeOther || len(r.Cookies()) != 1 || r.Cookies()[0].Secure {
		t.Fatalf("pairing: %d %v", r.StatusCode, r.Header)
	}
	asks := func(want int) {
		request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, there+"/v1/wines", nil)
		if err != nil {
			t.Fatal(err)
		}
		request.AddCookie(r.Cookies()[0])
		answer, err := phone.Do(request)
		if err != nil {
			t.Fatal(err)
		}
		defer answer.Body.Close()
		if answer.StatusCode != want {
			t.Errorf("the phone is answered %d, want %d", answer.StatusCode, want)
		}
	}
	asks(http.StatusOK)
	if got := pourpath("", "device", "list", "--data", data); !strings.Contains(got.out, "Phone  paired") || !strings.Contains(got.out, "from "+address) {
		t.Errorf("list: %s%s", got.out, got.err)
	}
	if got := pourpath("", "device", "revoke", "phone", "--data", data); got.exit != 0 || !strings.Contains(got.out, "sent away") {
		t.Errorf("revoke: %+v", got)
	}
	asks(http.StatusUnauthorized)
	if got := pourpath("", "device", "list", "--data", data); !strings.Contains(got.out, "No device") {
		t.Errorf("list after it: %s%s", got.out, got.err)
	}
}

// certificate writes a certificate for the loopback address and its key.
func certificate(t *testing.T, names ...string) (cert, key string, trusted *x509.CertPool) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	form := x509.Certificate{
		SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		DNSNames: names, IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
	}
	if len(names) == 0 {
		form.IPAddresses = []net.IP{net.IPv4(127, 0, 0, 1)}
	}
	signed, err := x509.CreateCertificate(rand.Reader, &form, &form, &private.PublicKey, private)
	if err != nil {
		t.Fatal(err)
	}
	bytes, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	write := func(name, kind string, content []byte) string {
		file := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(file, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: content}), 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	trusted = x509.NewCertPool()
	parsed, err := x509.ParseCertificate(signed)
	if err != nil {
		t.Fatal(err)
	}
	trusted.AddCert(parsed)
	return write("cellar.crt", "CERTIFICATE", signed), write("cellar.key", "PRIVATE KEY", bytes), trusted
}

// TestServedAs: with a certificate the addresses that are told are those that it covers
// and the service answers to.
func TestServedAs(t *testing.T) {
	open, local := netip.MustParseAddrPort("192.0.2.7:8420"), netip.MustParseAddrPort("127.0.0.1:8420")
	at127 := []net.IP{net.IPv4(127, 0, 0, 1)}
	for _, c := range []struct {
		at    access.Listening
		named x509.Certificate
		first string
		says  []string
		not   string
	}{
		{access.Listening{Address: local, Hosts: []string{"cellar.local"}}, x509.Certificate{DNSNames: []string{"cellar.local"}}, "https://cellar.local:8420/", nil, "127.0.0.1"},
		{access.Listening{Address: open, Hosts: []string{"cellar.local"}}, x509.Certificate{DNSNames: []string{"cellar.local"}, IPAddresses: at127}, "https://127.0.0.1:8420/", []string{"Also on https://cellar.local:8420/."}, "192.0.2.7"},
		{access.Listening{Address: open}, x509.Certificate{DNSNames: []string{"localhost", "cellar.local"}}, "https://localhost:8420/", []string{"names cellar.local, which the service does not answer to: give it with --host"}, "Also"},
		{access.Listening{Address: open}, x509.Certificate{DNSNames: []string{"other.example"}}, "https://127.0.0.1:8420/", []string{"does not name that address", "names other.example"}, "Also"},
		{access.Listening{Address: open, Hosts: []string{"tank.cellar.example"}}, x509.Certificate{DNSNames: []string{"*.cellar.example"}}, "https://tank.cellar.example:8420/", nil, "--host"},
	} {
		c.at.TLS, c.at.Certificate = true, &c.named
		var out strings.Builder
		p := &page{w: &out}
		p.served(c.at, c.at.Named(t.Context()), "DIR")
		got := out.String()
		if !strings.Contains(got, "serves on "+c.first+" (records in DIR)") || strings.Contains(got, c.not) {
			t.Errorf("%v: %s", c.named.DNSNames, got)
		}
		for _, want := range c.says {
			if !strings.Contains(got, want) {
				t.Errorf("%v: it does not say %q: %s", c.named.DNSNames, want, got)
			}
		}
	}
	cert, key, trusted := certificate(t, "cellar.local")
	base, _, stop := started(t, "serve", "--listen", "127.0.0.1:0", "--host", "cellar.local", "--tls-cert", cert, "--tls-key", key, "--data", t.TempDir())
	defer stop()
	transport := &http.Transport{TLSClientConfig: &tls.Config{RootCAs: trusted}, DisableKeepAlives: true}
	transport.DialContext = func(ctx context.Context, network, address string) (net.Conn, error) { // as if the name led here
		return (&net.Dialer{}).DialContext(ctx, network, strings.Replace(address, "cellar.local", "127.0.0.1", 1))
	}
	r, err := (&http.Client{Transport: transport}).Get(base + "/healthz")
	if err != nil || !strings.HasPrefix(base, "https://cellar.local:") || r.Body.Close() != nil || r.StatusCode != http.StatusOK {
		t.Errorf("%s: %v", base, err)
	}
}

// TestServeTLS: with a certificate the line is encrypted, by TLS 1.2 or later, and no
// other; the wrong pair of files is refused before anything is served.
func TestServeTLS(t *testing.T) {
	cert, key, trusted := certificate(t)
	base, _, stop := started(t, "serve", "--listen", "127.0.0.1:0", "--tls-cert", cert, "--tls-key", key, "--data", t.TempDir())
	client := browse("127.0.0.1", trusted)
	asks := func(address string) (int, error) {
		r, err := client.Get(address + "/healthz")
		if err != nil {
			return 0, err
		}
		defer r.Body.Close()
		return r.StatusCode, nil
	}
	if status, err := asks(base); err != nil || status != http.StatusOK || !strings.HasPrefix(base, "https://") {
		t.Errorf("%s: %d, %v", base, status, err)
	}
	if status, err := asks(strings.Replace(base, "https", "http", 1)); err == nil && status != http.StatusBadRequest {
		t.Errorf("without encryption: %d, %v", status, err)
	}
	old := &tls.Config{RootCAs: trusted, MinVersion: tls.VersionTLS10, MaxVersion: tls.VersionTLS11}
	client.Transport = &http.Transport{TLSClientConfig: old}
	if status, err := asks(base); err == nil {
		t.Errorf("by TLS 1.1: %d", status)
	}
	if exit := stop(); exit != 0 {
		t.Errorf("exit %d", exit)
	}
	if got := pourpath("", "serve", "--listen", "127.0.0.1:0", "--tls-cert", key, "--tls-key", cert, "--data", t.TempDir()); got.exit != 2 || !strings.Contains(got.err, "each as PEM") {
		t.Errorf("files the wrong way round: %+v", got)
	}
}

// TestDeviceNamed: of two devices with one name it is asked which.
func TestDeviceNamed(t *testing.T) {
	all := []record.Device{{ID: "1", Name: "Phone"}, {ID: "2", Name: "Tablet"}, {ID: "3", Name: "phone"}}
	for word, want := range map[string]string{"1": "1", "3": "3", "tablet": "2", "TABLET": "2"} {
		if got, err := deviceNamed(all, word); err != nil || got.ID != want {
			t.Errorf("%q is %+v, %v", word, got, err)
		}
	}
	for _, word := range []string{"Phone", "", "4"} {
		if got, err := deviceNamed(all, word); err == nil {
			t.Errorf("%q is %+v", word, got)
		}
	}
}

// TestNamesOnTerminals: what controls a terminal, or hides on it, is written out, in names
// that were stored before such were refused.
func TestNamesOnTerminals(t *testing.T) {
	const name = "Zo\u00eb \u202ed\u009b2J\x1b[8m\u200b"
	const want = `Zoë \u202ed\u009b2J\x1b[8m\u200b`
	for what, print := range map[string]func(p *page){
		"devices": func(p *page) { p.devices([]record.Device{{Name: name}}) },
		"links":   func(p *page) { p.links([]panel.JudgeLink{{Name: name}}, "") },
		"sheet":   func(p *page) { p.entered(name, record.PanelAnswer{}, false) },
		"panel": func(p *page) {
			p.panel(panel.Session{Panel: record.Panel{}, Judges: []panel.SessionJudge{{PanelJudge: record.PanelJudge{Name: name}}}})
		},
	} {
		var out strings.Builder
		print(&page{w: &out})
		if got := out.String(); !strings.Contains(got, want) || strings.ContainsAny(got, "\u202e\u009b\x1b\u200b") {
			t.Errorf("%s: %q", what, got)
		}
	}
}

// TestOptionsOfAll: the one request that is for no address is asked of the gate too.
func TestOptionsOfAll(t *testing.T) {
	base, _, stop := started(t, "serve", "--listen", "127.0.0.1:0", "--data", t.TempDir())
	defer stop()
	c, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", strings.TrimPrefix(base, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := c.Close(); err != nil {
			t.Error(err)
		}
	}()
	if _, err := io.WriteString(c, "OPTIONS * HTTP/1.1\r\nHost: site.example\r\nConnection: close\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	if answer, err := io.ReadAll(c); err != nil || !strings.HasPrefix(string(answer), "HTTP/1.1 421 ") {
		t.Errorf("%v: %.200s", err, answer)
	}
}

package access

import (
	"crypto/x509"
	"net/netip"
	"slices"
	"strings"
	"testing"
)

func TestListening(t *testing.T) {
	for _, row := range []struct {
		at    Listening
		open  bool
		local string
		bases []string // nil where it depends on the machine
	}{
		{Listening{}, false, "", nil},
		{Listening{Address: netip.MustParseAddrPort("127.0.0.1:8420"), Hosts: []string{"cellar.local"}}, false, "http://127.0.0.1:8420", nil},
		{Listening{Address: netip.MustParseAddrPort("[::1]:80")}, false, "http://[::1]:80", nil},
		{Listening{Address: netip.MustParseAddrPort("192.0.2.7:8420")}, true, "http://127.0.0.1:8420", []string{"http://192.0.2.7:8420"}},
		{Listening{Address: netip.MustParseAddrPort("[2001:db8::7]:8420"), TLS: true, Hosts: []string{"cellar.local"}}, true, "https://127.0.0.1:8420", []string{"https://cellar.local:8420", "https://[2001:db8::7]:8420"}},
	} {
		bases := row.at.Bases(t.Context())
		local, named := row.at.Local()
		if row.at.Open() != row.open || !slices.Equal(bases, row.bases) || row.local != "" && local != row.local || !named {
			t.Errorf("%+v: open %t, local %s, %t, bases %v", row.at, row.at.Open(), local, named, bases)
		}
	}
	certified := Listening{
		Address: netip.MustParseAddrPort("192.0.2.7:8420"), TLS: true, Hosts: []string{"cellar", "cellar.local"}, Certificate: &x509.Certificate{DNSNames: []string{"cellar.local"}},
	}
	if got := certified.Bases(t.Context()); !slices.Equal(got, []string{"https://cellar.local:8420", "https://cellar:8420", "https://192.0.2.7:8420"}) {
		t.Errorf("with a certificate the links are by %v: want what it names first", got)
	}
	if got := certified.Named(t.Context()); !slices.Equal(got, []string{"https://cellar.local:8420"}) {
		t.Errorf("with a certificate it is named %v", got)
	}
	all := Listening{Address: netip.MustParseAddrPort("0.0.0.0:8420"), Hosts: []string{"cellar.local"}}
	bases := all.Bases(t.Context())
	if !all.Open() || bases[0] != "http://cellar.local:8420" {
		t.Errorf("all addresses: %v", bases)
	}
	for _, base := range bases[1:] {
		at, err := netip.ParseAddrPort(strings.TrimPrefix(base, "http://"))
		if err != nil || at.Addr().IsLoopback() || !at.Addr().Is4() || at.Port() != 8420 {
			t.Errorf("%q, %v: no phone reaches that", base, err)
		}
	}
	if got := Link("https://cellar.local:8420", "KEY"); got != "https://cellar.local:8420/pair/KEY" {
		t.Error(got)
	}
}

package access

import (
	"context"
	"crypto/x509"
	"errors"
	"net"
	"net/netip"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// Listening is where a service can be reached.
type Listening struct {
	// Address that it listens on; one that is unspecified, such as 0.0.0.0, stands for all
	// of the machine.
	Address netip.AddrPort
	// TLS: the line is encrypted.
	TLS bool
	// Hosts are names, or addresses, that it was given beside.
	Hosts []string
	// Certificate is what it shows to who asks for a name; nil where that is not known.
	Certificate *x509.Certificate
}

// covers reports whether a browser takes the service for what it asked for under a host.
func (l Listening) covers(host string) bool {
	return l.Certificate == nil || l.Certificate.VerifyHostname(host) == nil
}

// Open reports whether other machines can reach it.
func (l Listening) Open() bool { return l.Address.IsValid() && !l.Address.Addr().IsLoopback() }

// Bases are the beginnings of addresses by which other machines reach it, such as
// http://192.168.1.20:8420, the likeliest first: those that the certificate names, else as
// they were given.
func (l Listening) Bases(ctx context.Context) []string {
	if !l.Open() {
		return nil
	}
	hosts := l.reached(ctx)
	slices.SortStableFunc(hosts, func(a, b string) int {
		switch {
		case l.covers(a) == l.covers(b):
			return 0
		case l.covers(a):
			return -1
		}
		return 1
	})
	var out []string
	for _, host := range hosts {
		if base := l.base(host); !slices.Contains(out, base) {
			out = append(out, base)
		}
	}
	return out
}

// Local is the address for whoever sits at the machine; named is false where the
// certificate covers none that there is.
func (l Listening) Local() (base string, named bool) {
	host := "127.0.0.1"
	if at := l.Address.Addr(); at.IsLoopback() {
		host = at.String()
	}
	for _, one := range []string{host, "localhost"} {
		if l.covers(one) {
			return l.base(one), true
		}
	}
	return l.base(host), false
}

// Named are the addresses that the service answers to and its certificate covers: that of
// the machine itself first where it is among them, then those of Bases, and the hosts that
// it was given where it listens to the machine alone.
func (l Listening) Named(ctx context.Context) (out []string) {
	if base, named := l.Local(); named {
		out = append(out, base)
	}
	hosts := l.Hosts
	if l.Open() {
		hosts = l.reached(ctx)
	}
	for _, host := range hosts {
		if base := l.base(host); l.covers(host) && !slices.Contains(out, base) {
			out = append(out, base)
		}
	}
	return out
}

// reached are the names and addresses by which other machines reach it.
func (l Listening) reached(ctx context.Context) []string {
	hosts := slices.Clone(l.Hosts)
	if l.Address.Addr().IsUnspecified() {
		return append(hosts, ownAddresses(ctx, l.Address.Addr().Is4())...)
	}
	return append(hosts, l.Address.Addr().Unmap().String())
}

func (l Listening) base(host string) string {
	u := url.URL{Scheme: "http", Host: net.JoinHostPort(host, strconv.Itoa(int(l.Address.Port())))}
	if l.TLS {
		u.Scheme = "https"
	}
	return u.String()
}

// Link is the address that pairs a device, below one of the bases.
func Link(base, key string) string { return base + strings.Replace(PairPage, ":key", key, 1) }

// ownAddresses are the addresses of this machine that others may reach it by: first the
// one by which it would reach others itself, then private ones of version 4, the rest.
func ownAddresses(ctx context.Context, only4 bool) []string {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var found []netip.Addr
	for _, a := range all {
		n, err := netip.ParsePrefix(a.String())
		if err != nil {
			continue
		}
		if at := n.Addr().Unmap(); at.IsGlobalUnicast() && (at.Is4() || !only4) {
			found = append(found, at)
		}
	}
	first := outward(ctx)
	rank := func(a netip.Addr) int {
		switch {
		case a == first:
			return 0
		case a.Is4() && a.IsPrivate():
			return 1
		case a.Is4():
			return 2
		}
		return 3
	}
	slices.SortStableFunc(found, func(a, b netip.Addr) int { return rank(a) - rank(b) })
	out := make([]string, len(found))
	for i, a := range found {
		out[i] = a.String()
	}
	return out
}

// outward is this machine's address on the way to others; not valid where it has no way.
// Nothing is sent: a UDP socket only asks the system for the route. 192.0.2.1 is an
// address for examples (RFC 5737).
func outward(ctx context.Context) netip.Addr {
	c, err := (&net.Dialer{}).DialContext(ctx, "udp4", "192.0.2.1:9")
	if err != nil {
		return netip.Addr{}
	}
	at, err := netip.ParseAddrPort(c.LocalAddr().String())
	if errors.Join(err, c.Close()) != nil {
		return netip.Addr{}
	}
	return at.Addr().Unmap()
}

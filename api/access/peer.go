package access

import (
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// proxied are the headers by which a proxy says that a request is somebody else's. With
// any of them nobody is local: a proxy on this machine would make all the world so.
var proxied = []string{"Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-Ip", "Via"}

// peer is the address at the other end of the connection; not valid where it has none.
func peer(r *http.Request) netip.Addr {
	at, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	return at.Addr().Unmap()
}

// local reports whether a request comes from this machine itself.
func (g *Gate) local(r *http.Request, from netip.Addr) bool {
	if !from.IsValid() || !g.config.Local(from) {
		return false
	}
	return !slices.ContainsFunc(proxied, func(name string) bool { return len(r.Header.Values(name)) > 0 })
}

// ownHost reports whether the service has the name or address that a request is for: a
// loopback one, the address that the connection came in at, or a name that it was given.
// Any other name may have been made to point here by whoever owns it.
func (g *Gate) ownHost(r *http.Request) bool {
	host := hostOf(r.Host)
	if strings.EqualFold(host, "localhost") || slices.ContainsFunc(g.config.Hosts, func(own string) bool { return strings.EqualFold(own, host) }) {
		return true
	}
	address, err := netip.ParseAddr(host)
	if err != nil {
		return false
	}
	if address.IsLoopback() {
		return true
	}
	in, ok := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
	if !ok {
		return false
	}
	at, err := netip.ParseAddrPort(in.String())
	return err == nil && at.Addr().Unmap().WithZone("") == address.Unmap().WithZone("")
}

// hostOf is a host without its port and brackets.
func hostOf(host string) string {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	return strings.TrimSuffix(strings.TrimPrefix(host, "["), "]")
}

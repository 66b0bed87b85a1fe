package access

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/netip"
	"path"
	"strings"
	"time"

	"pourpath/api/record"
)

// Config is what a Gate goes by.
type Config struct {
	// Devices are those that were paired.
	Devices Devices
	// Judges knows the judges' links; nil where there are none.
	Judges Judges
	// Local reports whether an address is this machine itself; nil for loopback
	// addresses. Requests that came by a proxy are never local, whatever it says.
	Local func(netip.Addr) bool
	// Hosts are names and addresses of the service beside loopback ones and those that
	// connections come in at.
	Hosts []string
	// Log takes what went wrong with the last use of a device; nobody is refused for it.
	Log *slog.Logger
}

// Gate says who may ask for what. Its methods may be called concurrently.
type Gate struct {
	config  Config
	limits  *limits
	origins *http.CrossOriginProtection
}

// NewGate makes a gate.
func NewGate(config Config) (*Gate, error) {
	if config.Devices == nil || config.Log == nil {
		return nil, errors.New("access: a gate needs a log and to know the devices")
	}
	if config.Judges == nil {
		config.Judges = noJudges{}
	}
	if config.Local == nil {
		config.Local = netip.Addr.IsLoopback
	}
	limits, err := newLimits()
	if err != nil {
		return nil, err
	}
	return &Gate{config: config, limits: limits, origins: http.NewCrossOriginProtection()}, nil
}

// Admit lets a request to a route through, with its visitor in the context, or says why
// not: one of the errors of this package, or one of what keeps devices or judges. route
// is the pattern as the router writes it; empty where there is none.
func (g *Gate) Admit(r *http.Request, route string) (*http.Request, error) {
	if !g.ownHost(r) {
		return nil, ErrForeignHost
	}
	if g.origins.Check(r) != nil {
		return nil, ErrForeignOrigin
	}
	from, to := peer(r), rows[route]
	v, err := g.visitor(r, from, to)
	if err != nil {
		return nil, err
	}
	switch {
	case v.Local, to == anyone, v.Judge != "" && to == judges:
	case v.Device != nil && to == local:
		return nil, ErrLocalOnly
	case v.Device != nil:
	default:
		if err := g.byLink(r, from, to, v); err != nil {
			return nil, err
		}
	}
	return r.WithContext(context.WithValue(r.Context(), visitorKey{}, v)), nil
}

// visitor finds out who asks for a route.
func (g *Gate) visitor(r *http.Request, from netip.Addr, to who) (Visitor, error) {
	v := Visitor{Local: g.local(r, from), Address: from.String()}
	if hash, ok := Hash(judgeKeyOf(r, to)); ok {
		id, known, err := g.config.Judges.JudgeOf(r.Context(), hash)
		if err != nil {
			return v, err
		}
		if known {
			v.Judge = id
		}
	}
	if v.Local {
		return v, nil
	}
	device, err := g.device(r, v.Address)
	v.Device = device
	return v, err
}

// byLink lets in who is neither local nor has a device, by the key at the end of the
// address. Who is refused is counted; a good key is not, so that a roomful of judges behind
// one router come in however often each of them asks.
func (g *Gate) byLink(r *http.Request, from netip.Addr, to who, v Visitor) error {
	err := ErrUnpaired
	switch to {
	case judging:
		if v.Judge != "" {
			return nil
		}
	case pairing:
		err = g.pairs(r)
	case devices, local, judges, anyone:
	}
	if !errors.Is(err, ErrUnpaired) {
		return err
	}
	if wait := g.limits.take(from, g.config.Devices.Now().Time); wait > 0 {
		return &TooManyError{Wait: wait}
	}
	return err
}

// pairs is nil for a request whose address ends in a key that pairs a device.
func (g *Gate) pairs(r *http.Request) error {
	hash, ok := Hash(path.Base(r.URL.Path))
	if !ok {
		return ErrUnpaired
	}
	_, err := g.config.Devices.PairingKey(r.Context(), hash)
	if errors.Is(err, record.ErrNotFound) {
		return ErrUnpaired
	}
	return err
}

// judgeKeyOf is the key of a judge that comes with a request to a route that takes one;
// empty for none.
func judgeKeyOf(r *http.Request, to who) string {
	if to == judging {
		return path.Base(r.URL.Path)
	}
	if to != judges {
		return ""
	}
	// The scheme is of any case (RFC 9110, 11.1).
	if scheme, key, ok := strings.Cut(r.Header.Get("Authorization"), " "); ok && strings.EqualFold(scheme, "Bearer") {
		return key
	}
	if c, err := r.Cookie(judgeCookie); err == nil {
		return c.Value
	}
	return ""
}

// The last use of a device is written down at most so often, and nobody waits longer
// than that for it: where the records are busy the next request does it.
const (
	usedEvery  = time.Minute
	usedWithin = 250 * time.Millisecond
)

// device is the device whose session comes with a request; nil for none.
func (g *Gate) device(r *http.Request, from string) (*record.Device, error) {
	c, err := r.Cookie(deviceCookie)
	if err != nil {
		return nil, nil //nolint:nilnil // no cookie is no device
	}
	hash, ok := Hash(c.Value)
	if !ok {
		return nil, nil //nolint:nilnil // what is no key is no device
	}
	d, err := g.config.Devices.DeviceOf(r.Context(), hash)
	if errors.Is(err, record.ErrNotFound) {
		return nil, nil //nolint:nilnil // one that was sent away
	}
	if err != nil {
		return nil, err
	}
	if g.config.Devices.Now().Sub(d.UsedAt.Time) >= usedEvery {
		ctx, cancel := context.WithTimeout(r.Context(), usedWithin)
		defer cancel()
		if err := g.config.Devices.DeviceUsed(ctx, d.ID, from); err != nil {
			g.config.Log.Warn("the last use of a device was not written down", "error", err)
		}
	}
	return &d, nil
}

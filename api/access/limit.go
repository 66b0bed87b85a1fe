package access

import (
	"fmt"
	"net/netip"
	"sync"
	"time"

	lru "github.com/hashicorp/golang-lru/v2"
	"golang.org/x/time/rate"
)

// How often an address may be refused: a burst for a roomful behind one router whose
// links have run out, then one each second. Keys cannot be guessed at any rate; this makes
// whoever tries it anyway wait.
const (
	refusedBurst  = 60
	refusedPerSec = 1
)

// mostAddresses is how many addresses are remembered. Whoever has more than that many,
// and so is forgotten in between, gains some work of the service and nothing else.
const mostAddresses = 4096

// limits are how often each address may still be refused.
type limits struct {
	mu    sync.Mutex // between looking for an address and adding it
	known *lru.Cache[netip.Prefix, *rate.Limiter]
}

func newLimits() (*limits, error) {
	known, err := lru.New[netip.Prefix, *rate.Limiter](mostAddresses)
	if err != nil {
		return nil, fmt.Errorf("access: addresses that were refused: %w", err)
	}
	return &limits{known: known}, nil
}

// take counts one refusal of an address, and tells how long it must wait where it has had
// too many.
func (l *limits) take(from netip.Addr, now time.Time) (wait time.Duration) {
	of := l.of(from).ReserveN(now, 1)
	if wait = of.DelayFrom(now); wait > 0 {
		of.CancelAt(now) // one that is refused for that does not make it longer
	}
	return wait
}

func (l *limits) of(from netip.Addr) *rate.Limiter {
	bits := from.BitLen()
	if from.Is6() && !from.IsLinkLocalUnicast() { // whose prefix all machines of all networks share
		bits = 64 // what one network has; a machine of it has as many addresses as it likes
	}
	network, err := from.Prefix(bits)
	if err != nil { // no address: all of these share one
		network = netip.Prefix{}
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	limiter, ok := l.known.Get(network)
	if !ok {
		limiter = rate.NewLimiter(refusedPerSec, refusedBurst)
		l.known.Add(network, limiter)
	}
	return limiter
}

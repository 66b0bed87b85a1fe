package access

import (
	"net/netip"
	"testing"
	"time"
)

func TestLimits(t *testing.T) {
	l, err := newLimits()
	if err != nil {
		t.Fatal(err)
	}
	now, phone, other := time.Unix(0, 0), netip.MustParseAddr("192.0.2.7"), netip.MustParseAddr("192.0.2.8")
	for i := range refusedBurst {
		if wait := l.take(phone, now); wait != 0 {
			t.Fatalf("try %d waits %v", i+1, wait)
		}
	}
	for range 100 { // knocking on does not make it longer
		if wait := l.take(phone, now); wait <= 0 || wait > time.Second {
			t.Fatalf("the next try waits %v, want up to 1 s", wait)
		}
	}
	if wait := l.take(other, now); wait != 0 {
		t.Errorf("another address waits %v", wait)
	}
	if wait := l.take(phone, now.Add(time.Second)); wait != 0 {
		t.Errorf("a second later it waits %v", wait)
	}
	// The addresses of one network of version 6 are one; those without an address too.
	for _, two := range [][2]netip.Addr{{netip.MustParseAddr("2001:db8::1"), netip.MustParseAddr("2001:db8::ffff:2")}, {{}, {}}} {
		if l.of(two[0]) != l.of(two[1]) {
			t.Errorf("%v are counted apart", two)
		}
	}
	// Two networks are not, nor two machines by addresses whose prefix all networks share.
	for _, two := range [][2]string{{"2001:db8::1", "2001:db8:0:1::1"}, {"fe80::1", "fe80::2"}, {"fe80::1%eth0", "fe80::2%eth0"}} {
		if l.of(netip.MustParseAddr(two[0])) == l.of(netip.MustParseAddr(two[1])) {
			t.Errorf("%v are counted as one", two)
		}
	}
}

func TestLimitsAreBounded(t *testing.T) {
	l, err := newLimits()
	if err != nil {
		t.Fatal(err)
	}
	at := netip.MustParseAddr("10.0.0.0")
	for range 3 * mostAddresses {
		at = at.Next()
		l.take(at, time.Unix(0, 0))
	}
	if n := l.known.Len(); n != mostAddresses {
		t.Errorf("%d addresses are remembered, want %d", n, mostAddresses)
	}
}

package store

import (
	"errors"
	"strings"
	"testing"
	"time"

	"pourpath/api/record"
)

// hashed64 is a text of the length of a hash.
func hashed64(of string) string { return strings.Repeat(of, 64) }

func TestDevices(t *testing.T) {
	s, ctx := open(t), t.Context()
	now := time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC)
	s.now = func() time.Time { return now }
	until, err := s.AddPairingKey(ctx, hashed64("a"), 10*time.Minute)
	if err != nil || !until.Equal(now.Add(10*time.Minute)) {
		t.Fatal(until, err)
	}
	for key, want := range map[string]error{hashed64("a"): nil, hashed64("b"): record.ErrNotFound, "": record.ErrNotFound, "%": record.ErrNotFound} {
		if got, err := s.PairingKey(ctx, key); !errors.Is(err, want) || want == nil && got != until {
			t.Errorf("key %.3q: %v, %v", key, got, err)
		}
	}
	d, err := s.Pair(ctx, hashed64("a"), hashed64("s"), "Phone", "192.0.2.7")
	if err != nil || d.ID == "" || d.Name != "Phone" || d.Address != "192.0.2.7" || !d.PairedAt.Equal(now) {
		t.Fatal(d, err)
	}
	if _, err := s.Pair(ctx, hashed64("a"), hashed64("t"), "Phone 2", ""); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("a key that was used: %v", err)
	}
	if got, err := s.DeviceOf(ctx, hashed64("s")); err != nil || got != d {
		t.Errorf("%+v, %v, want %+v", got, err, d)
	}
	for _, session := range []string{hashed64("t"), "", hashed64("S")} {
		if _, err := s.DeviceOf(ctx, session); !errors.Is(err, record.ErrNotFound) {
			t.Errorf("session %.3q: %v", session, err)
		}
	}
	now = now.Add(DeviceUnused - time.Second)
	if err := s.DeviceUsed(ctx, d.ID, "192.0.2.8"); err != nil {
		t.Fatal(err)
	}
	now = now.Add(DeviceUnused - time.Second)
	if all, err := s.Devices(ctx); err != nil || len(all) != 1 || all[0].Address != "192.0.2.8" || !all[0].PairedAt.Equal(d.PairedAt.Time) {
		t.Errorf("%+v, %v", all, err)
	}
	if v, err := s.Verify(ctx); err != nil || len(v.Findings) != 0 || v.Rows["device"] != 1 {
		t.Errorf("%+v, %v", v, err)
	}
	now = now.Add(time.Second)
	if _, err := s.DeviceOf(ctx, hashed64("s")); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("30 days unused: %v", err)
	}
	// A new key clears away what has run out.
	if _, err := s.AddPairingKey(ctx, hashed64("c"), time.Minute); err != nil {
		t.Fatal(err)
	}
	if err := s.RemoveDevice(ctx, d.ID); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("a device that was cleared away: %v", err)
	}
	now = now.Add(time.Minute)
	if _, err := s.Pair(ctx, hashed64("c"), hashed64("u"), "Phone", ""); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("a key that ran out: %v", err)
	}
}

// TestDamagedDevice: a row that is not what was written lets nobody in.
func TestDamagedDevice(t *testing.T) {
	s, ctx := open(t), t.Context()
	if _, err := s.AddPairingKey(ctx, hashed64("a"), time.Minute); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Pair(ctx, hashed64("a"), hashed64("s"), "Phone", ""); err != nil {
		t.Fatal(err)
	}
	if _, err := s.write.ExecContext(ctx, "UPDATE device SET session_sha256 = '"+hashed64("x")+"'"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.DeviceOf(ctx, hashed64("x")); !errors.Is(err, record.ErrDamaged) {
		t.Errorf("%v", err)
	}
	if v, err := s.Verify(ctx); err != nil || len(v.Findings) != 1 || !strings.HasPrefix(v.Findings[0].Place, "device ") {
		t.Errorf("%+v, %v", v.Findings, err)
	}
}

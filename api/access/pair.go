package access

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"pourpath/api/record"
)

// KeyWithin is how long the key of a link pairs a device.
const KeyWithin = 10 * time.Minute

// NewPairing makes a key that pairs one device once, until a time.
func NewPairing(ctx context.Context, d Devices) (key string, until record.Instant, err error) {
	key = NewKey()
	hash, _ := Hash(key)
	until, err = d.AddPairingKey(ctx, hash, KeyWithin)
	if err != nil {
		return "", until, fmt.Errorf("access: a key to pair a device: %w", err)
	}
	return key, until, nil
}

// Pair uses a key up for the device that sent r, and gives it a session of its own. It
// returns record.ErrNotFound for a key that pairs nothing, or no more.
func Pair(w http.ResponseWriter, r *http.Request, d Devices, key, name string) error {
	keyHash, ok := Hash(key)
	if !ok {
		return fmt.Errorf("access: pairing: %w", record.ErrNotFound)
	}
	session := NewKey()
	sessionHash, _ := Hash(session)
	if _, err := d.Pair(r.Context(), keyHash, sessionHash, name, VisitorOf(r.Context()).Address); err != nil {
		return fmt.Errorf("access: pairing: %w", err)
	}
	setDevice(w, r, session)
	return nil
}

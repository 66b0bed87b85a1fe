// Package access says who may ask the service for what. It is the one place that does:
// package api lets every request through its Gate before anything else looks at it.
//
// Whoever sits at the machine may do everything (Local). A device that was paired may do
// everything but pair or send away devices. A judge of a tasting panel may open that
// panel and nothing else. All others are refused, whatever they ask for.
package access

import (
	"context"
	"errors"
	"time"

	"pourpath/api/record"
)

// Devices keeps the devices that were paired, and the keys by which further ones are;
// sessions and keys by their hashes alone. What is not there, has run out or was used is
// record.ErrNotFound.
type Devices interface {
	// Now is the clock by which keys and sessions run out.
	Now() record.Instant
	// AddPairingKey keeps a key that pairs one device within a time from now.
	AddPairingKey(ctx context.Context, keyHash string, within time.Duration) (until record.Instant, err error)
	// PairingKey tells until when a key pairs a device.
	PairingKey(ctx context.Context, keyHash string) (until record.Instant, err error)
	// Pair uses a key up and adds a device with a session.
	Pair(ctx context.Context, keyHash, sessionHash, name, address string) (record.Device, error)
	// DeviceOf is the device that has a session.
	DeviceOf(ctx context.Context, sessionHash string) (record.Device, error)
	// DeviceUsed writes down that a device was used now.
	DeviceUsed(ctx context.Context, id, address string) error
}

// Judges knows the keys of the links that judges were given.
type Judges interface {
	// JudgeOf is the judge whose key has a hash (Hash); ok is false where none has.
	JudgeOf(ctx context.Context, keyHash string) (judgeID string, ok bool, err error)
}

// noJudges is where there are no panels.
type noJudges struct{}

func (noJudges) JudgeOf(context.Context, string) (string, bool, error) { return "", false, nil }

// Visitor is whoever asks.
type Visitor struct {
	// Local: sits at the machine itself.
	Local bool
	// Device that was paired; nil for none.
	Device *record.Device
	// Judge is the identifier of the judge whose key came along, on the routes that take
	// one; empty for none. Who is local or has a device may be a judge too.
	Judge string
	// Address that the request came from.
	Address string
}

type visitorKey struct{}

// VisitorOf is who the Gate found asking; nobody where it was not asked.
func VisitorOf(ctx context.Context) Visitor {
	v, _ := ctx.Value(visitorKey{}).(Visitor)
	return v
}

// The reasons for which the Gate refuses, matched with errors.Is. Any other error of it
// is a fault of what keeps devices or judges.
var (
	// ErrForeignHost: the request is for a name or address that this service has not.
	ErrForeignHost = errors.New("the request is for another host")
	// ErrForeignOrigin: a web page of another site sent it.
	ErrForeignOrigin = errors.New("the request comes from another site")
	// ErrUnpaired: it comes from nobody who may ask for anything.
	ErrUnpaired = errors.New("this device is not paired")
	// ErrLocalOnly: a device asks for what is for the machine itself.
	ErrLocalOnly = errors.New("only the machine itself may do that")
)

// TooManyError is that an address was refused too often.
type TooManyError struct {
	// Wait is how long to wait.
	Wait time.Duration
}

func (e *TooManyError) Error() string { return "too many requests that were refused" }

package store

import (
	"context"
	"crypto/subtle"
	"fmt"
	"time"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// DeviceUnused is how long the session of a device lasts without being used.
const DeviceUnused = 30 * 24 * time.Hour

// sessionTables are of who may come in, not of records. Archives leave them out: a
// restored backup would bring back devices that were sent away since it was made, and
// whoever comes to a copy of one learns nothing of who may come in.
var sessionTables = []table{
	define("device", "id", "id:t name:t session_sha256:t paired_at:t used_at:t! address:t!"),
	define("pairing_key", "key_sha256", "key_sha256:t made_at:t until:t"),
	define("panel_link", "judge_id", "judge_id:t key_sha256:t made_at:t"),
}

// deviceRow is a row of the table device.
type deviceRow struct {
	bun.BaseModel `bun:"table:device,alias:d"`

	ID            string `bun:",pk"`
	Name          string
	SessionSHA256 string `bun:"session_sha256"`
	PairedAt      record.Instant
	UsedAt        record.Instant
	Address       string
	Checksum      int64
}

func (r *deviceRow) values() []any  { return []any{r.ID, r.Name, r.SessionSHA256, r.PairedAt} }
func (r *deviceRow) stored() *int64 { return &r.Checksum }

func (r *deviceRow) record() (record.Device, error) {
	return record.Device{ID: r.ID, Name: r.Name, PairedAt: r.PairedAt, UsedAt: r.UsedAt, Address: r.Address}, intact("device", r.ID, r)
}

// pairingRow is a row of the table pairing_key.
type pairingRow struct {
	bun.BaseModel `bun:"table:pairing_key,alias:p"`

	KeySHA256 string `bun:"key_sha256,pk"`
	MadeAt    record.Instant
	Until     record.Instant
	Checksum  int64
}

func (r *pairingRow) values() []any  { return []any{r.KeySHA256, r.MadeAt, r.Until} }
func (r *pairingRow) stored() *int64 { return &r.Checksum }

// AddPairingKey keeps the SHA-256, in hexadecimal, of a key that pairs one device
// within a time from now. Keys and sessions that have run out are cleared away.
func (s *Store) AddPairingKey(ctx context.Context, keySHA256 string, within time.Duration) (until record.Instant, err error) {
	now := s.instant()
	until = record.At(now.Add(within))
	err = s.inTx(ctx, "a key to pair a device", func(ctx context.Context, tx bun.Tx) error {
		if _, err := tx.NewDelete().Model((*pairingRow)(nil)).Where("until <= ?", now).Exec(ctx); err != nil {
			return err
		}
		if _, err := tx.NewDelete().Model((*deviceRow)(nil)).Where("used_at <= ?", unusedSince(now)).Exec(ctx); err != nil {
			return err
		}
		row := &pairingRow{KeySHA256: keySHA256, MadeAt: now, Until: until}
		seal(row)
		_, err := tx.NewInsert().Model(row).Exec(ctx)
		return err
	})
	return until, err
}

// PairingKey tells until when a key pairs a device; record.ErrNotFound where it does
// not: it was never made, has run out or was used.
func (s *Store) PairingKey(ctx context.Context, keySHA256 string) (until record.Instant, err error) {
	row := new(pairingRow)
	if err := s.read.NewSelect().Model(row).Where("key_sha256 = ?", keySHA256).Where("until > ?", s.instant()).Scan(ctx); err != nil {
		return record.Instant{}, fault("a key to pair a device", err)
	}
	if !sameHash(row.KeySHA256, keySHA256) {
		return record.Instant{}, fmt.Errorf("store: a key to pair a device: %w", record.ErrNotFound)
	}
	return row.Until, intact("pairing_key", "", row)
}

// Pair uses a key up and adds the device that came with it, in one transaction: of two
// that come with one key the second gets record.ErrNotFound.
func (s *Store) Pair(ctx context.Context, keySHA256, sessionSHA256, name, address string) (record.Device, error) {
	now := s.instant()
	row := &deviceRow{ID: newID(), Name: name, SessionSHA256: sessionSHA256, PairedAt: now, UsedAt: now, Address: address}
	seal(row)
	err := s.inTx(ctx, "pairing a device", func(ctx context.Context, tx bun.Tx) error {
		used, err := tx.NewDelete().Model((*pairingRow)(nil)).Where("key_sha256 = ?", keySHA256).Where("until > ?", now).Exec(ctx)
		if err != nil {
			return err
		}
		if n, err := used.RowsAffected(); err != nil || n != 1 {
			return oneOr(err)
		}
		_, err = tx.NewInsert().Model(row).Exec(ctx)
		return err
	})
	if err != nil {
		return record.Device{}, err
	}
	return row.record()
}

// DeviceOf returns the device with a session; record.ErrNotFound where none has it,
// or it was not used for too long.
func (s *Store) DeviceOf(ctx context.Context, sessionSHA256 string) (record.Device, error) {
	row := new(deviceRow)
	if err := s.read.NewSelect().Model(row).Where("session_sha256 = ?", sessionSHA256).Where("used_at > ?", unusedSince(s.instant())).Scan(ctx); err != nil {
		return record.Device{}, fault("a device by its session", err)
	}
	if !sameHash(row.SessionSHA256, sessionSHA256) {
		return record.Device{}, fmt.Errorf("store: a device by its session: %w", record.ErrNotFound)
	}
	return row.record()
}

// Devices lists the devices that may come in, in the order in which they were paired.
func (s *Store) Devices(ctx context.Context) ([]record.Device, error) {
	var rows []*deviceRow
	if err := s.read.NewSelect().Model(&rows).Where("used_at > ?", unusedSince(s.instant())).Order("id").Scan(ctx); err != nil {
		return nil, fault("listing devices", err)
	}
	return records(rows, (*deviceRow).record)
}

// DeviceUsed writes down that a device was used now, from an address.
func (s *Store) DeviceUsed(ctx context.Context, id, address string) error {
	_, err := s.write.NewUpdate().Model((*deviceRow)(nil)).Set("used_at = ?, address = ?", s.instant(), address).Where("id = ?", id).Exec(ctx)
	return fault("the last use of a device", err)
}

// RemoveDevice ends the session of a device at once; record.ErrNotFound where there is
// none.
func (s *Store) RemoveDevice(ctx context.Context, id string) error {
	gone, err := s.write.NewDelete().Model((*deviceRow)(nil)).Where("id = ?", id).Exec(ctx)
	if err == nil {
		var n int64
		if n, err = gone.RowsAffected(); err == nil && n != 1 {
			err = record.ErrNotFound
		}
	}
	return fault(fmt.Sprintf("removing device %.64q", id), err)
}

// oneOr is record.ErrNotFound unless counting itself failed.
func oneOr(err error) error {
	if err != nil {
		return err
	}
	return record.ErrNotFound
}

// unusedSince is the time of the last use from which on a session has run out.
func unusedSince(now record.Instant) record.Instant { return record.At(now.Add(-DeviceUnused)) }

// sameHash compares in a time that tells nothing. The database has found the row by its
// index before, whose time may depend on the hash, which nobody can choose.
func sameHash(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

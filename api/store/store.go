package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/google/uuid"
	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// Config says where the records are.
type Config struct {
	// Dir is the data folder that holds an SQLite database; it is made where it
	// is missing. It is not looked at where URL is set.
	Dir string
	// URL is that of a PostgreSQL database, such as
	// postgres://user@host:5432/name; "" for SQLite.
	URL string
	// Now is the clock; nil is the machine's.
	Now func() time.Time
}

// Store is an open store. Its methods may be called concurrently. Their errors
// wrap those of package record where the caller can do something about it.
type Store struct {
	// read and write are one pool for PostgreSQL. SQLite has one writer, so that
	// those who write wait for each other here and not for a lock.
	read, write *bun.DB
	now         func() time.Time
	postgres    bool
	place       string // for people
}

// Open opens the store and brings it to the present version. It returns a
// *TooNewError for one that a later version wrote, record.ErrDamaged for one that
// is not whole, and record.ErrUnavailable for a server that does not answer.
func Open(ctx context.Context, c Config) (*Store, error) {
	s := &Store{now: c.Now}
	if s.now == nil {
		s.now = time.Now
	}
	pooledRandomness()
	var err error
	if c.URL != "" {
		err = s.openPostgres(ctx, c.URL)
	} else {
		err = s.openSQLite(ctx, c.Dir)
	}
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// pooledRandomness makes identifiers cheap: they are no secrets.
var pooledRandomness = sync.OnceFunc(uuid.EnableRandPool)

// Close lets go of the database. What was acknowledged is on disk already.
func (s *Store) Close() error {
	var errs []error
	for _, db := range []*bun.DB{s.read, s.write} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	if s.read == s.write && len(errs) > 1 {
		errs = errs[:1]
	}
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("store: closing: %w", err)
	}
	return nil
}

// Place says where the records are, for people, without a password.
func (s *Store) Place() string { return s.place }

// Ready returns nil where the store answers.
func (s *Store) Ready(ctx context.Context) error {
	var one int
	return fault("asking the database", s.read.NewRaw("SELECT count(*) FROM (SELECT 1 FROM wine LIMIT 1) AS w").Scan(ctx, &one))
}

// inTx does work in one transaction of the writer: all of it or nothing.
func (s *Store) inTx(ctx context.Context, what string, work func(context.Context, bun.Tx) error) error {
	return fault(what, s.write.RunInTx(ctx, nil, work))
}

// inSnapshot does work on one state of the database.
func (s *Store) inSnapshot(ctx context.Context, what string, work func(context.Context, bun.Tx) error) error {
	options := &sql.TxOptions{ReadOnly: true}
	if s.postgres {
		options.Isolation = sql.LevelRepeatableRead
	}
	return fault(what, s.read.RunInTx(ctx, options, work))
}

// newID makes the identifier of a record; identifiers sort in the order in which
// they are made.
func newID() string { return uuid.Must(uuid.NewV7()).String() } // fails only where the machine has no randomness

// Now is the store's clock, to the microsecond.
func (s *Store) Now() record.Instant { return s.instant() }

func (s *Store) instant() record.Instant { return record.At(s.now()) }

package store

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"github.com/gofrs/flock"
	"github.com/pressly/goose/v3"
	"github.com/uptrace/bun"
	"github.com/uptrace/bun/dialect/sqlitedialect"

	"pourpath/api/record"
)

const (
	sqliteFile = "records.sqlite"
	lockFile   = "records.lock"
	// applicationID marks a database as ours in its header ("Pour" in ASCII).
	applicationID = 0x506f7572
	// waitForWriter is how long a writer waits for another process.
	waitForWriter = 2 * time.Minute
	// lookForLock is how often a process looks whether another one is done with
	// making or updating the database.
	lookForLock = 20 * time.Millisecond
)

func (s *Store) openSQLite(ctx context.Context, dir string) (err error) {
	s.place = dir
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("store: data folder: %w", err)
	}
	// One process at a time makes or updates the database.
	lock := flock.New(filepath.Join(dir, lockFile))
	if _, err := lock.TryLockContext(ctx, lookForLock); err != nil {
		return fmt.Errorf("store: data folder: %w", err)
	}
	defer func() { err = errors.Join(err, lock.Unlock()) }()

	path := filepath.Join(dir, sqliteFile)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		if err := createSQLite(ctx, path); err != nil {
			return err
		}
	} else if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	if err := hasItsLength(path); err != nil {
		return err
	}
	writer, err := openFile(path, "_txlock=immediate")
	if err != nil {
		return err
	}
	writer.SetMaxOpenConns(1)
	s.write = bun.NewDB(writer, sqlitedialect.New())
	if err := whole(ctx, writer); err != nil {
		return fmt.Errorf("%w: %s", err, path)
	}
	if err := migrate(ctx, writer, goose.DialectSQLite3); err != nil {
		return err
	}
	reader, err := openFile(path, "_pragma=query_only(1)")
	if err != nil {
		return err
	}
	reader.SetMaxOpenConns(max(4, runtime.GOMAXPROCS(0)))
	s.read = bun.NewDB(reader, sqlitedialect.New())
	return nil
}

// hasItsLength compares the length of a database file with the one that its
// header tells: page size at byte 16, number of pages at byte 28 (SQLite's
// description of its file format, section 1.3). While a log lies beside the
// file, pages may be there and not yet in it.
func hasItsLength(path string) error {
	if log, err := os.Stat(path + "-wal"); err == nil && log.Size() > 0 {
		return nil
	}
	file, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	var header [32]byte
	if n, err := file.ReadAt(header[:], 0); n < len(header) {
		return fmt.Errorf("store: %s: %w: it ends after %d bytes (%w); restore the last backup", path, record.ErrDamaged, n, err)
	}
	page := int64(binary.BigEndian.Uint16(header[16:]))
	if page == 1 { // stands for the one size that does not fit
		page = 1 << 16
	}
	if want := page * int64(binary.BigEndian.Uint32(header[28:])); info.Size() != want {
		return fmt.Errorf("store: %s: %w: it has %d bytes where its header tells %d; restore the last backup", path, record.ErrDamaged, info.Size(), want)
	}
	return nil
}

// createSQLite makes a database beside its place and moves it there when it is
// complete: a file at its place that is empty or half made was damaged.
func createSQLite(ctx context.Context, path string) error {
	fresh := path + ".new"
	for _, old := range []string{fresh, fresh + "-wal", fresh + "-shm", fresh + "-journal"} {
		if err := os.Remove(old); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("store: %w", err)
		}
	}
	// The log beside the database takes its mode from it.
	file, err := os.OpenFile(fresh, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err == nil {
		err = file.Close()
	}
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	db, err := openFile(fresh, "_txlock=immediate")
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1)
	_, err = db.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID))
	if err == nil {
		err = migrate(ctx, db, goose.DialectSQLite3)
	}
	// Closing the last connection brings everything into the one file.
	if err := errors.Join(fault("making the database", err), db.Close()); err != nil {
		return err
	}
	if err := os.Rename(fresh, path); err != nil {
		return fmt.Errorf("store: %w", err)
	}
	return nil
}

// openFile makes a pool of connections. Write-ahead logging lets readers go on
// while one writes; synchronous FULL puts each transaction on disk before it is
// acknowledged.
func openFile(path, more string) (*sql.DB, error) {
	name := "file:" + (&url.URL{Path: path}).EscapedPath() +
		"?_pragma=busy_timeout(" + fmt.Sprint(waitForWriter.Milliseconds()) + ")" +
		"&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_pragma=cell_size_check(1)&" + more
	db, err := sql.Open("sqlite", name)
	if err != nil {
		return nil, fault("opening "+path, err)
	}
	return db, nil
}

// whole looks whether a file is a database of ours whose structure holds
// together. Rows are looked at when they are read.
func whole(ctx context.Context, db *sql.DB) error {
	var id int
	if err := db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return fault("opening the database", err)
	}
	if id != applicationID {
		return fmt.Errorf("store: %w: the file is not a database of this program, or its beginning was lost; restore the last backup", record.ErrDamaged)
	}
	var found string
	if err := db.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&found); err != nil {
		return fault("opening the database", err)
	}
	if found != "ok" {
		return fmt.Errorf("store: %w: %s; restore the last backup", record.ErrDamaged, found)
	}
	return nil
}

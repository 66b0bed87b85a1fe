package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"pourpath/api/record"
)

// fault says what an error of the database means to whoever asked. what names
// the work in a few words.
func fault(what string, err error) error {
	if err == nil {
		return nil
	}
	if kind := kindOf(err); kind != nil && !errors.Is(err, kind) {
		return fmt.Errorf("store: %s: %w (%w)", what, kind, err)
	}
	return fmt.Errorf("store: %s: %w", what, err)
}

// kindOf is the error of package record that a database error is, or nil.
func kindOf(err error) error {
	var lite *sqlite.Error
	var pg *pgconn.PgError
	var connecting *pgconn.ConnectError
	var network net.Error
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return nil
	case errors.Is(err, sql.ErrNoRows):
		return record.ErrNotFound
	case errors.As(err, &lite):
		return kindOfSQLite(lite.Code())
	case errors.As(err, &pg):
		return kindOfPostgres(pg.Code)
	case errors.As(err, &connecting), errors.As(err, &network), errors.Is(err, driver.ErrBadConn),
		errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, net.ErrClosed),
		strings.Contains(err.Error(), "conn closed"), strings.Contains(err.Error(), "conn busy"):
		return record.ErrUnavailable
	}
	return nil
}

func kindOfSQLite(code int) error {
	switch code & 0xff {
	case sqlite3.SQLITE_FULL:
		return record.ErrFull
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return record.ErrDamaged
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return record.ErrUnavailable
	}
	// A shared-memory file, or a journal, that cannot grow.
	switch code {
	case sqlite3.SQLITE_IOERR_SHMSIZE, sqlite3.SQLITE_IOERR_WRITE, sqlite3.SQLITE_IOERR_TRUNCATE, sqlite3.SQLITE_IOERR_FSYNC:
		return record.ErrFull
	case sqlite3.SQLITE_IOERR_SHORT_READ:
		return record.ErrDamaged
	}
	return nil
}

// kindOfPostgres goes by the classes of PostgreSQL's appendix A.
func kindOfPostgres(code string) error {
	switch {
	case code == "53100": // disk_full
		return record.ErrFull
	case strings.HasPrefix(code, "08"), strings.HasPrefix(code, "57P"), strings.HasPrefix(code, "53"),
		code == "40001", code == "40P01": // connection, shutdown, resources, a lost race
		return record.ErrUnavailable
	case strings.HasPrefix(code, "XX"):
		return record.ErrDamaged
	}
	return nil
}

// unique reports whether err is that a row with such a key is there already.
func unique(err error) bool {
	var lite *sqlite.Error
	var pg *pgconn.PgError
	switch {
	case errors.As(err, &lite):
		return lite.Code() == sqlite3.SQLITE_CONSTRAINT_UNIQUE || lite.Code() == sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY
	case errors.As(err, &pg):
		return pg.Code == "23505"
	}
	return false
}

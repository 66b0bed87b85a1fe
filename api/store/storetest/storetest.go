// Package storetest gives tests empty places to keep records in.
package storetest

import (
	"context"
	"database/sql"
	"errors"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/google/uuid"
	_ "github.com/jackc/pgx/v5/stdlib" // the driver of PostgreSQL
)

// OnPostgres reports whether tests are to use PostgreSQL: where the environment
// names a server, as pg_virtualenv does. The packages that keep records are
// tested once with each kind of database.
func OnPostgres() bool { return os.Getenv("PGHOST") != "" }

// Place is an empty place: a folder, and on PostgreSQL the address of a database
// of its own, as the tests of other packages run at the same time.
func Place(tb testing.TB) (dir, address string) {
	tb.Helper()
	dir = tb.TempDir()
	if !OnPostgres() {
		return dir, ""
	}
	server, err := sql.Open("pgx", "postgres:///postgres")
	if err != nil {
		tb.Fatal(err)
	}
	ctx := context.WithoutCancel(tb.Context()) // for the end of the test too
	name := "test_" + strings.ReplaceAll(uuid.NewString(), "-", "")
	if _, err := server.ExecContext(ctx, `CREATE DATABASE "`+name+`"`); err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		_, err := server.ExecContext(ctx, `DROP DATABASE "`+name+`" WITH (FORCE)`)
		if err := errors.Join(err, server.Close()); err != nil {
			tb.Error(err)
		}
	})
	return dir, (&url.URL{Scheme: "postgres", Path: "/" + name}).String()
}

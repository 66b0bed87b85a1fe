// Package storetest gives tests places to keep records in.
package storetest

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
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
	return dir, database(tb, "")
}

// Opening opens a store in a place; it is that of package store, which this one cannot
// import as its tests use it.
type Opening func(ctx context.Context, dir, address string) (io.Closer, error)

// Made is a place with an empty store. A test binary has one made by open, closed and
// copied: making it anew takes thirty times as long.
func Made(tb testing.TB, open Opening) (dir, address string) {
	tb.Helper()
	if err := first.wanted(tb.Context(), open); err != nil {
		tb.Fatal(err)
	}
	dir = tb.TempDir()
	if OnPostgres() {
		return dir, database(tb, first.database)
	}
	for name, content := range first.files {
		if err := os.WriteFile(filepath.Join(dir, name), content, 0o600); err != nil {
			tb.Fatal(err)
		}
	}
	return dir, ""
}

// Main runs the tests of a package that uses Made and returns the code to exit with.
func Main(m *testing.M) int {
	code := m.Run()
	if first.database == "" {
		return code
	}
	if err := onServer(context.Background(), `DROP DATABASE "`+first.database+`" WITH (FORCE)`); err != nil {
		fmt.Fprintln(os.Stderr, "storetest:", err)
		return 1
	}
	return code
}

// first is the store that others are copies of.
var first original

type original struct {
	sync.Mutex
	made     bool
	files    map[string][]byte // of a store in a folder, by name
	database string            // of one on PostgreSQL
}

// wanted has the store made where it is not yet.
func (o *original) wanted(ctx context.Context, open Opening) error {
	o.Lock()
	defer o.Unlock()
	if o.made {
		return nil
	}
	dir, err := os.MkdirTemp("", "storetest-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	address := ""
	if OnPostgres() {
		o.database = newName()
		if err := onServer(ctx, `CREATE DATABASE "`+o.database+`"`); err != nil {
			return err
		}
		address = addressOf(o.database)
	}
	store, err := open(ctx, dir, address)
	if err != nil {
		return err
	}
	if err := store.Close(); err != nil {
		return err
	}
	list, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	o.files = map[string][]byte{}
	for _, file := range list {
		if o.files[file.Name()], err = os.ReadFile(filepath.Join(dir, file.Name())); err != nil {
			return err
		}
	}
	o.made = true
	return nil
}

// database is the address of a database that goes with the test: a copy of another, or
// an empty one.
func database(tb testing.TB, of string) (address string) {
	tb.Helper()
	name := newName()
	create := `CREATE DATABASE "` + name + `"`
	if of != "" {
		create += ` TEMPLATE "` + of + `"`
	}
	ctx := context.WithoutCancel(tb.Context()) // for the end of the test too
	if err := onServer(ctx, create); err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := onServer(ctx, `DROP DATABASE "`+name+`" WITH (FORCE)`); err != nil {
			tb.Error(err)
		}
	})
	return addressOf(name)
}

func newName() string { return "test_" + strings.ReplaceAll(uuid.NewString(), "-", "") }

func addressOf(name string) string {
	return (&url.URL{Scheme: "postgres", Path: "/" + name}).String()
}

// onServer has the server do something outside of the tests' databases.
func onServer(ctx context.Context, statement string) error {
	server, err := sql.Open("pgx", "postgres:///postgres")
	if err != nil {
		return err
	}
	_, err = server.ExecContext(ctx, statement)
	return errors.Join(err, server.Close())
}

package store

import (
	"context"
	"net/url"
	"os"
	"testing"

	"github.com/jackc/pgx/v5"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// open opens an empty store: in PostgreSQL where the environment names a server
// (PGHOST, as pg_virtualenv sets it), in SQLite otherwise. The whole package is
// tested once with each.
func open(tb testing.TB) *Store {
	tb.Helper()
	config := Config{Dir: tb.TempDir()}
	if onPostgres() {
		config.URL = emptyDatabase(tb)
	}
	s, err := Open(context.Background(), config)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { closed(tb, s) })
	return s
}

func closed(tb testing.TB, s *Store) {
	tb.Helper()
	if err := s.Close(); err != nil {
		tb.Error(err)
	}
}

func onPostgres() bool { return os.Getenv("PGHOST") != "" }

// emptyDatabase makes a database of its own for a test, as the other packages'
// tests run at the same time.
func emptyDatabase(tb testing.TB) string {
	tb.Helper()
	config, err := pgx.ParseConfig("postgres:///postgres")
	if err != nil {
		tb.Fatal(err)
	}
	server := poolOf(config)
	name := "test_" + newID()[24:]
	if _, err := server.Exec(`CREATE DATABASE "` + name + `"`); err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if _, err := server.Exec(`DROP DATABASE "` + name + `" WITH (FORCE)`); err != nil {
			tb.Error(err)
		}
		if err := server.Close(); err != nil {
			tb.Error(err)
		}
	})
	return (&url.URL{Scheme: "postgres", Path: "/" + name}).String()
}

// three is a reading at the three wavelengths.
func three(a420, a520, a620 float64) record.Reading {
	return record.Reading{Measurement: record.Measurement{Readings: &calc.Readings{A420: a420, A520: a520, A620: a620}}}
}

// white is what is said of an ordinary wine.
func white(name string) record.WineFields { return record.WineFields{Name: name, Kind: record.White} }

// added adds a wine with a reading.
func added(tb testing.TB, s *Store, fields record.WineFields, r record.Reading) (record.Wine, record.Reading) {
	tb.Helper()
	w, first, err := s.CreateWine(context.Background(), fields, &r)
	if err != nil {
		tb.Fatal(err)
	}
	return w, *first
}

// sound checks that a store holds together.
func sound(tb testing.TB, s *Store) Verification {
	tb.Helper()
	v, err := s.Verify(context.Background())
	if err != nil || len(v.Findings) > 0 {
		tb.Fatalf("verify: %v, %v", v.Findings, err)
	}
	return v
}

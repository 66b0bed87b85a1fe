package store

import (
	"context"
	"io"
	"os"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store/storetest"
)

func TestMain(m *testing.M) { os.Exit(storetest.Main(m)) }

// open opens an empty store of the kind that is tested.
func open(tb testing.TB) *Store {
	tb.Helper()
	dir, address := storetest.Made(tb, opening)
	s, err := Open(context.Background(), Config{Dir: dir, URL: address})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { closed(tb, s) })
	return s
}

func opening(ctx context.Context, dir, address string) (io.Closer, error) {
	return Open(ctx, Config{Dir: dir, URL: address})
}

// place is where there is no store yet.
func place(tb testing.TB) Config {
	tb.Helper()
	dir, address := storetest.Place(tb)
	return Config{Dir: dir, URL: address}
}

func closed(tb testing.TB, s *Store) {
	tb.Helper()
	if err := s.Close(); err != nil {
		tb.Error(err)
	}
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

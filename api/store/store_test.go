package store_test

import (
	"context"
	"errors"
	"os"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
)

func open(t testing.TB) *store.Store {
	t.Helper()
	c := store.Config{Dir: t.TempDir()}
	if os.Getenv("PGHOST") != "" {
		c.URL = "postgres://"
	}
	s, err := store.Open(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func TestFirst(t *testing.T) {
	s := open(t)
	ctx := context.Background()
	w, r, err := s.CreateWine(ctx, record.WineFields{Name: "Tank 4", Kind: record.White}, &record.Reading{Measurement: record.Measurement{Readings: &calc.Readings{A420: 0.142, A520: 0.118, A620: 0.02}}})
	if err != nil {
		t.Fatal(err)
	}
	t.Log(w, r)
	_, err = s.AddReading(ctx, w.ID, record.Reading{Measurement: record.Measurement{Readings: &calc.Readings{A420: 0.142, A520: 0.118, A620: 0.02}}, Supersedes: r.ID, Reason: "x"})
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.AddReading(ctx, w.ID, record.Reading{Measurement: record.Measurement{Readings: &calc.Readings{A420: 0.142, A520: 0.118, A620: 0.02}}, Supersedes: r.ID, Reason: "x"})
	if !errors.Is(err, record.ErrSuperseded) {
		t.Fatal(err)
	}
	list, err := s.ReadingsOf(ctx, w.ID, record.Page{Limit: 1})
	t.Log(list, err)
	list, err = s.ReadingsOf(ctx, w.ID, record.Page{Limit: 1, After: list[0].ID})
	t.Log(list, err)
	sw, err := s.StoredWine(ctx, w.ID)
	t.Log(sw, err)
	rr, err := s.ArchiveReading(ctx, list[0].ID, "bad")
	t.Log(rr, err)
	w2, err := s.ChangeWine(ctx, w.ID, 1, record.WineFields{Name: "T", Kind: record.Red})
	t.Log(w2, err)
	_, err = s.ChangeWine(ctx, w.ID, 1, record.WineFields{Name: "T", Kind: record.Red})
	if !errors.Is(err, record.ErrChanged) {
		t.Fatal(err)
	}
	w2, err = s.ArchiveWine(ctx, w.ID, 2)
	t.Log(w2, err)
	tt, err := s.CreateTarget(ctx, record.TargetFields{Name: "x", Target: &calc.Target{CIELAB: &calc.TargetColour{L: 80, A: 10, B: 5}}})
	t.Log(tt, err)
	tt, err = s.Target(ctx, tt.ID)
	t.Log(tt, err)
	if err := s.Ready(ctx); err != nil {
		t.Fatal(err)
	}
}

package invented

import (
	"context"
	"time"

	"pourpath/api/calc"
	"pourpath/api/pages"
	"pourpath/api/record"
)

// writtenOn is the day on which the readings of pages.InventedCellar were new: they
// are moved by whole days so that they are as new today.
var writtenOn = time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC)

// The pair of the year before, which the house rosé is made of.
const (
	houseWhite = "White, tank 1"
	houseRed   = "Red, barrel 4"
	lastYears  = "Last year's rosé"
)

// cellar tells when each wine was first read, and read again. Targets are stored
// with the wines.
func (t *story) cellar() error {
	cellar, err := pages.InventedCellar()
	if err != nil {
		return err
	}
	moved := t.daysAgo(0, 0).Sub(writtenOn)
	for _, w := range cellar.Wines {
		for i := range w.Readings {
			at := record.At(w.Readings[i].TakenAt.Add(moved))
			w.Readings[i].TakenAt = &at
		}
		t.wine(w)
	}
	t.tell(t.daysAgo(240, 9), "targets", func(ctx context.Context) error {
		for _, target := range cellar.Targets {
			made, err := t.store.CreateTarget(ctx, target)
			if err != nil {
				return err
			}
			t.targets[target.Name] = made.ID
		}
		return nil
	})
	for _, w := range t.lastYear() {
		t.wine(w)
	}
	return nil
}

// lastYear are the wines that the house rosé was blended from; they are used up.
func (t *story) lastYear() []pages.InventedWine {
	at := record.At(t.daysAgo(238, 9))
	on := record.Circumstances{TakenAt: &at, Instrument: "bench 2", Analyst: "morning shift", Blank: "water"}
	vintage, cell, none := at.Year()-1, 1.0, 0.0
	white := read(0.108, 0.029, 0.011, two(0.056, 0.018)...)
	red := record.Measurement{Readings: &calc.Readings{A420: 0.251, A520: 0.405, A620: 0.071, PathMM: &cell, Extra: two(0.235, 0.217)}}
	return []pages.InventedWine{
		{WineFields: record.WineFields{Name: houseWhite, Kind: record.White, Lot: "W-1", Vintage: &vintage, StockL: &none}, Readings: []record.Reading{{Measurement: white, Circumstances: on}}},
		{WineFields: record.WineFields{Name: houseRed, Kind: record.Red, Lot: "R-4", Vintage: &vintage, StockL: &none}, Readings: []record.Reading{{Measurement: red, Circumstances: on}}},
	}
}

func (t *story) wine(w pages.InventedWine) {
	for i, r := range w.Readings {
		t.tell(r.TakenAt.Time, w.Name, func(ctx context.Context) error {
			if i > 0 {
				_, err := t.store.AddReading(ctx, t.wines[w.Name], r)
				return err
			}
			made, _, err := t.store.CreateWine(ctx, w.WineFields, &r)
			t.wines[w.Name] = made.ID
			return err
		})
	}
}

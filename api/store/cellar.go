package store

import (
	"context"
	"errors"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// newest is how many of a wine's newest readings are looked at for its current
// one: more than anybody takes replicates.
const newest = 1000

// Current returns the readings that a wine's present data are made of: the
// newest one that counts, with its replicates. It is empty where nothing was
// read of the wine.
func (s *Store) Current(ctx context.Context, wineID string) ([]record.Reading, error) {
	var rows []*readingRow
	err := s.read.NewSelect().Model(&rows).
		Where("r.wine_id = ? AND r.archived_at IS NULL", wineID).
		Where("NOT EXISTS (SELECT 1 FROM reading AS c WHERE c.supersedes = r.id)").
		Order("r.counts_from DESC", "r.id DESC").Limit(newest).Scan(ctx)
	if err != nil {
		return nil, fault("the current reading of a wine", err)
	}
	list, err := records(rows, (*readingRow).record)
	if err != nil {
		return nil, err
	}
	set, _ := record.Current(list)
	return set, nil
}

// StoredWine implements calc.Cellar: the wine's current reading, replicates
// averaged.
func (s *Store) StoredWine(ctx context.Context, id string) (calc.StoredWine, error) {
	wine, err := s.Wine(ctx, id)
	if err != nil {
		return calc.StoredWine{}, notStored(err)
	}
	set, err := s.Current(ctx, id)
	if err != nil {
		return calc.StoredWine{}, err
	}
	if len(set) == 0 {
		return calc.StoredWine{}, calc.ErrNoReading
	}
	stored, _, err := record.Combine(wine.Name, set)
	return stored, err
}

// StoredTarget implements calc.Cellar.
func (s *Store) StoredTarget(ctx context.Context, id string) (calc.StoredTarget, error) {
	t, err := s.Target(ctx, id)
	if err != nil {
		return calc.StoredTarget{}, notStored(err)
	}
	out := calc.StoredTarget{Target: *t.Target}
	if t.View != nil {
		out.View = *t.View
	}
	return out, nil
}

func notStored(err error) error {
	if errors.Is(err, record.ErrNotFound) {
		return calc.ErrNotStored
	}
	return err
}

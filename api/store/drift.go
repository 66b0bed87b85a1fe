package store

import (
	"context"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// SampleCount is how many samples all lots have. No sample is ever deleted, so
// whoever holds as many holds all of them.
func (s *Store) SampleCount(ctx context.Context) (int, error) {
	n, err := s.read.NewSelect().Model((*sampleRow)(nil)).Count(ctx)
	return int(n), fault("counting samples", err)
}

// SamplesAfter lists samples of all lots in the order of their identifiers,
// without their verdicts and ages. Two that are recorded at once may become
// visible in the other order: count them (SampleCount).
func (s *Store) SamplesAfter(ctx context.Context, after string, limit int) ([]record.Sample, error) {
	var rows []*sampleRow
	if err := s.read.NewSelect().Model(&rows).Where("id > ?", after).Order("id").Limit(int64(limit)).Scan(ctx); err != nil {
		return nil, fault("listing samples", err)
	}
	return records(rows, (*sampleRow).record)
}

// LotsNamed returns the lots with the identifiers, in any order; those that are
// not there are left out.
func (s *Store) LotsNamed(ctx context.Context, ids []string) ([]record.Lot, error) {
	if len(ids) == 0 {
		return nil, nil
	}
	var rows []*lotRow
	if err := s.read.NewSelect().Model(&rows).Where("id IN (?)", bun.List(ids)).Scan(ctx); err != nil {
		return nil, fault("listing lots", err)
	}
	return detailed(ctx, s.read, rows)
}

// SameName is what two names have in common that are taken for one: case, width
// and spaces do not count.
func SameName(name string) string { return nameKey(name) }

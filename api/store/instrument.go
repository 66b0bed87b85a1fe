package store

import (
	"context"
	"fmt"

	"pourpath/api/record"

	"github.com/uptrace/bun"
)

// checkRow is a row of the table instrument_check.
type checkRow struct {
	bun.BaseModel `bun:"table:instrument_check,alias:k"`

	ID            string `bun:",pk"`
	Instrument    string
	InstrumentKey string
	Kind          string
	CountsFrom    record.Instant
	Passed        int64
	Body          string
	RecordedAt    record.Instant
	Checksum      int64
}

func (r *checkRow) values() []any {
	return []any{r.ID, r.Instrument, r.InstrumentKey, r.Kind, r.CountsFrom, r.Passed, r.Body, r.RecordedAt}
}

func (r *checkRow) stored() *int64 { return &r.Checksum }

func (r *checkRow) record() (record.InstrumentCheck, error) {
	c := record.InstrumentCheck{ID: r.ID, Passed: r.Passed == 1, RecordedAt: r.RecordedAt}
	if err := intact("instrument_check", r.ID, r); err != nil {
		return c, err
	}
	return c, fromJSON(r.Body, &c.InstrumentCheckBody)
}

// ChecksAfter returns the first check of each kind that an instrument had after a
// moment.
func (s *Store) ChecksAfter(ctx context.Context, instrument string, at record.Instant) ([]record.InstrumentCheck, error) {
	key := nameKey(instrument)
	if key == "" {
		return nil, nil
	}
	var rows []*checkRow
	err := s.read.NewSelect().Model(&rows).Where("instrument_key = ? AND counts_from > ?", key, at).
		Where("NOT EXISTS (SELECT 1 FROM instrument_check AS o WHERE o.instrument_key = k.instrument_key AND o.kind = k.kind AND o.counts_from > ? AND (o.counts_from < k.counts_from OR o.counts_from = k.counts_from AND o.id < k.id))", at).
		Order("kind").Scan(ctx)
	if err != nil {
		return nil, fault("the checks of an instrument", err)
	}
	return records(rows, (*checkRow).record)
}

// checksOf are all checks of an instrument in the order in which they count.
func checksOf(ctx context.Context, db bun.IDB, instrument string) ([]record.InstrumentCheck, error) {
	key := nameKey(instrument)
	if key == "" {
		return nil, nil
	}
	var rows []*checkRow
	if err := db.NewSelect().Model(&rows).Where("instrument_key = ?", key).Order("counts_from", "id").Scan(ctx); err != nil {
		return nil, err
	}
	return records(rows, (*checkRow).record)
}

// AddInstrumentCheck adds a check of an instrument.
func (s *Store) AddInstrumentCheck(ctx context.Context, body record.InstrumentCheckBody) (record.InstrumentCheck, error) {
	c := record.InstrumentCheck{ID: newID(), InstrumentCheckBody: body, Passed: body.Within(), RecordedAt: s.instant()}
	written, err := jsonText(body)
	if err != nil {
		return c, err
	}
	row := &checkRow{
		ID: c.ID, Instrument: c.Instrument, InstrumentKey: nameKey(c.Instrument), Kind: string(c.Kind), CountsFrom: c.At(), Body: written, RecordedAt: c.RecordedAt,
	}
	if c.Passed {
		row.Passed = 1
	}
	seal(row)
	_, err = s.write.NewInsert().Model(row).Exec(ctx)
	return c, fault("adding a check of an instrument", err)
}

// InstrumentCheck returns a check; record.ErrNotFound where there is none.
func (s *Store) InstrumentCheck(ctx context.Context, id string) (record.InstrumentCheck, error) {
	row := new(checkRow)
	if err := s.read.NewSelect().Model(row).Where("id = ?", id).Scan(ctx); err != nil {
		return record.InstrumentCheck{}, fault(fmt.Sprintf("check of an instrument %.64q", id), err)
	}
	return row.record()
}

// InstrumentChecks lists checks in the order in which they were recorded.
func (s *Store) InstrumentChecks(ctx context.Context, p record.Page) ([]record.InstrumentCheck, error) {
	var rows []*checkRow
	if err := s.read.NewSelect().Model(&rows).Where("id > ?", p.After).Order("id").Limit(int64(p.Limit)).Scan(ctx); err != nil {
		return nil, fault("listing checks of instruments", err)
	}
	return records(rows, (*checkRow).record)
}

// ChecksAt returns the newest check of each kind that an instrument had at a
// moment; none where the instrument has no name or was never checked.
func (s *Store) ChecksAt(ctx context.Context, instrument string, at record.Instant) ([]record.InstrumentCheck, error) {
	key := nameKey(instrument)
	if key == "" {
		return nil, nil
	}
	var rows []*checkRow
	err := s.read.NewSelect().Model(&rows).Where("instrument_key = ? AND counts_from <= ?", key, at).
		Where("NOT EXISTS (SELECT 1 FROM instrument_check AS o WHERE o.instrument_key = k.instrument_key AND o.kind = k.kind AND o.counts_from <= ? AND (o.counts_from > k.counts_from OR o.counts_from = k.counts_from AND o.id > k.id))", at).
		Order("kind").Scan(ctx)
	if err != nil {
		return nil, fault("the checks of an instrument", err)
	}
	return records(rows, (*checkRow).record)
}

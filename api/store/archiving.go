package store

import (
	"context"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// archivingRow is a row of the table archiving.
type archivingRow struct {
	bun.BaseModel `bun:"table:archiving,alias:x"`

	ID         string  `bun:",pk"`
	WineID     string  `bun:"wine_id"`
	ReadingID  *string `bun:"reading_id"`
	Archived   int64
	Reason     string
	RecordedAt record.Instant
	Checksum   int64
}

func (r *archivingRow) values() []any {
	return []any{r.ID, r.WineID, r.ReadingID, r.Archived, r.Reason, r.RecordedAt}
}

func (r *archivingRow) stored() *int64 { return &r.Checksum }

// withReason adds to each wine why it is archived.
func withReason(q *bun.SelectQuery) *bun.SelectQuery {
	return q.ColumnExpr("w.*").ColumnExpr("(SELECT x.reason FROM archiving AS x WHERE w.archived_at IS NOT NULL AND x.wine_id = w.id AND x.reading_id IS NULL ORDER BY x.id DESC LIMIT 1) AS archive_reason")
}

// tellArchiving keeps that a wine, or a reading of it, was archived or brought back.
func (s *Store) tellArchiving(ctx context.Context, tx bun.Tx, wineID, readingID string, archived bool, reason string, at record.Instant) error {
	row := &archivingRow{ID: newID(), WineID: wineID, ReadingID: text(readingID), Reason: reason, RecordedAt: at}
	if archived {
		row.Archived = 1
	}
	seal(row)
	_, err := tx.NewInsert().Model(row).Exec(ctx)
	return err
}

// ArchiveWine takes a wine out of lists, with the reason, which may be empty, if it
// still is the version that the caller has seen; otherwise record.ErrChanged. It and
// its readings stay readable, and a file with the same readings would bring them in
// anew.
func (s *Store) ArchiveWine(ctx context.Context, id string, version int64, reason string) (w record.Wine, err error) {
	err = s.inTx(ctx, "archiving a wine", func(ctx context.Context, tx bun.Tx) error {
		if w, err = usedWine(ctx, tx, id); err != nil {
			return err
		}
		now := s.instant()
		w.ArchivedAt, w.ArchiveReason = &now, reason
		if err := s.keepWine(ctx, tx, &w, version); err != nil {
			return err
		}
		if _, err := tx.NewUpdate().Model((*readingRow)(nil)).Set("fingerprint = NULL").Where("wine_id = ?", id).Exec(ctx); err != nil {
			return err
		}
		return s.tellArchiving(ctx, tx, id, "", true, reason, now)
	})
	return w, err
}

// BringBackWine puts an archived wine back into use, with the reason, which may be
// empty; record.ErrNotArchived for one that is in use. Its readings count again but
// for those that were archived themselves.
func (s *Store) BringBackWine(ctx context.Context, id, reason string) (w record.Wine, err error) {
	err = s.inTx(ctx, "bringing back a wine", func(ctx context.Context, tx bun.Tx) error {
		row, err := wineIn(ctx, tx, id)
		if err != nil {
			return err
		}
		if w, err = row.record(); err != nil {
			return err
		}
		if w.ArchivedAt == nil {
			return record.ErrNotArchived
		}
		w.ArchivedAt, w.ArchiveReason = nil, ""
		if err := s.keepWine(ctx, tx, &w, w.Version); err != nil {
			return err
		}
		var readings []*readingRow
		if err := tx.NewSelect().Model(&readings).Where("wine_id = ? AND archived_at IS NULL", id).Order("id").Scan(ctx); err != nil {
			return err
		}
		for _, r := range readings {
			if err := tellApart(ctx, tx, row, r); err != nil {
				return err
			}
			if _, err := tx.NewUpdate().Model(r).Column("fingerprint").WherePK().Exec(ctx); err != nil {
				return err
			}
		}
		return s.tellArchiving(ctx, tx, id, "", false, reason, w.UpdatedAt)
	})
	return w, err
}

// ArchiveReading takes a reading out of what counts, with the reason. The
// reading stays, and a file that holds it would bring it in anew.
func (s *Store) ArchiveReading(ctx context.Context, id, reason string) (record.Reading, error) {
	return s.standReading(ctx, "archiving a reading", id, func(ctx context.Context, tx bun.Tx, row *readingRow) error {
		if row.ArchivedAt != nil {
			return record.ErrArchived
		}
		now := s.instant()
		row.ArchivedAt, row.ArchiveReason, row.Fingerprint = &now, reason, nil
		return s.tellArchiving(ctx, tx, row.WineID, id, true, reason, now)
	})
}

// BringBackReading lets an archived reading count again, with the reason, which may
// be empty; record.ErrNotArchived for one that was not archived, record.ErrArchived
// where its wine is.
func (s *Store) BringBackReading(ctx context.Context, id, reason string) (record.Reading, error) {
	return s.standReading(ctx, "bringing back a reading", id, func(ctx context.Context, tx bun.Tx, row *readingRow) error {
		if row.ArchivedAt == nil {
			return record.ErrNotArchived
		}
		wine, err := wineIn(ctx, tx, row.WineID)
		if err != nil {
			return err
		}
		if wine.ArchivedAt != nil {
			return record.ErrArchived
		}
		row.ArchivedAt, row.ArchiveReason = nil, ""
		if err := tellApart(ctx, tx, wine, row); err != nil {
			return err
		}
		return s.tellArchiving(ctx, tx, row.WineID, id, false, reason, s.instant())
	})
}

// standReading changes whether a reading counts, and nothing else about it.
func (s *Store) standReading(ctx context.Context, what, id string, stand func(context.Context, bun.Tx, *readingRow) error) (r record.Reading, err error) {
	err = s.inTx(ctx, what, func(ctx context.Context, tx bun.Tx) error {
		row := new(readingRow)
		if err := withCorrections(tx.NewSelect().Model(row)).Where("r.id = ?", id).Scan(ctx); err != nil {
			return err
		}
		if err := intact("reading", id, row); err != nil {
			return err
		}
		if err := stand(ctx, tx, row); err != nil {
			return err
		}
		seal(row)
		if _, err := tx.NewUpdate().Model(row).Column("archived_at", "archive_reason", "fingerprint", "checksum").WherePK().Exec(ctx); err != nil {
			return err
		}
		if row.ArchivedAt != nil {
			if err := tellOthers(ctx, tx, "r.wine_id = ?", row.WineID); err != nil {
				return err
			}
		}
		r, err = row.record()
		return err
	})
	return r, err
}

// tellApart gives a reading the fingerprint that a file which brings it once more is
// told by, unless another reading of the same content has it already.
func tellApart(ctx context.Context, tx bun.Tx, wine *wineRow, r *readingRow) error {
	print := fingerprint(wine.NameKey, wine.Lot, r)
	there, err := tx.NewSelect().Model((*readingRow)(nil)).Where("fingerprint = ?", print).Exists(ctx)
	if err == nil && !there {
		r.Fingerprint = print
	}
	return err
}

// tellOthers gives fingerprints to readings that count and have none, as another of
// the same content had it that is archived now: a file that holds them is still told.
// The condition says of which wines.
func tellOthers(ctx context.Context, tx bun.Tx, condition string, value any) error {
	var rows []*readingRow
	err := tx.NewSelect().Model(&rows).Where("r.archived_at IS NULL AND r.fingerprint IS NULL").Where(condition, value).
		Where("EXISTS (SELECT 1 FROM wine AS w WHERE w.id = r.wine_id AND w.archived_at IS NULL)").Order("r.id").Scan(ctx)
	if err != nil {
		return err
	}
	for _, r := range rows {
		wine, err := wineIn(ctx, tx, r.WineID)
		if err != nil {
			return err
		}
		if err := tellApart(ctx, tx, wine, r); err != nil {
			return err
		}
		if r.Fingerprint == nil {
			continue
		}
		if _, err := tx.NewUpdate().Model(r).Column("fingerprint").WherePK().Exec(ctx); err != nil {
			return err
		}
	}
	return nil
}

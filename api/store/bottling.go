package store

import (
	"context"
	"strings"

	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// bottlingRow is a row of the table lot_bottling.
type bottlingRow struct {
	bun.BaseModel `bun:"table:lot_bottling,alias:b"`

	LotID      string `bun:"lot_id,pk"`
	BottlingNo int64  `bun:",pk"`
	BottledAt  record.Instant
	Body       string
	RecordedAt record.Instant
	Checksum   int64
}

func (r *bottlingRow) values() []any {
	return []any{r.LotID, r.BottlingNo, r.BottledAt, r.Body, r.RecordedAt}
}
func (r *bottlingRow) stored() *int64 { return &r.Checksum }

// bottlingSaid is what the columns do not hold of a bottling.
type bottlingSaid struct {
	By     string `json:"by"`
	Reason string `json:"reason,omitempty"`
}

func (r *bottlingRow) record() (record.Bottling, error) {
	if err := intact("lot_bottling", r.LotID, r); err != nil {
		return record.Bottling{}, err
	}
	var said bottlingSaid
	err := fromJSON(r.Body, &said)
	return record.Bottling{BottlingBody: record.BottlingBody{BottledAt: r.BottledAt, By: said.By, Reason: said.Reason}, RecordedAt: r.RecordedAt}, err
}

// putBottlings adds to lots when they were bottled, as far as that was told after they
// were set up.
func putBottlings(ctx context.Context, db bun.IDB, ids []string, at map[string]*record.Lot) error {
	var rows []*bottlingRow
	if err := db.NewSelect().Model(&rows).Where("lot_id IN (?)", bun.List(ids)).Order("lot_id", "bottling_no").Scan(ctx); err != nil {
		return fault("the bottlings of lots", err)
	}
	for _, r := range rows {
		b, err := r.record()
		if err != nil {
			return err
		}
		lot := at[r.LotID]
		lot.Bottlings, lot.BottledAt = append(lot.Bottlings, b), &b.BottledAt
	}
	return nil
}

// AddBottling records when a lot was bottled, after the version of the lot that the caller
// has seen (record.Lot.Version); otherwise record.ErrChanged. The error is a *calc.Problem
// where a date is corrected and nothing says why.
func (s *Store) AddBottling(ctx context.Context, lotID string, seen int64, body record.BottlingBody) (lot record.Lot, err error) {
	said, err := jsonText(bottlingSaid{By: body.By, Reason: body.Reason})
	if err != nil {
		return lot, err
	}
	err = s.inTx(ctx, "recording a bottling", func(ctx context.Context, tx bun.Tx) error {
		if lot, err = lotIn(ctx, tx, lotID); err != nil {
			return err
		}
		switch {
		case lot.ArchivedAt != nil:
			return record.ErrArchived
		case lot.Version() != seen:
			return record.ErrChanged
		case lot.BottledAt != nil && strings.TrimSpace(body.Reason) == "":
			return calc.Refuse(calc.Fault{Location: "/reason", Message: "the lot has a bottling date already: say why it is corrected"})
		}
		row := &bottlingRow{LotID: lotID, BottlingNo: int64(len(lot.Bottlings)) + 1, BottledAt: body.BottledAt, Body: said, RecordedAt: s.instant()}
		seal(row)
		if _, err := tx.NewInsert().Model(row).Exec(ctx); unique(err) {
			return record.ErrChanged // somebody was quicker
		} else if err != nil {
			return err
		}
		if err := s.renewFigures(ctx, tx, lotID); err != nil {
			return err
		}
		lot, err = lotIn(ctx, tx, lotID)
		return err
	})
	return lot, err
}

// BottlingCount is how many bottlings all lots have that were told after they were set up.
// None is ever deleted, so whoever holds as many holds all of them.
func (s *Store) BottlingCount(ctx context.Context) (int, error) {
	n, err := s.read.NewSelect().Model((*bottlingRow)(nil)).Count(ctx)
	return int(n), fault("counting bottlings", err)
}

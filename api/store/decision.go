package store

import (
	"context"
	"errors"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// decisionRow is a row of the table lot_decision.
type decisionRow struct {
	bun.BaseModel `bun:"table:lot_decision,alias:n"`

	ID         string `bun:",pk"`
	LotID      string `bun:"lot_id"`
	Decision   string
	Body       string
	RecordedAt record.Instant
	Checksum   int64
}

func (r *decisionRow) values() []any  { return []any{r.ID, r.LotID, r.Decision, r.Body, r.RecordedAt} }
func (r *decisionRow) stored() *int64 { return &r.Checksum }

func (r *decisionRow) record() (record.Decision, error) {
	d := record.Decision{ID: r.ID, LotID: r.LotID, RecordedAt: r.RecordedAt}
	if err := intact("lot_decision", r.ID, r); err != nil {
		return d, err
	}
	return d, fromJSON(r.Body, &d.DecisionBody)
}

// AddDecision adds a decision about a lot. Whether it may be made is for the
// caller to find.
func (s *Store) AddDecision(ctx context.Context, lotID string, body record.DecisionBody) (record.Decision, error) {
	d := record.Decision{ID: newID(), LotID: lotID, DecisionBody: body, RecordedAt: s.instant()}
	written, err := jsonText(body)
	if err != nil {
		return d, err
	}
	row := &decisionRow{ID: d.ID, LotID: lotID, Decision: body.Decision, Body: written, RecordedAt: d.RecordedAt}
	seal(row)
	return d, s.inTx(ctx, "adding a decision", func(ctx context.Context, tx bun.Tx) error {
		lot, err := lotIn(ctx, tx, lotID)
		if err != nil {
			return err
		}
		if lot.ArchivedAt != nil {
			return record.ErrArchived
		}
		_, err = tx.NewInsert().Model(row).Exec(ctx)
		return err
	})
}

// DecisionsOf lists the decisions about a lot in the order in which they were
// recorded; record.ErrNotFound where there is no such lot.
func (s *Store) DecisionsOf(ctx context.Context, lotID string, p record.Page) ([]record.Decision, error) {
	if _, err := s.Lot(ctx, lotID); err != nil {
		return nil, err
	}
	return s.decisions(ctx, p, lotID)
}

// Decisions lists all decisions in the order in which they were recorded.
func (s *Store) Decisions(ctx context.Context, p record.Page) ([]record.Decision, error) {
	return s.decisions(ctx, p, "")
}

func (s *Store) decisions(ctx context.Context, p record.Page, lotID string) ([]record.Decision, error) {
	var rows []*decisionRow
	q := s.read.NewSelect().Model(&rows).Where("id > ?", p.After).Order("id").Limit(int64(p.Limit))
	if lotID != "" {
		q = q.Where("lot_id = ?", lotID)
	}
	if err := q.Scan(ctx); err != nil {
		return nil, fault("listing decisions", err)
	}
	return records(rows, (*decisionRow).record)
}

// DecisionOf returns the newest decision about a lot; nil where none was made.
func (s *Store) DecisionOf(ctx context.Context, lotID string) (*record.Decision, error) {
	row := new(decisionRow)
	err := fault("the decision about a lot", s.read.NewSelect().Model(row).Where("lot_id = ?", lotID).Order("id DESC").Limit(1).Scan(ctx))
	if errors.Is(err, record.ErrNotFound) {
		return nil, nil //nolint:nilnil // that nothing was decided is a usual answer
	}
	if err != nil {
		return nil, err
	}
	d, err := row.record()
	return &d, err
}

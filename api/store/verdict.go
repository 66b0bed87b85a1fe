package store

import (
	"context"
	"fmt"

	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// verdictRow is a row of the table lot_verdict.
type verdictRow struct {
	bun.BaseModel `bun:"table:lot_verdict,alias:v"`

	ID          string `bun:",pk"`
	SampleID    string `bun:"sample_id"`
	SpecID      string `bun:"spec_id"`
	SpecVersion int64
	Verdict     string
	Answer      string
	Program     string
	DecidedAt   record.Instant
	Checksum    int64

	LotID string `bun:"lot_id,scanonly"` // of its sample
}

func (r *verdictRow) values() []any {
	return []any{r.ID, r.SampleID, r.SpecID, r.SpecVersion, r.Verdict, r.Answer, r.Program, r.DecidedAt}
}

func (r *verdictRow) stored() *int64 { return &r.Checksum }

// verdictAnswer is the calculation's answer, and the warnings that are not its
// own.
type verdictAnswer struct {
	calc.CheckResponse
	Noted []calc.Warning `json:"noted,omitempty"`
}

func verdictRowOf(sampleID string, v record.Judgement) (*verdictRow, error) {
	r := &verdictRow{
		ID: v.VerdictID, SampleID: sampleID, SpecID: v.Spec, SpecVersion: int64(v.SpecVersion), Verdict: v.Verdict,
		Program: v.Program, DecidedAt: v.DecidedAt,
	}
	var err error
	if r.Answer, err = jsonText(verdictAnswer{CheckResponse: v.Computed(), Noted: v.Noted}); err != nil {
		return nil, err
	}
	seal(r)
	return r, nil
}

func (r *verdictRow) record() (record.Judgement, error) {
	v := record.Judgement{VerdictID: r.ID, Spec: r.SpecID, SpecVersion: int(r.SpecVersion), Program: r.Program, DecidedAt: r.DecidedAt}
	if err := intact("lot_verdict", r.ID, r); err != nil {
		return v, err
	}
	var a verdictAnswer
	err := fromJSON(r.Answer, &a)
	v.CheckResponse, v.Noted = a.CheckResponse, a.Noted
	v.Warnings = append(v.Warnings, a.Noted...)
	return v, err
}

// AddVerdicts adds verdicts on samples that are stored, all of them or none.
// Identifiers and times are set here.
func (s *Store) AddVerdicts(ctx context.Context, list []record.Verdict) ([]record.Verdict, error) {
	now := s.instant()
	for i := range list {
		list[i].VerdictID, list[i].DecidedAt = newID(), now
	}
	return list, s.inTx(ctx, "adding verdicts", func(ctx context.Context, tx bun.Tx) error {
		ids := make([]string, len(list))
		for i, v := range list {
			row, err := verdictRowOf(v.SampleID, v.Judgement)
			if err != nil {
				return err
			}
			if _, err := tx.NewInsert().Model(row).Exec(ctx); err != nil {
				return err
			}
			ids[i] = row.ID
		}
		return s.addFigures(ctx, tx, ids...)
	})
}

// whole is the verdict with its sample and the sample's lot.
func (r *verdictRow) whole() (record.Verdict, error) {
	j, err := r.record()
	return record.Verdict{LotID: r.LotID, SampleID: r.SampleID, Judgement: j}, err
}

func (s *Store) selectVerdicts(to any) *bun.SelectQuery {
	return s.read.NewSelect().Model(to).ColumnExpr("v.*").ColumnExpr("p.lot_id").Join("JOIN lot_sample AS p ON p.id = v.sample_id")
}

// Verdict returns a verdict; record.ErrNotFound where there is none.
func (s *Store) Verdict(ctx context.Context, id string) (record.Verdict, error) {
	row := new(verdictRow)
	if err := s.selectVerdicts(row).Where("v.id = ?", id).Scan(ctx); err != nil {
		return record.Verdict{}, fault(fmt.Sprintf("verdict %.64q", id), err)
	}
	return row.whole()
}

// VerdictsOf lists the verdicts on the samples of a lot in the order in which
// they were given; record.ErrNotFound where there is no such lot.
func (s *Store) VerdictsOf(ctx context.Context, lotID string, p record.Page) ([]record.Verdict, error) {
	if _, err := s.Lot(ctx, lotID); err != nil {
		return nil, err
	}
	return s.verdicts(ctx, p, func(q *bun.SelectQuery) *bun.SelectQuery { return q.Where("p.lot_id = ?", lotID) })
}

// Verdicts lists all verdicts in the order in which they were given.
func (s *Store) Verdicts(ctx context.Context, p record.Page) ([]record.Verdict, error) {
	return s.verdicts(ctx, p, func(q *bun.SelectQuery) *bun.SelectQuery { return q })
}

func (s *Store) verdicts(ctx context.Context, p record.Page, of func(*bun.SelectQuery) *bun.SelectQuery) ([]record.Verdict, error) {
	var rows []*verdictRow
	q := of(s.selectVerdicts(&rows)).Limit(int64(p.Limit))
	switch {
	case !p.Newest:
		q = q.Where("v.id > ?", p.After).Order("v.id")
	case p.After != "":
		q = q.Where("v.id < ?", p.After).Order("v.id DESC")
	default:
		q = q.Order("v.id DESC")
	}
	if err := q.Scan(ctx); err != nil {
		return nil, fault("listing verdicts", err)
	}
	return records(rows, (*verdictRow).whole)
}

// NewestVerdictOn returns the newest verdict on a sample.
func (s *Store) NewestVerdictOn(ctx context.Context, sampleID string) (record.Verdict, error) {
	row := new(verdictRow)
	if err := s.selectVerdicts(row).Where("v.sample_id = ?", sampleID).Order("v.id DESC").Limit(1).Scan(ctx); err != nil {
		return record.Verdict{}, fault("the newest verdict on a sample", err)
	}
	return row.whole()
}

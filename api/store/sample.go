package store

import (
	"context"
	"fmt"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// sampleRow is a row of the table lot_sample.
type sampleRow struct {
	bun.BaseModel `bun:"table:lot_sample,alias:p"`

	ID         string `bun:",pk"`
	LotID      string `bun:"lot_id"`
	Body       string
	RecordedAt record.Instant
	Checksum   int64
}

func (r *sampleRow) values() []any  { return []any{r.ID, r.LotID, r.Body, r.RecordedAt} }
func (r *sampleRow) stored() *int64 { return &r.Checksum }

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
}

func (r *verdictRow) values() []any {
	return []any{r.ID, r.SampleID, r.SpecID, r.SpecVersion, r.Verdict, r.Answer, r.Program, r.DecidedAt}
}

func (r *verdictRow) stored() *int64 { return &r.Checksum }

func verdictRowOf(sampleID string, v record.Judgement) (*verdictRow, error) {
	r := &verdictRow{
		ID: v.VerdictID, SampleID: sampleID, SpecID: v.Spec, SpecVersion: int64(v.SpecVersion), Verdict: v.Verdict,
		Program: v.Program, DecidedAt: v.DecidedAt,
	}
	var err error
	if r.Answer, err = jsonText(v.CheckResponse); err != nil {
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
	return v, fromJSON(r.Answer, &v.CheckResponse)
}

// AddSample adds a sample of a lot with its verdict. Identifiers and times are
// set here.
func (s *Store) AddSample(ctx context.Context, sample record.Sample) (record.Sample, error) {
	now := s.instant()
	sample.ID, sample.VerdictID, sample.RecordedAt, sample.DecidedAt = newID(), newID(), now, now
	body, err := jsonText(record.SampleBody{Measurement: sample.Measurement, Circumstances: sample.Circumstances})
	if err != nil {
		return sample, err
	}
	row := &sampleRow{ID: sample.ID, LotID: sample.LotID, Body: body, RecordedAt: now}
	seal(row)
	verdict, err := verdictRowOf(sample.ID, sample.Judgement)
	if err != nil {
		return sample, err
	}
	return sample, s.inTx(ctx, "adding a sample", func(ctx context.Context, tx bun.Tx) error {
		lot, err := lotIn(ctx, tx, sample.LotID)
		if err != nil {
			return err
		}
		if lot.ArchivedAt != nil {
			return record.ErrArchived
		}
		if _, err := tx.NewInsert().Model(row).Exec(ctx); err != nil {
			return err
		}
		_, err = tx.NewInsert().Model(verdict).Exec(ctx)
		return err
	})
}

// Sample returns a sample; record.ErrNotFound where there is none.
func (s *Store) Sample(ctx context.Context, id string) (record.Sample, error) {
	row := new(sampleRow)
	if err := s.read.NewSelect().Model(row).Where("id = ?", id).Scan(ctx); err != nil {
		return record.Sample{}, fault(fmt.Sprintf("sample %.64q", id), err)
	}
	list, err := s.judged(ctx, []*sampleRow{row})
	if err != nil {
		return record.Sample{}, err
	}
	return list[0], nil
}

// SamplesOf lists the samples of a lot in the order in which they were recorded;
// record.ErrNotFound where there is no such lot.
func (s *Store) SamplesOf(ctx context.Context, lotID string, p record.Page) ([]record.Sample, error) {
	if _, err := s.Lot(ctx, lotID); err != nil {
		return nil, err
	}
	var rows []*sampleRow
	err := s.read.NewSelect().Model(&rows).Where("lot_id = ? AND id > ?", lotID, p.After).Order("id").Limit(int64(p.Limit)).Scan(ctx)
	if err != nil {
		return nil, fault("listing samples", err)
	}
	return s.judged(ctx, rows)
}

// judged makes samples of rows, each with the first verdict on it.
func (s *Store) judged(ctx context.Context, rows []*sampleRow) ([]record.Sample, error) {
	list, ids := make([]record.Sample, len(rows)), make([]string, len(rows))
	at := map[string]*record.Sample{}
	for i, r := range rows {
		if err := intact("lot_sample", r.ID, r); err != nil {
			return nil, err
		}
		var body record.SampleBody
		if err := fromJSON(r.Body, &body); err != nil {
			return nil, err
		}
		list[i] = record.Sample{ID: r.ID, LotID: r.LotID, Measurement: body.Measurement, Circumstances: body.Circumstances, RecordedAt: r.RecordedAt}
		ids[i], at[r.ID] = r.ID, &list[i]
	}
	if len(ids) == 0 {
		return list, nil
	}
	var verdicts []*verdictRow
	err := s.read.NewSelect().Model(&verdicts).Where("sample_id IN (?)", bun.List(ids)).
		Where("id = (SELECT min(id) FROM lot_verdict AS o WHERE o.sample_id = v.sample_id)").Scan(ctx)
	if err != nil {
		return nil, fault("the verdicts on samples", err)
	}
	for _, r := range verdicts {
		if at[r.SampleID].Judgement, err = r.record(); err != nil {
			return nil, err
		}
	}
	for _, sample := range list {
		if sample.VerdictID == "" {
			return nil, fmt.Errorf("store: sample %q: %w: it has no verdict", sample.ID, record.ErrDamaged)
		}
	}
	return list, nil
}

package store

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

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

// record is the sample without its verdict and its age.
func (r *sampleRow) record() (record.Sample, error) {
	out := record.Sample{ID: r.ID, LotID: r.LotID, RecordedAt: r.RecordedAt}
	if err := intact("lot_sample", r.ID, r); err != nil {
		return out, err
	}
	return out, fromJSON(r.Body, &out.SampleBody)
}

// AddSample adds a sample of a lot with its verdict. Identifiers and times are
// set here.
func (s *Store) AddSample(ctx context.Context, sample record.Sample) (record.Sample, error) {
	now := s.instant()
	sample.ID, sample.VerdictID, sample.RecordedAt, sample.DecidedAt = newID(), newID(), now, now
	body, err := jsonText(sample.SampleBody)
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
		sample.Age(lot.BottledAt)
		if _, err := tx.NewInsert().Model(row).Exec(ctx); err != nil {
			return err
		}
		if _, err := tx.NewInsert().Model(verdict).Exec(ctx); err != nil {
			return err
		}
		return s.addFigures(ctx, tx, verdict.ID)
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
	q := s.read.NewSelect().Model(&rows).Where("lot_id = ?", lotID).Limit(int64(p.Limit))
	switch {
	case !p.Newest:
		q = q.Where("id > ?", p.After).Order("id")
	case p.After != "":
		q = q.Where("id < ?", p.After).Order("id DESC")
	default:
		q = q.Order("id DESC")
	}
	if err := q.Scan(ctx); err != nil {
		return nil, fault("listing samples", err)
	}
	return s.judged(ctx, rows)
}

// scanned is how many samples are in memory at a time when all of a lot are looked
// through.
const scanned = 1000

// RunSamples returns the n newest samples of a lot's bottling run by when they
// were taken, or else recorded, the newest first, however many there are and in whatever
// order they were recorded; record.ErrNotFound where there is no such lot.
func (s *Store) RunSamples(ctx context.Context, lotID string, n int) ([]record.Sample, error) {
	if _, err := s.Lot(ctx, lotID); err != nil {
		return nil, err
	}
	type dated struct {
		row *sampleRow
		at  record.Instant
	}
	var newest []dated
	for after := ""; ; {
		var rows []*sampleRow
		if err := s.read.NewSelect().Model(&rows).Where("lot_id = ? AND id > ?", lotID, after).Order("id").Limit(scanned).Scan(ctx); err != nil {
			return nil, fault("the samples of a run", err)
		}
		for _, r := range rows {
			after = r.ID
			sample := record.Sample{RecordedAt: r.RecordedAt}
			if err := json.Unmarshal([]byte(r.Body), &struct {
				Stage   *record.Stage    `json:"stage"`
				TakenAt **record.Instant `json:"taken_at"`
			}{&sample.Stage, &sample.TakenAt}); err != nil {
				return nil, fmt.Errorf("store: sample %q: %w: %w", r.ID, record.ErrDamaged, err)
			}
			if sample.Stage.InRun() {
				newest = append(newest, dated{r, sample.At()})
			}
		}
		slices.SortStableFunc(newest, func(a, b dated) int {
			return cmp.Or(b.at.Compare(a.at.Time), strings.Compare(b.row.ID, a.row.ID))
		})
		newest = newest[:min(n, len(newest))]
		if len(rows) < scanned {
			break
		}
	}
	rows := make([]*sampleRow, len(newest))
	for i, d := range newest {
		rows[i] = d.row
	}
	return s.judged(ctx, rows)
}

// judged makes samples of rows, each with the first verdict on it and its age.
func (s *Store) judged(ctx context.Context, rows []*sampleRow) ([]record.Sample, error) {
	list, err := records(rows, (*sampleRow).record)
	if err != nil || len(list) == 0 {
		return list, err
	}
	ids := make([]string, len(list))
	at := map[string]*record.Sample{}
	for i := range list {
		ids[i], at[list[i].ID] = list[i].ID, &list[i]
	}
	var verdicts []*verdictRow
	err = s.read.NewSelect().Model(&verdicts).Where("sample_id IN (?)", bun.List(ids)).
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
	return list, s.aged(ctx, list)
}

// aged sets the days since bottling of samples.
func (s *Store) aged(ctx context.Context, list []record.Sample) error {
	var lots []string
	bottled := map[string]*record.Instant{}
	for _, sample := range list {
		if _, known := bottled[sample.LotID]; !known {
			bottled[sample.LotID] = nil
			lots = append(lots, sample.LotID)
		}
	}
	known, err := s.LotsNamed(ctx, lots)
	if err != nil {
		return err
	}
	for _, lot := range known {
		bottled[lot.ID] = lot.BottledAt
	}
	for i := range list {
		list[i].Age(bottled[list[i].LotID])
	}
	return nil
}

// SampleBodies returns what was read of samples, by their identifiers.
func (s *Store) SampleBodies(ctx context.Context, ids []string) (map[string]record.SampleBody, error) {
	var rows []*sampleRow
	if err := s.read.NewSelect().Model(&rows).Where("id IN (?)", bun.List(ids)).Scan(ctx); err != nil {
		return nil, fault("reading samples", err)
	}
	out := make(map[string]record.SampleBody, len(rows))
	for _, r := range rows {
		sample, err := r.record()
		if err != nil {
			return nil, err
		}
		out[r.ID] = sample.SampleBody
	}
	return out, nil
}

package store

import (
	"context"
	"fmt"

	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// specRow is a row of the table spec.
type specRow struct {
	bun.BaseModel `bun:"table:spec,alias:s"`

	ID         string `bun:",pk"`
	Version    int64  `bun:",pk"`
	Name       string
	TargetID   *string `bun:"target_id"`
	Body       string
	CreatedAt  record.Instant
	ArchivedAt *record.Instant
	Checksum   int64
}

func (r *specRow) values() []any {
	return []any{r.ID, r.Version, r.Name, r.TargetID, r.Body, r.CreatedAt, r.ArchivedAt}
}

func (r *specRow) stored() *int64 { return &r.Checksum }

// specBody is what the table's columns do not hold of a specification.
type specBody struct {
	record.SpecBody
	ReferenceSource   string              `json:"reference_source,omitempty"`
	ReferenceReadings []string            `json:"reference_readings,omitempty"`
	ReadingsUsed      []calc.ReadingsUsed `json:"readings_used,omitempty"`
}

func specRowOf(s record.Spec) (*specRow, error) {
	r := &specRow{
		ID: s.ID, Version: int64(s.Version), Name: s.Name, TargetID: text(s.TargetID), CreatedAt: s.CreatedAt, ArchivedAt: s.ArchivedAt,
	}
	var err error
	if r.Body, err = jsonText(specBody{SpecBody: s.SpecBody, ReferenceSource: s.ReferenceSource, ReferenceReadings: s.ReferenceReadings, ReadingsUsed: s.ReadingsUsed}); err != nil {
		return nil, err
	}
	seal(r)
	return r, nil
}

func (r *specRow) record() (record.Spec, error) {
	s := record.Spec{ID: r.ID, Version: int(r.Version), TargetID: orEmpty(r.TargetID), CreatedAt: r.CreatedAt, ArchivedAt: r.ArchivedAt}
	if err := intact("spec", r.ID, r); err != nil {
		return s, err
	}
	var b specBody
	err := fromJSON(r.Body, &b)
	s.SpecBody, s.ReferenceSource, s.ReferenceReadings, s.ReadingsUsed = b.SpecBody, b.ReferenceSource, b.ReferenceReadings, b.ReadingsUsed
	return s, err
}

// CreateSpec adds a specification. The data of its target are in it.
func (s *Store) CreateSpec(ctx context.Context, spec record.Spec) (record.Spec, error) {
	spec.ID, spec.Version, spec.CreatedAt, spec.ArchivedAt = newID(), 1, s.instant(), nil
	row, err := specRowOf(spec)
	if err != nil {
		return spec, err
	}
	return spec, s.inTx(ctx, "adding a specification", func(ctx context.Context, tx bun.Tx) error {
		_, err := tx.NewInsert().Model(row).Exec(ctx)
		return err
	})
}

// Spec returns the newest version of a specification; record.ErrNotFound where
// there is none.
func (s *Store) Spec(ctx context.Context, id string) (record.Spec, error) {
	return specIn(ctx, s.read, id)
}

func specIn(ctx context.Context, db bun.IDB, id string) (record.Spec, error) {
	row := new(specRow)
	if err := db.NewSelect().Model(row).Where("id = ?", id).Order("version DESC").Limit(1).Scan(ctx); err != nil {
		return record.Spec{}, fault(fmt.Sprintf("specification %.64q", id), err)
	}
	return row.record()
}

// SpecVersion returns one version of a specification.
func (s *Store) SpecVersion(ctx context.Context, id string, version int) (record.Spec, error) {
	row := new(specRow)
	if err := s.read.NewSelect().Model(row).Where("id = ? AND version = ?", id, version).Scan(ctx); err != nil {
		return record.Spec{}, fault(fmt.Sprintf("specification %.64q, version %d", id, version), err)
	}
	return row.record()
}

// Specs lists specifications, each in its newest version.
func (s *Store) Specs(ctx context.Context, p record.Page) ([]record.Spec, error) {
	var rows []*specRow
	q := s.read.NewSelect().Model(&rows).Where("id > ?", p.After).Order("id").Limit(int64(p.Limit)).
		Where("version = (SELECT max(version) FROM spec AS n WHERE n.id = s.id)")
	if !p.Archived {
		q = q.Where("archived_at IS NULL")
	}
	if err := q.Scan(ctx); err != nil {
		return nil, fault("listing specifications", err)
	}
	return records(rows, (*specRow).record)
}

// ArchiveSpec takes the newest version of a specification out of lists. Lots
// that have it keep it; no lot is begun with it.
func (s *Store) ArchiveSpec(ctx context.Context, id string) (spec record.Spec, err error) {
	err = s.inTx(ctx, "archiving a specification", func(ctx context.Context, tx bun.Tx) error {
		if spec, err = specIn(ctx, tx, id); err != nil {
			return err
		}
		if spec.ArchivedAt != nil {
			return record.ErrArchived
		}
		now := s.instant()
		spec.ArchivedAt = &now
		row, err := specRowOf(spec)
		if err != nil {
			return err
		}
		return changed(tx.NewUpdate().Model(row).Column("archived_at", "checksum").WherePK().Where("archived_at IS NULL").Exec(ctx))
	})
	return spec, err
}

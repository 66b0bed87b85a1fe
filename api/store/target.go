package store

import (
	"context"
	"fmt"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// targetRow is a row of the table target.
type targetRow struct {
	bun.BaseModel `bun:"table:target,alias:t"`

	ID         string `bun:",pk"`
	Name       string
	Target     string
	Conditions *string
	Notes      string
	Version    int64
	CreatedAt  record.Instant
	UpdatedAt  record.Instant
	ArchivedAt *record.Instant
	Checksum   int64
}

func (r *targetRow) values() []any {
	return []any{r.ID, r.Name, r.Target, r.Conditions, r.Notes, r.Version, r.CreatedAt, r.UpdatedAt, r.ArchivedAt}
}

func (r *targetRow) stored() *int64 { return &r.Checksum }

func targetRowOf(t record.Target) (*targetRow, error) {
	r := &targetRow{
		ID: t.ID, Name: t.Name, Notes: t.Notes, Version: t.Version, CreatedAt: t.CreatedAt, UpdatedAt: t.UpdatedAt, ArchivedAt: t.ArchivedAt,
	}
	var err error
	if r.Target, err = jsonText(t.Target); err != nil {
		return nil, err
	}
	if t.View != nil {
		view, err := jsonText(t.View)
		if err != nil {
			return nil, err
		}
		r.Conditions = &view
	}
	seal(r)
	return r, nil
}

func (r *targetRow) record() (record.Target, error) {
	t := record.Target{
		ID: r.ID, TargetFields: record.TargetFields{Name: r.Name, Notes: r.Notes},
		Version: r.Version, CreatedAt: r.CreatedAt, UpdatedAt: r.UpdatedAt, ArchivedAt: r.ArchivedAt,
	}
	if err := intact("target", r.ID, r); err != nil {
		return t, err
	}
	if err := fromJSON(r.Target, &t.Target); err != nil {
		return t, err
	}
	if r.Conditions != nil {
		return t, fromJSON(*r.Conditions, &t.View)
	}
	return t, nil
}

// CreateTarget adds a target.
func (s *Store) CreateTarget(ctx context.Context, fields record.TargetFields) (record.Target, error) {
	now := s.instant()
	t := record.Target{ID: newID(), TargetFields: fields, Version: 1, CreatedAt: now, UpdatedAt: now}
	row, err := targetRowOf(t)
	if err != nil {
		return t, err
	}
	return t, s.inTx(ctx, "adding a target", func(ctx context.Context, tx bun.Tx) error {
		_, err := tx.NewInsert().Model(row).Exec(ctx)
		return err
	})
}

// Target returns a target; record.ErrNotFound where there is none.
func (s *Store) Target(ctx context.Context, id string) (record.Target, error) {
	row := new(targetRow)
	if err := s.read.NewSelect().Model(row).Where("id = ?", id).Scan(ctx); err != nil {
		return record.Target{}, fault(fmt.Sprintf("target %.64q", id), err)
	}
	return row.record()
}

// Targets lists targets.
func (s *Store) Targets(ctx context.Context, p record.Page) ([]record.Target, error) {
	var rows []*targetRow
	if err := inOrder(s.read.NewSelect().Model(&rows), p).Scan(ctx); err != nil {
		return nil, fault("listing targets", err)
	}
	return records(rows, (*targetRow).record)
}

// ChangeTarget replaces a target, if it still is the version that the caller has
// seen; otherwise record.ErrChanged.
func (s *Store) ChangeTarget(ctx context.Context, id string, version int64, fields record.TargetFields) (record.Target, error) {
	return s.editTarget(ctx, id, version, func(t *record.Target) { t.TargetFields = fields })
}

// ArchiveTarget takes a target out of lists.
func (s *Store) ArchiveTarget(ctx context.Context, id string, version int64) (record.Target, error) {
	return s.editTarget(ctx, id, version, func(t *record.Target) { at := s.instant(); t.ArchivedAt = &at })
}

func (s *Store) editTarget(ctx context.Context, id string, version int64, edit func(*record.Target)) (t record.Target, err error) {
	err = s.inTx(ctx, "changing a target", func(ctx context.Context, tx bun.Tx) error {
		old := new(targetRow)
		if err := tx.NewSelect().Model(old).Where("id = ?", id).Scan(ctx); err != nil {
			return err
		}
		if t, err = old.record(); err != nil {
			return err
		}
		if t.ArchivedAt != nil {
			return record.ErrArchived
		}
		edit(&t)
		t.Version, t.UpdatedAt = version+1, s.instant()
		row, err := targetRowOf(t)
		if err != nil {
			return err
		}
		return changed(tx.NewUpdate().Model(row).WherePK().Where("version = ?", version).Exec(ctx))
	})
	return t, err
}

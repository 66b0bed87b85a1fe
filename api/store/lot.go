package store

import (
	"context"
	"errors"
	"fmt"

	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// lotRow is a row of the table lot.
type lotRow struct {
	bun.BaseModel `bun:"table:lot,alias:l"`

	ID          string `bun:",pk"`
	Name        string
	SpecID      string `bun:"spec_id"`
	SpecVersion int64
	WineID      *string `bun:"wine_id"`
	CreatedAt   record.Instant
	ArchivedAt  *record.Instant
	Checksum    int64
}

func (r *lotRow) values() []any {
	return []any{r.ID, r.Name, r.SpecID, r.SpecVersion, r.WineID, r.CreatedAt, r.ArchivedAt}
}

func (r *lotRow) stored() *int64 { return &r.Checksum }

func lotRowOf(l record.Lot) *lotRow {
	r := &lotRow{
		ID: l.ID, Name: l.Name, SpecID: l.Spec, SpecVersion: int64(l.SpecVersion), WineID: text(l.Wine), CreatedAt: l.CreatedAt, ArchivedAt: l.ArchivedAt,
	}
	seal(r)
	return r
}

func (r *lotRow) record() (record.Lot, error) {
	return record.Lot{
		ID: r.ID, LotBody: record.LotBody{Name: r.Name, Spec: r.SpecID, Wine: orEmpty(r.WineID)},
		SpecVersion: int(r.SpecVersion), CreatedAt: r.CreatedAt, ArchivedAt: r.ArchivedAt,
	}, intact("lot", r.ID, r)
}

// CreateLot adds a lot with the newest version of its specification. The error
// is a *calc.Problem where the specification or the wine is not there.
func (s *Store) CreateLot(ctx context.Context, body record.LotBody) (lot record.Lot, err error) {
	err = s.inTx(ctx, "adding a lot", func(ctx context.Context, tx bun.Tx) error {
		spec, err := specIn(ctx, tx, body.Spec)
		switch {
		case errors.Is(err, record.ErrNotFound):
			return calc.Refuse(calc.Fault{Location: "/spec", Value: body.Spec, Message: "no specification is stored under this identifier"})
		case err != nil:
			return err
		case spec.ArchivedAt != nil:
			return calc.Refuse(calc.Fault{Location: "/spec", Value: body.Spec, Message: "this specification is archived: begin lots with one that is in use"})
		}
		if body.Wine != "" {
			_, err := wineIn(ctx, tx, body.Wine)
			if errors.Is(err, record.ErrNotFound) {
				return calc.Refuse(calc.Fault{Location: "/wine", Value: body.Wine, Message: "no wine is stored under this identifier"})
			} else if err != nil {
				return err
			}
		}
		lot = record.Lot{ID: newID(), LotBody: body, SpecVersion: spec.Version, CreatedAt: s.instant()}
		_, err = tx.NewInsert().Model(lotRowOf(lot)).Exec(ctx)
		return err
	})
	return lot, err
}

// Lot returns a lot; record.ErrNotFound where there is none.
func (s *Store) Lot(ctx context.Context, id string) (record.Lot, error) {
	return lotIn(ctx, s.read, id)
}

func lotIn(ctx context.Context, db bun.IDB, id string) (record.Lot, error) {
	row := new(lotRow)
	if err := db.NewSelect().Model(row).Where("id = ?", id).Scan(ctx); err != nil {
		return record.Lot{}, fault(fmt.Sprintf("lot %.64q", id), err)
	}
	return row.record()
}

// Lots lists lots.
func (s *Store) Lots(ctx context.Context, p record.Page) ([]record.Lot, error) {
	var rows []*lotRow
	if err := inOrder(s.read.NewSelect().Model(&rows), p).Scan(ctx); err != nil {
		return nil, fault("listing lots", err)
	}
	return records(rows, (*lotRow).record)
}

// ArchiveLot takes a lot out of lists; it stays readable and takes no samples.
func (s *Store) ArchiveLot(ctx context.Context, id string) (lot record.Lot, err error) {
	err = s.inTx(ctx, "archiving a lot", func(ctx context.Context, tx bun.Tx) error {
		if lot, err = lotIn(ctx, tx, id); err != nil {
			return err
		}
		if lot.ArchivedAt != nil {
			return record.ErrArchived
		}
		now := s.instant()
		lot.ArchivedAt = &now
		return changed(tx.NewUpdate().Model(lotRowOf(lot)).Column("archived_at", "checksum").WherePK().Where("archived_at IS NULL").Exec(ctx))
	})
	return lot, err
}

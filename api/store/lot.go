package store

import (
	"context"
	"errors"
	"fmt"
	"strings"

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

// lotDetailRow is a row of the table lot_detail.
type lotDetailRow struct {
	bun.BaseModel `bun:"table:lot_detail,alias:d"`

	LotID     string `bun:"lot_id,pk"`
	Product   string
	BottledAt *record.Instant
	Body      string
	Checksum  int64
}

func (r *lotDetailRow) values() []any  { return []any{r.LotID, r.Product, r.BottledAt, r.Body} }
func (r *lotDetailRow) stored() *int64 { return &r.Checksum }

// lotDetail is what the table's columns do not hold of a lot.
type lotDetail struct {
	Notes   string `json:"notes,omitempty"`
	Storage string `json:"storage,omitempty"`
}

// lotDetailRowOf is nil for a lot of which nothing more is said.
func lotDetailRowOf(l record.Lot) (*lotDetailRow, error) {
	if l.Product == "" && l.BottledAt == nil && l.Notes == "" && l.Storage == "" {
		return nil, nil //nolint:nilnil // there is no such row
	}
	body, err := jsonText(lotDetail{Notes: l.Notes, Storage: l.Storage})
	r := &lotDetailRow{LotID: l.ID, Product: l.Product, BottledAt: l.BottledAt, Body: body}
	seal(r)
	return r, err
}

// put adds to a lot what the row says of it.
func (r *lotDetailRow) put(l *record.Lot) error {
	if err := intact("lot_detail", r.LotID, r); err != nil {
		return err
	}
	var d lotDetail
	if err := fromJSON(r.Body, &d); err != nil {
		return err
	}
	l.Product, l.BottledAt, l.Notes, l.Storage = r.Product, r.BottledAt, d.Notes, d.Storage
	return nil
}

// CreateLot adds a lot with the version of its specification that holds when it
// is bottled, or now. The error is a *calc.Problem where the specification or the
// wine is not there, or none or several specifications of its product hold.
func (s *Store) CreateLot(ctx context.Context, body record.LotBody) (lot record.Lot, err error) {
	err = s.inTx(ctx, "adding a lot", func(ctx context.Context, tx bun.Tx) error {
		spec, err := specFor(ctx, tx, body, s.instant())
		if err != nil {
			return err
		}
		if body.Wine != "" {
			_, err := wineIn(ctx, tx, body.Wine)
			if isNotFound(err) {
				return calc.Refuse(calc.Fault{Location: "/wine", Value: body.Wine, Message: "no wine is stored under this identifier"})
			} else if err != nil {
				return err
			}
		}
		body.Spec = spec.ID
		lot = record.Lot{ID: newID(), LotBody: body, SpecVersion: spec.Version, CreatedAt: s.instant()}
		if _, err := tx.NewInsert().Model(lotRowOf(lot)).Exec(ctx); err != nil {
			return err
		}
		detail, err := lotDetailRowOf(lot)
		if err != nil || detail == nil {
			return err
		}
		_, err = tx.NewInsert().Model(detail).Exec(ctx)
		return err
	})
	return lot, err
}

// specFor finds the specification that a new lot is held against.
func specFor(ctx context.Context, db bun.IDB, body record.LotBody, now record.Instant) (record.Spec, error) {
	at := now
	if body.BottledAt != nil {
		at = *body.BottledAt
	}
	if strings.TrimSpace(body.Spec) == "" {
		return specOf(ctx, db, body.Product, at)
	}
	spec, err := specAt(ctx, db, body.Spec, at)
	if err == nil && body.Product != "" && spec.Product != "" && nameKey(spec.Product) != nameKey(body.Product) {
		return spec, calc.Refuse(calc.Fault{Location: "/product", Value: body.Product, Message: fmt.Sprintf("the specification is that of %q: name the specification of this product, or leave the product out", spec.Product)})
	}
	return spec, err
}

func isNotFound(err error) bool { return errors.Is(err, record.ErrNotFound) }

// Lot returns a lot; record.ErrNotFound where there is none.
func (s *Store) Lot(ctx context.Context, id string) (record.Lot, error) {
	return lotIn(ctx, s.read, id)
}

func lotIn(ctx context.Context, db bun.IDB, id string) (record.Lot, error) {
	row := new(lotRow)
	if err := db.NewSelect().Model(row).Where("id = ?", id).Scan(ctx); err != nil {
		return record.Lot{}, fault(fmt.Sprintf("lot %.64q", id), err)
	}
	lots, err := detailed(ctx, db, []*lotRow{row})
	if err != nil {
		return record.Lot{}, err
	}
	return lots[0], nil
}

// detailed makes lots of rows, with what their details say.
func detailed(ctx context.Context, db bun.IDB, rows []*lotRow) ([]record.Lot, error) {
	lots, err := records(rows, (*lotRow).record)
	if err != nil || len(lots) == 0 {
		return lots, err
	}
	ids, at := make([]string, len(lots)), map[string]*record.Lot{}
	for i := range lots {
		ids[i], at[lots[i].ID] = lots[i].ID, &lots[i]
	}
	var details []*lotDetailRow
	if err := db.NewSelect().Model(&details).Where("lot_id IN (?)", bun.List(ids)).Scan(ctx); err != nil {
		return nil, fault("the details of lots", err)
	}
	for _, d := range details {
		if err := d.put(at[d.LotID]); err != nil {
			return nil, err
		}
	}
	return lots, putBottlings(ctx, db, ids, at)
}

// Lots lists lots.
func (s *Store) Lots(ctx context.Context, p record.Page) ([]record.Lot, error) {
	var rows []*lotRow
	if err := inOrder(s.read.NewSelect().Model(&rows), p).Scan(ctx); err != nil {
		return nil, fault("listing lots", err)
	}
	return detailed(ctx, s.read, rows)
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

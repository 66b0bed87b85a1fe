package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"unicode"

	"github.com/uptrace/bun"
	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"pourpath/api/record"
)

// wineRow is a row of the table wine.
type wineRow struct {
	bun.BaseModel `bun:"table:wine,alias:w"`

	ID         string `bun:",pk"`
	Name       string
	NameKey    string
	Kind       string
	Lot        string
	Vintage    *int64
	Varieties  *string
	StockL     *float64 `bun:"stock_l"`
	Notes      string
	Version    int64
	CreatedAt  record.Instant
	UpdatedAt  record.Instant
	ArchivedAt *record.Instant
	Checksum   int64

	ArchiveReason *string `bun:",scanonly"`
}

// wineColumns are the columns in the order of values, and the checksum.
const wineColumns = "id, name, name_key, kind, lot, vintage, varieties, stock_l, notes, version, created_at, updated_at, archived_at, checksum"

func (r *wineRow) values() []any {
	return []any{r.ID, r.Name, r.NameKey, r.Kind, r.Lot, r.Vintage, r.Varieties, r.StockL, r.Notes, r.Version, r.CreatedAt, r.UpdatedAt, r.ArchivedAt}
}

func (r *wineRow) stored() *int64 { return &r.Checksum }

// nameKey is a wine's name as files are matched to it: letter case, spaces and
// the form of accented letters do not count.
func nameKey(name string) string {
	return strings.Join(strings.FieldsFunc(cases.Fold().String(norm.NFKC.String(name)), unicode.IsSpace), " ")
}

func wineRowOf(w record.Wine) (*wineRow, error) {
	r := &wineRow{
		ID: w.ID, Name: w.Name, NameKey: nameKey(w.Name), Kind: string(w.Kind), Lot: w.Lot, StockL: w.StockL, Notes: w.Notes,
		Version: w.Version, CreatedAt: w.CreatedAt, UpdatedAt: w.UpdatedAt, ArchivedAt: w.ArchivedAt,
	}
	if w.Vintage != nil {
		year := int64(*w.Vintage)
		r.Vintage = &year
	}
	if len(w.Varieties) > 0 {
		text, err := jsonText(w.Varieties)
		if err != nil {
			return nil, err
		}
		r.Varieties = &text
	}
	seal(r)
	return r, nil
}

func (r *wineRow) record() (record.Wine, error) {
	if err := intact("wine", r.ID, r); err != nil {
		return record.Wine{}, err
	}
	w := record.Wine{
		ID: r.ID, WineFields: record.WineFields{Name: r.Name, Kind: record.Kind(r.Kind), Lot: r.Lot, StockL: r.StockL, Notes: r.Notes},
		Version: r.Version, CreatedAt: r.CreatedAt, UpdatedAt: r.UpdatedAt, ArchivedAt: r.ArchivedAt, ArchiveReason: orEmpty(r.ArchiveReason),
	}
	if r.Vintage != nil {
		year := int(*r.Vintage)
		w.Vintage = &year
	}
	if r.Varieties != nil {
		if err := fromJSON(*r.Varieties, &w.Varieties); err != nil {
			return w, err
		}
	}
	return w, nil
}

// scanWines reads the rows of a prepared statement over wineColumns.
func scanWines(ctx context.Context, statement *sql.Stmt, args []any) (list []*wineRow, err error) {
	rows, err := statement.QueryContext(ctx, args...)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		r := new(wineRow)
		if err := rows.Scan(&r.ID, &r.Name, &r.NameKey, &r.Kind, &r.Lot, &r.Vintage, &r.Varieties, &r.StockL, &r.Notes,
			&r.Version, &r.CreatedAt, &r.UpdatedAt, &r.ArchivedAt, &r.Checksum); err != nil {
			return nil, err
		}
		if err := intact("wine", r.ID, r); err != nil {
			return nil, err
		}
		list = append(list, r)
	}
	return list, rows.Err()
}

// CreateWine adds a wine, with its first reading unless that is nil.
func (s *Store) CreateWine(ctx context.Context, fields record.WineFields, first *record.Reading) (w record.Wine, r *record.Reading, err error) {
	now := s.instant()
	w = record.Wine{ID: newID(), WineFields: fields, Version: 1, CreatedAt: now, UpdatedAt: now}
	row, err := wineRowOf(w)
	if err != nil {
		return w, nil, err
	}
	err = s.inTx(ctx, "adding a wine", func(ctx context.Context, tx bun.Tx) error {
		if _, err := tx.NewInsert().Model(row).Exec(ctx); err != nil {
			return err
		}
		if first == nil {
			return nil
		}
		added, err := s.addReading(ctx, tx, row, *first)
		r = &added
		return err
	})
	return w, r, err
}

// Wine returns a wine; record.ErrNotFound where there is none.
func (s *Store) Wine(ctx context.Context, id string) (record.Wine, error) {
	row, err := wineIn(ctx, s.read, id)
	if err != nil {
		return record.Wine{}, err
	}
	return row.record()
}

func wineIn(ctx context.Context, db bun.IDB, id string) (*wineRow, error) {
	row := new(wineRow)
	if err := withReason(db.NewSelect().Model(row)).Where("id = ?", id).Scan(ctx); err != nil {
		return nil, fault(fmt.Sprintf("wine %.64q", id), err)
	}
	return row, nil
}

// inOrder asks for a page of records, which are in the order of their identifiers.
func inOrder(q *bun.SelectQuery, p record.Page) *bun.SelectQuery {
	switch {
	case !p.Newest:
		q = q.Where("id > ?", p.After).Order("id")
	case p.After != "":
		q = q.Where("id < ?", p.After).Order("id DESC")
	default:
		q = q.Order("id DESC")
	}
	if !p.Archived {
		q = q.Where("archived_at IS NULL")
	}
	return q.Limit(int64(p.Limit))
}

// named asks for wines with each of some words in their name or lot.
func named(q *bun.SelectQuery, words string) *bun.SelectQuery {
	literally := strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`)
	for _, word := range strings.Fields(nameKey(words)) {
		has := "%" + literally.Replace(word) + "%"
		q = q.Where(`(name_key LIKE ? ESCAPE '\' OR lower(lot) LIKE ? ESCAPE '\')`, has, has)
	}
	return q
}

// Wines lists wines.
func (s *Store) Wines(ctx context.Context, p record.Page) ([]record.Wine, error) {
	var rows []*wineRow
	if err := named(inOrder(withReason(s.read.NewSelect().Model(&rows)), p), p.Named).Scan(ctx); err != nil {
		return nil, fault("listing wines", err)
	}
	return records(rows, (*wineRow).record)
}

// ChangeWine replaces what is said of a wine, if it still is the version that
// the caller has seen; otherwise record.ErrChanged.
func (s *Store) ChangeWine(ctx context.Context, id string, version int64, fields record.WineFields) (record.Wine, error) {
	return s.editWine(ctx, id, version, func(w *record.Wine) { w.WineFields = fields })
}

func (s *Store) editWine(ctx context.Context, id string, version int64, edit func(*record.Wine)) (w record.Wine, err error) {
	err = s.inTx(ctx, "changing a wine", func(ctx context.Context, tx bun.Tx) error {
		if w, err = usedWine(ctx, tx, id); err != nil {
			return err
		}
		edit(&w)
		return s.keepWine(ctx, tx, &w, version)
	})
	return w, err
}

// usedWine returns a wine that is not archived.
func usedWine(ctx context.Context, tx bun.Tx, id string) (record.Wine, error) {
	row, err := wineIn(ctx, tx, id)
	if err != nil {
		return record.Wine{}, err
	}
	w, err := row.record()
	if err == nil && w.ArchivedAt != nil {
		err = record.ErrArchived
	}
	return w, err
}

// keepWine writes the version of a wine that follows the one that the caller has
// seen.
func (s *Store) keepWine(ctx context.Context, tx bun.Tx, w *record.Wine, seen int64) error {
	w.Version, w.UpdatedAt = seen+1, s.instant()
	row, err := wineRowOf(*w)
	if err != nil {
		return err
	}
	return changed(tx.NewUpdate().Model(row).WherePK().Where("version = ?", seen).Exec(ctx))
}

// changed makes record.ErrChanged of an update that met no row.
func changed(done sql.Result, err error) error {
	if err != nil {
		return err
	}
	if n, err := done.RowsAffected(); err != nil || n == 1 {
		return err
	}
	return record.ErrChanged
}

// records makes records of rows.
func records[R, T any](rows []R, of func(R) (T, error)) ([]T, error) {
	out := make([]T, len(rows))
	for i, r := range rows {
		var err error
		if out[i], err = of(r); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func jsonText(v any) (string, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return "", fmt.Errorf("store: %w", err)
	}
	return string(text), nil
}

func fromJSON(text string, v any) error {
	if err := json.Unmarshal([]byte(text), v); err != nil {
		return fmt.Errorf("store: %w: %w", record.ErrDamaged, err)
	}
	return nil
}

package store

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// fileImportRow is a row of the table file_import.
type fileImportRow struct {
	bun.BaseModel `bun:"table:file_import,alias:f"`

	ID           string `bun:",pk"`
	SHA256       string `bun:"sha256"`
	FileName     string
	Format       string
	Layout       string
	Settings     string
	Accepted     int64
	Rejected     int64
	Duplicates   int64
	NewWines     int64
	Columns      string
	Warnings     string
	AllOrNothing int64
	Header       string
	ImportedAt   record.Instant
	Checksum     int64

	Bytes int64 `bun:",scanonly"`
}

func (r *fileImportRow) values() []any {
	return []any{
		r.ID, r.SHA256, r.FileName, r.Format, r.Layout, r.Settings, r.Accepted, r.Rejected, r.Duplicates, r.NewWines,
		r.Columns, r.Warnings, r.AllOrNothing, r.Header, r.ImportedAt,
	}
}

func (r *fileImportRow) stored() *int64 { return &r.Checksum }

func importRowOf(id string, i record.Import, how settings) (*fileImportRow, error) {
	r := &fileImportRow{
		ID: id, SHA256: i.SHA256, FileName: i.FileName, Format: i.Format, Layout: i.Layout,
		Accepted: int64(i.Accepted), Rejected: int64(i.Rejected), Duplicates: int64(i.Duplicates), NewWines: int64(i.NewWines),
		ImportedAt: i.ImportedAt,
	}
	if i.AllOrNothing {
		r.AllOrNothing = 1
	}
	for _, part := range []struct {
		to   *string
		from any
	}{{&r.Settings, how}, {&r.Columns, i.Columns}, {&r.Warnings, i.Warnings}, {&r.Header, i.Header}} {
		var err error
		if *part.to, err = jsonText(part.from); err != nil {
			return nil, err
		}
	}
	seal(r)
	return r, nil
}

func (r *fileImportRow) record() (record.Import, error) {
	i := record.Import{
		ID: r.ID, SHA256: r.SHA256, FileName: r.FileName, Bytes: r.Bytes, Format: r.Format, Layout: r.Layout,
		Accepted: int(r.Accepted), Rejected: int(r.Rejected), Duplicates: int(r.Duplicates), NewWines: int(r.NewWines),
		AllOrNothing: r.AllOrNothing == 1, ImportedAt: r.ImportedAt,
	}
	if err := intact("file_import", r.ID, r); err != nil {
		return i, err
	}
	var how settings
	for _, part := range []struct {
		text string
		to   any
	}{{r.Columns, &i.Columns}, {r.Warnings, &i.Warnings}, {r.Header, &i.Header}, {r.Settings, &how}} {
		if err := fromJSON(part.text, part.to); err != nil {
			return i, err
		}
	}
	i.Corrections = how.Corrections
	return i, nil
}

// importRow is a row of the table import_row.
type importRow struct {
	bun.BaseModel `bun:"table:import_row,alias:n"`

	ImportID  string `bun:",pk"`
	RowNo     int64  `bun:",pk"`
	Place     string
	Status    string
	Name      string
	WineID    *string
	ReadingID *string
	Problem   *string
	Warnings  *string
	Raw       *string
	Checksum  int64
}

func (r *importRow) values() []any {
	return []any{r.ImportID, r.RowNo, r.Place, r.Status, r.Name, r.WineID, r.ReadingID, r.Problem, r.Warnings, r.Raw}
}

func (r *importRow) stored() *int64 { return &r.Checksum }

func noteOf(importID string, told record.ImportRow, raw []string) (*importRow, error) {
	r := &importRow{
		ImportID: importID, RowNo: int64(told.Row), Place: told.Place, Status: string(told.Status), Name: told.Name,
		WineID: text(told.Wine), ReadingID: text(told.Reading),
	}
	optional := func(to **string, there bool, v any) error {
		if !there {
			return nil
		}
		written, err := jsonText(v)
		*to = &written
		return err
	}
	for _, err := range []error{
		optional(&r.Problem, told.Problem != nil, told.Problem),
		optional(&r.Warnings, len(told.Warnings) > 0, told.Warnings),
		optional(&r.Raw, len(raw) > 0, raw),
	} {
		if err != nil {
			return nil, err
		}
	}
	seal(r)
	return r, nil
}

func (r *importRow) record() (record.ImportRow, error) {
	out := record.ImportRow{
		Row: int(r.RowNo), Place: r.Place, Status: record.Status(r.Status), Name: r.Name, Wine: orEmpty(r.WineID), Reading: orEmpty(r.ReadingID),
	}
	if err := intact("import_row", fmt.Sprintf("%s %d", r.ImportID, r.RowNo), r); err != nil {
		return out, err
	}
	for _, part := range []struct {
		from *string
		to   any
	}{{r.Problem, &out.Problem}, {r.Warnings, &out.Warnings}, {r.Raw, &out.Raw}} {
		if part.from == nil {
			continue
		}
		if err := fromJSON(*part.from, part.to); err != nil {
			return out, err
		}
	}
	return out, nil
}

// withSize adds the size of the file to each import.
func withSize(q *bun.SelectQuery) *bun.SelectQuery {
	return q.ColumnExpr("f.*").ColumnExpr("(SELECT s.bytes FROM stored_file AS s WHERE s.sha256 = f.sha256) AS bytes")
}

// FindImport returns an import with the first of its rows; record.ErrNotFound
// where there is none.
func (s *Store) FindImport(ctx context.Context, id string) (record.Import, error) {
	row := new(fileImportRow)
	if err := withSize(s.read.NewSelect().Model(row)).Where("f.id = ?", id).Scan(ctx); err != nil {
		return record.Import{}, fault(fmt.Sprintf("import %.64q", id), err)
	}
	i, err := row.record()
	if err != nil {
		return i, err
	}
	if i.Rows, err = s.ImportRows(ctx, id, 0, "", rowsTold); err != nil {
		return i, err
	}
	if len(i.Rows) == rowsTold {
		i.Next = fmt.Sprint(i.Rows[rowsTold-1].Row)
	}
	undone, err := undoneOf(ctx, s.read, id)
	if err != nil {
		return i, err
	}
	i.Undone = undone[id]
	i.Resting, err = restingOn(ctx, s.read, id, i.ImportedAt)
	return i, err
}

// Imports lists imports without their rows.
func (s *Store) Imports(ctx context.Context, p record.Page) ([]record.Import, error) {
	var rows []*fileImportRow
	p.Archived = true // none is archived
	if err := inOrder(withSize(s.read.NewSelect().Model(&rows)), p).Scan(ctx); err != nil {
		return nil, fault("listing imports", err)
	}
	list, err := records(rows, (*fileImportRow).record)
	if err != nil || len(list) == 0 {
		return list, err
	}
	ids := make([]string, len(list))
	for k := range list {
		ids[k] = list[k].ID
	}
	undone, err := undoneOf(ctx, s.read, ids...)
	for k := range list {
		list[k].Undone = undone[list[k].ID]
	}
	return list, err
}

// ImportRows lists what became of the entries of a file after row number after;
// status "" asks for all of them.
func (s *Store) ImportRows(ctx context.Context, importID string, after int, status record.Status, limit int) ([]record.ImportRow, error) {
	var notes []*importRow
	q := s.read.NewSelect().Model(&notes).Where("import_id = ? AND row_no > ?", importID, after).Order("row_no").Limit(int64(limit))
	if status != "" {
		q = q.Where("status = ?", string(status))
	}
	if err := q.Scan(ctx); err != nil {
		return nil, fault("listing the rows of an import", err)
	}
	out, err := records(notes, (*importRow).record)
	if err != nil || (status != "" && status != record.Accepted) {
		return out, err
	}
	return s.withSimplyTaken(ctx, importID, after, limit, out)
}

// withSimplyTaken adds the entries of which there is nothing to note: they are
// known by their readings.
func (s *Store) withSimplyTaken(ctx context.Context, importID string, after, limit int, noted []record.ImportRow) ([]record.ImportRow, error) {
	var taken []struct {
		ID, WineID, Name string
		ImportRow        int64
	}
	err := s.read.NewSelect().TableExpr("reading AS r").Join("JOIN wine AS w ON w.id = r.wine_id").
		ColumnExpr("r.id, r.wine_id, w.name, r.import_row").
		Where("r.import_id = ? AND r.import_row > ?", importID, after).Order("r.import_row").Limit(int64(limit)).Scan(ctx, &taken)
	if err != nil {
		return nil, fault("listing the rows of an import", err)
	}
	known := make(map[int]bool, len(noted))
	for _, row := range noted {
		known[row.Row] = true
	}
	for _, t := range taken {
		if row := int(t.ImportRow); !known[row] {
			noted = append(noted, record.ImportRow{Row: row, Place: fmt.Sprintf("row %d", row), Status: record.Accepted, Name: t.Name, Wine: t.WineID, Reading: t.ID})
		}
	}
	slices.SortFunc(noted, func(a, b record.ImportRow) int { return cmp.Compare(a.Row, b.Row) })
	return noted[:min(len(noted), limit)], nil
}

package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// table describes a table to what works on all of them alike: the archive, its
// restoring, and the verification.
type table struct {
	name    string
	columns []column // in the table's order, the checksum last
	key     []string // what its rows are ordered by
}

// column is a column with the kind of its values. unsealed is one that the
// checksum does not cover.
type column struct {
	name     string
	kind     columnKind
	unsealed bool
}

type columnKind byte

const (
	textColumn   columnKind = 't'
	intColumn    columnKind = 'i'
	floatColumn  columnKind = 'f'
	bytesColumn  columnKind = 'b'
	unsealedMark            = "!"
)

// tables are all tables with records, each after those that it refers to. The
// definition of a column is its name and the letter of its kind.
var tables = []table{
	define("wine", "id", "id:t name:t name_key:t kind:t lot:t vintage:i varieties:t stock_l:f notes:t version:i created_at:t updated_at:t archived_at:t"),
	define("target", "id", "id:t name:t target:t conditions:t notes:t version:i created_at:t updated_at:t archived_at:t"),
	define("stored_file", "sha256", "sha256:t bytes:i pieces:i"),
	define("file_piece", "sha256 piece", "sha256:t piece:i content:b"),
	define("file_import", "id", "id:t sha256:t file_name:t format:t layout:t settings:t accepted:i rejected:i duplicates:i new_wines:i "+
		"columns:t warnings:t all_or_nothing:i header:t imported_at:t"),
	define("reading", "id", "id:t wine_id:t kind:t path_mm:f dilution:f u_absorbance:f a420:f a520:f a620:f body:t taken_at:t counts_from:t "+
		"instrument:t analyst:t diluent:t blank:t temperature_c:f minutes_since_blending:f replicate:i supersedes:t reason:t recorded_at:t "+
		"import_id:t import_row:i archived_at:t archive_reason:t fingerprint:b!"),
	define("import_row", "import_id row_no", "import_id:t row_no:i place:t status:t name:t wine_id:t reading_id:t problem:t warnings:t raw:t"),
	define("archiving", "id", "id:t wine_id:t reading_id:t archived:i reason:t recorded_at:t"),
	define("import_undo", "import_id", "import_id:t reason:t readings:i wines:i undone_at:t"),
	define("header_mapping", "signature", "signature:t mapping:t updated_at:t"),
	define("trial", "id", "id:t name:t base_ml:f base_id:t addition_id:t target_id:t setup:t created_at:t archived_at:t"),
	define("trial_glass", "trial_id glass", "trial_id:t glass:t glass_no:i"),
	define("trial_entry", "id", "id:t trial_id:t entry_no:i kind:t glass:t volume_ml:f body:t sent_key:t recorded_at:t"),
	define("spec", "id version", "id:t version:i name:t target_id:t body:t created_at:t archived_at:t"),
	define("lot", "id", "id:t name:t spec_id:t spec_version:i wine_id:t created_at:t archived_at:t"),
	define("lot_sample", "id", "id:t lot_id:t body:t recorded_at:t"),
	define("lot_verdict", "id", "id:t sample_id:t spec_id:t spec_version:i verdict:t answer:t program:t decided_at:t"),
	define("lot_detail", "lot_id", "lot_id:t product:t bottled_at:t body:t"),
	define("lot_bottling", "lot_id bottling_no", "lot_id:t bottling_no:i bottled_at:t body:t recorded_at:t"),
	define("lot_decision", "id", "id:t lot_id:t decision:t body:t recorded_at:t"),
	define("statement", "statement_no", "statement_no:i lot_id:t verdict_id:t content:t previous_sha256:t sha256:t issued_at:t"),
	define("panel", "id", "id:t trial_id:t setup:t created_at:t"),
	define("panel_judge", "id", "id:t panel_id:t judge_no:i body:t added_at:t"),
	define("panel_answer", "id", "id:t panel_id:t judge_id:t answer_no:i source:t body:t recorded_at:t"),
	define("panel_closing", "panel_id", "panel_id:t body:t closed_at:t"),
	define("instrument_check", "id", "id:t instrument:t instrument_key:t kind:t counts_from:t passed:i body:t recorded_at:t"),
}

func define(name, key, columns string) table {
	t := table{name: name, key: strings.Fields(key)}
	for _, c := range strings.Fields(columns) {
		field, kind, _ := strings.Cut(c, ":")
		t.columns = append(t.columns, column{name: field, kind: columnKind(kind[0]), unsealed: strings.HasSuffix(kind, unsealedMark)})
	}
	t.columns = append(t.columns, column{name: "checksum", kind: intColumn, unsealed: true})
	return t
}

// names lists the columns.
func (t table) names() string {
	names := make([]string, len(t.columns))
	for i, c := range t.columns {
		names[i] = c.name
	}
	return strings.Join(names, ", ")
}

// each calls f with the values of every row, in the order of the key; a value
// is nil, string, int64, float64 or []byte. It returns record.ErrDamaged at the
// first row whose checksum does not fit, unless damaged is set, which is told
// instead.
func (t table) each(ctx context.Context, db bun.IDB, f func([]any) error, damaged func(id string)) (err error) {
	rows, err := db.QueryContext(ctx, "SELECT "+t.names()+" FROM "+t.name+" ORDER BY "+strings.Join(t.key, ", "))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	holders := make([]any, len(t.columns))
	for i, c := range t.columns {
		holders[i] = c.holder()
	}
	for rows.Next() {
		if err := rows.Scan(holders...); err != nil {
			return fmt.Errorf("table %s: %w: %w", t.name, record.ErrDamaged, err)
		}
		values := make([]any, len(holders))
		for i, h := range holders {
			values[i] = held(h)
		}
		if t.checksum(values) != values[len(values)-1] {
			if damaged == nil {
				return fmt.Errorf("table %s, row %v: %w: its checksum does not fit", t.name, values[0], record.ErrDamaged)
			}
			damaged(fmt.Sprint(values[0]))
			continue
		}
		if err := f(values); err != nil {
			return err
		}
	}
	return rows.Err()
}

// checksum is that of a row by its values.
func (t table) checksum(values []any) int64 {
	sealed := make([]any, 0, len(values))
	for i, c := range t.columns {
		if !c.unsealed {
			sealed = append(sealed, values[i])
		}
	}
	return checksum(sealed)
}

// holder is what a column is scanned into.
func (c column) holder() any {
	switch c.kind {
	case intColumn:
		return new(sql.NullInt64)
	case floatColumn:
		return new(sql.NullFloat64)
	case bytesColumn:
		return new([]byte)
	case textColumn:
	}
	return new(sql.NullString)
}

func held(h any) any {
	switch h := h.(type) {
	case *sql.NullInt64:
		if h.Valid {
			return h.Int64
		}
	case *sql.NullFloat64:
		if h.Valid {
			return h.Float64
		}
	case *[]byte:
		if *h != nil {
			return append([]byte{}, *h...)
		}
	case *sql.NullString:
		if h.Valid {
			return h.String
		}
	}
	return nil
}

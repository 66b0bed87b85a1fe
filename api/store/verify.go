package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// Finding is something that is not as it should be.
type Finding struct {
	// Place is the table with the row, the file, or the database.
	Place string
	// Message says what is wrong.
	Message string
}

// Verification is what a look at everything that is stored found.
type Verification struct {
	// Rows is how many rows were looked at in each table.
	Rows map[string]int64
	// LastStatement is the number of the newest statement in the register, 0 where
	// there is none, and LastSHA256 its checksum, which all before it go into.
	LastStatement int
	LastSHA256    string
	// Findings are empty for a sound store; there are no more than a hundred.
	Findings []Finding
}

// mostFindings is where a verification ends: it is bad enough by then.
const mostFindings = 100

// references are the columns that refer to other tables' rows.
var references = []struct{ table, column, to, key string }{
	{"reading", "wine_id", "wine", "id"},
	{"reading", "import_id", "file_import", "id"},
	{"reading", "supersedes", "reading", "id"},
	{"file_import", "sha256", "stored_file", "sha256"},
	{"file_piece", "sha256", "stored_file", "sha256"},
	{"import_row", "import_id", "file_import", "id"},
	{"import_row", "wine_id", "wine", "id"},
	{"import_row", "reading_id", "reading", "id"},
	{"archiving", "wine_id", "wine", "id"},
	{"archiving", "reading_id", "reading", "id"},
	{"import_undo", "import_id", "file_import", "id"},
	{"trial", "base_id", "wine", "id"},
	{"trial", "addition_id", "wine", "id"},
	{"trial", "target_id", "target", "id"},
	{"trial_glass", "trial_id", "trial", "id"},
	{"trial_entry", "trial_id", "trial", "id"},
	{"panel", "trial_id", "trial", "id"},
	{"panel_judge", "panel_id", "panel", "id"},
	{"panel_answer", "panel_id", "panel", "id"},
	{"panel_answer", "judge_id", "panel_judge", "id"},
	{"panel_closing", "panel_id", "panel", "id"},
	{"spec", "target_id", "target", "id"},
	{"lot", "spec_id", "spec", "id"},
	{"lot", "wine_id", "wine", "id"},
	{"lot_sample", "lot_id", "lot", "id"},
	{"lot_verdict", "sample_id", "lot_sample", "id"},
	{"lot_verdict", "spec_id", "spec", "id"},
	{"lot_detail", "lot_id", "lot", "id"},
	{"lot_bottling", "lot_id", "lot", "id"},
	{"lot_decision", "lot_id", "lot", "id"},
	{"statement", "lot_id", "lot", "id"},
	{"statement", "verdict_id", "lot_verdict", "id"},
}

// Verify looks at everything: the database's own structure, each row's
// checksum, that nothing refers to what is not there, that every reading can be
// read, that every stored file is what was sent, that the register of statements
// is whole and in its order, and that every verdict has its figures for charts.
func (s *Store) Verify(ctx context.Context) (Verification, error) {
	v := verifying{Verification: Verification{Rows: map[string]int64{}}}
	err := s.inSnapshot(ctx, "verifying", func(ctx context.Context, tx bun.Tx) error {
		for _, look := range []func(context.Context, bun.Tx) error{s.verifyStructure(&v), v.rows, v.orphans, v.files, v.register, v.figures} {
			if err := look(ctx, tx); err != nil {
				return err
			}
		}
		return nil
	})
	// A page that cannot be read ends the look, and is itself what was found.
	if errors.Is(err, record.ErrDamaged) {
		v.find("database", "%v", err)
		err = nil
	}
	return v.Verification, err
}

type verifying struct{ Verification }

func (v *verifying) find(place, format string, args ...any) {
	if len(v.Findings) < mostFindings {
		v.Findings = append(v.Findings, Finding{Place: place, Message: fmt.Sprintf(format, args...)})
	}
}

// verifyStructure asks SQLite to look at its own file. PostgreSQL checks pages
// as it reads them, where its checksums are on.
func (s *Store) verifyStructure(v *verifying) func(context.Context, bun.Tx) error {
	return func(ctx context.Context, tx bun.Tx) error {
		if s.postgres {
			return nil
		}
		var found []string
		if err := tx.NewRaw("PRAGMA integrity_check(?)", mostFindings).Scan(ctx, &found); err != nil {
			return err
		}
		for _, f := range found {
			if f != "ok" {
				v.find("database", "%s", f)
			}
		}
		return nil
	}
}

func (v *verifying) rows(ctx context.Context, tx bun.Tx) error {
	for _, t := range slices.Concat(tables, sessionTables) {
		err := t.each(ctx, tx, func([]any) error { v.Rows[t.name]++; return nil },
			func(id string) { v.find(t.name+" "+id, "the row's checksum does not fit: it is not what was written") })
		if err != nil {
			return err
		}
	}
	return nil
}

// orphans finds rows that refer to nothing. The database refuses to make one.
func (v *verifying) orphans(ctx context.Context, tx bun.Tx) error {
	for _, r := range references {
		var ids []string
		err := tx.NewRaw(fmt.Sprintf(
			"SELECT DISTINCT a.%[2]s FROM %[1]s AS a WHERE a.%[2]s IS NOT NULL AND NOT EXISTS (SELECT 1 FROM %[3]s AS b WHERE b.%[4]s = a.%[2]s) LIMIT %[5]d",
			r.table, r.column, r.to, r.key, mostFindings)).Scan(ctx, &ids)
		if err != nil {
			return err
		}
		for _, id := range ids {
			v.find(r.table, "a row refers to %s %s, which is not there", r.to, id)
		}
	}
	return nil
}

func (v *verifying) files(ctx context.Context, tx bun.Tx) error {
	var sums []string
	if err := tx.NewRaw("SELECT sha256 FROM stored_file ORDER BY sha256").Scan(ctx, &sums); err != nil {
		return err
	}
	for _, sum := range sums {
		if err := readFile(ctx, tx, sum, io.Discard); err != nil {
			v.find("stored_file "+sum, "%v", err)
		}
	}
	return nil
}

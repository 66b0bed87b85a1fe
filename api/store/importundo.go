package store

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// undoRow is a row of the table import_undo.
type undoRow struct {
	bun.BaseModel `bun:"table:import_undo,alias:u"`

	ImportID string `bun:",pk"`
	Reason   string
	Readings int64
	Wines    int64
	UndoneAt record.Instant
	Checksum int64
}

func (r *undoRow) values() []any {
	return []any{r.ImportID, r.Reason, r.Readings, r.Wines, r.UndoneAt}
}
func (r *undoRow) stored() *int64 { return &r.Checksum }

// undoneOf tells which of some imports were undone.
func undoneOf(ctx context.Context, db bun.IDB, ids ...string) (map[string]*record.ImportUndone, error) {
	var rows []*undoRow
	if err := db.NewSelect().Model(&rows).Where("import_id IN (?)", bun.List(ids)).Scan(ctx); err != nil {
		return nil, fault("which imports were undone", err)
	}
	out := map[string]*record.ImportUndone{}
	for _, r := range rows {
		if err := intact("import_undo", r.ImportID, r); err != nil {
			return nil, err
		}
		out[r.ImportID] = &record.ImportUndone{Reason: r.Reason, UndoneAt: r.UndoneAt, Readings: int(r.Readings), Wines: int(r.Wines)}
	}
	return out, nil
}

// UndoImport archives the readings that an import added, with the reason, and the
// wines that it added where nothing else uses them, in one transaction. What rests
// on them keeps what it copied. An import that was undone stays as it is;
// record.ErrNotFound where there is none.
func (s *Store) UndoImport(ctx context.Context, id, reason string) error {
	return s.inTx(ctx, fmt.Sprintf("undoing import %.64q", id), func(ctx context.Context, tx bun.Tx) error {
		if s.postgres { // so that nobody brings in more of these wines meanwhile
			if _, err := tx.ExecContext(ctx, fmt.Sprintf("SELECT pg_advisory_xact_lock(%d)", importsOneByOne)); err != nil {
				return err
			}
		}
		made := new(fileImportRow)
		if err := withSize(tx.NewSelect().Model(made)).Where("f.id = ?", id).Scan(ctx); err != nil {
			return err
		}
		undone, err := undoneOf(ctx, tx, id)
		if err != nil || undone[id] != nil {
			return err
		}
		row := &undoRow{ImportID: id, Reason: reason, UndoneAt: s.instant()}
		if row.Readings, err = s.archiveReadings(ctx, tx, row); err != nil {
			return err
		}
		if err := tellOthers(ctx, tx, "r.wine_id IN (SELECT i.wine_id FROM reading AS i WHERE i.import_id = ?)", id); err != nil {
			return err
		}
		if row.Wines, err = s.archiveWines(ctx, tx, row, made.ImportedAt); err != nil {
			return err
		}
		seal(row)
		_, err = tx.NewInsert().Model(row).Exec(ctx)
		return err
	})
}

// archiveReadings archives the readings of an import that count, and says how many
// these were.
func (s *Store) archiveReadings(ctx context.Context, tx bun.Tx, undo *undoRow) (n int64, err error) {
	p := func(i int) string { return s.parameters(i, 1) }
	archive, err := tx.PrepareContext(ctx, "UPDATE reading SET archived_at = "+p(1)+", archive_reason = "+p(2)+", fingerprint = NULL, checksum = "+p(3)+" WHERE id = "+p(4))
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, archive.Close()) }()
	for last := ""; ; {
		var rows []*readingRow
		err := tx.NewSelect().Model(&rows).Where("import_id = ? AND archived_at IS NULL AND id > ?", undo.ImportID, last).Order("id").Limit(manyRows).Scan(ctx)
		if err != nil || len(rows) == 0 {
			return n, err
		}
		for _, r := range rows {
			if err := intact("reading", r.ID, r); err != nil {
				return n, err
			}
			r.ArchivedAt, r.ArchiveReason = &undo.UndoneAt, undo.Reason
			seal(r)
			if _, err := archive.ExecContext(ctx, r.ArchivedAt, r.ArchiveReason, r.Checksum, r.ID); err != nil {
				return n, err
			}
			if err := s.tellArchiving(ctx, tx, r.WineID, r.ID, true, undo.Reason, undo.UndoneAt); err != nil {
				return n, err
			}
			n++
			last = r.ID
		}
	}
}

// archiveWines archives the wines that an import added, where no reading of them
// counts any more, no trial and no lot has them, and nobody has changed them. An
// import adds a wine with its first reading, so those are wines made since it began
// that have a reading of it; or since another began that was undone before, and left a
// wine for the sake of a reading of this one.
func (s *Store) archiveWines(ctx context.Context, tx bun.Tx, undo *undoRow, since record.Instant) (int64, error) {
	var rows []*wineRow
	err := tx.NewSelect().Model(&rows).Where("w.archived_at IS NULL AND w.version = 1").
		Where("w.created_at >= ? OR EXISTS (SELECT 1 FROM reading AS r JOIN import_undo AS u ON u.import_id = r.import_id JOIN file_import AS f ON f.id = r.import_id WHERE r.wine_id = w.id AND w.created_at >= f.imported_at)", since).
		Where("EXISTS (SELECT 1 FROM reading AS r WHERE r.wine_id = w.id AND r.import_id = ?)", undo.ImportID).
		Where("NOT EXISTS (SELECT 1 FROM reading AS r WHERE r.wine_id = w.id AND r.archived_at IS NULL)").
		Where("NOT EXISTS (SELECT 1 FROM lot AS l WHERE l.wine_id = w.id)").
		Where("NOT EXISTS (SELECT 1 FROM trial AS t WHERE t.base_id = w.id OR t.addition_id = w.id OR t.setup LIKE '%' || w.id || '%')").
		Scan(ctx)
	if err != nil {
		return 0, err
	}
	for _, r := range rows {
		if err := intact("wine", r.ID, r); err != nil {
			return 0, err
		}
		r.ArchivedAt, r.UpdatedAt, r.Version = &undo.UndoneAt, undo.UndoneAt, r.Version+1
		seal(r)
		if err := changed(tx.NewUpdate().Model(r).WherePK().Where("version = ?", r.Version-1).Exec(ctx)); err != nil {
			return 0, err
		}
		if err := s.tellArchiving(ctx, tx, r.ID, "", true, undo.Reason, undo.UndoneAt); err != nil {
			return 0, err
		}
	}
	return int64(len(rows)), nil
}

// mostResting is how much that rests on an import is told.
const mostResting = 100

// restings are the queries for what rests on the readings of an import, but for
// trials: each for an identifier and a name, and what becomes of it. A lot names a
// wine, and has no reading of it.
var restings = []struct{ kind, query, message string }{
	{"correction", "SELECT c.id, w.name FROM reading AS c JOIN reading AS r ON c.supersedes = r.id JOIN wine AS w ON w.id = c.wine_id " +
		"WHERE r.import_id = ? AND c.archived_at IS NULL AND (c.import_id IS NULL OR c.import_id <> r.import_id) ORDER BY c.id",
		"this reading corrects one of the import; it goes on counting: archive it too where it is wrong"},
	{"lot", "SELECT l.id, l.name FROM lot AS l WHERE l.archived_at IS NULL AND EXISTS (SELECT 1 FROM reading AS r WHERE r.import_id = ? AND r.wine_id = l.wine_id) ORDER BY l.id",
		"this lot names a wine of the import; it and its samples, which have readings of their own, stay as they are"},
	{"statement", "SELECT CAST(s.statement_no AS TEXT) AS id, l.name FROM statement AS s JOIN lot AS l ON l.id = s.lot_id " +
		"WHERE EXISTS (SELECT 1 FROM reading AS r WHERE r.import_id = ? AND r.wine_id = l.wine_id) ORDER BY s.statement_no",
		"this statement is of a lot of such a wine; it stays as it was issued"},
}

// restingOn tells what rests on the readings of an import that was made at some
// time.
func restingOn(ctx context.Context, db bun.IDB, id string, at record.Instant) ([]record.Resting, error) {
	out, err := restingTrials(ctx, db, id, at)
	if err != nil {
		return nil, fault("what rests on an import", err)
	}
	for _, r := range restings {
		var found []struct{ ID, Name string }
		if err := db.NewRaw(r.query+" LIMIT "+strconv.Itoa(mostResting-len(out)), id).Scan(ctx, &found); err != nil {
			return nil, fault("what rests on an import", err)
		}
		for _, f := range found {
			out = append(out, record.Resting{Kind: r.kind, ID: f.ID, Name: strings.TrimSpace(f.Name), Message: r.message})
		}
	}
	return out, nil
}

// namedAtOnce is how many identifiers of trials are looked up by one query: those of a
// thousand trials, in less than SQLite takes for a statement.
const namedAtOnce = 5000

// identifiers are those that a text holds.
var identifiers = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}`)

// naming is a trial with the identifiers that it was set up with.
type naming struct {
	id, name string
	ids      []string
}

// namingTrials lists the trials since some time, the newest first.
func namingTrials(ctx context.Context, db bun.IDB, since record.Instant) (list []naming, err error) {
	rows, err := db.QueryContext(ctx, "SELECT id, name, setup FROM trial WHERE archived_at IS NULL AND created_at >= ? ORDER BY id DESC", since)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		var t naming
		var setup string
		if err := rows.Scan(&t.id, &t.name, &setup); err != nil {
			return nil, err
		}
		if t.ids = identifiers.FindAllString(setup, -1); len(t.ids) > 0 {
			list = append(list, t)
		}
	}
	return list, rows.Err()
}

// restingTrials are the trials that copied a reading of an import, the newest
// first. How a trial was set up names the readings.
func restingTrials(ctx context.Context, db bun.IDB, id string, at record.Instant) (out []record.Resting, err error) {
	trials, err := namingTrials(ctx, db, at)
	if err != nil {
		return nil, err
	}
	var named []string
	for _, t := range trials {
		named = append(named, t.ids...)
	}
	of := map[string]bool{}
	for some := range slices.Chunk(named, namedAtOnce) {
		var found []string
		if err := db.NewSelect().Model((*readingRow)(nil)).Column("id").Where("r.import_id = ? AND r.id IN (?)", id, bun.List(some)).Scan(ctx, &found); err != nil {
			return nil, err
		}
		for _, reading := range found {
			of[reading] = true
		}
	}
	for _, t := range trials {
		if len(out) < mostResting && slices.ContainsFunc(t.ids, func(id string) bool { return of[id] }) {
			out = append(out, record.Resting{Kind: "trial", ID: t.id, Name: t.name, Message: "this trial began with a reading of the import; it keeps what it copied then"})
		}
	}
	return out, nil
}

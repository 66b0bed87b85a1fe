package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/hashicorp/golang-lru/v2/simplelru"
	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// mostKnown is how many wines an import keeps in mind; the others are looked up
// again, so that memory does not grow with the file.
const mostKnown = 20000

// knownWines finds the wines of an import's entries, and adds those that are
// missing.
type knownWines struct {
	store *Store
	tx    bun.Tx
	// Prepared once: a file may bring thousands of wines.
	byName, byNameAndLot, insert, content *sql.Stmt

	byKey *simplelru.LRU[string, *knownWine]
	keys  map[string]string
}

// knownWine is what an import knows of a wine.
type knownWine struct {
	id, key string
	kind    record.Kind
	last    *record.Reading // the one before, for comparison
	made    bool            // just now, by this entry
	added   bool            // by this import
	fault   string          // why no wine can be told
	there   string          // the reading that has the entry's content already
}

func newKnownWines(s *Store) *knownWines {
	known, err := simplelru.NewLRU[string, *knownWine](mostKnown, nil)
	if err != nil { // only for a size below 1
		panic(err)
	}
	return &knownWines{store: s, byKey: known, keys: map[string]string{}}
}

// key is nameKey, remembered for a while: the same names come again and again.
func (k *knownWines) key(name string) string {
	if key, ok := k.keys[name]; ok {
		return key
	}
	if len(k.keys) >= mostKnown {
		clear(k.keys)
	}
	key := nameKey(name)
	k.keys[name] = key
	return key
}

// find returns the wine that an entry is of: by name and lot, or by name alone
// where the file has no lot. A wine that is not there is added, unless what was
// read is there already under the file's name for it.
func (k *knownWines) find(ctx context.Context, w record.WineFields, print []byte) (knownWine, error) {
	key := k.key(w.Name) + "\x00" + w.Lot
	if known, ok := k.byKey.Get(key); ok {
		known.made = false
		return *known, nil
	}
	found, err := k.look(ctx, w)
	if err != nil || found.fault != "" {
		return found, err
	}
	if found.id == "" {
		switch err := k.content.QueryRowContext(ctx, print).Scan(&found.there); {
		case err == nil:
			return found, nil
		case !errors.Is(err, sql.ErrNoRows):
			return found, err
		}
		if found, err = k.add(ctx, w); err != nil {
			return found, err
		}
	}
	found.key = key
	k.byKey.Add(key, &found)
	return found, nil
}

// prepare makes the statements that are used for each wine that is not in mind.
func (k *knownWines) prepare(ctx context.Context, tx bun.Tx) error {
	k.tx = tx
	const look = "SELECT " + wineColumns + " FROM wine WHERE name_key = %s AND archived_at IS NULL%s ORDER BY id LIMIT 20"
	p := k.store.parameters
	for _, s := range []struct {
		to   **sql.Stmt
		text string
	}{
		{&k.byName, fmt.Sprintf(look, p(1, 1), "")},
		{&k.byNameAndLot, fmt.Sprintf(look, p(1, 1), " AND lot = "+p(2, 1))},
		{&k.insert, "INSERT INTO wine (" + wineColumns + ") VALUES (" + p(1, strings.Count(wineColumns, ",")+1) + ")"},
		{&k.content, "SELECT id FROM reading WHERE fingerprint = " + p(1, 1)},
	} {
		var err error
		//nolint:sqlclosecheck // closed with the transaction that it is of
		if *s.to, err = tx.PrepareContext(ctx, s.text); err != nil {
			return err
		}
	}
	return nil
}

func (k *knownWines) look(ctx context.Context, w record.WineFields) (knownWine, error) {
	statement, args := k.byName, []any{k.key(w.Name)}
	if w.Lot != "" {
		statement, args = k.byNameAndLot, append(args, w.Lot)
	}
	rows, err := scanWines(ctx, statement, args)
	if err != nil {
		return knownWine{}, err
	}
	switch len(rows) {
	case 0:
		return knownWine{}, nil
	case 1:
		last, err := k.lastOf(ctx, rows[0].ID)
		return knownWine{id: rows[0].ID, kind: record.Kind(rows[0].Kind), last: last}, err
	}
	var lots []string
	for _, r := range rows {
		lots = append(lots, fmt.Sprintf("%q", r.Lot))
	}
	slices.Sort(lots)
	return knownWine{fault: fmt.Sprintf("%d wines have this name, with the lots %s: add a column with the lot, or give one of them another name",
		len(rows), strings.Join(slices.Compact(lots), ", "))}, nil
}

// lastOf is the newest reading of a wine, for comparison; nil for none.
func (k *knownWines) lastOf(ctx context.Context, wineID string) (*record.Reading, error) {
	var rows []*readingRow
	err := k.tx.NewSelect().Model(&rows).Where("r.wine_id = ? AND r.archived_at IS NULL", wineID).
		Order("r.counts_from DESC", "r.id DESC").Limit(1).Scan(ctx)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	last, err := rows[0].record()
	return &last, err
}

func (k *knownWines) add(ctx context.Context, w record.WineFields) (knownWine, error) {
	now := k.store.instant()
	if w.Kind == "" {
		w.Kind = record.Other
	}
	row, err := wineRowOf(record.Wine{ID: newID(), WineFields: w, Version: 1, CreatedAt: now, UpdatedAt: now})
	if err != nil {
		return knownWine{}, err
	}
	_, err = k.insert.ExecContext(ctx, append(row.values(), row.Checksum)...)
	return knownWine{id: row.ID, kind: w.Kind, made: true, added: true}, err
}

// suspicions are what must be known of an entry that is taken; it becomes the
// wine's last reading.
func (k *knownWines) suspicions(w knownWine, kind record.Kind, r record.Reading) []calc.Warning {
	if kind == "" {
		kind = w.kind
	}
	out := record.Suspicions(kind, r, w.last)
	if w.kind != record.Other && kind != w.kind {
		out = append(out, calc.Warning{Code: "kind_differs", Message: fmt.Sprintf(
			"The file calls this wine %s, the records %s; the records were left as they are. Change the wine if the file is right.", kind, w.kind)})
	}
	if known, ok := k.byKey.Get(w.key); ok {
		known.last = &r
	}
	return out
}

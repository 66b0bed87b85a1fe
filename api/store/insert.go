package store

import (
	"context"
	"database/sql"
	"errors"
	"strconv"
	"strings"

	"github.com/uptrace/bun"
)

// manyRows is how many rows one statement inserts: several times quicker than
// one by one, and 28 columns of each stay below the 32,766 parameters that
// SQLite takes.
const manyRows = 128

// parameters lists n parameters from number first in the database's way of
// writing them. SQLite knows numbered ones too, but looks each up by its name,
// which takes longer than the insert.
func (s *Store) parameters(first, n int) string {
	var list strings.Builder
	for i := range n {
		if i > 0 {
			list.WriteByte(',')
		}
		if s.postgres {
			list.WriteString("$" + strconv.Itoa(first+i))
		} else {
			list.WriteByte('?')
		}
	}
	return list.String()
}

// inserter adds readings many at a time.
type inserter struct {
	store *Store
	tx    bun.Tx
	full  *sql.Stmt // for manyRows
	args  []any
}

func (s *Store) newInserter(ctx context.Context, tx bun.Tx) (*inserter, error) {
	full, err := tx.PrepareContext(ctx, s.insertReadings(manyRows))
	if err != nil {
		return nil, err
	}
	return &inserter{store: s, tx: tx, full: full}, nil
}

// insertReadings is the statement that adds n readings but those whose content
// is there already, and returns the identifiers of the added ones.
func (s *Store) insertReadings(n int) string {
	columns := strings.Count(readingColumns, ",") + 1
	rows := make([]string, n)
	for row := range rows {
		rows[row] = "(" + s.parameters(row*columns+1, columns) + ")"
	}
	return "INSERT INTO reading (" + readingColumns + ") VALUES " + strings.Join(rows, ",") +
		" ON CONFLICT (fingerprint) WHERE fingerprint IS NOT NULL DO NOTHING RETURNING id"
}

// add inserts up to manyRows readings and returns which of them were added.
func (in *inserter) add(ctx context.Context, list []*readingRow) (added map[string]bool, err error) {
	in.args = in.args[:0]
	for _, r := range list {
		values := r.values()
		r.Checksum = checksum(values)
		in.args = append(append(in.args, values...), r.Fingerprint, r.Checksum)
	}
	statement := in.full
	if len(list) != manyRows {
		some, err := in.tx.PrepareContext(ctx, in.store.insertReadings(len(list)))
		if err != nil {
			return nil, err
		}
		defer func() { err = errors.Join(err, some.Close()) }()
		statement = some
	}
	rows, err := statement.QueryContext(ctx, in.args...)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	added = make(map[string]bool, len(list))
	for rows.Next() {
		var id string
		if err := rows.Scan(&id); err != nil {
			return nil, err
		}
		added[id] = true
	}
	return added, rows.Err()
}

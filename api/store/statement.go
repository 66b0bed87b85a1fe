package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// statementRow is a row of the table statement.
type statementRow struct {
	bun.BaseModel `bun:"table:statement,alias:c"`

	StatementNo int64  `bun:",pk"`
	LotID       string `bun:"lot_id"`
	VerdictID   string `bun:"verdict_id"`
	Content     string
	Previous    string `bun:"previous_sha256"`
	SHA256      string `bun:"sha256"`
	IssuedAt    record.Instant
	Checksum    int64
}

func (r *statementRow) values() []any {
	return []any{r.StatementNo, r.LotID, r.VerdictID, r.Content, r.Previous, r.SHA256, r.IssuedAt}
}

func (r *statementRow) stored() *int64 { return &r.Checksum }

func (r *statementRow) record() (record.Statement, error) {
	return record.Statement{
		No: int(r.StatementNo), LotID: r.LotID, VerdictID: r.VerdictID, IssuedAt: r.IssuedAt,
		Previous: r.Previous, SHA256: r.SHA256, Content: json.RawMessage(r.Content),
	}, intact("statement", strconv.FormatInt(r.StatementNo, 10), r)
}

// AddStatement adds a statement to the register, with the next number and
// chained to the one before it. What it says is written once these are known.
func (s *Store) AddStatement(ctx context.Context, lotID, verdictID string, write func(no int, at record.Instant) ([]byte, error)) (st record.Statement, err error) {
	err = s.inTx(ctx, "issuing a statement", func(ctx context.Context, tx bun.Tx) error {
		if s.postgres { // in SQLite whoever writes is alone
			if _, err := tx.ExecContext(ctx, "LOCK TABLE statement IN EXCLUSIVE MODE"); err != nil {
				return err
			}
		}
		row := &statementRow{StatementNo: 1, LotID: lotID, VerdictID: verdictID, IssuedAt: s.instant()}
		last := new(statementRow)
		err := tx.NewSelect().Model(last).Order("statement_no DESC").Limit(1).Scan(ctx)
		switch err = fault("the register", err); {
		case errors.Is(err, record.ErrNotFound):
		case err != nil:
			return err
		default:
			if _, err := last.record(); err != nil {
				return err
			}
			row.StatementNo, row.Previous = last.StatementNo+1, last.SHA256
		}
		content, err := write(int(row.StatementNo), row.IssuedAt)
		if err != nil {
			return err
		}
		row.Content, row.SHA256 = string(content), record.Chained(row.Previous, content)
		seal(row)
		if _, err := tx.NewInsert().Model(row).Exec(ctx); err != nil {
			return err
		}
		st, err = row.record()
		return err
	})
	return st, err
}

// Statement returns a statement by its number; record.ErrNotFound where there is
// none.
func (s *Store) Statement(ctx context.Context, no int) (record.Statement, error) {
	return s.statement(ctx, fmt.Sprintf("statement %d", no), func(q *bun.SelectQuery) *bun.SelectQuery { return q.Where("statement_no = ?", no) })
}

// StatementOf returns the newest statement about a lot; record.ErrNotFound where
// none was issued.
func (s *Store) StatementOf(ctx context.Context, lotID string) (record.Statement, error) {
	return s.statement(ctx, "the newest statement of a lot", func(q *bun.SelectQuery) *bun.SelectQuery {
		return q.Where("lot_id = ?", lotID).Order("statement_no DESC").Limit(1)
	})
}

func (s *Store) statement(ctx context.Context, what string, of func(*bun.SelectQuery) *bun.SelectQuery) (record.Statement, error) {
	row := new(statementRow)
	if err := of(s.read.NewSelect().Model(row)).Scan(ctx); err != nil {
		return record.Statement{}, fault(what, err)
	}
	return row.record()
}

// Statements lists the register from the statement after one with a number; 0
// starts. An empty lotID stands for all lots. The error is record.ErrDamaged where one
// is not what was written.
func (s *Store) Statements(ctx context.Context, lotID string, after, limit int) ([]record.Statement, error) {
	rows, err := s.statementRows(ctx, lotID, after, limit)
	if err != nil {
		return nil, err
	}
	return records(rows, (*statementRow).record)
}

// StatementsListed lists what Statements does. It answers with what is damaged too, and
// says so; whether each is in its place is Register's to tell.
func (s *Store) StatementsListed(ctx context.Context, lotID string, after, limit int) ([]Registered, error) {
	rows, err := s.statementRows(ctx, lotID, after, limit)
	if err != nil {
		return nil, err
	}
	out := make([]Registered, len(rows))
	for i, r := range rows {
		out[i].Statement, err = r.record()
		switch faults := r.faults(r.StatementNo, r.Previous); {
		case len(faults) > 0:
			out[i].Fault = faults[0].Message
		case err != nil:
			out[i].Fault = notAsWritten
		}
	}
	return out, nil
}

// notAsWritten is the fault of a statement whose row alone is damaged.
const notAsWritten = "the row's checksum does not fit: it is not what was written"

func (s *Store) statementRows(ctx context.Context, lotID string, after, limit int) (rows []*statementRow, err error) {
	q := s.read.NewSelect().Model(&rows).Where("statement_no > ?", after).Order("statement_no").Limit(int64(limit))
	if lotID != "" {
		q = q.Where("lot_id = ?", lotID)
	}
	return rows, fault("listing statements", q.Scan(ctx))
}

// Registered is a statement as the register has it, whole or not.
type Registered struct {
	record.Statement
	// Fault says why it is not what was issued, or not in its place; empty where it
	// is both.
	Fault string
}

// Register lists the register from its newest statement back, or from before the
// one with a number; 0 starts. Unlike Statements it answers with what is damaged,
// and says so.
func (s *Store) Register(ctx context.Context, before, limit int) ([]Registered, error) {
	var rows []*statementRow
	q := s.read.NewSelect().Model(&rows).Order("statement_no DESC").Limit(int64(limit) + 1)
	if before > 0 {
		q = q.Where("statement_no < ?", before)
	}
	if err := q.Scan(ctx); err != nil {
		return nil, fault("the register", err)
	}
	out := make([]Registered, min(limit, len(rows)))
	for i := range out {
		want, previous := int64(1), ""
		if i+1 < len(rows) {
			want, previous = rows[i+1].StatementNo+1, rows[i+1].SHA256
		}
		var err error
		out[i].Statement, err = rows[i].record()
		faults := rows[i].faults(want, previous)
		if err != nil && len(faults) == 0 {
			faults = []Finding{{Message: notAsWritten}}
		}
		for _, f := range faults {
			out[i].Fault += "; " + f.Message
		}
		out[i].Fault = strings.TrimPrefix(out[i].Fault, "; ")
	}
	return out, nil
}

// faults are what is wrong with a statement's place in the register, where its
// number and the checksum before it are to be these, and with what it says.
func (r *statementRow) faults(want int64, previous string) (found []Finding) {
	place := "statement " + strconv.FormatInt(r.StatementNo, 10)
	if r.StatementNo != want {
		found = append(found, Finding{"statement", fmt.Sprintf("number %d is missing from the register: the next there is %d", want, r.StatementNo)})
	} else if r.Previous != previous {
		found = append(found, Finding{place, fmt.Sprintf("it does not follow the statement before it: it names the checksum %.16q… and that is %.16q…", r.Previous, previous)})
	}
	if record.Chained(r.Previous, []byte(r.Content)) != r.SHA256 {
		found = append(found, Finding{place, "its SHA-256 does not fit: it is not what was issued"})
	}
	return found
}

// register finds where the register of statements is not whole: a number that is
// missing, a statement that was changed, one that does not follow the one before.
// That the newest ones were taken off its end nothing in it can tell: a copy of
// the last checksum elsewhere can.
func (v *verifying) register(ctx context.Context, tx bun.Tx) error {
	want := int64(1)
	for {
		var rows []*statementRow
		if err := tx.NewSelect().Model(&rows).Where("statement_no >= ?", want).Order("statement_no").Limit(statementsAtOnce).Scan(ctx); err != nil {
			return err
		}
		for _, r := range rows {
			for _, f := range r.faults(want, v.LastSHA256) {
				v.find(f.Place, "%s", f.Message)
			}
			want, v.LastSHA256 = r.StatementNo+1, r.SHA256
		}
		v.LastStatement = int(want - 1)
		if len(rows) < statementsAtOnce {
			return nil
		}
	}
}

// statementsAtOnce is how many are held while the register is looked at.
const statementsAtOnce = 500

package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"github.com/pressly/goose/v3"
	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// figureSource is the verdict that figures are derived from, with its sample, lot
// and specification.
type figureSource struct {
	verdict, sample, lot, spec, answer, body, recorded, specBody string
	version                                                      int64
	bottled, product                                             sql.NullString
}

const figureSources = "SELECT v.id, v.sample_id, p.lot_id, v.spec_id, v.spec_version, v.answer, p.body, p.recorded_at, s.body, %s, d.product " +
	"FROM lot_verdict AS v JOIN lot_sample AS p ON p.id = v.sample_id JOIN spec AS s ON s.id = v.spec_id AND s.version = v.spec_version " +
	"LEFT JOIN lot_detail AS d ON d.lot_id = p.lot_id WHERE "

// When a lot was bottled, before there was a table of bottlings and since.
const (
	bottledAsSetUp = "d.bottled_at"
	bottledAsTold  = "coalesce((SELECT b.bottled_at FROM lot_bottling AS b WHERE b.lot_id = p.lot_id ORDER BY b.bottling_no DESC LIMIT 1), d.bottled_at)"
)

func (f *figureSource) holders() []any {
	return []any{&f.verdict, &f.sample, &f.lot, &f.spec, &f.version, &f.answer, &f.body, &f.recorded, &f.specBody, &f.bottled, &f.product}
}

// figuresOneByOne is the key of the advisory lock that makes the numbers of
// figures follow the order of commits in PostgreSQL; SQLite has one writer
// anyway. A chart that has seen a number never misses a smaller one.
const figuresOneByOne = 0x506f7573

// figureWriter adds figures in a transaction.
type figureWriter struct {
	tx       *sql.Tx
	postgres bool
	bottled  string // of a source
	insert   *sql.Stmt
	last     int64
	products map[string]string // by specification and version
}

// newFigureWriter waits for others who add figures, until they have committed.
func newFigureWriter(ctx context.Context, tx *sql.Tx, postgres bool) (*figureWriter, error) {
	w := &figureWriter{tx: tx, postgres: postgres, bottled: bottledAsTold, products: map[string]string{}}
	if postgres {
		if _, err := tx.ExecContext(ctx, fmt.Sprintf("SELECT pg_advisory_xact_lock(%d)", figuresOneByOne)); err != nil {
			return nil, err
		}
	}
	if err := tx.QueryRowContext(ctx, "SELECT coalesce(max(figure_no), 0) FROM lot_figure").Scan(&w.last); err != nil {
		return nil, err
	}
	var err error
	w.insert, err = tx.PrepareContext(ctx, "INSERT INTO lot_figure ("+figureTable.names()+") VALUES ("+w.parameters(len(figureTable.columns))+")")
	return w, err
}

// addFigures adds those of verdicts that were just inserted.
func (s *Store) addFigures(ctx context.Context, tx bun.Tx, verdicts ...string) (err error) {
	w, err := newFigureWriter(ctx, tx.Tx, s.postgres)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, w.insert.Close()) }()
	for _, id := range verdicts {
		if _, err := w.some(ctx, "v.id = "+w.parameters(1), id); err != nil {
			return err
		}
	}
	return nil
}

// renewFigures makes those of a lot anew, with numbers after all others, so that whoever
// has seen the old ones meets the new ones.
func (s *Store) renewFigures(ctx context.Context, tx bun.Tx, lotID string) (err error) {
	w, err := newFigureWriter(ctx, tx.Tx, s.postgres)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, w.insert.Close()) }()
	if _, err := tx.ExecContext(ctx, "DELETE FROM lot_figure WHERE lot_id = ?", lotID); err != nil {
		return err
	}
	_, err = w.some(ctx, "p.lot_id = "+w.parameters(1)+" ORDER BY v.id", lotID)
	return err
}

// allFigures adds those of every verdict; there are none yet. bottled is where it stands
// when a lot was bottled.
func allFigures(ctx context.Context, tx *sql.Tx, postgres bool, bottled string) (err error) {
	w, err := newFigureWriter(ctx, tx, postgres)
	if err != nil {
		return err
	}
	w.bottled = bottled
	defer func() { err = errors.Join(err, w.insert.Close()) }()
	for last, more := "", true; more; {
		next, err := w.some(ctx, "v.id > "+w.parameters(1)+fmt.Sprintf(" ORDER BY v.id LIMIT %d", figuresAtOnce), last)
		if err != nil {
			return err
		}
		more = next != ""
		last = next
	}
	return nil
}

// figuresAtOnce is how many verdicts are held while figures are derived.
const figuresAtOnce = 500

// some adds the figures of the verdicts that where finds, and returns the
// identifier of the last of them.
func (w *figureWriter) some(ctx context.Context, where, parameter string) (last string, err error) {
	list, err := w.sources(ctx, where, parameter)
	if err != nil {
		return "", err
	}
	for i := range list {
		values, err := w.derive(&list[i])
		if err != nil {
			return "", fmt.Errorf("the figures of verdict %s: %w", list[i].verdict, err)
		}
		if _, err := w.insert.ExecContext(ctx, values...); err != nil {
			return "", err
		}
		last = list[i].verdict
	}
	return last, nil
}

func (w *figureWriter) sources(ctx context.Context, where, parameter string) (list []figureSource, err error) {
	rows, err := w.tx.QueryContext(ctx, fmt.Sprintf(figureSources, w.bottled)+where, parameter)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		var f figureSource
		if err := rows.Scan(f.holders()...); err != nil {
			return nil, err
		}
		list = append(list, f)
	}
	return list, rows.Err()
}

func (w *figureWriter) parameters(n int) string {
	return (&Store{postgres: w.postgres}).parameters(1, n)
}

// figureAnswer is what a chart needs of a verdict's answer.
type figureAnswer struct {
	Colour struct {
		Intensity, Tint *float64
		CIELAB          calc.ColourValues
		Conditions      calc.Conditions
		Source          string
	}
	Difference *struct {
		DeltaE00 *float64 `json:"delta_e_00"`
	}
}

// derive makes the row of a verdict.
func (w *figureWriter) derive(f *figureSource) ([]any, error) {
	var answer figureAnswer
	var sample record.SampleBody
	if err := errors.Join(fromJSON(f.answer, &answer), fromJSON(f.body, &sample)); err != nil {
		return nil, err
	}
	product, err := w.product(f)
	if err != nil {
		return nil, err
	}
	at := f.recorded
	switch {
	case f.bottled.Valid:
		at = f.bottled.String
	case sample.TakenAt != nil:
		at = sample.TakenAt.String()
	}
	instant, err := record.ParseInstant(at)
	if err != nil {
		return nil, err
	}
	w.last++
	retained := int64(0)
	if sample.Stage == record.Retained {
		retained = 1
	}
	c := answer.Colour
	var apart *float64
	if answer.Difference != nil {
		apart = answer.Difference.DeltaE00
	}
	values := []any{
		w.last, f.verdict, f.spec, nameKey(product), f.sample, f.lot, instant.UnixMicro(), retained,
		record.FigureConditions(c.Conditions, c.Source), c.CIELAB.L, c.CIELAB.A, c.CIELAB.B, value(c.Intensity), value(c.Tint), value(apart), nil,
	}
	values[len(values)-1] = figureTable.checksum(values)
	return values, nil
}

func value(v *float64) any {
	if v == nil {
		return nil
	}
	return *v
}

// product is what a lot is of: its own word, or else its specification's.
func (w *figureWriter) product(f *figureSource) (string, error) {
	if f.product.Valid && strings.TrimSpace(f.product.String) != "" {
		return f.product.String, nil
	}
	key := fmt.Sprintf("%s %d", f.spec, f.version)
	if known, ok := w.products[key]; ok {
		return known, nil
	}
	var body struct{ Product string }
	err := fromJSON(f.specBody, &body)
	w.products[key] = body.Product
	return body.Product, err
}

// filledFigures is the step that derives the figures of the verdicts that are
// there already.
func filledFigures(step int64, postgres bool) *goose.Migration {
	return goose.NewGoMigration(step, &goose.GoFunc{RunTx: func(ctx context.Context, tx *sql.Tx) error {
		return allFigures(ctx, tx, postgres, bottledAsSetUp)
	}}, nil)
}

// figures finds verdicts without figures.
func (v *verifying) figures(ctx context.Context, tx bun.Tx) error {
	err := figureTable.each(ctx, tx, func([]any) error { return nil },
		func(id string) {
			v.find("lot_figure "+id, "the row's checksum does not fit: charts would be of another colour than the verdict; restore a backup")
		})
	if err != nil {
		return err
	}
	var ids []string
	err = tx.NewRaw(fmt.Sprintf("SELECT id FROM lot_verdict AS v WHERE NOT EXISTS (SELECT 1 FROM lot_figure AS f WHERE f.verdict_id = v.id) LIMIT %d", mostFindings)).Scan(ctx, &ids)
	for _, id := range ids {
		v.find("lot_verdict "+id, "its figures are missing: charts would pass it over; restore a backup")
	}
	return err
}

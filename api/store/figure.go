package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"

	"github.com/uptrace/bun"

	"pourpath/api/record"
)

// figureColumns are those that a chart reads, in the order of the checksum.
const figureColumns = "figure_no, sample_id, lot_id, at_us, retained, conditions, cie_l, cie_a, cie_b, intensity, tint, delta_e_00"

// figureTable describes the table lot_figure. It is not among the tables of a
// backup: what it holds follows from them.
var figureTable = define("lot_figure", "figure_no", "figure_no:i verdict_id:t! spec_id:t! product_key:t! sample_id:t lot_id:t at_us:i retained:i conditions:t "+
	"cie_l:f cie_a:f cie_b:f intensity:f tint:f delta_e_00:f")

// Figures calls each with the figures that were committed after the one with a
// number, 0 for all, in the order of their numbers. A verdict whose number is
// smaller than one that was seen is never committed later. It returns
// record.ErrDamaged at the first row that is not what was written.
func (s *Store) Figures(ctx context.Context, of record.FigureOf, after int64, each func(record.Figure)) error {
	where, key := figuresWhere(of)
	return fault("reading figures", s.figures(ctx, where, key, after, each))
}

func (s *Store) figures(ctx context.Context, where, key string, after int64, each func(record.Figure)) (err error) {
	rows, err := s.read.QueryContext(ctx, "SELECT "+figureColumns+", checksum FROM lot_figure WHERE "+where+" AND figure_no > ? ORDER BY figure_no", key, after)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	return eachFigure(rows, each)
}

func figuresWhere(of record.FigureOf) (where, key string) {
	if of.Product != "" {
		return "product_key = ? AND product_key <> ''", nameKey(of.Product)
	}
	return "spec_id = ?", of.Spec
}

// FigureCount counts the figures, so that room is made for them at once.
func (s *Store) FigureCount(ctx context.Context, of record.FigureOf) (count int, err error) {
	where, key := figuresWhere(of)
	err = s.read.NewRaw("SELECT count(*) FROM lot_figure WHERE "+where, key).Scan(ctx, &count)
	return count, fault("counting figures", err)
}

func eachFigure(rows *sql.Rows, each func(record.Figure)) error {
	var f record.Figure
	var retained, stored int64
	var sample, lot, conditions sql.RawBytes
	var intensity, tint, apart sql.NullFloat64
	to := []any{&f.No, &sample, &lot, &f.AtMicros, &retained, &conditions, &f.L, &f.A, &f.B, &intensity, &tint, &apart, &stored}
	known := map[string]string{} // few conditions, each text kept once
	sealed := make([]byte, 0, 512)
	for rows.Next() {
		if err := rows.Scan(to...); err != nil {
			return err
		}
		under, ok := known[string(conditions)]
		if !ok {
			under = string(conditions)
			known[under] = under
		}
		f.Sample, f.Lot, f.Conditions, f.Retained = string(sample), string(lot), under, retained == 1
		sealed = appendFigure(sealed[:0], &f, intensity, tint, apart)
		if hashed(sealed) != stored {
			return fmt.Errorf("store: lot_figure %d: %w: its checksum does not fit; restore the last backup", f.No, record.ErrDamaged)
		}
		f.Intensity, f.Tint, f.DeltaE00 = orNaN(intensity), orNaN(tint), orNaN(apart)
		each(f)
	}
	return rows.Err()
}

// appendFigure writes what the checksum is over without making values of it, as a
// chart reads a hundred thousand.
func appendFigure(b []byte, f *record.Figure, intensity, tint, apart sql.NullFloat64) []byte {
	retained := int64(0)
	if f.Retained {
		retained = 1
	}
	b = appendInt(b, f.No)
	b = appendText(appendText(b, f.Sample), f.Lot)
	b = appendInt(appendInt(b, f.AtMicros), retained)
	b = appendText(b, f.Conditions)
	b = appendFloat(appendFloat(appendFloat(b, f.L), f.A), f.B)
	for _, v := range [...]sql.NullFloat64{intensity, tint, apart} {
		if v.Valid {
			b = appendFloat(b, v.Float64)
		} else {
			b = append(b, 'n')
		}
	}
	return b
}

func orNaN(v sql.NullFloat64) float64 {
	if !v.Valid {
		return math.NaN()
	}
	return v.Float64
}

// ArchivedLots counts the archived lots. A lot that was archived stays so.
func (s *Store) ArchivedLots(ctx context.Context) (count int, err error) {
	err = s.read.NewRaw("SELECT count(*) FROM lot WHERE archived_at IS NOT NULL").Scan(ctx, &count)
	return count, fault("counting archived lots", err)
}

// ArchivedLotIDs are the identifiers of the archived lots.
func (s *Store) ArchivedLotIDs(ctx context.Context) (ids []string, err error) {
	err = s.read.NewRaw("SELECT id FROM lot WHERE archived_at IS NOT NULL").Scan(ctx, &ids)
	return ids, fault("listing archived lots", err)
}

// LotNames are the names of lots by their identifiers.
func (s *Store) LotNames(ctx context.Context, ids []string) (map[string]string, error) {
	out := make(map[string]string, len(ids))
	for len(ids) > 0 {
		some := ids[:min(len(ids), namesAtOnce)]
		ids = ids[len(some):]
		var rows []*lotRow
		if err := s.read.NewSelect().Model(&rows).Column("id", "name").Where("id IN (?)", bun.List(some)).Scan(ctx); err != nil {
			return nil, fault("the names of lots", err)
		}
		for _, r := range rows {
			out[r.ID] = r.Name
		}
	}
	return out, nil
}

// namesAtOnce is how many names one statement asks for.
const namesAtOnce = 1000

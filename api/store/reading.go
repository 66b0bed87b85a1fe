package store

import (
	"context"
	"errors"
	"fmt"

	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// readingRow is a row of the table reading. Its fields stand in the order of the
// columns.
type readingRow struct {
	bun.BaseModel `bun:"table:reading,alias:r"`

	ID                   string `bun:",pk"`
	WineID               string `bun:"wine_id"`
	Kind                 string
	PathMM               float64 `bun:"path_mm"`
	Dilution             float64
	UAbsorbance          *float64 `bun:"u_absorbance"`
	A420                 *float64 `bun:"a420"`
	A520                 *float64 `bun:"a520"`
	A620                 *float64 `bun:"a620"`
	Body                 *string
	TakenAt              *record.Instant
	CountsFrom           record.Instant
	Instrument           string
	Analyst              string
	Diluent              string
	Blank                string
	TemperatureC         *float64 `bun:"temperature_c"`
	MinutesSinceBlending *float64
	Replicate            *int64
	Supersedes           *string
	Reason               string
	RecordedAt           record.Instant
	ImportID             *string `bun:"import_id"`
	ImportRow            *int64
	ArchivedAt           *record.Instant
	ArchiveReason        string
	Fingerprint          []byte
	Checksum             int64

	SupersededBy *string `bun:",scanonly"`
}

// readingColumns are the columns in the order of values, then the two that are
// not part of the checksum.
const readingColumns = "id, wine_id, kind, path_mm, dilution, u_absorbance, a420, a520, a620, body, taken_at, counts_from, " +
	"instrument, analyst, diluent, blank, temperature_c, minutes_since_blending, replicate, supersedes, reason, recorded_at, " +
	"import_id, import_row, archived_at, archive_reason, fingerprint, checksum"

// values leave out the fingerprint: it is let go when the reading no longer
// counts, and no answer is made of it.
func (r *readingRow) values() []any {
	return []any{
		r.ID, r.WineID, r.Kind, r.PathMM, r.Dilution, r.UAbsorbance, r.A420, r.A520, r.A620, r.Body, r.TakenAt, r.CountsFrom,
		r.Instrument, r.Analyst, r.Diluent, r.Blank, r.TemperatureC, r.MinutesSinceBlending, r.Replicate, r.Supersedes, r.Reason, r.RecordedAt,
		r.ImportID, r.ImportRow, r.ArchivedAt, r.ArchiveReason,
	}
}

func (r *readingRow) stored() *int64 { return &r.Checksum }

// The kinds of reading, as the table names them.
const (
	kindReadings = "readings"
	kindSpectrum = "spectrum"
	kindCIELAB   = "cielab"
)

// body is what the table's columns do not hold of a reading.
type body struct {
	Extra    []calc.Reading `json:"extra,omitempty"`
	Spectrum *calc.Spectrum `json:"spectrum,omitempty"`
	CIELAB   *calc.CIELAB   `json:"cielab,omitempty"`
}

func readingRowOf(r record.Reading) (*readingRow, error) {
	row := &readingRow{
		ID: r.ID, WineID: r.WineID, TakenAt: r.TakenAt, CountsFrom: r.At(),
		Instrument: r.Instrument, Analyst: r.Analyst, Diluent: string(r.Diluent), Blank: r.Blank,
		TemperatureC: r.TemperatureC, MinutesSinceBlending: r.MinutesSinceBlending, Replicate: wide(r.Replicate),
		Supersedes: text(r.Supersedes), Reason: r.Reason, RecordedAt: r.RecordedAt,
		ImportID: text(r.ImportID), ArchivedAt: r.ArchivedAt, ArchiveReason: r.ArchiveReason,
	}
	if r.ImportRow > 0 {
		row.ImportRow = wide(&r.ImportRow)
	}
	row.PathMM, row.Dilution = r.Cell()
	var rest body
	switch {
	case r.Readings != nil:
		in := r.Readings
		row.Kind, row.UAbsorbance = kindReadings, in.UAbsorbance
		row.A420, row.A520, row.A620 = &in.A420, &in.A520, &in.A620
		rest.Extra = in.Extra
	case r.Spectrum != nil:
		row.Kind, row.UAbsorbance = kindSpectrum, r.Spectrum.UAbsorbance
		scan := *r.Spectrum
		scan.PathMM, scan.Dilution, scan.UAbsorbance = nil, nil, nil
		rest.Spectrum = &scan
	case r.CIELAB != nil:
		row.Kind, rest.CIELAB = kindCIELAB, r.CIELAB
	default:
		return nil, fmt.Errorf("store: reading %q holds nothing", r.ID)
	}
	if rest.Extra != nil || row.Kind != kindReadings {
		written, err := jsonText(rest)
		if err != nil {
			return nil, err
		}
		row.Body = &written
	}
	return row, nil
}

func (r *readingRow) record() (record.Reading, error) {
	out := record.Reading{
		ID: r.ID, WineID: r.WineID,
		Circumstances: record.Circumstances{
			TakenAt: r.TakenAt, Instrument: r.Instrument, Analyst: r.Analyst, Diluent: record.Diluent(r.Diluent), Blank: r.Blank,
			TemperatureC: r.TemperatureC, MinutesSinceBlending: r.MinutesSinceBlending, Replicate: narrow(r.Replicate),
		},
		Supersedes: orEmpty(r.Supersedes), Reason: r.Reason, SupersededBy: orEmpty(r.SupersededBy), RecordedAt: r.RecordedAt,
		ImportID: orEmpty(r.ImportID), ArchivedAt: r.ArchivedAt, ArchiveReason: r.ArchiveReason,
	}
	if err := intact("reading", r.ID, r); err != nil {
		return out, err
	}
	if row := narrow(r.ImportRow); row != nil {
		out.ImportRow = *row
	}
	var rest body
	if r.Body != nil {
		if err := fromJSON(*r.Body, &rest); err != nil {
			return out, err
		}
	}
	switch {
	case r.Kind == kindReadings && r.A420 != nil && r.A520 != nil && r.A620 != nil:
		out.Readings = &calc.Readings{
			A420: *r.A420, A520: *r.A520, A620: *r.A620, PathMM: &r.PathMM, Dilution: &r.Dilution, UAbsorbance: r.UAbsorbance, Extra: rest.Extra,
		}
	case r.Kind == kindSpectrum && rest.Spectrum != nil:
		out.Spectrum = rest.Spectrum
		out.Spectrum.PathMM, out.Spectrum.Dilution, out.Spectrum.UAbsorbance = &r.PathMM, &r.Dilution, r.UAbsorbance
	case r.Kind == kindCIELAB && rest.CIELAB != nil:
		out.CIELAB = rest.CIELAB
	default:
		return out, fmt.Errorf("store: reading %q: %w: it holds no %s", r.ID, record.ErrDamaged, r.Kind)
	}
	return out, nil
}

// AddReading adds a reading of a wine. A correction needs a reading of the same
// wine that has none yet: otherwise the error is a *calc.Problem or
// record.ErrSuperseded.
func (s *Store) AddReading(ctx context.Context, wineID string, r record.Reading) (out record.Reading, err error) {
	err = s.inTx(ctx, "adding a reading", func(ctx context.Context, tx bun.Tx) error {
		wine, err := wineIn(ctx, tx, wineID)
		if err != nil {
			return err
		}
		if err := intact("wine", wine.ID, wine); err != nil {
			return err
		}
		if wine.ArchivedAt != nil {
			return record.ErrArchived
		}
		out, err = s.addReading(ctx, tx, wine, r)
		return err
	})
	return out, err
}

func (s *Store) addReading(ctx context.Context, tx bun.Tx, wine *wineRow, r record.Reading) (record.Reading, error) {
	r.ID, r.WineID, r.RecordedAt = newID(), wine.ID, s.instant()
	if r.Supersedes != "" {
		old, err := mayCorrect(ctx, tx, wine.ID, r.Supersedes)
		if err != nil {
			return r, err
		}
		// A correction stands for the same sample at the same time, whether it
		// repeats that or not.
		if r.TakenAt == nil {
			r.TakenAt = old.TakenAt
		}
		if r.Replicate == nil {
			r.Replicate = narrow(old.Replicate)
		}
	}
	row, err := readingRowOf(r)
	if err != nil {
		return r, err
	}
	seal(row)
	// Two readings of the same content may both be meant when a person enters
	// them; a file that brings it once more is told by either.
	if err := tellApart(ctx, tx, wine, row); err != nil {
		return r, err
	}
	if _, err := tx.NewInsert().Model(row).Exec(ctx); err != nil {
		if r.Supersedes != "" && unique(err) {
			return r, record.ErrSuperseded
		}
		return r, err
	}
	return row.record()
}

// mayCorrect returns a reading, having checked that it is of the wine and has no
// correction.
func mayCorrect(ctx context.Context, tx bun.Tx, wineID, id string) (*readingRow, error) {
	old := new(readingRow)
	err := withCorrections(tx.NewSelect().Model(old)).Where("r.id = ? AND r.wine_id = ?", id, wineID).Scan(ctx)
	if err := fault("the reading to correct", err); err != nil {
		if errors.Is(err, record.ErrNotFound) {
			return nil, calc.Refuse(calc.Fault{Location: "/supersedes", Value: id, Message: "this wine has no such reading: give the identifier of one of its own"})
		}
		return nil, err
	}
	if old.SupersededBy != nil {
		return nil, record.ErrSuperseded
	}
	return old, nil
}

// withCorrections adds to each reading which one corrects it.
func withCorrections(q *bun.SelectQuery) *bun.SelectQuery {
	return q.ColumnExpr("r.*").ColumnExpr("(SELECT c.id FROM reading AS c WHERE c.supersedes = r.id) AS superseded_by")
}

// Reading returns a reading; record.ErrNotFound where there is none.
func (s *Store) Reading(ctx context.Context, id string) (record.Reading, error) {
	row := new(readingRow)
	if err := withCorrections(s.read.NewSelect().Model(row)).Where("r.id = ?", id).Scan(ctx); err != nil {
		return record.Reading{}, fault(fmt.Sprintf("reading %.64q", id), err)
	}
	return row.record()
}

// Readings lists the readings of all wines in the order of their records,
// superseded ones too.
func (s *Store) Readings(ctx context.Context, p record.Page) ([]record.Reading, error) {
	var rows []*readingRow
	q := withCorrections(s.read.NewSelect().Model(&rows)).Where("r.id > ?", p.After).Order("r.id").Limit(int64(p.Limit))
	return listReadings(ctx, q, p, &rows)
}

// ReadingsOf lists the readings of a wine from the oldest to the newest,
// superseded ones too; record.ErrNotFound where there is no such wine.
func (s *Store) ReadingsOf(ctx context.Context, wineID string, p record.Page) ([]record.Reading, error) {
	if _, err := s.Wine(ctx, wineID); err != nil {
		return nil, err
	}
	var rows []*readingRow
	follows, order := ">", []string{"r.counts_from", "r.id"}
	if p.Newest {
		follows, order = "<", []string{"r.counts_from DESC", "r.id DESC"}
	}
	q := withCorrections(s.read.NewSelect().Model(&rows)).Where("r.wine_id = ?", wineID).Order(order...).Limit(int64(p.Limit))
	if p.After != "" {
		last := s.read.NewSelect().Model((*readingRow)(nil)).Column("counts_from").Where("id = ?", p.After)
		q = q.Where("(r.counts_from, r.id) "+follows+" ((?), ?)", last, p.After)
	}
	return listReadings(ctx, q, p, &rows)
}

func listReadings(ctx context.Context, q *bun.SelectQuery, p record.Page, rows *[]*readingRow) ([]record.Reading, error) {
	if !p.Archived {
		q = q.Where("r.archived_at IS NULL")
	}
	if err := q.Scan(ctx); err != nil {
		return nil, fault("listing readings", err)
	}
	return records(*rows, (*readingRow).record)
}

func text(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

func orEmpty(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

func wide(n *int) *int64 {
	if n == nil {
		return nil
	}
	v := int64(*n)
	return &v
}

func narrow(n *int64) *int {
	if n == nil {
		return nil
	}
	v := int(*n)
	return &v
}

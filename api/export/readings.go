package export

import (
	"context"
	"slices"
	"strconv"

	"pourpath/api/record"
)

// The columns of a reading that an import knows, and those of its record.
var (
	wineHeader = []string{"name", "kind", "lot", "vintage"}
	cellHeader = []string{"path_mm", "dilution", "diluent", "u_absorbance"}
	labHeader  = []string{"L", "a", "b", "illuminant", "observer"}
	howHeader  = []string{"taken_at", "instrument", "analyst", "blank", "temperature_c", "minutes_since_blending", "replicate"}
	ownHeader  = []string{
		"status", "reading_id", "wine_id", "supersedes", "reason", "superseded_by", "recorded_at", "import_id", "import_row",
		"archived_at", "archive_reason", "wine_archived_at",
	}
)

// about is what a row of a reading says of its wine.
type about struct {
	cells    []any
	archived *record.Instant
}

func (e *exporter) wineOf(ctx context.Context, id string) (about, error) {
	if known, ok := e.wines.Get(id); ok {
		return known, nil
	}
	w, err := e.store.Wine(ctx, id)
	if err != nil {
		return about{}, err
	}
	a := about{cells: []any{w.Name, word(w.Kind), word(w.Lot), given(w.Vintage)}, archived: w.ArchivedAt}
	e.wines.Add(id, a)
	return a, nil
}

// readingTable is the table of readings at single wavelengths and of L*a*b*.
func (e *exporter) readingTable(ctx context.Context) ([]table, error) {
	s, err := e.surveyed(ctx)
	if err != nil {
		return nil, err
	}
	single := append([]float64{420, 520, 620}, s.extra...)
	header := slices.Concat(wineHeader, waveHeader("a", single), cellHeader, labHeader, howHeader, ownHeader)
	return []table{{name: string(Readings), header: header, rows: func(ctx context.Context, put func([]any) error) error {
		return e.rowsBetween(ctx, "", s.last, func(r record.Reading, a about) error {
			if r.Spectrum != nil {
				return nil
			}
			values := make([]any, len(single))
			if in := r.Readings; in != nil {
				values[0], values[1], values[2] = in.A420, in.A520, in.A620
				for _, x := range in.Extra {
					if !set(values[3:], s.extra, x.NM, x.Absorbance) {
						return nil
					}
				}
			}
			return put(slices.Concat(a.cells, values, cellOf(r), labOf(r), howOf(r), ownOf(r, a)))
		})
	}}}, nil
}

// spectraTables are the tables of scans.
func (e *exporter) spectraTables(ctx context.Context) ([]table, error) {
	s, err := e.surveyed(ctx)
	if err != nil {
		return nil, err
	}
	var list []table
	for _, p := range s.parts {
		list = append(list, e.spectraTable(p))
	}
	return list, nil
}

func (e *exporter) spectraTable(p part) table {
	// The per cent sign keeps the transmittances of dark wines, all near 0, from
	// being taken for fractions of 1.
	header := slices.Concat(wineHeader, cellHeader, howHeader, ownHeader, waveHeader("a", p.absorbance), waveHeader("%T", p.transmittance))
	return table{name: string(Spectra), header: header, rows: func(ctx context.Context, put func([]any) error) error {
		return e.rowsBetween(ctx, p.after, p.last, func(r record.Reading, a about) error {
			if r.Spectrum == nil {
				return nil
			}
			values := make([]any, len(p.absorbance)+len(p.transmittance))
			to, nm, y := values[:len(p.absorbance)], p.absorbance, r.Spectrum.Absorbance
			if r.Spectrum.TransmittancePercent != nil {
				to, nm, y = values[len(p.absorbance):], p.transmittance, r.Spectrum.TransmittancePercent
			}
			for i, x := range r.Spectrum.NM {
				if !set(to, nm, x, y[i]) {
					return nil
				}
			}
			return put(slices.Concat(a.cells, cellOf(r), howOf(r), ownOf(r, a), values))
		})
	}}
}

// rowsBetween hands on the readings after one and up to another, with their
// wines.
func (e *exporter) rowsBetween(ctx context.Context, after, last string, f func(record.Reading, about) error) error {
	if last == after {
		return nil
	}
	return each(ctx, e.store.Readings, readingID, after, func(r record.Reading) (bool, error) {
		a, err := e.wineOf(ctx, r.WineID)
		if err == nil {
			err = f(r, a)
		}
		return r.ID != last, err
	})
}

// set puts a value in the column of its wavelength. It is false where there is
// none: then the reading was recorded after the survey and is left out, as those
// after the last one are.
func set(values []any, columns []float64, nm, value float64) bool {
	i, there := slices.BinarySearch(columns, nm)
	if there {
		values[i] = value
	}
	return there
}

func waveHeader(before string, nm []float64) []string {
	header := make([]string, len(nm))
	for i, x := range nm {
		header[i] = before + strconv.FormatFloat(x, 'f', -1, 64)
	}
	return header
}

func cellOf(r record.Reading) []any {
	pathMM, dilution := r.Cell()
	cells := []any{pathMM, dilution, word(r.Diluent), nil}
	switch {
	case r.Readings != nil:
		cells[3] = given(r.Readings.UAbsorbance)
	case r.Spectrum != nil:
		cells[3] = given(r.Spectrum.UAbsorbance)
	default:
		cells[1] = nil // a colour has no dilution
	}
	return cells
}

func labOf(r record.Reading) []any {
	if r.CIELAB == nil {
		return make([]any, len(labHeader))
	}
	c := r.CIELAB
	return []any{c.L, c.A, c.B, word(c.Illuminant), word(c.Observer)}
}

func howOf(r record.Reading) []any {
	return []any{
		at(r.TakenAt), word(r.Instrument), word(r.Analyst), word(r.Blank), given(r.TemperatureC), given(r.MinutesSinceBlending), given(r.Replicate),
	}
}

func ownOf(r record.Reading, a about) []any {
	status := "counts"
	switch {
	case r.ArchivedAt != nil:
		status = "archived"
	case r.SupersededBy != "":
		status = "superseded"
	case a.archived != nil:
		status = "wine archived"
	}
	var row any
	if r.ImportRow > 0 {
		row = r.ImportRow
	}
	return []any{
		status, r.ID, r.WineID, word(r.Supersedes), word(r.Reason), word(r.SupersededBy), r.RecordedAt.String(), word(r.ImportID), row,
		at(r.ArchivedAt), word(r.ArchiveReason), at(a.archived),
	}
}

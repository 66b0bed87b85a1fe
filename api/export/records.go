package export

import (
	"context"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// The headers of the tables that hold a record in each row.
var (
	winesHeader = []string{
		"wine_id", "name", "kind", "lot", "vintage", "varieties", "stock_l", "notes", "status", "version", "created_at", "updated_at", "archived_at",
		"archive_reason",
	}
	targetsHeader = []string{
		"target_id", "name", "L", "a", "b", "intensity", "tint", "wine", "tolerance_delta_e_00", "illuminant", "observer", "path_mm", "notes",
		"status", "version", "created_at", "updated_at", "archived_at",
	}
	importsHeader = []string{
		"import_id", "file_name", "sha256", "bytes", "format", "layout", "accepted", "duplicates", "rejected", "new_wines", "all_or_nothing",
		"columns", "warnings", "imported_at", "corrections", "undone_at", "undo_reason",
	}
)

func (e *exporter) wineTable() table {
	return table{name: string(Wines), header: winesHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Wines, func(w record.Wine) string { return w.ID }, "", func(w record.Wine) (bool, error) {
			return true, put([]any{
				w.ID, w.Name, word(w.Kind), word(w.Lot), given(w.Vintage), word(varieties(w.Varieties)), given(w.StockL), word(w.Notes),
				statusOf(w.ArchivedAt), w.Version, w.CreatedAt.String(), w.UpdatedAt.String(), at(w.ArchivedAt), word(w.ArchiveReason),
			})
		})
	}}
}

// varieties are written as an import reads them: Grenache 60 %, Cinsault 40 %.
func varieties(list []record.Variety) string {
	names := make([]string, len(list))
	for i, v := range list {
		names[i] = v.Name
		if v.SharePercent != nil {
			names[i] += " " + strconv.FormatFloat(*v.SharePercent, 'f', -1, 64) + " %"
		}
	}
	return strings.Join(names, ", ")
}

func statusOf(archived *record.Instant) string {
	if archived != nil {
		return "archived"
	}
	return "in use"
}

func (e *exporter) targetTable() table {
	return table{name: string(Targets), header: targetsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Targets, func(t record.Target) string { return t.ID }, "", func(t record.Target) (bool, error) {
			cells, err := targetCells(t)
			if err != nil {
				return false, err
			}
			return true, put(cells)
		})
	}}
}

func targetCells(t record.Target) ([]any, error) {
	colour := make([]any, 7)
	if in := t.Target; in != nil {
		if in.CIELAB != nil {
			colour[0], colour[1], colour[2] = in.CIELAB.L, in.CIELAB.A, in.CIELAB.B
		}
		colour[3], colour[4] = given(in.Intensity), given(in.Tint)
		if in.Wine != nil {
			text, err := jsonText(in.Wine)
			if err != nil {
				return nil, err
			}
			colour[5] = text
		}
		if in.Tolerance != nil {
			colour[6] = in.Tolerance.DeltaE00
		}
	}
	view := calc.View{}
	if t.View != nil {
		view = *t.View
	}
	cells := append([]any{t.ID, t.Name}, colour...)
	return append(cells, word(view.Illuminant), word(view.Observer), given(view.PathMM), word(t.Notes),
		statusOf(t.ArchivedAt), t.Version, t.CreatedAt.String(), t.UpdatedAt.String(), at(t.ArchivedAt)), nil
}

// importTable holds the imports without their rows: what was taken is in the
// readings, and what was not can be had as a file of its own.
func (e *exporter) importTable() table {
	return table{name: string(Imports), header: importsHeader, rows: func(ctx context.Context, put func([]any) error) error {
		return each(ctx, e.store.Imports, func(i record.Import) string { return i.ID }, "", func(i record.Import) (bool, error) {
			columns, err := jsonText(i.Columns)
			if err != nil {
				return false, err
			}
			warnings := make([]string, len(i.Warnings))
			for n, w := range i.Warnings {
				warnings[n] = w.Message
			}
			var corrections string
			if len(i.Corrections) > 0 {
				if corrections, err = jsonText(i.Corrections); err != nil {
					return false, err
				}
			}
			var undoneAt *record.Instant
			var reason string
			if u := i.Undone; u != nil {
				undoneAt, reason = &u.UndoneAt, u.Reason
			}
			return true, put([]any{
				i.ID, i.FileName, i.SHA256, i.Bytes, i.Format, i.Layout, i.Accepted, i.Duplicates, i.Rejected, i.NewWines, yesNo(i.AllOrNothing),
				columns, word(strings.Join(warnings, "\n")), i.ImportedAt.String(), word(corrections), at(undoneAt), word(reason),
			})
		})
	}}
}

func jsonText(v any) (string, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return "", fmt.Errorf("export: %w", err)
	}
	return string(text), nil
}

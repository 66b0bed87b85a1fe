package intake

import (
	"cmp"
	"context"
	"errors"
	"iter"
	"slices"

	"pourpath/api/calc"
	"pourpath/api/labfile"
	"pourpath/api/record"
	"pourpath/api/store"
)

// How many readings a preview shows: those with a problem, and others.
const (
	MostProblems = 100
	MostOthers   = 200
)

// Preview is what would become of a file.
type Preview struct {
	// Seen is told also of a file that cannot be read.
	labfile.Seen
	// Mapping is the one that was given or remembered; nil for none.
	Mapping map[string]string
	// Import is what the dry run answered, but for its rows.
	Import record.Import
	// Rows are the first readings with a problem and the first without, in the order
	// of the file, and NotShown is how many more it holds.
	Rows     []PreviewRow
	NotShown int
}

// PreviewRow is a reading of a file as it is understood, and what would become of
// it.
type PreviewRow struct {
	record.ImportRow
	Entry record.Entry
	// Cells are where the faults of its problem stand, one for each.
	Cells []Cell
}

// Cell is a cell of a table: its row, and its column by the name that a correction
// takes and by its place from 0. Of a fault that is no cell's Column is "", and Row
// is 0 where it is no row's either.
type Cell struct {
	Row    int
	Column string
	Index  int
}

// Look makes the preview of a file and changes nothing. The errors are those of
// Take; beside a *calc.Problem it tells what was seen of the file.
func Look(ctx context.Context, s *store.Store, name string, content Content, o Options) (p Preview, err error) {
	sum, size, err := measure(content)
	if err != nil {
		return p, err
	}
	file, mapping, err := open(ctx, s, content, size, name, o)
	if err != nil {
		if calc.AsProblem(err) != nil {
			p.Mapping = o.Mapping
			p.Seen, _ = labfile.Look(content, size, name, o.reading(o.Mapping)) // the error that it gives is err
		}
		return p, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	p.Seen, p.Mapping = file.Seen(), mapping
	watch := watching{file: file, pending: map[int]record.Entry{}, preview: &p}
	o.DryRun, o.AllOrNothing, o.Tell = true, false, watch.tell
	stored := labFile(file, sum, size, content, mapping, o)
	stored.Entries = watch.through(stored.Entries)
	p.Import, err = s.Import(ctx, stored, o.ImportOptions)
	p.Import.Rows = nil
	slices.SortStableFunc(p.Rows, func(a, b PreviewRow) int { return cmp.Compare(a.Row, b.Row) })
	return p, err
}

// watching puts entries and what becomes of them together. Few are pending: what
// becomes of one is told soon.
type watching struct {
	file             *labfile.File
	pending          map[int]record.Entry
	preview          *Preview
	problems, others int
}

func (w *watching) through(entries iter.Seq2[record.Entry, error]) iter.Seq2[record.Entry, error] {
	return func(yield func(record.Entry, error) bool) {
		for e, err := range entries {
			if err == nil {
				w.pending[e.Row] = e
			}
			if !yield(e, err) {
				return
			}
		}
	}
}

func (w *watching) tell(told record.ImportRow) {
	e := w.pending[told.Row]
	delete(w.pending, told.Row)
	count, most := &w.others, MostOthers
	if told.Status == record.Rejected {
		count, most = &w.problems, MostProblems
	}
	if *count == most {
		w.preview.NotShown++
		return
	}
	*count++
	row := PreviewRow{ImportRow: told, Entry: e}
	if told.Problem != nil {
		for _, f := range told.Problem.Errors {
			row.Cells = append(row.Cells, w.cellOf(f, e))
		}
	}
	w.preview.Rows = append(w.preview.Rows, row)
}

// cellOf finds where a fault stands. One of the whole row that repeats the wine's
// name is mended there.
func (w *watching) cellOf(f calc.Fault, e record.Entry) Cell {
	row, column, index := w.file.CellAt(f.Location)
	if column == "" && row > 0 && e.Wine.Name != "" && f.Value == e.Wine.Name {
		for i, c := range w.preview.Columns {
			if c.Field == "name" {
				return Cell{Row: row, Column: c.Key, Index: i}
			}
		}
	}
	return Cell{Row: row, Column: column, Index: index}
}

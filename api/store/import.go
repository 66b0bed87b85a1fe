package store

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"

	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// LabFile is a laboratory's file that is read entry by entry.
type LabFile struct {
	// Name is the file's, without folders; SHA256 and Bytes are of its content.
	Name, SHA256 string
	Bytes        int64
	// Content is read once from its beginning, to keep the file.
	Content io.Reader
	// Format and Layout say what the file was read as.
	Format, Layout string
	Header         []string
	Columns        []record.Column
	// Entries are the readings it holds; an error ends them and the import.
	Entries iter.Seq2[record.Entry, error]
	// Warnings are asked for when the entries have ended.
	Warnings func() []calc.Warning
	// Sheet and Mapping were given for this file: another choice may make
	// another file of it. Given says that Mapping was given now and is to be
	// remembered.
	Sheet    string
	Mapping  map[string]string
	NoHeader bool
	Given    bool
	// Corrections are asked for when the entries have ended: what was mended of the
	// file, and which rows were left out. nil stands for none.
	Corrections func() []record.Correction
}

// ImportOptions say how a file is taken.
type ImportOptions struct {
	// DryRun answers what would happen and changes nothing.
	DryRun bool
	// AllOrNothing takes nothing where one entry is rejected.
	AllOrNothing bool
	// Progress, where set, is told how many entries were looked at.
	Progress func(int)
	// Tell, where set, is told what becomes of each entry, not always in the order
	// of the file.
	Tell func(record.ImportRow)
}

// settings are what else decides how a file is read.
type settings struct {
	Sheet       string              `json:"sheet,omitempty"`
	Mapping     map[string]string   `json:"mapping,omitempty"`
	NoHeader    bool                `json:"no_header,omitempty"`
	Corrections []record.Correction `json:"corrections,omitempty"`
}

func (in *importing) settings() settings {
	return settings{Sheet: in.file.Sheet, Mapping: in.file.Mapping, NoHeader: in.file.NoHeader, Corrections: in.result.Corrections}
}

// importsOneByOne is the key of the advisory lock that keeps two imports into
// PostgreSQL from adding the same wine twice. SQLite has one writer anyway.
const importsOneByOne = 0x506f7572

// Import brings the readings of a file into the records, in one transaction. A
// bad entry is kept with the reason and does not block good ones. An entry whose
// content is there already is a duplicate; a file that brings nothing new leaves
// no trace, and the answer is that of the import that it was first kept with.
// With AllOrNothing the error is a *calc.Problem that lists the bad entries.
func (s *Store) Import(ctx context.Context, file LabFile, o ImportOptions) (record.Import, error) {
	in := &importing{store: s, file: file, options: o, wines: newKnownWines(s)}
	in.result = record.Import{
		FileName: file.Name, SHA256: file.SHA256, Bytes: file.Bytes, Format: file.Format, Layout: file.Layout,
		Columns: file.Columns, Header: file.Header, DryRun: o.DryRun, AllOrNothing: o.AllOrNothing, ImportedAt: s.instant(),
	}
	err := s.inTx(ctx, fmt.Sprintf("importing %q", file.Name), in.run)
	if err != nil && !errors.Is(err, errUndone) {
		return record.Import{}, err
	}
	return in.result, nil
}

// errUndone ends a transaction whose work is not to be kept.
var errUndone = errors.New("store: nothing is to be kept")

// importing is one import under way.
type importing struct {
	store   *Store
	file    LabFile
	options ImportOptions
	result  record.Import

	id      string
	tx      bun.Tx
	insert  *inserter
	wines   *knownWines
	checks  map[string][]record.InstrumentCheck // by the instrument's name in the file
	waiting []waiting                           // readings to be inserted
	notes   []*importRow
	looked  int
}

// waiting is a reading on its way into the table.
type waiting struct {
	row  *readingRow
	told record.ImportRow
}

func (in *importing) run(ctx context.Context, tx bun.Tx) error {
	in.tx = tx
	if err := in.wines.prepare(ctx, tx); err != nil {
		return err
	}
	if in.store.postgres {
		if _, err := tx.ExecContext(ctx, fmt.Sprintf("SELECT pg_advisory_xact_lock(%d)", importsOneByOne)); err != nil {
			return err
		}
	}
	if err := in.begin(ctx); err != nil {
		return err
	}
	for entry, err := range in.file.Entries {
		if err != nil {
			return err
		}
		if err := in.take(ctx, entry); err != nil {
			return err
		}
		if in.looked++; in.looked%manyRows == 0 && in.options.Progress != nil {
			in.options.Progress(in.looked)
		}
	}
	if err := in.flush(ctx); err != nil {
		return err
	}
	return in.end(ctx)
}

// mostInstruments is how many instruments' checks are in memory at a time.
const mostInstruments = 100

// ofInstrument are the warnings that follow from the checks of the instrument that
// an entry was read with.
func (in *importing) ofInstrument(ctx context.Context, r record.Reading) ([]calc.Warning, error) {
	checks, known := in.checks[r.Instrument]
	if !known {
		var err error
		if checks, err = checksOf(ctx, in.tx, r.Instrument); err != nil {
			return nil, err
		}
		if len(in.checks) >= mostInstruments || in.checks == nil {
			in.checks = map[string][]record.InstrumentCheck{}
		}
		in.checks[r.Instrument] = checks
	}
	if len(checks) == 0 {
		return nil, nil
	}
	before, after := record.ChecksAround(checks, r.At())
	return append(record.InstrumentWarnings(before, r.At()), record.LaterWarnings(before, after, r.At())...), nil
}

// begin writes what the readings will refer to.
func (in *importing) begin(ctx context.Context) (err error) {
	in.id = newID()
	if err := keepFile(ctx, in.tx, in.file.SHA256, in.file.Bytes, in.file.Content); err != nil {
		return err
	}
	row, err := importRowOf(in.id, in.result, in.settings())
	if err != nil {
		return err
	}
	if _, err := in.tx.NewInsert().Model(row).Exec(ctx); err != nil {
		return err
	}
	in.insert, err = in.store.newInserter(ctx, in.tx)
	return err
}

// take looks at one entry.
func (in *importing) take(ctx context.Context, e record.Entry) error {
	told := record.ImportRow{Row: e.Row, Place: e.Place, Name: e.Wine.Name, Warnings: e.Warnings}
	if len(e.Faults) > 0 {
		return in.reject(ctx, told, e.Raw, e.Faults...)
	}
	reading := e.Reading()
	reading.ID, reading.RecordedAt, reading.ImportID, reading.ImportRow = newID(), in.result.ImportedAt, in.id, e.Row
	row, err := readingRowOf(reading)
	if err != nil {
		return err
	}
	row.Fingerprint = fingerprint(in.wines.key(e.Wine.Name), e.Wine.Lot, row)
	wine, err := in.wines.find(ctx, e.Wine, row.Fingerprint)
	switch {
	case err != nil:
		return err
	case wine.fault != "":
		return in.reject(ctx, told, e.Raw, calc.Fault{Location: e.Place, Value: e.Wine.Name, Message: wine.fault})
	case wine.there != "":
		told.Status, told.Reading = record.Duplicate, wine.there
		return in.tell(ctx, told, nil)
	}
	if wine.made {
		in.result.NewWines++
	}
	reading.WineID, row.WineID = wine.id, wine.id
	told.Wine, told.NewWine = wine.id, wine.added
	told.Warnings = append(told.Warnings, in.wines.suspicions(wine, e.Wine.Kind, reading)...)
	ofInstrument, err := in.ofInstrument(ctx, reading)
	if err != nil {
		return err
	}
	told.Warnings = append(told.Warnings, ofInstrument...)
	in.waiting = append(in.waiting, waiting{row: row, told: told})
	if len(in.waiting) == manyRows {
		return in.flush(ctx)
	}
	return nil
}

func (in *importing) reject(ctx context.Context, told record.ImportRow, raw []string, why ...calc.Fault) error {
	told.Status, told.Problem, told.Raw, told.Warnings = record.Rejected, calc.Refuse(why...), raw, nil
	told.Problem.Title = "This row was not taken"
	return in.tell(ctx, told, raw)
}

// flush inserts what waits and tells what became of it.
func (in *importing) flush(ctx context.Context) error {
	if len(in.waiting) > 0 {
		rows := make([]*readingRow, len(in.waiting))
		for i, w := range in.waiting {
			rows[i] = w.row
		}
		added, err := in.insert.add(ctx, rows)
		if err != nil {
			return err
		}
		for _, w := range in.waiting {
			w.told.Status, w.told.Reading = record.Accepted, w.row.ID
			if !added[w.row.ID] {
				w.told.Status, w.told.Warnings = record.Duplicate, nil
				if w.told.Reading, err = in.store.withContent(ctx, in.tx, w.row.Fingerprint); err != nil {
					return err
				}
			}
			if err := in.tell(ctx, w.told, nil); err != nil {
				return err
			}
		}
		in.waiting = in.waiting[:0]
	}
	return in.flushNotes(ctx)
}

// tell counts an entry, and keeps a note of what was not simply taken.
func (in *importing) tell(ctx context.Context, told record.ImportRow, raw []string) error {
	switch told.Status {
	case record.Accepted:
		in.result.Accepted++
	case record.Duplicate:
		in.result.Duplicates++
	case record.Rejected:
		in.result.Rejected++
	}
	if in.options.Tell != nil {
		in.options.Tell(told)
	}
	if len(in.result.Rows) < rowsTold+manyRows {
		in.result.Rows = append(in.result.Rows, told)
	}
	if told.Status == record.Accepted && len(told.Warnings) == 0 {
		return nil
	}
	note, err := noteOf(in.id, told, raw)
	if err != nil {
		return err
	}
	in.notes = append(in.notes, note)
	if len(in.notes) >= manyRows && len(in.waiting) == 0 {
		return in.flushNotes(ctx)
	}
	return nil
}

// flushNotes writes notes after the readings that they refer to.
func (in *importing) flushNotes(ctx context.Context) error {
	if len(in.notes) == 0 {
		return nil
	}
	_, err := in.tx.NewInsert().Model(&in.notes).Exec(ctx)
	in.notes = in.notes[:0]
	return err
}

// rowsTold is how many rows an answer holds; the rest are asked for.
const rowsTold = 1000

// end completes the record of the import, or undoes all.
func (in *importing) end(ctx context.Context) error {
	r := &in.result
	r.Warnings = append([]calc.Warning{}, in.file.Warnings()...)
	if in.file.Corrections != nil {
		r.Corrections = in.file.Corrections()
	}
	slices.SortStableFunc(r.Rows, func(a, b record.ImportRow) int { return cmp.Compare(a.Row, b.Row) })
	if len(r.Rows) > rowsTold {
		r.Rows = r.Rows[:rowsTold]
		r.Next = fmt.Sprint(r.Rows[rowsTold-1].Row)
	}
	if in.options.AllOrNothing && r.Rejected > 0 {
		return in.refuseAll()
	}
	if in.options.DryRun {
		r.Next = ""
		return errUndone
	}
	r.ID = in.id
	row, err := importRowOf(in.id, *r, in.settings())
	if err != nil {
		return err
	}
	if r.Accepted == 0 {
		if first, err := in.sameBefore(ctx, row); err != nil {
			return err
		} else if first != "" {
			r.ID = first
			return errUndone
		}
	}
	if in.file.Given {
		if err := in.store.rememberMapping(ctx, in.tx, in.file.Header, in.file.Mapping); err != nil {
			return err
		}
	}
	_, err = in.tx.NewUpdate().Model(row).WherePK().Exec(ctx)
	return err
}

// sameBefore is the first import of the same file, read in the same way, that was
// not undone; "" for none.
func (in *importing) sameBefore(ctx context.Context, row *fileImportRow) (id string, err error) {
	var ids []string
	err = in.tx.NewSelect().Model((*fileImportRow)(nil)).Column("id").
		Where("sha256 = ? AND settings = ? AND id <> ?", row.SHA256, row.Settings, row.ID).
		Where("NOT EXISTS (SELECT 1 FROM import_undo AS u WHERE u.import_id = f.id)").Order("id").Limit(1).Scan(ctx, &ids)
	if err != nil || len(ids) == 0 {
		return "", err
	}
	return ids[0], nil
}

// refuseAll lists the rejected rows as faults of the whole file.
func (in *importing) refuseAll() error {
	var list []calc.Fault
	for _, row := range in.result.Rows {
		if row.Problem != nil {
			list = append(list, row.Problem.Errors...)
		}
	}
	p := calc.Refuse(list...)
	p.Detail = fmt.Sprintf("%d of %d readings cannot be taken, so none was, as all or nothing was asked for; %s",
		in.result.Rejected, in.looked, p.Detail)
	return p
}

// withContent is the reading that has the content already.
func (s *Store) withContent(ctx context.Context, db bun.IDB, print []byte) (id string, err error) {
	var ids []string
	err = db.NewSelect().Model((*readingRow)(nil)).Column("id").Where("fingerprint = ?", print).Limit(1).Scan(ctx, &ids)
	if err != nil || len(ids) == 0 {
		return "", err
	}
	return ids[0], nil
}

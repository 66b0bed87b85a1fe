package pages

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/intake"
	"pourpath/api/labfile"
	"pourpath/api/record"
)

// previewSlots are the columns of a preview between the wine and what becomes of
// the row, in their order.
var previewSlots = []string{"a420", "a520", "a620", "reading", "path", "dilution", "taken", "other"}

// previewRows are the readings of a file, each with what would become of it.
type previewRows struct {
	Slots    []string // the columns that hold something
	Rows     []previewRow
	NotShown int
	Problems []problemLink // the rows with a problem
	Mended   int           // cells that are mended
	Out      []rowOut      // rows that are left out
	Beside   []fix         // mended cells of readings that are not shown
}

type problemLink struct{ Place, ID string }

// rowOut is a row that is left out on purpose, with what it holds.
type rowOut struct {
	Row  int
	Held string
}

// previewRow is one reading.
type previewRow struct {
	ID, Place, Name, Lot string
	Status               record.Status
	New                  bool
	Wine                 previewCell
	Cells                []previewCell // one for each slot
	Said                 []string      // faults of the whole row
	Warnings             []calc.Warning
	MayLeave             bool // the row can be left out
	AsWritten            bool // its cells are shown as the file has them, not as they were read
	Row                  int
}

// previewCell is a cell of the preview.
type previewCell struct {
	Slot    string
	Text    said // nil where it holds nothing
	Scan    *scanSeen
	Lab     *labSeen
	Extra   int  // wavelengths beside 420, 520 and 620 nm
	Assumed bool // the file does not say it
	Fixes   []fix
}

// scanSeen is a scan: how many points, from which wavelength to which, in nm.
type scanSeen struct {
	Points   int
	From, To digits
}

type labSeen struct{ L, A, B digits }

// Held says that something stands in the cell.
func (c previewCell) Held() bool {
	return c.Text != nil || c.Scan != nil || c.Lab != nil || c.Extra > 0 || len(c.Fixes) > 0
}

// fix is a cell of the file that can be typed in: it has a problem, or had one.
type fix struct {
	ID, Name, Was  string // field, its name, and what the file holds
	Row            int    // of the cell, where it is another than the reading's
	Header, Letter string // of its column
	Value          string
	Said           []string
	Mended         bool
}

// previewing puts the rows together.
type previewing struct {
	p        intake.Preview
	list     []record.Correction          // of cells
	given    map[string]record.Correction // the same by cellField
	from     map[string]string            // what the file holds, likewise
	attached map[string]bool
	out      previewRows
}

func previewRowsOf(p intake.Preview, given []record.Correction) previewRows {
	b := previewing{p: p, given: map[string]record.Correction{}, from: map[string]string{}, attached: map[string]bool{}, out: previewRows{NotShown: p.NotShown}}
	for _, c := range p.Import.Corrections {
		switch {
		case c.LeaveOut && c.From != nil:
			b.out.Out = append(b.out.Out, rowOut{Row: c.Row, Held: *c.From})
		case c.From != nil:
			b.from[cellField(c.Row, c.Column)] = *c.From
			b.out.Mended++
		}
	}
	for _, c := range given {
		if !c.LeaveOut {
			b.list = append(b.list, c)
			b.given[cellField(c.Row, c.Column)] = c
		}
	}
	used := map[string]bool{}
	for _, r := range p.Rows {
		row := b.row(r)
		for _, c := range row.Cells {
			used[c.Slot] = used[c.Slot] || c.Held()
		}
		b.out.Rows = append(b.out.Rows, row)
		if r.Status == record.Rejected {
			b.out.Problems = append(b.out.Problems, problemLink{Place: r.Place, ID: row.ID})
		}
	}
	b.out.Slots = slices.DeleteFunc(slices.Clone(previewSlots), func(s string) bool { return !used[s] })
	for i := range b.out.Rows {
		b.out.Rows[i].Cells = slices.DeleteFunc(b.out.Rows[i].Cells, func(c previewCell) bool { return !used[c.Slot] })
	}
	for _, c := range b.list {
		if !b.attached[cellField(c.Row, c.Column)] {
			b.out.Beside = append(b.out.Beside, b.fix(intake.Cell{Row: c.Row, Column: c.Column, Index: b.index(c.Column)}, 0, ""))
		}
	}
	return b.out
}

func (b *previewing) index(key string) int {
	for i, c := range b.p.Columns {
		if c.Key == key {
			return i
		}
	}
	return -1
}

func (b *previewing) row(r intake.PreviewRow) previewRow {
	row := previewRow{
		ID: "row-" + strconv.Itoa(r.Row), Row: r.Row, Place: r.Place, Name: r.Name, Lot: r.Entry.Wine.Lot, Status: r.Status, New: r.NewWine, Warnings: r.Warnings,
		Wine: previewCell{Slot: "wine"}, MayLeave: r.Entry.Raw != nil,
	}
	row.Cells = make([]previewCell, len(previewSlots))
	for i, slot := range previewSlots {
		row.Cells[i] = previewCell{Slot: slot}
	}
	if r.Status == record.Rejected {
		b.asWritten(&row, r.Entry.Raw)
	} else {
		b.asUnderstood(&row, r.Entry)
	}
	b.faults(&row, r)
	// What was mended before can be mended again.
	for _, c := range b.list {
		if c.Row == r.Row && !b.attached[cellField(c.Row, c.Column)] && r.Entry.Raw != nil {
			cell := intake.Cell{Row: c.Row, Column: c.Column, Index: b.index(c.Column)}
			b.at(&row, cell).Fixes = append(b.at(&row, cell).Fixes, b.fix(cell, r.Row, ""))
		}
	}
	return row
}

// faults puts each fault into its cell, and the others beside the row.
func (b *previewing) faults(row *previewRow, r intake.PreviewRow) {
	if r.Problem == nil {
		return
	}
	for i, f := range r.Problem.Errors {
		if i >= len(r.Cells) || !b.inCell(row, r, r.Cells[i], f) {
			place := strings.TrimPrefix(strings.TrimPrefix(f.Location, r.Place), ", ")
			if place != "" {
				place += ": "
			}
			row.Said = append(row.Said, place+f.Message)
		}
	}
}

// inCell puts a fault into its cell; false for one that has none, or whose cell is
// shown with another reading: a wavelength is of all scans.
func (b *previewing) inCell(row *previewRow, r intake.PreviewRow, c intake.Cell, f calc.Fault) bool {
	if c.Column == "" {
		return false
	}
	at, name := b.at(row, c), cellField(c.Row, c.Column)
	if k := slices.IndexFunc(at.Fixes, func(x fix) bool { return x.Name == name }); k >= 0 {
		at.Fixes[k].Said = append(at.Fixes[k].Said, f.Message)
		return true
	}
	if b.attached[name] {
		return false
	}
	x := b.fix(c, r.Row, textOf(f.Value))
	if raw := r.Entry.Raw; c.Row == r.Row && raw != nil && c.Index < len(raw) && !x.Mended {
		x.Value, x.Was = raw[c.Index], raw[c.Index]
	}
	x.Said = []string{f.Message}
	at.Fixes = append(at.Fixes, x)
	return true
}

// textOf is what stood in a cell, of a fault.
func textOf(value any) string {
	if text, ok := value.(string); ok {
		return text
	}
	return ""
}

// fix makes the field of a cell; held is what the file holds where nothing was
// mended there.
func (b *previewing) fix(c intake.Cell, row int, held string) fix {
	name := cellField(c.Row, c.Column)
	b.attached[name] = true
	x := fix{ID: fmt.Sprintf("cell-%d-%d", c.Row, c.Index), Name: name, Was: held, Value: held, Header: c.Column}
	if c.Index >= 0 {
		x.Header, x.Letter = strings.Join(strings.Fields(b.p.Columns[c.Index].Header), " "), b.p.Columns[c.Index].Letter
	}
	if c.Row != row {
		x.Row = c.Row
	}
	if given, ok := b.given[name]; ok {
		x.Value = *given.To
		if from, changed := b.from[name]; changed {
			x.Was, x.Mended = from, true
		}
	}
	return x
}

// at is the cell of the preview that a cell of the file is shown in.
func (b *previewing) at(row *previewRow, c intake.Cell) *previewCell {
	slot := "other"
	if c.Index >= 0 && c.Index < len(b.p.Columns) {
		slot = slotOf(b.p.Columns[c.Index].Field)
	}
	if slot == "wine" {
		return &row.Wine
	}
	return &row.Cells[slices.Index(previewSlots, slot)]
}

// asWritten shows the cells of a row that is not taken as the file has them.
func (b *previewing) asWritten(row *previewRow, raw []string) {
	if raw == nil {
		return
	}
	for i := range row.Cells {
		if row.Cells[i].Slot == "reading" || row.Cells[i].Slot == "other" {
			continue
		}
		k := slices.IndexFunc(b.p.Columns[:min(len(b.p.Columns), len(raw))], func(c labfile.SeenColumn) bool { return c.Field != "" && slotOf(c.Field) == row.Cells[i].Slot })
		if k < 0 {
			continue
		}
		if text := strings.TrimSpace(raw[k]); text != "" {
			row.Cells[i].Text, row.AsWritten = text, true
		}
	}
}

// asUnderstood shows a reading.
func (b *previewing) asUnderstood(row *previewRow, e record.Entry) {
	at := func(slot string) *previewCell { return &row.Cells[slices.Index(previewSlots, slot)] }
	set := func(slot string, text said, assumed bool) { at(slot).Text, at(slot).Assumed = text, assumed }
	path, dilution := e.Cell()
	switch {
	case e.Readings != nil:
		r := e.Readings
		set("a420", plain(r.A420), false)
		set("a520", plain(r.A520), false)
		set("a620", plain(r.A620), false)
		at("reading").Extra = len(r.Extra)
		set("path", plain(path), r.PathMM == nil)
		if r.Dilution != nil {
			set("dilution", plain(dilution), false)
		}
	case e.Spectrum != nil:
		nm := e.Spectrum.NM
		at("reading").Scan = &scanSeen{len(nm), plain(nm[0]), plain(nm[len(nm)-1])}
		set("path", plain(path), e.Spectrum.PathMM == nil)
		if e.Spectrum.Dilution != nil {
			set("dilution", plain(dilution), false)
		}
	case e.CIELAB != nil:
		at("reading").Lab = &labSeen{plain(e.CIELAB.L.Value), plain(e.CIELAB.A.Value), plain(e.CIELAB.B.Value)}
		set("path", plain(path), false)
	}
	if e.TakenAt != nil {
		set("taken", momentOf(*e.TakenAt), false)
	}
}

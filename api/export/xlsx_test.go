package export

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"pourpath/api/celltext"
	"pourpath/api/record"
	"pourpath/api/store"
)

func bookOf(t *testing.T, s *store.Store, what ...What) *excelize.File {
	t.Helper()
	var b bytes.Buffer
	if err := XLSX(context.Background(), s, &b, what...); err != nil {
		t.Fatal(err)
	}
	return read(t, &b)
}

func read(t *testing.T, b *bytes.Buffer) *excelize.File {
	t.Helper()
	book, err := excelize.OpenReader(b)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	return book
}

// TestXLSXIsTheCSV: each sheet holds, cell by cell, what the CSV file of its
// table does, but for apostrophes, and numbers to 15 digits.
func TestXLSXIsTheCSV(t *testing.T) {
	s := open(t)
	fillAll(t, s)
	book := bookOf(t, s)
	if got, want := book.GetSheetList(), []string{"readings", "spectra", "wines", "targets", "trials", "panels", "specs", "lots", "verdicts", "decisions", "statements", "instrument_checks", "imports"}; !slices.Equal(got, want) {
		t.Errorf("sheets %q, want %q", got, want)
	}
	for _, what := range All() {
		want, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(csvOf(t, s, what), byteOrderMark))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		got, err := book.GetRows(string(what), excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != len(want) {
			t.Fatalf("%s: %d rows, want %d", what, len(got), len(want))
		}
		for i := range want {
			for k, cell := range want[i] {
				have := ""
				if k < len(got[i]) {
					have = got[i][k]
				}
				column := want[0][k]
				if column == "L" || column == "a" || column == "b" {
					continue // their digits are the cell's format
				}
				want := celltext.Bare(cell)
				if x, err := strconv.ParseFloat(want, 64); err == nil && x != 7 { // 007 is a lot
					want = strconv.FormatFloat(shown(x), 'f', -1, 64)
				}
				if have != want {
					t.Errorf("%s, row %d, %s: %q, want %q", what, i+1, column, have, want)
				}
			}
		}
	}
}

// TestXLSXCells: text that looks like a formula is text, numbers are numbers,
// and L* shows the digits that it was given with.
func TestXLSXCells(t *testing.T) {
	s := open(t)
	fillAll(t, s)
	book := bookOf(t, s, Readings)
	rows, err := book.GetRows("readings")
	if err != nil {
		t.Fatal(err)
	}
	column := func(name string) int { return slices.Index(rows[0], name) }
	found := map[string]bool{}
	for i, r := range rows[1:] {
		cell := func(name string) (value, formula string, kind excelize.CellType) {
			place, err := excelize.CoordinatesToCellName(column(name)+1, i+2)
			if err != nil {
				t.Fatal(err)
			}
			kind, _ = book.GetCellType("readings", place)
			formula, _ = book.GetCellFormula("readings", place)
			value, _ = book.GetCellValue("readings", place)
			return value, formula, kind
		}
		switch name := r[column("name")]; {
		case strings.HasPrefix(name, "=HYPERLINK"):
			found["formula"] = true
			if value, formula, kind := cell("name"); value != name || formula != "" || kind != excelize.CellTypeInlineString {
				t.Errorf("the name %q has the formula %q and type %v", value, formula, kind)
			}
			if value, formula, kind := cell("lot"); value != "-3" || formula != "" || kind != excelize.CellTypeInlineString {
				t.Errorf("the lot %q has the formula %q and type %v", value, formula, kind)
			}
			if _, _, kind := cell("a520"); kind == excelize.CellTypeInlineString || kind == excelize.CellTypeSharedString {
				t.Errorf("a520 has the type %v", kind)
			}
		case strings.HasPrefix(name, "Rosé"):
			found["colour"] = true
			for name, want := range map[string]string{"L": "71.20", "a": "25.0"} {
				if value, _, kind := cell(name); value != want || kind == excelize.CellTypeInlineString {
					t.Errorf("%s = %q of type %v, want the number %s", name, value, kind, want)
				}
			}
		}
	}
	if len(found) != 2 {
		t.Errorf("only %v was looked at", found)
	}
}

// TestLongTable: a table goes on in another sheet, with its header.
func TestLongTable(t *testing.T) {
	b := &workbook{file: excelize.NewFile(), sheets: map[string]int{}, styles: map[int]int{}, mostRows: 4, mostBytes: mostSheetBytes}
	rows := func(_ context.Context, put func([]any) error) error {
		for i := range 8 {
			if err := put([]any{i}); err != nil {
				return err
			}
		}
		return nil
	}
	var out bytes.Buffer
	for _, err := range []error{b.add(t.Context(), table{"readings", []string{"n"}, rows}), b.write(&out), b.file.Close()} {
		if err != nil {
			t.Fatal(err)
		}
	}
	book := read(t, &out)
	var got []string
	for _, name := range book.GetSheetList() {
		rows, err := book.GetRows(name)
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, fmt.Sprint(name, rows))
	}
	if want := []string{"readings[[n] [0] [1] [2]]", "readings 2[[n] [3] [4] [5]]", "readings 3[[n] [6] [7]]"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestWideTable: scans at more wavelengths than a table may have make several,
// and none is lost.
func TestWideTable(t *testing.T) {
	s := open(t)
	fill(t, s) // two scans at 61 wavelengths
	for i, step := range []float64{10, 3, 3, 4} {
		r := record.Reading{Measurement: record.Measurement{Spectrum: scanOf(step, 0.5+float64(i), false)}}
		if _, _, err := s.CreateWine(context.Background(), record.WineFields{Name: fmt.Sprint("step ", i), Kind: record.Red}, &r); err != nil {
			t.Fatal(err)
		}
	}
	list, err := newExporter(s, 100).spectraTables(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, table := range list {
		var names []string
		if err := table.rows(t.Context(), func(cells []any) error { names = append(names, fmt.Sprint(cells[0])); return nil }); err != nil {
			t.Fatal(err)
		}
		got = append(got, fmt.Sprint(len(table.header)-len(wineHeader)-len(cellHeader)-len(howHeader)-len(ownHeader), names))
	}
	// 61 wavelengths by 5 nm hold those by 10; 101 by 3 nm; 76 by 4 nm.
	if want := []string{"61 [Cask 7 Cask 8 step 0]", "101 [step 1 step 2]", "76 [step 3]"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestLongText: a text that a cell cannot hold is never cut without a word.
func TestLongText(t *testing.T) {
	for _, row := range []struct {
		text string
		fits bool
	}{
		{strings.Repeat("x", excelize.TotalCellChars), true},
		{strings.Repeat("é", excelize.TotalCellChars), true},
		{strings.Repeat("x", excelize.TotalCellChars+1), false},
		{strings.Repeat("🍷", excelize.TotalCellChars/2+1), false}, // two units of UTF-16 each
	} {
		if got := fitting(row.text); (got == row.text) != row.fits || !row.fits && !strings.Contains(got, "CSV") {
			t.Errorf("a text of %d bytes: %.80q", len(row.text), got)
		}
	}
}

// TestShown: the rows that Excel keeps 15 significant digits are from Microsoft's
// "Excel specifications and limits" (number precision: 15 digits), from memory.
func TestShown(t *testing.T) {
	for _, row := range []struct{ x, want float64 }{
		{0, 0},
		{0.142, 0.142},
		{0.1 + 0.2, 0.3},
		{1. / 3, 0.333333333333333},
		{2. / 3, 0.666666666666667},
		{-0.9949999999999999, -0.995},
		{1e-7, 1e-7},
		{1.7976931348623157e308, 1.7976931348623157e308},
	} {
		if got := shown(row.x); got != row.want {
			t.Errorf("shown(%v) = %v, want %v", row.x, got, row.want)
		}
	}
}

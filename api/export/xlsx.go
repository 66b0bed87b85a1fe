package export

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"pourpath/api/calc"
	"pourpath/api/store"
)

const (
	// mostWavesXLSX is how many columns of wavelengths a sheet may have: with
	// the others they stay below the 5000 that an import takes.
	mostWavesXLSX = 4900
	// mostSheetBytes is how long a sheet's text may become before another one is
	// begun: beyond 4 GiB it would need another form of ZIP archive.
	mostSheetBytes = 1 << 30
	// cellBytes is about what a cell takes beside its text.
	cellBytes = 64
)

// XLSX writes a workbook with a sheet for each of the tables, or for all where
// none is named. A table that is too long or too wide for one sheet goes on in
// another, such as "readings 2". Long sheets wait in temporary files, and
// nothing is written to w before all of them are complete. The error is a
// *calc.Problem where there is no such table; others are those of the store, of
// the temporary files and of w.
func XLSX(ctx context.Context, s *store.Store, w io.Writer, what ...What) (err error) {
	if len(what) == 0 {
		what = All()
	}
	b := &workbook{file: excelize.NewFile(), sheets: map[string]int{}, styles: map[int]int{}, mostRows: excelize.TotalRows, mostBytes: mostSheetBytes}
	defer func() { err = errors.Join(err, b.file.Close()) }()
	e := newExporter(s, mostWavesXLSX)
	for _, one := range what {
		list, err := e.tables(ctx, one)
		if err != nil {
			return err
		}
		for _, t := range list {
			if err := b.add(ctx, t); err != nil {
				return err
			}
		}
	}
	return b.write(w)
}

// workbook is a workbook in the making.
type workbook struct {
	file *excelize.File
	// sheets counts those of each table.
	sheets map[string]int
	// styles are the number formats by their decimals, and the header's at -1.
	styles map[int]int

	// The sheet that is being written, with its rows and about its bytes.
	sheet     *excelize.StreamWriter
	rows      int
	bytes     int
	mostRows  int
	mostBytes int
}

// add writes a table.
func (b *workbook) add(ctx context.Context, t table) error {
	if err := b.begin(t); err != nil {
		return err
	}
	var cells []any
	err := t.rows(ctx, func(row []any) error {
		if b.rows >= b.mostRows || b.bytes >= b.mostBytes {
			if err := b.end(); err != nil {
				return err
			}
			if err := b.begin(t); err != nil {
				return err
			}
		}
		cells = cells[:0]
		for _, c := range row {
			cell, err := b.cell(c)
			if err != nil {
				return err
			}
			cells = append(cells, cell)
		}
		return b.put(cells)
	})
	if err != nil {
		return err
	}
	return b.end()
}

// begin starts a sheet with the table's header, which stays in sight.
func (b *workbook) begin(t table) error {
	b.sheets[t.name]++
	name := t.name
	if n := b.sheets[t.name]; n > 1 {
		name = fmt.Sprintf("%s %d", t.name, n)
	}
	var err error
	if len(b.file.GetSheetList()) == 1 && b.sheet == nil { // the sheet that a new workbook has
		err = b.file.SetSheetName(b.file.GetSheetName(0), name)
	} else {
		_, err = b.file.NewSheet(name)
	}
	if err != nil {
		return fmt.Errorf("export: sheet %q: %w", name, err)
	}
	if b.sheet, err = b.file.NewStreamWriter(name); err != nil {
		return fmt.Errorf("export: sheet %q: %w", name, err)
	}
	if err := b.sheet.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return fmt.Errorf("export: sheet %q: %w", name, err)
	}
	bold, err := b.style(-1, &excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	header := make([]any, len(t.header))
	for i, h := range t.header {
		header[i] = excelize.Cell{StyleID: bold, Value: h}
	}
	b.rows, b.bytes = 0, 0
	return b.put(header)
}

func (b *workbook) put(cells []any) error {
	b.rows++
	place, err := excelize.CoordinatesToCellName(1, b.rows)
	if err == nil {
		err = b.sheet.SetRow(place, cells)
	}
	if err != nil {
		return fmt.Errorf("export: row %d: %w", b.rows, err)
	}
	return nil
}

func (b *workbook) end() error {
	if err := b.sheet.Flush(); err != nil {
		return fmt.Errorf("export: sheet %q: %w", b.sheet.Sheet, err)
	}
	return nil
}

// cell is a cell as the library takes it: text stays text, whatever it begins
// with.
func (b *workbook) cell(c any) (any, error) {
	b.bytes += cellBytes
	switch c := c.(type) {
	case calc.Decimal:
		places := decimals(c)
		if places < 0 {
			return shown(c.Value), nil
		}
		format := "0"
		if places > 0 {
			format += "." + strings.Repeat("0", places)
		}
		style, err := b.style(places, &excelize.Style{CustomNumFmt: &format})
		return excelize.Cell{StyleID: style, Value: c.Value}, err
	case string:
		b.bytes += len(c)
		return fitting(c), nil
	case float64:
		return shown(c), nil
	}
	return c, nil
}

// shown is x with the 15 significant digits that spreadsheets show and take. The
// library would cut the others off.
func shown(x float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 15, 64), 64)
	if err != nil { // the rounded number is beyond the largest
		return x
	}
	return rounded
}

// fitting is a text, or, where it is longer than a cell can be, where to find
// it: the library would cut it without a word.
func fitting(text string) string {
	if len(text) <= excelize.TotalCellChars {
		return text
	}
	if n := len(utf16.Encode([]rune(text))); n > excelize.TotalCellChars {
		return fmt.Sprintf("(%d characters, more than a cell can hold: they are in the CSV file of this table)", n)
	}
	return text
}

// style makes a style once.
func (b *workbook) style(key int, s *excelize.Style) (int, error) {
	if id, ok := b.styles[key]; ok {
		return id, nil
	}
	id, err := b.file.NewStyle(s)
	if err != nil {
		return 0, fmt.Errorf("export: style: %w", err)
	}
	b.styles[key] = id
	return id, nil
}

// write packs the workbook right into w: the library would make it in memory.
func (b *workbook) write(w io.Writer) error {
	b.file.SetZipWriter(func(io.Writer) excelize.ZipWriter { return zip.NewWriter(w) })
	if _, err := b.file.WriteToBuffer(); err != nil {
		return fmt.Errorf("export: writing the workbook: %w", err)
	}
	return nil
}

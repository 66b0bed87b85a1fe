package labfile

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"pourpath/api/calc"
)

// sheetRows reads the rows of a sheet.
type sheetRows struct {
	rows   *excelize.Rows
	number int
	survey survey
	merges mergeFiller
}

func openSheet(book *excelize.File, sheet string, s survey) (rowReader, error) {
	var rows *excelize.Rows
	err := guarded(func() (err error) {
		rows, err = book.Rows(sheet)
		return err //nolint:wrapcheck // goes into a Problem
	})
	if err != nil {
		return nil, withSheets(refuse("the sheet %s holds no cells (%v)", quoted(sheet), err), sheet, book.GetSheetList())
	}
	return &sheetRows{rows: rows, survey: s, merges: mergeFiller{todo: s.merges}}, nil
}

// Close implements rowReader.
func (s *sheetRows) Close() error { return wrap("closing the sheet", s.rows.Close()) }

// next implements rowReader.
func (s *sheetRows) next() (row, error) {
	var cells []string
	more := false
	err := guarded(func() (err error) {
		if more = s.rows.Next(); more {
			cells, err = s.rows.Columns()
			return err //nolint:wrapcheck // goes into a Problem
		}
		return s.rows.Error() //nolint:wrapcheck // goes into a Problem
	})
	if err != nil {
		return row{}, refuse("the sheet cannot be read after row %d (%v): open the workbook in a spreadsheet program and save it again", s.number, err)
	}
	if !more {
		if s.number < s.survey.lastRow {
			return row{}, refuse("the sheet is damaged after row %d, though it has %d: open the workbook in a spreadsheet program and save it again", s.number, s.survey.lastRow)
		}
		return row{}, io.EOF
	}
	s.number++
	r := row{number: s.number, cells: s.merges.fill(s.number, cells)}
	if len(r.cells) > MaxColumns {
		if filled(r.cells[MaxColumns:]) > 0 {
			r.fault = fmt.Sprintf("the row has more than %d columns: turn the table round, or leave out columns that hold no readings", MaxColumns)
		}
		r.cells = r.cells[:MaxColumns]
	}
	for i, c := range r.cells {
		if len(c) > MaxCellBytes {
			r.fault = fmt.Sprintf("cell %s%d is longer than %d bytes: shorten it", letters(i), s.number, MaxCellBytes)
		}
		r.cells[i] = plainCell(c)
	}
	return r, nil
}

// plainCell mends what a cell may hold: a date without a time of day, or a time
// of day without a date, is written as such.
func plainCell(c string) string {
	if len(c) == len("2026-11-25T14:30:00") && c[4] == '-' && c[10] == 'T' {
		day, clock, _ := strings.Cut(c, "T")
		switch {
		case strings.HasPrefix(day, "1899-12") || strings.HasPrefix(day, "1900-01-0"):
			return clock
		case clock == "00:00:00":
			return day
		}
	}
	if strings.IndexByte(c, 0) >= 0 || !utf8.ValidString(c) {
		return strings.ReplaceAll(strings.ToValidUTF8(c, "\uFFFD"), "\x00", "\uFFFD")
	}
	return c
}

// withSheets adds to a problem of one sheet which others there are.
func withSheets(err error, sheet string, names []string) error {
	p := calc.AsProblem(err)
	if p == nil || len(names) < 2 {
		return err
	}
	return calc.Refuse(append(p.Errors, calc.Fault{
		Location: "sheet " + sheet, Value: sheet,
		Message: "the workbook has more sheets, and another one may be meant: " + listed(names),
	})...)
}

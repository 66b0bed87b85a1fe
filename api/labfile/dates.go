package labfile

import (
	"strings"

	"github.com/xuri/excelize/v2"
)

const (
	// dateCode is how every date of a workbook is written out.
	dateCode = `yyyy-mm-dd"T"hh:mm:ss`
	// plainFormat is the number of a format that there is not: a cell with it
	// is given as its value stands, to 15 digits, as spreadsheets hold it.
	plainFormat = 60000
)

// showDates changes the formats of a workbook in memory, so that dates are read
// as dates and numbers as they are stored and not as they are shown.
func showDates(book *excelize.File) error {
	if book.Styles == nil || book.Styles.CellXfs == nil {
		return nil
	}
	code := dateCode
	id, err := book.NewStyle(&excelize.Style{CustomNumFmt: &code})
	if err != nil {
		return wrap("styles", err)
	}
	if id >= len(book.Styles.CellXfs.Xf) || book.Styles.CellXfs.Xf[id].NumFmtID == nil {
		return nil
	}
	date, plain := *book.Styles.CellXfs.Xf[id].NumFmtID, plainFormat
	own := map[int]string{}
	if book.Styles.NumFmts != nil {
		for _, n := range book.Styles.NumFmts.NumFmt {
			if n == nil {
				continue
			}
			own[n.NumFmtID] = n.FormatCode
		}
	}
	for i := range book.Styles.CellXfs.Xf {
		format := &book.Styles.CellXfs.Xf[i].NumFmtID
		if *format == nil {
			continue
		}
		if code, ok := own[**format]; ok && isDateCode(code) || !ok && isDateFormat(**format) {
			*format = &date
		} else {
			*format = &plain
		}
	}
	return nil
}

// isDateFormat says whether a built-in number format is one of dates or times
// (ECMA-376, part 1, 18.8.30, with the ones of East Asian languages).
func isDateFormat(id int) bool {
	return id >= 14 && id <= 22 || id >= 27 && id <= 36 || id >= 45 && id <= 47 || id >= 50 && id <= 58
}

// isDateCode says whether a format code is one of dates or times: it has a
// letter for years, months, days, hours or seconds outside quotes and brackets.
func isDateCode(code string) bool {
	code = strings.ToLower(code)
	for i := 0; i < len(code); i++ {
		switch c := code[i]; c {
		case '"':
			n := strings.IndexByte(code[i+1:], '"')
			if n < 0 {
				return false
			}
			i += n + 1
		case '\\', '_', '*':
			i++
		case '[':
			n := strings.IndexByte(code[i:], ']')
			if n < 0 {
				return false
			}
			if inner := strings.Trim(code[i+1:i+n], "hms"); inner == "" && n > 1 {
				return true // elapsed hours, minutes or seconds
			}
			i += n
		case 'y', 'd', 'h', 's', 'm':
			return !strings.HasPrefix(code, "general") && !strings.HasPrefix(code, "standard")
		case ';':
			return false // the first section is the one of positive numbers
		}
	}
	return false
}

package export

import (
	"bufio"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/celltext"
	"pourpath/api/store"
)

const (
	// byteOrderMark is that of UTF-8; see the package for why it is there.
	byteOrderMark = "\uFEFF"
	// csvBuffer is how much is written at a time.
	csvBuffer = 64 << 10
	// mostWavesCSV is how many columns of wavelengths a CSV file may have: with
	// the others they stay below the 16,384 of the widest spreadsheets.
	mostWavesCSV = 16000
)

// CSV writes one table as a CSV file. The error is a *calc.Problem where there
// is no such table, or where scans at too many different wavelengths are in one;
// others are those of the store and of w.
func CSV(ctx context.Context, s *store.Store, what What, w io.Writer) error {
	list, err := newExporter(s, mostWavesCSV).tables(ctx, what)
	if err != nil {
		return err
	}
	if len(list) != 1 {
		return calc.Refuse(calc.Fault{Message: fmt.Sprintf(
			"the scans were read at more than %d different wavelengths, more columns than a spreadsheet takes: export them as a workbook, which has several sheets for them", mostWavesCSV)})
	}
	buffered := bufio.NewWriterSize(w, csvBuffer)
	if err := writeCSV(ctx, list[0], buffered); err != nil {
		return err
	}
	if err := buffered.Flush(); err != nil {
		return fmt.Errorf("export: %w", err)
	}
	return nil
}

func unknown(what What) error {
	return calc.Refuse(calc.Fault{Message: fmt.Sprintf("there is no table of that name: want one of %q", All()), Value: string(what)})
}

func writeCSV(ctx context.Context, t table, w io.Writer) error {
	if _, err := io.WriteString(w, byteOrderMark); err != nil {
		return fmt.Errorf("export: %w", err)
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(t.header); err != nil {
		return fmt.Errorf("export: %w", err)
	}
	texts := make([]string, len(t.header))
	err := t.rows(ctx, func(cells []any) error {
		for i, c := range cells {
			texts[i] = csvCell(c)
		}
		if err := out.Write(texts); err != nil {
			return fmt.Errorf("export: %w", err)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if out.Flush(); out.Error() != nil {
		return fmt.Errorf("export: %w", out.Error())
	}
	return nil
}

// lineEnds makes one of all forms of line end: the CSV writer makes CRLF of line
// feeds and drops carriage returns.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

func csvCell(c any) string {
	switch c := c.(type) {
	case nil:
		return ""
	case string:
		return celltext.Guard(lineEnds.Replace(c))
	case float64:
		return strconv.FormatFloat(c, 'f', -1, 64)
	case int:
		return strconv.Itoa(c)
	case int64:
		return strconv.FormatInt(c, 10)
	case calc.Decimal:
		return digits(c)
	}
	panic(fmt.Sprintf("export: a cell of type %T", c))
}

// digits is a number with the digits that it was given with.
func digits(d calc.Decimal) string {
	if places := decimals(d); places >= 0 {
		return strconv.FormatFloat(d.Value, 'f', places, 64)
	}
	return strconv.FormatFloat(d.Value, 'f', -1, 64)
}

// decimals is how many decimals a number was given with; -1 where that tells
// nothing of how finely it was rounded.
func decimals(d calc.Decimal) int {
	if d.HalfStep() == 0 || d.Decimals < 0 {
		return -1
	}
	return d.Decimals
}

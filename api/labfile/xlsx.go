package labfile

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Limits of a workbook. Its parts are unpacked: sheets and texts that are long
// into temporary files, the rest into memory.
const (
	// MaxWorkbookBytes is the longest XLSX file.
	MaxWorkbookBytes = 64 << 20
	// maxUnpacked is the most that all parts of a workbook may unpack to, and
	// maxPart the most of a part that is held in memory.
	maxUnpacked, maxPart, maxHeld = 1 << 30, 4 << 20, 32 << 20
	maxParts                      = 10_000
)

// openXLSX prepares a workbook.
func (f *File) openXLSX(r io.ReaderAt, size int64, o Options) error {
	if size > MaxWorkbookBytes {
		return refuse("the workbook has %d bytes; at most %d are read: save the sheet as CSV", size, MaxWorkbookBytes)
	}
	zipped, err := zip.NewReader(r, size)
	if err != nil {
		return refuse("the workbook is damaged or cut off (%v): save it again", err)
	}
	if err := checkParts(zipped); err != nil {
		return err
	}
	book, err := f.unpack(r, size)
	if err != nil {
		return err
	}
	f.seen.Sheets = book.GetSheetList()
	sheet, err := pickSheet(book, o.Sheet)
	if err != nil {
		return err
	}
	f.seen.Sheet = sheet
	survey, err := surveySheet(zipped, sheet)
	if err != nil {
		return err
	}
	if err := guarded(func() error { return showDates(book) }); err != nil {
		return refuse("the workbook's styles are damaged (%v): open it in a spreadsheet program and save it again", err)
	}
	f.format = "xlsx"
	open := func() (rowReader, error) { return openSheet(book, sheet, survey) }
	return f.prepareSheet(book, sheet, open, o)
}

// unpack opens a workbook that checkParts let through.
func (f *File) unpack(r io.ReaderAt, size int64) (book *excelize.File, err error) {
	err = guarded(func() (err error) {
		book, err = excelize.OpenReader(io.NewSectionReader(r, 0, size), excelize.Options{UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxPart})
		return err //nolint:wrapcheck // goes into a Problem
	})
	if book != nil {
		f.closers = append(f.closers, book)
	}
	if err == nil {
		return book, nil
	}
	var path *os.PathError
	if errors.As(err, &path) {
		return nil, wrap("unpacking the workbook", err)
	}
	return nil, refuse("the workbook is damaged (%v): open it in a spreadsheet program and save it again", err)
}

// guarded calls the library that reads workbooks, which panics on some damaged
// ones; that is an error of the file and not of the program.
func guarded(call func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("labfile: reading the workbook: %v", r)
		}
	}()
	return call()
}

// prepareSheet finds the header of a sheet.
func (f *File) prepareSheet(book *excelize.File, sheet string, open opener, o Options) error {
	head, err := sheetHead(open)
	if err != nil {
		return err
	}
	p, index := findHeader(head, o)
	if p == nil {
		f.see(head, sheet)
		return withSheets(f.notUnderstood(), sheet, book.GetSheetList())
	}
	if fault := faultAt(head, index); fault != "" {
		return refuse("sheet %s, row %d: %s", sheet, p.at, fault)
	}
	p.sheet = sheet
	p.signs = slices.Repeat([]decimalSign{either}, len(p.header))
	return f.prepare(p, head, index, open)
}

func sheetHead(open opener) ([]row, error) {
	rows, err := open()
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var head []row
	for bytes := 0; len(head) < headRows && bytes < headBytes; {
		r, err := rows.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		head = append(head, r)
		for _, c := range r.cells {
			bytes += len(c) + 1
		}
	}
	return head, nil
}

// pickSheet finds a sheet by its name; "" is the first.
func pickSheet(book *excelize.File, wanted string) (string, error) {
	names := book.GetSheetList()
	if len(names) == 0 {
		return "", refuse("the workbook has no sheet: save it again from a spreadsheet program")
	}
	if wanted == "" {
		return names[0], nil
	}
	for _, name := range names {
		if strings.EqualFold(name, wanted) {
			return name, nil
		}
	}
	return "", refuse("the workbook has no sheet %s; its sheets are %s", quoted(wanted), listed(names))
}

// checkParts refuses an archive that is no workbook or unpacks to too much,
// before anything of it is unpacked. The sizes that an archive states are kept
// to when it is read.
func checkParts(z *zip.Reader) error {
	if len(z.File) > maxParts {
		return refuse("the file is an archive of %d parts, which no workbook of readings has; save the sheet as CSV", len(z.File))
	}
	var all, held uint64
	workbook := false
	for _, part := range z.File {
		name := strings.ToLower(strings.ReplaceAll(part.Name, `\`, "/"))
		switch name {
		case "xl/workbook.xml":
			workbook = true
		case "xl/workbook.bin":
			return refuse("this is a binary workbook (.xlsb): save it as XLSX or CSV")
		case "content.xml":
			return refuse("this is an OpenDocument spreadsheet (.ods): save it as XLSX or CSV")
		}
		if part.Flags&1 != 0 {
			return refuse("the file is an archive with a password: take the password off")
		}
		streamed := strings.HasPrefix(name, "xl/worksheets/sheet") || name == "xl/sharedstrings.xml"
		n := part.UncompressedSize64
		if all += min(n, maxUnpacked+1); all > maxUnpacked {
			return refuse("the workbook unpacks to more than %d bytes, far more than readings need: save the sheet as CSV", maxUnpacked)
		}
		if !streamed || n <= maxPart {
			held += n
		}
		if !streamed && (n > maxPart && strings.HasSuffix(name, ".xml") || held > maxHeld) {
			return refuse("the workbook's part %s unpacks to more than is read: take pictures and formatting out, or save the sheet as CSV", quoted(part.Name))
		}
	}
	if !workbook {
		return refuse("the file is a ZIP archive and no workbook: unpack it first")
	}
	return nil
}

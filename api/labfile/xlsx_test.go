package labfile_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"pourpath/api/calc"
	"pourpath/api/labfile"
	"pourpath/api/record"
)

// book makes a workbook of one sheet.
func book(tb testing.TB, sheet string, rows [][]any, more func(*excelize.File)) []byte {
	tb.Helper()
	f := excelize.NewFile()
	defer closed(tb, f)
	if err := f.SetSheetName("Sheet1", sheet); err != nil {
		tb.Fatal(err)
	}
	for i, r := range rows {
		if err := f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &r); err != nil {
			tb.Fatal(err)
		}
	}
	if more != nil {
		more(f)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

func entries(tb testing.TB, data []byte, name string, o labfile.Options) (*labfile.File, []record.Entry) {
	tb.Helper()
	f, err := labfile.Open(bytes.NewReader(data), int64(len(data)), name, o)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { closed(tb, f) })
	var all []record.Entry
	for e, err := range f.Entries() {
		if err != nil {
			tb.Fatal(err)
		}
		all = append(all, e)
	}
	return f, all
}

// refusal is the problem that a file is refused with, by Open or by Entries.
func refusal(tb testing.TB, r io.ReaderAt, size int64, o labfile.Options) string {
	tb.Helper()
	f, err := labfile.Open(r, size, "file", o)
	if err == nil {
		defer closed(tb, f)
		for _, e := range f.Entries() {
			err = e
		}
	}
	p := calc.AsProblem(err)
	if p == nil {
		tb.Fatalf("no problem but %v", err)
	}
	var text []string
	for _, f := range p.Errors {
		text = append(text, f.Location+" "+f.Message)
	}
	return strings.Join(text, "\n")
}

func TestWorkbook(t *testing.T) {
	taken := time.Date(2026, 11, 25, 14, 30, 0, 0, time.UTC)
	data := book(t, "Rosés", [][]any{
		{"UV-1 export"},
		{"Operator", "bench 2"},
		{},
		{"Wine", "Absorbance", nil, nil, "Path (cm)", "Date", "Time", "Vintage", "Dilution"},
		{nil, "420 nm", "520 nm", "620 nm"},
		{"Aube", 0.142, 0.081, 0.1 + 0.2, 1, taken.Truncate(24 * time.Hour), 0.6041666666666666, 2025, 1},
		{"Brume", "0,302", "0,404", "0,101", 0.1, taken, nil, 2024, 1},
		{},
		{12, 1.0 / 3, 0.5, 0.25, 1, taken, nil, 2024, 1},
		{"Text", "low", 0.5, 0.25, 1, "25.11.2026", nil, 2024, 1},
	}, func(f *excelize.File) {
		for _, m := range [][2]string{{"B4", "D4"}, {"A4", "A5"}, {"E4", "E5"}, {"F4", "F5"}, {"G4", "G5"}, {"H4", "H5"}, {"I4", "I5"}, {"I6", "I10"}} {
			if err := f.MergeCell("Rosés", m[0], m[1]); err != nil {
				t.Fatal(err)
			}
		}
		shown, err := f.NewStyle(&excelize.Style{NumFmt: 2}) // two decimals
		if err != nil {
			t.Fatal(err)
		}
		day, clock := "dd/mm/yyyy", "hh:mm"
		dayStyle, _ := f.NewStyle(&excelize.Style{CustomNumFmt: &day})
		clockStyle, _ := f.NewStyle(&excelize.Style{CustomNumFmt: &clock})
		for _, err := range []error{
			f.SetCellStyle("Rosés", "B6", "D9", shown),
			f.SetCellStyle("Rosés", "F6", "F6", dayStyle),
			f.SetCellStyle("Rosés", "G6", "G6", clockStyle),
			f.SetRowVisible("Rosés", 7, false),
			f.SetCellFormula("Rosés", "C9", "1/2"),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
	})
	f, all := entries(t, data, "x.xlsx", labfile.Options{})
	if f.Format() != "xlsx" || f.Layout() != "one wine a row" || len(all) != 4 {
		t.Fatalf("%s, %s, %d entries", f.Format(), f.Layout(), len(all))
	}
	a := all[0]
	if a.Place != "sheet Rosés, row 6" || a.Row != 6 || len(a.Faults) > 0 {
		t.Errorf("%+v", a)
	}
	if r := a.Readings; r.A420 != 0.142 || r.A520 != 0.081 || r.A620 != 0.3 || *r.PathMM != 10 || *r.Dilution != 1 {
		t.Errorf("%+v", r)
	}
	if got := a.TakenAt.String(); got != "2026-11-25T14:30:00.000000Z" || a.Analyst != "bench 2" {
		t.Error(got, a.Analyst)
	}
	if r := all[1].Readings; r.A420 != 0.302 || *r.PathMM != 1 || *r.Dilution != 1 {
		t.Errorf("%+v", r)
	}
	if r := all[2].Readings; all[2].Wine.Name != "12" || r.A420 != 0.333333333333333 {
		t.Errorf("%v %+v", all[2].Wine.Name, r)
	}
	bad := all[3].Faults
	if len(bad) != 1 || bad[0].Location != "sheet Rosés, row 10, 420 nm" || bad[0].Value != "low" {
		t.Errorf("%+v", bad)
	}
}

func TestWorkbookSheets(t *testing.T) {
	data := book(t, "Cover", [][]any{{"nothing", "here"}, {"to", "read"}}, func(f *excelize.File) {
		if _, err := f.NewSheet("Reds"); err != nil {
			t.Fatal(err)
		}
		rows := [][]any{{"name", "a420", "a520", "a620"}, {"Fonte", 0.4, 0.5, 0.1}}
		for i, r := range rows {
			if err := f.SetSheetRow("Reds", fmt.Sprintf("A%d", i+1), &r); err != nil {
				t.Fatal(err)
			}
		}
	})
	_, all := entries(t, data, "x.xlsx", labfile.Options{Sheet: "reds"})
	if len(all) != 1 || all[0].Wine.Name != "Fonte" {
		t.Errorf("%+v", all)
	}
	for sheet, want := range map[string]string{"Whites": "Cover, Reds", "": "more sheets"} {
		if got := refusal(t, bytes.NewReader(data), int64(len(data)), labfile.Options{Sheet: sheet}); !strings.Contains(got, want) {
			t.Errorf("%q: %s", sheet, got)
		}
	}
}

// rewritten is a workbook with one part replaced.
func rewritten(tb testing.TB, data []byte, part string, write func(io.Writer)) []byte {
	tb.Helper()
	in, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		tb.Fatal(err)
	}
	var b bytes.Buffer
	out := zip.NewWriter(&b)
	for _, p := range in.File {
		w, err := out.Create(p.Name)
		if err != nil {
			tb.Fatal(err)
		}
		if p.Name == part {
			write(w)
			continue
		}
		r, err := p.Open()
		if err != nil {
			tb.Fatal(err)
		}
		if _, err := io.Copy(w, r); err != nil { //nolint:gosec // made here
			tb.Fatal(err)
		}
		r.Close()
	}
	if err := out.Close(); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// put writes into memory, where nothing fails.
func put(w io.Writer, text string) {
	if _, err := io.WriteString(w, text); err != nil {
		panic(err)
	}
}

func repeat(w io.Writer, text string, bytes int) {
	block := strings.Repeat(text, 1+(1<<16)/len(text))
	for n := 0; n < bytes; n += len(block) {
		put(w, block)
	}
}

const sheet1 = "xl/worksheets/sheet1.xml"

func TestHostileWorkbooks(t *testing.T) {
	good := book(t, "S", [][]any{{"name", "a420", "a520", "a620"}, {"Fonte", 0.4, 0.5, 0.1}}, nil)
	const open, end = `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>`, `</sheetData></worksheet>`
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"zip bomb":      {rewritten(t, good, sheet1, func(w io.Writer) { repeat(w, "<row/>", 1100<<20) }), "unpacks to more"},
		"styles bomb":   {rewritten(t, good, "xl/styles.xml", func(w io.Writer) { repeat(w, "<xf/>", 8<<20) }), "unpacks to more"},
		"one huge text": {rewritten(t, good, sheet1, func(w io.Writer) { repeat(w, "a", 100<<20) }), "longer than any reading"},
		"one huge row":  {rewritten(t, good, sheet1, func(w io.Writer) { put(w, open+"<row>"); repeat(w, "<c/>", 100<<20) }), "longer than any reading"},
		"cut sheet": {rewritten(t, good, sheet1, func(w io.Writer) {
			put(w, open+`<row r="1"><c r="A1" t="inlineStr"><is><t>name</t></is></c></row><row r="2"><`)
		}), "is not understood|no table|damaged"},
		"cut file":       {good[:len(good)/2], "damaged or cut off"},
		"no workbook":    {zipOf(t, "readme.txt", "hello"), "no workbook"},
		"OpenDocument":   {zipOf(t, "content.xml", "<a/>"), "OpenDocument"},
		"binary":         {zipOf(t, "xl/workbook.bin", "x"), "xlsb"},
		"empty workbook": {zipOf(t, "xl/workbook.xml", ""), "damaged|no sheet"},
		"damaged below": {rewritten(t, good, sheet1, func(w io.Writer) {
			put(w, open+row("name", "a420", "a520", "a620")+row("Fonte", "0.1", "0.2", "0.1")+`<row r="3"><c></row></zzz><row r="4"></row>`+end)
		}), "damaged after row"},
	} {
		t.Run(name, func(t *testing.T) {
			got := refusal(t, bytes.NewReader(c.data), int64(len(c.data)), labfile.Options{})
			ok := false
			for _, w := range strings.Split(c.want, "|") {
				ok = ok || strings.Contains(got, w)
			}
			if !ok {
				t.Errorf("%s", got)
			}
		})
	}
}

// TestForgedSize states a small size for a part that unpacks to much more.
func TestForgedSize(t *testing.T) {
	good := book(t, "S", [][]any{{"name", "a420", "a520", "a620"}, {"Fonte", 0.4, 0.5, 0.1}}, nil)
	data := rewritten(t, good, sheet1, func(w io.Writer) { repeat(w, "<row/>", 200<<20) })
	forged := bytes.Clone(data)
	in, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var size uint32
	for _, p := range in.File {
		if p.Name == sheet1 {
			size = uint32(p.UncompressedSize64) //nolint:gosec // 200 MiB
		}
	}
	n := 0
	for i := 0; i+4 <= len(forged); i++ {
		if v := uint32(forged[i]) | uint32(forged[i+1])<<8 | uint32(forged[i+2])<<16 | uint32(forged[i+3])<<24; v == size {
			forged[i], forged[i+1], forged[i+2], forged[i+3] = 0, 16, 0, 0
			n++
		}
	}
	if n == 0 {
		t.Fatal("the size was not found")
	}
	if got := refusal(t, bytes.NewReader(forged), int64(len(forged)), labfile.Options{}); !strings.Contains(got, "damaged") {
		t.Error(got)
	}
}

func row(cells ...string) string {
	var b strings.Builder
	b.WriteString("<row>")
	for _, c := range cells {
		fmt.Fprintf(&b, `<c t="inlineStr"><is><t>%s</t></is></c>`, c)
	}
	b.WriteString("</row>")
	return b.String()
}

func zipOf(tb testing.TB, name, text string) []byte {
	tb.Helper()
	var b bytes.Buffer
	out := zip.NewWriter(&b)
	w, err := out.Create(name)
	if err != nil {
		tb.Fatal(err)
	}
	put(w, text)
	if err := out.Close(); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// scansBook makes a workbook with a scan in each column.
func scansBook(tb testing.TB, wavelengths, wines int) []byte {
	tb.Helper()
	f := excelize.NewFile()
	defer closed(tb, f)
	w, err := f.NewStreamWriter("Sheet1")
	if err != nil {
		tb.Fatal(err)
	}
	cells := make([]any, wines+1)
	cells[0] = "nm"
	for i := range wines {
		cells[i+1] = fmt.Sprintf("Wine %d", i+1)
	}
	for r := range wavelengths + 1 {
		if r > 0 {
			cells[0] = 380 + 0.2*float64(r-1)
			for i := range wines {
				cells[i+1] = float64(i%1000)/1000 + float64(r)/1e5 + 0.001234
			}
		}
		if err := w.SetRow(fmt.Sprintf("A%d", r+1), cells); err != nil {
			tb.Fatal(err)
		}
	}
	if err := w.Flush(); err != nil {
		tb.Fatal(err)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

func BenchmarkScansXLSX(b *testing.B) {
	data := scansBook(b, 2001, 500)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if n, bad := drain(b, data, labfile.Options{}); n != 500 || bad > 0 {
			b.Fatal(n, bad)
		}
	}
}

package labfile_test

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/labfile"
)

// read reads a file to its end and holds it to what every file must keep: no
// panic, one entry for each place, and rejected or measured.
func read(t *testing.T, data []byte, o labfile.Options) {
	f, err := labfile.Open(bytes.NewReader(data), int64(len(data)), "file", o)
	if err != nil {
		if calc.AsProblem(err) == nil {
			t.Fatalf("no problem but %v", err)
		}
		return
	}
	defer closed(t, f)
	for e, err := range f.Entries() {
		if err != nil {
			if calc.AsProblem(err) == nil {
				t.Fatalf("no problem but %v", err)
			}
			continue
		}
		measured := e.Readings != nil || e.Spectrum != nil || e.CIELAB != nil
		if measured == (len(e.Faults) > 0) {
			t.Fatalf("measured %v with %d faults: %+v", measured, len(e.Faults), e)
		}
		if e.Row < 1 || e.Place == "" {
			t.Fatalf("no place: %+v", e)
		}
		if len(e.Faults) > 0 {
			continue
		}
		var faults calc.Faults
		calc.CheckAsRead(e.Measurement.Wine(e.Wine.Name), &faults)
		e.Wine.Check(&faults)
		if err := faults.Err(); err != nil {
			t.Fatalf("%v: %+v", err, e)
		}
	}
}

func FuzzCSV(f *testing.F) {
	files, err := filepath.Glob("testdata/files/*")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range files {
		if ext := filepath.Ext(file); ext == ".want" || ext == ".map" {
			continue
		}
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) { read(t, data, labfile.Options{}) })
}

// FuzzXLSX puts any bytes into the parts of a workbook, which bytes of an
// archive alone would hardly reach.
func FuzzXLSX(f *testing.F) {
	good := book(f, "S", [][]any{{"name", "a420", "a520", "a620"}, {"Fonte", 0.4, 0.5, 0.1}}, nil)
	f.Add(good, uint8(0))
	f.Add([]byte(`<worksheet><sheetData><row r="1"><c r="A1" t="s"><v>0</v></c></row></sheetData><mergeCells><mergeCell ref="A1:B2"/></mergeCells></worksheet>`), uint8(1))
	f.Add([]byte(`<styleSheet><numFmts><numFmt numFmtId="170" formatCode="dd/mm"/></numFmts><cellXfs><xf numFmtId="170"/></cellXfs></styleSheet>`), uint8(2))
	f.Add([]byte(`<sst><si><t>name</t></si></sst>`), uint8(3))
	f.Add([]byte(`<workbook><sheets><sheet name="S" sheetId="1" r:id="rId1"/></sheets></workbook>`), uint8(4))
	parts := []string{"", sheet1, "xl/styles.xml", "xl/sharedStrings.xml", "xl/workbook.xml"}
	f.Fuzz(func(t *testing.T, data []byte, part uint8) {
		if name := parts[int(part)%len(parts)]; name != "" {
			data = rewritten(t, good, name, func(w io.Writer) { w.Write(data) }) //nolint:errcheck // into memory
		}
		read(t, data, labfile.Options{})
	})
}

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestExportCommand imports a file and exports it again, which brings nothing
// new when it is imported once more.
func TestExportCommand(t *testing.T) {
	dir := t.TempDir()
	data := filepath.Join(dir, "data")
	in := filepath.Join(dir, "in.csv")
	if err := os.WriteFile(in, []byte("name;A420;A520;A620;path_mm\nTank 4;0,142;0,118;0,021;10\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	must := func(args ...string) string {
		t.Helper()
		got := pourpath("", append(args, "--data", data)...)
		if got.exit != 0 {
			t.Fatalf("%q: exit %d: %s%s", args, got.exit, got.out, got.err)
		}
		return got.out
	}
	must("import", in)
	text := must("export", "--what", "readings")
	out := filepath.Join(dir, "out.csv")
	must("export", "--what", "readings", "-o", out)
	written, err := os.ReadFile(out)
	if err != nil || string(written) != text || !strings.Contains(text, "\nTank 4,other,,,0.142,0.118,0.021,10,1,") {
		t.Errorf("%v: the file holds %q, standard output %q", err, written, text)
	}
	if got := must("import", out); !strings.Contains(got, "0 accepted, 1 duplicates, 0 rejected") {
		t.Errorf("imported again: %s", got)
	}
	book := filepath.Join(dir, "book.xlsx")
	must("export", "--format", "xlsx", "-o", book)
	read, err := excelize.OpenFile(book)
	if err != nil {
		t.Fatal(err)
	}
	if rows, err := read.GetRows("wines"); err != nil || len(rows) != 2 || rows[1][1] != "Tank 4" {
		t.Errorf("%v: the sheet wines holds %q", err, rows)
	}
}

func TestExportRefuses(t *testing.T) {
	data := t.TempDir()
	for _, row := range []struct {
		args []string
		want string
	}{
		{nil, "--what"},
		{[]string{"--what", "wine"}, "readings"},
		{[]string{"--what", "wines", "--format", "ods"}, "want csv or xlsx"},
		{[]string{"wines"}, "not a flag"},
	} {
		got := pourpath("", append([]string{"export", "--data", data}, row.args...)...)
		if got.exit != exitBadInput || !strings.Contains(got.err+got.out, row.want) {
			t.Errorf("%q: exit %d, %s%s; want %q", row.args, got.exit, got.out, got.err, row.want)
		}
	}
	missing := filepath.Join(data, "no such folder", "x.csv")
	if got := pourpath("", "export", "--data", data, "--what", "wines", "-o", missing); got.exit != exitFailure {
		t.Errorf("into a folder that is missing: exit %d", got.exit)
	}
}

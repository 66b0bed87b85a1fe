//go:build outside

package labfile_test

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pourpath/api/labfile"
	"pourpath/api/record"
)

// office converts a file with LibreOffice, which writes workbooks independently
// of the library that reads them here. It must be installed (soffice).
func office(t *testing.T, name, text, to, filter string) []byte {
	t.Helper()
	dir := t.TempDir()
	in := filepath.Join(dir, name)
	if err := os.WriteFile(in, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 3*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "soffice", "--headless", "-env:UserInstallation=file://"+filepath.Join(dir, "profile"),
		"--infilter="+filter, "--convert-to", to, "--outdir", filepath.Join(dir, "out"), in)
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, said)
	}
	out, err := filepath.Glob(filepath.Join(dir, "out", "*"))
	if err != nil || len(out) != 1 {
		t.Fatal(out, err)
	}
	data, err := os.ReadFile(out[0])
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Filters of LibreOffice: separator, text mark, UTF-8, first line, formats of
// columns (one is day before month), language, and "detect special numbers".
const (
	points = "CSV:44,34,76,1,,2057,false,true" // English (United Kingdom)
	commas = "CSV:59,34,76,1,,1031,false,true" // German
)

// TestOutsideLibreOffice has LibreOffice turn text into workbooks, with dates as
// dates and numbers as numbers, and reads back what the text itself gives.
func TestOutsideLibreOffice(t *testing.T) {
	for name, c := range map[string]struct{ text, filter string }{
		"points": {`name,kind,lot,vintage,a420,a520,a620,path_mm,dilution,diluent,date,time,temperature_c,notes
Aube,white,T1,2025,0.142,0.081,0.012,10,1,,2026-11-25,14:30:00,20.5,"a ""quote"", and é"
Brume,rosé,T2,2024,0.30211,0.40477,0.10199,5,1,,2026-02-03,09:05:07,20,
Fonte,red,T3,2023,1.234567891,1.5,0.333333333333,1,10,water,2025-12-31,23:59:59,19.25,=1+1
Wrong,red,T3,2023,low,1.5,0.3,1,1,,2025-12-31,,,
`, points},
		"commas": {`Probe;Weinart;A420;A520;A620;Schichtdicke (mm);Datum;Helligkeit
Aube;Weißwein;0,142;0,081;0,012;10;25.11.2026;
Brume;Rotwein;0,7;0,9;0,25;1;03.02.2026;
`, commas},
		"L*a*b*": {`name,L,a,b,path_mm,illuminant,observer
Aube,96.1,-0.85,5.2,10,D65,10
Brume,71.25,28.4,9.13,10,D65,10
`, points},
	} {
		t.Run(name, func(t *testing.T) {
			// The program computes formulas, and stores their values.
			_, want := entries(t, []byte(strings.ReplaceAll(c.text, "=1+1", "2")), "x.csv", labfile.Options{})
			_, got := entries(t, office(t, "x.csv", c.text, "xlsx", c.filter), "x.xlsx", labfile.Options{})
			if len(got) != len(want) {
				t.Fatalf("%d entries, want %d", len(got), len(want))
			}
			for i := range want {
				same(t, got[i], want[i])
			}
		})
	}
}

func same(t *testing.T, got, want record.Entry) {
	t.Helper()
	if got.Row != want.Row || len(got.Faults) != len(want.Faults) || compact(got.Wine) != compact(want.Wine) ||
		compact(got.Measurement) != compact(want.Measurement) || compact(got.Circumstances) != compact(want.Circumstances) {
		t.Errorf("got\n%s %s %s %s\nwant\n%s %s %s %s", compact(got.Wine), compact(got.Measurement), compact(got.Circumstances), compact(got.Faults),
			compact(want.Wine), compact(want.Measurement), compact(want.Circumstances), compact(want.Faults))
	}
}

// TestOutsideOtherFormats refuses what LibreOffice writes besides, in words.
func TestOutsideOtherFormats(t *testing.T) {
	for to, want := range map[string]string{"ods": "OpenDocument", "xls": "old Excel file", "pdf": "PDF"} {
		data := office(t, "x.csv", header, to, points)
		if got := told(t, data, "x."+to, labfile.Options{}); !strings.Contains(got, want) {
			t.Errorf("%s: %s", to, got)
		}
	}
}

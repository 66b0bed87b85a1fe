package labfile_test

import (
	"encoding/csv"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pourpath/api/labfile"
	"pourpath/api/record"
)

// TestPublishedTables imports published tables of absolute readings (sources in
// testdata/README.md) and compares every value with what encoding/csv reads.
func TestPublishedTables(t *testing.T) {
	for _, c := range []struct {
		file    string
		rename  [2]string // headers as the source has them, where a table of ours differs
		mapping map[string]string
		layout  string
		wines   int
		first   int // column of the first value
		values  func(record.Entry) []float64
	}{
		{"muscadine.csv", [2]string{}, nil, "one wine a row", 30, 3, three},
		{
			"ribera_toro_red.csv",
			[2]string{"wine,density,density_with_620,hue,A420,A520,A620", "n,colour_density_CI,colour_density_CI2,hue,A420_derived,A520_derived,A620_derived"},
			map[string]string{"n": "name", "A420_derived": "a420", "A520_derived": "a520", "A620_derived": "a620", "hue": ""},
			"one wine a row", 45, 4, three,
		},
		{"white_spectra_5nm.csv", [2]string{}, nil, "wavelengths as columns, one wine a row", 15, 1, func(e record.Entry) []float64 { return e.Spectrum.Absorbance }},
	} {
		t.Run(c.file, func(t *testing.T) {
			data, err := os.ReadFile("../../testdata/wine/" + c.file)
			if err != nil {
				t.Fatal(err)
			}
			text := strings.Replace(string(data), c.rename[0], c.rename[1], 1)
			if c.mapping != nil {
				if got := refusal(t, strings.NewReader(text), int64(len(text)), labfile.Options{}); !strings.Contains(got, "A420_derived") {
					t.Errorf("without a mapping: %s", got)
				}
			}
			f, got := entries(t, []byte(text), c.file, labfile.Options{Mapping: c.mapping})
			if f.Layout() != c.layout || len(got) != c.wines {
				t.Fatalf("%s, %d wines", f.Layout(), len(got))
			}
			for i, row := range published(t, text) {
				if got[i].Wine.Name != row[0] || len(got[i].Faults) > 0 {
					t.Fatalf("row %q: %+v", row[0], got[i])
				}
				if v := numbers(t, row[c.first:]); !slices.Equal(c.values(got[i]), v) {
					t.Errorf("%s: %v, want %v", row[0], c.values(got[i]), v)
				}
			}
		})
	}
}

func three(e record.Entry) []float64 {
	return []float64{e.Readings.A420, e.Readings.A520, e.Readings.A620}
}

func published(t *testing.T, text string) [][]string {
	t.Helper()
	in := csv.NewReader(strings.NewReader(text))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func numbers(t *testing.T, cells []string) (out []float64) {
	t.Helper()
	for _, c := range cells {
		x, err := strconv.ParseFloat(c, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, x)
	}
	return out
}

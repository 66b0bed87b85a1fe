package export

import (
	"bytes"
	"context"
	"encoding/json"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pourpath/api/intake"
	"pourpath/api/record"
	"pourpath/api/store"
)

func importFile(tb testing.TB, s *store.Store, name, content string, o ...intake.Options) record.Import {
	tb.Helper()
	options := intake.Options{}
	if len(o) > 0 {
		options = o[0]
	}
	got, err := intake.Take(context.Background(), s, name, strings.NewReader(content), options)
	if err != nil {
		tb.Fatalf("%s: %v", name, err)
	}
	return got
}

// contents are all readings with their wines, without what an import makes anew.
func contents(tb testing.TB, s *store.Store) []string {
	tb.Helper()
	ctx := context.Background()
	list, err := s.Readings(ctx, record.Page{Limit: 1000})
	if err != nil {
		tb.Fatal(err)
	}
	var out []string
	for _, r := range list {
		w, err := s.Wine(ctx, r.WineID)
		if err != nil {
			tb.Fatal(err)
		}
		text, err := json.Marshal([]any{w.Name, w.Kind, w.Lot, w.Vintage, r.Measurement, r.Circumstances})
		if err != nil {
			tb.Fatal(err)
		}
		out = append(out, string(text))
	}
	slices.Sort(out)
	return out
}

var numbers = regexp.MustCompile(`[-+.e0-9]*\d[-+.e0-9]*`)

// rounded rounds the numbers in texts to the 15 digits that spreadsheets show,
// as an import takes them from a workbook.
func rounded(list []string) []string {
	out := make([]string, len(list))
	for i, text := range list {
		out[i] = numbers.ReplaceAllStringFunc(text, func(n string) string {
			if x, err := strconv.ParseFloat(n, 64); err == nil {
				return strconv.FormatFloat(x, 'g', 15, 64)
			}
			return n
		})
	}
	return out
}

// TestRoundTrip: the readings of one store, exported and imported into an empty
// one, are the same readings, and importing them again changes nothing. A CSV
// file keeps every digit.
func TestRoundTrip(t *testing.T) {
	from := open(t)
	fill(t, from)
	want := contents(t, from)
	var book bytes.Buffer
	if err := XLSX(context.Background(), from, &book); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name  string
		files [][2]string // content and sheet
		as    func([]string) []string
	}{
		{"readings.csv", [][2]string{{csvOf(t, from, Readings)}, {csvOf(t, from, Spectra)}}, slices.Clone[[]string]},
		{"records.xlsx", [][2]string{{book.String()}, {book.String(), string(Spectra)}}, rounded},
	} {
		t.Run(row.name, func(t *testing.T) {
			to := open(t)
			for _, again := range []bool{false, true} {
				for _, file := range row.files {
					got := importFile(t, to, row.name, file[0], intake.Options{Sheet: file[1]})
					if got.Rejected > 0 || again && got.Accepted > 0 {
						t.Errorf("rejected %d, accepted %d, again %v: %+v", got.Rejected, got.Accepted, again, got.Rows)
					}
				}
			}
			if got, want := row.as(contents(t, to)), row.as(want); !slices.Equal(got, want) {
				t.Errorf("got\n%.3000s\nwant\n%.3000s", strings.Join(got, "\n"), strings.Join(want, "\n"))
			}
		})
	}
}

// TestRoundTripOfTransmittance: scans in per cent come back as such, also those
// so dark that no value is above 1 %.
func TestRoundTripOfTransmittance(t *testing.T) {
	from, to := open(t), open(t)
	for name, first := range map[string]float64{"dark": 40, "darker": 60} {
		r := record.Reading{Measurement: record.Measurement{Spectrum: scanOf(5, first, true)}}
		if _, _, err := from.CreateWine(context.Background(), record.WineFields{Name: name, Kind: record.Red}, &r); err != nil {
			t.Fatal(err)
		}
	}
	importFile(t, to, "spectra.csv", csvOf(t, from, Spectra))
	if got, want := contents(t, to), contents(t, from); !slices.Equal(got, want) {
		t.Errorf("got\n%.2000s\nwant\n%.2000s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

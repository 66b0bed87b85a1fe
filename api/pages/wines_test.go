package pages_test

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"pourpath/api/calc"
	"pourpath/api/pages"
	"pourpath/api/record"
	"pourpath/api/shelf"
	"pourpath/api/store"
)

func readings(a420, a520, a620, pathMM float64) record.Measurement {
	return record.Measurement{Readings: &calc.Readings{A420: a420, A520: a520, A620: a620, PathMM: &pathMM}}
}

// add adds a wine with what was read of it, from the oldest on.
func add(t *testing.T, s *store.Store, w record.WineFields, read ...record.Reading) (record.Wine, []record.Reading) {
	t.Helper()
	wine, _, err := s.CreateWine(t.Context(), w, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range read {
		if read[i], err = s.AddReading(t.Context(), wine.ID, read[i]); err != nil {
			t.Fatal(err)
		}
	}
	return wine, read
}

// opened is a page that is sound, and what it says.
func opened(t *testing.T, h http.Handler, address string) (*html.Node, string) {
	t.Helper()
	w := get(t, h, address)
	if w.Code != http.StatusOK {
		t.Fatalf("GET %s = %d %s", address, w.Code, w.Body)
	}
	tree := sound(t, h, w.Body.String())
	return tree, spoken(tree)
}

// spoken is text with a blank between elements, as between the cells of a table.
func spoken(tree *html.Node) string {
	var b strings.Builder
	for n := range tree.Descendants() {
		if n.Type == html.TextNode {
			b.WriteString(n.Data + " ")
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// sound wants a page to be well formed, safe and without dead links.
func sound(t *testing.T, h http.Handler, page string) *html.Node {
	t.Helper()
	return soundBeside(t, h, page, map[string]bool{})
}

// soundBeside is sound where some links are known to lead somewhere.
func soundBeside(t *testing.T, h http.Handler, page string, answered map[string]bool) *html.Node {
	t.Helper()
	wellFormed(t, page)
	tree := parse(t, page)
	safe(t, tree)
	linked(t, h, tree, answered)
	for _, slip := range []string{"%!", "<nil>", "ZgotmplZ", "NaN", "0xc0"} {
		if said := text(tree); strings.Contains(said, slip) {
			t.Errorf("the page says %q:\n%s", slip, said)
		}
	}
	return tree
}

func says(t *testing.T, said string, wanted ...string) {
	t.Helper()
	for _, fragment := range wanted {
		if !strings.Contains(said, fragment) {
			t.Errorf("the page does not say %q; it says:\n%s", fragment, said)
		}
	}
}

func hrefOf(tree *html.Node, words string) string {
	for n := range tree.Descendants() {
		if n.Data == "a" && text(n) == words {
			return attribute(n, "href")
		}
	}
	return ""
}

// TestWinesAreTheAPIs holds the list against the API's answers about the same
// wines.
func TestWinesAreTheAPIs(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	taken := record.At(s.Now().Add(-40 * 24 * time.Hour))
	vintage, stock := 2026, 1200.5
	white, _ := add(t, s, record.WineFields{Name: "White <4>", Kind: record.White, Lot: "W-4", Vintage: &vintage, StockL: &stock},
		record.Reading{Measurement: readings(0.112, 0.031, 0.012, 10), Circumstances: record.Circumstances{TakenAt: &taken}})
	red, _ := add(t, s, record.WineFields{Name: "Red 7", Kind: record.Red}, record.Reading{Measurement: readings(0.243, 0.412, 0.069, 1)})
	unread, _ := add(t, s, record.WineFields{Name: "Not read", Kind: record.Other})
	tree, said := opened(t, h, "/wines")
	says(t, said, "Scroll the table sideways for the rest.", "D65, 10° observer", "a guide, not a standard", "not read yet")
	rows := rowsOf(tree, "ladder wines")
	if len(rows) != 4 {
		t.Fatalf("%d rows, want a heading and 3 wines:\n%s", len(rows), strings.Join(rows, "\n"))
	}
	onShelf := shelf.New(s)
	for i, want := range []struct {
		id    string
		cells []string
	}{
		{unread.ID, []string{"Not read", "Other"}},
		{red.ID, []string{"Red 7", "Red", "clipped", "today"}}, // read now
		{white.ID, []string{"White <4>", "White", "W-4", "2026", taken.UTC().Format(time.DateOnly), "40 days", "1200.5"}},
	} {
		row := rows[i+1]
		w, err := onShelf.Wine(t.Context(), want.id)
		if err != nil {
			t.Fatal(err)
		}
		if c := w.Colour; c != nil {
			u := c.Uncertainty
			want.cells = append(want.cells, *c.SRGB, minus(fmt.Sprintf("%.1f ± ", c.CIELAB.A)), minus(fmt.Sprintf("%.1f ± ", c.CIELAB.B)),
				fmt.Sprintf("%.3f ± %.3f", *c.Intensity, *u.Intensity), fmt.Sprintf("%.2f ± ", *c.Tint))
		}
		for _, cell := range want.cells {
			if !strings.Contains(row, " "+cell) {
				t.Errorf("row %d does not have %q: %s", i, cell, row)
			}
		}
	}
	if hrefOf(tree, "Red 7") != "/wines/"+red.ID {
		t.Errorf("the red's link is %q", hrefOf(tree, "Red 7"))
	}
}

// TestTurningPages goes from the newest wine to the oldest and back: each wine
// once, in order, and each page the same both ways.
func TestTurningPages(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	const n = 120 // two pages and a part
	var want []string
	for i := range n {
		name := fmt.Sprintf("Wine %03d", i)
		add(t, s, record.WineFields{Name: name, Kind: record.Rose})
		want = append(want, name)
	}
	slices.Reverse(want)
	var there [][]string
	var got []string
	address, last := "/wines", ""
	for address != "" {
		tree := parse(t, get(t, h, address).Body.String())
		there = append(there, rowNames(tree))
		got = append(got, rowNames(tree)...)
		last, address = address, hrefOf(tree, "Older")
	}
	if !slices.Equal(got, want) || len(there) != 3 {
		t.Fatalf("%d pages with %q", len(there), got)
	}
	i := len(there) - 1
	for address = last; ; i-- {
		tree := parse(t, get(t, h, address).Body.String())
		if !slices.Equal(rowNames(tree), there[i]) {
			t.Errorf("page %d on the way back has %q", i, rowNames(tree))
		}
		if address = hrefOf(tree, "Newer"); address == "" {
			break
		}
	}
	if i != 0 {
		t.Errorf("the way back ends on page %d", i)
	}
}

// TestWinesFound narrows the list to a name, on every page of it.
func TestWinesFound(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	for n := range 60 {
		add(t, s, record.WineFields{Name: fmt.Sprintf("Rosé %d", n), Kind: record.Rose})
		add(t, s, record.WineFields{Name: fmt.Sprintf("Red %d", n), Kind: record.Red})
	}
	tree, said := opened(t, h, "/wines?named=ROS%C3%89")
	if strings.Contains(said, "Red 1") || !strings.Contains(said, "Rosé 59") {
		t.Errorf("the list of rosés is %s", said)
	}
	_, said = opened(t, h, hrefOf(tree, "Older"))
	if strings.Contains(said, "Red 1") || !strings.Contains(said, "Rosé 0") {
		t.Errorf("its second page is %s", said)
	}
	_, said = opened(t, h, "/wines?named=orange")
	says(t, said, "No wine has “orange” in its name or lot.", "All wines")
}

// rowNames are the names of a table's rows.
func rowNames(tree *html.Node) (names []string) {
	for node := range tree.Descendants() {
		if node.Data == "th" && attribute(node, "scope") == "row" {
			names = append(names, text(node))
		}
	}
	return names
}

// TestWinesFoundByName: what is equally near to what was looked for stands by name, a
// number in it by its size.
func TestWinesFoundByName(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	for _, name := range []string{"Blanc A", "Blanc 10", "Blanc B", "blanc 9", "Rosé", "Blanc É", "Blanc F"} {
		add(t, s, record.WineFields{Name: name, Kind: record.White})
	}
	tree, said := opened(t, h, "/wines?named=Blanc")
	if got, want := rowNames(tree), []string{"blanc 9", "Blanc 10", "Blanc A", "Blanc B", "Blanc É", "Blanc F"}; !slices.Equal(got, want) {
		t.Errorf("found are %q, want %q", got, want)
	}
	says(t, said, "By name, each with the colour")
	tree, said = opened(t, h, "/wines")
	if got := rowNames(tree); got[0] != "Blanc F" {
		t.Errorf("the whole list begins with %q, want the newest", got)
	}
	says(t, said, "The newest first")
}

// TestOddNames: characters of private use, that steer a terminal or turn the direction of
// writing, in the names of wines, trials and tools break no page and no picture.
func TestOddNames(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	answered := map[string]bool{}
	for _, odd := range []string{"A\x1b[31mB", "A\ue000B\ue001", "A\u202eB\u0085", "<i>A\ufffe"} {
		white, _ := add(t, s, record.WineFields{Name: odd, Kind: record.White, Lot: odd, Notes: odd}, record.Reading{Measurement: readings(0.112, 0.031, 0.012, 10)})
		red, _ := add(t, s, record.WineFields{Name: odd + "2", Kind: record.Red}, record.Reading{Measurement: readings(0.243, 0.412, 0.069, 1)})
		trial := sendWell(t, h, "/trials", fields("name", odd, "base", white.ID, "addition", red.ID, "base_ml", "100", "glasses", "A B", "own_name", odd, "own_kind", "syringe", "own_capacity_ml", "10", "own_graduation_ml", "0.5"))
		for _, address := range []string{"/wines", "/wines/" + white.ID, "/wines/" + white.ID + "/edit", "/?base=" + white.ID + "&red=" + red.ID, trial + "?plan=even&to_ml=6", "/wines?named=" + url.QueryEscape(odd)} {
			if w := in(t, h, "fr", address); w.Code != http.StatusOK {
				t.Errorf("%q: %s is status %d", odd, address, w.Code)
			} else {
				soundBeside(t, h, w.Body.String(), answered)
			}
		}
		for _, picture := range []string{trial + "/ladder.svg", "/preview/ladder.svg?base=" + white.ID + "&red=" + red.ID} {
			d := xml.NewDecoder(get(t, h, picture).Body)
			for {
				if _, err := d.Token(); errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Errorf("%q: %s: %v", odd, picture, err)
					break
				}
			}
		}
	}
}

// TestOneWine shows a wine with a history: a correction, an archived reading,
// replicates, a scan and a colour from a report.
func TestOneWine(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	at := func(day int) record.Circumstances {
		taken := record.At(time.Date(2026, 11, day, 9, 30, 0, 0, time.UTC))
		return record.Circumstances{TakenAt: &taken, Instrument: "bench 2", Analyst: "morning shift"}
	}
	share := 85.0
	wine, read := add(t, s, record.WineFields{
		Name: "Red, barrel 7", Kind: record.Red, Lot: "R-7", Varieties: []record.Variety{{Name: "Syrah", SharePercent: &share}, {Name: "Grenache"}}, Notes: "Racked <twice>.",
	},
		record.Reading{Measurement: readings(0.243, 0.412, 0.069, 1), Circumstances: at(1)},
		record.Reading{Measurement: record.Measurement{CIELAB: &calc.CIELAB{L: calc.Decimal{Value: 24.5, Decimals: 1}, A: calc.Decimal{Value: 55, Decimals: 0}, B: calc.Decimal{Value: 36.20, Decimals: 2}, PathMM: 10}}, Circumstances: at(2)},
	)
	correction, err := s.AddReading(t.Context(), wine.ID, record.Reading{
		Measurement: readings(0.233, 0.402, 0.066, 1), Circumstances: at(1), Supersedes: read[0].ID, Reason: "the cell had been turned",
	})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.ArchiveReading(t.Context(), read[1].ID, "another wine's report"); err != nil {
		t.Fatal(err)
	}
	tree, said := opened(t, h, "/wines/"+wine.ID)
	says(t, said, "Red, barrel 7", "R-7", "Syrah 85 %, Grenache", "Racked <twice>.",
		"Under D65, 10° observer, for 10 mm", "From absorbances at single wavelengths. Read 2026-11-01 09:30 UTC",
		"Current corrects another because: the cell had been turned", "Superseded see its correction", "another wine's report",
		"L* 24.5, a* 55, b* 36.20", "from a report, for D65, 10° and 10 mm", "bench 2", "morning shift", "0.243", "0.233")
	if got := hrefOf(tree, "see its correction"); got != "#r-"+correction.ID {
		t.Errorf("the correction is at %q", got)
	}
	if got := hrefOf(tree, "This wine as JSON"); got != "/v1/wines/"+wine.ID {
		t.Errorf("the JSON is at %q", got)
	}
	// The API computes the colour from the same reading, and says the same.
	w, err := shelf.New(s).Wine(t.Context(), wine.ID)
	if err != nil || !slices.Equal(w.ReadingsUsed, []string{correction.ID}) {
		t.Fatalf("%+v, %v", w.ReadingsUsed, err)
	}
	says(t, said, fmt.Sprintf("%.1f ± %.1f", w.Colour.CIELAB.A, *w.Colour.Uncertainty.A))
	for _, warning := range w.Colour.Warnings {
		says(t, said, warning.Message)
	}

	for i := range 3 {
		c := at(9)
		number := i + 1
		c.Replicate = &number
		if _, err := s.AddReading(t.Context(), wine.ID, record.Reading{Measurement: readings(0.23+0.01*float64(i), 0.402, 0.066, 1), Circumstances: c}); err != nil {
			t.Fatal(err)
		}
	}
	_, said = opened(t, h, "/wines/"+wine.ID)
	says(t, said, "mean of 3 replicates", "A420 0.2400 0.0100", "replicate 3", "Earlier corrects another")

	path, dilution := 10.0, 5.0
	scan := calc.Spectrum{PathMM: &path, Dilution: &dilution}
	for nm := 380.0; nm <= 780; nm += 10 {
		scan.NM, scan.Absorbance = append(scan.NM, nm), append(scan.Absorbance, 0.3)
	}
	c := at(20)
	c.Diluent = "model_wine"
	if _, err := s.AddReading(t.Context(), wine.ID, record.Reading{Measurement: record.Measurement{Spectrum: &scan}, Circumstances: c}); err != nil {
		t.Fatal(err)
	}
	_, said = opened(t, h, "/wines/"+wine.ID)
	says(t, said, "From a scan.", "Scan of absorbance, 380 to 780 nm, 41 points", "5-fold in model wine", "This red was read diluted 5-fold", "differ")

	if _, err := s.ArchiveWine(t.Context(), wine.ID, 1, "sold in bulk"); err != nil {
		t.Fatal(err)
	}
	_, said = opened(t, h, "/wines/"+wine.ID)
	says(t, said, "It takes no changes and is left out of lists")
	if _, said = opened(t, h, "/wines"); strings.Contains(said, "barrel 7") {
		t.Error("an archived wine is in the list")
	}
}

// TestWithoutRecords: such pages are not there, and nothing leads to them.
func TestWithoutRecords(t *testing.T) {
	t.Parallel()
	h, err := pages.New(pages.Config{Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
	if err != nil {
		t.Fatal(err)
	}
	for _, address := range []string{"/wines", "/wines/0192f000-0000-7000-8000-000000000000", "/import"} {
		if w := get(t, h, address); w.Code != http.StatusNotFound {
			t.Errorf("GET %s = %d, want 404", address, w.Code)
		}
	}
	if w := httptest.NewRecorder(); true {
		h.ServeHTTP(w, httptest.NewRequestWithContext(t.Context(), http.MethodPost, "/import", strings.NewReader("")))
		if w.Code != http.StatusNotFound {
			t.Errorf("POST /import = %d, want 404", w.Code)
		}
	}
	page := get(t, h, "/").Body.String()
	if strings.Contains(page, `href="/wines"`) || strings.Contains(page, `href="/import"`) {
		t.Error("the first page leads to pages that are not there")
	}
}

// TestInventedCellar: what a demonstration fills its store with passes the
// checks of the interface, and each wine has a colour.
func TestInventedCellar(t *testing.T) {
	t.Parallel()
	invented, err := pages.InventedCellar()
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[record.Kind]int{}
	for _, w := range invented.Wines {
		kinds[w.Kind]++
		var f calc.Faults
		w.Check(&f)
		for _, r := range w.Readings {
			record.ReadingBody{Measurement: r.Measurement, Circumstances: r.Circumstances}.Check(&f)
			if r.TakenAt == nil || r.TakenAt.After(time.Date(2026, 12, 1, 0, 0, 0, 0, time.UTC)) {
				t.Errorf("%s was read at %v", w.Name, r.TakenAt)
			}
		}
		if err := f.Err(); err != nil {
			t.Errorf("%s: %v", w.Name, err)
		}
	}
	if kinds[record.White] != 3 || kinds[record.Red] != 3 || kinds[record.Rose] != 2 {
		t.Errorf("kinds %v, want 3 whites, 3 reds, a glass of the ladder and last year's rosé", kinds)
	}
	for _, target := range invented.Targets {
		var f calc.Faults
		if target.Check(&f); f.Err() != nil {
			t.Errorf("%s: %v", target.Name, f.Err())
		}
	}
	if len(invented.Targets) != 3 {
		t.Errorf("%d targets, want 3", len(invented.Targets))
	}
}

// BenchmarkWines measures the first page of a list whose colours are known.
func BenchmarkWines(b *testing.B) {
	s, err := store.Open(context.Background(), store.Config{Dir: b.TempDir()})
	if err != nil {
		b.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			b.Error(err)
		}
	}()
	for i := range 60 {
		first := record.Reading{Measurement: readings(0.1, 0.05, 0.01, 10)}
		if _, _, err := s.CreateWine(b.Context(), record.WineFields{Name: fmt.Sprint("Wine ", i), Kind: record.White}, &first); err != nil {
			b.Fatal(err)
		}
	}
	h, err := pages.New(pages.Config{Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Records: s, DataDir: b.TempDir()})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequestWithContext(b.Context(), http.MethodGet, "/wines", nil))
		if w.Code != http.StatusOK {
			b.Fatal(w.Code)
		}
	}
}

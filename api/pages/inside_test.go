package pages

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"maps"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/text/language"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/colour/conform"
)

// TestCatalogue wants a text for each key that is asked for, and no text that
// nothing asks for.
func TestCatalogue(t *testing.T) {
	t.Parallel()
	c, err := readCatalogue("text/en.json")
	if err != nil {
		t.Fatal(err)
	}
	sources, err := filepath.Glob("templates/*.html")
	if err != nil || len(sources) == 0 {
		t.Fatalf("templates: %v, %v", sources, err)
	}
	key := regexp.MustCompile(`\b(?:t |say\()"([a-z][a-zA-Z_0-9.]*)"|(?:print|text\()\s*"([a-z_]+\.)"|"((?:note|word|options|part|field)\.[a-z_]+)"|"(script\.)"`)
	exact, begun := map[string]bool{}, map[string]bool{}
	code, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(sources, code...) {
		source, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range key.FindAllSubmatch(source, -1) {
			exact[string(m[1])+string(m[3])] = true
			begun[string(m[2])+string(m[4])] = true
		}
	}
	delete(exact, "")
	delete(begun, "")
	begun["note.without_"] = true
	delete(exact, "note.without_")
	for k := range exact {
		_, text := c.Texts[k]
		if _, plural := c.Plurals[k]; text == plural {
			t.Errorf("the catalogue has no %q, or has it twice", k)
		}
	}
	known := slices.Concat(slices.Collect(maps.Keys(c.Texts)), slices.Collect(maps.Keys(c.Plurals)))
	for _, k := range known {
		if !exact[k] && !slices.ContainsFunc(slices.Collect(maps.Keys(begun)), func(b string) bool { return strings.HasPrefix(k, b) }) {
			t.Errorf("nothing asks for %q", k)
		}
	}
	for _, f := range fields() {
		if _, err := c.label(f.name); err != nil {
			t.Errorf("the field %s has no label: %v", f.name, err)
		}
	}
	if _, err := c.text("none.such"); err == nil {
		t.Error("text of an unknown key = nil error")
	}
}

// TestCatalogues wants of each language what English has: the same texts, lists and
// plurals, and in each text the same places for values.
func TestCatalogues(t *testing.T) {
	t.Parallel()
	all, err := readCatalogues()
	if err != nil || len(all) < 3 || all[0].code != inEnglish {
		t.Fatalf("%d languages, %v", len(all), err)
	}
	first := all[0]
	for _, c := range all {
		if w := c.Writing; w.Name == "" || w.Decimal == "" || w.Group == "" || w.Day == "" || w.Time == "" {
			t.Errorf("%s: its writing is not whole: %+v", c.code, w)
		}
		if c.code != inEnglish {
			if c.tongue == nil {
				t.Errorf("%s: package tongue does not know it", c.code)
			} else if w, of := c.Writing, c.tongue.Writing; w.Decimal != of.Decimal || w.Group != of.Group || w.Day != of.Day || w.Time != of.Time {
				t.Errorf("%s: pages write as %+v, messages as %+v", c.code, w, of)
			}
		}
		sameKeys(t, c.code+": text", first.Texts, c.Texts)
		sameKeys(t, c.code+": plural", first.Plurals, c.Plurals)
		sameKeys(t, c.code+": list", first.Lists, c.Lists)
		for key, want := range first.Texts {
			if strings.TrimSpace(c.Texts[key]) == "" {
				t.Errorf("%s: %q is empty", c.code, key)
			}
			samePlaces(t, c.code+" "+key, want, c.Texts[key])
		}
		for key, forms := range first.Plurals {
			sameKeys(t, c.code+": "+key, map[string]string{"one": "", "other": ""}, c.Plurals[key])
			for form := range c.Plurals[key] {
				samePlaces(t, c.code+" "+key+", "+form, forms["other"], c.Plurals[key][form])
			}
		}
		for key, list := range first.Lists {
			ids := func(list []remark) (out []string) {
				for _, r := range list {
					out = append(out, r.ID)
				}
				return out
			}
			if !slices.Equal(ids(list), ids(c.Lists[key])) {
				t.Errorf("%s: the list %q has %q, want %q", c.code, key, ids(c.Lists[key]), ids(list))
			}
			for _, r := range c.Lists[key] {
				if r.About == "" || r.Text == "" {
					t.Errorf("%s: the list %q has an empty line", c.code, key)
				}
			}
		}
	}
}

func sameKeys[V, W any](t *testing.T, what string, want map[string]V, have map[string]W) {
	t.Helper()
	for key := range want {
		if _, ok := have[key]; !ok {
			t.Errorf("%s: %q is missing", what, key)
		}
	}
	for key := range have {
		if _, ok := want[key]; !ok {
			t.Errorf("%s: %q is none of English", what, key)
		}
	}
}

// samePlaces wants the values of a text to be put in as in another, in any order.
func samePlaces(t *testing.T, what, want, have string) {
	t.Helper()
	if a, b := placesOf(want), placesOf(have); !maps.Equal(a, b) {
		t.Errorf("%s: %q has places for %v, want %v as in %q", what, have, b, a, want)
	}
}

var (
	verb   = regexp.MustCompile(`%(?:\[(\d+)\])?([-+#0]*\d*(?:\.\d+)?[a-zA-Z%])`)
	braced = regexp.MustCompile(`\{\w+\}`)
)

// placesOf are the verbs of a text by the number of their value, and its names in
// braces.
func placesOf(text string) map[string]string {
	out, next := map[string]string{}, 1
	for _, m := range verb.FindAllStringSubmatch(text, -1) {
		if m[2] == "%" {
			continue
		}
		if n, err := strconv.Atoi(m[1]); err == nil {
			next = n
		}
		out[strconv.Itoa(next)] += m[2]
		next++
	}
	for _, name := range braced.FindAllString(text, -1) {
		out[name] += "x"
	}
	return out
}

// speaking is a language that writes as is said.
func speaking(code string, w writing) *catalogue { return &catalogue{code: code, Writing: w} }

var (
	pointing = speaking(inEnglish, writing{Decimal: ".", Group: "\u202f", Day: time.DateOnly, Time: "2006-01-02 15:04 UTC"})
	commaing = speaking("fr", writing{Decimal: ",", Group: "\u202f", Day: "02/01/2006", Time: "02/01/2006 15:04 UTC"})
)

// TestNumber: every language takes both decimal marks, and none a number that may be
// meant in two ways.
func TestNumber(t *testing.T) {
	t.Parallel()
	either := map[string]string{
		"0.412": "0.412", "71.20": "71.20", "1e-1": "1e-1", "-0.01": "-0.01", "0": "0",
		".5": "0.5", "5.": "5", "+0.5": "0.5", "007": "7", "−12": "-12", "−0,5": "-0.5", "−.5": "-0.5", "−1.234,5": `"−1.234,5"`,
		"0,412": "0.412", "71,20": "71.20", "-0,01": "-0.01", "−0.5": "-0.5", ",5": "0.5", "5,": "5", "0,123": "0.123", "1234,567": "1234.567", "1.234": "1.234", "12,3456": "12.3456",
		"1\u202f000": "1000", "12\u00a0345,5": "12345.5",
		"1 000": `"1 000"`, "1,234.5": `"1,234.5"`, "1.234,5": `"1.234,5"`, "1,234,567": `"1,234,567"`, "1.234.567": `"1.234.567"`, ",": `","`,
		"NaN": `"NaN"`, "Inf": `"Inf"`, "0x1p4": `"0x1p4"`, "1_000": `"1_000"`, "1e999": `"1e999"`, "true": `"true"`, "null": `"null"`, "[1]": `"[1]"`,
	}
	for _, c := range []struct {
		in    *catalogue
		grown map[string]string
	}{
		{pointing, map[string]string{"1,234": `"1,234"`, "-12,345": `"-12,345"`, "100,000": `"100,000"`}},
		{commaing, map[string]string{"1,234": "1.234", "-12,345": "-12.345", "100,000": "100.000"}},
	} {
		for _, list := range []map[string]string{either, c.grown} {
			for text, want := range list {
				got, err := json.Marshal(c.in.number(text))
				if err != nil || string(got) != want {
					t.Errorf("%s: number(%q) = %s, %v, want %s", c.in.code, text, got, err, want)
				}
			}
		}
	}
}

// TestVolume: where the decimal mark is a comma, 1.000 may be a thousand litres or one,
// and is not read.
func TestVolume(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		in         *catalogue
		text, want string
	}{
		{pointing, "1.000", "1.000"}, {pointing, "1,000", `"1,000"`}, {commaing, "1.000", `"1.000"`}, {commaing, "12.345.678", `"12.345.678"`},
		{commaing, "1,000", "1.000"}, {commaing, "1000", "1000"}, {commaing, "0.750", "0.750"}, {commaing, "1000.5", "1000.5"}, {commaing, "1.5", "1.5"},
	} {
		if got, err := json.Marshal(c.in.volume(c.text)); err != nil || string(got) != c.want {
			t.Errorf("%s: volume(%q) = %s, %v, want %s", c.in.code, c.text, got, err, c.want)
		}
	}
}

// TestNumbers: a comma between two digits is a decimal mark where nothing else may be
// meant.
func TestNumbers(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		in         *catalogue
		text, want string
	}{
		{pointing, "0 2 4.5", `[0,2,4.5]`}, {pointing, "0,2,4", `[0,2,4]`}, {pointing, "0, 2, 4,6", `[0,2,4,6]`}, {pointing, "0,5", `[0,5]`},
		{pointing, "0 1,5 3", `[0,1.5,3]`}, {pointing, "0;1,5;3", `[0,1.5,3]`}, {pointing, "", `[]`}, {pointing, "0 1,500", `[0,"1,500"]`},
		{commaing, "0 2 4.5", `[0,2,4.5]`}, {commaing, "0 1,5 3", `[0,1.5,3]`}, {commaing, "0,5", `[0.5]`}, {commaing, "0,5, 1,5", `[0.5,1.5]`},
		{commaing, "0, 2, 4", `[0,2,4]`}, {commaing, "0,2,4", `["0,2,4"]`}, {commaing, "1,5;2", `[1.5,2]`}, {pointing, "−0.5 2", `[-0.5,2]`}, {commaing, "−0,5; 2", `[-0.5,2]`},
	} {
		if got, err := json.Marshal(c.in.numbers(c.text)); err != nil || string(got) != c.want {
			t.Errorf("%s: numbers(%q) = %s, %v, want %s", c.in.code, c.text, got, err, c.want)
		}
	}
	if got := pointing.portable("−0.5 2"); got != "-0.5 2" {
		t.Errorf("portable = %q, want a hyphen, as the interface reads numbers", got)
	}
	if got, err := json.Marshal(commaing.extra("460: 0,118  560: 0,093")); err != nil || string(got) != `[{"absorbance":0.118,"nm":460},{"absorbance":0.093,"nm":560}]` {
		t.Errorf("extra = %s, %v", got, err)
	}
}

// TestWritten: numbers, times, fields and what is English, as two languages put them
// out.
func TestWritten(t *testing.T) {
	t.Parallel()
	at := record.At(time.Date(2026, 11, 25, 14, 30, 0, 0, time.UTC))
	for _, c := range []struct {
		value            any
		english, foreign string
	}{
		{digits("82.4 ± 0.6"), "82.4 ± 0.6", "82,4 ± 0,6"},
		{digits("> 0.999"), "> 0.999", "> 0,999"},
		{digits("9999.5"), "9999.5", "9999,5"},
		{digits("-12345.678901"), "−12\u202f345.678901", "−12\u202f345,678901"},
		{digits("-0.10–-0.05 ± 0.02"), "−0.10–−0.05 ± 0.02", "−0,10–−0,05 ± 0,02"},
		{digits("1e-05"), "1e-05", "1e-05"},
		{entered("-0.05"), "-0.05", "-0,05"},
		{"L-31", "L-31", "L-31"},
		{digits("0.12345"), "0.12345", "0,12345"},
		{entered("0.05"), "0.05", "0,05"},
		{entered("0 2 4.5"), "0 2 4.5", "0 2 4,5"},
		{entered("12345.5"), "12345.5", "12345,5"},
		{entered("1.234,5"), "1.234,5", "1.234,5"},
		{entered("0.5x"), "0.5x", "0.5x"},
		{"Lot 3.5", "Lot 3.5", "Lot 3.5"},
		{momentOf(at), "2026-11-25 14:30 UTC", "25/11/2026 14:30 UTC"},
		{dayOf(at), "2026-11-25", "25/11/2026"},
		{moment{}, "", ""},
		{english("a < b"), "a < b", `<span lang="en">a &lt; b</span>`},
		{english(""), "", ""},
		{12345, "12345", "12345"},
	} {
		for in, want := range map[*catalogue]string{pointing: c.english, commaing: c.foreign} {
			if got := fmt.Sprint(in.written(c.value)); got != want {
				t.Errorf("%s: written(%#v) = %q, want %q", in.code, c.value, got, want)
			}
		}
	}
}

// TestTimesTyped: times as people write them, and days as the language does.
func TestTimesTyped(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		in         *catalogue
		text, want string
	}{
		{pointing, "2026-11-25", "2026-11-25"}, {pointing, " 2026-11-25 14:30 ", "2026-11-25T14:30:00Z"}, {pointing, "2026-11-25T14:30:05+01:00", "2026-11-25T14:30:05+01:00"},
		{pointing, "25/11/2026", "25/11/2026"}, {pointing, "30", "30"}, {pointing, "all", "all"},
		{commaing, "2026-11-25", "2026-11-25"}, {commaing, "2026-11-25 14:30 UTC", "2026-11-25T14:30:00Z"},
		{commaing, "25/11/2026", "2026-11-25"}, {commaing, "25/11/2026 14:30", "2026-11-25T14:30:00Z"}, {commaing, "25/11/2026 14:30 UTC", "2026-11-25T14:30:00Z"},
		{commaing, "11/25/2026", "11/25/2026"}, {commaing, "30", "30"},
	} {
		if got := c.in.instantText(c.text); got != c.want {
			t.Errorf("%s: %q is read as %q, want %q", c.in.code, c.text, got, c.want)
		}
	}
}

// TestPlaced: values in texts, and the form that a count asks for.
func TestPlaced(t *testing.T) {
	t.Parallel()
	fr := &catalogue{code: "fr", tag: language.French, Writing: commaing.Writing,
		Texts:   map[string]string{"dose": "%s mL, %+.2f, %d lots", "why": "<%s> : %s"},
		Plurals: map[string]map[string]string{"lots": {"one": "%d lot", "other": "%d lots"}},
	}
	for _, c := range []struct {
		key    string
		values []any
		want   string
	}{
		{"dose", []any{digits("0.5"), 1.5, 20000}, "0,5 mL, +1,50, 20000 lots"},
		{"why", []any{"a", english("b & c")}, `&lt;a&gt; : <span lang="en">b &amp; c</span>`},
		{"why", []any{"a\ue001", english("b\ue000 c\ue001")}, "&lt;a\ufffd&gt; : <span lang=\"en\">b\ufffd c\ufffd</span>"},
		{"why", []any{"a\ue000", "b"}, "<a\ue000> : b"},
		{"why", []any{"a", "b"}, `<a> : b`}, // escaped where it is put out
		{"lots", []any{0}, "0 lot"}, {"lots", []any{1}, "1 lot"}, {"lots", []any{2}, "2 lots"},
	} {
		if got, err := fr.marked(c.key, c.values...); err != nil || fmt.Sprint(got) != c.want {
			t.Errorf("%s of %v = %v, %v, want %q", c.key, c.values, got, err, c.want)
		}
	}
	for _, values := range [][]any{nil, {"2"}} {
		if got, err := fr.text("lots", values...); err == nil {
			t.Errorf("a plural of %v = %q", values, got)
		}
	}
}

func TestDigits(t *testing.T) {
	t.Parallel()
	f := func(x float64) *float64 { return &x }
	for _, c := range []struct{ got, want digits }{
		{withU(f(82.44), f(0.61), decimalsFor(0.61, 2)), "82.4 ± 0.6"},
		{withU(f(1.118), f(0.031), decimalsFor(0.031, 2)), "1.12 ± 0.03"},
		{withU(f(98.4), f(0.021), 1), "98.4 ± 0.1"}, // never ± 0.0
		{withU(f(98.4), f(0), 1), "98.4 ± 0.0"},
		{withU(f(98.4), nil, 1), "98.4"},
		{withU(nil, f(1), 1), "–"},
		{fixed(-0.04, 1), "0.0"},
		{fixed(-0.05, 2), "-0.05"},
		{maybe(nil, 1), "–"},
		{percent(10, 2), "9.09"}, // 10/110: a dose is no share of the blend
		{percent(13, 1), "11.5"},
		{fixed(62.51, litresDecimals(62.51)), "62.5"},
		{fixed(6.251, litresDecimals(6.251)), "6.25"},
		{fixed(0.06251, litresDecimals(0.06251)), "0.063"},
		{signed(f(0.31), 1), "+0.3"},
		{signed(f(-0.31), 1), "-0.3"},
		{signed(f(0.01), 1), "0.0"},
		{signed(nil, 1), "–"},
		{doseText(6, 1), "6.0"},
		{doseText(6.2534, 1), "6.2534"},
		{doseText(6.25, 3), "6.250"},
		{plain(0.125), "0.125"},
		{plain(float64(doseDecimals(nil))), "1"},
		{plain(float64(doseDecimals(&[2]float64{9.48, 9.52}))), "2"},
	} {
		if c.got != c.want {
			t.Errorf("have %q, want %q", c.got, c.want)
		}
	}
}

// TestPicture wants a drawing that is XML and has no styles of its own, which
// the policy would stop when it is opened by itself.
func TestPicture(t *testing.T) {
	t.Parallel()
	h, err := New(Config{Demo: true, Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
	if err != nil {
		t.Fatal(err)
	}
	for _, address := range []string{"/preview/ladder.svg", "/favicon.ico"} {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequestWithContext(t.Context(), http.MethodGet, address, nil))
		if w.Code != http.StatusOK || regexp.MustCompile(`\sstyle=`).Match(w.Body.Bytes()) {
			t.Errorf("%s: status %d, or a style in it", address, w.Code)
		}
		d := xml.NewDecoder(w.Body)
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", address, err)
			}
		}
	}
	got := string(withoutStyles([]byte(`<text x="1" style="font-family:'A B',sans-serif;fill:#22262B" /><path style="fill:none" />`)))
	if want := `<text x="1" font-family="'A B',sans-serif" fill="#22262B" /><path fill="none" />`; got != want {
		t.Errorf("withoutStyles = %s, want %s", got, want)
	}
}

// TestContrast measures the colours of the style sheet by WCAG 2.2: contrast
// ratio (L1 + 0.05) / (L2 + 0.05) with its relative luminance; 4.5 for text
// (1.4.3), 3 for the edges of fields (1.4.11).
func TestContrast(t *testing.T) {
	t.Parallel()
	css, err := files.ReadFile("assets/page.css")
	if err != nil {
		t.Fatal(err)
	}
	modes := regexp.MustCompile(`(?s):root \{(.*?)\}`).FindAllSubmatch(css, 2)
	variable := regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6});`)
	if len(modes) != 2 {
		t.Fatalf("%d sets of colours, want light and dark", len(modes))
	}
	for i, mode := range modes {
		colours := map[string]string{}
		for _, m := range variable.FindAllSubmatch(mode[1], -1) {
			colours[string(m[1])] = string(m[2])
		}
		for _, pair := range []struct {
			on, above string
			least     float64
		}{
			{"ink", "ground", 4.5}, {"quiet", "ground", 4.5}, {"accent", "ground", 4.5}, {"on-accent", "accent", 4.5},
			{"ink", "panel", 4.5}, {"accent", "panel", 4.5}, {"quiet", "panel", 4.5}, {"edge", "ground", 3},
		} {
			x, y := luminance(t, colours[pair.on]), luminance(t, colours[pair.above])
			if ratio := (max(x, y) + 0.05) / (min(x, y) + 0.05); ratio < pair.least {
				t.Errorf("mode %d: %s on %s has contrast %.2f, want %g", i, pair.on, pair.above, ratio, pair.least)
			}
		}
	}
}

func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if err != nil {
		t.Fatalf("colour %q: %v", hex, err)
	}
	sum := 0.0
	for i, weight := range []float64{0.0722, 0.7152, 0.2126} {
		c := float64(n>>(8*i)&0xff) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// FuzzAddress opens pages at any address: no panic, no fault of the program.
func FuzzAddress(f *testing.F) {
	for _, query := range []string{"", "base=white-3", "base_a420=0.1&doses=1,2;x", "%zz", "tank_l=1e400&bottles=-1", "doses=0&base_ml=1e-300", "rung_ml=0&target_L=1"} {
		f.Add(query)
	}
	h, err := New(Config{Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, query string) {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "/", nil)
		r.URL.RawQuery = query
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			t.Errorf("status %d for %q", w.Code, query)
		}
	})
}

// TestStoreErrors: what the store cannot do is told in words, with the status
// that a program reads it by.
func TestStoreErrors(t *testing.T) {
	t.Parallel()
	var log strings.Builder
	s, err := newSite(Config{Log: slog.New(slog.NewTextHandler(&log, nil))})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		err    error
		status int
		said   string
		after  string
		logged bool
	}{
		{record.ErrUnavailable, http.StatusServiceUnavailable, "load the page again in a few seconds", "2", true},
		{record.ErrFull, http.StatusInsufficientStorage, "There is no room left", "", true},
		{record.ErrDamaged, http.StatusInternalServerError, "pourpath verify", "", true},
		{record.ErrNotFound, http.StatusNotFound, "There is no such wine here", "", false},
		{errors.New("secret of the cellar"), http.StatusInternalServerError, "The service has a fault", "", true},
	} {
		log.Reset()
		w := httptest.NewRecorder()
		s.answer(func(*http.Request) (document, error) { return document{}, fmt.Errorf("store: reading: %w", c.err) })(w,
			httptest.NewRequestWithContext(t.Context(), http.MethodGet, "/wines", nil))
		page := w.Body.String()
		if w.Code != c.status || !strings.Contains(page, c.said) || w.Header().Get("Retry-After") != c.after {
			t.Errorf("%v: %d, Retry-After %q: %s", c.err, w.Code, w.Header().Get("Retry-After"), page)
		}
		if strings.Contains(page, "store: reading") || strings.Contains(log.String(), "store: reading") != c.logged {
			t.Errorf("%v: the page or the log has what it should not: %s %s", c.err, page, log.String())
		}
	}
}

// TestRemediesSettle: remedies are offered where one of them leads to a verdict.
func TestRemediesSettle(t *testing.T) {
	t.Parallel()
	if (remedies{{Verdict: "inconclusive"}, {Verdict: "inconclusive"}}).Any() || !(remedies{{Verdict: "inconclusive"}, {Verdict: "pass"}}).Any() {
		t.Error("whether a remedy leads to a verdict is told wrongly")
	}
}

func TestAlign(t *testing.T) {
	t.Parallel()
	column := []*figure{{Value: "7.2", U: "0.1"}, {Value: "0.155"}, {Value: "12"}, {Value: ""}}
	align(column)
	for i, want := range []int{2, 0, 4, 4} { // a decimal mark is as wide as a digit, or less
		if got := len([]rune(column[i].Pad)); got != want || !column[i].Room {
			t.Errorf("%q is followed by %d blanks, want %d", column[i].Value, got, want)
		}
	}
}

// TestTerm: what explains a quantity begins with its meaning, in one sentence.
func TestTerm(t *testing.T) {
	t.Parallel()
	c, err := readCatalogue("text/en.json")
	if err != nil {
		t.Fatal(err)
	}
	got, err := c.term("tint", "Tint")
	if want := (term{"tint", "Tint", "A420 / A520, OIV's shade, without a unit."}); err != nil || got != want {
		t.Errorf("term(tint) = %+v, %v, want %+v", got, err, want)
	}
	if _, err := c.term("taste", "Taste"); err == nil {
		t.Error("term of what nothing explains = nil error")
	}
	for name, list := range c.Lists {
		for _, r := range list {
			if r.ID == "" {
				continue
			}
			if got, err := c.term(r.ID, "x"); err != nil || len([]rune(got.Meaning)) < 15 || len([]rune(got.Meaning)) > 200 || !strings.HasSuffix(got.Meaning, ".") {
				t.Errorf("%s: %s means %q, %v", name, r.ID, got.Meaning, err)
			}
		}
	}
}

// TestVerdictWords: what the pages say of a verdict is, in each language, what documents
// say, and in English what commands say.
func TestVerdictWords(t *testing.T) {
	t.Parallel()
	catalogues, err := readCatalogues()
	if err != nil {
		t.Fatal(err)
	}
	spaces := strings.NewReplacer("\u00a0", " ", "\u202f", " ")
	for _, c := range catalogues {
		papers := c.documents()
		n := 0
		for key, text := range c.Texts {
			kind, name, _ := strings.Cut(key, ".")
			var want string
			switch kind {
			case "cause":
				want = release.CauseName(calc.CauseShare{Cause: name}, papers)
			case "cause_kind":
				text, want = c.Texts["cause.reading"]+", "+text, release.CauseName(calc.CauseShare{Cause: "reading", Kind: name}, papers)
			case "part_name":
				want = release.PartName(calc.CheckResult{Quantity: name}, &papers.Figures)
			case "remedy":
				if want = papers.Told.Remedies[name]; c.code == inEnglish && want != conform.Action(name).Text() {
					t.Errorf("remedy %s: %q, in answers %q", name, want, conform.Action(name).Text())
				}
			case "stage":
				if name == "" || name == "none" {
					continue
				}
				want = papers.Told.Stages[name]
			default:
				continue
			}
			n++
			if spaces.Replace(text) != spaces.Replace(want) {
				t.Errorf("%s: %s: %q, elsewhere %q", c.code, key, text, want)
			}
		}
		if n != 34 {
			t.Errorf("%s: %d texts, want the 7 causes, 2 kinds, 13 parts, 7 remedies and 5 stages", c.code, n)
		}
	}
}

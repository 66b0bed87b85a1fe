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

	"pourpath/api/record"
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
	key := regexp.MustCompile(`\bt "([a-z][a-zA-Z_0-9.]*)"|(?:print|text\()\s*"([a-z_]+\.)"|"((?:note|word|options|part|field)\.[a-z_]+)"|"(script\.)"`)
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
		if _, ok := c.Texts[k]; !ok {
			t.Errorf("the catalogue has no %q", k)
		}
	}
	for k := range c.Texts {
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

func TestNumber(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"0.412": "0.412", "71.20": "71.20", "1e-1": "1e-1", "-0.01": "-0.01", "0": "0",
		".5": "0.5", "5.": "5", "+0.5": "0.5", "007": "7",
		"0,412": `"0,412"`, "1 000": `"1 000"`, "NaN": `"NaN"`, "Inf": `"Inf"`, "0x1p4": `"0x1p4"`, "1_000": `"1_000"`, "1e999": `"1e999"`, "true": `"true"`, "null": `"null"`, "[1]": `"[1]"`,
	} {
		got, err := json.Marshal(number(text))
		if err != nil || string(got) != want {
			t.Errorf("number(%q) = %s, %v, want %s", text, got, err, want)
		}
	}
}

func TestDigits(t *testing.T) {
	t.Parallel()
	f := func(x float64) *float64 { return &x }
	for _, c := range []struct{ got, want string }{
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
		{strconv.Itoa(doseDecimals(nil)), "1"},
		{strconv.Itoa(doseDecimals(&[2]float64{9.48, 9.52})), "2"},
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

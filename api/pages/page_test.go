package pages_test

import (
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"math"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"os/exec"
	"runtime/debug"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"pourpath/api"
	"pourpath/api/access"
	"pourpath/api/calc"
	"pourpath/api/pages"
	"pourpath/api/store"
)

// These tests leave so much behind that collecting it took a quarter of their time; it may
// take more room instead, up to some 2 GB.
var _ = debug.SetGCPercent(300)

// service is the whole service with its pages, as the program serves it.
func service(t *testing.T, demo bool) http.Handler {
	t.Helper()
	h, _ := withRecords(t, demo)
	return h
}

// atTheMachine takes every address for the machine's own, from which most tests ask.
func atTheMachine(netip.Addr) bool { return true }

// withRecords is service with its store, which is empty.
func withRecords(t *testing.T, demo bool) (http.Handler, *store.Store) {
	t.Helper()
	return admitting(t, demo, access.Config{Local: atTheMachine}, access.Listening{})
}

// admitting is withRecords for those that a gate lets in, where it can be reached.
func admitting(t *testing.T, demo bool, gate access.Config, reached access.Listening) (http.Handler, *store.Store) {
	t.Helper()
	dir := t.TempDir()
	records, err := store.Open(t.Context(), store.Config{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := records.Close(); err != nil {
			t.Error(err)
		}
	})
	log := slog.New(slog.NewTextHandler(io.Discard, nil))
	p, err := pages.New(pages.Config{Version: "test", Demo: demo, Records: records, DataDir: dir, Log: log, Listening: reached})
	if err != nil {
		t.Fatal(err)
	}
	h, err := api.New(api.Config{Version: "test", DataDir: dir, Records: records, Log: log, Pages: p, Refused: p.Refused, Access: gate})
	if err != nil {
		t.Fatal(err)
	}
	return h, records
}

// fill brings the invented wines, all of their readings and the targets into a
// store, without the work that a demonstration has besides.
func fill(t *testing.T, records *store.Store) {
	t.Helper()
	invented, err := pages.InventedCellar()
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range invented.Wines {
		added, _, err := records.CreateWine(t.Context(), w.WineFields, &w.Readings[0])
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range w.Readings[1:] {
			if _, err := records.AddReading(t.Context(), added.ID, r); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, target := range invented.Targets {
		if _, err := records.CreateTarget(t.Context(), target); err != nil {
			t.Fatal(err)
		}
	}
}

func get(t *testing.T, h http.Handler, address string) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://127.0.0.1:8420/", nil)
	path, query, _ := strings.Cut(address, "?")
	r.URL.Path, r.URL.RawQuery = path, query
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func post(t *testing.T, h http.Handler, path, body string) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420"+path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// typed are readings of one's own; each test changes what it is about.
func typed(change map[string]string) string {
	values := url.Values{}
	for name, text := range map[string]string{
		"base_a420": "0.085", "base_a520": "0.021", "base_a620": "0.008", "base_path_mm": "10",
		"red_a420": "0.231", "red_a520": "0.398", "red_a620": "0.067", "red_path_mm": "1",
		"base_ml": "50", "doses": "0, 2.5; 5 10", "target_L": "85.5", "target_a": "16.5", "target_b": "4.5", "tolerance": "2",
		"rung_ml": "", "rung_a420": "", "rung_a520": "", "rung_a620": "", "rung_path_mm": "10",
		"tank_l": "500", "bottles": "",
	} {
		values.Set(name, text)
	}
	for name, text := range change {
		values.Set(name, text)
	}
	return "/?" + values.Encode()
}

// scanLines is a pale white from 380 to 780 nm, as a spreadsheet would have it.
func scanLines(between, point string) string {
	var b strings.Builder
	for nm := 400; nm <= 700; nm += 10 {
		a := fmt.Sprintf("%.4f", 0.12*math.Exp(-float64(nm-420)/60)+0.01)
		fmt.Fprintf(&b, "%d%s%s\n", nm, between, strings.Replace(a, ".", point, 1))
	}
	return b.String()
}

// states are all that a page can look like. A text stands where html.Parse and
// the text of a browser have it.
var states = []struct {
	name     string
	demo     bool
	address  string
	wanted   []string
	unwanted []string
}{
	{"demo", true, "/",
		[]string{"White, tank 5, dosed with Red, barrel 7", "invented", "Closest to Last year's rosé", "mL per 100 mL of base", "% of the blend", "With 95 % probability", "with a probability of at least 0.95", "Tank of 1000 L", "600 bottles of 750 mL", "Recalibrated to 1 rung", "Sulphites", "licensed practice", "a guide, not a standard"},
		[]string{"What could not be read", "is shown here"}},
	{"demo, another choice", true, "/?base=white-9&red=red-12&target=onion-skin&tank_l=&bottles=6000",
		[]string{"Golden white, cask 9, dosed with Old red, barrel 12", "Closest to Onion skin", "no rung has been poured and read yet", "6000 bottles"},
		[]string{"What could not be read", "Tank of 1000"}},
	{"demo, intensity and tint", true, "/?target=deep", []string{"Δ intensity", "Δ tint", "from target"}, []string{"ΔE00 from target", "What could not be read"}},
	{"demo, unknown wine", true, "/?base=white-77&red=red-2",
		[]string{"What could not be read", `"white-77" is not in this cellar`, "White, tank 5, dosed with Young red, tank 2"}, nil},
	{"demo, broken address", true, "/?base=white-3&red=%zz&frobnicate=1&base=white-5",
		[]string{"The address is damaged", `"frobnicate" is no field of this page`, `"base" is given more than once`, "White, tank 3, dosed with Red, barrel 7"}, nil},
	{"demo, no number", true, "/?tank_l=lots", []string{"What could not be read", "expected number", "600 bottles"}, []string{"Tank of lots"}},
	{"demo, half a bottle", true, "/?bottles=1.5", []string{"What could not be read", "integer"}, []string{"1.5 bottles"}},
	{"demo, a dose", true, "/?red_dose=4.5", []string{"4.5 mL per 100 mL of base 4.3 % of the blend"}, []string{"What could not be read"}},
	{"demo, no dose", true, "/?red_dose=0", []string{"0.0 mL per 100 mL of base 0.0 % of the blend"}, []string{"What could not be read"}},
	{"demo, a dose beyond the ladder", true, "/?red_dose=33", []string{"33.0 mL per 100 mL of base"}, []string{"What could not be read"}},
	{"demo, a dose at fault", true, "/?red_dose=-4", []string{"What could not be read", "Red, Exactly, mL per 100 mL: expected number > 0"}, nil},
	{"demo, a dose in words", true, "/?red_dose=some", []string{"What could not be read", "expected number"}, nil},
	{"demo, no tool", true, "/?graduation_ml=0", []string{"graduation must be a number of mL above 0"}, nil},
	{"demo, no target", true, "/?target=none", []string{"Give a target"}, []string{"What could not be read", "With 95 %"}},
	{"demo, not recalibrated", true, "/?rung=none", []string{"no rung has been poured and read yet"}, []string{"What could not be read", "Recalibrated"}},
	{"demo, three wines", true, "/?third=white-9&third_dose=5&red_dose=7", []string{"Third wine: Golden white, cask 9", "5.0 mL per 100 mL of base", "Closest blend of all these wines"}, []string{"What could not be read", "Recalibrated"}},
	{"demo, four wines", true, "/?third=white-9&fourth=red-12&fourth_dose=1", []string{"Fourth wine: Old red, barrel 12"}, []string{"What could not be read"}},
	{"demo, third at fault", true, "/?third=white-9&third_dose=-1", []string{"Third wine, Exactly, mL per 100 mL: expected number >= 0", "shown without the further wines"}, []string{"Third wine: Golden"}},
	{"demo, third typed", true, "/?third=readings&third_a420=0.3&third_a520=0.2&third_a620=0.1&third_dose=2", []string{"Third wine"}, []string{"What could not be read"}},
	{"demo, a lamp", true, "/?lamp=A&depth_mm=20", []string{"20 mm of wine under A", "For A, 10° observer, 20 mm of wine"}, []string{"What could not be read"}},
	{"demo, no such lamp", true, "/?lamp=moon", []string{"What could not be read", "Lamp: ", "shown in the usual light"}, nil},
	{"demo, no depth", true, "/?depth_mm=0", []string{"What could not be read", "Depth, mm", "shown in the usual light"}, nil},
	{"demo, own readings", true, typed(nil), []string{"your base, dosed with your red", "Tank of 500 L"}, []string{"What could not be read", "bottles of"}},
	{"demo, own readings and a choice", true, typed(map[string]string{"base": "white-3"}), []string{"White, tank 3, dosed with your red"}, []string{"What could not be read"}},
	{"demo, a scan", true, "/?base=scan&base_scan=" + url.QueryEscape(scanLines("\t", ".")), []string{"your base, dosed with Red, barrel 7"}, []string{"What could not be read"}},
	{"demo, a scan with commas", true, "/?base=scan&base_scan=" + url.QueryEscape("nm;Abs\n"+scanLines(";", ",")), []string{"your base, dosed with Red, barrel 7"}, []string{"What could not be read"}},
	{"demo, a scan with a slip", true, "/?base=scan&base_scan=" + url.QueryEscape(strings.Replace(scanLines(" ", "."), "420 0.", "420 O.", 1)), []string{"What could not be read", "White base, Scan: a wavelength in nm and its absorbance in each line: line 3, absorbance: this is not a number", "is shown here"}, []string{"missing"}},
	{"demo, no scan", true, "/?base=scan&base_scan=hello", []string{"What could not be read", "is shown here"}, nil},
	{"demo, target a report", true, "/?target=lab&target_L=85&target_a=14&target_b=6&tolerance=2", []string{"Closest dose", "from target"}, []string{"What could not be read"}},
	{"demo, target readings", true, "/?target=readings&target_a420=0.236&target_a520=0.246&target_a620=0.051", []string{"Closest dose", "from target"}, []string{"What could not be read"}},
	{"demo, target indices", true, "/?target=indices&target_intensity=0.6&target_tint=0.9", []string{"Δ tint"}, []string{"What could not be read"}},
	{"demo, target half", true, "/?target=indices&target_intensity=0.6", []string{"Target, Tint: intensity and tint go together", "shown without the target"}, nil},
	{"demo, target empty", true, "/?target=lab", []string{"Target, L*", "is missing", "shown without the target"}, nil},
	{"serve", false, "/", []string{"What colour will the blend be?", "Begin with an example", "is shown here", "Before you pour"}, []string{"invented: no winery", "Whites of the cellar", "What could not be read"}},
	{"serve, a demo's address", false, "/?base=white-3", []string{`"white-3" is not in this cellar`}, []string{"White, tank 3"}},
	{"serve, own readings", false, typed(nil), []string{"your base, dosed with your red", "Each glass holds 50 mL of base"}, []string{"What could not be read"}},
	{"serve, no target", false, typed(map[string]string{"target_L": "", "target_a": "", "target_b": "", "tolerance": ""}), []string{"Give a target"}, []string{"What could not be read", "With 95 %"}},
	{"serve, target at fault", false, typed(map[string]string{"target_L": "855"}), []string{"Target, L*: expected number <= 110", "shown without the target"}, []string{"With 95 %"}},
	{"serve, doses at fault", false, typed(map[string]string{"doses": "0 five 5 -1 10"}), []string{"Red in each, mL", "a dose must be 0 mL or more", "shown with the other doses", "With 95 %"}, nil},
	{"serve, rung at fault", false, typed(map[string]string{"rung_ml": "6", "rung_a420": "0.2"}), []string{"A glass that was poured and read, A520", "is missing", "shown without the rung", "With 95 %"}, nil},
	{"serve, rung", false, typed(map[string]string{"rung_ml": "3", "rung_a420": "0.196", "rung_a520": "0.216", "rung_a620": "0.043"}), []string{"Recalibrated to 1 rung"}, []string{"What could not be read"}},
	{"serve, reading missing", false, typed(map[string]string{"base_a520": ""}), []string{"Your ladder is nearly there", "White base, A520", "is missing", "is shown here"}, []string{"With 95 %"}},
	{"serve, further readings", false, typed(map[string]string{"base_extra": "460:0.06 570=0.02"}), []string{"your base, dosed with your red"}, []string{"What could not be read"}},
	{"serve, a further reading at fault", false, typed(map[string]string{"base_extra": "460"}), []string{"White base, Further: nm and absorbance"}, []string{"With 95 %"}},
	{"serve, no doses", false, typed(map[string]string{"doses": " "}), []string{"Red in each, mL", "is shown here"}, []string{"With 95 %"}},
	{"serve, end of the ladder", false, typed(map[string]string{"doses": "0 1"}), []string{"at an end of the ladder"}, []string{"With 95 %"}},
	{"serve, markup", false, typed(map[string]string{"base_a420": `"><script>x</script>`}), []string{"What could not be read"}, nil},
	{"no wines yet", false, "/wines", []string{"There is no wine here yet", "Import a file", "Each wine has a row here"}, []string{"Older", "Newer"}},
	{"past the last wine", false, "/wines?older=0192f000-0000-7000-8000-000000000000", []string{"There is no wine here yet"}, nil},
	{"import", false, "/import", []string{"Import readings", "Drop files here", "Or paste cells", "What can be read"}, []string{"What is wrong"}},
	{"no such wine", false, "/wines/0192f000-0000-7000-8000-000000000000", []string{"There is no such wine here"}, nil},
	{"no such reading", false, "/readings/none", []string{"There is no such reading here"}, nil},
	{"no such trial", false, "/trials/none", []string{"There is no such trial here", "The lists have all there is"}, nil},
	{"no such lot", false, "/lots/none", []string{"There is no such lot here"}, nil},
	{"no such specification", false, "/specs/none", []string{"There is no such specification here"}, nil},
	{"no such panel", false, "/panels/none", []string{"There is no such panel here"}, nil},
	{"no such statement", false, "/statements/7", []string{"There is no such statement here"}, nil},
	{"no such import", false, "/imports/none", []string{"There is nothing at this address"}, nil},
	{"no name of a wine", false, "/wines/%00", []string{"There is no such wine here"}, nil},
	{"no place in the list", false, "/wines?older=somewhere", []string{"There is no page at this address"}, nil},
	{"nothing there", true, "/wines/none/there", []string{"There is no page at this address"}, nil},
	{"no ladder to draw", false, "/preview/ladder.svg", []string{"This address makes no ladder"}, nil},
}

var statuses = map[string]int{"nothing there": http.StatusNotFound, "no ladder to draw": http.StatusUnprocessableEntity,
	"no such wine": http.StatusNotFound, "no such reading": http.StatusNotFound, "no such trial": http.StatusNotFound, "no such lot": http.StatusNotFound,
	"no such specification": http.StatusNotFound, "no such panel": http.StatusNotFound, "no such statement": http.StatusNotFound, "no such import": http.StatusNotFound,
	"no name of a wine": http.StatusNotFound, "no place in the list": http.StatusNotFound}

func TestPageStates(t *testing.T) {
	t.Parallel()
	services := map[bool]http.Handler{false: service(t, false), true: service(t, true)}
	answered := map[bool]map[string]bool{false: {}, true: {}}
	for _, s := range states {
		t.Run(s.name, func(t *testing.T) {
			h := services[s.demo]
			w := get(t, h, s.address)
			want := statuses[s.name]
			if want == 0 {
				want = http.StatusOK
			}
			if w.Code != want {
				t.Fatalf("status %d, want %d:\n%s", w.Code, want, w.Body)
			}
			if got := w.Header().Get("Content-Type"); got != "text/html; charset=utf-8" {
				t.Errorf("Content-Type %q", got)
			}
			page := w.Body.String()
			wellFormed(t, page)
			tree := parse(t, page)
			safe(t, tree)
			linked(t, h, tree, answered[s.demo])
			said := text(tree)
			for _, fragment := range s.wanted {
				if !strings.Contains(said, fragment) {
					t.Errorf("the page does not say %q; it says:\n%s", fragment, said)
				}
			}
			for _, fragment := range append(s.unwanted, "%!", "<nil>", "ZgotmplZ", "NaN") {
				if strings.Contains(said, fragment) {
					t.Errorf("the page says %q", fragment)
				}
			}
		})
	}
}

// TestTypedIsKept finds each field as it was typed, sound or not.
func TestTypedIsKept(t *testing.T) {
	t.Parallel()
	change := map[string]string{"base_a420": "0,085", "doses": "0 2 x", "target_b": `4"5<`, "red_path_mm": "", "bottles": "many"}
	values := map[string]string{}
	tree := parse(t, get(t, service(t, false), typed(change)).Body.String())
	for n := range tree.Descendants() {
		if n.Data == "input" {
			values[attribute(n, "name")] = attribute(n, "value")
		}
	}
	change["red_a420"] = "0.231"
	for name, want := range change {
		if got, there := values[name]; !there || got != want {
			t.Errorf("%s = %q, want %q", name, got, want)
		}
	}
}

// TestSameWords holds the page's words for faults against those of the API for
// the same request.
func TestSameWords(t *testing.T) {
	t.Parallel()
	h := service(t, false)
	w := post(t, h, "/v1/ladder", `{"base":{"readings":{"a420":"1,085","a520":-0.4,"path_mm":0}},
		"addition":{"readings":{"a420":9.1,"a520":0.398,"a620":0.067,"path_mm":1}},"base_ml":0,"doses_ml":[0,-1]}`)
	var problem calc.Problem
	if err := json.Unmarshal(w.Body.Bytes(), &problem); err != nil || w.Code != http.StatusUnprocessableEntity {
		t.Fatalf("status %d, %v: %s", w.Code, err, w.Body)
	}
	if len(problem.Errors) < 6 {
		t.Fatalf("want at least six faults to compare, have %d", len(problem.Errors))
	}
	said := text(parse(t, get(t, h, typed(map[string]string{
		"base_a420": "1,085", "base_a520": "-0.4", "base_a620": "", "base_path_mm": "0", "red_a420": "9.1", "base_ml": "0", "doses": "0 -1",
		"target_L": "", "target_a": "", "target_b": "", "tolerance": "",
	})).Body.String()))
	for _, f := range problem.Errors {
		// Once in the summary and once at the field.
		if n := strings.Count(said, f.Message); n < 2 {
			t.Errorf("%s: the page says %q %d times, want twice or more:\n%s", f.Location, f.Message, n, said)
		}
	}
}

// TestPastedRequests pastes each request of the page into a shell whose curl
// sends it to the same service.
func TestPastedRequests(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		demo    bool
		address string
	}{"demo": {true, "/"}, "serve": {false, "/"}, "own": {false, typed(nil)}} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h := service(t, c.demo)
			sent := pasted(t, h, c.address)
			if len(sent) != 3 {
				t.Fatalf("%d requests to paste, want 3", len(sent))
			}
			for _, p := range sent {
				if w := post(t, h, p.path, p.body); w.Code != http.StatusOK {
					t.Errorf("POST %s %s = %d %s", p.path, p.body, w.Code, w.Body)
				}
			}
		})
	}
}

type sent struct{ path, body string }

// pasted runs the page's commands in a shell and returns what curl is told.
func pasted(t *testing.T, h http.Handler, address string) []sent {
	t.Helper()
	var out []sent
	for n := range parse(t, get(t, h, address).Body.String()).Descendants() {
		if n.Data != "pre" {
			continue
		}
		script := `curl() { printf '%s\n' "$@"; }` + "\n" + text(n)
		words, err := exec.CommandContext(t.Context(), "sh", "-c", script).Output()
		if err != nil {
			t.Fatalf("%s: %v", script, err)
		}
		lines := strings.Split(strings.TrimSpace(string(words)), "\n")
		if len(lines) != 5 || lines[1] != "-H" || lines[2] != "Content-Type: application/json" || lines[3] != "-d" {
			t.Fatalf("curl is told %q", lines)
		}
		u, err := url.Parse(lines[0])
		if err != nil || u.Host != "127.0.0.1:8420" {
			t.Fatalf("curl is sent to %q (%v), not to this service", lines[0], err)
		}
		out = append(out, sent{u.Path, lines[4]})
	}
	return out
}

// TestNumbersAreTheAPIs holds the page against the API's answer to the request
// that the page says it shows.
func TestNumbersAreTheAPIs(t *testing.T) {
	t.Parallel()
	h := service(t, true)
	requests := pasted(t, h, "/")
	i := slices.IndexFunc(requests, func(s sent) bool { return s.path == "/v1/ladder" })
	if i < 0 {
		t.Fatal("no ladder to paste")
	}
	var a calc.LadderResponse
	if err := json.Unmarshal(post(t, h, "/v1/ladder", requests[i].body).Body.Bytes(), &a); err != nil {
		t.Fatal(err)
	}
	tree := parse(t, get(t, h, "/").Body.String())
	said := text(tree)
	n := a.Nearest
	for _, want := range []string{
		fmt.Sprintf("%.1f mL per 100 mL of base", n.DoseMLPer100ML),
		fmt.Sprintf("%.1f %% of the blend", 100*n.AdditionFraction),
		fmt.Sprintf("from %.1f to %.1f mL per 100 mL of base", n.DoseInterval95[0], n.DoseInterval95[1]),
		fmt.Sprintf("Doses from %.1f to %.1f mL per 100 mL of base", n.AcceptableDoses[0], n.AcceptableDoses[1]),
		fmt.Sprintf("doses from %.1f to %.1f mL per 100 mL of base", n.NominalDoses[0], n.NominalDoses[1]),
	} {
		if !strings.Contains(said, want) {
			t.Errorf("the page does not say %q:\n%s", want, said)
		}
	}
	rows := rowsOf(tree, "ladder")
	if len(rows) != len(a.Rungs)+2 { // the heading, and the closest dose
		t.Fatalf("%d rows for %d rungs", len(rows), len(a.Rungs))
	}
	for _, r := range a.Rungs {
		v := r.Colour.CIELAB
		want := []string{
			fmt.Sprintf("%.1f", r.DoseML), fmt.Sprintf("%.1f", 100*r.AdditionFraction), fmt.Sprintf("%.1f", *r.Difference.DeltaE00),
			fmt.Sprintf("%.1f ±", v.L), minus(fmt.Sprintf("%.1f ±", v.A)), minus(fmt.Sprintf("%.1f ±", v.B)), fmt.Sprintf("%.1f", v.C), fmt.Sprintf("%.0f", v.H),
			fmt.Sprintf("%.3f ±", *r.Colour.Intensity), fmt.Sprintf("%.2f ±", *r.Colour.Tint), *r.Colour.SRGB,
		}
		if !slices.ContainsFunc(rows, func(row string) bool {
			return !slices.ContainsFunc(want, func(cell string) bool { return !strings.Contains(row, " "+cell) })
		}) {
			t.Errorf("no row has all of %q; rows:\n%s", want, strings.Join(rows, "\n"))
		}
	}
}

// rowsOf are a table's rows as text, each cell after a blank, swatches as their
// colours.
func rowsOf(tree *html.Node, class string) (rows []string) {
	for table := range tree.Descendants() {
		if table.Data == "table" && attribute(table, "class") == class {
			rows = append(rows, rowsIn(table)...)
		}
	}
	return rows
}

// rowsUnder are the rows of the tables in the part of a page that has a label.
func rowsUnder(tree *html.Node, label string) (rows []string) {
	for part := range tree.Descendants() {
		if attribute(part, "aria-label") == label {
			rows = append(rows, rowsIn(part)...)
		}
	}
	return rows
}

func rowsIn(tree *html.Node) (rows []string) {
	for row := range tree.Descendants() {
		if row.Type != html.ElementNode || row.Data != "tr" {
			continue
		}
		var cells strings.Builder
		for n := range row.Descendants() {
			switch {
			case n.Type == html.TextNode:
				cells.WriteString(" " + strings.TrimSpace(n.Data))
			case n.Data == "rect":
				cells.WriteString(" " + attribute(n, "fill"))
			}
		}
		rows = append(rows, cells.String())
	}
	return rows
}

// TestCellar opens every choice of the cellar: each makes a ladder, none has a
// fault, and each is drawn.
func TestCellar(t *testing.T) {
	t.Parallel()
	h := service(t, true)
	options := map[string][]string{}
	for n := range parse(t, get(t, h, "/").Body.String()).Descendants() {
		if group := n.Parent; n.Data == "option" && attribute(group, "label") != "Your own" {
			name := attribute(group.Parent, "name")
			options[name] = append(options[name], attribute(n, "value"))
		}
	}
	for name, want := range map[string]int{"base": 6, "red": 6, "target": 3} {
		if len(options[name]) != want {
			t.Errorf("%d to choose as %s, want %d", len(options[name]), name, want)
		}
	}
	// The whites stand first among bases, the reds among what is dosed.
	for _, base := range options["base"][:3] {
		for _, red := range options["red"][:3] {
			for _, target := range options["target"] {
				query := url.Values{"base": {base}, "red": {red}, "target": {target}}.Encode()
				w := get(t, h, "/?"+query)
				if said := text(parse(t, w.Body.String())); w.Code != http.StatusOK || strings.Contains(said, "What could not be read") || !strings.Contains(said, "mL per 100 mL of base") {
					t.Errorf("%s: %d %s", query, w.Code, said)
				}
				if w := get(t, h, "/preview/ladder.svg?"+query); w.Code != http.StatusOK || w.Header().Get("Content-Type") != "image/svg+xml" {
					t.Errorf("%s: picture %d %s", query, w.Code, w.Header().Get("Content-Type"))
				}
			}
		}
	}
}

// TestExample follows the one thing that an empty page says to do next.
func TestExample(t *testing.T) {
	t.Parallel()
	h := service(t, false)
	for n := range parse(t, get(t, h, "/").Body.String()).Descendants() {
		if n.Data != "a" || text(n) != "Begin with an example" {
			continue
		}
		said := text(parse(t, get(t, h, attribute(n, "href")).Body.String()))
		for _, want := range []string{"With 95 % probability", "Recalibrated to 1 rung", "Tank of 1000 L"} {
			if !strings.Contains(said, want) {
				t.Errorf("the example does not say %q:\n%s", want, said)
			}
		}
		if strings.Contains(said, "What could not be read") {
			t.Errorf("the example has faults:\n%s", said)
		}
		return
	}
	t.Error("an empty page has no example")
}

// TestAddressed: the foot of a page has its address, whatever is in that.
func TestAddressed(t *testing.T) {
	t.Parallel()
	h := service(t, true)
	for _, address := range []string{"/", "/wines", "/method", "/?base_name=<b>&x=%22"} {
		page := get(t, h, address).Body.String()
		var foot string
		for n := range parse(t, page).Descendants() {
			if attribute(n, "class") == "print-only page-address" {
				foot = text(n)
			}
		}
		if want := "127.0.0.1:8420" + strings.ReplaceAll(strings.ReplaceAll(address, "<", "%3C"), ">", "%3E"); foot != want && foot != "127.0.0.1:8420"+address || strings.Contains(page, "<b>") {
			t.Errorf("%s: the foot has %q, want %q", address, foot, want)
		}
	}
}

func TestHead(t *testing.T) {
	t.Parallel()
	h := service(t, true)
	addresses := []string{"/", "/wines", "/import", "/favicon.ico", "/preview/ladder.svg", "/preview/ladder.png", "/preview/request.json"}
	for n := range parse(t, get(t, h, "/").Body.String()).Descendants() {
		for _, name := range []string{"href", "src"} {
			if at := attribute(n, name); strings.HasPrefix(at, "/assets/") {
				addresses = append(addresses, at)
			}
		}
	}
	if len(addresses) != 11 {
		t.Errorf("the page has %d assets, want the style sheet, two scripts and the icon: %q", len(addresses)-7, addresses)
	}
	for _, address := range addresses {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodHead, "http://127.0.0.1:8420"+address, nil)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			t.Errorf("HEAD %s = %d", address, w.Code)
		}
	}
}

func TestNewNeedsALog(t *testing.T) {
	t.Parallel()
	if _, err := pages.New(pages.Config{}); err == nil {
		t.Error("New without a log = nil error, want one: internal errors would be lost")
	}
	log := slog.New(slog.NewTextHandler(io.Discard, nil))
	if _, err := pages.New(pages.Config{Log: log, Records: new(store.Store)}); err == nil {
		t.Error("New with records and no folder = nil error, want one: files would have nowhere to arrive")
	}
}

// minus is a number as a page writes it, with a true minus.
func minus(number string) string { return strings.Replace(number, "-", "−", 1) }

package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// formOf are the fields of the form that a page sends to an address, as a browser
// would send them.
func formOf(tree *html.Node, action string) url.Values {
	out := url.Values{}
	for form := range tree.Descendants() {
		if form.Data != "form" || attribute(form, "action") != action {
			continue
		}
		for n := range form.Descendants() {
			name := attribute(n, "name")
			switch {
			case name == "":
			case n.Data == "input" && attribute(n, "type") == "checkbox" && !has(n, "checked"):
			case n.Data == "input":
				out.Add(name, attribute(n, "value"))
			case n.Data == "textarea":
				out.Add(name, strings.TrimPrefix(text1(n), "\n"))
			case n.Data == "select":
				value, first := "", true
				for o := range n.Descendants() {
					if o.Data == "option" && (first || has(o, "selected")) {
						value, first = attribute(o, "value"), false
					}
				}
				out.Add(name, value)
			}
		}
	}
	return out
}

// text1 is the text of a node as it stands.
func text1(n *html.Node) string {
	if n.FirstChild == nil {
		return ""
	}
	return n.FirstChild.Data
}

// with is a form with other values in some fields.
func with(form url.Values, pairs ...string) url.Values {
	out := url.Values{}
	for name, values := range form {
		out[name] = slices.Clone(values)
	}
	for i := 0; i+1 < len(pairs); i += 2 {
		out.Set(pairs[i], pairs[i+1])
	}
	return out
}

// TestWineFactsTwoTabs: two forms of one wine are open. The second that is sent is told
// what the first changed, keeps what was typed in it, and loses nothing of either when
// it is sent again.
func TestWineFactsTwoTabs(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	stock, share := 1200.5, 85.0
	wine, _ := add(t, s, record.WineFields{
		Name: "Tank 4", Kind: record.White, Lot: "W-4", StockL: &stock, Notes: "line one\nline two", Varieties: []record.Variety{{Name: "Syrah", SharePercent: &share}},
	})
	at := "/wines/" + wine.ID
	tree, _ := opened(t, h, at+"/edit")
	form := formOf(tree, at+"/edit")
	for name, want := range map[string]string{"name": "Tank 4", "wine_kind": "white", "wine_lot": "W-4", "stock_l": "1200.5", "notes": "line one\nline two", "seen": "1", "vintage": ""} {
		if got := form.Get(name); got != want {
			t.Fatalf("the form has %q in %s, want %q", got, name, want)
		}
	}
	first := with(form, "stock_l", "900", "vintage", "2026", "notes", "line one\r\nline two", "was_notes", "line one\r\nline two")
	if to := sendWell(t, h, at+"/edit", first); to != at {
		t.Errorf("the first leads to %s", to)
	}
	if to := sendWell(t, h, at+"/edit", first); to != at {
		t.Errorf("the first, pressed twice, leads to %s", to)
	}
	other, _ := opened(t, h, at+"/edit") // not yet seen by the second tab
	second := with(form, "key", "another", "name", "Tank 4 <b>", "stock_l", "850", "notes", "line one\r\nline two", "was_notes", "line one\r\nline two")
	page := refusedForm(t, h, at+"/edit", second, map[string]bool{})
	said := spoken(page)
	says(t, said, "somebody else has changed this wine", "Somebody else changed this wine meanwhile",
		"When you opened it Stored now In your form", "Vintage – 2026 not touched: as stored now", "In stock, L 1200.5 900 850")
	if strings.Contains(said, "Name Tank 4 ") {
		t.Errorf("a field that only this tab has changed is told as a difference: %s", said)
	}
	again := formOf(page, at+"/edit")
	for name, want := range map[string]string{"name": "Tank 4 <b>", "stock_l": "850", "vintage": "2026", "seen": "2", "was_stock_l": "900", "notes": "line one\nline two"} {
		if got := again.Get(name); got != want {
			t.Errorf("after the refusal the form has %q in %s, want %q", got, name, want)
		}
	}
	sendWell(t, h, at+"/edit", again)
	got, err := s.Wine(t.Context(), wine.ID)
	if err != nil || got.Name != "Tank 4 <b>" || *got.StockL != 850 || *got.Vintage != 2026 || got.Version != 3 || got.Notes != "line one\nline two" || len(got.Varieties) != 1 {
		t.Errorf("kept: %+v, %v", got, err)
	}

	// Faults stand at their fields, and what was typed stays.
	page = refusedForm(t, h, at+"/edit", with(formOf(page, at+"/edit"), "seen", "3", "name", " ", "vintage", "last year", "stock_l", "-1", "key", "k3"), map[string]bool{})
	if faulty := atFault(page); !slices.Equal(faulty, []string{"name", "vintage", "stock_l"}) {
		t.Errorf("at fault: %q", faulty)
	}
	says(t, spoken(page), "Name : a wine needs a name")
	if got := formOf(page, at+"/edit").Get("vintage"); got != "last year" {
		t.Errorf("typed: %q", got)
	}

	// An archived wine says so, takes no form that was open, and can be brought back.
	leave := with(formOf(other, at+"/archive"), "archive_reason", "sold in bulk")
	refusedForm(t, h, at+"/archive", leave, map[string]bool{}) // its page had seen version 2
	leave.Set("seen", "3")
	page = refusedForm(t, h, at+"/archive", with(leave, "archive_reason", " "), map[string]bool{})
	if faulty := atFault(page); !slices.Equal(faulty, []string{"archive_reason"}) {
		t.Errorf("at fault: %q", faulty)
	}
	sendWell(t, h, at+"/archive", leave)
	_, said = opened(t, h, at)
	says(t, said, "Archived", "sold in bulk", "Bring this wine back", "Tank 4 <b>")
	page = refusedForm(t, h, at+"/edit", with(again, "seen", "4", "key", "k5", "notes", "long to write"), map[string]bool{})
	says(t, spoken(page), "it is archived by now", "sold in bulk")
	if got := formOf(page, at+"/edit").Get("notes"); got != "long to write" {
		t.Errorf("of what was typed is kept %q", got)
	}
	page = refusedForm(t, h, at+"/readings/new", fields("a420", "0.1", "a520", "0.1", "a620", "0.01"), map[string]bool{})
	says(t, spoken(page), "it is archived by now", "sold in bulk")
	if got := formOf(page, at+"/readings/new").Get("a620"); got != "0.01" {
		t.Errorf("of the reading is kept %q", got)
	}
	tree, _ = opened(t, h, at+"/edit")
	back := formOf(tree, at+"/unarchive")
	sendWell(t, h, at+"/unarchive", back)
	page = refusedForm(t, h, at+"/unarchive", with(back, "key", "k6"), map[string]bool{})
	says(t, spoken(page), "it is not archived any more")
	if _, said = opened(t, h, "/wines"); !strings.Contains(said, "Tank 4") {
		t.Error("a wine that was brought back is not in the list")
	}
}

// TestCorrectReading: each kind of reading fills the form with what it says, to the
// last digit, and a correction takes its place.
func TestCorrectReading(t *testing.T) {
	t.Parallel()
	path, dilution, u, number, temperature := 1.0, 5.0, 0.004, 2, 21.5
	taken := record.At(time.Date(2026, 11, 20, 9, 40, 30, 250000000, time.UTC))
	scan := &calc.Spectrum{PathMM: &path, Dilution: &dilution, UAbsorbance: &u}
	for nm := 380.0; nm <= 780; nm += 5 {
		scan.NM, scan.TransmittancePercent = append(scan.NM, nm), append(scan.TransmittancePercent, 60+nm/100+1.0/3)
	}
	for name, one := range map[string]struct {
		read   record.Reading
		change []string
	}{
		"absorbances": {record.Reading{
			Measurement: record.Measurement{Readings: &calc.Readings{A420: 0.1 + 0.2, A520: 0.412, A620: 0.069, PathMM: &path, Dilution: &dilution, UAbsorbance: &u, Extra: []calc.Reading{{NM: 460.5, Absorbance: 0.25}, {NM: 560, Absorbance: 0.3}}}},
			Circumstances: record.Circumstances{
				TakenAt: &taken, Instrument: "bench 2", Analyst: "Ada", Diluent: "model_wine", Blank: "water", TemperatureC: &temperature, MinutesSinceBlending: &temperature, Replicate: &number,
			},
		}, []string{"a520", "0.402"}},
		"scan":  {record.Reading{Measurement: record.Measurement{Spectrum: scan}}, []string{"path_mm", "2"}},
		"a lab": {record.Reading{Measurement: record.Measurement{CIELAB: &calc.CIELAB{L: calc.Decimal{Value: 82.40, Decimals: 2}, A: calc.Decimal{Value: 12, Decimals: 0}, B: calc.Decimal{Value: 6.5, Decimals: 1}, PathMM: 10, Illuminant: "D50", Observer: "2"}}}, []string{"lab_a", "13"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h, s := withRecords(t, false)
			wine, read := add(t, s, record.WineFields{Name: "Red", Kind: record.Red}, one.read)
			old := read[0]
			at := "/readings/" + old.ID
			tree, _ := opened(t, h, at)
			form := formOf(tree, at+"/correct")

			page := refusedForm(t, h, at+"/correct", with(form, one.change...), map[string]bool{})
			if faulty := atFault(page); !slices.Equal(faulty, []string{"correct_reason"}) {
				t.Fatalf("without a reason at fault: %q:\n%s", faulty, spoken(page))
			}
			if got := formOf(page, at+"/correct").Get(one.change[0]); got != one.change[1] {
				t.Errorf("%s is %q after the refusal", one.change[0], got)
			}
			to := sendWell(t, h, at+"/correct", with(with(form, one.change...), "correct_reason", "misread"))
			if to != "/wines/"+wine.ID+"#readings" {
				t.Errorf("it leads to %s", to)
			}
			set, err := s.Current(t.Context(), wine.ID)
			if err != nil || len(set) != 1 || set[0].Supersedes != old.ID || set[0].Reason != "misread" {
				t.Fatalf("current: %+v, %v", set, err)
			}
			// All else stays as it was: the same form but for what was changed.
			tree, _ = opened(t, h, "/readings/"+set[0].ID)
			now := formOf(tree, "/readings/"+set[0].ID+"/correct")
			for name, values := range with(form, one.change...) {
				if name != "key" && !slices.Equal(now[name], values) {
					t.Errorf("%s is %.80q, want %.80q", name, now[name], values)
				}
			}
			if m := set[0].Measurement; m.Readings != nil && (m.Readings.A420 != 0.1+0.2 || m.Readings.Extra[0].NM != 460.5 || !set[0].TakenAt.Equal(taken.Time)) {
				t.Errorf("digits are lost: %+v, %v", m.Readings, set[0].TakenAt)
			}
			_, said := opened(t, h, at)
			says(t, said, "Superseded", "correct its correction")
			page = refusedForm(t, h, at+"/correct", with(form, "correct_reason", "again", "key", "other"), map[string]bool{})
			says(t, spoken(page), "somebody has corrected this reading already")
			if got := formOf(page, at+"/correct").Get("correct_reason"); got != "again" {
				t.Errorf("of a correction that came too late is kept %q", got)
			}
		})
	}
}

// TestReadingForms adds a reading in each way, archives one and brings it back.
func TestReadingForms(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	wine, _ := add(t, s, record.WineFields{Name: "Tank 4", Kind: record.White})
	at := "/wines/" + wine.ID + "/readings/new"
	tree, _ := opened(t, h, at)
	form := formOf(tree, at)
	var scan strings.Builder
	for nm := 380; nm <= 780; nm += 10 {
		fmt.Fprintf(&scan, "%d\t0.12\r\n", nm)
	}
	for i, pairs := range [][]string{
		{"a420", "0.142", "a520", "0.118", "a620", "0.021", "taken_at", "2026-11-01"},
		{"scan", scan.String(), "taken_at", "2026-11-02 09:30"},
		{"lab_L", "96.2", "lab_a", "-0.5", "lab_b", "6.5", "taken_at", "2026-11-03"},
	} {
		if to := sendWell(t, h, at, with(form, append(pairs, "key", fmt.Sprint(i))...)); to != "/wines/"+wine.ID+"#readings" {
			t.Errorf("it leads to %s", to)
		}
	}
	for want, pairs := range map[string][]string{
		"a420":     {},                                                                   // nothing was read
		"a520":     {"a420", "0.1", "a520", "1,234", "a620", "0"},                        // thousands, or not
		"lab_L":    {"lab_L", "dark", "lab_a", "1", "lab_b", "1"},                        // no number
		"scan":     {"scan", "380 0.1\nnothing"},                                         // no scan
		"taken_at": {"a420", "0.1", "a520", "0.1", "a620", "0", "taken_at", "yesterday"}, // no time
	} {
		page := refusedForm(t, h, at, with(form, append(pairs, "key", want)...), map[string]bool{})
		if faulty := atFault(page); !slices.Contains(faulty, want) {
			t.Errorf("%q: at fault are %q, want %s", pairs, faulty, want)
		}
	}
	set, err := s.Current(t.Context(), wine.ID)
	if err != nil || len(set) != 1 || set[0].CIELAB == nil {
		t.Fatalf("current: %+v, %v", set, err)
	}
	one := "/readings/" + set[0].ID
	tree, _ = opened(t, h, one)
	leave := formOf(tree, one+"/archive")
	if faulty := atFault(refusedForm(t, h, one+"/archive", leave, map[string]bool{})); !slices.Equal(faulty, []string{"archive_reason"}) {
		t.Errorf("at fault: %q", faulty)
	}
	sendWell(t, h, one+"/archive", with(leave, "archive_reason", "another wine's"))
	tree, said := opened(t, h, one)
	says(t, said, "Archived", "another wine's", "It does not count", "L* 96.2, a* −0.5, b* 6.5")
	_, said = opened(t, h, "/wines/"+wine.ID)
	says(t, said, "Archived ones are left out: 1.", "From a scan.")
	sendWell(t, h, one+"/unarchive", formOf(tree, one+"/unarchive"))
	if set, err = s.Current(t.Context(), wine.ID); err != nil || len(set) != 1 || set[0].CIELAB == nil {
		t.Errorf("current: %+v, %v", set, err)
	}
	for _, address := range []string{"/readings/none", "/readings/0192f000-0000-7000-8000-000000000000", "/wines/" + wine.ID + "/nothing", "/wines/" + wine.ID + "/spectrum.gif", "/wines/none/edit"} {
		if w := get(t, h, address); w.Code != http.StatusNotFound {
			t.Errorf("GET %s = %d, want 404", address, w.Code)
		}
	}
}

// TestArchivedWineIsTold: whoever follows a link to something that is made of an
// archived wine is told, and is shown it.
func TestArchivedWineIsTold(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	white, _ := add(t, s, record.WineFields{Name: "White 4", Kind: record.White}, record.Reading{Measurement: readings(0.112, 0.031, 0.012, 10)})
	red, _ := add(t, s, record.WineFields{Name: "Red 7", Kind: record.Red}, record.Reading{Measurement: readings(0.243, 0.412, 0.069, 1)})
	trial := sendWell(t, h, "/trials", fields("base", white.ID, "addition", red.ID, "base_ml", "100", "glasses", "A B", "tools", "syringe_10"))
	spec := sendWell(t, h, "/specs", specFields("reference", "wine", "target_wine", white.ID, "target_L", "", "target_a", "", "target_b", "", "L_least", "", "L_most", ""))
	lot := sendWell(t, h, "/lots", fields("name", "L-1", "lot_spec", strings.TrimPrefix(spec, "/specs/"), "wine", white.ID))
	preview := "/?base=" + white.ID + "&red=" + red.ID
	for _, address := range []string{trial, spec, lot, preview} {
		if said := spoken(parse(t, get(t, h, address).Body.String())); strings.Contains(said, "An archived wine") {
			t.Errorf("%s tells of an archived wine while there is none", address)
		}
	}
	if _, err := s.ArchiveWine(t.Context(), white.ID, 1, "bottled"); err != nil {
		t.Fatal(err)
	}
	for address, shown := range map[string]string{trial: "Glass B", spec: "House <rosé>", lot: "L-1", preview: "White 4 with Red 7"} {
		tree := parse(t, get(t, h, address).Body.String())
		says(t, spoken(tree), "An archived wine White 4 : archived "+s.Now().UTC().Format(time.DateOnly), "“bottled”", shown)
		if got := hrefOf(tree, "White 4"); got != "/wines/"+white.ID {
			t.Errorf("%s leads to %q", address, got)
		}
	}
}

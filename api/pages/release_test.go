package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"

	"golang.org/x/net/html"
)

// specFields is the form of a specification that is without fault; each test
// changes what it is about.
func specFields(change ...string) url.Values {
	f := fields("name", "House <rosé>", "product", "House & co", "reference", "lab", "target_L", "92.3", "target_a", "7.6", "target_b", "6.3", "delta_e_00", "3", "warn_delta_e_00", "2",
		"L_least", "85", "L_most", "97", "rule", "guarded", "max_risk", "0.05", "source", "readings", "read_path_mm", "10", "illuminant", "D65", "observer", "10", "view_path_mm", "10", "approved_by", "Ada")
	return changed(f, change...)
}

func changed(f url.Values, change ...string) url.Values {
	for i := 0; i+1 < len(change); i += 2 {
		f.Set(change[i], change[i+1])
	}
	return f
}

// sampleFields is the form of a sample that is within that specification.
func sampleFields(change ...string) url.Values {
	return changed(fields("stage", "beginning", "bottle", "7", "taken_at", "2026-03-12 14:30", "instrument", "bench 2", "analyst", "Cleo", "a420", "0.142", "a520", "0.118", "a620", "0.021", "path_mm", "10",
		"extra", "460: 0.128 560: 0.087", "lab_path_mm", "10", "illuminant", "D65", "observer", "10", "free_so2", "28", "total_so2", "95", "filtered", "true"), change...)
}

// sendWell sends a form that is to be taken and returns where it leads.
func sendWell(t *testing.T, h http.Handler, address string, f url.Values) string {
	t.Helper()
	w := sendForm(t, h, address, f)
	if w.Code != http.StatusSeeOther || w.Header().Get("Cache-Control") != "no-store" {
		t.Fatalf("%s: status %d:\n%s", address, w.Code, text(parse(t, w.Body.String())))
	}
	return w.Header().Get("Location")
}

// refusedForm sends a form that is to be refused, and returns the page.
func refusedForm(t *testing.T, h http.Handler, address string, f url.Values, answered map[string]bool) *html.Node {
	t.Helper()
	w := sendForm(t, h, address, f)
	if w.Code != http.StatusUnprocessableEntity || w.Header().Get("Cache-Control") != "no-store" {
		t.Fatalf("%s: status %d, want 422:\n%s", address, w.Code, text(parse(t, w.Body.String())))
	}
	return soundBeside(t, h, w.Body.String(), answered)
}

// atFault are the names of the fields that a page marks.
func atFault(tree *html.Node) (names []string) {
	for n := range tree.Descendants() {
		if attribute(n, "aria-invalid") == "true" {
			names = append(names, attribute(n, "name"))
		}
	}
	return names
}

// valueOf is what a field has on a page.
func valueOf(tree *html.Node, name string) string {
	for n := range tree.Descendants() {
		if attribute(n, "name") != name {
			continue
		}
		switch n.Data {
		case "textarea":
			return text(n)
		case "select":
			for o := range n.Descendants() {
				if o.Data == "option" && slices.ContainsFunc(o.Attr, func(a html.Attribute) bool { return a.Key == "selected" }) {
					return attribute(o, "value")
				}
			}
			return ""
		}
		return attribute(n, "value")
	}
	return ""
}

// releasePages are the addresses of a lot that was released, of one that was not
// judged, and of two specifications.
type releasePages struct{ lot, unjudged, spec, tight string }

// releasedLot adds them, with checks of instruments, by the pages' forms.
func releasedLot(t *testing.T, h http.Handler) releasePages {
	t.Helper()
	p := releasePages{spec: sendWell(t, h, "/specs", specFields()), tight: sendWell(t, h, "/specs", specFields("name", "Tight", "product", "", "delta_e_00", "0.3", "warn_delta_e_00", ""))}
	sendWell(t, h, p.spec, specFields("reference", "kept", "seen", "1", "delta_e_00", "2.5", "kL", "2", "h_least", "20", "h_most", "60"))
	id := strings.TrimPrefix(p.spec, "/specs/")
	p.unjudged = sendWell(t, h, "/lots", fields("name", "L-32", "lot_spec", id))
	p.lot = sendWell(t, h, "/lots", fields("name", "L-31", "lot_spec", id))
	for _, stage := range []string{"beginning", "middle", "end"} {
		sendWell(t, h, p.lot+"/samples", sampleFields("stage", stage, "taken_at", ""))
	}
	sendWell(t, h, p.lot+"/decisions", fields("decision", "held", "by", "Bea", "reason", "tasted again tomorrow"))
	sendWell(t, h, "/instruments", fields("instrument", "bench 2", "kind", "blank", "p1_certified", "0", "p1_limit", "0.002", "p1_reading", "0.001", "checked_at", "2024-01-01", "next_due", "2024-06-01"))
	sendWell(t, h, "/instruments", fields("instrument", "bench 1", "kind", "stray_light", "p1_nm", "340", "p1_certified", "0", "p1_limit", "0.1", "p1_reading", "0.4"))
	return p
}

// TestSpecForms: a specification by its form, each fault at its field with what was
// typed kept, and what the page says of it before anyone measures.
func TestSpecForms(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	answered := map[string]bool{}
	said := text(soundBeside(t, h, get(t, h, "/specs").Body.String(), answered))
	says(t, said, "There is no specification yet", "A new specification")
	soundBeside(t, h, get(t, h, "/specs/new").Body.String(), answered)

	for _, c := range []struct {
		change []string
		at     string
		says   string
	}{
		{[]string{"delta_e_00", "three"}, "delta_e_00", "expected number"},
		{[]string{"delta_e_00", "-1"}, "delta_e_00", "> 0"},
		{[]string{"delta_e_00", "", "warn_delta_e_00", "", "L_least", "", "L_most", ""}, "", ""},
		{[]string{"L_most", ""}, "L_most", "expected number"},
		{[]string{"L_least", "93"}, "L_least", "does not meet these limits"},
		{[]string{"warn_delta_e_00", "4"}, "warn_delta_e_00", ""},
		{[]string{"target_a", ""}, "target_a", "missing"},
		{[]string{"reference", "wine", "target_wine", ""}, "target_wine", ""},
		{[]string{"reference", "trial", "target_trial", ""}, "target_trial", ""},
		{[]string{"reference", "lots"}, "reference", ""},
		{[]string{"max_risk", "0.7"}, "max_risk", "0.5"},
		{[]string{"valid_from", "next week"}, "valid_from", "this is no time"},
		{[]string{"valid_from", "2027-12-01", "valid_to", "2026-12-01"}, "valid_to", "ends at or before its beginning"},
		{[]string{"ellipsoid", "true"}, "", ""},
		{[]string{"free_so2", "90", "total_so2", "20"}, "free_so2", "the free is part of the total"},
	} {
		tree := refusedForm(t, h, "/specs", specFields(c.change...), answered)
		if marked := atFault(tree); c.at != "" && !slices.Contains(marked, c.at) {
			t.Errorf("%v: at fault are %v, want %s:\n%.400s", c.change, marked, c.at, text(tree))
		}
		says(t, text(tree), "Nothing was saved", c.says)
		if valueOf(tree, "name") != "House <rosé>" || valueOf(tree, "approved_by") != "Ada" {
			t.Errorf("%v: the form does not keep what was typed", c.change)
		}
	}
	if specs := ids(t, h, "/v1/specs"); len(specs) != 0 {
		t.Fatalf("refused forms kept %d specifications", len(specs))
	}

	at := sendWell(t, h, "/specs", changed(specFields(), "key", "one"))
	if again := sendWell(t, h, "/specs", changed(specFields(), "key", "one")); again != at {
		t.Errorf("sent twice it leads to %s and %s", at, again)
	}
	said = text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "House <rosé>", "Version 1 of 1", "A perfect lot can pass with this setup", "at most 3, warning from 2", "85 to 97", "Guarded acceptance (JCGM 106:2012)", "0.95 or more",
		"absorbances at 420, 520, 620 nm, 10 mm cell", "D65, 10° observer, 10 mm", "approved by Ada", "L* 92.3, a* 7.6, b* 6.3")

	tight := sendWell(t, h, "/specs", specFields("delta_e_00", "0.3", "warn_delta_e_00", ""))
	said = text(soundBeside(t, h, get(t, h, tight).Body.String(), answered))
	says(t, said, "A perfect lot could never pass with this setup", "A tolerance of ΔE00", "What would help", "scan from 380 to 780 nm instead of reading at a few wavelengths, sample and reference alike, with probability", "so the probability that it gives for a perfect lot can differ")
	never := sendWell(t, h, "/lots", fields("name", "L-tight", "lot_spec", strings.TrimPrefix(tight, "/specs/")))
	sendWell(t, h, never+"/samples", sampleFields())
	said = text(soundBeside(t, h, get(t, h, never).Body.String(), answered))
	says(t, said, "Measured like this sample, even a perfect lot could not pass.", "The page of the specification takes that of a lot that is as wanted")
	said = text(soundBeside(t, h, get(t, h, sendWell(t, h, "/specs", specFields("source", ""))).Body.String(), answered))
	says(t, said, "Whether a perfect lot could pass is not known")
	wine := ids(t, h, "/v1/wines")["Rosé, last year"]
	for name, id := range ids(t, h, "/v1/wines") {
		if wine == "" && strings.Contains(name, "os") {
			wine = id
		}
	}
	for _, id := range ids(t, h, "/v1/wines") {
		if wine == "" {
			wine = id
		}
	}
	said = text(soundBeside(t, h, get(t, h, sendWell(t, h, "/specs", specFields("reference", "wine", "target_wine", wine, "L_least", "", "L_most", ""))).Body.String(), answered))
	says(t, said, "wine “", "A420")
	if w := get(t, h, at+"?version=9"); w.Code != http.StatusNotFound {
		t.Errorf("a version that is not there answers %d", w.Code)
	}
	if w := get(t, h, "/specs/none"); w.Code != http.StatusNotFound {
		t.Errorf("a specification that is not there answers %d", w.Code)
	}
}

// TestSpecVersionsInTwoTabs: the second of two forms is told what the first has
// changed, keeps what was typed, and is taken when it is sent again.
func TestSpecVersionsInTwoTabs(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	answered := map[string]bool{}
	at := sendWell(t, h, "/specs", specFields())
	first := soundBeside(t, h, get(t, h, at).Body.String(), answered)
	if valueOf(first, "seen") != "1" || valueOf(first, "delta_e_00") != "3" || valueOf(first, "reference") != "kept" || valueOf(first, "L_least") != "85" {
		t.Errorf("the form does not begin with the newest version: seen %q, ΔE00 %q", valueOf(first, "seen"), valueOf(first, "delta_e_00"))
	}
	version := func(change ...string) url.Values {
		return specFields(append([]string{"reference", "kept"}, change...)...)
	}
	sendWell(t, h, at, version("seen", "1", "delta_e_00", "2.5", "key", "a"))
	second := refusedForm(t, h, at, version("seen", "1", "delta_e_00", "2.8", "approved_by", "Bea", "key", "b"), answered)
	says(t, text(second), "Another version came while this form was open", "Version 2 came between", "at most 3, warning from 2at most 2.5, warning from 2")
	if valueOf(second, "seen") != "2" || valueOf(second, "delta_e_00") != "2.8" || valueOf(second, "approved_by") != "Bea" {
		t.Errorf("the form has seen %q, ΔE00 %q: want 2 and what was typed", valueOf(second, "seen"), valueOf(second, "delta_e_00"))
	}
	sendWell(t, h, at, version("seen", "2", "delta_e_00", "2.8", "approved_by", "Bea", "key", "c"))
	said := text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "Version 3 of 3", "at most 2.8, warning from 2", "L* 92.3, a* 7.6, b* 6.3", "approved by Bea")
	said = text(soundBeside(t, h, get(t, h, at+"?version=1").Body.String(), answered))
	says(t, said, "Version 1 of 3", "at most 3, warning from 2", "to version 3, the newest")
}

// TestLotByForms goes from a specification to a released lot with its statement by
// forms alone, refusals on the way.
func TestLotByForms(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	answered := map[string]bool{}
	says(t, text(soundBeside(t, h, get(t, h, "/lots").Body.String(), answered)), "there is none yet", "A new specification")
	spec := sendWell(t, h, "/specs", specFields())
	specID := strings.TrimPrefix(spec, "/specs/")
	says(t, text(soundBeside(t, h, get(t, h, "/lots").Body.String(), answered)), "There is no lot yet")
	soundBeside(t, h, get(t, h, "/lots/new").Body.String(), answered)

	for _, c := range []struct {
		f        url.Values
		at, says string
	}{
		{fields("name", "", "product", "House & co"), "name", "is missing"},
		{fields("name", "L-1"), "lot_spec", "which specification"},
		{fields("name", "L-1", "product", "Nothing like it"), "product", ""},
		{fields("name", "L-1", "lot_spec", specID, "bottled_at", "soon"), "bottled_at", "this is no time"},
	} {
		tree := refusedForm(t, h, "/lots", c.f, answered)
		if !slices.Contains(atFault(tree), c.at) {
			t.Errorf("%v: at fault are %v, want %s:\n%s", c.f, atFault(tree), c.at, text(tree))
		}
		says(t, text(tree), c.says)
	}
	lot := sendWell(t, h, "/lots", fields("name", "L<31>", "product", "House & co", "bottled_at", "2026-03-12", "key", "l"))
	said := text(soundBeside(t, h, get(t, h, lot).Body.String(), answered))
	says(t, said, "L<31>", "Not judged yet", "Not decided", "No sample of the run was judged yet", "held against House <rosé>, version 1")

	for _, c := range []struct {
		change   []string
		at, says string
	}{
		{[]string{"a420", "x"}, "a420", "expected number"},
		{[]string{"a420", "", "a520", "", "a620", "", "extra", ""}, "a420", "exactly one of"},
		{[]string{"lab_L", "92", "lab_a", "7", "lab_b", "6"}, "a420", "exactly one of"},
		{[]string{"taken_at", "2199-01-01 12:00"}, "taken_at", "from the future"},
		{[]string{"taken_at", "2026-03-01"}, "taken_at", "taken from bottles"},
		{[]string{"a420", "", "a520", "", "a620", "", "extra", "", "lab_L", "92.0", "lab_a", "7.0", "lab_b", "6.0", "illuminant", "A"}, "lab_L", "cannot be converted"},
		{[]string{"a420", "", "a520", "", "a620", "", "extra", "", "scan", "380 none"}, "scan", ""},
		{[]string{"free_so2", "96"}, "free_so2", "part of the total"},
	} {
		tree := refusedForm(t, h, lot+"/samples", sampleFields(c.change...), answered)
		if !slices.Contains(atFault(tree), c.at) {
			t.Errorf("%v: at fault are %v, want %s:\n%.900s", c.change, atFault(tree), c.at, text(tree))
		}
		says(t, text(tree), c.says)
		if valueOf(tree, "bottle") != "7" || valueOf(tree, "total_so2") != "95" {
			t.Errorf("%v: the form does not keep what was typed", c.change)
		}
	}
	one := sendWell(t, h, lot+"/samples", sampleFields("key", "s1"))
	if again := sendWell(t, h, lot+"/samples", sampleFields("key", "s1")); again != one {
		t.Errorf("sent twice it leads to %s and %s", one, again)
	}
	page := get(t, h, one).Body.String()
	if n := strings.Count(page, "ΔE00 from the reference"); n < 2 || !strings.Contains(page, "<svg") {
		t.Errorf("the picture or the table behind it is missing")
	}
	said = text(soundBeside(t, h, page, answered))
	says(t, said, "Within specification with probability", "Beginning of the run, 7", "A420 0.142, A520 0.118, A620 0.021, A460 0.128, A560 0.087 in 10 mm", "bench 2 · Cleo · free SO2 28 mg/L; total SO2 95 mg/L; filtered",
		"What dominates the uncertainty", "Go on with the run", "Stop rule", "day 1 after bottling", "> 0.99")

	scan := strings.Builder{}
	for nm := 380; nm <= 780; nm += 5 {
		fmt.Fprintf(&scan, "%d\t%.4f\n", nm, 0.3*float64(780-nm)/400)
	}
	sendWell(t, h, lot+"/samples", fields("stage", "end", "taken_at", "2026-03-12 16:30", "path_mm", "10", "scan", scan.String()))
	said = text(soundBeside(t, h, get(t, h, lot).Body.String(), answered))
	says(t, said, "Outside specification", "Stop the run", "a scan from 380 to 780 nm")
	says(t, text(soundBeside(t, h, get(t, h, "/lots").Body.String(), answered)), "Outside", "L<31>", "Not decided")
	decided(t, h, lot, answered)
}

// decided decides about a lot of two samples, one outside, and states it.
func decided(t *testing.T, h http.Handler, lot string, answered map[string]bool) {
	t.Helper()
	tree := parse(t, get(t, h, lot).Body.String())
	seen := valueOf(tree, "seen")
	var verdicts []string
	for n := range tree.Descendants() {
		if attribute(n, "name") == "verdicts" {
			verdicts = append(verdicts, attribute(n, "value"))
		}
	}
	if len(verdicts) != 2 {
		t.Fatalf("%d verdicts to rest a decision on, want 2", len(verdicts))
	}
	release := func(change ...string) url.Values {
		f := changed(fields("decision", "released", "by", "Ada", "reason", "the last bottles were taken out", "seen", seen), change...)
		f["verdicts"] = verdicts
		return f
	}
	for _, c := range []struct {
		f        url.Values
		at, says string
	}{
		{release("decision", ""), "decision", ""},
		{release("by", ""), "by", ""},
		{release("reason", ""), "reason", "say why the lot is released all the same"},
		{changed(fields("decision", "held", "by", "Ada", "seen", seen)), "reason", "say why the lot is held"},
		{changed(fields("decision", "released", "by", "Ada", "reason", "so", "seen", seen)), "verdicts", "name those that it goes by"},
	} {
		page := refusedForm(t, h, lot+"/decisions", c.f, answered)
		if !slices.Contains(atFault(page), c.at) {
			t.Errorf("%v: at fault are %v, want %s:\n%.600s", c.f, atFault(page), c.at, text(page))
		}
		says(t, text(page), c.says)
	}
	sendWell(t, h, lot+"/decisions", release("key", "d"))
	sendWell(t, h, lot+"/decisions", release("key", "d")) // a thumb that trembles
	said := text(soundBeside(t, h, get(t, h, lot).Body.String(), answered))
	says(t, said, "Released by Ada", "the last bottles were taken out", "rests on 2 verdicts")
	if strings.Contains(said, "Stop the run") {
		t.Error("a lot that was decided about is still to be stopped")
	}
	if n := strings.Count(get(t, h, "/v1"+lot+"/decisions").Body.String(), `"decision"`); n != 1 {
		t.Errorf("%d decisions, want 1", n)
	}
	// Another tab still shows the lot as it was before.
	page := refusedForm(t, h, lot+"/decisions", changed(fields("decision", "held", "by", "Bea", "reason", "it is outside", "seen", seen)), answered)
	says(t, text(page), "Since this page was loaded the lot was decided about: Released by Ada")
	if valueOf(page, "by") != "Bea" || valueOf(page, "seen") == seen {
		t.Error("the second tab loses what was typed, or is told again and again")
	}
	page = refusedForm(t, h, lot+"/statements", fields("issued_by", "Ada", "verdict", verdicts[0], "seen", seen), answered)
	says(t, text(page), "Look at that decision")
	seen = valueOf(page, "seen")
	page = refusedForm(t, h, lot+"/statements", fields("issued_by", "Ada", "seen", seen), answered)
	if !slices.Contains(atFault(page), "verdict") {
		t.Errorf("a statement of no verdict in particular: at fault are %v", atFault(page))
	}
	sendWell(t, h, lot+"/statements", fields("issued_by", "Ada", "verdict", verdicts[0], "note", "spring", "seen", seen, "key", "i"))
	page = soundBeside(t, h, get(t, h, lot).Body.String(), answered)
	if hrefOf(page, "Statement 1") != "/statements/1" {
		t.Errorf("the page does not lead to its statement:\n%s", text(page))
	}
	sendWell(t, h, lot+"/samples", sampleFields("stage", "retained", "key", "later"))
	says(t, text(soundBeside(t, h, get(t, h, lot).Body.String(), answered)), "Stop rule")
}

// TestLotJudgedAgain: a further verdict by another version, the first one kept.
func TestLotJudgedAgain(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	answered := map[string]bool{}
	spec := sendWell(t, h, "/specs", specFields())
	lot := sendWell(t, h, "/lots", fields("name", "L-1", "product", "House & co"))
	sendWell(t, h, lot+"/samples", sampleFields("taken_at", ""))
	sendWell(t, h, spec, specFields("reference", "kept", "seen", "1", "delta_e_00", "0.5", "warn_delta_e_00", ""))
	tree := parse(t, get(t, h, lot).Body.String())
	seen, by := valueOf(tree, "seen"), strings.TrimPrefix(spec, "/specs/")+" 2"
	if tree := refusedForm(t, h, lot+"/verdicts", fields("judge_by", "", "seen", seen), answered); !slices.Contains(atFault(tree), "judge_by") {
		t.Errorf("judged by nothing: at fault are %v", atFault(tree))
	}
	sendWell(t, h, lot+"/verdicts", fields("judge_by", by, "seen", seen, "key", "j"))
	said := text(soundBeside(t, h, get(t, h, lot).Body.String(), answered))
	says(t, said, "Cannot tell with this setup", "version 2", "version 1", "2 verdicts", "What would settle it")
	page := refusedForm(t, h, lot+"/verdicts", fields("judge_by", by, "seen", seen), answered)
	says(t, text(page), "Since this page was loaded a further verdict was given: Cannot tell")
	for n := range page.Descendants() {
		if to := attribute(n, "href"); strings.Contains(to, "?verdict=") && strings.Contains(text(n), "Within") {
			says(t, text(soundBeside(t, h, get(t, h, strings.TrimSuffix(to, "#verdict")).Body.String(), answered)), "Within specification with probability")
		}
	}
}

// TestInstrumentForms: a check that passes, one that fails, one that is overdue, in
// words; and what a form lacks.
func TestInstrumentForms(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	answered := map[string]bool{}
	says(t, text(soundBeside(t, h, get(t, h, "/instruments").Body.String(), answered)), "No check of an instrument is recorded yet")
	check := func(change ...string) url.Values {
		return changed(fields("instrument", "bench <2>", "kind", "filter", "check_reference", "glass N3", "p1_nm", "440", "p1_certified", "0.503", "p1_limit", "0.005", "p1_reading", "0.505", "by", "Ada"), change...)
	}
	for _, c := range []struct {
		change   []string
		at, says string
	}{
		{[]string{"instrument", ""}, "instrument", ""},
		{[]string{"p1_nm", ""}, "p1_nm", "at which wavelength was it read"},
		{[]string{"p1_limit", "0"}, "p1_limit", ""},
		{[]string{"p1_reading", ""}, "p1_reading", "missing"},
		{[]string{"p1_nm", "", "p1_certified", "", "p1_limit", "", "p1_reading", ""}, "p1_certified", ""},
		{[]string{"p3_reading", "0.4"}, "p3_certified", ""},
		{[]string{"checked_at", "2199-01-01"}, "checked_at", "in the future"},
		{[]string{"checked_at", "2026-03-01", "next_due", "2026-01-01"}, "next_due", "due before this one was made"},
	} {
		tree := refusedForm(t, h, "/instruments", check(c.change...), answered)
		if !slices.Contains(atFault(tree), c.at) {
			t.Errorf("%v: at fault are %v, want %s:\n%.500s", c.change, atFault(tree), c.at, text(tree))
		}
		says(t, text(tree), c.says)
		if valueOf(tree, "by") != "Ada" {
			t.Errorf("%v: the form does not keep what was typed", c.change)
		}
	}
	sendWell(t, h, "/instruments", check("key", "c"))
	sendWell(t, h, "/instruments", check("key", "c"))
	says(t, text(soundBeside(t, h, get(t, h, "/instruments").Body.String(), answered)), "bench <2>", "Passed", "440 nm: 0.505 for 0.503 ± 0.005")
	sendWell(t, h, "/instruments", check("kind", "stray_light", "p1_certified", "0", "p1_limit", "0.1", "p1_reading", "0.4"))
	sendWell(t, h, "/instruments", check("kind", "blank", "p1_certified", "0", "p1_reading", "0.001", "checked_at", "2024-01-01 08:00", "next_due", "2024-06-01"))
	said := text(soundBeside(t, h, get(t, h, "/instruments").Body.String(), answered))
	says(t, said, "needs attention", "Failed", "(off)", "Overdue", "2024-06-01")
	if n := strings.Count(get(t, h, "/v1/instrument-checks").Body.String(), `"recorded_at"`); n != 3 {
		t.Errorf("%d checks are kept, want 3", n)
	}
}

// TestArchiveLotAndSpec: a lot and a specification are archived on their pages, once, and
// say so; a lot that has the specification keeps it.
func TestArchiveLotAndSpec(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	answered := map[string]bool{}
	spec := sendWell(t, h, "/specs", specFields())
	lot := sendWell(t, h, "/lots", fields("name", "L-1", "product", "House & co"))
	for at, says1 := range map[string]string{spec: "No lot is begun with it", lot: "It stays readable and takes nothing more."} {
		says(t, text(soundBeside(t, h, get(t, h, at).Body.String(), answered)), "it cannot be brought back")
		if to := sendWell(t, h, at+"/archive", fields("key", "a")); to != at {
			t.Errorf("archived, it leads to %s", to)
		}
		tree := soundBeside(t, h, get(t, h, at).Body.String(), answered)
		says(t, text(tree), "Archived", says1)
		if strings.Contains(text(tree), "it cannot be brought back") {
			t.Errorf("%s can be archived again", at)
		}
		says(t, text(refusedForm(t, h, at+"/archive", fields("key", "b"), answered)), "This record is archived and takes nothing more.")
	}
	if list := ids(t, h, "/v1/specs"); len(list) != 0 {
		t.Errorf("%v are listed", list)
	}
	says(t, text(soundBeside(t, h, get(t, h, lot).Body.String(), answered)), "House <rosé>")
}

// TestReleaseFormsAtOnce: one form that is sent ten times at once counts once, and
// of ten decisions that were made on one page the first alone is kept.
func TestReleaseFormsAtOnce(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	sendWell(t, h, "/specs", specFields())
	lot := sendWell(t, h, "/lots", fields("name", "L-1", "product", "House & co"))
	together := func(f func(i int)) {
		var wg sync.WaitGroup
		for i := range 10 {
			wg.Go(func() { f(i) })
		}
		wg.Wait()
	}
	together(func(int) { sendForm(t, h, lot+"/samples", sampleFields("taken_at", "", "key", "one")) })
	if n := strings.Count(get(t, h, "/v1"+lot+"/samples").Body.String(), `"recorded_at"`); n != 1 {
		t.Errorf("%d samples, want 1", n)
	}
	seen := valueOf(parse(t, get(t, h, lot).Body.String()), "seen")
	var mu sync.Mutex
	codes := map[int]int{}
	together(func(i int) {
		w := sendForm(t, h, lot+"/decisions", fields("decision", "held", "by", fmt.Sprint("tab ", i), "reason", "look again", "seen", seen, "key", fmt.Sprint(i)))
		mu.Lock()
		defer mu.Unlock()
		codes[w.Code]++
	})
	if codes[http.StatusSeeOther] != 1 || codes[http.StatusUnprocessableEntity] != 9 {
		t.Errorf("ten tabs: %v, want one taken and nine told", codes)
	}
}

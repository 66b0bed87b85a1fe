package pages_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// sendForm sends a form to a page.
func sendForm(t *testing.T, h http.Handler, address string, form url.Values) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420"+address, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// fields makes the values of a form from pairs.
func fields(pairs ...string) url.Values {
	v := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		v.Add(pairs[i], pairs[i+1])
	}
	return v
}

// ids are the identifiers of records at an address of the interface, by name.
func ids(t *testing.T, h http.Handler, path string) map[string]string {
	t.Helper()
	var list struct {
		Items []struct{ ID, Name string }
	}
	if err := json.Unmarshal(get(t, h, path).Body.Bytes(), &list); err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, one := range list.Items {
		out[one.Name] = one.ID
	}
	return out
}

// demoTrial begins a trial in a filled store and returns its address.
func demoTrial(t *testing.T, h http.Handler, change ...string) string {
	t.Helper()
	wines, targets := ids(t, h, "/v1/wines"), ids(t, h, "/v1/targets")
	f := fields("name", "Spring rosé", "base", wines["White, tank 5"], "addition", wines["Red, barrel 7"], "base_ml", "100",
		"glasses", "A B C", "target", targets["Last year's rosé"], "tools", "syringe_10", "tools", "pipette_10")
	for i := 0; i+1 < len(change); i += 2 {
		f.Set(change[i], change[i+1])
	}
	w := sendForm(t, h, "/trials", f)
	if w.Code != http.StatusSeeOther || w.Header().Get("Cache-Control") != "no-store" {
		t.Fatalf("status %d, %v:\n%s", w.Code, w.Header(), text(parse(t, w.Body.String())))
	}
	return w.Header().Get("Location")
}

// press sends a form of the bench and returns the page that it leads to.
func press(t *testing.T, h http.Handler, address, what string, pairs ...string) string {
	t.Helper()
	path, query, _ := strings.Cut(address, "?")
	w := sendForm(t, h, path+"/"+what+"?"+query, fields(pairs...))
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%s %v: status %d:\n%s", what, pairs, w.Code, text(parse(t, w.Body.String())))
	}
	return w.Header().Get("Location")
}

// TestTrialByForms runs a trial from its first pour to its final check by forms
// alone. 100 mL + 8 mL, 15 mL sipped, + 2 mL is 10.32 mL per 100 mL, not 10: of
// the 108 mL 93 are left, with 86.11 mL of base and 6.89 mL of red.
func TestTrialByForms(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	answered := map[string]bool{}
	fill(t, records)
	at := demoTrial(t, h)

	said := text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "Spring rosé", "100 mL in each glass of White, tank 5", "poured in: Red, barrel 7", "Glass B 0 mL poured in all", "A base alone", "Nothing is logged yet",
		"+0.5 mL", "Closest to the target:", "no rung has been poured and read yet", "A plan says what to pour")

	press(t, h, at, "pours", "glass", "B", "volume_ml", "8", "tool", "10 mL syringe", "who", "Ada", "key", "one")
	press(t, h, at, "withdrawals", "glass", "B", "volume_ml", "15", "why", "tasting", "key", "two")
	next := press(t, h, at, "pours", "glass", "B", "volume_ml", "2", "tool", "10 mL syringe", "stated_total_ml", "8", "key", "three")
	if again := press(t, h, at, "pours", "glass", "B", "volume_ml", "2", "tool", "10 mL syringe", "stated_total_ml", "8", "key", "three"); again != next {
		t.Errorf("sent again: %s, want %s", again, next)
	}
	said = text(soundBeside(t, h, get(t, h, next).Body.String(), answered))
	says(t, said, "Glass B 10 mL poured in all", "10.32 ±", "mL per 100 mL of base · 9.36 % of the blend", "holds 95 mL", "Entry 3: 2 mL poured into B", "8 mL is stated as the total of glass B",
		"15 mL taken out of B (a sip)", "under D65, 10° observer, for 10 mm of wine", "Ada · 10 mL syringe")

	press(t, h, at, "measurements", "glass", "B", "a420", "0.29", "a520", "0.31", "a620", "0.06", "path_mm", "10", "minutes", "10", "temperature_c", "21", "who", "Ada")
	press(t, h, at, "notes", "glass", "B", "note", "bright <b>& short</b>", "score", "71", "scale", "liking, 0 to 100")
	press(t, h, at, "pours", "glass", "C", "volume_ml", "3")
	next = press(t, h, at, "undo", "entry", "6", "why", "wrong glass")
	said = text(soundBeside(t, h, get(t, h, next).Body.String(), answered))
	says(t, said, "Glass C 0 mL poured in all", "Recalibrated to 1 rung", "read it again the next day", "B: bright <b>& short</b> · score 71 (liking, 0 to 100)",
		"Taken back by entry 7: 3 mL poured into C", "Entry 6 taken back: wrong glass", "Let entry 6 stand again", "needs a chosen dose")

	press(t, h, at, "choice", "glass", "B", "reasons", "closest, and liked best")
	said = text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "Glass B: 10.32", "closest, and liked best", "Pour the chosen dose fresh, once, at 250 mL or more", "Work order for the cellar")
	press(t, h, at, "final-check", "volume_ml", "250", "a420", "0.29", "a520", "0.31", "a620", "0.06")
	said = text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "250 mL were poured. It was read. ΔE00", "Keep it cold overnight and look again")
	press(t, h, at, "final-check", "clear", "true", "look_note", "bright")
	said = text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "250 mL were poured", "It stayed clear. bright", "It was looked at again less than two hours after it was poured")

	if w := get(t, h, at+"/work-order?base_l=2000&format=pdf&blend_l="); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/v1"+at+"/work-order?base_l=2000&format=pdf" {
		t.Errorf("the work order: status %d to %q", w.Code, w.Header().Get("Location"))
	}
	w := get(t, h, at+"/work-order?base_l=x&loss_percent=2&format=pdf")
	said = text(soundBeside(t, h, w.Body.String(), answered))
	says(t, said, "Tank of base, L: expected number")
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `name="loss_percent" value="2"`) {
		t.Errorf("a work order at fault: status %d; what was typed is lost", w.Code)
	}
	said = text(soundBeside(t, h, get(t, h, at+"/work-order?format=pdf").Body.String(), answered))
	says(t, said, "give exactly one of")

	said = text(soundBeside(t, h, get(t, h, "/trials").Body.String(), answered))
	says(t, said, "Spring rosé", "White, tank 5 + Red, barrel 7", "10 entries", "chosen: 10.32")
}

// TestTrialRefused names what is wrong with a press at the page's own words, and
// keeps what was typed.
func TestTrialRefused(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	answered := map[string]bool{}
	fill(t, records)
	at := demoTrial(t, h)
	press(t, h, at, "pours", "glass", "B", "volume_ml", "8")
	for _, c := range []struct {
		name, what string
		form       url.Values
		want       string
		field      string // that is as it was typed
	}{
		{"no such glass", "pours", fields("glass", "Z", "volume_ml", "2"), `Glass: this trial has no such glass: want one of "A", "B", "C"`, ""},
		{"negative", "pours", fields("glass", "B", "volume_ml", "-2"), "Volume, mL: expected number > 0", "-2"},
		{"absurd", "pours", fields("glass", "B", "volume_ml", "1e9"), "Volume, mL: expected number <= 100000", "1e9"},
		{"no number", "pours", fields("glass", "B", "volume_ml", "two"), "Volume, mL: expected number", "two"},
		{"no volume", "pours", fields("glass", "B"), "Volume, mL: the field \"volume_ml\" is missing", ""},
		{"more than the tool holds", "pours", fields("glass", "B", "volume_ml", "12", "tool", "10 mL syringe"), "the 10 mL syringe holds 10 mL, not 12", "12"},
		{"more than there is", "withdrawals", fields("glass", "B", "volume_ml", "200"), "Volume, mL: there are 108 mL in the glass", "200"},
		{"no reading", "measurements", fields("glass", "B", "a420", "0.2"), "A520: the field \"a520\" is missing", "0.2"},
		{"nothing noted", "notes", fields("glass", "B"), "there is nothing noted", ""},
		{"no reasons", "choice", fields("glass", "B", "reasons", " "), "Reasons", ""},
		{"no choice yet", "final-check", fields("volume_ml", "250"), "no dose is chosen yet", ""},
		{"no such entry", "undo", fields("entry", "9"), "Entry: the log has 1 entries", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := sendForm(t, h, at+"/"+c.what, c.form)
			if w.Code != http.StatusUnprocessableEntity {
				t.Fatalf("status %d", w.Code)
			}
			tree := soundBeside(t, h, w.Body.String(), answered)
			said := text(tree)
			says(t, said, "This was not logged", c.want, "Glass B")
			if c.field == "" {
				return
			}
			for n := range tree.Descendants() {
				if n.Data == "input" && attribute(n, "value") == c.field {
					return
				}
			}
			t.Errorf("no field has %q, as was typed", c.field)
		})
	}
	said := text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "Glass B 8 mL poured in all", "Entry 1:")
	for what, want := range map[string]int{"pour": http.StatusNotFound, "ladder.svg": http.StatusNotFound} {
		if w := sendForm(t, h, at+"/"+what, fields("glass", "B", "volume_ml", "2")); w.Code != want {
			t.Errorf("POST %s: status %d, want %d", what, w.Code, want)
		}
	}
	if w := sendForm(t, h, at+"/pours", fields("glass", "B", "volume_ml", "2", "who", strings.Repeat("a", 70<<10))); w.Code != http.StatusBadRequest {
		t.Errorf("a form that is too long: status %d", w.Code)
	}
	if w := sendForm(t, h, "/trials/0192f000-0000-7000-8000-000000000000/pours", fields("glass", "B", "volume_ml", "2")); w.Code != http.StatusNotFound {
		t.Errorf("no such trial: status %d", w.Code)
	}
}

// TestTrialArchived shows a trial that takes no more entries, without a press.
func TestTrialArchived(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	answered := map[string]bool{}
	fill(t, records)
	at := demoTrial(t, h)
	if _, err := records.ArchiveTrial(t.Context(), strings.TrimPrefix(at, "/trials/")); err != nil {
		t.Fatal(err)
	}
	tree := soundBeside(t, h, get(t, h, at).Body.String(), answered)
	said := text(tree)
	says(t, said, "Archived", "It takes no more entries.")
	for n := range tree.Descendants() {
		if n.Data == "form" && attribute(n, "method") == "post" && attribute(n, "action") != "/language" {
			t.Errorf("it has a form to %s", attribute(n, "action"))
		}
	}
	w := sendForm(t, h, at+"/pours", fields("glass", "B", "volume_ml", "2"))
	said = text(soundBeside(t, h, w.Body.String(), answered))
	says(t, said, "The trial is archived and takes no more entries.")
}

// TestTrialPlan walks the glasses up the ladder by the one button of the plan.
func TestTrialPlan(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	answered := map[string]bool{}
	fill(t, records)
	at := demoTrial(t, h) + "?plan=even&to_ml=6&step_ml=2"
	for _, want := range []string{"Planned: 2 mL into B → 2 mL in all", "Planned: 4 mL into C → 4 mL in all", "Planned: 4 mL into B → 6 mL in all"} {
		tree := soundBeside(t, h, get(t, h, at).Body.String(), answered)
		said := text(tree)
		says(t, said, want)
		for n := range tree.Descendants() {
			if n.Data != "form" || attribute(n, "class") != "planned" {
				continue
			}
			f := url.Values{}
			for m := range n.Descendants() {
				if name := attribute(m, "name"); name != "" {
					f.Set(name, attribute(m, "value"))
				}
			}
			w := sendForm(t, h, attribute(n, "action"), f)
			if at = w.Header().Get("Location"); w.Code != http.StatusSeeOther || !strings.Contains(at, "plan=even") {
				t.Fatalf("status %d to %q", w.Code, at)
			}
		}
	}
	said := text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "Glass B 6 mL poured in all", "Done: 4 mL into B")
	if strings.Contains(said, "Planned:") {
		t.Error("the plan has more to pour than it says")
	}
	for query, want := range map[string]string{
		"plan=closing":                "the closest dose",
		"plan=visible&to_ml=12":       "100 mL of base into A",
		"plan=steep":                  `Kind: expected value to be one of`,
		"plan=even&to_ml=x":           "Up to, mL in the glass: expected number",
		"plan=even&to_ml=4&tool=cup":  "Tool: there is no such tool",
		"plan=visible&step_ml=1":      "Even step, mL: step_ml goes with the kind even",
		"plan=even&to_ml=4&step_ml=9": "",
	} {
		path, _, _ := strings.Cut(at, "?")
		said := text(soundBeside(t, h, get(t, h, path+"?"+query).Body.String(), answered))
		says(t, said, want)
	}
}

// TestPlanOverpoured says what was really poured where it is more than a step that is
// done has, once for each glass.
func TestPlanOverpoured(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	answered := map[string]bool{}
	fill(t, records)
	at := demoTrial(t, h) + "?plan=even&to_ml=6&step_ml=2"
	press(t, h, at, "pours", "glass", "B", "volume_ml", "2.5")
	press(t, h, at, "pours", "glass", "C", "volume_ml", "4")
	said := text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "Done: 2 mL into B In fact 2.5 mL were poured into it in all, 0.5 mL more than planned.", "Planned: 3.5 mL into B")
	press(t, h, at, "pours", "glass", "B", "volume_ml", "4")
	said = text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "Done: 4 mL into B In fact 6.5 mL were poured into it in all, 0.5 mL more than planned.")
	if n := strings.Count(said, "In fact"); n != 1 {
		t.Errorf("it is said %d times, want once: C has what the plan says, and B is told by its last step", n)
	}
}

// TestBenchTargetWithoutColour: a target of stated values has a colour for 10 mm alone,
// and the bench, whose names stand below two rows of colours, says for which of them it
// has none.
func TestBenchTargetWithoutColour(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	at := demoTrial(t, h, "target", "", "target_L", "85", "target_a", "14", "target_b", "6")
	said := text(sound(t, h, get(t, h, at).Body.String()))
	says(t, said, "Target: no colour known for 55 mm")
	if n := strings.Count(said, "no colour known"); n != 1 {
		t.Errorf("it is said %d times, want once", n)
	}
}

// TestChoiceOff says where the colour of the chosen dose is outside the tolerance of the
// target, and nothing where it is within.
func TestChoiceOff(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	const off = "Its colour is outside the tolerance of the target"
	for ml, want := range map[string]bool{"5.5": false, "9": true} {
		at := demoTrial(t, h)
		press(t, h, at, "pours", "glass", "B", "volume_ml", ml)
		press(t, h, at, "choice", "glass", "B", "reasons", "liked best")
		said := text(sound(t, h, get(t, h, at).Body.String()))
		says(t, said, "Glass B: ", "liked best")
		if strings.Contains(said, off) != want {
			t.Errorf("%s mL: said to be outside the tolerance: %t, want %t", ml, !want, want)
		}
	}
}

// TestBegin tells what is wrong with a trial and keeps what was typed.
func TestBegin(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	answered := map[string]bool{}
	said := text(soundBeside(t, h, get(t, h, "/trials").Body.String(), answered))
	says(t, said, "No trial has begun yet", "Begin a trial")
	said = text(soundBeside(t, h, get(t, h, "/trials/new").Body.String(), answered))
	says(t, said, "there is no wine here yet")
	fill(t, records)
	said = text(soundBeside(t, h, get(t, h, "/trials/new").Body.String(), answered))
	says(t, said, "White, tank 5", "Last year's rosé", "10 mL syringe, every 0.5 mL")

	w := sendForm(t, h, "/trials", fields("base_ml", "0", "glasses", "A A", "target_L", "85", "target_a", "x", "own_kind", "syringe", "own_capacity_ml", "7.77", "tools", "syringe_5", "held", "nobody", "held_dose", "0"))
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatalf("status %d", w.Code)
	}
	said = text(soundBeside(t, h, w.Body.String(), answered))
	says(t, said, "Base: which wine is it?", "What is poured in: which wine is it?", "Base in each glass, mL:", "Glasses: the glasses 1 and 2 have one label", "Target a*: expected number", "Graduation of the other tool:")
	if !strings.Contains(w.Body.String(), `value="7.77"`) {
		t.Error("what was typed is lost")
	}
	at := demoTrial(t, h, "held", ids(t, h, "/v1/wines")["Golden white, cask 9"], "held_dose", "5", "own_name", "my cup", "own_kind", "cup", "own_capacity_ml", "250",
		"target", "", "target_L", "85", "target_a", "14", "target_b", "6", "tolerance", "2", "samples", "50 200", "name", "")
	said = text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "White, tank 5 + Red, barrel 7", "with 5 mL per 100 mL of Golden white, cask 9", "my cup")

	// The base and one glass suffice.
	at = demoTrial(t, h, "addition", "", "addition_name", "Sample from a neighbour")
	said = text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "poured in: Sample from a neighbour", "No colour is predicted yet", "nothing was read of the addition. Pour a glass")
	press(t, h, at, "pours", "glass", "B", "volume_ml", "6")
	press(t, h, at, "measurements", "glass", "B", "a420", "0.234", "a520", "0.239", "a620", "0.047")
	said = text(soundBeside(t, h, get(t, h, at).Body.String(), answered))
	says(t, said, "Closest to the target:", "known from measured rungs alone")
}

// TestBeginWithoutTool asks for a measuring tool, as no plan can be made without one,
// beside what else is wrong; one of one's own will do.
func TestBeginWithoutTool(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	answered := map[string]bool{}
	fill(t, records)
	wines := ids(t, h, "/v1/wines")
	form := fields("name", "Untooled", "base", wines["White, tank 5"], "addition", wines["Red, barrel 7"], "base_ml", "100", "glasses", "A B")
	tree := refusedForm(t, h, "/trials", form, answered)
	says(t, text(tree), "Measuring tools at hand: Tick a measuring tool, or fill in another one below")
	for _, name := range atFault(tree) {
		if name != "tools" {
			t.Errorf("%s is marked", name)
		}
	}
	if len(atFault(tree)) == 0 || valueOf(tree, "name") != "Untooled" {
		t.Error("no tool is marked, or what was typed is lost")
	}
	tree = refusedForm(t, h, "/trials", with(form, "base_ml", "0"), answered)
	says(t, text(tree), "Tick a measuring tool", "Base in each glass, mL:")
	sendWell(t, h, "/trials", with(form, "own_name", "my cup", "own_kind", "cup", "own_capacity_ml", "250"))
}

package pages_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"pourpath/api/record"
)

// trialLink is where a preview can be saved as a trial.
func trialLink(t *testing.T, h http.Handler, preview string) string {
	t.Helper()
	tree := sound(t, h, get(t, h, preview).Body.String())
	link := hrefOf(tree, "Save as a trial")
	if !strings.HasPrefix(link, "/trials/new?") {
		t.Fatalf("%s leads to %q", preview, link)
	}
	return link
}

// TestTrialFromStoredWines: a preview of stored wines fills the form of a trial, and
// the trial has what the preview had: wines, target, light, depth, glass and doses.
func TestTrialFromStoredWines(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	white, _ := add(t, s, record.WineFields{Name: "White 4", Kind: record.White, Lot: "W-4"}, record.Reading{Measurement: readings(0.112, 0.031, 0.012, 10)})
	red, _ := add(t, s, record.WineFields{Name: "Red 7", Kind: record.Red}, record.Reading{Measurement: readings(0.243, 0.412, 0.069, 1)})
	third, _ := add(t, s, record.WineFields{Name: "Golden", Kind: record.White}, record.Reading{Measurement: readings(0.3, 0.09, 0.03, 10)})
	page := parse(t, get(t, h, "/").Body.String())
	if said := spoken(page); !strings.Contains(said, "White 4, W-4") {
		t.Errorf("stored wines are not offered: %.800s", said)
	}
	preview := "/?" + url.Values{
		"base": {white.ID}, "red": {red.ID}, "red_dose": {"5"}, "third": {third.ID}, "third_dose": {"2.5"}, "target": {"lab"}, "target_L": {"88.0"}, "target_a": {"12"}, "target_b": {"7.5"}, "tolerance": {"1.5"},
		"lamp": {"A"}, "depth_mm": {"20"}, "base_ml": {"80"}, "doses": {"0 2 4, 8"},
	}.Encode()
	link := trialLink(t, h, preview)
	if _, err := s.ArchiveWine(t.Context(), third.ID, 1, "used up"); err != nil { // which the form still has
		t.Fatal(err)
	}
	tree, said := opened(t, h, link)
	says(t, said, "Filled from the preview", "Colours are for A and 20 mm of wine")
	form := formOf(tree, "/trials")
	for name, want := range map[string]string{
		"base": white.ID, "addition": red.ID, "held": third.ID, "held_dose": "2.5", "held2": "", "base_ml": "80", "glasses": "A B C D", "doses": "0 2 4 8",
		"target": "", "target_L": "88.0", "target_a": "12", "target_b": "7.5", "tolerance": "1.5",
	} {
		if got := form.Get(name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	to := sendWell(t, h, "/trials", form)
	if again := sendWell(t, h, "/trials", form); again != to {
		t.Errorf("pressed twice it leads to %s and %s", to, again)
	}
	trials, err := s.Trials(t.Context(), record.Page{Limit: 10})
	if err != nil || len(trials) != 1 {
		t.Fatalf("%d trials, %v", len(trials), err)
	}
	trial := trials[0]
	if trial.Base.ID != white.ID || trial.Addition.ID != red.ID || trial.BaseML != 80 || len(trial.Held) != 1 || trial.Held[0].DoseMLPer100ML != 2.5 ||
		trial.View == nil || trial.View.Illuminant != "A" || *trial.View.PathMM != 20 || trial.Target.CIELAB.L != 88 || trial.Target.Tolerance.DeltaE00 != 1.5 || !slices.Equal(trial.Glasses, []string{"A", "B", "C", "D"}) {
		t.Errorf("the trial is %+v", trial)
	}
	said = spoken(parse(t, get(t, h, to).Body.String()))
	says(t, said, "Measured with the 10 mL syringe", "An archived wine Golden", "used up") // of a plan, and whom it is of
	for _, rung := range []string{" 2 2.50", " 4 5.00", " 8 10.00"} {
		if !strings.Contains(said, rung) {
			t.Errorf("the plan has no rung%s: %.3000s", rung, said)
		}
	}
}

// TestTrialFromTypedWines: wines that were typed are stored first, under names that
// are asked for, once, and only where all else is right.
func TestTrialFromTypedWines(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	preview := "/?" + url.Values{
		"base": {"lab"}, "base_L": {"97.20"}, "base_a": {"-0.6"}, "base_b": {"5.1"}, "base_path_mm": {"10"},
		"red": {"readings"}, "red_a420": {"0.243"}, "red_a520": {"0.412"}, "red_a620": {"0.069"}, "red_extra": {"570 0.3"}, "red_path_mm": {"1"}, "target": {"indices"}, "target_intensity": {"0.6"}, "target_tint": {"0.9"},
	}.Encode()
	tree, said := opened(t, h, trialLink(t, h, preview))
	says(t, said, "Wines that are not stored yet", "L* 97.20, a* −0.6, b* 5.1, for 10 mm", "A420 0.243, A520 0.412, A620 0.069, cell 1 mm", "as in the preview")
	form := formOf(tree, "/trials")
	if got := []string{form.Get("base"), form.Get("addition"), form.Get("target"), form.Get("base_kind"), form.Get("addition_kind"), form.Get("glasses")}; !slices.Equal(got, []string{"typed", "typed", "preview", "white", "red", "A B C D E F G H I"}) {
		t.Fatalf("the form has %q", got)
	}
	page := refusedForm(t, h, "/trials", with(form, "base_as", "Tank 4"), map[string]bool{})
	if faulty := atFault(page); !slices.Equal(faulty, []string{"addition_as"}) {
		t.Errorf("at fault: %q", faulty)
	}
	kept := formOf(page, "/trials")
	if kept.Get("base_as") != "Tank 4" || kept.Get("preview") != form.Get("preview") {
		t.Errorf("kept is %q", kept)
	}
	// What is wrong elsewhere stores no wine either.
	named := with(kept, "addition_as", "Barrel 7", "base_kind", "rose")
	refusedForm(t, h, "/trials", with(named, "glasses", ""), map[string]bool{})
	refusedForm(t, h, "/trials", with(named, "doses", "2 four"), map[string]bool{})
	if wines, err := s.Wines(t.Context(), record.Page{Limit: 10}); err != nil || len(wines) != 0 {
		t.Fatalf("%d wines are stored, %v", len(wines), err)
	}
	// What the records refuse only when the wines are there, sent twice from one page.
	missing := with(named, "target", "0192f000-0000-7000-8000-000000000000")
	refusedForm(t, h, "/trials", missing, map[string]bool{})
	refusedForm(t, h, "/trials", missing, map[string]bool{})
	to := sendWell(t, h, "/trials", named)
	sendWell(t, h, "/trials", named)
	wines, err := s.Wines(t.Context(), record.Page{Limit: 10})
	if err != nil || len(wines) != 2 || wines[0].Name != "Tank 4" || wines[0].Kind != record.Rose || wines[1].Name != "Barrel 7" || wines[1].Kind != record.Red {
		t.Fatalf("the wines are %+v, %v", wines, err)
	}
	lab, err := s.Current(t.Context(), wines[0].ID)
	if err != nil || lab[0].CIELAB == nil || lab[0].CIELAB.L.Decimals != 2 {
		t.Errorf("the base is %+v, %v", lab, err)
	}
	trial, err := s.Trial(t.Context(), strings.TrimPrefix(to[:strings.IndexByte(to, '?')], "/trials/"))
	if err != nil || trial.Base.ID != wines[0].ID || trial.Addition.ID != wines[1].ID || len(trial.Addition.Readings.Extra) != 1 || trial.Target == nil || *trial.Target.Intensity != 0.6 {
		t.Errorf("the trial is %+v, %v", trial, err)
	}
}

// TestTrialFromInventedCellar: the invented wines are stored in a demonstration, so
// nothing is stored twice.
func TestTrialFromInventedCellar(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, true)
	fill(t, s)
	before, err := s.Wines(t.Context(), record.Page{Limit: 100})
	if err != nil {
		t.Fatal(err)
	}
	// The preview's closest dose goes by what was read of an invented glass, and the
	// trial's does not: that is said before it begins.
	const leftOut = "What was read of a poured glass in the preview is left out"
	for preview, want := range map[string]bool{"/?base=white-5&red=red-7": true, "/?base=white-5&red=red-7&rung=none": false} {
		if _, said := opened(t, h, trialLink(t, h, preview)); strings.Contains(said, leftOut) != want {
			t.Errorf("%s: the reading is said to be left out: %t", preview, !want)
		}
	}
	tree, _ := opened(t, h, trialLink(t, h, "/?third=white-9&third_dose=4"))
	form := formOf(tree, "/trials")
	id := ids(t, h, "/v1/wines")
	if form.Get("base") != id["White, tank 5"] || form.Get("held") != id["Golden white, cask 9"] || form.Get("held_dose") != "4" || form.Get("target") == "" || form.Get("target") == "preview" {
		t.Errorf("the form has %q", form)
	}
	sendWell(t, h, "/trials", form)
	if after, err := s.Wines(t.Context(), record.Page{Limit: 100}); err != nil || len(after) != len(before) {
		t.Errorf("%d wines after %d, %v", len(after), len(before), err)
	}
}

// TestTrialFromBrokenPreview: what cannot be read of an address is left out, and what
// is wrong with a typed wine is told when the form is sent.
func TestTrialFromBrokenPreview(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	tree, _ := opened(t, h, "/trials/new?base=readings&base_a420=x&red=nothing&frob=1")
	form := formOf(tree, "/trials")
	if form.Get("base") != "typed" {
		t.Fatalf("the form has %q", form)
	}
	page := refusedForm(t, h, "/trials", with(form, "base_as", "Tank 4", "addition_as", "Red"), map[string]bool{})
	says(t, spoken(page), "expected number")
}

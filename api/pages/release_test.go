package pages_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"pourpath/api/record"
)

// submit sends a form as a browser does, and returns where it leads, or the page
// that is shown instead.
func submit(t *testing.T, h http.Handler, to string, fields url.Values) (location, page string) {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420"+to, strings.NewReader(fields.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	switch w.Code {
	case http.StatusSeeOther:
		return w.Header().Get("Location"), ""
	case http.StatusUnprocessableEntity:
		return "", text(parse(t, w.Body.String()))
	}
	t.Fatalf("POST %s = %d: %s", to, w.Code, w.Body)
	return "", ""
}

// values makes a form of names and texts by turns.
func values(pairs ...string) url.Values {
	v := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		v.Add(pairs[i], pairs[i+1])
	}
	return v
}

// houseSpec is a specification that a rosé of rosé() meets.
func houseSpec(more ...string) url.Values {
	return values(append([]string{"name", "House rosé", "product", "House", "reference", "typed", "ref_L", "87", "ref_a", "13", "ref_b", "5", "delta_e_00", "4",
		"a_lower", "9", "a_upper", "18", "rule", "guarded", "source", "readings", "approved_by", "Bea"}, more...)...)
}

// TestReleaseByForms goes from a specification to a released lot and its
// statement by the pages alone.
func TestReleaseByForms(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	for address, want := range map[string]string{
		"/lots": "No lot has been set up yet", "/specs": "There is no specification yet", "/statements": "No statement was issued yet", "/instruments": "Each check has a row here", "/lots/new": "there is none yet",
	} {
		_, said := opened(t, h, address)
		says(t, said, want)
	}
	spec, _ := submit(t, h, "/specs", houseSpec("key", "k1"))
	if again, _ := submit(t, h, "/specs", houseSpec("key", "k1")); again != spec {
		t.Errorf("the same press leads to %s and to %s", spec, again)
	}
	_, said := opened(t, h, spec)
	says(t, said, "House rosé", "version 1", "ΔE00 from the reference ≤ 4", "a* 9–18", "L* 87, a* 13, b* 5", "approved by Bea", "A lot of the right colour would be within with probability")
	id := strings.TrimPrefix(spec, "/specs/")

	lot, _ := submit(t, h, "/lots", values("name", "L-31", "spec", id, "bottled_at", "2026-03-12", "key", "k2"))
	_, said = opened(t, h, lot)
	says(t, said, "No sample was read yet", "House rosé, version 1", "bottled 2026-03-12")
	to, _ := submit(t, h, lot+"/samples", values("stage", "first_bottles", "bottle", "3", "a420", "0.196", "a520", "0.216", "a620", "0.043", "path_mm", "10", "filtered", "true", "free_so2", "28", "key", "k3"))
	if to != lot {
		t.Errorf("a sample leads to %s", to)
	}
	_, said = opened(t, h, lot)
	says(t, said, "Within spec with probability", "ΔE00 from the reference", "First bottles", "Go on.", "What makes it unsure", "Nothing was decided yet", "None was issued")

	if _, refused := submit(t, h, lot+"/decisions", values("decision", "rejected", "by", "Bea")); !strings.Contains(refused, "say why the lot is rejected") {
		t.Errorf("rejected without a reason: %s", refused)
	}
	submit(t, h, lot+"/decisions", values("decision", "released", "by", "Bea", "key", "k4"))
	submit(t, h, lot+"/statements", values("issued_by", "Ada", "note", "first of the spring", "key", "k5"))
	submit(t, h, lot+"/statements", values("issued_by", "Ada", "note", "first of the spring", "key", "k5"))
	_, said = opened(t, h, lot)
	says(t, said, "Released by Bea", "Within, Ada")
	_, said = opened(t, h, "/statements")
	says(t, said, "L-31", "Ada", "SHA-256")
	if strings.Contains(get(t, h, "/v1/statements").Body.String(), `"no":2`) {
		t.Error("one press issued two statements")
	}
	if w := get(t, h, "/v1/statements/1?format=pdf"); !strings.HasPrefix(w.Body.String(), "%PDF-") {
		t.Error("the page's link to the PDF leads to none")
	}
	_, said = opened(t, h, "/lots")
	says(t, said, "L-31", "Within", "Released")

	again, _ := submit(t, h, "/specs/"+id+"/versions", houseSpec("seen", "1", "delta_e_00", "1"))
	if again != spec {
		t.Fatalf("a version leads to %s", again)
	}
	submit(t, h, lot+"/verdicts", values("judge_spec", id, "judge_version", "2"))
	_, said = opened(t, h, lot)
	says(t, said, "House rosé, version 2", "House rosé, version 1")
}

// TestReleaseForms: what a form cannot take is told at its field, with what was
// typed; nothing is kept.
func TestReleaseForms(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	spec, _ := submit(t, h, "/specs", houseSpec())
	id := strings.TrimPrefix(spec, "/specs/")
	lot, _ := submit(t, h, "/lots", values("name", "L-1", "spec", id))
	for _, c := range []struct {
		to     string
		fields url.Values
		wants  []string
	}{
		{"/specs", values("name", "x"), []string{"This was not accepted"}},
		{"/specs", houseSpec("L_lower", "80"), []string{"L* most", "a limit has two ends"}},
		{"/specs", values("name", "x", "reference", "typed", "ref_L", "hell", "ref_a", "1", "ref_b", "1", "delta_e_00", "1"), []string{"L*", "number"}},
		{"/specs", values("reference", "typed", "ref_L", "87", "ref_a", "13", "ref_b", "5", "a_lower", "0", "a_upper", "9"), []string{"a* least", "reference"}},
		{"/specs", values("reference", "trial", "ref_trial", "none", "delta_e_00", "1"), []string{"Trial, its chosen dose"}},
		{"/lots", values("spec", id), []string{"Name"}},
		{"/lots", values("name", "x", "spec", id, "bottled_at", "tomorrow"), []string{"Bottled, date or time"}},
		{lot + "/samples", values("a420", "0,196", "a520", "0.2", "a620", "0.04", "path_mm", "10"), []string{"A420"}},
		{lot + "/samples", values("path_mm", "10"), []string{"This was not accepted"}},
		{lot + "/samples", values("a420", "0.1", "a520", "0.2", "a620", "0.04", "taken_at", "2099-01-01"), []string{"Taken, date or time", "future"}},
		{lot + "/samples", values("scan", "400 x\n410 y"), []string{"Scan, pasted"}},
		{lot + "/samples", values("a420", "0.1", "a520", "0.2", "a620", "0.04", "free_so2", "30", "total_so2", "20"), []string{"Free SO2", "above the total"}},
		{lot + "/decisions", values("decision", "released", "by", "Bea"), []string{"Decision", "rests on verdicts"}},
		{lot + "/statements", values("issued_by", "Ada"), []string{"no sample of this lot was judged yet"}},
		{lot + "/verdicts", values("judge_spec", id, "judge_version", "7"), []string{"This was not accepted"}},
		{"/instruments", values("instrument", "S2", "kind", "filter", "certified_1", "0.5", "limit_1", "0.01", "reading_1", "0.5"), []string{"nm", "at which wavelength"}},
		{"/instruments", values("kind", "blank"), []string{"Instrument"}},
	} {
		location, page := submit(t, h, c.to, c.fields)
		if location != "" {
			t.Errorf("%s %v leads to %s", c.to, c.fields, location)
		}
		says(t, page, c.wants...)
	}
	if list, err := s.Specs(t.Context(), record.Page{Limit: 10}); err != nil || len(list) != 1 {
		t.Errorf("%d specifications, %v", len(list), err)
	}
	// What was typed stays.
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420/lots", strings.NewReader(values("name", "L <2>", "spec", id, "bottled_at", "soon").Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	for _, want := range []string{`value="L &lt;2&gt;"`, `value="soon"`, `aria-invalid="true"`} {
		if !strings.Contains(w.Body.String(), want) {
			t.Errorf("the form does not keep %s", want)
		}
	}
}

// TestSpecVersionForm: a version starts from the newest, keeps what the form has
// no field for, and is told where another came in between.
func TestSpecVersionForm(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420/v1/specs", strings.NewReader(`{"name": "House", "target": {"wine": {"readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043}}},
		"tolerance": {"delta_e_00": 3}, "limits": {"blue_percent": [1, 20], "L": [80, 95]}, "rule": "guarded", "reading_method": {"source": "readings", "extra_nm": [460]}}`))
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	id := regexp.MustCompile(`"id":"([^"]+)"`).FindStringSubmatch(w.Body.String())[1]
	_, said := opened(t, h, "/specs/"+id+"/new")
	says(t, said, "A new version of House", "as it is")
	first := values("name", "House", "seen", "1", "reference", "kept", "delta_e_00", "2", "L_lower", "81", "L_upper", "95", "rule", "guarded", "source", "readings", "approved_by", "Bea")
	if to, page := submit(t, h, "/specs/"+id+"/versions", first); to == "" {
		t.Fatal(page)
	}
	spec, err := s.Spec(t.Context(), id)
	if err != nil || spec.Version != 2 || spec.Tolerance.DeltaE00 != 2 || spec.Limits.BluePercent == nil || spec.Limits.L[0] != 81 || spec.Target == nil || spec.Target.Wine == nil || len(spec.Reading.ExtraNM) != 1 {
		t.Errorf("version 2: %+v, %v", spec, err)
	}
	second := values("name", "House", "seen", "1", "reference", "kept", "delta_e_00", "5", "rule", "guarded", "source", "readings")
	_, page := submit(t, h, "/specs/"+id+"/versions", second)
	says(t, page, "Somebody else has made version 2 since (approved by: Bea)", "ΔE00 at most: there it is “2”, here “5”", "L* least: there it is “81”, here “”")
	second.Set("seen", "2")
	if to, page := submit(t, h, "/specs/"+id+"/versions", second); to == "" {
		t.Errorf("sent again: %s", page)
	}
	_, said = opened(t, h, "/specs/"+id+"?version=1")
	says(t, said, "not the newest", "version 3")
	for _, address := range []string{"/specs/" + id + "?version=9", "/specs/none", "/specs/0192f000-0000-7000-8000-000000000000", "/lots/0192f000-0000-7000-8000-000000000000"} {
		if got := get(t, h, address).Code; got != http.StatusNotFound {
			t.Errorf("%s = %d", address, got)
		}
	}
}

// TestSpecTooTight: the page says before anyone measures that no lot could pass.
func TestSpecTooTight(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	spec, page := submit(t, h, "/specs", values("name", "Tight", "reference", "typed", "ref_L", "87", "ref_a", "13", "ref_b", "5", "delta_e_00", "0.3", "rule", "guarded", "source", "readings"))
	if spec == "" {
		t.Fatal(page)
	}
	_, said := opened(t, h, spec)
	says(t, said, "No lot could pass this", "The least tolerance that it would pass is ΔE00", "what the readings leave open of the spectrum", "If you")
}

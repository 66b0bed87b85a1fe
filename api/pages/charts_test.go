package pages_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// chartedLots adds lots of the product House with a sample each, the last one far
// off.
func chartedLots(t *testing.T, h http.Handler, n int) {
	t.Helper()
	send := func(path, body string) (answer struct{ ID string }) {
		t.Helper()
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420"+path, bytes.NewReader([]byte(body)))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil || w.Code != http.StatusCreated {
			t.Fatalf("%s: status %d, %v: %.500s", path, w.Code, err, w.Body)
		}
		return answer
	}
	send("/v1/specs", `{"name": "House <2026>", "product": "House & co", "target": {"cielab": {"L": 93, "a": 7, "b": 5}}, "tolerance": {"delta_e_00": 3}, "limits": {"L": [85, 97]}}`)
	for i := range n {
		lot := send("/v1/lots", fmt.Sprintf(`{"name": "L<%d>", "product": "House & co", "bottled_at": "2025-01-%02d"}`, i+1, i+1))
		a520 := 0.118 + 0.0007*float64(i*3%4)
		if i == n-1 {
			a520 = 0.15
		}
		send("/v1/lots/"+lot.ID+"/samples", fmt.Sprintf(`{"readings": {"a420": %g, "a520": %g, "a620": %g}}`, 0.142+0.001*float64(i*7%5), a520, 0.021+0.0002*float64(i*5%7)))
	}
}

// TestChartsPage: the charts with their tables, signals in words, and why there
// is no capability; names are text, not markup.
func TestChartsPage(t *testing.T) {
	h, _ := withRecords(t, false)
	if page := get(t, h, "/charts").Body.String(); !strings.Contains(page, "There is no specification yet") {
		t.Errorf("without a specification:\n%s", page)
	}
	chartedLots(t, h, 28)
	if page := get(t, h, "/charts").Body.String(); !strings.Contains(page, "House &amp; co") || strings.Contains(page, "<svg") {
		t.Errorf("before anything is asked:\n%s", page)
	}
	of := "of=" + url.QueryEscape("product:House & co")
	page := get(t, h, "/charts?"+of+"&quantity=L&rules=nelson&base=27").Body.String()
	if n := strings.Count(page, "<svg"); n != 4 {
		t.Errorf("%d pictures, want 4", n)
	}
	said := text(parse(t, page))
	for _, want := range []string{
		"Lots28", "What stands out", "L<28>", "This lot is much lower", "There is no capability: the process is not steady", "Running average",
		"Path through the a*b* plane", "The lots in figures", "L*, a*, b* of the lots in figures",
	} {
		if !strings.Contains(strings.Join(strings.Fields(said), " "), want) && !strings.Contains(strings.ReplaceAll(said, "\n", ""), want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if !strings.Contains(page, `<option value="nelson" selected>`) || !strings.Contains(page, `name="base" value="27"`) {
		t.Error("the form does not keep what was asked")
	}
	if strings.Contains(page, "<28>") || strings.Contains(page, " style=") {
		t.Error("a name became markup, or there is an inline style")
	}
	apart := get(t, h, "/charts?"+of+"&quantity=delta_e_00").Body.String()
	if n := strings.Count(apart, "<svg"); n != 3 || !strings.Contains(apart, "never negative") {
		t.Errorf("of ΔE00 %d pictures, want a run plot and two of the colour", n)
	}
	earlier := get(t, h, "/charts?"+of+"&points=10").Body.String()
	if !strings.Contains(earlier, "before=19") || !strings.Contains(earlier, "The newest 10 of 28 lots are drawn") {
		t.Error("there is no way to the earlier lots")
	}
}

// TestChartsPageFaults: the field at fault is marked and told, and what was typed
// stays.
func TestChartsPageFaults(t *testing.T) {
	h, _ := withRecords(t, false)
	chartedLots(t, h, 12)
	of := "of=" + url.QueryEscape("product:House & co")
	for query, want := range map[string][]string{
		of + "&from=soon":               {`id="from" name="from" value="soon"`, `placeholder="2026-01-01" aria-invalid="true"`, `<a href="#from">`},
		of + "&base=3":                  {`value="3"`, `<a href="#base">`, "10 or more"},
		of + "&to=2025-01-05":           {"there are 4 that count, and it needs 10"},
		"of=spec:none":                  {`<a href="#of">`, "no specification is stored"},
		"of=product:%3Cb%3E":            {"nothing to chart", "&lt;b&gt;"},
		of + "&quantity=red&rules=mine": {`<a href="#quantity">`, `<a href="#rules">`},
		of + "&points=x":                {`<a href="#points">`},
	} {
		page := get(t, h, "/charts?"+query).Body.String()
		for _, w := range want {
			if !strings.Contains(page, w) {
				t.Errorf("%s: the page does not have %s", query, w)
			}
		}
		// The path through the plane needs one lot.
		if n := strings.Count(page, "<svg"); n > 0 && !strings.Contains(query, "to=") || n > 1 {
			t.Errorf("%s: there are %d pictures", query, n)
		}
	}
	// Enough for single lots, and not for the three together.
	page := get(t, h, "/charts?"+of).Body.String()
	if n := strings.Count(page, "<svg"); n != 3 || !strings.Contains(page, "there are 12 that count, and it needs 15") {
		t.Errorf("%d pictures, want 3 and why there is no fourth", n)
	}
}

// TestChartsOfFewLots: the heading says what was chosen, and each chart that cannot be
// made says why in its place, not how many faults there are.
func TestChartsOfFewLots(t *testing.T) {
	h, _ := withRecords(t, false)
	chartedLots(t, h, 2)
	for language, says := range map[string][]string{
		"en": {"a*, red against green: House & co", "it needs 10"}, "fr": {"a*, du vert au rouge : House & co", "il en faut 10"}, "es": {"a*, de verde a rojo: House & co", "hacen falta 10"},
	} {
		page := in(t, h, language, "/charts?quantity=a&of="+url.QueryEscape("product:House & co")).Body.String()
		said := text(parse(t, page))
		if strings.Contains(said, "1 fault") || strings.Contains(said, "1 fallo") || strings.Contains(page, `id="capability"`) {
			t.Errorf("%s: the page counts faults, or has a capability that is empty", language)
		}
		for _, want := range says {
			if !strings.Contains(said, want) {
				t.Errorf("%s: the page does not say %q", language, want)
			}
		}
	}
}

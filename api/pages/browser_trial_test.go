//go:build browser

package pages_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// begunTrial begins a trial through the interface and returns the address of its
// page; a glass of it has had a pour and was read.
func begunTrial(t *testing.T, base string) string {
	t.Helper()
	call := func(path, body string) (answer struct {
		ID    string
		Items []struct{ ID, Name string }
	}) {
		t.Helper()
		r, err := http.Get(base + path)
		if body != "" {
			r, err = http.Post(base+path, "application/json", bytes.NewReader([]byte(body)))
		}
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		if err := json.NewDecoder(r.Body).Decode(&answer); err != nil || r.StatusCode > 201 {
			t.Fatalf("%s: status %d, %v", path, r.StatusCode, err)
		}
		return answer
	}
	named := map[string]string{}
	for _, path := range []string{"/v1/wines", "/v1/targets"} {
		for _, one := range call(path, "").Items {
			named[one.Name+path] = one.ID
		}
	}
	at := "/trials/" + call("/v1/trials", fmt.Sprintf(`{"name": "Spring rosé", "base": {"id": %q}, "addition": {"id": %q}, "base_ml": 100, "target": {"id": %q}, "glasses": ["A", "B", "C"],
		"tools": [{"name": "10 mL syringe", "kind": "syringe", "capacity_ml": 10, "graduation_ml": 0.5}]}`,
		named["White, tank 5/v1/wines"], named["Red, barrel 7/v1/wines"], named["Last year's rosé/v1/targets"])).ID
	call("/v1"+at+"/pours", `{"glass": "B", "volume_ml": 6, "tool": "10 mL syringe"}`)
	call("/v1"+at+"/measurements", `{"glass": "B", "readings": {"a420": 0.234, "a520": 0.239, "a620": 0.047, "path_mm": 10}, "minutes_since_blending": 20}`)
	return at
}

// tap presses what has a text, as a thumb does, and waits for the page it leads to.
func (v *visit) tap(words string) {
	v.t.Helper()
	found := evaluated[bool](v, fmt.Sprintf(`(() => {
		const e = [...document.querySelectorAll("button")].find((e) => e.checkVisibility() && e.innerText.replace(/\s+/g, " ").includes(%q));
		if (!e) return false;
		document.querySelector("main").before_ = true; e.click(); e.click(); // a thumb that trembles
		return true })()`, words))
	if !found {
		v.t.Fatalf("nothing to press says %q", words)
	}
	v.until("the page after "+words, `document.readyState === "complete" && document.querySelector("main") !== null && !document.querySelector("main").before_`)
}

// TestBrowserBench pours with one thumb on a phone, pressing each button twice:
// the total is the largest thing on the screen and is right, the pours of the plan
// follow each other at one place, and the last entry is taken back at once. It does
// so without script too.
func TestBrowserBench(t *testing.T) {
	base := served(t, true)
	v := open(t, base, phone)
	at := begunTrial(t, base)
	v.reach(at + "?plan=even&to_ml=6&step_ml=2&glass=C")
	total := func() string {
		return strings.Join(strings.Fields(evaluated[string](v, `document.querySelector(".big strong").innerText`)), " ")
	}
	if size := evaluated[bool](v, `[...document.querySelectorAll("main *")].every((e) => parseFloat(getComputedStyle(e).fontSize) <= parseFloat(getComputedStyle(document.querySelector(".big strong")).fontSize))`); !size {
		t.Error("something is larger than the running total")
	}
	for _, step := range []struct{ press, want string }{
		{"+2 mL", "2 mL"}, {"+0.5 mL", "2.5 mL"}, {"Take entry 4 back", "2 mL"}, {"Let entry 4 stand again", "2.5 mL"}, {"Sip, 15 mL", "2.5 mL"}, {"Planned: 1.5 mL into C", "4 mL"},
	} {
		v.tap(step.press)
		if got := total(); got != step.want {
			t.Fatalf("after %q the total is %s, want %s", step.press, got, step.want)
		}
	}
	v.narrow()
	if under := evaluated[bool](v, `(() => { scrollTo(0, 1e6); const r = document.querySelector(".presses button").getBoundingClientRect(); return r.top > innerHeight / 2 && r.bottom <= innerHeight })()`); !under {
		t.Error("the buttons to pour with do not lie under the thumb at the end of the page")
	}
	v.quiet()

	still := open(t, base, sight{width: 390, height: 844, noScript: true})
	still.do(chromedp.Navigate(base+at), chromedp.Click(chromedp.CSS(".presses button")))
	still.until("the page after a press without script", `document.querySelector(".big strong")?.innerText.trim() === "4.5 mL"`)
}

// TestBrowserBenchOnAPhone: to read and to choose stand right after the glass in hand,
// what lies under the thumb leaves most of the screen, and a table that is cut says so.
func TestBrowserBenchOnAPhone(t *testing.T) {
	base := served(t, true)
	v := open(t, base, phone)
	v.reach(begunTrial(t, base) + "?plan=even&to_ml=6&step_ml=2&glass=C")
	for _, words := range []string{"Read glass C", "Choose the dose of C"} {
		at := evaluated[float64](v, fmt.Sprintf(`[...document.querySelectorAll("summary")].find((e) => %s).getBoundingClientRect().bottom + scrollY`, saying(words)))
		if most := 1.5 * float64(phone.height); at > most {
			t.Errorf("%q ends %.0f px down, want %.0f at most", words, at, most)
		}
	}
	if high := evaluated[float64](v, `document.querySelector(".under-thumb").getBoundingClientRect().height`); high > 140 {
		t.Errorf("what lies under the thumb is %.0f px high", high)
	}
	if small := evaluated[string](v, `[...document.querySelectorAll(".under-thumb button, .glasses-row a, .more summary")].filter((e) => e.getBoundingClientRect().height < 48 - 1e-3).map((e) => e.innerText).join("; ")`); small != "" {
		t.Errorf("less than 48 px high: %s", small)
	}
	for _, heading := range []string{"glasses", "plan"} {
		told := evaluated[bool](v, fmt.Sprintf(`(() => { const s = document.getElementById(%q).parentElement, e = s.querySelector(".scroll");
			return e.scrollWidth <= e.clientWidth || s.querySelector(".sideways").checkVisibility() })()`, heading))
		if !told {
			t.Errorf("nothing says that the table of the %s goes on", heading)
		}
	}
	v.narrow()
	v.quiet()
}

//go:build browser

package pages_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/chromedp/chromedp"
)

// line is a service at the end of a line that can be cut.
type line struct {
	service http.Handler
	cut     atomic.Bool
	// loses is how many answers to what was sent are lost on the way back.
	loses atomic.Int32
}

func (l *line) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	lost := r.Method == http.MethodPost && l.loses.Add(-1) >= 0
	if !l.cut.Load() && !lost {
		l.service.ServeHTTP(w, r)
		return
	}
	if !l.cut.Load() {
		l.service.ServeHTTP(httptest.NewRecorder(), r)
	}
	if c, _, err := http.NewResponseController(w).Hijack(); err == nil {
		_ = c.Close() // it is cut either way
	}
}

// TestBrowserQueue cuts the line in the middle of ten pours: the page says that
// they wait, and when the line is back all ten arrive once and in order, although
// an answer is lost. One that is refused stops those behind it until it is left
// out.
func TestBrowserQueue(t *testing.T) {
	h, records := withRecords(t, true)
	fill(t, records)
	l := &line{service: h}
	s := httptest.NewServer(l)
	t.Cleanup(s.Close)
	v := open(t, s.URL, phone)
	at := begunTrial(t, s.URL)
	v.reach(at + "?glass=C")
	pour := func(ml float64) {
		t.Helper()
		if !evaluated[bool](v, fmt.Sprintf(`(() => {
			const d = [...document.querySelectorAll("details")].find((e) => e.querySelector("#pour-ml"));
			d.open = true;
			document.getElementById("pour-ml").value = "%g";
			d.querySelector("button").click();
			return true })()`, ml)) {
			t.Fatal("nothing to pour by")
		}
	}
	poured := func() (list []float64) {
		t.Helper()
		// Past the line, which may be cut.
		r := get(t, h, "/v1"+at)
		var trial struct {
			Entries []struct {
				Kind, Glass string
				Volume      float64 `json:"volume_ml"`
			}
		}
		if err := json.NewDecoder(r.Body).Decode(&trial); err != nil {
			t.Fatal(err)
		}
		for _, e := range trial.Entries {
			if e.Kind == "pour" && e.Glass == "C" {
				list = append(list, e.Volume)
			}
		}
		return list
	}
	shows := func(words string) string {
		return fmt.Sprintf(`document.querySelector("#waiting").innerText.includes(%q)`, words)
	}
	// Other than a thumb that trembles, a hand takes its time.
	const moment = `new Promise((r) => setTimeout(() => r(true), 500))`
	const gone = `document.querySelector("#waiting").hidden`

	var want []float64
	for n := range 10 {
		ml := 0.1 * float64(n+1)
		if n == 4 {
			v.until("the pours before the line is cut", gone)
			l.cut.Store(true)
		}
		pour(ml)
		v.until("a moment", moment)
		want = append(want, ml)
	}
	v.until("that six wait", shows("6 waiting to be sent"))
	if words := evaluated[string](v, `document.querySelector("#waiting ol").innerText`); !strings.HasPrefix(words, "0.5 mL into C") {
		t.Errorf("what waits is said as %q", words)
	}
	v.narrow()
	if got := len(poured()); got != 4 {
		t.Errorf("%d pours have arrived over a cut line, want 4", got)
	}
	l.loses.Store(1)
	l.cut.Store(false)
	const back = `dispatchEvent(new Event("online"))`
	evaluated[bool](v, back)
	v.until("a moment", moment)
	evaluated[bool](v, back)
	v.until("that nothing waits", gone)
	if got := poured(); !slices.EqualFunc(got, want, func(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 }) {
		t.Errorf("the pours are %v, want %v", got, want)
	}
	v.until("the total of all", `document.querySelector(".big strong").innerText.trim() === "5.5 mL"`)

	// The page comes back without the service, and with what waits.
	l.cut.Store(true)
	pour(0.5)
	v.until("that one waits", shows("1 waiting to be sent"))
	v.do(chromedp.Reload())
	v.until("the page that was kept", `document.documentElement.hasAttribute("data-kept") && `+shows("0.5 mL into C"))
	l.cut.Store(false)
	evaluated[bool](v, back)
	v.until("that nothing waits after the page was loaded again", `document.querySelector(".big strong").innerText.trim() === "6 mL"`)
	v.reach(at + "?glass=C")

	l.cut.Store(true)
	pour(-1)
	v.until("a moment", moment)
	pour(2)
	v.until("that two wait", shows("2 waiting to be sent"))
	l.cut.Store(false)
	evaluated[bool](v, back)
	v.until("the refusal", shows("the first was not accepted"))
	evaluated[bool](v, `(() => { document.querySelector("#waiting [data-part=leave-out]").click(); return true })()`)
	v.until("that nothing waits after the refusal", gone)
	if got := poured(); len(got) != 12 || got[11] != 2 {
		t.Errorf("after a refused pour was left out the pours are %v", got)
	}
}

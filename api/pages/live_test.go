package pages_test

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"pourpath/api/calc"
)

// dataOf is the block of data that a page gives its script.
func dataOf(t *testing.T, tree *html.Node) (data struct {
	Sliders []struct {
		Name    string    `json:"name"`
		Step    float64   `json:"step"`
		Largest float64   `json:"largest"`
		Dose    float64   `json:"dose"`
		Rungs   []float64 `json:"rungs"`
		Trace   struct {
			Dose    []float64             `json:"dose"`
			Columns map[string][]*float64 `json:"columns"`
			Colours map[string]string     `json:"colours"`
			Clipped map[string]string     `json:"clipped"`
			Levels  struct {
				Every, Count int
				Colours      string
			} `json:"levels"`
		} `json:"trace"`
	} `json:"sliders"`
	Texts map[string]string `json:"texts"`
}) {
	t.Helper()
	for n := range tree.Descendants() {
		if n.Data == "script" && attribute(n, "type") == "application/json" {
			if err := json.Unmarshal([]byte(n.FirstChild.Data), &data); err != nil {
				t.Fatal(err)
			}
		}
	}
	return data
}

// TestLiveData holds what the script looks up against the API's answers to the
// same questions: the ladder at each tenth dose, and the volumes.
func TestLiveData(t *testing.T) {
	t.Parallel()
	h := service(t, true)
	for name, query := range map[string]string{
		"two wines":   "",
		"three wines": "third=white-9&third_dose=4&red_dose=6",
		"a typed red": "red=readings&red_a420=0.2&red_a520=0.3&red_a620=0.05&target=lab&target_L=88&target_a=12&target_b=7&tolerance=2",
	} {
		data := dataOf(t, parse(t, get(t, h, "/?"+query).Body.String()))
		if len(data.Sliders) == 0 || data.Texts["announce"] == "" {
			t.Fatalf("%s: the page has no data", name)
		}
		var request map[string]any
		if err := json.Unmarshal(get(t, h, "/preview/request.json?"+query).Body.Bytes(), &request); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		path := data.Sliders[0].Trace
		var doses []float64
		for i := 0; i < len(path.Dose); i += 10 {
			doses = append(doses, path.Dose[i])
		}
		request["doses_ml"] = doses // in 100 mL of base
		body, err := json.Marshal(request)
		if err != nil {
			t.Fatal(err)
		}
		var answer calc.LadderResponse
		if w := post(t, h, "/v1/ladder", string(body)); w.Code != http.StatusOK || json.Unmarshal(w.Body.Bytes(), &answer) != nil {
			t.Fatalf("%s: %d %s", name, w.Code, w.Body)
		}
		for k, rung := range answer.Rungs {
			i := 10 * k
			c := rung.Colour
			for key, want := range map[string]float64{
				"L": c.CIELAB.L, "a": c.CIELAB.A, "b": c.CIELAB.B, "C": c.CIELAB.C, "h": c.CIELAB.H, "intensity": *c.Intensity, "tint": *c.Tint,
				"percent": 100 * rung.AdditionFraction, "delta_e": *rung.Difference.DeltaE00, "da": *rung.Difference.DA,
			} {
				if got := path.Columns[key][i]; got == nil || math.Abs(*got-want) > 6e-5 {
					t.Errorf("%s: %s at %g mL is %v, the API has %g", name, key, rung.DoseMLPer100ML, got, want)
				}
			}
			if got := "#" + path.Colours["cell"][6*i:6*i+6]; got != *c.SRGB {
				t.Errorf("%s: the swatch at %g mL is %s, the API has %s", name, rung.DoseMLPer100ML, got, *c.SRGB)
			}
		}
		last := len(path.Dose) - 1
		var scaled calc.ScaleResponse
		if w := post(t, h, "/v1/scale", fmt.Sprintf(`{"dose_ml_per_100ml":%g,"bottles":{"count":600,"ml":750},"loss_percent":2}`, path.Dose[last])); json.Unmarshal(w.Body.Bytes(), &scaled) != nil {
			t.Fatal(w.Body)
		}
		if len(data.Sliders) == 1 {
			for key, want := range map[string]float64{"bottles_base": scaled.BaseL, "bottles_red": scaled.AdditionL, "bottles_blend": scaled.BlendL, "bottles_first": scaled.FirstAdditionL} {
				if got := path.Columns[key][last]; got == nil || math.Abs(*got-want) > 6e-5 {
					t.Errorf("%s: %s is %v, the API has %g", name, key, got, want)
				}
			}
		} else if sum := *path.Columns["tank_base"][last] + *path.Columns["tank_red"][last] + *path.Columns["tank_third"][last]; math.Abs(sum-*path.Columns["tank_blend"][last]) > 2e-4 {
			t.Errorf("%s: base, red and third wine are %g L, the blend %g L", name, sum, *path.Columns["tank_blend"][last])
		}
	}
}

// TestSlidersAgree: whichever of two additions is moved, the blend at the doses
// that are shown is the same.
func TestSlidersAgree(t *testing.T) {
	t.Parallel()
	data := dataOf(t, parse(t, get(t, service(t, true), "/?third=white-9&third_dose=4&red_dose=6&fourth=red-12&fourth_dose=1").Body.String()))
	if len(data.Sliders) != 3 {
		t.Fatalf("%d sliders, want 3", len(data.Sliders))
	}
	for _, key := range []string{"L", "a", "b", "intensity"} {
		var seen []float64
		for _, s := range data.Sliders {
			i := int(math.Round(s.Dose / s.Largest * float64(len(s.Trace.Dose)-1)))
			seen = append(seen, *s.Trace.Columns[key][i])
		}
		if math.Abs(seen[0]-seen[1]) > 1e-3 || math.Abs(seen[0]-seen[2]) > 1e-3 {
			t.Errorf("%s is %v by the three sliders", key, seen)
		}
	}
}

// TestPastedScan: a scan that was pasted is the scan of a request.
func TestPastedScan(t *testing.T) {
	t.Parallel()
	h := service(t, true)
	query := "/preview/request.json?base=scan&base_path_mm=5&base_scan="
	var asked struct {
		Base calc.Wine `json:"base"`
	}
	w := get(t, h, query+"400+0%2C2%0A"+strings.ReplaceAll(strings.ReplaceAll(scanLines("\t", "."), "\t", "+"), "\n", "%0A"))
	if w.Code != http.StatusUnprocessableEntity { // 400 nm twice
		t.Errorf("a wavelength twice: %d %s", w.Code, w.Body)
	}
	w = get(t, h, query+strings.ReplaceAll(strings.ReplaceAll(scanLines("\t", "."), "\t", "%09"), "\n", "%0A"))
	if err := json.Unmarshal(w.Body.Bytes(), &asked); err != nil || asked.Base.Spectrum == nil {
		t.Fatalf("%v: %s", err, w.Body)
	}
	if s := asked.Base.Spectrum; len(s.NM) != 31 || s.NM[30] != 700 || s.Absorbance[2] != 0.13 || *s.PathMM != 5 {
		t.Errorf("the request has %+v", s)
	}
}

// TestServing: assets are kept for ever under names of their own; a page that the
// reader has is not sent again; what is long is compressed where that is taken.
func TestServing(t *testing.T) {
	t.Parallel()
	h := service(t, true)
	ask := func(address string, headers map[string]string) *httptest.ResponseRecorder {
		path, query, _ := strings.Cut(address, "?")
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "http://127.0.0.1:8420/", nil)
		r.URL.Path, r.URL.RawQuery = path, query
		for name, value := range headers {
			r.Header.Set(name, value)
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	page := ask("/", nil)
	tag := page.Header().Get("ETag")
	if page.Header().Get("Cache-Control") != "no-cache" || tag == "" {
		t.Errorf("the page: Cache-Control %q, ETag %q", page.Header().Get("Cache-Control"), tag)
	}
	if again := ask("/", map[string]string{"If-None-Match": tag}); again.Code != http.StatusNotModified || again.Body.Len() > 0 {
		t.Errorf("the page again: %d with %d bytes", again.Code, again.Body.Len())
	}
	if other := ask("/?red_dose=3", map[string]string{"If-None-Match": tag}); other.Code != http.StatusOK {
		t.Errorf("another page with this one's tag: %d", other.Code)
	}
	for header, wanted := range map[string]bool{"gzip, deflate, br": true, "br, gzip;q=0.5": true, "gzip;q=0": false, "identity": false, "": false} {
		w := ask("/", map[string]string{"Accept-Encoding": header})
		if got := w.Header().Get("Content-Encoding") == "gzip"; got != wanted {
			t.Errorf("Accept-Encoding %q: compressed %v, want %v", header, got, wanted)
		}
		if !wanted {
			continue
		}
		z, err := gzip.NewReader(w.Body)
		if err != nil {
			t.Fatal(err)
		}
		if plain, err := io.ReadAll(z); err != nil || !bytes.Equal(plain, page.Body.Bytes()) {
			t.Errorf("Accept-Encoding %q: another page (%v)", header, err)
		}
	}
	for n := range parse(t, page.Body.String()).Descendants() {
		for _, name := range []string{"href", "src"} {
			at := attribute(n, name)
			if !strings.HasPrefix(at, "/assets/") {
				continue
			}
			if got := ask(at, nil).Header().Get("Cache-Control"); got != "public, max-age=31536000, immutable" {
				t.Errorf("%s: Cache-Control %q", at, got)
			}
		}
	}
}

// TestMatched: the blend of three wines that the page calls the closest is the
// API's match, and no ladder of the red comes closer.
func TestMatched(t *testing.T) {
	t.Parallel()
	h := service(t, true)
	const query = "third=white-9&third_dose=4&target=lab&target_L=88&target_a=10&target_b=9&tolerance=2"
	tree := parse(t, get(t, h, "/?"+query).Body.String())
	var at string
	for n := range tree.Descendants() {
		if n.Data == "a" && text(n) == "Show this blend" {
			at = attribute(n, "href")
		}
	}
	if at == "" {
		t.Fatal("the page has no closest blend of all wines")
	}
	shown := dataOf(t, parse(t, get(t, h, at).Body.String()))
	off := func(data []*float64, s float64, largest float64) float64 {
		return *data[int(math.Round(s/largest*float64(len(data)-1)))]
	}
	red := shown.Sliders[0]
	best := off(red.Trace.Columns["delta_e"], red.Dose, red.Largest)
	before := dataOf(t, tree)
	for _, d := range before.Sliders[0].Trace.Columns["delta_e"] {
		if *d < best-0.2 {
			t.Errorf("the red's own ladder comes within ΔE00 %g, all wines together within %g", *d, best)
		}
	}
}

// TestTastedDose: a glass of the cellar that was read keeps its dose whatever the
// base in the glasses of the ladder is.
func TestTastedDose(t *testing.T) {
	t.Parallel()
	h := service(t, true)
	closest := func(query string) string {
		said := text(parse(t, get(t, h, "/?"+query).Body.String()))
		_, after, _ := strings.Cut(said, "Closest to Last year's rosé ")
		dose, _, _ := strings.Cut(after, " per 100 mL of base")
		return dose
	}
	if want, got := closest(""), closest("base_ml=37.5&doses=0+2+4+8"); want != got || want == "" {
		t.Errorf("the closest dose is %q in glasses of 37.5 mL, %q in those of 100 mL", got, want)
	}
}

//go:build browser

package pages_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"pourpath/api/calc"
)

var updatePicture = flag.Bool("update-picture", false, "write the README's picture of the preview anew")

var keys = map[string]string{
	"Tab": kb.Tab, "Right": kb.ArrowRight, "Left": kb.ArrowLeft, "PageUp": kb.PageUp, "PageDown": kb.PageDown, "Home": kb.Home, "End": kb.End, "Enter": kb.Enter,
}

func (v *visit) key(name string) {
	v.t.Helper()
	v.do(chromedp.KeyEvent(keys[name]))
}

// box is where an element is, in CSS px.
type box struct{ X, Y, W, H float64 }

func (v *visit) box(selector string) box {
	v.t.Helper()
	return evaluated[box](v, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.scrollIntoView({block: "nearest"}); const r = e.getBoundingClientRect(); return {X: r.x, Y: r.y, W: r.width, H: r.height} })()`, selector))
}

// seen is the picture of the window as it is.
func (v *visit) seen() image.Image {
	v.t.Helper()
	data, err := chromedp.Run(v.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		v.t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		v.t.Fatal(err)
	}
	return picture
}

const swatchOf = `.cell .band`

// blendAnswer is the API's own colour of the blend of the invented base and red.
func ladderAnswer(t *testing.T, base, query string, dose float64) calc.LadderResponse {
	t.Helper()
	request := map[string]any{}
	if err := json.Unmarshal(fetched(t, base+"/preview/request.json?"+query), &request); err != nil {
		t.Fatal(err)
	}
	request["doses_ml"] = []float64{0, dose}
	body, err := json.Marshal(request)
	if err != nil {
		t.Fatal(err)
	}
	r, err := http.Post(base+"/v1/ladder", "application/json", bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	var answer calc.LadderResponse
	if err := json.NewDecoder(r.Body).Decode(&answer); err != nil || r.StatusCode != http.StatusOK {
		t.Fatalf("%d %v", r.StatusCode, err)
	}
	return answer
}

func fetched(t *testing.T, address string) []byte {
	t.Helper()
	r, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	var body bytes.Buffer
	if _, err := body.ReadFrom(r.Body); err != nil || r.StatusCode != http.StatusOK {
		t.Fatalf("%s: %d %v", address, r.StatusCode, err)
	}
	return body.Bytes()
}

// TestBrowserSwatch reads the swatches' pixels back: they are the colours that
// the API computes, within 1 of 255.
func TestBrowserSwatch(t *testing.T) {
	base := served(t, true)
	for _, s := range []sight{desk, phone} {
		for _, c := range []struct {
			query string
			dose  float64
		}{{"", 2.3}, {"", 11.7}, {"base=white-9&red=red-12", 18.9}, {"lamp=A", 7.1}, {"third=white-9&third_dose=6", 3.4}} {
			v := open(t, base, s)
			v.reach("/?" + c.query)
			v.moveTo("#red-slide", c.dose)
			answer := ladderAnswer(t, base, c.query, c.dose)
			want := []string{*answer.Rungs[0].Colour.SRGB, *answer.Rungs[1].Colour.SRGB}
			band, picture := v.box(swatchOf), v.seen()
			for i, hex := range want {
				n := evaluated[int](v, `document.querySelectorAll(".cell rect").length`)
				x := band.X + band.W*(float64(i)+0.5)/float64(n)
				got := picture.At(int(x), int(band.Y+band.H/2))
				if off := apart(t, got, hex); off > 1 {
					t.Errorf("%v, %s at %g: swatch %d is %v on the screen, computed is %s", s, c.query, c.dose, i, got, hex)
				}
			}
			v.quiet()
		}
	}
}

// apart is the largest difference of two colours in a channel.
func apart(t *testing.T, got color.Color, hex string) int {
	t.Helper()
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if err != nil {
		t.Fatal(err)
	}
	r, g, b, _ := got.RGBA()
	most := 0.0
	for i, channel := range []uint32{r, g, b} {
		most = max(most, math.Abs(float64(channel>>8)-float64(n>>(16-8*i)&0xff)))
	}
	return int(most)
}

// moveTo sets a slider by keys: to its start, then by the script's own step.
func (v *visit) moveTo(selector string, dose float64) {
	v.t.Helper()
	evaluated[bool](v, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.focus(); e.value = %g; e.dispatchEvent(new Event("input", {bubbles: true})); return true })()`, selector, dose))
	v.settle()
}

// TestBrowserGamut: a colour that the screen cannot show is marked, with a word.
func TestBrowserGamut(t *testing.T) {
	v := open(t, served(t, true), desk)
	v.reach("/?red_dose=1")
	marks := `[...document.querySelectorAll(".glass [data-clip]")].filter((e) => e.checkVisibility()).length`
	if n := evaluated[int](v, marks); n != 0 {
		t.Errorf("%d marks on a colour that the screen shows", n)
	}
	v.moveTo("#red-slide", 20)
	if n := evaluated[int](v, marks); n < 2 {
		t.Errorf("%d marks, want the hatched corner and its word", n)
	}
}

// TestBrowserSlider moves the dose by keyboard: arrows by a graduation, page keys
// by a rung, and it says where it is and what colour.
func TestBrowserSlider(t *testing.T) {
	v := open(t, served(t, true), desk)
	v.reach("/?red_dose=5")
	v.do(chromedp.Focus(chromedp.CSS("#red-slide")))
	dose := func() float64 { return evaluated[float64](v, `Number(document.querySelector("#red-slide").value)`) }
	v.asks()
	for _, step := range []struct {
		key  string
		want float64
	}{{"Right", 5.1}, {"Right", 5.2}, {"Left", 5.1}, {"PageUp", 6}, {"PageUp", 8}, {"PageDown", 6}, {"End", 20}, {"Home", 0}, {"PageUp", 2}} {
		v.key(step.key)
		v.settle()
		if got := dose(); math.Abs(got-step.want) > 1e-9 {
			t.Fatalf("after %s the dose is %g, want %g", step.key, got, step.want)
		}
		said := evaluated[string](v, `document.querySelector("#red-slide").getAttribute("aria-valuetext")`)
		for _, want := range []string{"mL per 100 mL of base", "% of the blend", "L* ", "hue "} {
			if !strings.Contains(said, want) {
				t.Errorf("at %g it says %q, not %q", step.want, said, want)
			}
		}
	}
	if shown := evaluated[string](v, `document.querySelector(".dosing .amount").innerText`); !strings.Contains(shown, "2.0 mL") || !strings.Contains(shown, "2.0 % of the blend") {
		t.Errorf("both conventions are shown as %q", shown)
	}
	// The other slider is of the other convention: 9.09 % is 10 mL per 100 mL.
	v.moveTo("#red-share", 100.0/11)
	if got := dose(); math.Abs(got-10) > 0.051 {
		t.Errorf("at 9.09 %% of the blend the dose is %g, want 10", got)
	}
	v.do(chromedp.Click(chromedp.CSS(`button[data-move="1"]`)))
	v.settle()
	v.until("the address has the dose", `location.search.includes("red_dose=" + document.querySelector("#red-slide").value)`)
	if n := len(v.asks()); n > 0 {
		t.Errorf("%d requests while the dose was moved", n)
	}
	v.quiet()

	again := open(t, v.base, phone)
	again.reach(evaluated[string](v, `location.pathname + location.search`))
	for _, what := range []string{`document.querySelector(".cell [data-fill]").getAttribute("fill")`, `document.querySelector("[data-live=L]").textContent`, `document.querySelector("[data-live=tank_red]").textContent`, `document.querySelector("#red-slide").value`} {
		if a, b := evaluated[string](v, what), evaluated[string](again, what); a != b {
			t.Errorf("%s is %q, and %q where the address is opened again", what, a, b)
		}
	}
	again.quiet()
}

// longest is the longest frame while a thumb is dragged over its whole range, in
// ms, under a processor a quarter as fast.
func (v *visit) longest(selector string, touch bool) float64 {
	v.t.Helper()
	v.do(called(emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4}))
	evaluated[bool](v, `(() => { window.frames_ = []; let last = performance.now(); window.go_ = true; const f = (now) => { frames_.push(now - last); last = now; if (go_) requestAnimationFrame(f) }; requestAnimationFrame(f); return true })()`)
	b := v.box(selector)
	y := b.Y + b.H/2
	at := func(i int) float64 { return b.X + 14 + (b.W-28)*float64(i)/40 }
	v.press(touch, input.DispatchMouseEventTypeMousePressed, at(0), y)
	for i := 1; i <= 40; i++ {
		v.press(touch, input.DispatchMouseEventTypeMouseMoved, at(i), y)
	}
	v.press(touch, input.DispatchMouseEventTypeMouseReleased, at(40), y)
	v.settle()
	v.do(called(emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 1}))
	return evaluated[float64](v, `(() => { go_ = false; return Math.max(...frames_.slice(2)) })()`)
}

func (v *visit) press(touch bool, kind input.DispatchMouseEventType, x, y float64) {
	v.t.Helper()
	if !touch {
		v.do(called(input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: x, Y: y, Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1}))
		return
	}
	p := input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchMove, TouchPoints: []*input.TouchPoint{{X: x, Y: y}}}
	switch kind {
	case input.DispatchMouseEventTypeMousePressed:
		p.Type = input.DispatchTouchEventTypeTouchStart
	case input.DispatchMouseEventTypeMouseReleased:
		p.Type, p.TouchPoints = input.DispatchTouchEventTypeTouchEnd, []*input.TouchPoint{}
	}
	v.do(called(input.DispatchTouchEvent, p))
}

// TestBrowserDrag drags the slider over its whole range: no request, and the
// numbers and the colour follow. The longest frame is reported beside that of a
// blank page with a slider of its own.
func TestBrowserDrag(t *testing.T) {
	base := served(t, true)
	for _, s := range []sight{desk, phone} {
		v := open(t, base, s)
		v.reach("/?red_dose=3")
		before := evaluated[string](v, `document.querySelector(".cell [data-fill]").getAttribute("fill") + document.querySelector("[data-live=L]").textContent`)
		v.asks()
		frame := v.longest("#red-slide", s.touch)
		if asks := v.asks(); len(asks) > 0 {
			t.Errorf("%v: %d requests while dragging, the first to %s", s, len(asks), asks[0].url)
		}
		if dose := evaluated[float64](v, `Number(document.querySelector("#red-slide").value)`); dose < 19.5 {
			t.Errorf("%v: dragged to the end the dose is %g", s, dose)
		}
		if after := evaluated[string](v, `document.querySelector(".cell [data-fill]").getAttribute("fill") + document.querySelector("[data-live=L]").textContent`); after == before {
			t.Errorf("%v: nothing changed", s)
		}
		v.quiet()
		blank := open(t, base, s)
		blank.reach("/blank")
		t.Logf("%v: longest frame %.0f ms while dragging, %.0f ms on a blank page, at a quarter of the speed", s, frame, blank.longest("input", s.touch))
	}
}

// TestBrowserBytes counts what goes over the wire: a first load under 150 KB, and
// next to nothing when it is loaded again.
func TestBrowserBytes(t *testing.T) {
	v := open(t, served(t, true), desk)
	v.reach("/")
	sum := func(list []asked) (total float64) {
		for _, one := range list {
			total += one.bytes
		}
		return total
	}
	first := v.all()
	v.do(chromedp.Reload())
	v.settle()
	again := v.all()
	t.Logf("first load: %d requests, %.0f bytes; again: %d requests, %.0f bytes", len(first), sum(first), len(again), sum(again))
	if got := sum(first); got > 150e3 || got < 10e3 {
		t.Errorf("the first load takes %.0f bytes, want under 150,000", got)
	}
	if got := sum(again); got > 5e3 {
		t.Errorf("a reload takes %.0f bytes, want under 5,000", got)
	}
	for _, one := range again {
		if strings.Contains(one.url, "/assets/") && !one.cached {
			t.Errorf("%s is asked for again", one.url)
		}
	}
}

// TestBrowserRenewal changes a choice: the page is renewed without being loaded,
// keeps what is typed, and marks a slip in the API's words.
func TestBrowserRenewal(t *testing.T) {
	base := served(t, true)
	v := open(t, base, desk)
	v.reach("/")
	evaluated[bool](v, `document.querySelector("#wines").open = true; window.same_ = true`)
	v.do(chromedp.SetValue(chromedp.CSS("#base"), "white-9"))
	evaluated[bool](v, `document.querySelector("#base").dispatchEvent(new Event("change", {bubbles: true}))`)
	v.until("the heading is of the new wine", `document.querySelector("h1").textContent.startsWith("Golden white")`)
	if !evaluated[bool](v, `window.same_ === true && document.querySelector("#wines").open && location.search.includes("base=white-9")`) {
		t.Error("the page was loaded anew, the form closed, or the address left behind")
	}
	v.do(chromedp.SetValue(chromedp.CSS("#tank_l"), "lots"))
	evaluated[bool](v, `document.querySelector("#tank_l").dispatchEvent(new Event("change", {bubbles: true}))`)
	v.until("the field is marked", `document.querySelector("#tank_l").getAttribute("aria-invalid") === "true"`)
	said := evaluated[string](v, `document.querySelector("#tank_l-fault").textContent`)
	r, err := http.Post(base+"/v1/scale", "application/json", strings.NewReader(`{"dose_ml_per_100ml":1,"base_l":"lots"}`))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	var problem calc.Problem
	if err := json.NewDecoder(r.Body).Decode(&problem); err != nil || len(problem.Errors) == 0 {
		t.Fatal(err)
	}
	if got := evaluated[string](v, `document.querySelector("#tank_l").value`); got != "lots" || !strings.Contains(said, problem.Errors[0].Message) {
		t.Errorf("the field has %q and %q, want \"lots\" and the API's %q", got, said, problem.Errors[0].Message)
	}
	v.quiet()
	v.do(chromedp.NavigateBack())
	v.until("the way back", `document.querySelector("#tank_l").value === "1000"`)
}

// TestBrowserThreeWines: two sliders; when one is let go the other's path is
// asked for, once.
func TestBrowserThreeWines(t *testing.T) {
	v := open(t, served(t, true), desk)
	v.reach("/?third=white-9&third_dose=4&red_dose=6")
	if n := evaluated[int](v, `document.querySelectorAll("[data-slider]").length`); n != 2 {
		t.Fatalf("%d sliders, want 2", n)
	}
	v.asks()
	v.do(chromedp.Focus(chromedp.CSS("#third-slide")))
	v.key("PageUp")
	v.until("the address has the third wine's dose", `location.search.includes("third_dose=6")`)
	v.until("the page is of it", `document.querySelector("#third_dose").value === "6" && document.activeElement.id === "third-slide"`)
	v.settle()
	if asks := v.asks(); len(asks) != 1 {
		t.Errorf("%d requests for one move, want 1", len(asks))
	}
	v.quiet()
}

// TestBrowserLinks: picture and request are there to save; the chart has a text
// and the table behind it; the closest dose is one press away.
func TestBrowserLinks(t *testing.T) {
	base := served(t, true)
	v := open(t, base, desk)
	v.reach("/?red_dose=12")
	for i, kind := range []string{"image/svg+xml", "image/png", "application/json"} {
		href := evaluated[[]string](v, `[...document.querySelectorAll("a[data-address]")].map((a) => a.getAttribute("href"))`)[i]
		if !strings.Contains(href, "red_dose=12") {
			t.Errorf("%s does not carry the dose", href)
		}
		r, err := http.Get(base + href)
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Body.Close(); err != nil || r.StatusCode != http.StatusOK || r.Header.Get("Content-Type") != kind {
			t.Errorf("%s: %d %s", href, r.StatusCode, r.Header.Get("Content-Type"))
		}
	}
	ladderAnswer(t, base, "red_dose=12", 12)
	chart := evaluated[struct{ Role, Name, Table string }](v, `(() => { const s = document.querySelector("#chart svg[role=img]"); return {Role: s.getAttribute("role"), Name: s.textContent, Table: document.querySelector("table.ladder") ? "yes" : ""} })()`)
	if chart.Role != "img" || chart.Name == "" || chart.Table == "" {
		t.Errorf("the chart: %+v", chart)
	}
	v.asks()
	v.do(chromedp.Click(chromedp.CSS("a[data-go]")))
	v.settle()
	if dose := evaluated[float64](v, `Number(document.querySelector("#red_dose").value)`); dose > 8 || len(v.asks()) > 0 {
		t.Errorf("the closest dose is %g, or it was asked for", dose)
	}
	v.quiet()
}

// TestBrowserNoScript: without script the form submits, and what needs script is
// not in the way.
func TestBrowserNoScript(t *testing.T) {
	base := served(t, true)
	for _, s := range []sight{desk, phone} {
		s.noScript = true
		v := open(t, base, s)
		v.do(chromedp.Navigate(base + "/"))
		v.do(chromedp.SetValue(chromedp.CSS("#red_dose"), "14.5"), chromedp.Click(chromedp.CSS(".exact button")), chromedp.WaitReady(chromedp.CSS("#red_dose[value='14.5']")))
		page := fetchedText(v)
		for _, want := range []string{"14.5 mL per 100 mL of base", "12.7 % of the blend"} {
			if !strings.Contains(page, want) {
				t.Errorf("%v: the page does not say %q", s, want)
			}
		}
		if s.width == desk.width {
			v.do(chromedp.WaitVisible(chromedp.CSS("#chart img")))
		}
		v.quiet()
	}
}

// fetchedText is what the page says, by the browser's protocol.
func fetchedText(v *visit) string {
	v.t.Helper()
	text, err := chromedp.Run(v.ctx, chromedp.Text(chromedp.CSS("main")))
	if err != nil {
		v.t.Fatal(err)
	}
	return strings.Join(strings.Fields(text), " ")
}

// TestBrowserLinkInPieces: a link with a broken state opens with what could be
// read, and says what could not.
func TestBrowserLinkInPieces(t *testing.T) {
	v := open(t, served(t, true), phone)
	v.reach("/?" + url.Values{"base": {"white-3"}, "red": {"no-such"}, "red_dose": {"a lot"}, "lamp": {"moon"}, "frob": {"1"}}.Encode())
	said := fetchedText(v)
	for _, want := range []string{"White, tank 3", `"no-such" is not in this cellar`, "expected number", "frob", "Lamp: expected value to be one of"} {
		if !strings.Contains(said, want) {
			t.Errorf("the page does not say %q:\n%s", want, said)
		}
	}
	v.quiet()
}

// TestBrowserPicture makes the README's picture, or holds the one there against
// the page as it is: its size and its colours, as fonts differ between systems.
func TestBrowserPicture(t *testing.T) {
	v := open(t, served(t, true), sight{width: 1280, height: 1400})
	v.reach("/")
	data, err := chromedp.Run(v.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join("..", "..", "testdata", "preview.png")
	if *updatePicture {
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	was, err := png.Decode(bytes.NewReader(kept))
	if err != nil {
		t.Fatal(err)
	}
	is := v.seen()
	if was.Bounds() != is.Bounds() || len(kept) > 300e3 {
		t.Errorf("the README's picture is %v with %d bytes, the page %v", was.Bounds(), len(kept), is.Bounds())
	}
	band := v.box(swatchOf)
	for i := range 3 {
		x, y := int(band.X+band.W*(float64(i)+0.5)/3), int(band.Y+band.H/2)
		r, g, b, _ := is.At(x, y).RGBA()
		if off := apart(t, was.At(x, y), fmt.Sprintf("%02x%02x%02x", r>>8, g>>8, b>>8)); off > 2 {
			t.Errorf("swatch %d of the README's picture is %v, of the page %v: go test -tags browser ./api/pages -run Picture -update-picture", i, was.At(x, y), is.At(x, y))
		}
	}
}

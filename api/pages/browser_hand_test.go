//go:build browser

package pages_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// What a hand does on a page, and what the service answers beside it.

var keys = map[string]string{
	"Tab": kb.Tab, "Enter": kb.Enter, "Right": kb.ArrowRight, "Left": kb.ArrowLeft, "Down": kb.ArrowDown, "PageUp": kb.PageUp, "PageDown": kb.PageDown, "Home": kb.Home, "End": kb.End,
}

func (v *visit) key(name string) {
	v.t.Helper()
	v.do(chromedp.KeyEvent(keys[name]))
}

// keyTo moves a slider of doses by keys alone: from its start rung by rung, and
// back by graduations.
func (v *visit) keyTo(selector string, dose float64) {
	v.t.Helper()
	at := func() float64 {
		return evaluated[float64](v, fmt.Sprintf(`Number(document.querySelector(%q).value)`, selector))
	}
	v.do(chromedp.Focus(chromedp.CSS(selector)))
	v.key("Home")
	for i := 0; i < 30 && at() < dose-1e-9; i++ {
		v.key("PageUp")
	}
	for i := 0; i < 60 && at() > dose+1e-9; i++ {
		v.key("Left")
	}
	if now := at(); now < dose-1e-9 || now > dose+1e-9 {
		v.t.Fatalf("keys lead %s to %g, want %g", selector, now, dose)
	}
	v.settle()
}

// slideTo sets a slider at once, as a screen reader may.
func (v *visit) slideTo(selector string, value float64) {
	v.t.Helper()
	evaluated[bool](v, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.focus(); e.value = %g; e.dispatchEvent(new Event("input", {bubbles: true})); return true })()`, selector, value))
	v.settle()
}

// retype puts a text in the place of what a field has, by keys.
func (v *visit) retype(selector, text string) {
	v.t.Helper()
	evaluated[bool](v, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.focus(); e.select(); return true })()`, selector))
	v.do(chromedp.KeyEvent(text))
}

// box is where an element is, in CSS px.
type box struct{ X, Y, W, H float64 }

func (v *visit) box(selector string) box {
	v.t.Helper()
	return evaluated[box](v, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.scrollIntoView({block: "nearest"}); const r = e.getBoundingClientRect(); return {X: r.x, Y: r.y, W: r.width, H: r.height} })()`, selector))
}

// press is a mouse's button or a finger, put down, moved or lifted.
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

// drag takes a slider's thumb from its start to its end, and back to a share of
// the way.
func (v *visit) drag(selector string, touch bool, share float64) {
	v.t.Helper()
	b := v.box(selector)
	const thumb = 28 // its width in px, see page.css
	y := b.Y + b.H/2
	at := func(share float64) float64 { return b.X + thumb/2 + (b.W-thumb)*share }
	v.press(touch, input.DispatchMouseEventTypeMousePressed, at(0), y)
	for i := 1; i <= 40; i++ {
		v.press(touch, input.DispatchMouseEventTypeMouseMoved, at(float64(i)/40), y)
	}
	v.press(touch, input.DispatchMouseEventTypeMouseMoved, at(share), y)
	v.press(touch, input.DispatchMouseEventTypeMouseReleased, at(share), y)
	v.settle()
}

// state is all that the preview shows of its doses, as one text: the controls,
// the numbers, and each colour of swatches and glasses.
func (v *visit) state() string {
	v.t.Helper()
	return evaluated[string](v, `JSON.stringify([
		[...document.querySelectorAll("input[data-dose], input[name$=_dose]")].map((e) => e.id + " " + e.value),
		[...document.querySelectorAll("input[data-dose]")].map((e) => e.getAttribute("aria-valuetext")),
		[...document.querySelectorAll("[data-live]")].map((e) => e.dataset.live + " " + e.textContent),
		[...document.querySelectorAll("[data-when], [data-clip]")].map((e) => e.checkVisibility()),
		[...document.querySelectorAll("[data-swatch]")].map((e) => e.getAttribute("fill")),
		[...document.querySelectorAll("stop[data-level]")].map((e) => e.getAttribute("stop-color"))], null, 1)`)
}

// answered posts a request to the service and reads its answer, of which status.
func answered[T any](t *testing.T, address string, request any, status int) (answer T) {
	t.Helper()
	body, err := json.Marshal(request)
	if err != nil {
		t.Fatal(err)
	}
	r, err := http.Post(address, "application/json", bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if err := json.NewDecoder(r.Body).Decode(&answer); err != nil || r.StatusCode != status {
		t.Fatalf("%s: %d, want %d: %v", address, r.StatusCode, status, err)
	}
	return answer
}

// fetched is what the service answers to an address, and what it says it is.
func fetched(t *testing.T, address string) (body []byte, mediaType string) {
	t.Helper()
	r, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	var out bytes.Buffer
	if _, err := out.ReadFrom(r.Body); err != nil || r.StatusCode != http.StatusOK {
		t.Fatalf("%s: %d %v", address, r.StatusCode, err)
	}
	return out.Bytes(), r.Header.Get("Content-Type")
}

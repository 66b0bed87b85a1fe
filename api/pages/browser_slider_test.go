//go:build browser

package pages_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// again opens the address that the page has come to in a browser that knows
// nothing of it, and wants the same page.
func (v *visit) again(s sight) {
	v.t.Helper()
	fresh := open(v.t, v.base, s)
	fresh.reach(evaluated[string](v, `location.pathname + location.search`))
	is, was := strings.Split(fresh.state(), "\n"), strings.Split(v.state(), "\n")
	if len(is) != len(was) {
		v.t.Fatalf("the page shows %d things, and %d where its address is opened again", len(was), len(is))
	}
	for i := range was {
		if is[i] != was[i] {
			v.t.Errorf("the page shows %s, and %s where its address is opened again", was[i], is[i])
		}
	}
	fresh.quiet()
}

// TestBrowserSlider moves the dose by keyboard: arrows by a graduation, page keys
// by a rung, and it says where it is and what colour.
func TestBrowserSlider(t *testing.T) {
	v := open(t, served(t, true), desk)
	v.reach("/?red_dose=5")
	v.do(chromedp.Focus(chromedp.CSS("#red-slide")))
	dose := func() float64 { return evaluated[float64](v, `Number(document.querySelector("#red-slide").value)`) }
	v.asks()
	heard := map[string]bool{}
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
		heard[said] = true
		for _, want := range []string{fmt.Sprintf("%.1f mL per 100 mL of base", step.want), fmt.Sprintf("%.1f %% of the blend", 100*step.want/(100+step.want)),
			"L* " + evaluated[string](v, `document.querySelector("[data-live=L]").textContent`), "hue " + evaluated[string](v, `document.querySelector("[data-live=h]").textContent`)} {
			if !strings.Contains(said, want) {
				t.Errorf("at %g it says %q, not %q", step.want, said, want)
			}
		}
	}
	if shown := evaluated[string](v, `document.querySelector(".dosing .amount").innerText`); !strings.Contains(shown, "2.0 mL") || !strings.Contains(shown, "2.0 % of the blend") {
		t.Errorf("both conventions are shown as %q", shown)
	}
	// The other slider is of the other convention: 9.09 % is 10 mL per 100 mL.
	v.slideTo("#red-share", 100.0/11)
	if got := dose(); math.Abs(got-10) > 0.051 {
		t.Errorf("at 9.09 %% of the blend the dose is %g, want 10", got)
	}
	v.do(chromedp.Click(chromedp.CSS(`button[data-move="1"]`)))
	v.until("the address has the dose", `location.search.includes("red_dose=" + document.querySelector("#red-slide").value)`)
	if n := len(v.asks()); n > 0 {
		t.Errorf("%d requests while the dose was moved", n)
	}
	v.quiet()
	v.again(phone)
}

// watched is what a page went through while a hand was at work.
type watched struct {
	Longest         float64 // frame, in ms
	Lowest, Highest float64 // dose
	Numbers         int     // that L* was
}

// watch watches the page's frames while something is done, under a processor a
// quarter as fast.
func (v *visit) watch(do func()) watched {
	v.t.Helper()
	v.do(called(emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4}))
	evaluated[bool](v, `(() => {
		const frames = [], doses = [], numbers = new Set(); let last = performance.now(), on = true;
		const dose = document.querySelector("input[data-dose]"), number = document.querySelector("[data-live=L]");
		const frame = (now) => { frames.push(now - last); last = now; doses.push(Number(dose.value)); numbers.add(number?.textContent); if (on) requestAnimationFrame(frame) };
		requestAnimationFrame(frame);
		window.watched_ = () => { on = false; return {Longest: Math.max(...frames.slice(2)), Lowest: Math.min(...doses), Highest: Math.max(...doses), Numbers: numbers.size} };
		return true })()`)
	do()
	v.do(called(emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 1}))
	return evaluated[watched](v, `watched_()`)
}

// TestBrowserDrag drags the thumb over its whole range: no request, the numbers
// and the colour follow, and the address is that of where it was let go. The
// longest frame is reported beside that of a blank page with a slider of its own.
func TestBrowserDrag(t *testing.T) {
	base := served(t, true)
	for _, s := range []sight{desk, phone} {
		t.Run(s.String(), func(t *testing.T) {
			v := open(t, base, s)
			v.reach("/?red_dose=3")
			before := v.state()
			v.asks()
			saw := v.watch(func() { v.drag("#red-slide", s.touch, 0.47) })
			v.until("the address has the dose", `location.search.includes("red_dose=" + document.querySelector("#red-slide").value)`)
			if asks := v.asks(); len(asks) > 0 {
				t.Errorf("%d requests while dragging, the first %s %s", len(asks), asks[0].method, asks[0].url)
			}
			if saw.Lowest > 0.5 || saw.Highest < 19.5 || saw.Numbers < 10 {
				t.Errorf("the dose went from %g to %g, and L* was %d numbers", saw.Lowest, saw.Highest, saw.Numbers)
			}
			if dose := evaluated[float64](v, `Number(document.querySelector("#red-slide").value)`); math.Abs(dose-9.4) > 0.3 || v.state() == before {
				t.Errorf("let go at %g, want about 9.4, or nothing changed", dose)
			}
			v.quiet()
			v.again(s)
			blank := open(t, base, s)
			blank.reach("/blank")
			t.Logf("longest frame %.0f ms while dragging, %.0f ms on a blank page, at a quarter of the speed",
				saw.Longest, blank.watch(func() { blank.drag("input", s.touch, 0.47) }).Longest)
		})
	}
}

// TestBrowserThreeWines: two sliders; when one is let go the other's path is
// asked for, once.
func TestBrowserThreeWines(t *testing.T) {
	v := open(t, served(t, true), desk)
	v.reach("/?third=white-9&third_dose=4&red_dose=6")
	if n := evaluated[int](v, `[...document.querySelectorAll("[data-slider] input[data-dose]")].filter((e) => e.checkVisibility()).length`); n != 2 {
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
	v.again(desk)
}

//go:build browser

package pages_test

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"rsc.io/pdf"
)

var keepPrints = flag.String("keep-prints", "", "a folder for the prints of all pages, to look at them")

// printed is the page on paper.
func (v *visit) printed() []byte {
	v.t.Helper()
	css := true
	raw, err := chromedp.Run(v.ctx, chromedp.Action[[]byte](func(ctx context.Context, target *chromedp.Target) ([]byte, error) {
		result, err := cdp.Call(ctx, target, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: &css})
		return result.Data, err
	}))
	if err != nil {
		v.t.Fatal(err)
	}
	return raw
}

// sheet is a sheet of paper: the codes of its letters in their order, and what of it
// is painted, as #rrggbb.
type sheet struct {
	letters string
	painted map[string]bool
}

// letterBytes are those of a letter's code.
const letterBytes = 2

var painting = regexp.MustCompile(`(\S+) (\S+) (\S+) rg\b`)

// sheetsOf reads a print, which must be on A4 upright.
func sheetsOf(t *testing.T, raw []byte) (sheets []sheet) {
	t.Helper()
	doc, err := pdf.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	for no := 1; no <= doc.NumPage(); no++ {
		p := doc.Page(no)
		box := p.V.Key("MediaBox")
		if w, h := box.Index(2).Float64(), box.Index(3).Float64(); math.Abs(w-595.3) > 1 || math.Abs(h-841.9) > 1 {
			t.Errorf("sheet %d is %g × %g points, want A4 upright", no, w, h)
		}
		content, err := io.ReadAll(p.V.Key("Contents").Reader())
		if err != nil {
			t.Fatal(err)
		}
		one := sheet{painted: map[string]bool{}}
		for _, m := range painting.FindAllStringSubmatch(string(content), -1) {
			hex := "#"
			for _, part := range m[1:] {
				x, err := strconv.ParseFloat(part, 64)
				if err != nil {
					t.Fatal(err)
				}
				hex += fmt.Sprintf("%02x", int(math.Round(255*x)))
			}
			one.painted[hex] = true
		}
		var letters strings.Builder
		for _, text := range p.Content().Text {
			letters.WriteString(text.S)
		}
		one.letters = letters.String()
		sheets = append(sheets, one)
	}
	return sheets
}

// sameFoot reports whether all sheets have the letters that one ends with. Swatches are
// painted last where there are any, so that not every sheet ends with its foot.
func sameFoot(sheets []sheet, one sheet) bool {
	end := one.letters[max(0, len(one.letters)-30*letterBytes):]
	return !slices.ContainsFunc(sheets, func(other sheet) bool { return !strings.Contains(other.letters, end) })
}

// TestBrowserPrint prints every page: on A4, nothing beside the paper, the colours
// as they are, without what is pressed, with its address, and no sheet with next to
// nothing on it.
func TestBrowserPrint(t *testing.T) {
	for _, c := range walked(t) {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel() // with other pages
			s := desk
			s.dark = true // which paper is not
			v := open(t, c.base, s)
			v.reach(c.address)
			raw := v.printed()
			if *keepPrints != "" {
				if err := os.WriteFile(filepath.Join(*keepPrints, strings.NewReplacer(" ", "-", ",", "").Replace(c.name)+".pdf"), raw, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			sheets := sheetsOf(t, raw)
			if len(sheets) < 1 || len(sheets) > 8 {
				t.Errorf("%d sheets", len(sheets))
			}
			if !slices.ContainsFunc(sheets, func(one sheet) bool { return sameFoot(sheets, one) }) {
				t.Error("not every sheet has the foot")
			}
			painted := map[string]bool{}
			foot := evaluated[int](v, `[...document.querySelectorAll("footer > p:not(.no-print)")].filter((p) => p.matches(".print-only") || p.checkVisibility()).map((p) => p.textContent).join("").length`)
			for i, one := range sheets {
				// A heading and the sheet's number have no more than this.
				if n := len([]rune(one.letters))/letterBytes - foot; n < 40 {
					t.Errorf("sheet %d of %d has %d letters above the foot", i+1, len(sheets), n)
				}
				for hex := range one.painted {
					painted[hex] = true
				}
			}

			// 182 mm between the margins, at 96 px per inch.
			v.do(called(emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: 688, Height: 1000, DeviceScaleFactor: 1}),
				called(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}))
			v.settle()
			for _, wide := range evaluated[[]string](v, `[...document.querySelectorAll("body, body *")].filter((e) => e.checkVisibility() && !e.parentElement?.closest("svg") && !e.closest(".unseen, .skip") && e.getBoundingClientRect().right > 688.5)
				.slice(0, 3).map((e) => Math.round(e.getBoundingClientRect().right) + " px: " + e.outerHTML.slice(0, 120))`) {
				t.Errorf("wider than the paper: %s", wide)
			}
			for _, pressed := range evaluated[[]string](v, `[...document.querySelectorAll("nav, form, button, input, select, textarea, summary, .button")].filter((e) => e.checkVisibility()).map((e) => e.outerHTML.slice(0, 100))`) {
				t.Errorf("on paper: %s", pressed)
			}
			for _, bare := range evaluated[[]string](v, `[...document.querySelectorAll("main section")].filter((e) => e.checkVisibility() && ![...e.children].some((c) => !/^H[1-3]$/.test(c.tagName) && c.checkVisibility())).map((e) => e.outerHTML.slice(0, 100))`) {
				t.Errorf("a heading and nothing below it: %s", bare)
			}
			if ground := evaluated[string](v, `getComputedStyle(document.body).backgroundColor + " " + getComputedStyle(document.body).color`); ground != "rgb(255, 255, 255) rgb(0, 0, 0)" {
				t.Errorf("ground and ink are %s", ground)
			}
			if told := evaluated[string](v, `document.querySelector("footer").innerText`); !strings.Contains(told, strings.TrimPrefix(c.base, "http://")+strings.Split(c.address, "#")[0]) || !strings.Contains(told, "Pourpath test") {
				t.Errorf("the foot says %q", told)
			}
			swatches := evaluated[[]string](v, `[...document.querySelectorAll("main .band > rect, main td.swatch rect")].filter((e) => e.checkVisibility()).map((e) => e.getAttribute("fill"))`)
			for _, hex := range swatches {
				if !painted[hex] {
					t.Errorf("the swatch %s is not on paper", hex)
				}
			}
			if told := evaluated[bool](v, `document.querySelector(".of-swatches").checkVisibility()`); told != (len(swatches) > 0) {
				t.Errorf("that print is no reference is said: %t, with %d swatches", told, len(swatches))
			}
		})
	}
}

//go:build browser

package pages_test

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// mostPicture is how large a picture of the README may be, in bytes.
const mostPicture = 120e3

// TestBrowserPictures: the README's pictures of pages are what they look like, but for
// dates and the hinting of letters.
func TestBrowserPictures(t *testing.T) {
	base := served(t, true)
	h := through(base)
	spec := sendWell(t, h, "/specs", specFields("name", "House rosé"))
	lot := sendWell(t, h, "/lots", fields("name", "L-31", "bottled_at", "2026-03-12", "lot_spec", strings.TrimPrefix(spec, "/specs/")))
	sendWell(t, h, lot+"/samples", sampleFields("taken_at", "2026-03-13"))
	bench := begunTrial(t, base)
	panel := pouredPanel(t, h)
	cellar, err := os.ReadFile(filepath.Join("..", "..", "testdata", "examples", "cellar.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, address string
		then          func(*visit)
	}{
		{"bench", bench + "?plan=even&to_ml=6&step_ml=2&glass=B", nil},
		{"wines", "/wines", nil},
		{"release", lot, nil},
		{"panel", panel, func(v *visit) {
			evaluated[bool](v, `(scrollTo(0, document.querySelector("#result").getBoundingClientRect().top + scrollY - 16), true)`)
		}},
		{"import", "/import", func(v *visit) {
			evaluated[bool](v, fmt.Sprintf(`(() => { const file = new DataTransfer(), input = document.querySelector("#file");
				file.items.add(new File([%q], "cellar.csv", {type: "text/csv"})); input.files = file.files;
				document.querySelector("main").before_ = true; input.form.requestSubmit(); return true })()`, cellar))
			v.until("the rows", `!document.querySelector("main")?.before_ && document.querySelector(".becomes") !== null`)
			v.settle()
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			v := open(t, base, sight{width: 1280, height: 760})
			v.reach(c.address)
			if c.then != nil {
				c.then(v)
			}
			// How old a reading is changes from day to day: here it is that of one day.
			evaluated[bool](v, `(document.querySelectorAll(".age").forEach((e) => {
				const days = Math.floor((Date.UTC(2026, 10, 26) - new Date(e.parentElement.querySelector("time").dateTime)) / 864e5);
				e.textContent = days < 61 ? days + " days" : Math.floor(days / 30.4375) + " months" }), true)`)
			name := filepath.Join("..", "..", "testdata", c.name+".png")
			if *updatePicture {
				data, err := chromedp.Run(v.ctx, chromedp.CaptureScreenshot())
				if err != nil {
					t.Fatal(err)
				}
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
			if was.Bounds() != is.Bounds() || len(kept) > mostPicture {
				t.Fatalf("the picture is %v with %d bytes, the page %v", was.Bounds(), len(kept), is.Bounds())
			}
			if off := unlike(was, is); off > 8 {
				t.Errorf("a part of the picture is off by %.0f of 255: go test -tags browser ./api/pages -run BrowserPicture -update-picture", off)
			}
		})
	}
}

// unlike is how far the means of the pictures' parts are apart at most, of 255: each
// part is a fiftieth as wide and a thirty-sixth as high as the picture.
func unlike(a, b image.Image) (most float64) {
	const columns, rows = 50, 36
	size := a.Bounds().Size()
	for row := range rows {
		for column := range columns {
			part := image.Rect(column*size.X/columns, row*size.Y/rows, (column+1)*size.X/columns, (row+1)*size.Y/rows)
			was, is := meanOf(a, part), meanOf(b, part)
			for i := range was {
				most = max(most, math.Abs(was[i]-is[i]))
			}
		}
	}
	return most
}

// meanOf is the mean red, green and blue of a part of a picture, of 255.
func meanOf(picture image.Image, part image.Rectangle) (mean [3]float64) {
	n := float64(part.Dx() * part.Dy())
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			r, g, b, _ := picture.At(x, y).RGBA()
			for i, c := range []uint32{r, g, b} {
				mean[i] += float64(c>>8) / n
			}
		}
	}
	return mean
}

// pouredPanel is the page of a closed panel of twelve judges whose own doses lie around
// 4 mL per 100 mL of base.
func pouredPanel(t *testing.T, h http.Handler) string {
	t.Helper()
	trial := pouredTrial(t, h)
	at := openedPanel(t, h, trial, panelFields(append(tenJudges, "Kit", "Lou"), "question", "Which colour do you like most?", "panel_name", "Thursday"))
	p := panelShown(t, h, at)
	for i, link := range judgeLinks(t, h, at) {
		own := []float64{1.5, 3.2, 4, 4.6, 5.5, 7, 3.6, 2.4, 4.3, 8, 5.2, 3.9}[i]
		if w := asJudge(t, h, http.MethodPost, "/judging", begun(t, h, link), ranked(nearest(p, p.Judges[i].Codes, own))); w.Code != http.StatusSeeOther {
			t.Fatalf("handing in: status %d", w.Code)
		}
	}
	sendWell(t, h, at+"/close", fields("closed_by", "Kim"))
	return at
}

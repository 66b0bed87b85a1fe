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
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"pourpath/api/calc"
)

var updatePicture = flag.Bool("update-picture", false, "write the README's picture of the preview anew")

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

// swatches are the pixels in the middle of a band's swatches.
func (v *visit) swatches(band string) []color.Color {
	v.t.Helper()
	where, picture := v.box(band), v.seen()
	n := evaluated[int](v, fmt.Sprintf(`document.querySelectorAll(%q).length`, band+" > rect"))
	var out []color.Color
	for i := range n {
		out = append(out, picture.At(int(where.X+where.W*(float64(i)+0.5)/float64(n)), int(where.Y+where.H/2)))
	}
	return out
}

// previewed is the request of a preview's address, as the page gives it to save.
func previewed(t *testing.T, base, query string) calc.LadderRequest {
	t.Helper()
	body, _ := fetched(t, base+"/preview/request.json?"+query)
	var request calc.LadderRequest
	if err := json.Unmarshal(body, &request); err != nil {
		t.Fatal(err)
	}
	return request
}

// blended is what the interface computes for base and blend at a dose: by the
// call for one blend; where glasses were poured and read, by that for ladders,
// which alone is recalibrated to them.
func blended(t *testing.T, base string, request calc.LadderRequest, dose float64) (of [2]calc.WineColour) {
	t.Helper()
	if len(request.Measured) > 0 {
		request.DosesML, request.BaseML = []float64{0, dose}, 100
		answer := answered[calc.LadderResponse](t, base+"/v1/ladder", request, http.StatusOK)
		return [2]calc.WineColour{answer.Rungs[0].Colour, answer.Rungs[1].Colour}
	}
	for i, ml := range []float64{0, dose} {
		b := calc.BlendRequest{Wines: []calc.Wine{request.Base, request.Addition.Wine}, VolumesML: []float64{100, ml}, View: request.View}
		for _, held := range request.Held {
			b.Wines, b.VolumesML = append(b.Wines, held.Wine), append(b.VolumesML, held.DoseMLPer100ML)
		}
		of[i] = answered[calc.BlendResponse](t, base+"/v1/blend", b, http.StatusOK).Colour
	}
	return of
}

// TestBrowserSwatch reads the swatches' pixels back: they are the colours that
// the interface computes, within 1 of 255.
func TestBrowserSwatch(t *testing.T) {
	base := served(t, true)
	for _, c := range []struct {
		query    string
		dose     float64
		measured bool
		swatches int
	}{
		{"rung=none", 2.3, false, 3},
		{"rung=none", 11.7, false, 3},
		{"", 7.1, true, 3},
		{"base=white-9&red=red-12&target=none", 18.9, false, 2},
		{"rung=none&lamp=A&depth_mm=5", 5.5, false, 3},
		{"third=white-9&third_dose=6", 3.4, false, 3},
	} {
		t.Run(fmt.Sprintf("%s at %g", c.query, c.dose), func(t *testing.T) {
			request := previewed(t, base, c.query)
			if got := len(request.Measured) > 0; got != c.measured {
				t.Fatalf("glasses that were read: %t, want %t", got, c.measured)
			}
			both := blended(t, base, request, c.dose)
			want := []*string{both[0].SRGB, both[1].SRGB}
			if request.Target != nil {
				want = append(want, answered[calc.ColourResponse](t, base+"/v1/colour", calc.ColourRequest{Wine: *request.Target.Wine, View: request.View}, http.StatusOK).Colour.SRGB)
			}
			for _, s := range []sight{desk, phone} {
				v := open(t, base, s)
				v.reach("/?" + c.query)
				v.keyTo("#red-slide", c.dose)
				v.until("the address has the dose", fmt.Sprintf(`new URLSearchParams(location.search).get("red_dose") === "%g"`, c.dose))
				v.settle()
				got := v.swatches(".cell .band")
				if len(got) != c.swatches || len(want) != c.swatches {
					t.Fatalf("%v: %d swatches on the screen, %d computed, want %d", s, len(got), len(want), c.swatches)
				}
				for i, hex := range want {
					if off := apart(t, got[i], *hex); off > 1 {
						t.Errorf("%v: swatch %d is %v on the screen, computed is %s", s, i, got[i], *hex)
					}
				}
				v.quiet()
			}
		})
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

// TestBrowserGamut: a colour that the screen cannot show is marked by a hatched
// corner and a word, and no other is; the interface says which.
func TestBrowserGamut(t *testing.T) {
	base := served(t, true)
	v := open(t, base, desk)
	clipped := 0
	for _, depth := range []string{"10", "60"} {
		query := "rung=none&red=red-12&depth_mm=" + depth
		v.reach("/?" + query)
		request := previewed(t, base, query)
		for _, dose := range []float64{1, 8, 20} {
			v.slideTo("#red-slide", dose)
			inside := *blended(t, base, request, dose)[1].InSRGBGamut
			want := 0
			if !inside {
				want, clipped = 2, clipped+1
			}
			if n := evaluated[int](v, `[...document.querySelectorAll(".cell [data-clip]")].filter((e) => e.checkVisibility() && e.getAttribute("display") !== "none").length`); n != want {
				t.Errorf("%g mL at %s mm: %d marks, want %d; the screen can show it: %t", dose, depth, n, want, inside)
			}
		}
	}
	if clipped == 0 || clipped == 6 {
		t.Errorf("%d of 6 colours are beyond the screen: both kinds are wanted", clipped)
	}
	v.quiet()
}

// TestBrowserPicture makes the README's picture, or holds the one there against
// the page as it is: its size and its colours, as fonts differ between systems.
func TestBrowserPicture(t *testing.T) {
	v := open(t, served(t, true), sight{width: 1280, height: 1400})
	v.reach("/")
	name := filepath.Join("..", "..", "testdata", "preview.png")
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
	if was.Bounds() != is.Bounds() || len(kept) > 300e3 {
		t.Errorf("the README's picture is %v with %d bytes, the page %v", was.Bounds(), len(kept), is.Bounds())
	}
	const anew = "go test -tags browser ./api/pages -run BrowserPicture -update-picture"
	for _, band := range []string{".cell .band", ".glass .band"} {
		at := v.box(band)
		for i, now := range v.swatches(band) {
			then := was.At(int(at.X+at.W*(float64(i)+0.5)/3), int(at.Y+at.H/2))
			r, g, b, _ := now.RGBA()
			if off := apart(t, then, fmt.Sprintf("%02x%02x%02x", r>>8, g>>8, b>>8)); off > 3 {
				t.Errorf("swatch %d of %s is %v in the README's picture, %v on the page: %s", i, band, then, now, anew)
			}
		}
	}
}

package cie

import (
	"errors"
	"math"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
)

func screenView(i Illuminant) View { return View{Illuminant: i, Observer: "2", DepthMM: 10} }

// TestAdaptPublished compares with the D65 to D50 Bradford matrix in wide use,
// which holds for the E308 whites and is printed to seven decimals.
func TestAdaptPublished(t *testing.T) {
	d65, d50 := XYZ{95.047, 100, 108.883}, XYZ{96.422, 100, 82.521}
	published := matrix{
		{1.0478112, 0.0228866, -0.0501270},
		{0.0295424, 0.9904844, -0.0170491},
		{-0.0092345, 0.0150436, 0.7521316},
	}
	for _, x := range []XYZ{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}} {
		checkXYZ(t, "adapted", adapt(x, d65, d50), published.times(x), 0.6e-7)
	}
}

// TestAdaptLibrary compares with go-colorful's matrix, which holds for the
// whites of chromaticity 0.3127, 0.3290 and 0.3457, 0.3585 (CSS Color 4).
func TestAdaptLibrary(t *testing.T) {
	white := func(x, y float64) XYZ { return XYZ{x / y, 1, (1 - x - y) / y} }
	for _, x := range []XYZ{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0.4, 0.3, 0.2}} {
		X, Y, Z := colorful.D65ToD50(x.X, x.Y, x.Z)
		checkXYZ(t, "adapted", adapt(x, white(0.3127, 0.3290), white(0.3457, 0.3585)), XYZ{X, Y, Z}, 1e-7)
	}
}

func TestAdaptLaws(t *testing.T) {
	a, d65 := weighting(t, "A", "10").White(), screenWhite()
	checkXYZ(t, "white to white", adapt(a, a, d65), d65, 1e-12)
	x := XYZ{40, 30, 12}
	checkXYZ(t, "there and back", adapt(adapt(x, a, d65), d65, a), x, 1e-12)
	if got := adapt(x, d65, d65); got != x {
		t.Errorf("adapt to the same white = %v, want %v", got, x)
	}
}

func TestClearWaterOnScreen(t *testing.T) {
	for _, i := range Illuminants() {
		got, err := ScreenColour(&Curve{}, i, 10)
		if want := (Screen{Hex: "#ffffff", InGamut: true}); err != nil || got != want {
			t.Errorf("clear water under %s = %v, %v, want %v", i, got, err, want)
		}
	}
}

// TestScreenPublished: primaries from the XYZ that IEC 61966-2-1 gives for them
// (0.4124 0.2126 0.0193 and so on), greys from L* of 119/255 and black.
func TestScreenPublished(t *testing.T) {
	white := screenWhite()
	for _, c := range []struct {
		name, want string
		lab        Lab
	}{
		{"red", "#ff0000", XYZ{41.24, 21.26, 1.93}.Lab(white, screenView("D65"))},
		{"green", "#00ff00", XYZ{35.76, 71.52, 11.92}.Lab(white, screenView("D65"))},
		{"blue", "#0000ff", XYZ{18.05, 7.22, 95.05}.Lab(white, screenView("D65"))},
		{"middle grey", "#777777", Lab{L: 50.03, View: screenView("D65")}}, // ((119/255+0.055)/1.055)^2.4 = 0.1845
		{"black", "#000000", Lab{View: screenView("D65")}},
		{"grey under A", "#777777", Lab{L: 50.03, View: View{"A", "10", 10}}},
		{"white under FL11", "#ffffff", Lab{L: 100, View: View{"FL11", "10", 10}}},
	} {
		got, err := LabScreen(c.lab)
		if err != nil || got.Hex != c.want || !got.InGamut {
			t.Errorf("%s: LabScreen(%v) = %v, %v, want %s in gamut", c.name, c.lab, got, err, c.want)
		}
	}
}

func TestScreenGamut(t *testing.T) {
	got, err := LabScreen(Lab{L: 50, A: 120, B: -100, View: OIV()})
	if err != nil || got.InGamut {
		t.Errorf("a strong purple = %v, %v, want out of gamut", got, err)
	}
	if got, err = LabScreen(Lab{L: 101, View: OIV()}); err != nil || got.InGamut || got.Hex != "#ffffff" {
		t.Errorf("brighter than white = %v, %v, want #ffffff out of gamut", got, err)
	}
}

// TestScreenRoutesAgree: for a spectrum under D65 and 2° both routes are one.
func TestScreenRoutesAgree(t *testing.T) {
	a := closedForm(0.3)
	L, A, B := weighting(t, "D65", "2").AbsorbanceLab(a, 10)
	fromSpectrum, err := ScreenColour(a, "D65", 10)
	if err != nil {
		t.Fatal(err)
	}
	if fromLab, err := LabScreen(Lab{L, A, B, screenView("D65")}); err != nil || fromLab != fromSpectrum {
		t.Errorf("LabScreen = %v, %v, ScreenColour = %v", fromLab, err, fromSpectrum)
	}
}

func TestScreenErrors(t *testing.T) {
	dark, unknown, below := closedForm(1), closedForm(1), closedForm(1)
	dark[3] = math.Inf(1) // opaque at one wavelength is a number still
	unknown[3] = math.NaN()
	below[3] = math.Inf(-1)
	for _, c := range []struct {
		name  string
		a     *Curve
		lamp  Illuminant
		depth float64
		want  error
	}{
		{"opaque", dark, "D65", 10, nil},
		{"NaN", unknown, "D65", 10, ErrNotFinite},
		{"negative infinity", below, "A", 10, ErrNotFinite},
		{"lamp", dark, "D55", 10, ErrIlluminant},
		{"depth", dark, "D65", 0, ErrDepth},
	} {
		if got, err := ScreenColour(c.a, c.lamp, c.depth); !errors.Is(err, c.want) {
			t.Errorf("%s: ScreenColour = %v, %v, want %v", c.name, got, err, c.want)
		}
	}
	if _, err := LabScreen(Lab{L: 50}); !errors.Is(err, ErrIlluminant) {
		t.Errorf("LabScreen without a view: %v, want %v", err, ErrIlluminant)
	}
	if _, err := LabScreen(Lab{L: math.NaN(), View: OIV()}); !errors.Is(err, ErrNotFinite) {
		t.Errorf("LabScreen of NaN: %v, want %v", err, ErrNotFinite)
	}
}

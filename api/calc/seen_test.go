package calc_test

import (
	"math"
	"reflect"
	"testing"

	"pourpath/api/calc"
)

// seenWines are a wine of each kind.
func seenWines() map[string]calc.Wine {
	path, dilution := 1.0, 5.0
	scan := &calc.Spectrum{PathMM: &path, Dilution: &dilution}
	for nm := 370.0; nm <= 800; nm += 2 {
		scan.NM, scan.Absorbance = append(scan.NM, nm), append(scan.Absorbance, 0.05*math.Exp(-(nm-380)/150))
	}
	return map[string]calc.Wine{
		"readings": {Name: "A", Readings: &calc.Readings{A420: 0.243, A520: 0.412, A620: 0.069, PathMM: &path, Dilution: &dilution, Extra: []calc.Reading{{NM: 570, Absorbance: 0.22}}}},
		"spectrum": {Name: "B", Spectrum: scan},
		"cielab":   {Name: "C", CIELAB: &calc.CIELAB{L: calc.Decimal{Value: 86.5, Decimals: 1}, A: calc.Decimal{Value: 14.8, Decimals: 1}, B: calc.Decimal{Value: 4.8, Decimals: 1}, PathMM: 10}},
	}
}

// TestSeenIsColour: a wine that is looked at in several ways has the colours that
// Colour answers, one by one.
func TestSeenIsColour(t *testing.T) {
	t.Parallel()
	deep, thin, none := 55.0, 1.0, -1.0
	for kind, w := range seenWines() {
		seen, err := calc.See(w)
		if err != nil {
			t.Fatalf("%s: %v", kind, err)
		}
		for _, v := range []calc.View{{}, {Illuminant: "A"}, {PathMM: &deep}, {Illuminant: "LED-B3", Observer: "2", PathMM: &thin}} {
			got, err := seen.Colour(v)
			want, wrong := calc.Colour(calc.ColourRequest{Wine: w, View: &v})
			if err != nil || wrong != nil || !reflect.DeepEqual(got, want.Colour) {
				t.Errorf("%s under %+v: %+v, %v, want %+v, %v", kind, v, got, err, want.Colour, wrong)
			}
		}
		if _, err := seen.Colour(calc.View{PathMM: &none}); calc.AsProblem(err) == nil {
			t.Errorf("%s at a depth below 0: %v, want a problem", kind, err)
		}
	}
	if _, err := calc.See(calc.Wine{Readings: &calc.Readings{A420: -3}}); calc.AsProblem(err) == nil {
		t.Errorf("no measurement: %v, want a problem", err)
	}
}

// TestSpectrumFigure: the curve goes through what was read, brought to 10 mm of
// undiluted wine, with a band, and can be drawn.
func TestSpectrumFigure(t *testing.T) {
	t.Parallel()
	for kind, w := range seenWines() {
		seen, err := calc.See(w)
		if err != nil {
			t.Fatal(err)
		}
		f := seen.SpectrumFigure("1.0", nil)
		if f.Source != kind || f.Name != w.Name || len(f.Curve) != 81 || f.Curve[0].NM != 380 || f.Curve[80].NM != 780 {
			t.Errorf("%s: %+v", kind, f)
		}
		at := map[float64]float64{}
		for _, p := range f.Curve {
			at[p.NM] = p.A
			if !(p.U > 0) {
				t.Errorf("%s: nothing is uncertain at %g nm", kind, p.NM)
			}
		}
		want := map[string]int{"readings": 4, "spectrum": 201, "cielab": 0}[kind] // of the scan those from 380 to 780 nm
		if len(f.Read) != want {
			t.Errorf("%s: %d read, want %d", kind, len(f.Read), want)
		}
		for _, r := range f.Read {
			if a, on := at[r.NM]; on && math.Abs(a-r.A) > 1e-9 {
				t.Errorf("%s: the curve is %g at %g nm, read was %g", kind, a, r.NM, r.A)
			}
		}
		if kind == "readings" && math.Abs(at[520]-0.412*10*5) > 1e-9 { // 1 mm, fivefold
			t.Errorf("A520 is %g for 10 mm, want 20.6", at[520])
		}
		if _, err := f.Drawing(); err != nil {
			t.Errorf("%s: %v", kind, err)
		}
	}
}

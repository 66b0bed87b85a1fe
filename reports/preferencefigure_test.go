package reports_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/panel"
	"pourpath/reports"
)

// preferenceFigure is of ten judges who ranked five glasses, most of them for 4 to
// 6 mL; indifferent judges find nothing.
func preferenceFigure(t testing.TB, indifferent bool) reports.PreferenceFigure {
	t.Helper()
	table := panel.Table{
		Doses: []float64{0, 2, 4, 6, 8},
		Answers: [][]float64{
			{5, 4, 1, 2, 3}, {5, 3, 1, 2, 4}, {4, 5, 2, 1, 3}, {5, 2, 1, 3, 4}, {5, 3, 2, 1, 4},
			{4, 2, 1, 3, 5}, {5, 3, 2, 1, 4}, {3, 4, 2, 1, 5}, {5, 4, 1, 2, 3}, {5, 1, 2, 3, 4},
		},
	}
	if indifferent {
		table.Answers = table.Answers[:4]
		for j := range table.Answers {
			table.Answers[j] = []float64{1, 2, 3, 4, 5}
			if j%2 == 1 {
				table.Answers[j] = []float64{5, 4, 3, 2, 1}
			}
		}
	}
	r, err := panel.Analyse(table, panel.Options{Kind: panel.Ranks, Level: panel.DefaultLevel})
	if err != nil {
		t.Fatal(err)
	}
	f := reports.PreferenceFigure{
		Title: "Rosé of the upper terrace, blind panel 1", View: cie.OIV(), Judges: r.Judges, Level: r.Level,
		Path: path(t, 10, 200, labOf(t, blend(4)), 1), Preference: r.Preference, Version: "Pourpath 0.1.0",
	}
	for _, g := range r.Glasses {
		f.Glasses = append(f.Glasses, reports.PreferenceGlass{
			DoseMLPer100ML: g.DoseMLPer100ML, Lab: labOf(t, blend(g.DoseMLPer100ML)), Swatch: swatchOf(t, blend(g.DoseMLPer100ML)).At10MM, Share: g.Share,
		})
	}
	return f
}

// The pictures were looked at by eye, in grey too.
func TestGoldenPreference(t *testing.T) {
	for name, indifferent := range map[string]bool{"preference": false, "preference_none": true} {
		f := preferenceFigure(t, indifferent)
		for _, format := range everyFormat {
			if format.name == "svg" || !indifferent {
				t.Run(name+"."+format.name, func(t *testing.T) { golden(t, name, format.name, written(t, f, format.write)) })
			}
		}
	}
}

// TestPreferenceInWords: what circles and curve show is said too, with both
// conventions of a dose, and without a preferred dose where none was found.
func TestPreferenceInWords(t *testing.T) {
	f := preferenceFigure(t, false)
	got := said(t, f)
	for _, want := range []string{"10 judges", "4 mL 88 %, 6 mL 78 %", "mL per 100 mL of base, ", "% of the blend", "with 95 %"} {
		if !strings.Contains(got, squeezed(want)) {
			t.Errorf("%q is not said: %s", want, got)
		}
	}
	if got := said(t, preferenceFigure(t, true)); !strings.Contains(got, squeezed("No preferred dose")) || strings.Contains(got, "Preferred:") {
		t.Errorf("nothing was found, and it says %s", got)
	}
}

// TestAwkwardPreferencesDraw: whatever a panel has draws.
func TestAwkwardPreferencesDraw(t *testing.T) {
	bare := preferenceFigure(t, false)
	bare.Path, bare.Preference = nil, nil
	same := preferenceFigure(t, false)
	for i := range same.Glasses {
		same.Glasses[i].DoseMLPer100ML, same.Glasses[i].Lab, same.Glasses[i].Swatch = 3, same.Glasses[0].Lab, cie.Screen{}
	}
	same.Preference = nil
	named := preferenceFigure(t, false)
	named.Title, named.Finding = `<b>"Rosé" & Co</b>`+"\x00\n\xff", strings.Repeat("W", 500)
	many := preferenceFigure(t, false)
	for len(many.Glasses) < panel.MostGlasses {
		many.Glasses = append(many.Glasses, many.Glasses[len(many.Glasses)-1])
	}
	for name, f := range map[string]reports.PreferenceFigure{"bare": bare, "same": same, "named": named, "many": many} {
		t.Run(name, func(t *testing.T) { checkSVG(t, written(t, f, (*reports.Drawing).WriteSVG)) })
	}
}

func TestPreferenceFigureFaults(t *testing.T) {
	for want, spoil := range map[string]func(*reports.PreferenceFigure){
		"judges: 1":               func(f *reports.PreferenceFigure) { f.Judges = 1 },
		"level: 5":                func(f *reports.PreferenceFigure) { f.Level = 5 },
		"glasses: 1":              func(f *reports.PreferenceFigure) { f.Glasses = f.Glasses[:1] },
		"glass 1: dose 0 after 2": func(f *reports.PreferenceFigure) { slices.Reverse(f.Glasses[:2]) },
		"glass 2 share: 1.5":      func(f *reports.PreferenceFigure) { f.Glasses[2].Share.High = 1.5 },
		"glass 3: NaN":            func(f *reports.PreferenceFigure) { f.Glasses[3].Lab.A = math.NaN() },
		"path point 1: dose":      func(f *reports.PreferenceFigure) { f.Path[1].DoseMLPer100ML = 0 },
		"curve point 4: NaN":      func(f *reports.PreferenceFigure) { f.Preference.Curve[4].Share.Low = math.NaN() },
		"preferred dose: -1":      func(f *reports.PreferenceFigure) { f.Preference.Best.Low = -1 },
		"held: -1":                func(f *reports.PreferenceFigure) { f.HeldMLPer100ML = -1 },
		"title: 501 characters":   func(f *reports.PreferenceFigure) { f.Title = strings.Repeat("x", 501) },
		"view":                    func(f *reports.PreferenceFigure) { f.View = cie.View{} },
	} {
		f := preferenceFigure(t, false)
		spoil(&f)
		if _, err := f.Drawing(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
}

package sheet_test

import (
	"fmt"
	"math"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// The wines of these tests are drawn by hand, not measured: a white of a plain
// exponential, A420 = 0.1, and a young red with one asymmetric Gaussian band at
// 525 nm on an exponential, A520 = 5, both for 10 mm. They mix by the
// Beer-Lambert law. Uncertainties, names and notes are made up.
func absorbance(dose float64) *cie.Curve {
	raw := func(nm float64) float64 {
		width := 46.0
		if nm > 525 {
			width = 31
		}
		return math.Exp(-math.Pow((nm-525)/width, 2)/2) + 0.85*math.Exp(-(nm-420)/75)
	}
	var c cie.Curve
	f := dose / (100 + dose)
	for i := range c {
		nm := cie.FirstNM + float64(i)*cie.StepNM
		c[i] = (1-f)*0.1*math.Exp(-(nm-420)/60) + f*5*raw(nm)/raw(520)
	}
	return &c
}

const glassMM = 55

func colourAt(t testing.TB, dose, u float64) *sheet.Colour {
	t.Helper()
	v := cie.OIV()
	w, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		t.Fatal(err)
	}
	l, a, b := w.AbsorbanceLab(absorbance(dose), v.DepthMM)
	return &sheet.Colour{Lab: cie.Lab{L: l, A: a, B: b, View: v}, U: [3]float64{u, 1.4 * u, 0.8 * u}}
}

func swatchAt(t testing.TB, dose float64) reports.Swatch {
	t.Helper()
	var s reports.Swatch
	var err error
	if s.At10MM, err = cie.ScreenColour(absorbance(dose), "D65", 10); err != nil {
		t.Fatal(err)
	}
	if s.InGlass, err = cie.ScreenColour(absorbance(dose), "D65", glassMM); err != nil {
		t.Fatal(err)
	}
	return s
}

func head() sheet.Head {
	return sheet.Head{Trial: "Rosé of the upper terrace, trial 3", Date: "25 November 2026", View: cie.OIV(), GlassDepthMM: glassMM,
		Conditions: "Samples at 18 to 20 °C.", Version: "Pourpath 0.1.0"}
}

func wines(t testing.TB) sheet.Wines {
	return sheet.Wines{
		Base:      sheet.Wine{Name: "Tank 12, white", Lot: "W-26-012", Known: "Readings at 420, 520 and 620 nm of 20 November.", Colour: colourAt(t, 0, 0.1), Swatch: swatchAt(t, 0)},
		Additions: []sheet.Wine{{Name: "Barrel 4, young red", Lot: "R-26-004", Known: "Read in a 1 mm cell on 20 November.", Swatch: swatchAt(t, 2000)}},
		Target:    &sheet.Target{Name: "Rosé of last year", Colour: colourAt(t, 9.4, 0.2), Tolerance: 1.5, Swatch: swatchAt(t, 9.4)},
	}
}

func bench(t testing.TB) sheet.Bench {
	b := sheet.Bench{Head: head(), Wines: wines(t), BaseML: 100, Tools: []sheet.Tool{
		{Name: "Syringe 5 mL", CapacityML: 5, GraduationML: 0.2, LimitML: 0.2, Note: "ISO 7886-1, from half its capacity ± 4 %"},
		{Name: "Cylinder 100 mL", CapacityML: 100, GraduationML: 1, LimitML: 1, Note: "class B, ISO 4788"},
		{Name: "Tablespoon, Australia", CapacityML: 20},
	}, Warnings: []string{"One line of the syringe, 0.2 mL, moves the colour by ΔE00 0.4, less than the visible step of 1."}}
	for _, g := range []string{"A", "B", "C"} {
		b.Plan = append(b.Plan, sheet.PlanRow{Glass: g, Deed: sheet.PourBase, Wine: "Tank 12, white", VolumeML: 100, Tool: "Cylinder 100 mL",
			Colour: colourAt(t, 0, 0.1), Swatch: swatchAt(t, 0)})
	}
	for i := range 10 {
		total := 2 * float64(i+1)
		volume := 4.0
		if i < 2 {
			volume = total
		}
		r := sheet.PlanRow{Glass: string("BC"[i%2]), Deed: sheet.PourAddition, Wine: "Barrel 4, young red", VolumeML: volume, Tool: "Syringe 5 mL",
			TotalML: total, Dose: sheet.Dose{MLPer100ML: total, U: 0.06 + 0.01*total}, Colour: colourAt(t, total, 0.2+0.05*total), Swatch: swatchAt(t, total)}
		if i == 9 {
			r.Note = "A fresh glass would be better: its dose would be known to ± 0.12."
		}
		b.Plan = append(b.Plan, r)
	}
	return b
}

func figure(t testing.TB) *reports.LadderFigure {
	w := wines(t)
	target := w.Target.Colour.Lab
	f := &reports.LadderFigure{Title: "Path of trial 3", Base: w.Base.Name, Addition: w.Additions[0].Name, View: cie.OIV(), GlassDepthMM: glassMM,
		Target: &reports.TargetMark{Lab: target, Tolerance: 1.5, Swatch: w.Target.Swatch}}
	at := func(d, stretch float64) reports.PathPoint {
		c := colourAt(t, d*stretch, 0.1+0.015*d)
		l := c.Lab
		return reports.PathPoint{DoseMLPer100ML: d, Lab: l, U: c.U, DeltaE00: difference.DeltaE00(target.L, target.A, target.B, l.L, l.A, l.B)}
	}
	for i := range 201 {
		d := float64(i) / 10
		f.Curve = append(f.Curve, at(d, 1))
		f.Predicted = append(f.Predicted, at(d, 0.85))
	}
	for d := 0.0; d <= 20; d += 2 {
		f.Rungs = append(f.Rungs, reports.RungMark{DoseML: d, DoseMLPer100ML: d, Lab: colourAt(t, d, 0).Lab, Swatch: swatchAt(t, d)})
	}
	for _, d := range []float64{4, 10} {
		c := colourAt(t, 1.02*d, 0.3)
		f.Measured = append(f.Measured, reports.MeasuredMark{DoseMLPer100ML: d, Lab: c.Lab, U: c.U})
	}
	f.Nearest = &reports.NearestMark{DoseMLPer100ML: 9.4, Lab: target, DeltaE00: 0, Interval95: &[2]float64{8.9, 9.9}, Swatch: w.Target.Swatch}
	return f
}

func ptr(v float64) *float64 { return &v }

func trial(t testing.TB) sheet.Trial {
	r := sheet.Trial{Head: head(), Wines: wines(t), BaseML: 100, Figure: figure(t)}
	r.Blend = &sheet.Wine{Name: "At the chosen dose", Known: "Predicted, after what was measured.", Colour: colourAt(t, 9.4, 0.3), Swatch: swatchAt(t, 9.4)}
	for i, glass := range []string{"A", "B", "C", "B", "C", "C", "B", "C"} {
		e := sheet.LogRow{Time: fmt.Sprintf("25 Nov, 14:%02d", 5+3*i), Glass: glass, Deed: sheet.PourAddition, Wine: "Barrel 4, young red", VolumeML: 4,
			Tool: "Syringe 5 mL", TotalML: 4 * float64(1+i/2), Dose: sheet.Dose{MLPer100ML: 4 * float64(1+i/2), U: 0.12}, Who: "M. K."}
		switch i {
		case 0:
			e.Deed, e.Wine, e.VolumeML, e.TotalML, e.Dose, e.Tool = sheet.PourBase, "Tank 12, white", 100, 0, sheet.Dose{}, "Cylinder 100 mL"
		case 4:
			e.Undone, e.Note = true, "wrong glass"
		case 6:
			e.Deed, e.Wine, e.VolumeML, e.Tool, e.Note = sheet.TakeOut, "", 15, "", "cell filled and a sip"
		case 7:
			e.Dose = sheet.Dose{MLPer100ML: 10.32, U: 0.15}
		}
		r.Log = append(r.Log, e)
	}
	r.Log = append(r.Log, sheet.LogRow{No: 9, Time: "25 Nov, 14:32", Glass: "C", Deed: sheet.TakeBack, Of: 5, Note: "it went into glass B", Who: "M. K.",
		TotalML: 12, Dose: sheet.Dose{MLPer100ML: 10.32, U: 0.15}})
	r.Measured = []sheet.MeasuredRow{
		{Glass: "B", Dose: sheet.Dose{MLPer100ML: 4, U: 0.12}, Minutes: ptr(35), Celsius: ptr(19.5), Measured: *colourAt(t, 4.08, 0.3),
			Predicted: colourAt(t, 3.4, 1.8), Learned: colourAt(t, 4, 0.3)},
		{Glass: "C", Dose: sheet.Dose{MLPer100ML: 10.32, U: 0.15}, Minutes: ptr(4), Celsius: ptr(19.5), Measured: *colourAt(t, 10.6, 0.3),
			Predicted: colourAt(t, 8.8, 2.4), Learned: colourAt(t, 10.32, 0.4), Repeat: true},
		{Glass: "A", Dose: sheet.Dose{}, Measured: *colourAt(t, 0.4, 0.3), Predicted: colourAt(t, 0, 0.1), Outlier: true},
	}
	r.Notes = []sheet.NoteRow{
		{Glass: "B", Dose: &sheet.Dose{MLPer100ML: 4, U: 0.12}, Score: ptr(13.5), Scale: "of 20", Note: "Pale, close to an onion skin. Fresh, no tannin to speak of.", Who: "M. K."},
		{Glass: "C", Dose: &sheet.Dose{MLPer100ML: 10.32, U: 0.15}, Score: ptr(16), Scale: "of 20", Note: "Clear pink as last year. A little grip that the fruit carries.", Who: "A. R."},
	}
	r.Choice = &sheet.Choice{Dose: sheet.Dose{MLPer100ML: 9.4, U: 0.25}, Nearest: ptr(9.4), Interval95: &sheet.Interval{8.9, 9.9}, PerLitre: &sheet.PerLitre{BaseML: 94, BlendML: 85.92}, DeltaE00: ptr(0.3), Glass: "C",
		Reasons: []string{"Closest to last year's colour at both depths.", "Liked best by both tasters; the deeper rung was too firm."}, Who: "M. K. and A. R."}
	r.Final = &sheet.FinalCheck{VolumeML: 300, Poured: "25 November, 16:10", Reading: colourAt(t, 9.5, 0.3), DeltaE00: ptr(0.4), KeptCold: true, Who: "M. K."}
	v := volumes()
	r.ScaleUp = &v
	return r
}

func recipe(base, dose float64) sheet.Recipe {
	return sheet.Recipe{BaseL: base, AdditionL: base * dose / 100, BlendL: base * (100 + dose) / 100}
}

func volumes() sheet.Volumes {
	const dose = 9.4
	return sheet.Volumes{Dose: sheet.Dose{MLPer100ML: dose, U: 0.25}, FirstPercent: 90, HeelL: 3, LossPercent: 1.5,
		Vessels: []sheet.Vessel{{Name: "Tank 7", Count: 1, SizeL: 2000, Convention: sheet.BaseLed, Recipe: recipe(2000, dose), Otherwise: recipe(2000/1.094/0.985, dose)}},
		Rounded: &sheet.Rounded{Recipe: sheet.Recipe{BaseL: 2000, AdditionL: 188, BlendL: 2188}, FirstL: 169, HeldBackL: 19,
			Dose: sheet.Dose{MLPer100ML: 9.4}, BaseGraduationL: 10, AdditionGraduationL: 1, DeltaE00: ptr(0.02)},
		Gauge:  &sheet.Gauge{BaseUPercent: 0.6, AdditionUPercent: 0.3, DoseU: 0.07},
		Stocks: []sheet.Stock{{Wine: "Tank 12, white", OnHandL: 2150, NeededL: 2000}, {Wine: "Barrel 4, young red", OnHandL: 180, NeededL: 191}},
	}
}

func order(t testing.TB) sheet.WorkOrder {
	return sheet.WorkOrder{Head: head(), Wines: wines(t), Volumes: volumes(),
		Warnings: []string{"The red on hand is 11 L short for 2000 L of base: it is enough for 1883 L."}}
}

// vessels is an order of several vessels in both conventions, its first part
// poured and read.
func vessels(t testing.TB) sheet.WorkOrder {
	o := order(t)
	const dose = 9.4
	o.Volumes.Vessels = []sheet.Vessel{
		{Name: "Carboy", Count: 3, SizeL: 54, Convention: sheet.BlendLed, Recipe: recipe(54/1.094, dose), Otherwise: recipe(54, dose)},
		{Name: "Keg of the old cellar with a very long name that says where it stands, what it held before and who has the key", Count: 1,
			SizeL: 20, Convention: sheet.BaseLed, Recipe: recipe(20, dose), Otherwise: recipe(20/1.094, dose)},
	}
	o.Volumes.Rounded, o.Volumes.Stocks, o.Volumes.LossPercent, o.Warnings = nil, nil, 0, nil
	o.Trim = &sheet.Trim{Dose: sheet.Dose{MLPer100ML: 8.5, U: 0.3}, AdditionL: 1.4, Interval95: &sheet.Interval{-0.1, 2.9}}
	return o
}

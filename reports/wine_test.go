package reports_test

import (
	"math"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/reports"
)

// The wines of these tests are drawn by hand, not measured: a white of a plain
// exponential, A420 = 0.1, and a young red with one asymmetric Gaussian band at
// 525 nm (standard deviation 46 nm below, 31 nm above) on an
// exponential, A520 = 5, both for 10 mm. They mix by the Beer-Lambert law.
func whiteWine(nm float64) float64 { return 0.1 * math.Exp(-(nm-420)/60) }

func redWine(nm float64) float64 {
	raw := func(nm float64) float64 {
		width := 46.0
		if nm > 525 {
			width = 31
		}
		return math.Exp(-math.Pow((nm-525)/width, 2)/2) + 0.85*math.Exp(-(nm-420)/75)
	}
	return 5 * raw(nm) / raw(520)
}

// blend is the absorbance of the two at a dose in mL per 100 mL of white.
func blend(dose float64) *cie.Curve {
	var c cie.Curve
	f := dose / (100 + dose)
	for i := range c {
		nm := cie.FirstNM + float64(i)*cie.StepNM
		c[i] = (1-f)*whiteWine(nm) + f*redWine(nm)
	}
	return &c
}

const glassMM = 55

func labOf(t testing.TB, a *cie.Curve) cie.Lab {
	t.Helper()
	v := cie.OIV()
	w, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		t.Fatal(err)
	}
	l, aa, b := w.AbsorbanceLab(a, v.DepthMM)
	return cie.Lab{L: l, A: aa, B: b, View: v}
}

func swatchOf(t testing.TB, a *cie.Curve) reports.Swatch {
	t.Helper()
	var s reports.Swatch
	var err error
	if s.At10MM, err = cie.ScreenColour(a, "D65", 10); err != nil {
		t.Fatal(err)
	}
	if s.InGlass, err = cie.ScreenColour(a, "D65", glassMM); err != nil {
		t.Fatal(err)
	}
	return s
}

// path is the curve of doses 0 to largest in n steps, with ΔE00 from target.
func path(t testing.TB, largest float64, n int, target cie.Lab, stretch float64) []reports.PathPoint {
	t.Helper()
	var points []reports.PathPoint
	for i := range n + 1 {
		d := largest * float64(i) / float64(n)
		l := labOf(t, blend(d*stretch))
		u := 0.1 + 0.25*d/largest
		points = append(points, reports.PathPoint{DoseMLPer100ML: d, Lab: l, U: [3]float64{u, 1.4 * u, 0.8 * u},
			DeltaE00: difference.DeltaE00(target.L, target.A, target.B, l.L, l.A, l.B)})
	}
	return points
}

func rungs(t testing.TB, baseML float64, dosesMLPer100ML ...float64) []reports.RungMark {
	t.Helper()
	var rs []reports.RungMark
	for _, d := range dosesMLPer100ML {
		a := blend(d)
		rs = append(rs, reports.RungMark{DoseML: d * baseML / 100, DoseMLPer100ML: d, Lab: labOf(t, a), Swatch: swatchOf(t, a)})
	}
	return rs
}

func evenly(from, to float64, n int) []float64 {
	var ds []float64
	for i := range n {
		ds = append(ds, from+(to-from)*float64(i)/float64(max(n-1, 1)))
	}
	return ds
}

// within are the lowest and highest dose of a path whose ΔE00 is at most limit.
func within(points []reports.PathPoint, limit float64) *[2]float64 {
	var r *[2]float64
	for _, p := range points {
		if p.DeltaE00 > limit {
			continue
		}
		if r == nil {
			r = &[2]float64{p.DoseMLPer100ML, p.DoseMLPer100ML}
		}
		r[1] = p.DoseMLPer100ML
	}
	return r
}

// realistic is a ladder of 0 to 20 mL in a 100 mL glass with everything shown.
// Its uncertainties and ranges are made up to be plausible.
func realistic(t testing.TB) reports.LadderFigure {
	t.Helper()
	aim := blend(9.4)
	target := labOf(t, aim)
	target.A, target.B = target.A+0.3, target.B+0.7
	f := reports.LadderFigure{
		Title: "Rosé of the upper terrace, bench trial 3", Base: "tank 12, white", Addition: "barrel 4, young red",
		View: cie.OIV(), GlassDepthMM: glassMM,
		Curve:     path(t, 20, 400, target, 1),
		Predicted: path(t, 20, 400, target, 0.9),
		Rungs:     rungs(t, 100, evenly(0, 20, 21)...),
		Target:    &reports.TargetMark{Lab: target, Tolerance: 1.5, Swatch: swatchOf(t, aim)},
		Version:   "Pourpath 0.1.0",
	}
	best := f.Curve[0]
	for _, p := range f.Curve {
		if p.DeltaE00 < best.DeltaE00 {
			best = p
		}
	}
	f.Nearest = &reports.NearestMark{DoseMLPer100ML: best.DoseMLPer100ML, Lab: best.Lab, DeltaE00: best.DeltaE00,
		Interval95: &[2]float64{best.DoseMLPer100ML - 0.45, best.DoseMLPer100ML + 0.5}, Swatch: swatchOf(t, blend(best.DoseMLPer100ML))}
	f.Acceptable = within(f.Curve, 0.9)
	f.Nominal = within(f.Curve, 1.5)
	for _, d := range []float64{4, 12} {
		m := labOf(t, blend(d*1.02))
		on, before := labOf(t, blend(d)), labOf(t, blend(d*0.9))
		f.Measured = append(f.Measured, reports.MeasuredMark{DoseMLPer100ML: d, Lab: m, U: [3]float64{0.3, 0.4, 0.3}, OnPath: &on, Before: &before})
	}
	return f
}

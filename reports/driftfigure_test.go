package reports_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pourpath/reports"
)

// driftFigure is of simulated lots: A420 rises, A520 falls by a third, A620 a
// little.
func driftFigure() reports.DriftFigure {
	f := reports.DriftFigure{Title: "How the colour drifts: House rosé", Lots: 8, Clock: "bottling", Conditions: "Storage: 12 °C, screw cap", Version: "Pourpath 1.0"}
	level := func(b int, days float64) float64 {
		left := math.Exp2(-days / 90)
		return [3]float64{0.142 + 0.02*(1-left), 0.118 * (2 + left) / 3, 0.021 * (4 + left) / 5}[b]
	}
	for i := range 41 {
		p := reports.DriftPoint{Days: float64(i) * 9}
		for b := range 3 {
			a := level(b, p.Days)
			p.A[b], p.Lower[b], p.Upper[b] = a, a*(1-0.0001*p.Days), a*(1+0.0001*p.Days)
		}
		f.Curve = append(f.Curve, p)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	for range f.Lots {
		for _, d := range []float64{0, 30, 60, 120, 200, 300, 360} {
			r := reports.DriftReading{Days: d}
			for b := range 3 {
				r.A[b] = level(b, d) + 0.001*rng.NormFloat64()
			}
			f.Readings = append(f.Readings, r)
		}
	}
	f.Readings[10].A[1], f.Readings[10].Outlying[1] = 0.11, true
	f.Readings[20].A[0], f.Readings[20].Outlying[0] = 0.4, true
	return f
}

// The pictures were looked at by eye, in grey too.
func TestGoldenDrift(t *testing.T) {
	for _, format := range everyFormat {
		t.Run(format.name, func(t *testing.T) {
			golden(t, "drift", format.name, written(t, driftFigure(), format.write))
		})
	}
}

func TestDriftFigureFaults(t *testing.T) {
	for want, spoil := range map[string]func(*reports.DriftFigure){
		"clock: is empty":               func(f *reports.DriftFigure) { f.Clock = "" },
		"curve: 1 points":               func(f *reports.DriftFigure) { f.Curve = f.Curve[:1] },
		"day 9 after day 9":             func(f *reports.DriftFigure) { f.Curve[2].Days = 9 },
		"curve point 3":                 func(f *reports.DriftFigure) { f.Curve[3].Upper[1] = math.NaN() },
		"reading 5":                     func(f *reports.DriftFigure) { f.Readings[5].A[2] = math.Inf(1) },
		"readings: 20001: want at most": func(f *reports.DriftFigure) { f.Readings = make([]reports.DriftReading, 20001) },
		"title: 501 characters":         func(f *reports.DriftFigure) { f.Title = strings.Repeat("x", 501) },
	} {
		f := driftFigure()
		spoil(&f)
		if _, err := f.Drawing(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
}

package reports_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"pourpath/colour/control"
	"pourpath/reports"
)

// series is n made-up values about a level, from a fixed seed, with one lot far
// off, a step near the end and one lot left out.
func series(n int) ([]float64, control.Base) {
	r := rand.New(rand.NewPCG(7, 11))
	values := make([]float64, n)
	for i := range values {
		values[i] = 14.2 + 0.35*r.NormFloat64()
		if i >= n*4/5 {
			values[i] += 0.55
		}
	}
	base := control.Base{First: max(n*3/5, min(n, 12))}
	if n > 12 {
		values[n/2] += 1.9
		values[n/4] = 12.1
		base.Without = []int{n / 4}
	}
	return values, base
}

func chartLots(values []float64) []reports.ChartLot {
	lots := make([]reports.ChartLot, len(values))
	for i, v := range values {
		lots[i] = reports.ChartLot{Name: fmt.Sprintf("B-26-%03d", i+1), Value: v}
	}
	if len(lots) > 12 {
		lots[len(lots)/4].LeftOut = "cell was fogged"
	}
	return lots
}

func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func individualsFigure(t testing.TB, n int) reports.ChartFigure {
	values, base := series(n)
	k := must[control.Individuals](t)(control.NewIndividuals(values, base, control.Nelson()))
	return reports.ChartFigure{Title: "a* of the bottled rosé, 2026", Quantity: "a*", Lots: chartLots(values), Individuals: &k,
		Lower: ptr(12.6), Upper: ptr(16.0), Conditions: "D65, 10° observer, 10 mm of wine; read at 20 °C", Version: "Pourpath 0.1.0"}
}

func ewmaFigure(t testing.TB, n int) reports.ChartFigure {
	f := individualsFigure(t, n)
	values, base := series(n)
	k := must[control.EWMA](t)(control.NewEWMA(values, base, control.DefaultLambda, control.DefaultWidth))
	f.Individuals, f.EWMA, f.Lower, f.Upper = nil, &k, nil, nil
	return f
}

func t2Figure(t testing.TB, n int) reports.ChartFigure {
	values, base := series(n)
	r := rand.New(rand.NewPCG(3, 5))
	other, third := make([]float64, n), make([]float64, n)
	for i, v := range values {
		other[i] = 7 + 0.4*(v-14.2) + 0.2*r.NormFloat64()
		third[i] = 83 - 0.9*(v-14.2) + 0.3*r.NormFloat64()
	}
	k := must[control.T2](t)(control.NewT2([]control.Column{{Name: "L*", Values: third}, {Name: "a*", Values: values}, {Name: "b*", Values: other}}, base))
	return reports.ChartFigure{Title: "Colour of the bottled rosé, 2026", Lots: chartLots(values), T2: &k, Version: "Pourpath 0.1.0"}
}

func runFigure(t testing.TB, n int) reports.ChartFigure {
	values, _ := series(n)
	lots := chartLots(values)
	differences := make([]float64, n)
	for i, v := range values {
		differences[i] = max(0.05, (v-14.2)*(v-14.2)+0.4)
		lots[i].Value, lots[i].LeftOut = differences[i], ""
	}
	k := must[control.RunPlot](t)(control.NewRunPlot(differences))
	return reports.ChartFigure{Finding: "Within spec with probability 0.99: lot B-26-040.", Quantity: "ΔE00 from the reference", Lots: lots, RunPlot: &k}
}

func ptr(v float64) *float64 { return &v }

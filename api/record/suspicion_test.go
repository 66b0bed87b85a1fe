package record

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pourpath/api/calc"
)

func codesOf(list []calc.Warning) (out []string) {
	for _, w := range list {
		out = append(out, w.Code)
	}
	return out
}

// in puts readings into a cell.
func in(pathMM, dilution float64, m Measurement) Measurement {
	m.Readings.PathMM, m.Readings.Dilution = &pathMM, &dilution
	return m
}

// with adds a further reading.
func with(nm, a float64, m Measurement) Measurement {
	m.Readings.Extra = append(m.Readings.Extra, calc.Reading{NM: nm, Absorbance: a})
	return m
}

// scanned is an exponential with a band, in 10 mm.
func scanned(yellow, red, baseline float64) Measurement {
	s := &calc.Spectrum{}
	for nm := 380.0; nm <= 780; nm += 2 {
		s.NM = append(s.NM, nm)
		s.Absorbance = append(s.Absorbance, yellow*math.Exp(-(nm-420)/60)+red*math.Exp(-math.Pow((nm-520)/45, 2))+baseline)
	}
	return Measurement{Spectrum: s}
}

func TestSuspicions(t *testing.T) {
	report := Measurement{CIELAB: &calc.CIELAB{L: calc.Decimal{Value: 71.2, Decimals: 1}, PathMM: 10}}
	for _, row := range []struct {
		name    string
		kind    Kind
		m       Measurement
		diluent Diluent
		before  *Measurement
		want    []string
		words   string // of the first
	}{
		{"white", White, three(0.142, 0.018, 0.005), "", nil, nil, ""},
		{"red in 1 mm", Red, in(1, 1, three(0.431, 0.592, 0.102)), "", nil, nil, ""},
		{"red in 10 mm", Red, three(2.2, 2.9, 0.6), "", nil, []string{"near_saturation", "reading_window"}, "2 mm cell"},
		{"white in 1 mm", White, in(1, 1, three(0.0142, 0.0018, 0.0005)), "", nil, []string{"reading_window"}, "20 mm cell"},
		{"swapped", Rose, three(0.05, 0.06, 0.2), "", nil, []string{"blue_above_red"}, "swapped columns"},
		{"turbid", White, with(700, 0.05, three(0.2, 0.09, 0.07)), "", nil, []string{"raised_baseline"}, "Clarify"},
		{"diluted red", Red, in(10, 10, three(0.431, 0.592, 0.102)), "", nil, []string{"diluent_not_given", "diluted_red"}, "diluted with"},
		{"diluted red in acid", Red, in(10, 10, three(0.431, 0.592, 0.102)), "acid", nil, []string{"diluted_red"}, "copigmentation"},
		{"diluted rosé", Rose, in(10, 2, three(0.431, 0.592, 0.102)), "water", nil, nil, ""},
		{"scan", White, scanned(0.12, 0.02, 0), "", nil, nil, ""},
		{"turbid scan", White, scanned(0.12, 0.02, 0.04), "", nil, []string{"raised_baseline"}, "Clarify"},
		{"report", Rose, report, "", pointer(three(0.1, 0.2, 0.05)), nil, ""},
		{"after a report", Rose, three(0.1, 0.2, 0.05), "", &report, nil, ""},
		{"no measurement", Rose, Measurement{}, "", nil, nil, ""},
		{"no measurement before", Rose, three(0.1, 0.2, 0.05), "", &Measurement{}, nil, ""},
		{"not to be computed with", Red, three(0.4, 9, 0.1), "", nil, nil, ""},
		{"unchanged", White, three(0.142, 0.018, 0.005), "", pointer(three(0.139, 0.020, 0.004)), nil, ""},
		{"changed", White, three(0.182, 0.018, 0.005), "", pointer(three(0.142, 0.018, 0.005)), []string{"changed"}, "At 420 nm this reading is 0.040 per 10 mm above the one before, of 2026-11-25 (0.142), where instrument, cell and dilution explain 0.011."},
		{"changed downwards", Rose, three(0.3, 0.40, 0.05), "", pointer(three(0.3, 0.45, 0.05)), []string{"changed"}, "At 520 nm this reading is 0.050 per 10 mm below"},
		{"in another cell", Red, in(1, 1, three(0.431, 0.592, 0.102)), "", pointer(in(2, 1, three(0.866, 1.178, 0.205))), nil, ""},
		{"diluted and neat", Red, in(1, 1, three(0.431, 0.592, 0.102)), "", pointer(in(10, 10, three(0.3, 0.42, 0.06))), []string{"changed"}, "cells"},
		{"further wavelength", Rose, with(560, 0.2, three(0.3, 0.4, 0.05)), "", pointer(with(560, 0.3, three(0.3, 0.4, 0.05))), []string{"changed"}, "At 560 nm"},
		{"wavelength not common", Rose, with(560, 0.2, three(0.3, 0.4, 0.05)), "", pointer(with(565, 0.3, three(0.3, 0.4, 0.05))), nil, ""},
		{"scan after readings", White, scanned(0.12, 0, 0), "", pointer(three(0.12, 0.12*math.Exp(-100./60), 0.12*math.Exp(-200./60))), nil, ""},
		{"scan after a reading at 563 nm", White, scanned(0.12, 0, 0), "", pointer(with(563, 0.08, three(0.12, 0.12*math.Exp(-100./60), 0.12*math.Exp(-200./60)))), []string{"changed"}, "At 563 nm"},
		{"readings after another's scan", White, three(0.16, 0.12*math.Exp(-100./60), 0.12*math.Exp(-200./60)), "", pointer(scanned(0.12, 0, 0)), []string{"changed"}, "At 420 nm"},
		{"scan after a scan", Rose, scanned(0.2, 0.3, 0), "", pointer(scanned(0.2, 0.3, 0)), nil, ""},
		{"scan after another", Rose, scanned(0.2, 0.3, 0), "", pointer(scanned(0.2, 0.36, 0)), []string{"changed"}, "At 520 nm"},
	} {
		t.Run(row.name, func(t *testing.T) {
			var before *Reading
			if row.before != nil {
				before = pointer(made(t, "b", 0, func(r *Reading) { r.Measurement = *row.before }))
			}
			got := Suspicions(row.kind, Reading{Measurement: row.m, Circumstances: Circumstances{Diluent: row.diluent}}, before)
			if !slices.Equal(codesOf(got), row.want) {
				t.Fatalf("got %v, want %v", got, row.want)
			}
			if len(got) > 0 && !strings.Contains(got[0].Message, row.words) {
				t.Errorf("%q is not said in: %s", row.words, got[0].Message)
			}
		})
	}
}

// TestRepeatsAreNoChange: a wine read again in another cell, with the errors that
// instrument and cell have, seldom counts as changed: each of three wavelengths
// does in 0.3 % of repeats.
func TestRepeatsAreNoChange(t *testing.T) {
	const repeats = 20000
	random := rand.New(rand.NewPCG(6, 7))
	read := func(per10MM [3]float64, pathMM float64) Measurement {
		path := pathMM / 10 * (1 + 0.01*random.NormFloat64())
		one := func(a float64) float64 { return a*path + 0.002*random.NormFloat64() }
		return in(pathMM, 1, three(one(per10MM[0]), one(per10MM[1]), one(per10MM[2])))
	}
	var changes int
	for range repeats {
		a520 := 0.02 * math.Pow(100, random.Float64())
		wine := [3]float64{a520 * (0.6 + random.Float64()), a520, 0.2 * a520}
		before, _ := read(wine, 10).asRead()
		now, _ := read(wine, 5).asRead()
		if _, ok := changed(now, before, Instant{}); ok {
			changes++
		}
	}
	if share := float64(changes) / repeats; share < 0.001 || share > 0.009 {
		t.Errorf("%.4f of repeats count as changed, want 0.001 to 0.009", share)
	}
}

func BenchmarkSuspicions(b *testing.B) {
	now, before := Reading{Measurement: in(1, 1, three(0.431, 0.592, 0.102))}, Reading{Measurement: in(1, 1, three(0.430, 0.590, 0.103))}
	for b.Loop() {
		Suspicions(Red, now, &before)
	}
}

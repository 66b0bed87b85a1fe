package reading

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/difference"
)

func codes(list []colour.Warning) (out []string) {
	for _, w := range list {
		out = append(out, w.Code)
	}
	return out
}

// wantWords checks that the one warning with that code says these words.
func wantWords(t *testing.T, list []colour.Warning, code string, words ...string) {
	t.Helper()
	for _, w := range list {
		if w.Code != code {
			continue
		}
		for _, word := range words {
			if !strings.Contains(w.Message, word) {
				t.Errorf("%s does not say %q: %s", code, word, w.Message)
			}
		}
		return
	}
	t.Errorf("no %s in %v", code, codes(list))
}

func TestReadingsSuspicions(t *testing.T) {
	for _, row := range []struct {
		name  string
		r     Readings
		want  []string
		words []string
	}{
		{"white", Readings{Cell: neat(10), A420: 0.142, A520: 0.018, A620: 0.005}, nil, nil},
		{"red in 1 mm", Readings{Cell: neat(1), A420: 0.431, A520: 0.592, A620: 0.102}, nil, nil},
		{"at the limit", Readings{Cell: neat(10), A420: 1.9, A520: 2, A620: 0.4}, nil, nil},
		{"red in 10 mm", Readings{Cell: neat(10), A420: 2.1, A520: 2.9, A620: 0.6}, []string{"near_saturation"}, []string{"520 nm", "10 mm cell", "2 mm cell", "0.58", "0.13 %"}},
		{"black in 1 mm", Readings{Cell: neat(1), A420: 2.5, A520: 2.2, A620: 0.6}, []string{"near_saturation"}, []string{"420 nm", "dilute", "model wine"}},
		{"thinner than any", Readings{Cell: neat(0.5), A420: 2.5, A520: 2.2, A620: 0.6}, []string{"near_saturation"}, []string{"dilute"}},
		{"further one", Readings{Cell: neat(10), A420: 1, A520: 1.2, A620: 0.3, Extra: []At{{460, 2.4}}}, []string{"near_saturation"}, []string{"460 nm"}},
		{"swapped", Readings{Cell: neat(10), A420: 0.1, A520: 0.06, A620: 0.2}, []string{"blue_above_red"}, []string{"swapped"}},
		{"noise", Readings{Cell: neat(10), A420: 0.01, A520: 0.003, A620: 0.005}, nil, nil},
		{"turbid white", Readings{Cell: neat(10), A420: 0.2, A520: 0.09, A620: 0.07, Extra: []At{{700, 0.06}, {750, 0.05}}}, []string{"raised_baseline"}, []string{"0.055", "Clarify", "no source"}},
		{"clear white", Readings{Cell: neat(10), A420: 0.14, A520: 0.02, A620: 0.01, Extra: []At{{700, 0.012}}}, nil, nil},
		{"below 700 nm", Readings{Cell: neat(10), A420: 0.2, A520: 0.09, A620: 0.07, Extra: []At{{690, 0.06}}}, nil, nil},
		{"red's own tail", Readings{Cell: neat(1), A420: 0.43, A520: 0.6, A620: 0.12, Extra: []At{{700, 0.03}}}, nil, nil},
		{"turbid red", Readings{Cell: neat(1), A420: 0.43, A520: 0.6, A620: 0.12, Extra: []At{{700, 0.05}}}, []string{"raised_baseline"}, []string{"0.500 per 10 mm", "0.320"}},
		{"instrument's own", Readings{Cell: neat(1), A420: 0.01, A520: 0.002, A620: 0.001, Extra: []At{{700, 0.005}}}, nil, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			row.r.UAbsorbance = DefaultU
			if err := row.r.Validate(); err != nil {
				t.Fatal(err)
			}
			got := row.r.Suspicions()
			if !slices.Equal(codes(got), row.want) {
				t.Fatalf("got %v, want %v", codes(got), row.want)
			}
			if len(row.want) > 0 {
				wantWords(t, got, row.want[0], row.words...)
			}
		})
	}
}

func TestScanSuspicions(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(nm float64) float64 // absorbance
		cell   Cell
		want   []string
	}{
		{"white", func(nm float64) float64 { return 0.12 * math.Exp(-(nm-420)/60) }, neat(10), nil},
		{"turbid", func(nm float64) float64 { return 0.12*math.Exp(-(nm-420)/60) + 0.03 }, neat(10), []string{"raised_baseline"}},
		{"beyond the visible", func(nm float64) float64 { return 0.12*math.Exp(-(nm-420)/60) + 0.2*math.Max(0, nm-850)/100 }, neat(10), nil},
		{"saturated in the violet only", func(nm float64) float64 { return 1.5 * math.Exp(-(nm-400)/30) }, neat(10), nil},
		{"saturated", func(nm float64) float64 { return 3 * math.Exp(-math.Pow((nm-520)/50, 2)) }, neat(10), []string{"near_saturation"}},
		{"blue", func(nm float64) float64 { return 0.5 * math.Exp(-math.Pow((nm-620)/40, 2)) }, neat(10), []string{"blue_above_red"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := scanOf(380, 1000, 2)
			s.Cell, s.UAbsorbance = row.cell, DefaultU
			for i, nm := range s.NM {
				s.Absorbance[i] = row.change(nm)
			}
			if err := s.Validate(); err != nil {
				t.Fatal(err)
			}
			if got := codes(s.Suspicions()); !slices.Equal(got, row.want) {
				t.Errorf("got %v, want %v", got, row.want)
			}
		})
	}
}

// TestBaselineLimit: the baseline that is let pass darkens a white by about
// ΔE00 1, as its comment says.
func TestBaselineLimit(t *testing.T) {
	v := cie.OIV()
	weighting, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		t.Fatal(err)
	}
	var clear, turbid cie.Curve
	for i := range clear {
		clear[i] = 0.12 * math.Exp(-(cie.Wavelength(i)-420)/60)
		turbid[i] = clear[i] + baselineLimit
	}
	l0, a0, b0 := weighting.AbsorbanceLab(&clear, v.DepthMM)
	l1, a1, b1 := weighting.AbsorbanceLab(&turbid, v.DepthMM)
	if got := difference.DeltaE00(l0, a0, b0, l1, a1, b1); !colourtest.Near(got, 1, 0.15, 0) {
		t.Errorf("a baseline of %g costs ΔE00 %.2f", baselineLimit, got)
	}
}

func TestDilutionWarnings(t *testing.T) {
	for _, c := range []Cell{neat(10), {PathMM: 10, Dilution: 10}} {
		w, ok := DiluentNotGiven(c)
		if ok != (c.Dilution > 1) {
			t.Errorf("DiluentNotGiven(%v) = %v %v", c, w, ok)
		}
		red, ok := DilutedRed(c)
		if ok != (c.Dilution > 1) {
			t.Errorf("DilutedRed(%v) = %v %v", c, red, ok)
		}
		if ok {
			wantWords(t, []colour.Warning{w, red}, "diluent_not_given", "dilution 10", "State the diluent")
			wantWords(t, []colour.Warning{w, red}, "diluted_red", "10-fold", "copigmentation", "1 mm cell")
		}
	}
}

func TestBetterCell(t *testing.T) {
	for _, row := range []struct{ path, a, want float64 }{
		{10, 0.5, 10}, {10, 5, 1}, {10, 2.9, 2}, {1, 0.05, 10}, {10, 0.01, 20}, {10, -0.01, 20}, {20, 2, 5}, {0.5, 2.5, 0.5}, {0.5, 0.2, 1},
	} {
		if got := BetterCell(row.path, row.a); got != row.want {
			t.Errorf("%g in %g mm: %g mm cell, want %g", row.a, row.path, got, row.want)
		}
	}
}

func TestScanAt(t *testing.T) {
	s := Scan{NM: []float64{400, 410, 430}, Absorbance: []float64{1, 2, 6}}
	for nm, want := range map[float64]float64{400: 1, 405: 1.5, 410: 2, 425: 5, 430: 6} {
		if got := s.At(nm); !colourtest.Near(got, want, 1e-12, 0) {
			t.Errorf("At(%g) = %g, want %g", nm, got, want)
		}
	}
	if !math.IsNaN(s.At(399)) || !math.IsNaN(s.At(431)) || !math.IsNaN(Scan{}.At(520)) {
		t.Error("a value outside the scan")
	}
}

func ExampleReadings_Suspicions() {
	red := Readings{Cell: Cell{PathMM: 10, Dilution: 1}, A420: 2.1, A520: 2.9, A620: 0.6, UAbsorbance: DefaultU}
	for _, w := range red.Suspicions() {
		fmt.Println(w.Code)
	}
	// Output: near_saturation
}

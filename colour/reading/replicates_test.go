package reading

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/colourtest"
)

// TestGrubbsCriticalValues holds the critical values against ISO 5725-2:1994,
// table 5, one largest or one smallest observation, upper 1 % and upper 5 %. The
// figures are from memory and agree with three secondary copies of the table;
// they are rounded, some by a unit too far.
func TestGrubbsCriticalValues(t *testing.T) {
	for _, row := range []struct {
		n              int
		upper1, upper5 float64
	}{
		{3, 1.155, 1.155}, {4, 1.496, 1.481}, {5, 1.764, 1.715}, {6, 1.973, 1.887}, {7, 2.139, 2.020},
		{8, 2.274, 2.126}, {9, 2.387, 2.215}, {10, 2.482, 2.290}, {11, 2.564, 2.355}, {12, 2.636, 2.412},
		{13, 2.699, 2.462}, {14, 2.755, 2.507}, {15, 2.806, 2.549}, {16, 2.852, 2.585}, {17, 2.894, 2.620},
		{18, 2.932, 2.651}, {19, 2.968, 2.681}, {20, 3.001, 2.709}, {21, 3.031, 2.733}, {22, 3.060, 2.758},
		{23, 3.087, 2.781}, {24, 3.112, 2.802}, {25, 3.135, 2.822}, {30, 3.236, 2.908}, {40, 3.381, 3.036},
	} {
		if got := GrubbsCritical(row.n, 0.01); !colourtest.Near(got, row.upper1, 0.001, 0) {
			t.Errorf("n = %d, 1 %%: %.4f, the table has %.3f", row.n, got, row.upper1)
		}
		if got := GrubbsCritical(row.n, 0.05); !colourtest.Near(got, row.upper5, 0.001, 0) {
			t.Errorf("n = %d, 5 %%: %.4f, the table has %.3f", row.n, got, row.upper5)
		}
	}
	for _, none := range []float64{GrubbsCritical(2, 0.05), GrubbsCritical(5, 0), GrubbsCritical(5, 1), GrubbsCritical(5, math.NaN())} {
		if !math.IsNaN(none) {
			t.Errorf("a critical value where there is none: %g", none)
		}
	}
}

// TestGrubbsSize counts how often the test flags sets in which nothing is wrong:
// as often as its levels say.
func TestGrubbsSize(t *testing.T) {
	const sets = 40000
	random := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{3, 5, 10} {
		values := make([]float64, n)
		var flagged, outliers float64
		for range sets {
			for i := range values {
				values[i] = 0.5 + 0.002*random.NormFloat64()
			}
			if s, ok := Grubbs(values); ok {
				flagged++
				if s.Level == Outlier {
					outliers++
				}
			}
		}
		// Four standard deviations of such a count.
		if !colourtest.Near(flagged/sets, 0.05, 4*math.Sqrt(0.05*0.95/sets), 0) || !colourtest.Near(outliers/sets, 0.01, 4*math.Sqrt(0.01*0.99/sets), 0) {
			t.Errorf("n = %d: %.4f flagged, %.4f of them outliers; want 0.05 and 0.01", n, flagged/sets, outliers/sets)
		}
	}
}

func TestGrubbs(t *testing.T) {
	for _, row := range []struct {
		name   string
		values []float64
		level  Level // "" where none is wanted
		index  int
		g      float64
	}{
		// Uranium isotopes: Tietjen and Moore, Technometrics 14 (1972), by way of
		// the NIST/SEMATECH e-Handbook, 1.3.5.17.1, which gives G = 2.4687; of the rest
		// the statistics module of Python gave G.
		{"published", []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}, Outlier, 7, 2.4687},
		{"smallest", []float64{0.512, 0.513, 0.511, 0.489, 0.512, 0.513}, Outlier, 3, 2.0349},
		{"straggler", []float64{0.510, 0.511, 0.511, 0.519}, Straggler, 3, 1.4905},
		{"scatter", []float64{0.510, 0.511, 0.512, 0.514}, "", 0, 0},
		{"two", []float64{0.1, 0.9}, "", 0, 0},
		{"one", []float64{0.1}, "", 0, 0},
		{"none", nil, "", 0, 0},
		{"equal", []float64{0.1, 0.1, 0.1, 0.1}, "", 0, 0},
		{"equal but for the arithmetic", []float64{0.3, math.Nextafter(0.3, 1), 0.3, 0.3}, "", 0, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			s, ok := Grubbs(row.values)
			if ok != (row.level != "") || s.Level != row.level || s.Index != row.index || !colourtest.Near(s.G, row.g, 1e-4, 0) {
				t.Errorf("got %+v %v, want %s at %d with G = %.4f", s, ok, row.level, row.index, row.g)
			}
			if ok && s.G <= s.Critical {
				t.Errorf("%g is not above the critical value %g", s.G, s.Critical)
			}
		})
	}
}

// TestSpread holds mean and standard deviation against the certified values of
// two sets of the NIST Statistical Reference Datasets, univariate: NumAcc1 (mean
// 10000002, standard deviation 1) and NumAcc2 (1.2 and 0.1), from memory.
func TestSpread(t *testing.T) {
	if s := SpreadOf([]float64{10000001, 10000003, 10000002}); s.N != 3 || s.Mean != 10000002 || s.SD != 1 {
		t.Errorf("NumAcc1: %+v", s)
	}
	values := []float64{1.2}
	for range 500 {
		values = append(values, 1.1, 1.3)
	}
	if s := SpreadOf(values); s.N != 1001 || !colourtest.Near(s.Mean, 1.2, 1e-13, 0) || !colourtest.Near(s.SD, 0.1, 1e-13, 0) {
		t.Errorf("NumAcc2: %+v", s)
	}
	if s := SpreadOf([]float64{0.4}); s.N != 1 || s.Mean != 0.4 || !math.IsNaN(s.SD) {
		t.Errorf("a single value: %+v", s)
	}
}

// TestPooledSD: variances join by their degrees of freedom; the mean does not
// matter, and single readings tell nothing.
func TestPooledSD(t *testing.T) {
	spreads := []Spread{
		SpreadOf([]float64{0.1, 0.3}),                           // variance 0.02, 1 degree
		SpreadOf([]float64{5, 5.1, 5.2}),                        // variance 0.01, 2 degrees
		SpreadOf([]float64{9}), {N: 1, Mean: 1, SD: math.NaN()}, // none
	}
	sd, degrees := PooledSD(spreads)
	if want := math.Sqrt((0.02 + 2*0.01) / 3); degrees != 3 || !colourtest.Near(sd, want, 1e-12, 0) {
		t.Errorf("got %g with %d degrees of freedom, want %g with 3", sd, degrees, want)
	}
	if sd, degrees := PooledSD(spreads[2:]); degrees != 0 || !math.IsNaN(sd) {
		t.Errorf("single readings give %g with %d degrees of freedom", sd, degrees)
	}
}

func ExampleGrubbs() {
	a520 := []float64{0.512, 0.513, 0.511, 0.489, 0.512, 0.513}
	if s, ok := Grubbs(a520); ok {
		fmt.Printf("%s: number %d, G = %.3f above %.3f\n", s.Level, s.Index+1, s.G, s.Critical)
	}
	// Output: outlier: number 4, G = 2.035 above 1.973
}

func BenchmarkGrubbs(b *testing.B) {
	values := []float64{0.512, 0.513, 0.511}
	for b.Loop() {
		Grubbs(values)
	}
}

package spectrum

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/reading"
)

var rose = reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: 0.142, A520: 0.118, A620: 0.021, UAbsorbance: 0.002}

func mustReadings(t testing.TB, r reading.Readings) Wine {
	t.Helper()
	w, err := FromReadings(r)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func mustColour(t testing.TB, w Wine, v cie.View) Colour {
	t.Helper()
	c, err := w.Colour(v)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestReadingsComeBack: whatever was read is what the spectrum holds, for
// likely and for odd readings.
func TestReadingsComeBack(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		r := reading.Readings{
			Cell: reading.Cell{PathMM: []float64{1, 2, 5, 10, 20}[random.IntN(5)], Dilution: 1 + 9*random.Float64()},
			A420: random.Float64(), A520: random.Float64(), A620: 0.3 * random.Float64(), UAbsorbance: 0.002,
		}
		for _, nm := range []float64{460, 563.5, 600} {
			if random.IntN(2) == 0 {
				r.Extra = append(r.Extra, reading.At{NM: nm, Absorbance: random.Float64()})
			}
		}
		w := mustReadings(t, r)
		for _, at := range r.All() {
			want := at.Absorbance * r.Dilution * 10 / r.PathMM
			if got := w.At(at.NM); !colourtest.Near(got, want, 1e-9*(1+want), 0) {
				t.Fatalf("At(%g) = %g, want %g (readings %+v)", at.NM, got, want, r)
			}
		}
	}
}

// TestBeerLambert: the same wine read in another cell or diluted is the same
// wine, and twice the depth is twice the absorbance.
func TestBeerLambert(t *testing.T) {
	neat := mustReadings(t, rose)
	other := rose
	other.PathMM, other.Dilution = 20, 4
	other.A420, other.A520, other.A620 = rose.A420/2, rose.A520/2, rose.A620/2
	same := mustReadings(t, other)
	for i := range neat.Absorbance {
		if !colourtest.Near(same.Absorbance[i], neat.Absorbance[i], 1e-12, 0) {
			t.Fatalf("absorbance %d = %g in another cell, want %g", i, same.Absorbance[i], neat.Absorbance[i])
		}
	}
	deep := cie.OIV()
	deep.DepthMM = 20
	twice := neat
	for i := range twice.Absorbance {
		twice.Absorbance[i] *= 2
	}
	a, b := mustColour(t, neat, deep).Lab, mustColour(t, twice, cie.OIV()).Lab
	if !colourtest.Near(a.L, b.L, 1e-9, 0) || !colourtest.Near(a.A, b.A, 1e-9, 0) || !colourtest.Near(a.B, b.B, 1e-9, 0) {
		t.Errorf("at 20 mm %v, twice the absorbance %v", a, b)
	}
}

func TestWaterIsClear(t *testing.T) {
	w := mustReadings(t, reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, UAbsorbance: 0.002})
	c := mustColour(t, w, cie.OIV())
	if c.Lab.L != 100 || c.Lab.A != 0 || c.Lab.B != 0 {
		t.Errorf("no absorbance gives %v, want 100 0 0", c.Lab)
	}
	if !math.IsNaN(c.Indices.Tint) || !math.IsNaN(c.Uncertainty.Tint) {
		t.Errorf("tint of water = %g ± %g, want NaN", c.Indices.Tint, c.Uncertainty.Tint)
	}
}

func closedForm(nm float64) float64 {
	return 0.9*bell(nm, 520, 45) + 0.7*bell(nm, 420, 40) + 0.05
}

func scanOf(first, last, step float64) reading.Scan {
	s := reading.Scan{Cell: reading.Cell{PathMM: 10, Dilution: 1}, UAbsorbance: 0.002}
	for nm := first; nm <= last+1e-9; nm += step {
		s.NM = append(s.NM, nm)
		s.Absorbance = append(s.Absorbance, closedForm(nm))
	}
	return s
}

// TestClosedFormRed: a scan of a closed-form red, at several steps, has the
// colour that the sum at 5 nm has. Source of the figures: computed by an
// independent program from T = 10^-(0.9 exp(-((λ-520)/45)²/2) + 0.7
// exp(-((λ-420)/40)²/2) + 0.05), 5 nm, 380-780 nm, D65/10°.
func TestClosedFormRed(t *testing.T) {
	for _, row := range []struct {
		name              string
		first, last, step float64
		tolerance         float64
	}{
		{"grid", 380, 780, 5, 1e-4}, {"1 nm", 380, 780, 1, 1e-4}, {"from the ultraviolet", 300, 900, 2, 1e-4},
		{"off the grid", 378.3, 782, 3.7, 2e-3}, {"10 nm", 380, 780, 10, 2e-2}, {"400-700", 400, 700, 5, 0.1},
	} {
		t.Run(row.name, func(t *testing.T) {
			w, err := FromScan(scanOf(row.first, row.last, row.step))
			if err != nil {
				t.Fatal(err)
			}
			lab := mustColour(t, w, cie.OIV()).Lab
			if !colourtest.Near(lab.L, 60.4353, row.tolerance, 0) || !colourtest.Near(lab.A, 45.5749, row.tolerance, 0) || !colourtest.Near(lab.B, 27.8578, row.tolerance, 0) {
				t.Errorf("L*a*b* = %.4f %.4f %.4f, want 60.4353 45.5749 27.8578 ± %g", lab.L, lab.A, lab.B, row.tolerance)
			}
			filled := len(w.Warnings) > 0 && w.Warnings[0].Code == "ends_filled"
			if want := row.first > 380 || row.last < 780; filled != want {
				t.Errorf("warnings %v; filled ends: want %v", w.Warnings, want)
			}
		})
	}
}

// TestIndicesPublished: OIV's and Glories' indices of 45 published reds follow
// from their absorbances. Source: testdata/wine/ribera_toro_red.csv.
func TestIndicesPublished(t *testing.T) {
	rows := colourtest.Rows(t, "wine/ribera_toro_red.csv")
	if len(rows) != 45 {
		t.Fatalf("%d rows, want 45 wines", len(rows))
	}
	for _, row := range rows {
		number := func(i int) float64 { return colourtest.Number(t, row[i]) }
		w := mustReadings(t, reading.Readings{Cell: reading.Cell{PathMM: 1, Dilution: 1}, A420: number(4) / 10, A520: number(5) / 10, A620: number(6) / 10, UAbsorbance: 0.002})
		ix := w.Indices()
		if !colourtest.Near(ix.Intensity, number(2), 0.005, 0) || !colourtest.Near(ix.A420+ix.A520, number(1), 0.005, 0) {
			t.Errorf("%s: intensity %.3f, want %.2f", row[0], ix.Intensity, number(2))
		}
		if !colourtest.Near(ix.Tint, number(3), 0.0005, 0) {
			t.Errorf("%s: tint %.4f, want %.3f", row[0], ix.Tint, number(3))
		}
		// Shares from the published density and hue alone, not from the absorbances.
		red := 100 * number(1) / (1 + number(3)) / number(2)
		if !colourtest.Near(ix.RedPercent, red, 0.05, 0) || !colourtest.Near(ix.YellowPercent, red*number(3), 0.05, 0) || !colourtest.Near(ix.RedPercent+ix.YellowPercent+ix.BluePercent, 100, 1e-9, 0) {
			t.Errorf("%s: shares %.2f %.2f %.2f, want red %.2f yellow %.2f", row[0], ix.YellowPercent, ix.RedPercent, ix.BluePercent, red, red*number(3))
		}
	}
}

// TestUncertaintyByMonteCarlo checks the first-order uncertainty of readings
// against draws (JCGM 101:2008): the readings are varied, the shape is not.
func TestUncertaintyByMonteCarlo(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 3))
	w := mustReadings(t, rose)
	var onlyReading []Term
	for _, term := range w.Terms {
		if term.Cause == Reading {
			onlyReading = append(onlyReading, term)
		}
	}
	w.Terms = onlyReading
	want := mustColour(t, w, cie.OIV()).Uncertainty
	const n = 2000
	var sums, squares [5]float64
	for range n {
		r := rose
		for _, a := range []*float64{&r.A420, &r.A520, &r.A620} {
			*a += 0.002 * random.NormFloat64()
		}
		c := mustColour(t, mustReadings(t, r), cie.OIV())
		for i, x := range []float64{c.Lab.L, c.Lab.A, c.Lab.B, c.Indices.Intensity, c.Indices.Tint} {
			sums[i] += x
			squares[i] += x * x
		}
	}
	for i, u := range []float64{want.L, want.A, want.B, want.Intensity, want.Tint} {
		sd := math.Sqrt(squares[i]/n - sums[i]*sums[i]/n/n)
		if !colourtest.Near(u/sd, 1, 0.10, 0) { // the standard error of sd is 1.6 %, and the families' weights move with the readings
			t.Errorf("quantity %d: first order %.5f, drawn %.5f", i, u, sd)
		}
	}
}

// TestReadingWindow: the window of OIV-MA-AS2-07B warns where it costs colour,
// TestPolarUncertainty holds the uncertainties of chroma and hue, and the
// correlation of a* and b*, against 20,000 draws (JCGM 101:2008) of the errors of
// a rosé's readings.
func TestPolarUncertainty(t *testing.T) {
	w := mustReadings(t, reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: 0.236, A520: 0.246, A620: 0.051, UAbsorbance: 0.002})
	got := mustColour(t, w, cie.OIV())
	random := rand.New(rand.NewPCG(7, 11))
	const draws = 20000
	var chroma, hue, as, bs [draws]float64
	for i := range draws {
		drawn := Wine{Absorbance: w.Absorbance, Source: w.Source}
		for k := range w.Terms {
			drawn.Absorbance.Add(random.NormFloat64(), &w.Terms[k].Effect)
		}
		l := mustColour(t, drawn, cie.OIV()).Lab
		chroma[i], as[i], bs[i] = l.Chroma(), l.A, l.B
		hue[i] = math.Mod(l.Hue()-got.Lab.Hue()+540, 360) - 180
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"u(C)", got.Uncertainty.C, stat.StdDev(chroma[:], nil)},
		{"u(h)", got.Uncertainty.H, stat.StdDev(hue[:], nil)},
		{"r(a*, b*)", got.Uncertainty.RAB, stat.Correlation(as[:], bs[:], nil)},
	} {
		if !(math.Abs(c.got-c.want) <= 0.03*math.Max(math.Abs(c.want), 0.1)) {
			t.Errorf("%s = %.4f, by draws %.4f", c.name, c.got, c.want)
		}
	}
}

// TestPolarEdges: at chroma 0 there is no hue to be sure of; turned by 90° the
// uncertainties of chroma and hue change places.
func TestPolarEdges(t *testing.T) {
	u := Uncertainty{A: 0.3, B: 0.4}
	grey := u.WithPolar(cie.Lab{L: 90})
	if math.Abs(grey.C-math.Sqrt(0.125)) > 1e-15 || !math.IsNaN(grey.H) {
		t.Errorf("at chroma 0: u(C) = %g, u(h) = %g, want 0.354 and none", grey.C, grey.H)
	}
	red, yellow := u.WithPolar(cie.Lab{A: 10}), u.WithPolar(cie.Lab{B: 10})
	degrees := 180 / math.Pi / 10
	for _, c := range [][2]float64{{red.C, 0.3}, {red.H, 0.4 * degrees}, {yellow.C, 0.4}, {yellow.H, 0.3 * degrees}} {
		if math.Abs(c[0]-c[1]) > 1e-12 {
			t.Errorf("u = %g, want %g", c[0], c[1])
		}
	}
	sure := Uncertainty{A: 1, B: 1, RAB: 1}.WithPolar(cie.Lab{A: 3, B: 3})
	if math.Abs(sure.C-math.Sqrt2) > 1e-12 || sure.H > 1e-6 {
		t.Errorf("along the chroma: u(C) = %g, u(h) = %g, want 1.414 and 0", sure.C, sure.H)
	}
}

// with the cell to use, and not before.
func TestReadingWindow(t *testing.T) {
	for _, row := range []struct {
		name             string
		path             float64
		a420, a520, a620 float64
		words            string // of the warning; empty for none
	}{
		{"pale rosé in 10 mm", 10, 0.142, 0.118, 0.021, ""},
		{"pale rosé in 1 mm", 1, 0.0142, 0.0118, 0.0021, "20 mm cell"},
		{"red in 1 mm", 1, 0.36, 0.50, 0.11, ""},
		{"red in 10 mm, near saturation", 10, 3.6, 4.2, 1.1, "1 mm cell"},
		{"white in 10 mm", 10, 0.10, 0.02, 0.004, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := mustReadings(t, reading.Readings{Cell: reading.Cell{PathMM: row.path, Dilution: 1}, A420: row.a420, A520: row.a520, A620: row.a620, UAbsorbance: 0.002})
			got := ""
			for _, warning := range w.Warnings {
				if warning.Code == "reading_window" {
					got = warning.Message
				}
			}
			if (got == "") != (row.words == "") || !strings.Contains(got, row.words) {
				t.Errorf("warning %q, want one with %q", got, row.words)
			}
		})
	}
}

// TestOneAdvice: whatever the wine, the two further readings that it is advised are those
// that are advised everywhere.
func TestOneAdvice(t *testing.T) {
	n := 0
	for _, intensity := range []float64{0.05, 0.1, 0.2, 0.4, 0.8, 2, 4} {
		for _, tint := range []float64{0.5, 0.7, 0.9, 1.2, 1.6, 2.5} {
			for _, blue := range []float64{0.06, 0.1, 0.14} {
				a520 := intensity * (1 - blue) / (1 + tint)
				r := reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: tint * a520, A520: a520, A620: blue * intensity, UAbsorbance: 0.002}
				if intensity > 1.5 { // a red, in a short cell
					r.PathMM, r.A420, r.A520, r.A620 = 1, r.A420/10, r.A520/10, r.A620/10
				}
				w := mustReadings(t, r)
				i := slices.IndexFunc(w.Warnings, func(x colour.Warning) bool { return x.Code == "few_readings" })
				if i < 0 {
					continue
				}
				n++
				if !strings.Contains(w.Warnings[i].Message, "Readings at 460 and 570 nm as well") {
					t.Errorf("intensity %g, tint %g: %s", intensity, tint, w.Warnings[i].Message)
				}
			}
		}
	}
	if n < 50 {
		t.Errorf("%d wines are told, too few to tell anything", n)
	}
}

// TestFewReadingsAdvice: a neat red with three readings is told what two more
// would buy, and with them the warning is gone.
func TestFewReadingsAdvice(t *testing.T) {
	r := reading.Readings{Cell: reading.Cell{PathMM: 1, Dilution: 1}, A420: 0.36, A520: 0.50, A620: 0.11, UAbsorbance: 0.002}
	has := func(w Wine) bool {
		for _, x := range w.Warnings {
			if x.Code == "few_readings" {
				return true
			}
		}
		return false
	}
	w := mustReadings(t, r)
	if !has(w) {
		t.Errorf("warnings %v, want few_readings", w.Warnings)
	}
	before := w.cost(Shape)
	r.Extra = []reading.At{{NM: 460, Absorbance: 0.37}, {NM: 570, Absorbance: 0.31}}
	w = mustReadings(t, r)
	if has(w) {
		t.Errorf("with 460 and 570 nm still warned: %v", w.Warnings)
	}
	if after := w.cost(Shape); !(after < before/2) {
		t.Errorf("shape costs ΔE00 %.2f with two more readings, %.2f without", after, before)
	}
}

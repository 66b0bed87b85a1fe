package conform

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// bell is a smooth curve about a wavelength.
func bell(height, centreNM, widthNM float64) (c cie.Curve) {
	for i := range c {
		d := (cie.FirstNM + cie.StepNM*float64(i) - centreNM) / widthNM
		c[i] = height * math.Exp(-d*d/2)
	}
	return c
}

func sum(curves ...cie.Curve) (out cie.Curve) {
	for _, c := range curves {
		for i, v := range c {
			out[i] += v
		}
	}
	return out
}

func times(c cie.Curve, by float64) cie.Curve {
	for i := range c {
		c[i] *= by
	}
	return c
}

// rosé is a wine with errors of reading and of shape; turn mixes its two shape
// errors among themselves, which changes nothing of what they stand for.
func rosé(shape, readingU, turn float64, method string) *spectrum.Wine {
	sin, cos := math.Sincos(turn)
	one, two := bell(shape, 465, 20), bell(shape/2, 570, 18)
	return &spectrum.Wine{
		Absorbance: sum(bell(0.25, 400, 60), bell(0.22, 525, 40)),
		Source:     spectrum.Readings,
		Method:     method,
		Terms: []spectrum.Term{
			{Cause: spectrum.Reading, Effect: bell(readingU, 420, 40)},
			{Cause: spectrum.Reading, Effect: bell(readingU, 520, 40)},
			{Cause: spectrum.Shape, Effect: sum(times(one, cos), times(two, sin))},
			{Cause: spectrum.Shape, Effect: sum(times(one, -sin), times(two, cos))},
		},
	}
}

func covariance(columns []column) (c [dims]state) {
	for _, col := range columns {
		for i, a := range col.effect {
			for j, b := range col.effect {
				c[i][j] += a * b
			}
		}
	}
	return c
}

// The nine columns that are drawn from have the covariance of all the errors.
func TestFactorKeepsCovariance(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	columns := make([]column, 30)
	for k := range columns {
		for i := range columns[k].effect {
			columns[k].effect[i] = r.NormFloat64() * math.Pow(10, float64(i%4)-2)
		}
		columns[k].effect[4] = 0 // one exact quantity
	}
	f := factorOf(columns)
	want := covariance(columns)
	var drawn []column
	for k := range f.rank {
		drawn = append(drawn, column{effect: f.columns[k]})
	}
	got := covariance(drawn)
	for i := range got {
		for j := range got[i] {
			if !near(got[i][j], want[i][j], 1e-9*math.Sqrt(want[i][i]*want[j][j]), 0) {
				t.Errorf("covariance[%d][%d] = %g, want %g", i, j, got[i][j], want[i][j])
			}
		}
	}
	if f.rank != dims-1 {
		t.Errorf("rank = %d, want %d", f.rank, dims-1)
	}
}

// Sharing changes what sample and reference have in common, never what each is
// uncertain by; a turn of the reference's terms changes nothing at all.
func TestSharedShape(t *testing.T) {
	colourOf := func(w *spectrum.Wine) *side {
		var faults colour.FieldErrors
		s := seen(nil, w, cie.OIV(), "wine", &faults)
		if s == nil {
			t.Fatal(faults)
		}
		return s
	}
	sample := colourOf(rosé(0.02, 0.002, 0, "readings 420 520 620"))
	alone := covariance(append(sample.own(0, false), sample.own(reference, false)...))
	for _, turn := range []float64{0, 0.7, 2, -1.3} {
		ref := colourOf(rosé(0.02, 0.002, turn, "readings 420 520 620"))
		got := covariance(jointColumns(sample, ref, false))
		for i := range got {
			for j := range got[i] {
				if (i < reference) != (j < reference) {
					continue
				}
				if !near(got[i][j], alone[i][j], 1e-12, 1e-9) {
					t.Fatalf("turn %g: covariance[%d][%d] = %g, by itself %g", turn, i, j, got[i][j], alone[i][j])
				}
			}
		}
		// Of the shape's variance of the difference, 2(1-ρ) is left; the
		// readings' stays twice that of one side.
		for i := range absorbing {
			var ofReading, ofShape float64
			for _, c := range sample.own(0, false) {
				if c.cause == spectrum.Shape {
					ofShape += c.effect[i] * c.effect[i]
				} else {
					ofReading += c.effect[i] * c.effect[i]
				}
			}
			variance := got[i][i] + got[i+reference][i+reference] - 2*got[i][i+reference]
			if want := 2*ofReading + 2*(1-shapeCorrelation)*ofShape; !near(variance, want, 1e-12, 1e-6) {
				t.Errorf("turn %g: variance of difference %d = %g, want %g", turn, i, variance, want)
			}
		}
	}

	// Fewer terms on one side: the marginals still hold.
	short := rosé(0.02, 0.002, 0, "readings 420 520 620")
	short.Terms = short.Terms[:3]
	ref := colourOf(short)
	got, own := covariance(jointColumns(sample, ref, false)), covariance(append(sample.own(0, false), ref.own(reference, false)...))
	for i := range got {
		if !near(got[i][i], own[i][i], 1e-12, 1e-9) {
			t.Errorf("one term less: variance %d = %g, by itself %g", i, got[i][i], own[i][i])
		}
	}
	ref = colourOf(rosé(0.02, 0.002, 0, "spectrum"))
	if got := covariance(jointColumns(sample, ref, false)); got[0][reference] != 0 {
		t.Errorf("methods differ, yet L* of sample and reference have covariance %g", got[0][reference])
	}
}

// A reference read like the sample makes the difference surer.
func TestLikeWithLike(t *testing.T) {
	lot := Sample{Wine: rosé(0.02, 0.0005, 0, "readings 420 520 620")}
	spec := func(method string) Spec {
		return Spec{Reference: &Reference{Wine: rosé(0.02, 0.0005, 0.5, method)}, Tolerance: 1.2, Rule: Guarded, MaxRisk: 0.05}
	}
	like, unlike := judge(t, spec("readings 420 520 620"), lot), judge(t, spec("spectrum"), lot)
	t.Logf("read alike %.3f ± %.3f, not alike %.3f ± %.3f", like.Probability, like.ProbabilitySE, unlike.Probability, unlike.ProbabilitySE)
	if !(like.Probability > unlike.Probability+0.1) || like.Verdict != Pass {
		t.Errorf("probability %g when read alike (%s), %g when not", like.Probability, like.Verdict, unlike.Probability)
	}
	if hasWarning(like, "methods_differ") != "" || !strings.Contains(hasWarning(unlike, "methods_differ"), "readings 420 520 620") {
		t.Errorf("warnings read alike %v, not alike %v", like.Warnings, unlike.Warnings)
	}
	if unlike.DominantCause != spectrum.Shape {
		t.Errorf("DominantCause = %q, want shape", unlike.DominantCause)
	}
}

func hasWarning(j Judgement, code string) string {
	for _, w := range j.Warnings {
		if w.Code == code {
			return w.Message
		}
	}
	return ""
}

// isotropic makes independent errors of L*, a* and b* that all move ΔE00 by u
// near the grey L* 50, where a* counts 1.5 times and the weights are 1.
func isotropic(u float64) []column {
	var out []column
	for i, s := range [absorbing]float64{u, u / 1.5, u} {
		c := column{cause: spectrum.Reading}
		c.effect[i] = s
		out = append(out, c)
	}
	return out
}

var grey = state{50, 0, 0, 0, 0, 0, 50, 0, 0}

// On the reference ΔE00/u is the length of three standard normal numbers. Its
// quantiles are the roots of those of chi-square with 3 degrees of freedom:
// 2.366 (50 %), 6.251 (90 %), 7.815 (95 %), 11.345 (99 %). Source: any table of
// chi-square (from memory). So a tolerance below 2.80 u cannot be passed at 95 %.
func TestChiSquare(t *testing.T) {
	const u = 0.02 // small, so that the formula's weights stay at 1
	f := factorOf(isotropic(u))
	for _, c := range []struct{ chiSquare, want float64 }{{2.366, 0.50}, {6.251, 0.90}, {7.815, 0.95}, {11.345, 0.99}} {
		got := f.probability([]part{{DeltaE00, 0, u * math.Sqrt(c.chiSquare)}}, &grey, Draws)
		if !near(got.all, c.want, 0.003, 0) || !(got.allSE < 0.005) {
			t.Errorf("ΔE00 within %.3f u: probability %g ± %g, want %g", math.Sqrt(c.chiSquare), got.all, got.allSE, c.want)
		}
	}
	for _, c := range []struct {
		tolerance float64 // in u
		never     bool
	}{{1, true}, {2.7, true}, {2.9, false}, {5, false}} {
		j := judged{spec: Spec{Rule: Guarded, MaxRisk: 0.05, Tolerance: c.tolerance * u}, middle: grey, factor: f}
		j.parts = j.spec.parts()
		j.ref = &side{}
		j.middle[1] += 10 * u
		if best := j.best(); (best < 0.95) != c.never {
			t.Errorf("tolerance %g u: best probability %g, can never pass %t, want %t", c.tolerance, best, best < 0.95, c.never)
		}
	}
}

// The draws against plain random ones, for a rosé with correlated errors on
// both sides and several parts at once.
func TestDrawsAgainstMonteCarlo(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	var worst, stated float64
	for round := range 12 {
		columns := make([]column, 12)
		for k := range columns {
			for i := range columns[k].effect {
				size := 0.2
				if i >= absorbing && i < reference {
					size = 0.002
				}
				columns[k].effect[i] = size * r.NormFloat64()
			}
		}
		middle := state{82 + r.Float64(), 12 + r.Float64(), 8, 0.21, 0.22, 0.03, 82, 12, 8}
		parts := []part{{DeltaE00, 0, 1.2}, {Hue, 350, 36}, {Chroma, 13, 15.5}, {Intensity, 0.44, 0.48}, {Tint, 0.9, 1}}
		f := factorOf(columns)
		got := f.probability(parts, &middle, Draws)
		const n = 60000
		met := 0
		for range n {
			x := middle
			for _, c := range columns {
				z := r.NormFloat64()
				for i, e := range c.effect {
					x[i] += z * e
				}
			}
			all := true
			for _, p := range parts {
				all = all && p.met(p.quantity.value(&x))
			}
			if all {
				met++
			}
		}
		want := float64(met) / n
		se := math.Sqrt(want*(1-want)/n) + got.allSE
		worst, stated = max(worst, math.Abs(got.all-want)), max(stated, got.allSE)
		if !near(got.all, want, 4*se+1e-4, 0) {
			t.Errorf("round %d: probability %g ± %g, plain Monte Carlo %g", round, got.all, got.allSE, want)
		}
	}
	t.Logf("largest difference %.2g, largest standard error stated %.2g", worst, stated)
}

// A lot that lies on the edge of the tolerance does not conform by a hair: it
// may be passed with a probability of at most MaxRisk. Its readings scatter
// about it with the stated uncertainty.
func TestFalseAcceptance(t *testing.T) {
	const (
		u       = 0.3
		maxRisk = 0.05
		lots    = 300
	)
	r := rand.New(rand.NewPCG(3, 3))
	columns := []column{ // correlated: reading errors of a rosé move L* and a* together
		{effect: state{-u, 1.2 * u, 0.3 * u}}, {effect: state{0.2 * u, 0.3 * u, u}}, {effect: state{0.5 * u, 0.4 * u, -0.2 * u}},
	}
	f := factorOf(columns)
	target := state{82, 12, 8, 0, 0, 0, 82, 12, 8}
	// One standard uncertainty of ΔE00, as the root mean square near the target.
	var square float64
	for _, c := range columns {
		d := difference.DeltaE00(82, 12, 8, 82+c.effect[0], 12+c.effect[1], 8+c.effect[2])
		square += d * d
	}
	for _, ratio := range []float64{1, 1.5, 2, 3, 4, 5} {
		tolerance := ratio * math.Sqrt(square)
		parts := []part{{DeltaE00, 0, tolerance}}
		accepted := 0
		for range lots {
			x := onEdge(r, target, tolerance)
			for _, c := range columns {
				z := r.NormFloat64()
				for i := range absorbing {
					x[i] += z * c.effect[i]
				}
			}
			if f.probability(parts, &x, coarseDraws).all >= 1-maxRisk {
				accepted++
			}
		}
		rate := float64(accepted) / lots
		t.Logf("tolerance %.1f u: %.3f accepted", ratio, rate)
		// Three standard deviations of a binomial count above the risk.
		if limit := maxRisk + 3*math.Sqrt(maxRisk*(1-maxRisk)/lots); rate > limit {
			t.Errorf("tolerance %g u: %.3f of the lots on the edge pass, more than %g", ratio, rate, maxRisk)
		}
	}
}

// onEdge is a colour in a random direction whose ΔE00 from the target is the
// tolerance.
func onEdge(r *rand.Rand, target state, tolerance float64) state {
	d := [absorbing]float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
	at := func(far float64) state {
		x := target
		for i, v := range d {
			x[i] += far * v
		}
		return x
	}
	near, far := 0.0, 1.0
	for x := at(far); DeltaE00.value(&x) < tolerance; x = at(far) {
		far *= 2
	}
	for range 60 {
		middle := (near + far) / 2
		if x := at(middle); DeltaE00.value(&x) < tolerance {
			near = middle
		} else {
			far = middle
		}
	}
	return at(far)
}

// The draws are the same numbers in every run, as many as are stated, and
// spread like standard normal ones.
func TestDraws(t *testing.T) {
	z := normals()
	if len(z) != Draws || Draws < 16384 {
		t.Fatalf("%d draws, want %d, at least 16384", len(z), Draws)
	}
	for k := range dims {
		var sum, squares, cubes float64
		for _, x := range z {
			sum += x[k]
			squares += x[k] * x[k]
			cubes += x[k] * x[k] * x[k]
		}
		// As many random numbers would scatter by 0.008, 0.011 and 0.030.
		if !near(sum/Draws, 0, 0.004, 0) || !near(squares/Draws, 1, 0.004, 0) || !near(cubes/Draws, 0, 0.03, 0) {
			t.Errorf("coordinate %d: mean %g, mean square %g, mean cube %g, want 0, 1, 0", k, sum/Draws, squares/Draws, cubes/Draws)
		}
		for l := range k {
			var product float64
			for _, x := range z {
				product += x[k] * x[l]
			}
			if !near(product/Draws, 0, 0.005, 0) {
				t.Errorf("coordinates %d and %d: mean product %g, want 0", k, l, product/Draws)
			}
		}
	}
	spec := Spec{Reference: &Reference{Wine: rosé(0.02, 0.002, 0.5, "m")}, Tolerance: 0.6, Rule: Guarded, MaxRisk: 0.05}
	lot := Sample{Wine: rosé(0.02, 0.002, 0, "m")}
	first := judge(t, spec, lot)
	for range 3 {
		if again := judge(t, spec, lot); again.Probability != first.Probability || again.BestProbability != first.BestProbability && !math.IsNaN(first.BestProbability) {
			t.Errorf("the same question gave %g, then %g", first.Probability, again.Probability)
		}
	}
}

func TestNeverPasses(t *testing.T) {
	far := math.Inf(1)
	ref := &Reference{Stated: stated(82, 12, 8, 0, 0)}
	for _, c := range []struct {
		name  string
		spec  Spec
		lot   *spectrum.Stated
		never bool
		says  string
	}{
		// One dimension: 95 % lie within 1.960 u of the middle (normal quantile).
		{"narrow limits", Spec{Limits: map[Quantity][2]float64{L: {80, 80 + 2*1.90*0.3}}}, stated(75, 10, 5, 0.3, 0), true, "rounding"},
		{"wide enough limits", Spec{Limits: map[Quantity][2]float64{L: {80, 80 + 2*2.02*0.3}}}, stated(75, 10, 5, 0.3, 0), false, ""},
		{"open side", Spec{Limits: map[Quantity][2]float64{L: {80, far}}}, stated(75, 10, 5, 0.3, 0), false, ""},
		{"narrow tolerance", Spec{Reference: ref, Tolerance: 0.3}, stated(82, 12, 8, 0.3, 0.3), true, "state one more digit"},
		{"reference outside limits, but room", Spec{Reference: ref, Tolerance: 3, Limits: map[Quantity][2]float64{L: {83, 90}}}, stated(75, 10, 5, 0.2, 0.2), false, ""},
		{"reference far outside limits", Spec{Reference: ref, Tolerance: 1, Limits: map[Quantity][2]float64{L: {90, 95}}}, stated(82, 12, 8, 0.2, 0.2), true, "No lot"},
		{"chroma against a*", Spec{Limits: map[Quantity][2]float64{Chroma: {0, 5}, A: {8, 12}}}, stated(82, 12, 8, 0, 0), true, "contradict each other"},
		{"hue and chroma", Spec{Limits: map[Quantity][2]float64{Chroma: {10, 14}, Hue: {350, 20}}}, stated(82, -12, 8, 0.2, 0.2), false, ""},
		{"one-sided and exact", Spec{Limits: map[Quantity][2]float64{A: {-far, 5}, B: {7, far}}}, stated(82, 12, 0, 0, 0), false, ""},
	} {
		c.spec.Rule, c.spec.MaxRisk = Guarded, 0.05
		j := judge(t, c.spec, Sample{Stated: c.lot})
		if j.Verdict == Pass || j.CanNeverPass != c.never {
			t.Errorf("%s: %s, CanNeverPass = %t (best %g), want %t", c.name, j.Verdict, j.CanNeverPass, j.BestProbability, c.never)
		}
		if text := hasWarning(j, "can_never_pass"); (text != "") != c.never || !strings.Contains(text, c.says) {
			t.Errorf("%s: warning %q, want %q in it", c.name, text, c.says)
		}
	}
}

func TestReferenceOutsideLimits(t *testing.T) {
	ref := &Reference{Stated: stated(82, 12, 8, 0, 0)}
	lot := Sample{Stated: stated(82, 12, 8, 0.05, 0.05)}
	outside := Spec{Reference: ref, Tolerance: 2, Limits: map[Quantity][2]float64{L: {83, 90}, Hue: {350, 40}}, Rule: Simple}
	if text := hasWarning(judge(t, outside, lot), "reference_outside_limits"); !strings.Contains(text, "L is 82, limits 83 to 90") || strings.Contains(text, "h is") {
		t.Errorf("warning %q, want L and not h in it", text)
	}
	inside := Spec{Reference: ref, Tolerance: 2, Limits: map[Quantity][2]float64{L: {82, 90}, Hue: {350, 40}}, Rule: Simple}
	if j := judge(t, inside, lot); len(j.Warnings) != 0 {
		t.Errorf("reference on its own limit: warnings %v", j.Warnings)
	}
}

func TestIntensityAndTint(t *testing.T) {
	wine := rosé(0, 0.002, 0, "m")
	ix := wine.Indices()
	aim, shade := ix.Intensity-0.01, ix.Tint+0.1
	spec := Spec{
		Reference: &Reference{Intensity: &aim, Tint: &shade},
		Limits:    map[Quantity][2]float64{Intensity: {ix.Intensity, 1}, Tint: {0.5, 2}},
		Rule:      Guarded, MaxRisk: 0.05,
	}
	j := judge(t, spec, Sample{Wine: wine})
	// On its lower limit half of the intensity's draws conform.
	if !near(j.Probability, 0.5, 0.005, 0) || j.Verdict != Inconclusive || !j.Results[0].Within {
		t.Errorf("intensity on its limit: %s, probability %g, results %+v", j.Verdict, j.Probability, j.Results)
	}
	c, err := wine.Colour(cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	if !near(j.Results[0].Uncertainty, c.Uncertainty.Intensity, 0, 0.005) || !near(j.Results[1].Uncertainty, c.Uncertainty.Tint, 0, 0.01) {
		t.Errorf("uncertainties %g and %g, by propagation %g and %g", j.Results[0].Uncertainty, j.Results[1].Uncertainty, c.Uncertainty.Intensity, c.Uncertainty.Tint)
	}
	if j.Difference != nil || j.IndexDifference == nil || !near(j.IndexDifference.Intensity, 0.01, 1e-12, 0) || !near(j.IndexDifference.Tint, -0.1, 1e-12, 0) {
		t.Errorf("differences %v and %+v, want none and 0.01, -0.1", j.Difference, j.IndexDifference)
	}
	water := Sample{Wine: &spectrum.Wine{}}
	spec.Rule = Simple
	if j := judge(t, spec, water); j.Verdict != Fail || !math.IsNaN(j.Results[1].Value) || j.Results[1].Within {
		t.Errorf("water: %s, results %+v: it has no tint and must not conform", j.Verdict, j.Results)
	}
}

// Two lots known by three readings each: most of what is uncertain about either
// is the same about both. A scan as reference leaves that open.
func TestReadingsAgainstReadings(t *testing.T) {
	read := func(a420, a520, a620 float64) *spectrum.Wine {
		w, err := spectrum.FromReadings(reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: a420, A520: a520, A620: a620, UAbsorbance: 0.001})
		if err != nil {
			t.Fatal(err)
		}
		return &w
	}
	lot, ref := read(0.205, 0.236, 0.049), read(0.198, 0.231, 0.048)
	spec := Spec{Reference: &Reference{Wine: ref}, Tolerance: 2, Rule: Guarded, MaxRisk: 0.05}
	like := judge(t, spec, Sample{Wine: lot})
	scan := *ref
	scan.Source, scan.Method = spectrum.Scan, string(spectrum.Scan)
	scan.Terms = nil
	spec.Reference = &Reference{Wine: &scan}
	unlike := judge(t, spec, Sample{Wine: lot})
	t.Logf("ΔE00 %.2f: read alike u %.2f, probability %.3f (%s); against a scan u %.2f, probability %.3f (%s)",
		like.Difference.DeltaE00, like.Results[0].Uncertainty, like.Probability, like.DominantCause,
		unlike.Results[0].Uncertainty, unlike.Probability, unlike.DominantCause)
	if !(like.Probability > unlike.Probability) || hasWarning(unlike, "methods_differ") == "" {
		t.Errorf("probability %g read alike, %g against a scan (warnings %v)", like.Probability, unlike.Probability, unlike.Warnings)
	}
}

func BenchmarkJudge(b *testing.B) {
	spec := Spec{
		Reference: &Reference{Wine: rosé(0.02, 0.002, 0.5, "m")}, Tolerance: 1,
		Limits: map[Quantity][2]float64{L: {70, 90}, Hue: {350, 60}}, Rule: Guarded, MaxRisk: 0.05,
	}
	for _, c := range []struct {
		name      string
		tolerance float64
	}{{"pass", 3}, {"never", 0.1}} {
		b.Run(c.name, func(b *testing.B) {
			spec.Tolerance = c.tolerance
			for b.Loop() {
				judge(b, spec, Sample{Wine: rosé(0.02, 0.002, 0, "m")})
			}
		})
	}
}

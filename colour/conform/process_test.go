package conform

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/reading"
)

// lightness is a specification of L* from 82 to 86.
func lightness(rule Rule) Spec {
	return Spec{
		Limits: map[Quantity][2]float64{L: {82, 86}}, Rule: rule, MaxRisk: 0.05,
		Setup: &Setup{Source: "cielab", HalfStepL: 0.05, HalfStepAB: 0.05},
	}
}

// readWith is a specification whose lots are read with a standard uncertainty of
// u of L* and none other.
func readWith(s Spec, u float64) *judged {
	columns := []column{{effect: state{u}}}
	return &judged{spec: s, parts: s.parts(), columns: columns, factor: factorOf(columns)}
}

func risksOf(t *testing.T, s Spec, p Process) Risks {
	t.Helper()
	r, err := RisksOf(s, p, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func lots(l, sd float64) Process {
	return Independent(cie.Lab{L: l, A: 12, B: 8, View: cie.OIV()}, [3]float64{sd, 1, 1})
}

// One linear quantity has its risks in closed form, as integrals of the normal
// distribution over the limits. Source of the figures: R 4, with
//
//	p <- function(x) pnorm((AU-x)/u) - pnorm((AL-x)/u)
//	RC <- integrate(function(x) dnorm(x,mu,s)*p(x), mu-12*s, TL)$value +
//	      integrate(function(x) dnorm(x,mu,s)*p(x), TU, mu+12*s)$value
//	RP <- integrate(function(x) dnorm(x,mu,s)*(1-p(x)), TL, TU)$value
//	pnorm((TU-mu)/s) - pnorm((TL-mu)/s)
//	pnorm((AU-mu)/sqrt(s^2+u^2)) - pnorm((AL-mu)/sqrt(s^2+u^2))
//
// with TL = 82, TU = 86, u = 0.3; AL = TL and AU = TU under the simple rule, and
// under the guarded one AU = 85.50654391 and AL = 168 - AU, the root of
// pnorm((86-y)/.3) - pnorm((82-y)/.3) = 0.95.
func TestRisksAgainstR(t *testing.T) {
	for _, c := range []struct {
		rule  Rule
		mu, s float64
		want  Risks
	}{
		{Simple, 84, 1, Risks{Consumer: 0.009096478601, Producer: 0.019005548009, Conforming: 0.954499736104, Passed: 0.944590666696}},
		{Guarded, 84, 1, Risks{Consumer: 0.0005465746341, Producer: 0.1040647090481, Conforming: 0.9544997361036, Passed: 0.8509816016897}},
		{Simple, 85.5, 1, Risks{Consumer: 0.03755122612, Producer: 0.04518185119, Conforming: 0.69122983219, Passed: 0.68359920713}},
		{Guarded, 85.5, 0.5, Risks{Consumer: 0.002393514067, Producer: 0.339261264084, Conforming: 0.841344746067, Passed: 0.504476996050}},
	} {
		got := readWith(lightness(c.rule), 0.3).risksOver(lots(c.mu, c.s))
		t.Logf("%s, lots %g ± %g: %+v", c.rule, c.mu, c.s, got)
		nearRisks(t, got, c.want)
	}
}

// nearRisks allows for the draws: four stated standard errors and 1 % of the risk,
// and half a per cent of the lots where a share is counted.
func nearRisks(t *testing.T, got, want Risks) {
	t.Helper()
	if !colourtest.Near(got.Consumer, want.Consumer, 4*got.ConsumerSE, 0.01) || !colourtest.Near(got.Producer, want.Producer, 4*got.ProducerSE, 0.01) {
		t.Errorf("consumer's risk %g ± %g, producer's %g ± %g; want %g and %g", got.Consumer, got.ConsumerSE, got.Producer, got.ProducerSE, want.Consumer, want.Producer)
	}
	if got.ConsumerSE > 0.1*want.Consumer+5e-4 || got.ProducerSE > 0.1*want.Producer+5e-4 {
		t.Errorf("standard errors %g and %g of risks %g and %g: too wide to be of use", got.ConsumerSE, got.ProducerSE, want.Consumer, want.Producer)
	}
	if !colourtest.Near(got.Conforming, want.Conforming, 0.003, 0) || !colourtest.Near(got.Passed, want.Passed, 0.005, 0) {
		t.Errorf("%g conform and %g pass, want %g and %g", got.Conforming, got.Passed, want.Conforming, want.Passed)
	}
	// What adds up by definition.
	if gap := got.Conforming - got.Producer - (got.Passed - got.Consumer); math.Abs(gap) > 1e-9 {
		t.Errorf("conforming and passed, counted both ways, differ by %g", gap)
	}
	if got.OutsideAmongPassed != got.Consumer/got.Passed {
		t.Errorf("outside among passed %g, want %g", got.OutsideAmongPassed, got.Consumer/got.Passed)
	}
}

// The same by Gauss-Legendre integration over many uncertainties and processes.
func TestRisksAgainstQuadrature(t *testing.T) {
	for _, u := range []float64{0.1, 0.5, 1} {
		for _, mu := range []float64{82.5, 84} {
			for _, s := range []float64{0.3, 1, 3} {
				prior := distuv.Normal{Mu: mu, Sigma: s}
				accepted := func(x float64) float64 { return phi((86-x)/u) - phi((82-x)/u) }
				over := func(f func(float64) float64, from, to float64) (sum float64) {
					const pieces = 60
					for i := range pieces {
						step := (to - from) / pieces
						sum += quad.Fixed(func(x float64) float64 { return prior.Prob(x) * f(x) }, from+float64(i)*step, from+float64(i+1)*step, 20, nil, 0)
					}
					return sum
				}
				far := 8*s + 8*u + 4
				want := Risks{
					Consumer: over(accepted, 82-far, 82) + over(accepted, 86, 86+far),
					Producer: over(func(x float64) float64 { return 1 - accepted(x) }, 82, 86),
				}
				want.Conforming = over(func(float64) float64 { return 1 }, 82, 86)
				want.Passed = want.Conforming - want.Producer + want.Consumer
				nearRisks(t, readWith(lightness(Simple), u).risksOver(lots(mu, s)), want)
			}
		}
	}
}

// Several parts, a reference that shares errors with the lots, and correlated
// lots, against plain random lots: each is made, measured and judged.
func TestRisksAgainstMonteCarlo(t *testing.T) {
	spec := Spec{
		Reference: &Reference{Wine: readAs(t, 0.002, 0.198, 0.231, 0.048)}, Tolerance: 1.5, Limits: map[Quantity][2]float64{Chroma: {0, 20}, Hue: {330, 45}},
		Rule: Guarded, MaxRisk: 0.05, Setup: &Setup{Source: "readings", Cell: reading.Cell{PathMM: 10, Dilution: 1}, UAbsorbance: 0.002},
	}
	c, err := foreseen(spec, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	m := c.ref.lab
	p := Process{Mean: cie.Lab{L: m.L - 0.2, A: m.A + 0.3, B: m.B, View: m.View}, Covariance: [3][3]float64{{0.5, -0.3, 0.1}, {-0.3, 0.6, 0}, {0.1, 0, 0.3}}}
	got := risksOf(t, spec, p)
	prior := factorOf(columnsOf(symmetric(p.Covariance)))
	r := rand.New(rand.NewPCG(8, 8))
	random := func(f *factor) (w state) {
		for k := range f.rank {
			w[k] = r.NormFloat64()
		}
		return w
	}
	const n = 4000
	var consumer, producer, passed, conforming float64
	for range n {
		truth, seen := c.middle, c.middle
		truth[0], truth[1], truth[2] = p.Mean.L, p.Mean.A, p.Mean.B
		w := random(&prior)
		truth = prior.moved(&truth, &w)
		var none state
		w = random(&c.factor)
		errors := c.factor.moved(&none, &w)
		for i := range quantities {
			seen[i] = truth[i] - errors[i]
			truth[reference+i] += errors[reference+i]
		}
		switch pass, conforms := c.passes(&seen), c.met(&truth); {
		case pass && conforms:
			passed, conforming = passed+1, conforming+1
		case pass:
			passed, consumer = passed+1, consumer+1
		case conforms:
			conforming, producer = conforming+1, producer+1
		}
	}
	t.Logf("%+v; %d random lots: consumer %.4f, producer %.4f, passed %.4f, conforming %.4f", got, n, consumer/n, producer/n, passed/n, conforming/n)
	if got.Consumer < 1e-3 || got.Passed < 0.05 {
		t.Fatalf("%+v: nothing to see", got)
	}
	for _, s := range []struct {
		name      string
		ours, lot float64
	}{{"consumer", got.Consumer, consumer / n}, {"producer", got.Producer, producer / n}, {"passed", got.Passed, passed / n}, {"conforming", got.Conforming, conforming / n}} {
		if !colourtest.Near(s.ours, s.lot, 0.003+4*math.Sqrt(s.lot*(1-s.lot)/n), 0) {
			t.Errorf("%s: %g, of random lots %g", s.name, s.ours, s.lot)
		}
	}
}

func symmetric(c [quantities][quantities]float64) *mat.SymDense {
	s := mat.NewSymDense(quantities, nil)
	for i := range quantities {
		for j := i; j < quantities; j++ {
			s.SetSym(i, j, c[i][j])
		}
	}
	return s
}

func TestRisksEdges(t *testing.T) {
	if r := readWith(lightness(Guarded), 0.3).risksOver(lots(70, 0.5)); r.Passed != 0 || !math.IsNaN(r.OutsideAmongPassed) {
		t.Errorf("lots far off: %+v, want none passed and no share of them", r)
	}
	if r := readWith(lightness(Simple), 0).risksOver(lots(84, 1)); r.Consumer != 0 || r.Producer != 0 || !colourtest.Near(r.Passed, 0.9545, 0.003, 0) {
		t.Errorf("read without error: %+v, want no risk", r)
	}
	fine := lots(84, 1)
	flat, other, skew := fine, fine, fine
	flat.Covariance[0][0], skew.Covariance[0][1] = 0, 0.2
	other.Mean.View.DepthMM = 5
	shares := lightness(Simple)
	shares.Limits[Tint] = [2]float64{0.1, 9}
	for _, c := range []struct {
		name  string
		spec  Spec
		p     Process
		field string
		says  string
	}{
		{"no scatter", lightness(Simple), flat, "process/covariance", "above 0"},
		{"not symmetric", lightness(Simple), skew, "process/covariance", "symmetric"},
		{"other view", lightness(Simple), other, "process/mean", "5 mm"},
		{"tint", shares, fine, "process", "tint"},
		{"no number", lightness(Simple), lots(math.NaN(), 1), "process/mean", "finite"},
		{"no setup", Spec{Limits: map[Quantity][2]float64{L: {82, 86}}, Rule: Simple}, fine, "spec/reading_method", "how lots"},
	} {
		_, err := RisksOf(c.spec, c.p, cie.OIV())
		wantFields(t, c.name, err, []string{c.field}, c.says)
	}
}

func BenchmarkRisksOf(b *testing.B) {
	spec := Spec{
		Reference: &Reference{Wine: readAs(b, 0.002, 0.198, 0.231, 0.048)}, Tolerance: 2,
		Rule: Guarded, MaxRisk: 0.05, Setup: &Setup{Source: "readings", Cell: reading.Cell{PathMM: 10, Dilution: 1}, UAbsorbance: 0.002},
	}
	c, err := foreseen(spec, cie.OIV())
	if err != nil {
		b.Fatal(err)
	}
	p := Independent(c.ref.lab, [3]float64{0.5, 0.5, 0.5})
	for b.Loop() {
		if _, err := RisksOf(spec, p, cie.OIV()); err != nil {
			b.Fatal(err)
		}
	}
}

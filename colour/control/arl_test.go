package control_test

import (
	"math"
	"testing"

	"pourpath/colour/control"
)

// Run lengths: how many lots until a chart first rings. Each figure comes from
// three sides: as published, computed by a Markov chain written for these tests,
// and from simulated lots through the charts, with the standard error of their
// mean. The level is known; the shift is there from the first lot.

// runLengths simulates runs and gives the mean of their lengths and its standard
// error. first gives the place of the first signal among lots, or -1.
func runLengths(t *testing.T, runs int, shift float64, seed uint64, first func(lots []float64) int) (mean, se float64) {
	t.Helper()
	r := seeded(seed)
	var sum, squares float64
	for range runs {
		lots := normals(r, 64, shift)
		at := first(lots)
		for at < 0 {
			lots = append(lots, normals(r, len(lots), shift)...)
			at = first(lots)
		}
		length := float64(at + 1)
		sum += length
		squares += length * length
	}
	n := float64(runs)
	mean = sum / n
	return mean, math.Sqrt((squares/n - mean*mean) / n)
}

var known = control.Base{Known: &control.Level{Sigma: 1}}

func byRules(t *testing.T, rules []control.Rule) func(lots []float64) int {
	return func(lots []float64) int {
		c, err := control.NewIndividuals(lots, known, rules)
		if err != nil {
			t.Fatal(err)
		}
		if len(c.Signals) == 0 {
			return -1
		}
		return c.Signals[0].At
	}
}

// TestRunLengths has the published figures of three rules. Those for one point
// beyond three sigma are in every textbook and follow from the normal
// distribution. Those for Western Electric's four rules are of Champ, Woodall,
// Technometrics 29 (1987) 393, from memory, but for 91.75, which NIST 6.3.2
// cites. Those of the EWMA, with its limits at their final width, are of Lucas,
// Saccucci, Technometrics 32 (1990) 1, from memory.
func TestRunLengths(t *testing.T) {
	const runs = 4000
	one := []control.Rule{control.BeyondAction}
	beyond := func(shift float64) float64 { return 1 / (phi(shift-3) + phi(-shift-3)) }
	for _, c := range []struct {
		name              string
		shift             float64
		published, within float64
		exact             float64
		first             func([]float64) int
	}{
		{"beyond action", 0, 370.4, 0.05, beyond(0), byRules(t, one)},
		{"beyond action", 1, 43.9, 0.05, beyond(1), byRules(t, one)},
		{"beyond action", 2, 6.3, 0.05, beyond(2), byRules(t, one)},
		{"beyond action", 3, 2.0, 0.05, beyond(3), byRules(t, one)},
		{"Western Electric", 0, 91.75, 0.005, westernElectricARL(0), byRules(t, control.WesternElectric())},
		{"Western Electric", 1, 9.22, 0.005, westernElectricARL(1), byRules(t, control.WesternElectric())},
		{"Western Electric", 2, 3.13, 0.005, westernElectricARL(2), byRules(t, control.WesternElectric())},
		{"Western Electric", 3, 1.67, 0.005, westernElectricARL(3), byRules(t, control.WesternElectric())},
	} {
		if math.Abs(c.exact-c.published) > c.within {
			t.Errorf("%s, shift %g: the chain gives %.3f, published is %g", c.name, c.shift, c.exact, c.published)
		}
		mean, se := runLengths(t, runs, c.shift, 1, c.first)
		t.Logf("%-16s shift %g: published %6.2f, chain %7.3f, simulated %7.2f ± %.2f", c.name, c.shift, c.published, c.exact, mean, se)
		if math.Abs(mean-c.exact) > 4*se {
			t.Errorf("%s, shift %g: simulated %.3f ± %.3f, exact %.3f", c.name, c.shift, mean, se, c.exact)
		}
	}
}

func TestRunLengthsEWMA(t *testing.T) {
	first := func(lots []float64) int {
		c, err := control.NewEWMA(lots, known, control.DefaultLambda, control.DefaultWidth)
		if err != nil {
			t.Fatal(err)
		}
		if len(c.Signals) == 0 {
			return -1
		}
		return c.Signals[0].At
	}
	for _, c := range []struct{ shift, published, within float64 }{
		{0, 500, 1}, {0.25, 150, 0.5}, {0.5, 41.8, 0.05}, {1, 10.5, 0.05}, {2, 3.7, 0.05}, {3, 2.4, 0.05},
	} {
		final, growing := ewmaARL(c.shift)
		if math.Abs(final-c.published) > c.within {
			t.Errorf("shift %g: the chain gives %.3f with limits at their final width, published is %g", c.shift, final, c.published)
		}
		mean, se := runLengths(t, 4000, c.shift, 2, first)
		t.Logf("EWMA shift %g: published %6.1f, chain %7.2f; with exact limits chain %7.2f, simulated %7.2f ± %.2f",
			c.shift, c.published, final, growing, mean, se)
		if math.Abs(mean-growing) > 4*se {
			t.Errorf("shift %g: simulated %.3f ± %.3f, the chain gives %.3f", c.shift, mean, se, growing)
		}
	}
}

// history is what Western Electric's rules need to know of the lots before, on
// one side: newest lot in the lowest bit.
type history struct{ warning, sigma, run uint8 }

// next is the history after a lot in zone, seen from this side, and whether a
// rule rings.
func (h history) next(zone int) (history, bool) {
	flag := func(in bool) uint8 {
		if in {
			return 1
		}
		return 0
	}
	h.warning = (h.warning<<1 | flag(zone >= 3)) & 0b111
	h.sigma = (h.sigma<<1 | flag(zone >= 2)) & 0b11111
	if zone > 0 {
		h.run++
	} else {
		h.run = 0
	}
	ones := func(b uint8) (n int) {
		for ; b > 0; b >>= 1 {
			n += int(b & 1)
		}
		return n
	}
	return h, zone >= 4 || ones(h.warning) >= 2 || ones(h.sigma) >= 4 || h.run >= 8
}

// westernElectricARL is exact: the chain of Champ and Woodall's method, its
// states the histories on both sides.
func westernElectricARL(shift float64) float64 {
	probability := map[int]float64{}
	for zone := 1; zone <= 4; zone++ {
		outer := math.Inf(1)
		if zone < 4 {
			outer = float64(zone)
		}
		inner := float64(zone - 1)
		probability[zone] = phi(outer-shift) - phi(inner-shift)
		probability[-zone] = phi(-inner-shift) - phi(-outer-shift)
	}
	type state struct{ up, down history }
	now := map[state]float64{{}: 1}
	var arl float64
	for alive := 1.0; alive > 1e-9; {
		arl += alive
		alive = 0
		then := make(map[state]float64, len(now))
		for s, p := range now {
			for zone, q := range probability {
				up, rings := s.up.next(zone)
				down, ringsBelow := s.down.next(-zone)
				if !rings && !ringsBelow {
					then[state{up, down}] += p * q
					alive += p * q
				}
			}
		}
		now = then
	}
	return arl
}

// ewmaARL by the chain of Lucas and Saccucci's method: the average in cells
// between the limits. final has limits at their final width throughout, growing
// the exact ones.
func ewmaARL(shift float64) (final, growing float64) {
	const (
		cells  = 151
		lambda = control.DefaultLambda
		steps  = 60 // limits are final to 1e-6 then
	)
	end := control.DefaultWidth * math.Sqrt(lambda/(2-lambda))
	half := func(i int) float64 { return end * math.Sqrt(1-math.Pow(1-lambda, float64(2*i))) }
	middle := func(k int, h float64) float64 { return h * (2*float64(k) + 1 - cells) / cells }
	// to is the probability of coming from an average into cell j of limits h.
	to := func(j int, h, from float64) float64 {
		width := h / cells
		at := middle(j, h) - (1-lambda)*from
		return phi((at+width)/lambda-shift) - phi((at-width)/lambda-shift)
	}
	var fixed [cells][cells]float64
	for k := range cells {
		for j := range cells {
			fixed[k][j] = to(j, end, middle(k, end))
		}
	}
	// rest is how long it takes from each cell with final limits.
	rest := func(p [cells]float64) (sum float64) {
		for alive := 1.0; alive > 1e-9; {
			alive = 0
			for _, v := range p {
				alive += v
			}
			sum += alive
			var then [cells]float64
			for k, v := range p {
				for j := range then {
					then[j] += v * fixed[k][j]
				}
			}
			p = then
		}
		return sum
	}
	first := func(h float64) (p [cells]float64) {
		for j := range p {
			p[j] = to(j, h, 0)
		}
		return p
	}
	final = 1 + rest(first(end))

	growing = 1
	p := first(half(1))
	for i := 1; i < steps; i++ {
		var then [cells]float64
		for k, v := range p {
			growing += v
			for j := range then {
				then[j] += v * to(j, half(i+1), middle(k, half(i)))
			}
		}
		p = then
	}
	return final, growing + rest(p)
}

func phi(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

package drift

import (
	"math"
	"testing"
)

// rScript fits the readings of rReadings with base R and prints its figures, a line each:
// name and numbers.
const rScript = `
d <- read.table("stdin", header = TRUE)
d$lot <- factor(d$lot)
out <- function(name, ...) cat(name, sprintf("%.10g", c(...)), "\n")

# Two lots with one slope, least squares.
two <- d[d$lot %in% c("a", "b"), ]
m <- lm(a ~ lot + t, two)
out("slope", coef(m)["t"], sqrt(vcov(m)["t", "t"]), confint(m)["t", ])

# Bisquare weights with a bounded scale, by repeated weighted lm.
two$bad <- two$a
two$bad[4] <- two$bad[4] * 1.6
w <- rep(1, nrow(two)); w[4] <- 0; s <- 0.005; cc <- 1.345
inside <- 2 * pnorm(cc) - 1
beta <- inside - 2 * cc * dnorm(cc) + cc^2 * (1 - inside)
for (i in 1:500) {
  m <- lm(bad ~ lot + t, two, weights = pmax(w, 1e-6))
  kept <- pmax(1 - pmax(w, 1e-6) / ave(pmax(w, 1e-6), two$lot, FUN = sum), 0.01)
  z <- residuals(m) / (s * sqrt(kept))
  w <- ifelse(abs(z) < 4.685, (1 - (z / 4.685)^2)^2, 0)
  s <- s * sqrt(sum(kept * pmin(z^2, cc^2)) / (beta * (sum(kept) - 1)))
}
out("bisquare", coef(m)["t"], s)

# Three lots with a slope each: mean, its standard error, and Student's quantiles.
b <- sapply(levels(d$lot), function(l) coef(lm(a ~ t, d[d$lot == l, ]))["t"])
out("lots", mean(b), sd(b) / sqrt(3), qt(0.975, 2))

# Both laws on the relative scale, two lots, by nls.
two$y <- log(two$a); two$u <- 0.002 / two$a
n1 <- nls(y ~ a0[lot] + log(1 + s * t), two, start = list(a0 = rep(-0.5, 2), s = -5e-4), weights = 1 / u^2, control = nls.control(tol = 1e-6))
out("linear", coef(n1)["s"], sqrt(vcov(n1)["s", "s"]))
n2 <- nls(y ~ a0[lot] + log(1 + s * (1 - exp(-k * t)) / k), two, start = list(a0 = rep(-0.5, 2), s = -2e-3, k = 0.01), weights = 1 / u^2, control = nls.control(tol = 1e-6))
out("first_order", coef(n2)["s"], coef(n2)["k"], sqrt(vcov(n2)["s", "s"]), sqrt(vcov(n2)["k", "k"]))
`

// rReadings are made up: three lots on the same days.
var rReadings = []struct {
	lot  string
	t, a float64
}{
	{"a", 0, 0.612}, {"a", 30, 0.578}, {"a", 90, 0.531}, {"a", 180, 0.497}, {"a", 270, 0.476}, {"a", 365, 0.467},
	{"b", 0, 0.705}, {"b", 30, 0.664}, {"b", 90, 0.608}, {"b", 180, 0.571}, {"b", 270, 0.552}, {"b", 365, 0.541},
	{"c", 0, 0.550}, {"c", 30, 0.529}, {"c", 90, 0.477}, {"c", 180, 0.461}, {"c", 270, 0.427}, {"c", 365, 0.437},
}

// rSample are the first lots of rReadings, one reading of which may be spoilt.
func rSample(lots int, scale Scale, spoilt bool) *sample {
	s := &sample{scale: scale, starts: []int{0}}
	for i, p := range rReadings[:6*lots] {
		a := p.a
		if spoilt && i == 3 {
			a *= 1.6
		}
		y, u := scale.fitted(a, 0.002)
		s.points = append(s.points, point{p.t, y, u, i})
		if i%6 == 5 {
			s.starts = append(s.starts, len(s.points))
		}
	}
	return s
}

// ours are the figures of the same fits here.
func ours(t *testing.T) map[string][]float64 {
	t.Helper()
	leastSquares := tune{1e6, 1e6}
	run := func(lots int, scale Scale, spoilt bool, how tune, free bool) (*fit, curve) {
		f := newFit(rSample(lots, scale, spoilt), how, lots < 3)
		if !f.start() || !f.converge() {
			t.Fatal("no end of the fit")
		}
		if free {
			f = f.bend()
		}
		c, ok := curveOf(f)
		if !ok {
			t.Fatal("no curve")
		}
		return f, c
	}
	out := map[string][]float64{}
	_, c := run(2, Absolute, false, leastSquares, false)
	u := math.Sqrt(c.cov[0])
	out["slope"] = []float64{c.motion.s, u, c.motion.s - c.mean95*u, c.motion.s + c.mean95*u}
	f, c := run(2, Absolute, true, standard, false)
	out["bisquare"] = []float64{c.motion.s, f.noise * 0.002}
	_, c = run(3, Absolute, false, leastSquares, false)
	out["lots"] = []float64{c.motion.s, math.Sqrt(c.cov[0]), c.mean95}
	_, c = run(2, Relative, false, leastSquares, false)
	out["linear"] = []float64{c.motion.s, math.Sqrt(c.cov[0])}
	_, c = run(2, Relative, false, leastSquares, true)
	out["first_order"] = []float64{c.motion.s, c.motion.k, math.Sqrt(c.cov[0]), math.Sqrt(c.cov[2])}
	return out
}

// within holds our figures against others', to the part that iterations leave.
func within(t *testing.T, name string, got, want []float64, part float64) {
	t.Helper()
	if len(got) != len(want) || len(want) == 0 {
		t.Fatalf("%s: %v here, %v there", name, got, want)
	}
	for i := range want {
		if math.Abs(got[i]/want[i]-1) > part {
			t.Errorf("%s %d: %.10g here, %.10g there", name, i, got[i], want[i])
		}
	}
}

// rPart is what the iterations here and there leave.
const rPart = 5e-4

// TestAgainstR holds the fits against the figures that rScript gave under R 4.2.2 (2022).
func TestAgainstR(t *testing.T) {
	got := ours(t)
	for name, want := range map[string][]float64{
		"slope":       {-0.0004050660883, 5.254598898e-05, -0.0005239333737, -0.000286198803},
		"bisquare":    {-0.0004002971241, 0.03160782754},
		"lots":        {-0.0003760499789, 3.162896769e-05, 4.30265273},
		"linear":      {-0.0006418313261, 7.260381847e-05},
		"first_order": {-0.002120341554, 0.00876556976, 6.776329872e-05, 0.000327597025},
	} {
		within(t, name, got[name], want, rPart)
	}
}

// TestPlausible: what is known of wines from elsewhere lies where the laws can follow it.
//
// Loss of malvidin-3-glucoside with catechin is pseudo first order (Baranowski and Nagel,
// J. Food Sci. 48 (1983) 419, abstract). Free anthocyanins of bottled reds fall to
// half in roughly half a year to a year and a half at cellar temperature, much faster
// when warm (from memory, no single source), while the colour falls more slowly, as
// polymeric pigment takes over: it settles at a level. Rosés in clear glass or warmth lose
// red and gain yellow within six months, in the dark hardly (abstract of a trial with 12
// and 22 °C, Am. Soc. Enol. Vitic. conference; no rate given).
func TestPlausible(t *testing.T) {
	for _, halfLife := range []float64{180, 540} {
		m := motion{Relative, -0.5 * math.Ln2 / halfLife, math.Ln2 / halfLife} // half of the colour stays
		if left := m.of(1, halfLife); math.Abs(left-0.75) > 1e-12 {
			t.Errorf("half-life %g: %g of the colour is left, want 0.75", halfLife, left)
		}
		if left := m.of(1, 100*halfLife); math.Abs(left-0.5) > 1e-12 {
			t.Errorf("half-life %g: it settles at %g, want 0.5", halfLife, left)
		}
	}
	// A bottled rosé loses less than half its red in a year: the rates of the
	// simulations are of that order.
	for _, k := range []float64{0, 0.008} {
		if left := rosé(k).law[1].of(1, 365); left < 0.6 || left > 0.95 {
			t.Errorf("the simulated rosé keeps %g of A520 after a year", left)
		}
	}
}

// TestSettlingIsSmooth: the first-order law becomes the linear one, and its derivative by
// k is that of differences.
func TestSettlingIsSmooth(t *testing.T) {
	for _, k := range []float64{0, 1e-8, 1e-7, 1e-6, 1e-3, 0.05} {
		for _, day := range []float64{1, 90, 400} {
			m := motion{Relative, -0.0005, k}
			g, dg := m.g(day)
			h := math.Max(1e-5, 1e-3*k)
			up, _ := motion{k: k + h}.g(day)
			if k*day < 1e-4 {
				if math.Abs(g/day-1) > 1e-4 {
					t.Errorf("k %g, day %g: g %g", k, day, g)
				}
			}
			if rel := (up - g) / h / dg; math.Abs(rel-1) > 0.01 {
				t.Errorf("k %g, day %g: derivative %g, by differences %g", k, day, dg, (up-g)/h)
			}
		}
	}
}

package difference

import (
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/colourtest"
)

// TestSharma runs every row of Table 1 of Sharma, Wu, Dalal (2005), in both
// orders, to the four decimals printed.
func TestSharma(t *testing.T) {
	rows := colourtest.Rows(t, "ciede2000_sharma34.csv")
	if len(rows) != 34 {
		t.Fatalf("%d rows, want 34", len(rows))
	}
	for _, row := range rows[1:] {
		var v [7]float64
		for i := range v {
			v[i] = colourtest.Number(t, row[i+1])
		}
		if got := DeltaE00(v[0], v[1], v[2], v[3], v[4], v[5]); !colourtest.Near(got, v[6], 0.5e-4, 0) {
			t.Errorf("pair %s: DeltaE00 = %.6f, want %.4f ± 0.00005", row[0], got, v[6])
		}
		if got := DeltaE00(v[3], v[4], v[5], v[0], v[1], v[2]); !colourtest.Near(got, v[6], 0.5e-4, 0) {
			t.Errorf("pair %s, swapped: DeltaE00 = %.6f, want %.4f ± 0.00005", row[0], got, v[6])
		}
	}
}

func randomLab(r *rand.Rand) (L, a, b float64) {
	return 100 * r.Float64(), 240 * (r.Float64() - 0.5), 240 * (r.Float64() - 0.5)
}

func TestDeltaE00Laws(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 20000 {
		L1, a1, b1 := randomLab(r)
		L2, a2, b2 := randomLab(r)
		if got := DeltaE00(L1, a1, b1, L1, a1, b1); got != 0 {
			t.Fatalf("DeltaE00 of (%g, %g, %g) and itself = %g, want 0", L1, a1, b1, got)
		}
		there, back := DeltaE00(L1, a1, b1, L2, a2, b2), DeltaE00(L2, a2, b2, L1, a1, b1)
		if !colourtest.Near(there, back, 0, 1e-12) || !(there > 0) {
			t.Fatalf("DeltaE00 of (%g, %g, %g) and (%g, %g, %g) = %g, swapped %g", L1, a1, b1, L2, a2, b2, there, back)
		}
	}
}

// Parametric factors against culori 4.0.2, differenceCiede2000(kL, kC, kH) of
// lab65 colours.
func TestDeltaE00Weighted(t *testing.T) {
	for _, c := range []struct {
		pair [6]float64
		k    Weights
		want float64
	}{
		{[6]float64{50, 2.6772, -79.7751, 50, 0, -82.7485}, Weights{2, 1, 1}, 2.042459680156571},
		{[6]float64{84.2, 13.1, 8.4, 82.9, 14.6, 7.7}, Weights{2, 1, 1}, 1.4818327092091543},
		{[6]float64{84.2, 13.1, 8.4, 82.9, 14.6, 7.7}, Weights{1, 2, 0.5}, 2.4562880829496807},
		{[6]float64{60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387}, Weights{1, 2, 3}, 0.5329550830427064},
	} {
		p := c.pair
		if got := DeltaE00Weighted(p[0], p[1], p[2], p[3], p[4], p[5], c.k); !colourtest.Near(got, c.want, 1e-12, 0) {
			t.Errorf("%v with %v: %.15g, want %.15g", p, c.k, got, c.want)
		}
	}
	r := rand.New(rand.NewPCG(9, 9))
	for range 1000 {
		L1, a1, b1 := randomLab(r)
		L2, a2, b2 := randomLab(r)
		plain := DeltaE00(L1, a1, b1, L2, a2, b2)
		if got := DeltaE00Weighted(L1, a1, b1, L2, a2, b2, Weights{2, 2, 2}); !colourtest.Near(got, plain/2, 0, 1e-12) {
			t.Fatalf("all factors 2: %g, want half of %g", got, plain)
		}
	}
}

// TestDeltaE00Edges: expected values follow from the paper's equations by hand.
func TestDeltaE00Edges(t *testing.T) {
	negative := math.Copysign(0, -1)
	for _, c := range []struct {
		name                         string
		L1, a1, b1, L2, a2, b2, want float64
	}{
		// sL is 1 at a mean L* of 50, and 1 + 0.015·2500/√2520 at 0 and 100.
		{"neutral, about L* 50", 49, 0, 0, 51, 0, 0, 2},
		{"neutral, near white", 100, 0, 0, 100 - 1e-6, 0, 0, 1e-6 / (1 + 37.5/math.Sqrt(2520))},
		{"neutral, signed zeros", 50, 0, 0, 50, negative, negative, 0},
		// G is 0.5 within 1e-9 here, so a* counts 1.5 fold, and 3/(1+0.0675) is left.
		{"neutral against red", 50, 0, 0, 50, 2, 0, 3 / 1.0675},
		{"neutral against yellow", 50, 0, 0, 50, 0, 2, 2 / 1.045},
	} {
		got := DeltaE00(c.L1, c.a1, c.b1, c.L2, c.a2, c.b2)
		if !colourtest.Near(got, c.want, 1e-15, 3e-4) || got < 0 {
			t.Errorf("%s: DeltaE00 = %g, want %g", c.name, got, c.want)
		}
	}
	if got := DeltaE00(50, 1, 1, 50, math.NaN(), 1); !math.IsNaN(got) {
		t.Errorf("DeltaE00 of NaN = %g, want NaN", got)
	}
}

// TestHueEdges: both sides of 180° and of the full circle.
func TestHueEdges(t *testing.T) {
	for _, c := range []struct {
		name                 string
		h1, h2, mean, metric float64 // for unit chroma
	}{
		{"same", 40, 40, 40, 0},
		{"across zero", 350, 10, 0, 2 * math.Sin(10*degree)},
		{"across zero, back", 10, 350, 0, -2 * math.Sin(10*degree)},
		{"across zero, sum above 360", 355, 15, 5, 2 * math.Sin(10*degree)},
		{"opposite", 10, 190, 100, 2},
		{"opposite, back", 190, 10, 100, -2},
		{"opposite with rounding", 10, 190 + 1e-12, 100, 2},
		{"just beyond opposite", 10, 190 + 1e-6, 280, -2},
		{"just short of opposite", 10, 190 - 1e-6, 100, 2},
	} {
		mean, metric := meanHue(1, c.h1, 1, c.h2), hueDifference(1, c.h1, 1, c.h2)
		if !colourtest.Near(mean, c.mean, 1e-6, 0) || !colourtest.Near(metric, c.metric, 1e-9, 0) {
			t.Errorf("%s: mean hue %g and difference %g, want %g and %g", c.name, mean, metric, c.mean, c.metric)
		}
	}
}

// TestHueTerms holds the two hue terms against the paper's own form of them.
func TestHueTerms(t *testing.T) {
	for h := 0.0; h <= 540; h += 0.25 {
		want := 1 - 0.17*math.Cos((h-30)*degree) + 0.24*math.Cos(2*h*degree) +
			0.32*math.Cos((3*h+6)*degree) - 0.20*math.Cos((4*h-63)*degree)
		sin, cos := math.Sincos(h * degree)
		if got := hueWeightAt(sin, cos); !colourtest.Near(got, want, 1e-14, 0) {
			t.Errorf("hueWeightAt(%g) = %.16g, want %.16g", h, got, want)
		}
		dTheta := 30 * math.Exp(-math.Pow((h-275)/25, 2))
		if got, want := blueTurn(h), math.Sin(2*dTheta*degree); !colourtest.Near(got, want, 1e-15, 0) {
			t.Errorf("blueTurn(%g) = %.16g, want %.16g", h, got, want)
		}
	}
}

// TestHueWithoutAngles holds the hue terms that are taken without an angle against
// those by the paper's angles.
func TestHueWithoutAngles(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 9))
	without := 0
	for range 200000 {
		size := math.Exp(-8 + 12*r.Float64())
		h1, turn := 2*math.Pi*r.Float64(), 4*(r.Float64()-0.5)*math.Pow(r.Float64(), 6)
		a1, b1 := size*math.Cos(h1), size*math.Sin(h1)
		other := size * (0.5 + r.Float64())
		a2, b2 := other*math.Cos(h1+turn), other*math.Sin(h1+turn)
		c1, c2 := chroma(a1, b1), chroma(a2, b2)
		dH, weight, blue := hueTerms(a1, b1, c1, a2, b2, c2)
		p1, p2 := hue(a1, b1), hue(a2, b2)
		h := meanHue(c1, p1, c2, p2)
		sin, cos := math.Sincos(h * degree)
		if blue == 0 && h < 99 {
			without++
		}
		if want := hueDifference(c1, p1, c2, p2); !colourtest.Near(dH, want, 1e-12*size, 0) {
			t.Fatalf("dH of (%g %g), (%g %g) = %.16g, want %.16g", a1, b1, a2, b2, dH, want)
		}
		if want := hueWeightAt(sin, cos); !colourtest.Near(weight, want, 1e-12, 0) {
			t.Fatalf("T of (%g %g), (%g %g) = %.16g, want %.16g", a1, b1, a2, b2, weight, want)
		}
		if want := blueTurn(h); !colourtest.Near(blue, want, 1e-12, 0) {
			t.Fatalf("turn of (%g %g), (%g %g) = %.16g, want %.16g", a1, b1, a2, b2, blue, want)
		}
	}
	if without < 20000 {
		t.Errorf("only %d pairs need no angle", without)
	}
}

func TestDeltaE00AllocatesNothing(t *testing.T) {
	if n := testing.AllocsPerRun(100, func() { DeltaE00(50, 20, 10, 52, 22, 9) }); n != 0 {
		t.Errorf("%g allocations, want 0", n)
	}
}

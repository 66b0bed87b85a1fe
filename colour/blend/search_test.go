package blend

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

// randomWine is pale or deep, yellow or red, as r will have it.
func randomWine(r *rand.Rand) spectrum.Wine {
	depth := math.Exp(-3 + 4*r.Float64()) // 0.05 to 2.7
	return spectrum.Wine{Absorbance: bands(depth*r.Float64(), depth*r.Float64(), 0.3*depth*r.Float64())}
}

func randomWines(r *rand.Rand, n int) []spectrum.Wine {
	wines := make([]spectrum.Wine, n)
	for i := range wines {
		wines[i] = randomWine(r)
	}
	return wines
}

// grid calls f with every point of the simplex whose fractions are multiples of
// 1/steps.
func grid(n, steps int, f func([]float64)) {
	point := make([]float64, n)
	var fill func(i, left int)
	fill = func(i, left int) {
		if i == n-1 {
			point[i] = float64(left) / float64(steps)
			f(point)
			return
		}
		for k := 0; k <= left; k++ {
			point[i] = float64(k) / float64(steps)
			fill(i+1, left-k)
		}
	}
	fill(0, steps)
}

// The search must never be beaten by a fine grid by more than its tie. Targets
// are within reach (a blend), near it and far off it.
func TestMatchAgainstGrid(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	v := cie.OIV()
	for _, c := range []struct{ wines, steps, rounds int }{{2, 4000, 40}, {3, 120, 25}, {4, 30, 15}} {
		worst := math.Inf(-1)
		for round := range c.rounds {
			wines := randomWines(r, c.wines)
			target := labOf(t, wines, spreadFor(r, c.wines), v)
			switch round % 3 {
			case 1:
				target.A += 4 * r.NormFloat64()
				target.B += 4 * r.NormFloat64()
			case 2:
				target = cie.Lab{L: 30 + 70*r.Float64(), A: 60*r.Float64() - 5, B: 60*r.Float64() - 20, View: v}
			}
			limits := randomLimits(r, c.wines, round)
			got, err := MatchTarget(wines, Target{Lab: &target}, limits, v)
			if err != nil {
				t.Fatal(err)
			}
			low, high := make([]float64, c.wines), make([]float64, c.wines)
			for i := range high {
				high[i] = 1
			}
			for _, l := range limits {
				low[l.Wine], high[l.Wine] = l.MinFraction, l.MaxFraction
			}
			want, at := math.Inf(1), ""
			grid(c.wines, c.steps, func(f []float64) {
				for i := range f {
					if f[i] < low[i] || f[i] > high[i] {
						return
					}
				}
				lab := labOf(t, wines, f, v)
				if d := difference.DeltaE00(target.L, target.A, target.B, lab.L, lab.A, lab.B); d < want {
					want, at = d, fmt.Sprint(f)
				}
			})
			worst = max(worst, got.Misfit-want)
			if !(got.Misfit <= want+tie) {
				t.Errorf("%d wines, round %d: MatchTarget found ΔE00 %g at %v, the grid %g at %s", c.wines, round, got.Misfit, got.Fractions, want, at)
			}
			checkFractionsKept(t, got.Fractions, low, high)
			lab := labOf(t, wines, got.Fractions, v)
			if d := difference.DeltaE00(target.L, target.A, target.B, lab.L, lab.A, lab.B); !colourtest.Near(d, got.Misfit, 1e-9, 0) {
				t.Errorf("%d wines, round %d: Misfit = %g, but its fractions give ΔE00 %g", c.wines, round, got.Misfit, d)
			}
		}
		t.Logf("%d wines: misfit less the grid's is at most %.2g", c.wines, worst)
	}
}

// A target out of reach can have more than one place of closest approach. The
// few descents that a search makes must end as low as descents from everywhere.
func TestMatchAgainstManyStarts(t *testing.T) {
	v := cie.OIV()
	r := rand.New(rand.NewPCG(11, 3))
	const n = 3
	for round := range 60 {
		wines := randomWines(r, n)
		target := labOf(t, wines, spreadFor(r, n), v)
		if round%2 == 1 {
			target = cie.Lab{L: 30 + 70*r.Float64(), A: 60*r.Float64() - 5, B: 60*r.Float64() - 20, View: v}
		}
		limits := randomLimits(r, n, round/2)
		got, err := MatchTarget(wines, Target{Lab: &target}, limits, v)
		if err != nil {
			t.Fatal(err)
		}
		set, err := checkMatch(n, Target{Lab: &target}, limits)
		if err != nil {
			t.Fatal(err)
		}
		aim := &colourAim{weighting: weightingOf(t, v), depthMM: v.DepthMM, target: target}
		for _, w := range wines {
			aim.curves = append(aim.curves, w.Absorbance)
		}
		all := search{aim: aim, set: set}
		want := math.Inf(1)
		for i := range 300 {
			want = min(want, all.descend(set.project(spread(i, n))).misfit)
		}
		if !(got.Misfit <= want+tie) {
			t.Errorf("round %d: MatchTarget found ΔE00 %g, many starts %g", round, got.Misfit, want)
		}
	}
}

func checkFractionsKept(t *testing.T, f, low, high []float64) {
	t.Helper()
	var sum float64
	for i := range f {
		sum += f[i]
		if !(f[i] >= low[i]-1e-9 && f[i] <= high[i]+1e-9) {
			t.Errorf("fraction %d is %g, outside its limits %g to %g", i, f[i], low[i], high[i])
		}
	}
	if !colourtest.Near(sum, 1, 1e-9, 0) {
		t.Errorf("fractions %v sum to %.12g, want 1 within 1e-9", f, sum)
	}
}

// spreadFor is a random point of the simplex.
func spreadFor(r *rand.Rand, n int) []float64 {
	f := make([]float64, n)
	var sum float64
	for i := range f {
		f[i] = r.ExpFloat64()
		sum += f[i]
	}
	for i := range f {
		f[i] /= sum
	}
	return f
}

// randomLimits gives every other round a limit or two that leave room.
func randomLimits(r *rand.Rand, n, round int) []Limit {
	if round%2 == 0 {
		return nil
	}
	low := 0.3 * r.Float64()
	limits := []Limit{{Wine: r.IntN(n), MinFraction: low, MaxFraction: low + (1-low)*r.Float64()}}
	if other := r.IntN(n); other != limits[0].Wine && n > 2 {
		limits = append(limits, Limit{Wine: other, MinFraction: 0.1, MaxFraction: 0.6})
	}
	return limits
}

// The least misfit does not depend on the order of the wines, beyond the tie.
func TestMatchPermutation(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	v := cie.OIV()
	var worst float64
	for range 60 {
		n := 2 + r.IntN(7)
		wines := randomWines(r, n)
		target := labOf(t, wines, spreadFor(r, n), v)
		target.A += 5 * r.NormFloat64()
		first, err := MatchTarget(wines, Target{Lab: &target}, nil, v)
		if err != nil {
			t.Fatal(err)
		}
		shuffled := make([]spectrum.Wine, n)
		for i, p := range r.Perm(n) {
			shuffled[p] = wines[i]
		}
		second, err := MatchTarget(shuffled, Target{Lab: &target}, nil, v)
		if err != nil {
			t.Fatal(err)
		}
		worst = max(worst, math.Abs(first.Misfit-second.Misfit))
		if !colourtest.Near(second.Misfit, first.Misfit, tie, 0) {
			t.Errorf("%d wines: ΔE00 %g, in another order %g", n, first.Misfit, second.Misfit)
		}
	}
	t.Logf("largest change of misfit with the order: %.2g", worst)
}

// Where many blends have the colour, the one with the most of the first wine is
// given; two alike wines show it, and a grid over five does.
func TestMatchTieBreak(t *testing.T) {
	v := cie.OIV()
	white, red := spectrum.Wine{Absorbance: bands(0.1, 0, 0)}, spectrum.Wine{Absorbance: bands(0.6, 2.5, 0.4)}
	target := labOf(t, []spectrum.Wine{white, red}, []float64{0.9, 0.1}, v)
	for _, c := range []struct {
		name  string
		wines []spectrum.Wine
		want  []float64
	}{
		{"the same white twice", []spectrum.Wine{white, white, red}, []float64{0.9, 0, 0.1}},
		{"the same red twice", []spectrum.Wine{white, red, red}, []float64{0.9, 0.1, 0}},
		{"red first", []spectrum.Wine{red, white, red, white}, []float64{0.1, 0.9, 0, 0}},
		{"the blend itself first", []spectrum.Wine{{Absorbance: blendOf(white, red, 0.1)}, white, red}, []float64{1, 0, 0}},
		{"the blend itself last", []spectrum.Wine{white, red, {Absorbance: blendOf(white, red, 0.1)}}, []float64{0.9, 0.1, 0}},
	} {
		got, err := MatchTarget(c.wines, Target{Lab: &target}, nil, v)
		if err != nil {
			t.Fatal(err)
		}
		for i := range c.want {
			if !colourtest.Near(got.Fractions[i], c.want[i], 1e-4, 0) {
				t.Errorf("%s: MatchTarget = %v, want %v", c.name, got.Fractions, c.want)
				break
			}
		}
	}
}

func blendOf(base, addition spectrum.Wine, f float64) (a cie.Curve) {
	for i := range a {
		a[i] = (1-f)*base.Absorbance[i] + f*addition.Absorbance[i]
	}
	return a
}

// Of five or more wines many blends have one colour. With more of the first
// wine asked for than the answer has, or as much of the first and more of the
// second, the colour must be out of reach.
func TestMatchTieBreakOfMany(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	v := cie.OIV()
	for round := range 12 {
		n := 5 + round%4
		wines := randomWines(r, n)
		target := labOf(t, wines, spreadFor(r, n), v)
		got, err := MatchTarget(wines, Target{Lab: &target}, nil, v)
		if err != nil {
			t.Fatal(err)
		}
		if !(got.Misfit < 1e-4) {
			t.Errorf("round %d: ΔE00 = %g of a colour within reach", round, got.Misfit)
		}
		for k := range 2 {
			var limits []Limit
			for i := range k {
				limits = append(limits, Limit{i, max(0, got.Fractions[i]-1e-4), 1})
			}
			const more = 0.01
			if got.Fractions[k]+more > 1 {
				continue
			}
			limits = append(limits, Limit{k, got.Fractions[k] + more, 1})
			better, err := MatchTarget(wines, Target{Lab: &target}, limits, v)
			if errors.As(err, new(colour.FieldErrors)) {
				continue // not even the sum leaves room for more
			}
			if err != nil {
				t.Fatal(err)
			}
			if better.Misfit < 1e-4 {
				t.Errorf("round %d: MatchTarget = %.4v, yet %.4v has the colour (ΔE00 %.2g) with more of wine %d",
					round, got.Fractions, better.Fractions, better.Misfit, k)
			}
		}
	}
}

func TestMatchRepeats(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	v := cie.OIV()
	wines := randomWines(r, 8)
	target := labOf(t, wines, spreadFor(r, 8), v)
	first, err := MatchTarget(wines, Target{Lab: &target}, nil, v)
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		again, err := MatchTarget(wines, Target{Lab: &target}, nil, v)
		if err != nil {
			t.Fatal(err)
		}
		if fmt.Sprint(again.Fractions) != fmt.Sprint(first.Fractions) {
			t.Errorf("the same question gave %v, then %v", first.Fractions, again.Fractions)
		}
	}
}

func BenchmarkMatch(b *testing.B) {
	v := cie.OIV()
	for _, n := range []int{2, 4, 8} {
		r := rand.New(rand.NewPCG(9, 10))
		wines := randomWines(r, n)
		reached := labOf(b, wines, spreadFor(r, n), v)
		beyond := reached
		beyond.B -= 15
		for name, target := range map[string]cie.Lab{"reached": reached, "beyond": beyond} {
			b.Run(fmt.Sprintf("%d/%s", n, name), func(b *testing.B) {
				for b.Loop() {
					if _, err := MatchTarget(wines, Target{Lab: &target}, nil, v); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// The loop of the search makes no garbage.
func TestSearchAllocates(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 12))
	v := cie.OIV()
	wines := randomWines(r, 5)
	aim := &colourAim{weighting: weightingOf(t, v), depthMM: v.DepthMM, target: labOf(t, wines, spreadFor(r, 5), v)}
	for _, w := range wines {
		aim.curves = append(aim.curves, w.Absorbance)
	}
	f := spread(3, 5)
	var sl slopes
	if n := testing.AllocsPerRun(10, func() { aim.square(aim.at(&f, &sl)) }); n != 0 {
		t.Errorf("one colour with its slopes allocates %g times, want 0", n)
	}
}

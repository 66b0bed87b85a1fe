package ladder

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pourpath/colour"
)

// after is a glass after steps: a pour of so many mL, or where below 0 a
// withdrawal.
func after(t testing.TB, baseML float64, steps ...float64) Glass {
	t.Helper()
	g, err := NewGlass(baseML)
	if err != nil {
		t.Fatal(err)
	}
	for _, ml := range steps {
		if ml > 0 {
			g, err = g.Pour(ml)
		} else {
			g, err = g.Withdraw(-ml)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return g
}

func TestGlass(t *testing.T) {
	for _, row := range []struct {
		name                         string
		baseML                       float64
		steps                        []float64
		poured, base, addition, dose float64
		fraction                     float64
	}{
		{"base alone", 100, nil, 0, 100, 0, 0, 0},
		{"one pour", 100, []float64{8}, 8, 100, 8, 8, 8. / 108},
		// By hand: 15 mL of 108 mL take 15/108 of the base (13.8889 mL) and of the
		// addition (1.1111 mL); 86.1111 mL and 6.8889 + 2 mL are left.
		{"sipped, then topped up", 100, []float64{8, -15, 2}, 10, 86.11111111111111, 8.88888888888889, 10.32258064516129, 8.88888888888889 / 95},
		{"a sip of the base alone", 50, []float64{-10, 4}, 4, 40, 4, 10, 4. / 44},
		// Common practice, no source: a glass at 3 mL that gets 2 mL more holds 5.
		{"3 and 2 are 5", 100, []float64{3, 2}, 5, 100, 5, 5, 5. / 105},
	} {
		t.Run(row.name, func(t *testing.T) {
			g := after(t, row.baseML, row.steps...)
			for _, q := range []struct {
				name      string
				got, want float64
			}{
				{"poured", g.PouredML(), row.poured}, {"base", g.BaseML(), row.base}, {"addition", g.AdditionML(), row.addition},
				{"dose", float64(g.Dose()), row.dose}, {"fraction", g.Fraction(), row.fraction}, {"volume", g.VolumeML(), row.base + row.addition},
			} {
				if math.Abs(q.got-q.want) > 1e-12*(1+q.want) {
					t.Errorf("%s is %.17g, want %.17g", q.name, q.got, q.want)
				}
			}
		})
	}
}

// TestGlassMassBalance: whatever is done to a glass, what went in less what came
// out is in it, a withdrawal leaves the dose as it is to the last bit, and the
// addition in it is that of a log kept by volumes alone.
func TestGlassMassBalance(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for trial := range 2000 {
		base := 10 + 490*random.Float64()
		g := after(t, base)
		in, out, addition := base, 0.0, 0.0
		for range 1 + random.IntN(30) {
			if random.IntN(2) == 0 {
				ml := 0.05 + 10*random.Float64()
				var err error
				if g, err = g.Pour(ml); err != nil {
					break // the glass was sipped nearly empty
				}
				in, addition = in+ml, addition+ml
				continue
			}
			ml := g.VolumeML() * 0.5 * (1 - random.Float64())
			addition -= ml * addition / (in - out)
			before := g.Dose()
			var err error
			if g, err = g.Withdraw(ml); err != nil {
				t.Fatal(err)
			}
			out += ml
			if g.Dose() != before {
				t.Fatalf("trial %d: a withdrawal moved the dose from %v to %v", trial, before, g.Dose())
			}
		}
		if math.Abs(g.VolumeML()-(in-out)) > 1e-9*in || math.Abs(g.AdditionML()-addition) > 1e-9*in ||
			math.Abs(g.BaseML()+g.AdditionML()-g.VolumeML()) > 1e-9*in {
			t.Fatalf("trial %d: %g mL in the glass with %g mL of addition, want %g and %g", trial, g.VolumeML(), g.AdditionML(), in-out, addition)
		}
		if f := g.Dose().Fraction(); math.Abs(f-g.Fraction()) > 1e-12 {
			t.Fatalf("trial %d: fraction %g, by the dose %g", trial, g.Fraction(), f)
		}
	}
}

func TestGlassEmptied(t *testing.T) {
	g := after(t, 100, 8.1, -50, -58.1)
	if g.VolumeML() != 0 || math.Abs(float64(g.Dose())-8.1) > 1e-12 || g.PouredML() != 8.1 {
		t.Errorf("emptied: %g mL, dose %g, poured %g, want 0, 8.1, 8.1", g.VolumeML(), float64(g.Dose()), g.PouredML())
	}
	if _, err := g.Pour(1); err == nil || !strings.Contains(err.Error(), "empty") {
		t.Errorf("a pour into an empty glass: %v", err)
	}
	if _, err := g.Withdraw(1); err == nil {
		t.Error("1 mL was taken out of an empty glass")
	}
	if _, err := (Glass{}).Pour(1); err == nil {
		t.Error("the zero glass takes a pour")
	}
}

func TestGlassRefused(t *testing.T) {
	full := after(t, 100, 8)
	for _, row := range []struct {
		name, field, words string
		do                 func() error
	}{
		{"no base", "base_ml", "above 0", func() error { _, err := NewGlass(0); return err }},
		{"base not a number", "base_ml", "above 0", func() error { _, err := NewGlass(math.NaN()); return err }},
		{"pour of nothing", "volume_ml", "above 0", func() error { _, err := full.Pour(0); return err }},
		{"pour below nothing", "volume_ml", "above 0", func() error { _, err := full.Pour(-2); return err }},
		{"pour not a number", "volume_ml", "above 0", func() error { _, err := full.Pour(math.NaN()); return err }},
		{"endless pour", "volume_ml", "above 0", func() error { _, err := full.Pour(math.Inf(1)); return err }},
		{"pour in another unit", "volume_ml", "exchanged", func() error { _, err := full.Pour(2000); return err }},
		{"nothing taken out", "volume_ml", "above 0", func() error { _, err := full.Withdraw(0); return err }},
		{"below nothing taken out", "volume_ml", "above 0", func() error { _, err := full.Withdraw(-1); return err }},
		{"more than there is", "volume_ml", "108 mL", func() error { _, err := full.Withdraw(108.1); return err }},
	} {
		t.Run(row.name, func(t *testing.T) {
			var faults colour.FieldErrors
			if err := row.do(); !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != row.field || !strings.Contains(faults[0].Message, row.words) {
				t.Errorf("error %v, want one fault at %s that says %q", err, row.field, row.words)
			}
		})
	}
	if full != after(t, 100, 8) {
		t.Error("a refused step changed the glass")
	}
}

func ExampleGlass() {
	glass, err := NewGlass(100)
	for _, step := range []func(Glass) (Glass, error){
		func(g Glass) (Glass, error) { return g.Pour(8) },
		func(g Glass) (Glass, error) { return g.Withdraw(15) }, // a sip
		func(g Glass) (Glass, error) { return g.Pour(2) },
	} {
		if err == nil {
			glass, err = step(glass)
		}
	}
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.0f mL poured; %.2f mL per 100 mL of base, %.2f %% of the blend\n",
		glass.PouredML(), float64(glass.Dose()), 100*glass.Fraction())
	// Output:
	// 10 mL poured; 10.32 mL per 100 mL of base, 9.36 % of the blend
}

package ladder

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/volumetric"
)

func kit(tools ...volumetric.Tool) Kit {
	return Kit{Tools: tools, BaseML: []float64{50, 100, 250}, Smallest: 1, Largest: 12}
}

// TestProposeIsBest holds every option against the definition, computed apart,
// and the first against all others.
func TestProposeIsBest(t *testing.T) {
	path := rosePath(t)
	oneML := volumetric.Tool{Kind: volumetric.Syringe, CapacityML: 1, GraduationML: 0.01}
	for _, step := range []float64{0.05, 0.3, 1, 3} {
		k := kit(tenB, fineSyringe, oneML, volumetric.Tool{Kind: volumetric.Spoon, CapacityML: 5})
		k.VisibleStep = step
		p, err := k.Propose(path, cie.OIV())
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Options) == 0 {
			t.Fatal("no options")
		}
		fitting := 0
		for _, o := range p.Options {
			at := func(d float64) cie.Lab {
				c, err := path.Colours([]blend.Dose{blend.Dose(d)}, cie.OIV())
				if err != nil {
					t.Fatal(err)
				}
				return c[0].Lab
			}
			one := 100 * o.Tool.StepML() / o.BaseML
			for _, d := range []float64{1, 3, 7, 12 - one} {
				if d < 0 {
					continue
				}
				got, err := difference.CIEDE2000(at(d), at(d+one))
				if err != nil {
					t.Fatal(err)
				}
				if got > o.GraduationDeltaE00*1.02+1e-9 {
					t.Errorf("%v in %g mL: one graduation at %g is ΔE00 %.3g, more than the most, %.3g", o.Tool, o.BaseML, d, got, o.GraduationDeltaE00)
				}
			}
			if o.Fits != (o.GraduationDeltaE00 < step && o.LimitDeltaE00 < step) {
				t.Errorf("%+v fits a step of %g?", o, step)
			}
			if o.Fits {
				fitting++
			}
			if first := p.Options[0]; o.Fits && (o.Fills < first.Fills || o.Fills == first.Fills && o.BaseML < first.BaseML) {
				t.Errorf("%+v is better than the first, %+v", o, first)
			}
		}
		if p.Fits != (fitting > 0) || p.Fits != (len(p.Warnings) == 0) {
			t.Errorf("step %g: fits %v with %d fitting options, warnings %v", step, p.Fits, fitting, p.Warnings)
		}
	}
}

// TestProposeSaysNoTails: what would do is said in few digits, whatever it is computed
// from.
func TestProposeSaysNoTails(t *testing.T) {
	path, tail, said := rosePath(t), regexp.MustCompile(`\d\.\d{7,}`), 0
	for base := 20.0; base <= 150; base += 10 {
		for _, visible := range []float64{1, 2, 4} {
			k := kit(volumetric.Tool{Kind: volumetric.Cylinder, CapacityML: 10, GraduationML: 1, Class: volumetric.ClassB})
			k.BaseML, k.VisibleStep = []float64{base}, visible
			p, err := k.Propose(path, cie.OIV())
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range p.Warnings {
				if said++; tail.MatchString(w.Message) {
					t.Errorf("%g mL, ΔE00 %g: %s", base, visible, w.Message)
				}
			}
		}
	}
	if said == 0 {
		t.Fatal("no kit is too coarse")
	}
}

// TestProposeMiss: what the warning says would do, does.
func TestProposeMiss(t *testing.T) {
	path := rosePath(t)
	k := kit(tenB)
	k.BaseML = []float64{50}
	p, err := k.Propose(path, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	if p.Fits || len(p.Warnings) != 1 || p.Warnings[0].Code != "kit_too_coarse" {
		t.Fatalf("a 10 mL class B cylinder in 50 mL: %+v", p)
	}
	t.Log(p.Warnings[0].Message)
	_, after, found := strings.Cut(p.Warnings[0].Message, "What would do: ")
	var more float64
	if _, err := fmt.Sscanf(after, "%g mL of base", &more); !found || err != nil {
		t.Fatalf("no volume of base in %q: %v", after, err)
	}
	k.BaseML = []float64{more}
	if p, err = k.Propose(path, cie.OIV()); err != nil || !p.Fits {
		t.Errorf("%g mL of base were said to do: %+v, %v", more, p, err)
	}
	// Nothing at all can pour it.
	none, err := Kit{Tools: []volumetric.Tool{{Kind: volumetric.Cup, CapacityML: 250}}, BaseML: []float64{100}, Smallest: 1, Largest: 10}.Propose(path, cie.OIV())
	if err != nil || none.Fits || len(none.Options) != 0 || len(none.Warnings) != 1 {
		t.Errorf("a cup for 1 mL: %+v, %v", none, err)
	}
}

// TestWorkedExample: common practice, no source: 1 mL from a 10 mL class B
// cylinder is ±20 %.
func TestWorkedExample(t *testing.T) {
	k := kit(tenB)
	k.BaseML = []float64{100}
	p, err := k.Propose(rosePath(t), cie.OIV())
	if err != nil || len(p.Options) != 1 {
		t.Fatal(p, err)
	}
	if o := p.Options[0]; math.Abs(o.LimitPercent-20) > 1e-9 || o.SmallestML != 1 || o.Fills != 2 {
		t.Errorf("%+v, want ±20 %% of 1 mL, and 12 mL in 2 fills", o)
	}
}

func TestProposeRefused(t *testing.T) {
	for _, row := range []struct {
		field  string
		change func(*Kit)
	}{
		{"tools", func(k *Kit) { k.Tools = nil }},
		{"tools/0/graduation_ml", func(k *Kit) { k.Tools = []volumetric.Tool{{Kind: volumetric.Syringe, CapacityML: 10}} }},
		{"base_ml", func(k *Kit) { k.BaseML = nil }},
		{"base_ml/1", func(k *Kit) { k.BaseML = []float64{100, -1} }},
		{"smallest", func(k *Kit) { k.Smallest = 0 }},
		{"largest", func(k *Kit) { k.Largest = 0.5 }},
		{"largest", func(k *Kit) { k.Largest = 2000 }},
		{"visible_step", func(k *Kit) { k.VisibleStep = math.NaN() }},
	} {
		k := kit(tenB)
		row.change(&k)
		_, err := k.Propose(rosePath(t), cie.OIV())
		var faults colour.FieldErrors
		if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != row.field {
			t.Errorf("%v, want one fault at %s", err, row.field)
		}
	}
	if _, err := kit(tenB).Propose(rosePath(t), cie.View{}); err == nil {
		t.Error("no view, no error")
	}
}

func BenchmarkPropose(b *testing.B) {
	path := rosePath(b)
	k := kit(tenB, fineSyringe, hundredA)
	for b.Loop() {
		if _, err := k.Propose(path, cie.OIV()); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleKit_Propose() {
	white, red := exampleWines()
	kit := Kit{
		Tools: []volumetric.Tool{
			{Kind: volumetric.Cylinder, CapacityML: 10, GraduationML: 0.2, Class: volumetric.ClassB},
			{Kind: volumetric.Syringe, CapacityML: 10, GraduationML: 0.2},
		},
		BaseML: []float64{50, 100, 200}, Smallest: 1, Largest: 10,
	}
	p, err := kit.Propose(blend.NewPath(white, red), cie.OIV())
	if err != nil {
		panic(err)
	}
	for _, o := range p.Options {
		fmt.Printf("%v into %g mL: a graduation up to ΔE00 %.2f, limit up to %.2f (±%.0f %% of %g mL), fits: %v\n",
			o.Tool, o.BaseML, o.GraduationDeltaE00, o.LimitDeltaE00, o.LimitPercent, o.SmallestML, o.Fits)
	}
	// Output:
	// 10 mL syringe into 200 mL: a graduation up to ΔE00 0.63, limit up to 0.59 (±8 % of 2 mL), fits: true
	// 10 mL class B cylinder into 200 mL: a graduation up to ΔE00 0.63, limit up to 0.61 (±10 % of 2 mL), fits: true
	// 10 mL syringe into 100 mL: a graduation up to ΔE00 1.27, limit up to 0.96 (±16 % of 1 mL), fits: false
	// 10 mL class B cylinder into 100 mL: a graduation up to ΔE00 1.27, limit up to 1.20 (±20 % of 1 mL), fits: false
	// 10 mL syringe into 50 mL: a graduation up to ΔE00 2.62, limit up to 1.73 (±26 % of 0.6 mL), fits: false
	// 10 mL class B cylinder into 50 mL: a graduation up to ΔE00 2.62, limit up to 2.19 (±33 % of 0.6 mL), fits: false
}

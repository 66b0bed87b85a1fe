package ladder

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
	"pourpath/colour/volumetric"
)

// exampleWines are an invented white and red, read in a 10 and a 1 mm cell.
func exampleWines() (white, red spectrum.Wine) {
	read := func(pathMM, a420, a520, a620 float64) spectrum.Wine {
		w, err := spectrum.FromReadings(reading.Readings{
			Cell: reading.Cell{PathMM: pathMM, Dilution: 1},
			A420: a420, A520: a520, A620: a620, UAbsorbance: reading.DefaultU,
		})
		if err != nil {
			panic(err)
		}
		return w
	}
	return read(10, 0.095, 0.016, 0.003), read(1, 0.30, 0.58, 0.06)
}

// rungOf reads the path itself at a dose, as a photometer would that has no
// error, at three wavelengths.
func rungOf(t testing.TB, path *blend.Path, d blend.Dose) blend.Measured {
	t.Helper()
	w := path.At(d)
	a := w.Absorbance
	return blend.Measured{Dose: d, Wine: read(t, 10, a[cie.Index(420)], a[cie.Index(520)], a[cie.Index(620)])}
}

func closingIn(t testing.TB, path *blend.Path, at blend.Dose) ClosingIn {
	t.Helper()
	c, err := path.At(at).Colour(cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	return ClosingIn{Target: blend.Target{Lab: &c.Lab, Tolerance: 1}, View: cie.OIV(), Largest: 20, BaseML: 100, Tool: fineSyringe}
}

// TestCloseIn walks to a target that lies on the path: each rung that is proposed
// is read and learned from, until measuring more is pointless. That must come to
// an end, near the truth, with no rung read twice.
func TestCloseIn(t *testing.T) {
	white, red := exampleWines()
	truth := blend.NewPath(white, red)
	const aim = 7.3
	c := closingIn(t, truth, aim)
	path := truth
	var rungs []blend.Measured
	for range 12 {
		now, err := c.Next(path)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("measured %v: closest %.3g, %s", c.MeasuredML, float64(now.Nearest.Dose), now.Why)
		if now.Pointless != (now.Next == nil) || now.Why == "" {
			t.Fatalf("pointless %v, next %v, why %q", now.Pointless, now.Next, now.Why)
		}
		if now.Pointless {
			if math.Abs(now.ChosenML-aim) > c.Tool.GraduationML || len(rungs) == 0 {
				t.Errorf("chosen %g mL after %d rungs, the truth is %g", now.ChosenML, len(rungs), aim)
			}
			return
		}
		n := now.Next
		if sum, _ := volumetric.Sum(n.Pours); math.Abs(sum-n.DoseML) > 1e-9 || math.Abs(c.Tool.Round(n.DoseML)-n.DoseML) > 1e-9 || !(n.After < n.Before) {
			t.Fatalf("next rung %+v is not poured, off the graduation or tells nothing", n)
		}
		if c.measured(n.DoseML) {
			t.Fatalf("rung %g mL is proposed again after %v", n.DoseML, c.MeasuredML)
		}
		rungs = append(rungs, rungOf(t, truth, n.Dose))
		c.MeasuredML = append(c.MeasuredML, n.DoseML)
		if path, _, err = truth.Calibrate(rungs); err != nil {
			t.Fatal(err)
		}
	}
	t.Error("it did not come to an end")
}

// TestPointless: each reason by itself, and that the numbers it rests on are as
// stated.
func TestPointless(t *testing.T) {
	white, red := exampleWines()
	truth := blend.NewPath(white, red)
	learned, _, err := truth.Calibrate([]blend.Measured{rungOf(t, truth, 4), rungOf(t, truth, 7), rungOf(t, truth, 12)})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name    string
		path    *blend.Path
		change  func(*ClosingIn)
		verdict Verdict
		words   string
	}{
		{"before any rung", truth, func(*ClosingIn) {}, ReadOn, "read another rung"},
		{"a coarse tool", learned, func(c *ClosingIn) {
			c.Tool = volumetric.Tool{Kind: volumetric.Cylinder, CapacityML: 50, GraduationML: 5, Class: volumetric.ClassB}
			c.VisibleStep = 0.01
		}, OnScale, "less than one graduation of 5 mL"},
		{"a blunt eye", learned, func(c *ClosingIn) {
			c.Tool = volumetric.Tool{Kind: volumetric.Syringe, CapacityML: 10, GraduationML: 0.01}
			c.VisibleStep = 5
		}, Invisible, "below the visible step of 5"},
		{"a keen eye and a fine tool", learned, func(c *ClosingIn) {
			c.Tool = volumetric.Tool{Kind: volumetric.Syringe, CapacityML: 10, GraduationML: 0.01}
			c.VisibleStep = 0.01
		}, LittleGain, "460 and 570 nm"},
		{"base alone is closest", learned, func(c *ClosingIn) {
			c.Target = blend.Target{Lab: &cie.Lab{L: 100, A: -6, B: 8, View: cie.OIV()}}
		}, BaseAlone, "base alone"},
		{"beyond the ladder", learned, func(c *ClosingIn) { c.Largest = 5.1 }, ExtendLadder, "last of the ladder"},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := closingIn(t, truth, 7)
			c.BaseML = 50
			row.change(&c)
			got, err := c.Next(row.path)
			if err != nil {
				t.Fatal(err)
			}
			if got.Verdict != row.verdict || !strings.Contains(got.Why, row.words) {
				t.Errorf("%s: %s; want %s, %q", got.Verdict, got.Why, row.verdict, row.words)
			}
			if i := got.Nearest.Interval95; i != nil && math.Abs(*got.IntervalML-(i[1]-i[0])/2) > 1e-12 {
				t.Errorf("interval %v is %g mL wide in 50 mL of base, not %g", i, (i[1]-i[0])/2, *got.IntervalML)
			}
			if blend.DoseOf(got.ChosenML, c.BaseML) > c.Largest {
				t.Errorf("chosen %g mL is beyond the ladder", got.ChosenML)
			}
		})
	}
}

// TestCloseInElsewhere: a rung that was measured is not proposed again while
// there is another to read.
func TestCloseInElsewhere(t *testing.T) {
	white, red := exampleWines()
	path := blend.NewPath(white, red)
	c := closingIn(t, path, 7)
	for range 3 {
		got, err := c.Next(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, ml := range c.MeasuredML {
			if math.Abs(ml-got.Next.DoseML) < c.Tool.GraduationML/2 {
				t.Errorf("%g mL is proposed after %v", got.Next.DoseML, c.MeasuredML)
			}
		}
		c.MeasuredML = append(c.MeasuredML, got.Next.DoseML)
	}
}

func TestCloseInRefused(t *testing.T) {
	white, red := exampleWines()
	path := blend.NewPath(white, red)
	for _, row := range []struct {
		field  string
		change func(*ClosingIn)
	}{
		{"base_ml", func(c *ClosingIn) { c.BaseML = 0 }},
		{"tool/kind", func(c *ClosingIn) { c.Tool = volumetric.Tool{} }},
		{"tool", func(c *ClosingIn) { c.Tool = volumetric.Tool{Kind: volumetric.Cup, CapacityML: 250} }},
		{"visible_step", func(c *ClosingIn) { c.VisibleStep = -1 }},
		{"largest", func(c *ClosingIn) { c.Largest = 0 }},
		{"", func(c *ClosingIn) { c.Target = blend.Target{} }},
	} {
		c := closingIn(t, path, 7)
		row.change(&c)
		_, err := c.Next(path)
		var faults colour.FieldErrors
		if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != row.field {
			t.Errorf("%v, want one fault at %q", err, row.field)
		}
	}
}

func ExampleClosingIn_Next() {
	white, red := exampleWines()
	path := blend.NewPath(white, red)
	target, err := path.At(7).Colour(cie.OIV())
	if err != nil {
		panic(err)
	}
	next, err := ClosingIn{
		Target: blend.Target{Lab: &target.Lab, Tolerance: 1}, View: cie.OIV(), Largest: 20, BaseML: 100,
		Tool: volumetric.Tool{Kind: volumetric.Syringe, CapacityML: 10, GraduationML: 0.2},
	}.Next(path)
	if err != nil {
		panic(err)
	}
	fmt.Printf("closest %.1f mL; pour %s next\n", float64(next.Nearest.Dose), volumetric.Spell(next.Next.Pours))
	// Output:
	// closest 7.0 mL; pour 7.6 mL next
}

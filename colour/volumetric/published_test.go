package volumetric

import (
	"math"
	"testing"
)

// TestE1272 holds the limits of cylinders against ASTM E1272-02 (2012), Table 1
// (read). Where ISO 4788:2005 (from memory) is wider, the wider one is meant.
func TestE1272(t *testing.T) {
	for _, row := range []struct {
		capacity, graduation, a, b float64
		isoA, isoB                 float64 // 0 where E1272 has the wider limit or the only one
	}{
		{5, 0.1, 0.05, 0.10, 0, 0},
		{10, 0.2, 0.10, 0.20, 0, 0},
		{25, 0.5, 0.17, 0.34, 0.25, 0.5},
		{50, 1, 0.25, 0.50, 0.5, 1},
		{100, 1, 0.50, 1.00, 0, 0},
		{250, 2, 1.00, 2.00, 0, 0},
		{500, 5, 2.00, 4.00, 2.5, 5},
	} {
		for _, class := range []struct {
			class       Class
			astm, wider float64
		}{{ClassA, row.a, row.isoA}, {ClassB, row.b, row.isoB}} {
			tool := Tool{Kind: Cylinder, CapacityML: row.capacity, GraduationML: row.graduation, Class: class.class}
			if err := tool.Validate(); err != nil {
				t.Fatal(err)
			}
			want := math.Max(class.astm, class.wider)
			for _, volume := range []float64{row.graduation, row.capacity} {
				if got := tool.LimitML(volume); got != want {
					t.Errorf("%v at %g mL: limit %g mL, want %g", tool, volume, got, want)
				}
			}
		}
	}
}

// TestWorkedExamples are figures that others print.
func TestWorkedExamples(t *testing.T) {
	for _, row := range []struct {
		name      string
		got, want float64
		digits    float64 // half of the last one printed
	}{
		// Common practice, no source: 1 mL from a 10 mL class B cylinder is ±20 %.
		{"1 mL from a 10 mL class B cylinder, %", Tool{Kind: Cylinder, CapacityML: 10, GraduationML: 0.2, Class: ClassB}.LimitPercent(1), 20, 1e-12},
		// QUAM (2012), example A3, from memory: a 15 mL pipette of ±0.03 mL,
		// triangular, is uncertain by 0.012 mL. It lies between the sizes of ISO 648,
		// whose next larger one has ±0.03 mL too.
		{"15 mL pipette, bias", must(t, Tool{Kind: VolumetricPipette, CapacityML: 15, Class: ClassA}, 15).BiasU, 0.012, 0.0005},
		// JCGM 100:2008, F.2.2.1: the resolution δx makes u = 0.29 δx.
		{"graduation of 1 mL, reading", must(t, Tool{Kind: Cylinder, CapacityML: 100, GraduationML: 1, Class: ClassB}, 50).ReadingU, 0.29, 0.005},
		// JCGM 100:2008, 4.3.7 and 4.3.9: a/√3 and a/√6, 0.58 a and 0.41 a.
		{"class B, bias", must(t, Tool{Kind: Cylinder, CapacityML: 100, GraduationML: 1, Class: ClassB}, 50).BiasU, 0.41, 0.005},
		{"no class, half the bias", must(t, Tool{Kind: Cylinder, CapacityML: 100, GraduationML: 1}, 50).BiasU / 2, 0.58, 0.005},
		// ISO 7886-1, Table 1 (from memory), by hand.
		{"10 mL syringe, 1 mL", Tool{Kind: Syringe, CapacityML: 10, GraduationML: 0.2}.LimitML(1), 0.15 + 0.01, 1e-12},
		{"10 mL syringe, 5 mL", Tool{Kind: Syringe, CapacityML: 10, GraduationML: 0.2}.LimitML(5), 0.2, 1e-12},
		{"2 mL syringe, 0.5 mL", Tool{Kind: Syringe, CapacityML: 2, GraduationML: 0.1}.LimitML(0.5), 0.03 + 0.01, 1e-12},
		{"2 mL syringe, 2 mL", Tool{Kind: Syringe, CapacityML: 2, GraduationML: 0.1}.LimitML(2), 0.1, 1e-12},
		// ASA Z61.1-1963 (from memory): 5 % of a kitchen measure; the level of a spoon
		// ±10 % and of a cup ±3 %, a judgement, no source.
		{"tablespoon, limit", Tool{Kind: Spoon, CapacityML: 15}.LimitML(15), 0.75, 1e-12},
		{"tablespoon, bias", must(t, Tool{Kind: Spoon, CapacityML: 15}, 15).BiasU, 0.75 / math.Sqrt(3), 1e-12},
		{"tablespoon, level", must(t, Tool{Kind: Spoon, CapacityML: 15}, 15).ReadingU, 1.5 / math.Sqrt(3), 1e-12},
		{"cup, to a fifth", must(t, Tool{Kind: Cup, CapacityML: 250, GraduationML: 50}, 50).ReadingU, 7.5 / math.Sqrt(3), 1e-12},
		{"pipette with one mark, meniscus", must(t, Tool{Kind: VolumetricPipette, CapacityML: 10, Class: ClassB}, 10).ReadingU, 0.020 / math.Sqrt(6), 1e-12},
		// ISO 835:2007 (class A in a secondary copy).
		{"1 mL graduated pipette, class A", Tool{Kind: GraduatedPipette, CapacityML: 1, GraduationML: 0.01, Class: ClassA}.LimitML(0.5), 0.007, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			if !(math.Abs(row.got-row.want) <= row.digits) {
				t.Errorf("got %.6g, want %g ± %g", row.got, row.want, row.digits)
			}
		})
	}
}

// TestLimitsGrow: a class A limit is never above that of class B, and a larger
// tool of a kind never has a smaller limit.
func TestLimitsGrow(t *testing.T) {
	for _, kind := range []Kind{Cylinder, GraduatedPipette, VolumetricPipette} {
		was := 0.0
		for _, row := range glass[kindClass{kind, ClassB}] {
			a, ok := Tool{Kind: kind, CapacityML: row.capacityML}.row(ClassA)
			if !ok || a.capacityML != row.capacityML || !(a.limitML < row.limitML) || !(row.limitML >= was) {
				t.Errorf("%s of %g mL: limits A %g, B %g, next smaller B %g", kind, row.capacityML, a.limitML, row.limitML, was)
			}
			was = row.limitML
		}
	}
	// The two formulas for a syringe meet at half its capacity from either side.
	for _, capacity := range []float64{1, 2, 3, 5, 10, 20, 60} {
		below, at := syringeLimit(capacity, capacity/2*(1-1e-9)), syringeLimit(capacity, capacity/2)
		if math.Abs(below-at) > 1e-6*at {
			t.Errorf("%g mL syringe: limit %g just below half, %g from half on", capacity, below, at)
		}
	}
}

// TestUnits: the customary units are exact, so all digits must be there.
func TestUnits(t *testing.T) {
	for _, row := range []struct {
		unit Unit
		want float64
	}{
		{Millilitre, 1}, {Litre, 1000}, {Hectolitre, 100000},
		// 231 cubic inches of 16.387064 mL; NIST Handbook 44, appendix C.
		{USGallon, 3785.411784}, {USFluidOunce, 29.5735295625}, {USCup, 236.5882365},
		// SI 1995/1804, schedule (from memory): 4.54609 dm³; 28.4130625 cm³.
		{ImperialGallon, 4546.09}, {ImperialFluidOunce, 28.4130625},
	} {
		if got := row.unit.ML(); math.Abs(got-row.want) > 1e-14*row.want {
			t.Errorf("%s is %.17g mL, want %.17g", row.unit, got, row.want)
		}
		if err := row.unit.Validate(); err != nil {
			t.Error(err)
		}
	}
	if n := len(Units()); n != 8 {
		t.Errorf("%d units, all 8 should be in the table above", n)
	}
	if Unit("gal").Validate() == nil || Unit("gal").ML() != 0 {
		t.Error("a gallon of no country is taken")
	}
}

// TestKitchen: common practice, no source, but for the USA.
func TestKitchen(t *testing.T) {
	for _, row := range []struct {
		name, country string
		ml            float64
		warns         bool
	}{
		{"tablespoon", "", 15, true},
		{"tablespoon", "GB", 15, false},
		{"tablespoon", "AU", 20, false},
		{"tablespoon", "US", 14.78676478125, false},
		{"teaspoon", "AU", 5, false},
		{"teaspoon", "US", 4.92892159375, false},
		{"cup", "NZ", 250, false},
		{"cup", "US", 236.5882365, false},
		{"fifth of a cup", "", 50, false},
	} {
		m, err := KitchenMeasure(row.name, row.country)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(m.ML-row.ml) > 1e-12*row.ml || (len(m.Warnings) > 0) != row.warns {
			t.Errorf("%s in %q: %.12g mL, warnings %v, want %.12g", row.name, row.country, m.ML, m.Warnings, row.ml)
		}
		if err := m.Tool().Validate(); err != nil {
			t.Errorf("%s: %v", m.Name, err)
		}
	}
	for _, row := range [][2]string{{"glass", ""}, {"cup", "usa"}, {"cup", "us"}} {
		if m, err := KitchenMeasure(row[0], row[1]); err == nil {
			t.Errorf("%q in %q is taken for %v", row[0], row[1], m)
		}
	}
}

func must(t *testing.T, tool Tool, volumeML float64) Pour {
	t.Helper()
	p, err := tool.Pour(volumeML)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

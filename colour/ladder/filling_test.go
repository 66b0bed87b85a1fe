package ladder

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour"
	"pourpath/colour/volumetric"
)

var (
	fineSyringe = volumetric.Tool{Kind: volumetric.Syringe, CapacityML: 10, GraduationML: 0.2}
	tenB        = volumetric.Tool{Kind: volumetric.Cylinder, CapacityML: 10, GraduationML: 0.2, Class: volumetric.ClassB}
	hundredA    = volumetric.Tool{Kind: volumetric.Cylinder, CapacityML: 100, GraduationML: 1, Class: volumetric.ClassA}
)

// filled is a glass after pours of the addition with a tool, or where below 0
// withdrawals uncertain by uOut.
func filled(t testing.TB, base, addition volumetric.Tool, baseML, uOut float64, steps ...float64) Filling {
	t.Helper()
	pours, err := measured(base, baseML)
	if err != nil {
		t.Fatal(err)
	}
	f, err := Fill(pours...)
	if err != nil {
		t.Fatal(err)
	}
	for _, ml := range steps {
		if ml < 0 {
			if f, err = f.Withdraw(-ml, uOut); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if pours, err = measured(addition, ml); err != nil {
			t.Fatal(err)
		}
		if f, err = f.Pour(pours...); err != nil {
			t.Fatal(err)
		}
	}
	return f
}

// TestDoseUByHand: of a top-up the tool's bias adds linearly and the reading in
// quadrature; a fresh glass has each once.
func TestDoseUByHand(t *testing.T) {
	exact := func(ml float64) volumetric.Pour { return volumetric.Pour{VolumeML: ml} }
	f, err := Fill(exact(100))
	if err != nil {
		t.Fatal(err)
	}
	p, err := tenB.Pour(2)
	if err != nil {
		t.Fatal(err)
	}
	for n := 1; n <= 5; n++ {
		if f, err = f.Pour(p); err != nil {
			t.Fatal(err)
		}
		u := f.DoseU()
		bias, reading := float64(n)*0.2/math.Sqrt(6), math.Sqrt(float64(n))*0.2/math.Sqrt(12)
		if math.Abs(u.Bias-bias) > 1e-6 || math.Abs(u.Reading-reading) > 1e-6 {
			t.Errorf("%d pours of 2 mL into 100 mL: %+v, want %g and %g mL per 100 mL", n, u, bias, reading)
		}
	}
	// An error of 1 % in the base alone is one of 1 % in the dose.
	f, err = Fill(volumetric.Pour{VolumeML: 100, ReadingU: 1})
	if err != nil {
		t.Fatal(err)
	}
	if f, err = f.Pour(exact(8)); err != nil {
		t.Fatal(err)
	}
	if u := f.DoseU(); u.Bias != 0 || math.Abs(u.Reading-0.08) > 1e-6 {
		t.Errorf("1 %% of the base: %+v, want 0.08 mL per 100 mL of reading", u)
	}
	// A sip of 15 ± 5 mL from 108 mL, then 2 mL: by hand the dose is
	// 8 + 2/(1 - w/108) with w = 15, so its slope is 2/108/(1 - 15/108)² per mL.
	if f, err = Fill(exact(100)); err != nil {
		t.Fatal(err)
	}
	if f, err = f.Pour(exact(8)); err != nil {
		t.Fatal(err)
	}
	if f, err = f.Withdraw(15, 5); err != nil {
		t.Fatal(err)
	}
	if u := f.DoseU().Combined(); u > 1e-9 {
		t.Errorf("a sip alone makes the dose uncertain by %g", u)
	}
	if f, err = f.Pour(exact(2)); err != nil {
		t.Fatal(err)
	}
	want := 5 * 2. / 108 / math.Pow(1-15./108, 2)
	if u := f.DoseU().Combined(); math.Abs(u-want) > 1e-6 {
		t.Errorf("a sip of 15 ± 5 mL: u %g, want %g mL per 100 mL", u, want)
	}
}

// TestDoseUMonteCarlo draws the errors of tools and readings from the
// distributions that package volumetric names and pours with them.
func TestDoseUMonteCarlo(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 10))
	half := func(g float64) float64 { return g * (random.Float64() - 0.5) }
	for _, row := range []struct {
		name  string
		steps []float64
		uOut  float64
	}{
		{"one pour", []float64{8}, 0},
		{"topped up", []float64{2, 2, 2, 2}, 0},
		{"topped up with a cell taken out", []float64{4, -12, 3, -12, 2}, 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			want := filled(t, hundredA, tenB, 100, row.uOut, row.steps...).DoseU().Combined()
			const draws = 20000
			var sum, square float64
			for range draws {
				biasBase := 0.5 * (random.Float64() - random.Float64())
				bias := 0.2 * (random.Float64() - random.Float64())
				g := after(t, 100+biasBase+half(1))
				for _, ml := range row.steps {
					var err error
					if ml < 0 {
						g, err = g.Withdraw(-ml + row.uOut*random.NormFloat64())
					} else {
						g, err = g.Pour(ml + bias + half(0.2))
					}
					if err != nil {
						t.Fatal(err)
					}
				}
				d := float64(g.Dose())
				sum += d
				square += d * d
			}
			mean := sum / draws
			if sd := math.Sqrt(square/draws - mean*mean); math.Abs(sd/want-1) > 0.02 {
				t.Errorf("first order %.4f, drawn %.4f mL per 100 mL", want, sd)
			}
		})
	}
}

// TestUnstated: without a tool, base and addition are each known to 0.7 %, and
// what they share is not taken to cancel between them.
func TestUnstated(t *testing.T) {
	f := filled(t, volumetric.Tool{}, volumetric.Tool{}, 100, 0, 10)
	if got, want := f.DoseU().Combined(), 10*0.007*math.Sqrt2; math.Abs(got-want) > 1e-6 {
		t.Errorf("u %g, want %g", got, want)
	}
}

func TestFillingRefused(t *testing.T) {
	full := filled(t, hundredA, tenB, 100, 0, 8)
	for _, row := range []struct {
		name, field string
		do          func() error
	}{
		{"no base", "base_ml", func() error { _, err := Fill(); return err }},
		{"pour of nothing", "volume_ml", func() error { _, err := full.Pour(volumetric.Pour{}); return err }},
		{"more than there is", "volume_ml", func() error { _, err := full.Withdraw(200, 0); return err }},
		{"uncertainty below 0", "u_ml", func() error { _, err := full.Withdraw(5, -1); return err }},
		{"uncertainty that is no number", "u_ml", func() error { _, err := full.Withdraw(5, math.NaN()); return err }},
	} {
		var faults colour.FieldErrors
		if err := row.do(); !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != row.field {
			t.Errorf("%s: %v, want a fault at %s", row.name, err, row.field)
		}
	}
	// Two ways on from one glass do not disturb each other.
	p, err := tenB.Pour(2)
	if err != nil {
		t.Fatal(err)
	}
	a, errA := full.Pour(p)
	b, errB := full.Withdraw(10, 1)
	again, errAgain := full.Pour(p)
	if errA != nil || errB != nil || errAgain != nil || a.DoseU() != again.DoseU() || b.DoseU() != full.DoseU() || a.Glass() != again.Glass() {
		t.Error("a glass is not a value")
	}
}

func ExampleFilling_DoseU() {
	cylinder := volumetric.Tool{Kind: volumetric.Cylinder, CapacityML: 10, GraduationML: 0.2, Class: volumetric.ClassB}
	pour := func(f Filling, ml float64) Filling {
		parts, err := cylinder.Fill(ml)
		if err != nil {
			panic(err)
		}
		if f, err = f.Pour(parts...); err != nil {
			panic(err)
		}
		return f
	}
	glass, err := Fill(Unstated(100))
	if err != nil {
		panic(err)
	}
	fresh := pour(glass, 8).DoseU()
	toppedUp := pour(pour(pour(pour(glass, 2), 2), 2), 2).DoseU()
	fmt.Printf("at once: u %.2f mL per 100 mL; in four top-ups: %.2f, of it %.2f of the cylinder and %.2f of the readings\n",
		fresh.Combined(), toppedUp.Combined(), toppedUp.Bias, toppedUp.Reading)
	// Output:
	// at once: u 0.11 mL per 100 mL; in four top-ups: 0.35, of it 0.33 of the cylinder and 0.12 of the readings
}

package volumetric

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pourpath/colour"
)

var (
	cylinder = Tool{Kind: Cylinder, CapacityML: 10, GraduationML: 0.2, Class: ClassB}
	syringe  = Tool{Kind: Syringe, CapacityML: 10, GraduationML: 0.5}
	spoon    = Tool{Kind: Spoon, CapacityML: 15}
)

func TestPourRefused(t *testing.T) {
	for _, row := range []struct {
		name         string
		tool         Tool
		volumeML     float64
		field, words string
	}{
		{"nothing", cylinder, 0, "volume_ml", "above 0"},
		{"below nothing", cylinder, -2, "volume_ml", "above 0"},
		{"not a number", cylinder, math.NaN(), "volume_ml", "above 0"},
		{"without end", cylinder, math.Inf(1), "volume_ml", "above 0"},
		{"larger than the tool", cylinder, 15, "volume_ml", "in 2 parts, or take a tool of 15 mL"},
		{"below the first line", cylinder, 0.1, "volume_ml", "below the first graduation"},
		{"between two lines", cylinder, 3.3, "volume_ml", "pour 3.2 or 3.4 mL"},
		{"half a spoon", spoon, 7.5, "volume_ml", "no part of it"},
		{"unknown kind", Tool{Kind: "bucket", CapacityML: 1}, 1, "kind", "cylinder"},
		{"no capacity", Tool{Kind: Syringe, GraduationML: 1}, 1, "capacity_ml", "at most 100"},
		{"larger than any", Tool{Kind: Cylinder, CapacityML: 2000, GraduationML: 20}, 20, "capacity_ml", "at most 1000"},
		{"no graduation", Tool{Kind: Cylinder, CapacityML: 10}, 1, "graduation_ml", "0.1 or 0.2 mL is usual for 10 mL"},
		{"one line only", Tool{Kind: Syringe, CapacityML: 10, GraduationML: 10}, 10, "graduation_ml", "no line"},
		{"in microlitres", Tool{Kind: Syringe, CapacityML: 50, GraduationML: 0.001}, 1, "graduation_ml", "more than 1000 lines"},
		{"a pipette with one mark and a scale", Tool{Kind: VolumetricPipette, CapacityML: 10, GraduationML: 1}, 10, "graduation_ml", "no scale"},
		{"unknown class", Tool{Kind: Cylinder, CapacityML: 10, GraduationML: 1, Class: "C"}, 1, "class", "A (AS too) or B"},
		{"a syringe with a class", Tool{Kind: Syringe, CapacityML: 10, GraduationML: 1, Class: ClassA}, 1, "class", "no class"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := row.tool.Pour(row.volumeML)
			var faults colour.FieldErrors
			if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != row.field || !strings.Contains(faults[0].Message, row.words) {
				t.Errorf("error %v, want one fault at %s that says %q", err, row.field, row.words)
			}
		})
	}
	var faults colour.FieldErrors
	if err := (Tool{Kind: Syringe, CapacityML: -1, GraduationML: -1, Class: ClassB}).Validate(); !errors.As(err, &faults) || len(faults) != 3 {
		t.Errorf("three faults at once: %v", err)
	}
}

func TestFill(t *testing.T) {
	for _, row := range []struct {
		tool     Tool
		volumeML float64
		want     string
	}{
		{syringe, 0.5, "0.5 mL"},
		{syringe, 10, "10 mL"},
		{syringe, 13, "10 + 3 mL"},
		{syringe, 20.5, "10 + 10 + 0.5 mL"},
		{cylinder, 0.6, "0.6 mL"},
		{spoon, 45, "15 + 15 + 15 mL"},
		{Tool{Kind: Syringe, CapacityML: 2.5, GraduationML: 0.2}, 4.8, "2.4 + 2.4 mL"}, // its last line is 2.4
	} {
		pours, err := row.tool.Fill(row.volumeML)
		if err != nil {
			t.Errorf("%g mL with the %v: %v", row.volumeML, row.tool, err)
			continue
		}
		if got := Spell(pours); got != row.want {
			t.Errorf("%g mL with the %v: %s, want %s", row.volumeML, row.tool, got, row.want)
		}
	}
	for _, volume := range []float64{0, -1, math.NaN(), math.Inf(1), 13.2, 201} {
		if pours, err := syringe.Fill(volume); err == nil {
			t.Errorf("%g mL with a 10 mL syringe in steps of 0.5: %s", volume, Spell(pours))
		}
	}
}

// TestFillRefused: the whole volume is named, not what is left of it.
func TestFillRefused(t *testing.T) {
	if _, err := syringe.Fill(13.2); err == nil || !strings.Contains(err.Error(), "13.2 mL is between two graduations of the 10 mL syringe: pour 13 or 13.5 mL") {
		t.Errorf("13.2 mL in steps of 0.5: %v", err)
	}
}

// TestRound: what Round gives can be poured, and is the nearest that can.
func TestRound(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		tool := []Tool{cylinder, syringe, spoon}[random.IntN(3)]
		volume := 40 * random.Float64()
		got := tool.Round(volume)
		if math.Abs(got-volume) > tool.StepML()/2*(1+1e-5) {
			t.Fatalf("%v: Round(%g) = %g, more than half a step off", tool, volume, got)
		}
		if got == 0 {
			continue
		}
		if _, err := tool.Fill(got); err != nil {
			t.Fatalf("%v: Round(%g) = %g: %v", tool, volume, got, err)
		}
	}
	if got := cylinder.Round(0.3); got != 0.4 {
		t.Errorf("a half is rounded to %g, want up to 0.4", got)
	}
}

// TestCombineMonteCarlo checks the law: biases of one tool add linearly, all
// else in quadrature. Errors are drawn from the distributions that the package
// names, once for each tool and once for each reading.
func TestCombineMonteCarlo(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	other := Tool{Kind: Cylinder, CapacityML: 100, GraduationML: 1, Class: ClassA}
	var pours []Pour
	for _, volume := range []float64{2, 2, 3, 0.4} {
		pours = append(pours, must(t, cylinder, volume))
	}
	pours = append(pours, must(t, other, 7))
	weights := []float64{1, 1, -0.5, 2, 0.3}
	u := Combine(weights, pours)
	const draws = 40000
	var sum, square float64
	for range draws {
		triangular := func(a float64) float64 { return a * (random.Float64() - random.Float64()) }
		bias := map[Tool]float64{cylinder: triangular(0.2), other: triangular(0.5)}
		var off float64
		for i, p := range pours {
			off += weights[i] * (bias[p.Tool] + p.Tool.GraduationML*(random.Float64()-0.5))
		}
		sum += off
		square += off * off
	}
	sd := math.Sqrt(square/draws - sum*sum/draws/draws)
	if math.Abs(sd/u.Combined()-1) > 0.015 {
		t.Errorf("combined %.5f, drawn %.5f", u.Combined(), sd)
	}
	// By hand: n pours with one tool have n times its bias and √n times its reading.
	for _, n := range []int{1, 4, 9} {
		same := make([]Pour, n)
		for i := range same {
			same[i] = must(t, cylinder, 2)
		}
		volume, u := Sum(same)
		wantBias, wantReading := float64(n)*0.2/math.Sqrt(6), math.Sqrt(float64(n))*0.2/math.Sqrt(12)
		if volume != float64(2*n) || math.Abs(u.Bias-wantBias) > 1e-12 || math.Abs(u.Reading-wantReading) > 1e-12 {
			t.Errorf("%d pours: %g mL, %+v, want bias %g, reading %g", n, volume, u, wantBias, wantReading)
		}
	}
	// A second tool of the same make is another tool once it has a name.
	twin := syringe
	twin.Name = "blue syringe"
	_, shared := Sum([]Pour{must(t, syringe, 4), must(t, syringe, 4)})
	_, apart := Sum([]Pour{must(t, syringe, 4), must(t, twin, 4)})
	if math.Abs(apart.Bias*math.Sqrt2-shared.Bias) > 1e-12 {
		t.Errorf("bias of two pours with one syringe %g, with two syringes %g", shared.Bias, apart.Bias)
	}
}

func ExampleTool_Pour() {
	cylinder := Tool{Kind: Cylinder, CapacityML: 10, GraduationML: 0.2, Class: ClassB}
	pour, err := cylinder.Pour(1)
	if err != nil {
		panic(err)
	}
	fmt.Printf("1 mL from a %v: ±%.0f %% at most, u %.2f mL of the tool and %.2f mL of the reading\n",
		cylinder, cylinder.LimitPercent(1), pour.BiasU, pour.ReadingU)
	_, err = cylinder.Pour(15)
	fmt.Println(err)
	// Output:
	// 1 mL from a 10 mL class B cylinder: ±20 % at most, u 0.08 mL of the tool and 0.06 mL of the reading
	// volume_ml: the 10 mL class B cylinder holds 10 mL, not 15: pour it in 2 parts, or take a tool of 15 mL or more
}

func ExampleTool_Fill() {
	syringe := Tool{Kind: Syringe, CapacityML: 10, GraduationML: 0.5}
	pours, err := syringe.Fill(13)
	if err != nil {
		panic(err)
	}
	volume, u := Sum(pours)
	fmt.Printf("%s: %g mL, u %.2f mL\n", Spell(pours), volume, u.Combined())
	// Output:
	// 10 + 3 mL: 13 mL, u 0.39 mL
}

func ExampleTool_Round() {
	cylinder := Tool{Kind: Cylinder, CapacityML: 10, GraduationML: 0.2, Class: ClassB}
	fmt.Println(cylinder.Round(6.37), cylinder.Round(12.9))
	// Output: 6.4 13
}

func ExampleKitchenMeasure() {
	for _, country := range []string{"AU", ""} {
		m, err := KitchenMeasure("tablespoon", country)
		if err != nil {
			panic(err)
		}
		fmt.Println(m.ML)
		for _, w := range m.Warnings {
			fmt.Println(w.Message)
		}
	}
	// Output:
	// 20
	// 15
	// A tablespoon is taken to hold 15 mL; it is 20 mL in AU and 14.8 mL in US. Say the country, or measure what yours holds.
}

func ExampleUnit_ML() {
	fmt.Printf("%.9f L, %.5f L\n", USGallon.ML()/1000, ImperialGallon.ML()/1000)
	// Output: 3.785411784 L, 4.54609 L
}

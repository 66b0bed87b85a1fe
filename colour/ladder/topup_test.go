package ladder

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/volumetric"
)

func twoGlasses() TopUp {
	return TopUp{BaseML: 100, DosesML: []float64{2, 4, 6, 8, 10, 12}, Reference: "A", Glasses: []string{"B", "C"}, Tool: tenB, BaseTool: hundredA}
}

func TestTopUpSteps(t *testing.T) {
	steps, err := twoGlasses().Steps()
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, s := range steps {
		got = append(got, fmt.Sprintf("%s %s%+g=%g@%.4g", s.Kind, s.Glass, s.VolumeML, s.TotalML, float64(s.Dose)))
	}
	want := "base A+100=0@0, base B+100=0@0, base C+100=0@0, " +
		"addition B+2=2@2, addition C+4=4@4, addition B+4=6@6, addition C+4=8@8, addition B+4=10@10, addition C+4=12@12"
	if strings.Join(got, ", ") != want {
		t.Errorf("steps %s, want %s", strings.Join(got, ", "), want)
	}
}

// TestTopUpRule: the flag follows the rule as it is stated, and the uncertainties
// are those of a glass that was filled by hand.
func TestTopUpRule(t *testing.T) {
	cup := volumetric.Tool{Kind: volumetric.Cup, CapacityML: 100}
	even := func(step float64) (doses []float64) {
		for i := 1; i <= 10; i++ {
			doses = append(doses, tidy(float64(i)*step))
		}
		return doses
	}
	for _, row := range []struct {
		name       string
		base, tool volumetric.Tool
		doses      []float64
		flagged    int
	}{
		{"small steps with a cylinder", hundredA, tenB, even(0.4), 8},
		{"large steps with a cylinder", hundredA, tenB, even(2), 0},
		{"small steps with a syringe", hundredA, fineSyringe, even(0.4), 8},
		{"large steps with a syringe", hundredA, fineSyringe, even(2), 2},
		{"an unsure base, which a fresh glass has too", cup, fineSyringe, even(1), 7},
		{"a fresh glass that gains little", cup, fineSyringe, []float64{38, 39, 40, 41}, 0},
		{"uneven steps", hundredA, tenB, []float64{3, 6, 9, 9.4, 12, 20}, 2},
	} {
		t.Run(row.name, func(t *testing.T) {
			plan := twoGlasses()
			plan.BaseTool, plan.Tool, plan.DosesML = row.base, row.tool, row.doses
			steps, err := plan.Steps()
			if err != nil {
				t.Fatal(err)
			}
			poured, flagged := map[string][]float64{}, 0
			for _, s := range steps {
				if s.Kind != PourAddition {
					continue
				}
				before := len(poured[s.Glass])
				poured[s.Glass] = append(poured[s.Glass], s.VolumeML)
				u := filled(t, row.base, row.tool, 100, 0, poured[s.Glass]...).DoseU().Combined()
				fresh := filled(t, row.base, row.tool, 100, 0, s.RungML).DoseU().Combined()
				if math.Abs(u-s.DoseU.Combined()) > 1e-9 || math.Abs(fresh-s.FreshU) > 1e-9 {
					t.Errorf("at %g mL: u %g, fresh %g, want %g, %g", s.RungML, s.DoseU.Combined(), s.FreshU, u, fresh)
				}
				room := s.RungML // to the base
				for _, other := range row.doses {
					if other != s.RungML {
						room = math.Min(room, math.Abs(other-s.RungML))
					}
				}
				want := before > 0 && fresh < 0.9*u && 2*u > room/2
				if s.FreshBetter != want || math.Abs(s.Room-room) > 1e-9 {
					t.Errorf("at %g mL: fresh better %v with room %g, u %g, fresh %g, room %g", s.RungML, s.FreshBetter, s.Room, u, fresh, room)
				}
				if want {
					flagged++
				}
			}
			if flagged != row.flagged {
				t.Errorf("%d rungs flagged, want %d", flagged, row.flagged)
			}
		})
	}
}

// TestTopUpWithdraws: what a cell takes out is made up for, on the graduation,
// and no rung is more than half a graduation off.
func TestTopUpWithdraws(t *testing.T) {
	plan := twoGlasses()
	plan.WithdrawML, plan.WithdrawU = 12, 0.5
	plan.Tool = fineSyringe
	steps, err := plan.Steps()
	if err != nil {
		t.Fatal(err)
	}
	now := map[string]Glass{}
	for i, s := range steps {
		switch s.Kind {
		case PourBase:
			now[s.Glass] = after(t, s.VolumeML)
		case PourAddition:
			if now[s.Glass], err = now[s.Glass].Pour(s.VolumeML); err != nil {
				t.Fatal(err)
			}
			half := float64(blend.DoseOf(plan.Tool.GraduationML/2, now[s.Glass].BaseML()))
			if off := math.Abs(float64(s.Dose) - s.RungML); off > half*(1+1e-6) {
				t.Errorf("rung %g mL: the glass is at %.4g mL per 100 mL, off by more than %.2g", s.RungML, float64(s.Dose), half)
			}
			if math.Abs(s.VolumeML/plan.Tool.GraduationML-math.Round(s.VolumeML/plan.Tool.GraduationML)) > 1e-6 {
				t.Errorf("%g mL is off the graduation", s.VolumeML)
			}
			if steps[i+1].Kind != TakeOut || steps[i+1].Glass != s.Glass {
				t.Errorf("rung %g mL is not read", s.RungML)
			}
		case TakeOut:
			if now[s.Glass], err = now[s.Glass].Withdraw(s.VolumeML); err != nil {
				t.Fatal(err)
			}
		}
		g := now[s.Glass]
		if math.Abs(g.VolumeML()-s.VolumeLeftML) > 1e-9 || math.Abs(float64(g.Dose()-s.Dose)) > 1e-9 || math.Abs(g.PouredML()-s.TotalML) > 1e-8 {
			t.Errorf("step %d: %+v, but the glass holds %.4g mL at %.4g", i, s, g.VolumeML(), float64(g.Dose()))
		}
	}
	if g := now["A"]; g.PouredML() != 0 || math.Abs(g.VolumeML()-88) > 1e-9 {
		t.Errorf("the reference holds %g mL of addition in %g mL", g.PouredML(), g.VolumeML())
	}
}

func TestTopUpRefused(t *testing.T) {
	for _, row := range []struct {
		name, field, words string
		change             func(*TopUp)
	}{
		{"no base", "base_ml", "above 0", func(p *TopUp) { p.BaseML = 0 }},
		{"base off the scale", "base_ml", "below the first graduation", func(p *TopUp) { p.BaseML, p.DosesML = 0.5, []float64{2} }},
		{"no rungs", "doses_ml", "1 to", func(p *TopUp) { p.DosesML = nil }},
		{"off the graduation", "doses_ml/0", "between two", func(p *TopUp) { p.DosesML = []float64{2.1} }},
		{"down the ladder", "doses_ml/1", "ascend", func(p *TopUp) { p.DosesML = []float64{4, 2} }},
		{"exchanged", "doses_ml/0", "exchanged", func(p *TopUp) { p.BaseML, p.DosesML, p.BaseTool = 10, []float64{150}, volumetric.Tool{} }},
		{"no reference", "reference", "base alone", func(p *TopUp) { p.Reference = "" }},
		{"no glasses", "glasses", "1 to 50", func(p *TopUp) { p.Glasses = nil }},
		{"a glass twice", "glasses/1", "twice", func(p *TopUp) { p.Glasses = []string{"B", "B"} }},
		{"the reference in the ladder", "glasses/1", "reference", func(p *TopUp) { p.Glasses = []string{"B", "A"} }},
		{"a glass without a label", "glasses/0", "label", func(p *TopUp) { p.Glasses = []string{""} }},
		{"no tool", "tool/kind", "cylinder", func(p *TopUp) { p.Tool = volumetric.Tool{} }},
		{"a base tool that is none", "base_tool/graduation_ml", "graduation", func(p *TopUp) { p.BaseTool.GraduationML = 0 }},
		{"all of it taken out", "withdraw_ml", "less than", func(p *TopUp) { p.WithdrawML = 100 }},
		{"too much taken out in the end", "withdraw_ml", "pour readings back", func(p *TopUp) { p.WithdrawML = 45 }},
		{"uncertainty below 0", "withdraw_u_ml", "0 mL or more", func(p *TopUp) { p.WithdrawU = -1 }},
		{"a rung too near", "doses_ml/1", "half a graduation", func(p *TopUp) {
			p.Glasses, p.DosesML, p.WithdrawML = []string{"B"}, []float64{2, 2.2}, 60
		}},
	} {
		t.Run(row.name, func(t *testing.T) {
			plan := twoGlasses()
			row.change(&plan)
			_, err := plan.Steps()
			var faults colour.FieldErrors
			if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != row.field || !strings.Contains(faults[0].Message, row.words) {
				t.Errorf("error %v, want one fault at %s that says %q", err, row.field, row.words)
			}
		})
	}
}

func ExampleTopUp_Steps() {
	plan := TopUp{
		BaseML: 100, DosesML: []float64{1, 2, 3, 4, 5, 6}, Reference: "A", Glasses: []string{"B", "C"},
		Tool:     volumetric.Tool{Kind: volumetric.Cylinder, CapacityML: 10, GraduationML: 0.2, Class: volumetric.ClassB},
		BaseTool: volumetric.Tool{Kind: volumetric.Cylinder, CapacityML: 100, GraduationML: 1, Class: volumetric.ClassB},
	}
	steps, err := plan.Steps()
	if err != nil {
		panic(err)
	}
	for _, s := range steps[3:] {
		fmt.Printf("%s +%g mL: holds %g mL, %.3g per 100 mL, u %.2f (fresh %.2f)\n", s.Glass, s.VolumeML, s.TotalML, float64(s.Dose), s.DoseU.Combined(), s.FreshU)
		if s.FreshBetter {
			fmt.Println("  " + FreshNote(s.DoseU.Combined(), s.Room, s.FreshU))
		}
	}
	// Output:
	// B +1 mL: holds 1 mL, 1 per 100 mL, u 0.10 (fresh 0.10)
	// C +2 mL: holds 2 mL, 2 per 100 mL, u 0.10 (fresh 0.10)
	// B +2 mL: holds 3 mL, 3 per 100 mL, u 0.18 (fresh 0.10)
	// C +2 mL: holds 4 mL, 4 per 100 mL, u 0.18 (fresh 0.10)
	// B +2 mL: holds 5 mL, 5 per 100 mL, u 0.27 (fresh 0.10)
	//   A fresh glass would be better here: topped up, the dose is known to ±0.53 mL per 100 mL (95 %), of 1 to the next rung; poured at once it is known to ±0.21.
	// C +2 mL: holds 6 mL, 6 per 100 mL, u 0.27 (fresh 0.10)
	//   A fresh glass would be better here: topped up, the dose is known to ±0.53 mL per 100 mL (95 %), of 1 to the next rung; poured at once it is known to ±0.21.
}

package bench_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
)

func (p printer) plan(id, body string) (bench.TrialPlan, error) {
	p.t.Helper()
	ask, err := calc.DecodeWhole[bench.TrialPlanRequest]([]byte(body))
	if err != nil {
		return bench.TrialPlan{}, err
	}
	return p.Plan(p.t.Context(), id, ask)
}

func (p printer) mustPlan(id, body string) bench.TrialPlan {
	p.t.Helper()
	plan, err := p.plan(id, body)
	if err != nil {
		p.t.Fatal(err)
	}
	for _, s := range plan.Steps {
		if g := plan.Tool.Core().StepML(); s.Kind == "addition" && !onGraduation(s.VolumeML, g) {
			p.t.Errorf("%g mL into %s is off the graduation of %g mL", s.VolumeML, s.Glass, g)
		}
	}
	return plan
}

func onGraduation(ml, graduation float64) bool {
	n := ml / graduation
	return math.Abs(n-math.Round(n)) < 1e-6
}

// steps tells a plan's steps in short: B+2=2 is 2 mL poured into B, which then has
// had 2 mL.
func steps(plan bench.TrialPlan) string {
	var out []string
	for _, s := range plan.Steps {
		switch s.Kind {
		case "base":
			out = append(out, fmt.Sprintf("%s:%g", s.Glass, s.VolumeML))
		case "withdrawal":
			out = append(out, fmt.Sprintf("%s-%g", s.Glass, s.VolumeML))
		default:
			out = append(out, fmt.Sprintf("%s+%g=%g", s.Glass, s.VolumeML, s.TotalML))
		}
	}
	return strings.Join(out, " ")
}

func doses(plan bench.TrialPlan) (out []float64) {
	for _, r := range plan.Rungs {
		out = append(out, r.DoseML)
	}
	return out
}

// says is what a list warns of with a code; empty where it does not.
func says(list []calc.Warning, code string) string {
	for _, w := range list {
		if w.Code == code {
			return w.Message
		}
	}
	return ""
}

func (p printer) ordinary() string {
	return p.begin(`{"base": ` + white + `, "addition": ` + red + `, ` + aim + kit + around + `}`)
}

// TestEvenPlan walks two glasses up an even ladder beside one of base alone.
func TestEvenPlan(t *testing.T) {
	p := newPrinter(t)
	plan := p.mustPlan(p.ordinary(), `{"kind": "even", "step_ml": 2, "to_ml": 12}`)
	if want := []float64{0, 2, 4, 6, 8, 10, 12}; !slices.Equal(doses(plan), want) {
		t.Errorf("rungs %v, want %v", doses(plan), want)
	}
	if got, want := steps(plan), "A:100 B:100 C:100 B+2=2 C+4=4 B+4=6 C+4=8 B+4=10 C+4=12"; got != want {
		t.Errorf("steps %s, want %s", got, want)
	}
	syringe := plan.Tool.Core()
	var bias, reading float64
	for _, s := range plan.Steps {
		if s.Kind == "base" {
			if s.Dose != 0 || s.UDose != 0 || s.VolumeLeftML != 100 || s.Tool != "" {
				t.Errorf("base: %+v", s)
			}
			continue
		}
		near(t, s.Glass+" dose", s.Dose, s.TotalML)
		near(t, s.Glass+" volume", s.VolumeLeftML, 100+s.TotalML)
		near(t, s.Glass+" rung", s.RungML, s.TotalML)
		if s.Tool != "10 mL syringe" {
			t.Errorf("with %q", s.Tool)
		}
		if s.Glass != "B" {
			continue
		}
		// By hand: the syringe's own error adds up linearly, its readings in quadrature,
		// and the base is known to 0.7 %.
		pour, err := syringe.Pour(s.VolumeML)
		if err != nil {
			t.Fatal(err)
		}
		bias, reading = bias+pour.BiasU, math.Hypot(reading, pour.ReadingU)
		near(t, "u of the dose", s.UDose, math.Hypot(math.Hypot(bias, reading), 0.007*s.Dose))
	}
	if plan.Proposal == nil || plan.Next == nil || plan.HeldML != 0 {
		t.Errorf("proposal %v, next %v", plan.Proposal, plan.Next)
	}
	for i, r := range plan.Rungs {
		if r.Colour == nil || r.Difference == nil || (i > 0) != (r.FromPrevious != nil) {
			t.Errorf("rung %d: %+v", i, r)
		}
	}
	// With nothing said of steps and end they are on the graduation all the same, and
	// even.
	free := doses(p.mustPlan(p.ordinary(), `{"kind": "even"}`))
	for i := 1; i < len(free); i++ {
		if !onGraduation(free[i], 0.5) || math.Abs(free[i]-free[i-1]-free[1]) > 1e-9 {
			t.Errorf("rungs %v are not even", free)
		}
	}
	// Rungs between two lines go to the nearest, and that is said.
	odd := p.mustPlan(p.ordinary(), `{"kind": "even", "step_ml": 1.3, "to_ml": 4}`)
	if want := []float64{0, 1.5, 2.5, 4}; !slices.Equal(doses(odd), want) || says(odd.Warnings, "rounded_to_graduation") == "" {
		t.Errorf("rungs %v, want %v; %v", doses(odd), want, odd.Warnings)
	}
}

// TestVisiblePlan: rungs are as far apart as asked, within what one graduation is.
func TestVisiblePlan(t *testing.T) {
	p := newPrinter(t)
	plan := p.mustPlan(p.ordinary(), `{"kind": "visible", "visible_step": 2, "to_ml": 12, "tools": [{"name": "fine", "kind": "syringe", "capacity_ml": 5, "graduation_ml": 0.1}]}`)
	if n := len(plan.Rungs); n < 6 || plan.Rungs[n-1].DoseML != 12 || plan.Tool.Name != "fine" {
		t.Fatalf("rungs %v with the %s", doses(plan), plan.Tool.Name)
	}
	for i, r := range plan.Rungs[1:] {
		one := *r.FromPrevious / ((r.DoseML - plan.Rungs[i].DoseML) / 0.1) // ΔE00 of a graduation there
		if math.Abs(*r.FromPrevious-2) > 0.1+1.5*one || !onGraduation(r.DoseML, 0.1) {
			t.Errorf("rung %g mL is ΔE00 %.2f from the one before, of %.2f a graduation", r.DoseML, *r.FromPrevious, one)
		}
	}
	if at := plan.Rungs[2].DoseML - plan.Rungs[1].DoseML; at >= plan.Rungs[len(plan.Rungs)-1].DoseML-plan.Rungs[len(plan.Rungs)-2].DoseML {
		t.Errorf("the steps %v do not grow with the dose", doses(plan))
	}
}

// read is what a photometer without error reads of a dose of red in white, if the
// red colours by a factor of what it does neat: by hand.
func read(dose, factor float64) string {
	at := func(white, red float64) float64 { return (white + factor*10*red*dose/100) / (1 + dose/100) }
	return fmt.Sprintf(`{"a420": %.5f, "a520": %.5f, "a620": %.5f, "path_mm": 10}`, at(0.085, 0.231), at(0.021, 0.398), at(0.008, 0.067))
}

// TestClosingPlan closes in on the target: each rung is poured as the plan says and
// read, until reading more is pointless.
func TestClosingPlan(t *testing.T) {
	p := newPrinter(t)
	id := p.ordinary()
	for round := 1; ; round++ {
		plan := p.mustPlan(id, `{"kind": "closing"}`)
		n := plan.Next
		if n == nil || n.Why == "" || n.Pointless != (n.DoseML == nil) {
			t.Fatalf("next %+v", n)
		}
		if n.Pointless {
			if len(plan.Steps) != 0 || len(plan.Rungs) != 1 || round == 1 {
				t.Errorf("round %d: nothing is worth it, and the plan is %s of %v", round, steps(plan), doses(plan))
			}
			if !onGraduation(n.ChosenML, 0.5) || math.Abs(n.ChosenML-n.ClosestDose) > 0.25+1e-9 {
				t.Errorf("chosen %g, closest %g", n.ChosenML, n.ClosestDose)
			}
			return
		}
		if round > 6 {
			t.Fatal("it does not come to an end")
		}
		if !onGraduation(*n.DoseML, 0.5) || n.Pour == nil || !(*n.After < *n.Before) {
			t.Fatalf("next %+v", n)
		}
		if want := []float64{0, *n.DoseML}; !slices.Equal(doses(plan), want) {
			t.Errorf("rungs %v, want %v", doses(plan), want)
		}
		last := plan.Steps[len(plan.Steps)-1]
		if round == 1 && steps(plan) != fmt.Sprintf("A:100 B:100 B+%g=%g", *n.DoseML, *n.DoseML) || round > 1 && len(plan.Steps) != 1 && says(plan.Warnings, "glasses_in_use") == "" {
			t.Errorf("round %d: %s; %v", round, steps(plan), plan.Warnings)
		}
		if last.Glass == "A" || math.Abs(last.Dose-*n.Dose) > 0.26 {
			t.Errorf("round %d: %+v for a rung of %g", round, last, *n.Dose)
		}
		p.pour(id, fmt.Sprintf(`"glass": %q, "volume_ml": %g`, n.Pour.Glass, n.Pour.VolumeML))
		trial, err := p.Trial(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range trial.Glasses {
			if g.Glass == n.Pour.Glass {
				near(t, "total", g.PouredTotalML, n.Pour.TotalML)
				near(t, "dose", g.DoseMLPer100ML, n.Pour.Dose)
				near(t, "u", g.UDose, n.Pour.UDose)
			}
		}
		add[record.MeasurementBody](p, id, fmt.Sprintf(`{"glass": %q, "readings": %s}`, n.Pour.Glass, read(n.Pour.Dose, 1.2)))
	}
}

// TestClosingWithoutAGlass: where every glass is past the rung, fresh ones are
// begun with, and that is said.
func TestClosingWithoutAGlass(t *testing.T) {
	p := newPrinter(t)
	id := p.ordinary()
	p.pour(id, `"glass": "B", "volume_ml": 60, "fills": 6`)
	p.pour(id, `"glass": "C", "volume_ml": 60, "fills": 6`)
	plan := p.mustPlan(id, `{"kind": "closing"}`)
	if plan.Next.DoseML == nil || plan.Next.Pour != nil {
		t.Fatalf("next %+v", plan.Next)
	}
	if got, want := steps(plan), fmt.Sprintf("A:100 B:100 B+%g=%g", *plan.Next.DoseML, *plan.Next.DoseML); got != want || says(plan.Warnings, "glasses_in_use") == "" {
		t.Errorf("steps %s, want %s; %v", got, want, plan.Warnings)
	}
}

// TestTopUpOnTop: the next rung goes on top of the glass that comes nearest to it,
// by what is in that glass after a sip.
func TestTopUpOnTop(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, ` + aim + `"tools": [{"name": "10 mL syringe", "kind": "syringe", "capacity_ml": 10, "graduation_ml": 0.1}], ` + around + `}`)
	p.pour(id, `"glass": "B", "volume_ml": 2`)
	p.pour(id, `"glass": "C", "volume_ml": 3`)
	add[record.WithdrawalBody](p, id, `{"glass": "C", "volume_ml": 51.5}`)
	pour := p.mustPlan(id, `{"kind": "closing"}`).Next.Pour
	if pour == nil || pour.Glass != "C" {
		t.Fatalf("next %+v", pour)
	}
	// C has 50 mL of base with 1.5 mL in it.
	near(t, "dose", pour.Dose, (1.5+pour.VolumeML)/50*100)
	near(t, "total", pour.TotalML, 3+pour.VolumeML)
	if math.Abs(pour.Dose-pour.RungML) > 0.1+1e-9 {
		t.Errorf("a rung of %g mL per 100 mL gets %g", pour.RungML, pour.Dose)
	}
	if !(pour.UDose > pour.FreshU && pour.FreshU > 0) {
		t.Errorf("u %g, fresh %g", pour.UDose, pour.FreshU)
	}
}

// TestFreshGlassFirst: a glass of base alone is taken before one that would have to
// be topped up, and a dose that was read is not asked for again.
func TestFreshGlassFirst(t *testing.T) {
	p := newPrinter(t)
	id := p.ordinary()
	p.pour(id, `"glass": "B", "volume_ml": 0.5`)
	first := p.mustPlan(id, `{"kind": "closing"}`).Next
	if first.Pour == nil || first.Pour.Glass != "C" || first.Pour.FreshBetter {
		t.Fatalf("next %+v", first.Pour)
	}
	p.pour(id, fmt.Sprintf(`"glass": "C", "volume_ml": %g`, *first.DoseML))
	coarse := strings.Replace(read(*first.DoseML, 1), `"path_mm"`, `"u_absorbance": 0.03, "path_mm"`, 1)
	p.measure("C", id, coarse)
	if next := p.mustPlan(id, `{"kind": "closing"}`).Next; next.DoseML == nil || *next.DoseML == *first.DoseML {
		t.Errorf("after a coarse reading at %g mL the next is %+v", *first.DoseML, next)
	}
}

// TestToolForTheTrialsGlass: where another sample volume would do better with another
// tool, the plan is made with the best tool for the trial's own.
func TestToolForTheTrialsGlass(t *testing.T) {
	p := newPrinter(t)
	plan := p.mustPlan(p.ordinary(), `{"kind": "even", "step_ml": 1, "to_ml": 6, "visible_step": 0.5, "sample_volumes_ml": [1000],
		"tools": [{"name": "coarse", "kind": "cylinder", "capacity_ml": 25, "graduation_ml": 0.5, "class": "A"}, {"name": "fine", "kind": "syringe", "capacity_ml": 1, "graduation_ml": 0.05}]}`)
	if o := plan.Proposal.Options[0]; o.Tool != "coarse" || o.BaseML != 1000 || plan.Tool.Name != "fine" || plan.BaseML != 100 {
		t.Errorf("proposed %+v; planned with the %s", o, plan.Tool.Name)
	}
}

// TestCoarseKit: common practice, no source: 1 mL from a 10 mL class B cylinder is
// ±20 %. The plan says that the kit cannot, and what would do.
func TestCoarseKit(t *testing.T) {
	p := newPrinter(t)
	const cylinder = `"tools": [{"kind": "cylinder", "capacity_ml": 10, "graduation_ml": 0.2, "class": "B"}]`
	id := p.ordinary()
	plan := p.mustPlan(id, `{"kind": "even", "step_ml": 1, "to_ml": 6, "visible_step": 0.5, `+cylinder+`}`)
	if o := plan.Proposal.Options; plan.Proposal.Fits || len(o) != 1 || o[0].Fits || o[0].Tool != "10 mL class B cylinder" || o[0].SmallestML != 1 || math.Abs(o[0].LimitPercent-20) > 1e-9 {
		t.Errorf("proposal %+v", plan.Proposal)
	}
	if w := says(plan.Warnings, "kit_too_coarse"); !strings.Contains(w, "±20 %") || !strings.Contains(w, "What would do: ") {
		t.Errorf("warned %q of %v", w, plan.Warnings)
	}
	// More base per glass does better, and that is proposed though the trial is not
	// set up for it.
	plan = p.mustPlan(id, `{"kind": "even", "step_ml": 1, "to_ml": 6, "visible_step": 0.5, `+cylinder+`, "sample_volumes_ml": [1000, 100]}`)
	if o := plan.Proposal.Options; !plan.Proposal.Fits || len(o) != 2 || o[0].BaseML != 1000 || says(plan.Warnings, "other_sample_volume") == "" || says(plan.Warnings, "kit_too_coarse") != "" {
		t.Errorf("proposal %+v, %v", plan.Proposal, plan.Warnings)
	}
	if plan.BaseML != 100 || plan.Steps[0].VolumeML != 100 {
		t.Errorf("the plan is for %g mL", plan.BaseML)
	}
	// Two glasses in turn: the cylinder's error adds up until a fresh glass is better.
	fresher := 0
	for _, s := range plan.Steps {
		if s.FreshBetter != (s.Note != "") {
			t.Errorf("%+v", s)
		}
		if !s.FreshBetter {
			continue
		}
		fresher++
		if !(s.FreshU < 0.9*s.UDose && 2*s.UDose > 0.5) || !strings.Contains(s.Note, fmt.Sprintf("±%.2g mL per 100 mL (95 %%), of 1 to the next rung", 2*s.UDose)) || s.TotalML == s.VolumeML {
			t.Errorf("fresh is better for %+v", s)
		}
	}
	if w := says(plan.Warnings, "fresh_better"); fresher == 0 || !strings.Contains(w, fmt.Sprintf("At %d of", fresher)) {
		t.Errorf("%d steps would be better fresh; %q", fresher, w)
	}
}

// TestPlanTakesCells: what is taken out at each rung is made up for.
func TestPlanTakesCells(t *testing.T) {
	p := newPrinter(t)
	plan := p.mustPlan(p.ordinary(), `{"kind": "even", "step_ml": 5, "to_ml": 15, "glasses": ["x", "y"], "withdraw_ml": 21, "tools": [{"name": "s", "kind": "syringe", "capacity_ml": 5, "graduation_ml": 0.1}]}`)
	// By hand: y has 105 mL with 5 per 100; 84 mL are left, of them 80 base and 4. To
	// reach 10 it takes 4 mL; 88 - 21 = 67 mL, 60.909 base; to 15 it takes 3.045 mL.
	if got, want := steps(plan), "x:100 y:100 x-21 y+5=5 y-21 y+4=9 y-21 y+3=12 y-21"; got != want {
		t.Errorf("steps %s, want %s", got, want)
	}
	for _, s := range plan.Steps {
		if s.Kind == "addition" && s.VolumeML == 3 {
			near(t, "dose", s.Dose, 100*(60.9090909090909*0.1+3)/60.9090909090909)
		}
	}
	// Whoever does as the plan says finds in the log what it said.
	id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, "base_ml": 100, "glasses": ["x", "y"], "tools": [{"name": "s", "kind": "syringe", "capacity_ml": 5, "graduation_ml": 0.1}]}`)
	for _, s := range plan.Steps {
		var e record.Logged
		switch s.Kind {
		case "base":
			continue
		case "withdrawal":
			e = add[record.WithdrawalBody](p, id, fmt.Sprintf(`{"glass": %q, "volume_ml": %g}`, s.Glass, s.VolumeML))
		default:
			e = add[record.PourBody](p, id, fmt.Sprintf(`{"glass": %q, "volume_ml": %g, "tool": %q, "stated_total_ml": %g}`, s.Glass, s.VolumeML, s.Tool, s.TotalML))
		}
		near(t, "dose in the log", e.DoseMLPer100ML, s.Dose)
		near(t, "u in the log", e.UDose, s.UDose)
		near(t, "volume in the log", e.BaseInGlassML+e.AdditionInGlass, s.VolumeLeftML)
		if len(e.Warnings) > 0 {
			t.Errorf("%+v", e.Warnings)
		}
	}
}

// TestPlanWithHeldWine: doses are per base alone, of which there is less than what
// is in the glass.
func TestPlanWithHeldWine(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, ` + aim + `"held": [{"wine": ` + white + `, "dose_ml_per_100ml": 25}],
		"tools": [{"kind": "cylinder", "capacity_ml": 10, "graduation_ml": 0.2, "class": "B"}], ` + around + `}`)
	plan := p.mustPlan(id, `{"kind": "even", "step_ml": 1, "to_ml": 6}`)
	if plan.HeldML != 25 || plan.BaseML != 100 || says(plan.Warnings, "held_in_base") == "" {
		t.Errorf("held %g of %g; %v", plan.HeldML, plan.BaseML, plan.Warnings)
	}
	if got, want := steps(plan), "A:125 B:125 C:125 B+1=1 C+2=2 B+2=3 C+2=4 B+2=5 C+2=6"; got != want {
		t.Errorf("steps %s, want %s", got, want)
	}
	fresher := 0
	for _, s := range plan.Steps {
		near(t, "dose", s.Dose, s.TotalML)
		near(t, "volume", s.VolumeLeftML, 125+s.TotalML)
		if s.FreshBetter {
			fresher++
			if !strings.Contains(s.Note, fmt.Sprintf("±%.2g mL per 100 mL (95 %%), of 1 to the next rung; poured at once it is known to ±%.2g", 2*s.UDose, 2*s.FreshU)) {
				t.Errorf("u %g, fresh %g: %s", s.UDose, s.FreshU, s.Note)
			}
		}
	}
	if fresher == 0 {
		t.Error("no top-up is marked")
	}
	for _, r := range plan.Rungs {
		near(t, "fraction", r.AdditionFraction, r.DoseML/(125+r.DoseML))
	}
	if pour := p.mustPlan(id, `{"kind": "closing"}`).Next.Pour; pour == nil || pour.Glass != "B" {
		t.Errorf("next %+v", pour)
	} else {
		near(t, "u in a glass that is fresh", pour.UDose, pour.FreshU)
		near(t, "dose", pour.Dose, pour.VolumeML)
	}
	p.pour(id, `"glass": "B", "volume_ml": 4`)
	trial, err := p.Trial(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	b := trial.Glasses[1]
	near(t, "base", b.BaseInGlassML, 100)
	near(t, "held", b.HeldInGlassML, 25)
	near(t, "dose", b.DoseMLPer100ML, 4)
	near(t, "fraction", b.AdditionFraction, 4./129)
}

// TestPlanUnread: of wines that nothing was read of even steps are planned, with
// the finest tool that pours the whole ladder.
func TestPlanUnread(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"base": ` + white + `, "addition": {"name": "Cask 7"}, ` + around + `}`)
	const tools = `"tools": [{"name": "10", "kind": "syringe", "capacity_ml": 10, "graduation_ml": 0.5}, {"name": "1", "kind": "syringe", "capacity_ml": 1, "graduation_ml": 0.05}]`
	for to, want := range map[string]string{"40": "10", "12": "1"} {
		plan := p.mustPlan(id, `{"kind": "even", "step_ml": 4, "to_ml": `+to+`, `+tools+`}`)
		if plan.Tool.Name != want || plan.Proposal != nil || plan.Next != nil || says(plan.Warnings, "no_ladder") == "" {
			t.Errorf("to %s mL: %s, %+v, %+v, %v", to, plan.Tool.Name, plan.Proposal, plan.Next, plan.Warnings)
		}
		for _, r := range plan.Rungs {
			near(t, "fraction", r.AdditionFraction, r.DoseML/(100+r.DoseML))
			if r.Colour != nil {
				t.Errorf("a colour of nothing: %+v", r)
			}
		}
	}
	for _, kind := range []string{"visible", "closing"} {
		_, err := p.plan(id, `{"kind": "`+kind+`", `+tools+`}`)
		refusedAt(t, err, "/kind", "nothing was read of the addition")
	}
}

func TestPlanRefused(t *testing.T) {
	p := newPrinter(t)
	id, bare := p.ordinary(), p.begin(`{"base": `+white+`, "addition": `+red+`, `+around+`}`)
	const small = `"tools": [{"name": "1", "kind": "syringe", "capacity_ml": 1, "graduation_ml": 0.1}], "tool": "1"`
	for _, row := range []struct{ id, body, place, words string }{
		{bare, `{"kind": "even"}`, "/tools", "which measuring tools"},
		{bare, `{"kind": "closing", ` + kit + `"to_ml": 12}`, "/kind", "needs a target"},
		{id, `{"kind": "spiral"}`, "/kind", ""},
		{id, `{"kind": "even", "tool": "ladle"}`, "/tool", "10 mL syringe"},
		{id, `{"kind": "even", "step_ml": 10, "to_ml": 50, ` + small + `}`, "/tool", "take a tool of"},
		{id, `{"kind": "even", "tools": [{"name": "x"}]}`, "/tools/0/kind", "say what the tool is"},
		{id, `{"kind": "even", "glasses": ["A", "A"]}`, "/glasses/1", "label of its own"},
		{id, `{"kind": "even", "glasses": []}`, "/glasses", "one glass"},
		{id, `{"kind": "even", "to_ml": 1001}`, "/to_ml", "exchanged"},
		{id, `{"kind": "even", "to_ml": 4, "from_ml": 5}`, "/to_ml", "below the first"},
		{id, `{"kind": "even", "to_ml": 10, "step_ml": 0.001}`, "/step_ml", "more than"},
		{id, `{"kind": "even", "to_ml": 300, "step_ml": 1}`, "", "at most 200"},
		{id, `{"kind": "visible", "step_ml": 1}`, "/step_ml", "goes with the kind even"},
		{id, `{"kind": "given"}`, "/doses_ml", "which doses"},
		{id, `{"kind": "given", "doses_ml": [0]}`, "/doses_ml", "above 0"},
		{id, `{"kind": "given", "doses_ml": [2, -1]}`, "/doses_ml/1", "from 0"},
		{id, `{"kind": "given", "doses_ml": [2], "to_ml": 4}`, "/to_ml", "leave from_ml and to_ml out"},
		{id, `{"kind": "given", "doses_ml": [2, 1001]}`, "/doses_ml", "exchanged"},
		{id, `{"kind": "even", "doses_ml": [2]}`, "/doses_ml", "goes with the kind given"},
		{id, `{"kind": "closing", "from_ml": 1}`, "/from_ml", "leave from_ml out"},
		{id, `{"kind": "even", "withdraw_ml": 101}`, "/withdraw_ml", "less than"},
		{id, `{"kind": "even", "sample_volumes_ml": [0]}`, "/sample_volumes_ml/0", "100 mL is usual"},
	} {
		t.Run(row.body, func(t *testing.T) {
			_, err := p.plan(row.id, row.body)
			refusedAt(t, err, row.place, row.words)
		})
	}
	// Given doses are poured from the smallest on, base alone beside them, on the
	// graduation of the tool; they need no colours.
	unread := p.begin(`{"base": ` + white + `, "addition": {"name": "Cask 7"}, ` + around + `}`)
	for _, trial := range []string{id, unread} {
		plan := p.mustPlan(trial, `{"kind": "given", `+kit+`"tool": "10 mL syringe", "doses_ml": [8, 0, 2, 4.1, 2]}`)
		if got := doses(plan); !slices.Equal(got, []float64{0, 2, 4, 8}) || says(plan.Warnings, "rounded_to_graduation") == "" {
			t.Errorf("given: rungs %v, %v", got, plan.Warnings)
		}
	}
	// From 30 mL on, beyond the usual end, is one rung.
	for _, kind := range []string{"even", "visible"} {
		if got := doses(p.mustPlan(bare, `{"kind": "`+kind+`", `+kit+`"from_ml": 30}`)); !slices.Equal(got, []float64{0, 30}) {
			t.Errorf("%s: rungs %v", kind, got)
		}
	}
}

// TestPlanOfGlassesInUse: a reference that was poured into is none, one glass gets
// a reference, and glasses in use are begun anew.
func TestPlanOfGlassesInUse(t *testing.T) {
	p := newPrinter(t)
	id := p.ordinary()
	p.pour(id, `"glass": "A", "volume_ml": 2`)
	plan := p.mustPlan(id, `{"kind": "even", "step_ml": 2, "to_ml": 4}`)
	if !strings.Contains(says(plan.Warnings, "reference_in_use"), "Glass A") || says(plan.Warnings, "glasses_in_use") == "" {
		t.Errorf("%v", plan.Warnings)
	}
	plan = p.mustPlan(id, `{"kind": "even", "step_ml": 2, "to_ml": 4, "glasses": ["base"]}`)
	if got, want := steps(plan), "base alone:100 base:100 base+2=2 base+2=4"; got != want || says(plan.Warnings, "reference_glass") == "" || says(plan.Warnings, "reference_in_use") != "" {
		t.Errorf("steps %s, want %s; %v", got, want, plan.Warnings)
	}
	// A pour that was taken back is none.
	add[record.UndoBody](p, id, `{"entry": 1}`)
	if plan = p.mustPlan(id, `{"kind": "even", "step_ml": 2, "to_ml": 4}`); says(plan.Warnings, "reference_in_use")+says(plan.Warnings, "glasses_in_use") != "" {
		t.Errorf("%v", plan.Warnings)
	}
}

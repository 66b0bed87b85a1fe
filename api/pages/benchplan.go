package pages

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"

	"pourpath/api/bench"
	"pourpath/api/calc"
)

// planView is a plan beside the glasses.
type planView struct {
	Kind     bench.PlanKind
	Tool     string
	Steps    []planRow
	Next     *planRow // the first pour that was not made yet
	Verdict  english  // what to read next, or that reading more is pointless
	Warnings []english
	Faults   []note
}

// planRow is one step.
type planRow struct {
	Kind, Glass, Tool string
	ML, Total         digits
	Note              english
	Done              bool
	Poured, Over      digits // in all and beyond the plan, where a step that is done has more; empty elsewhere
	doseWords
}

// plan makes the plan that the address asks for.
func (v *benchView) plan(r *http.Request, s *site, t bench.TrialAnswer) error {
	if v.At.Plan == "" {
		return nil
	}
	v.Plan = &planView{Kind: bench.PlanKind(v.At.Plan)}
	p, at, err := s.planned(r, v.At)
	list, err := faultsOf(err)
	if err != nil {
		return err
	}
	if v.Plan.Faults, err = at.notes(s.words, list); err != nil || len(list) > 0 {
		return err
	}
	v.Plan.Tool = p.Tool.Name
	poured := map[string]float64{}
	for _, g := range t.Glasses {
		poured[g.Glass] = g.PouredTotalML
	}
	for _, step := range p.Steps {
		row := planRow{
			Kind: step.Kind, Glass: step.Glass, ML: plainML(step.VolumeML), Tool: step.Tool, Total: plainML(step.TotalML), Note: english(step.Note),
			Done:      step.Kind == "addition" && poured[step.Glass] >= step.TotalML*(1-1e-9),
			doseWords: doseWordsOf(step.Dose, step.Dose/(step.Dose+100+100*p.HeldML/p.BaseML), &step.UDose),
		}
		v.Plan.Steps = append(v.Plan.Steps, row)
		if v.Plan.Next == nil && step.Kind == "addition" && !row.Done {
			next := row
			next.ML = plainML(math.Round((step.TotalML-poured[step.Glass])*1e6) / 1e6)
			v.Plan.Next = &next
		}
	}
	v.Plan.overpoured(p.Steps, poured)
	if p.Next != nil {
		v.Plan.Verdict = english(p.Next.Why)
	}
	for _, w := range p.Warnings {
		v.Plan.Warnings = append(v.Plan.Warnings, english(w.Message))
	}
	return nil
}

// overpoured says of the last step of each glass that is done what was poured, where
// that is more than the plan has up to there.
func (v *planView) overpoured(steps []bench.PlanStep, poured map[string]float64) {
	told := map[string]bool{}
	for i := len(v.Steps) - 1; i >= 0; i-- {
		row, step := &v.Steps[i], steps[i]
		if !row.Done || told[step.Glass] {
			continue
		}
		told[step.Glass] = true
		if over := math.Round((poured[step.Glass]-step.TotalML)*1e6) / 1e6; over > 0 {
			row.Poured, row.Over = plainML(poured[step.Glass]), plainML(over)
		}
	}
}

// planned asks for the plan of an address.
func (s *site) planned(r *http.Request, place benchPlace) (bench.TrialPlan, places, error) {
	root := map[string]any{"kind": place.Plan}
	at := places{{"/kind", planField}, {"/tool", toolField}, {"/tools", toolField}}
	for _, f := range []struct{ pointer, name, text string }{{"/to_ml", toField, place.To}, {"/step_ml", stepField, place.Step}} {
		at.add(f.pointer, f.name)
		if f.text != "" && place.Plan != string(bench.Given) { // whose doses say how far and in which steps
			put(root, f.pointer, s.words.number(f.text))
		}
	}
	at.add("/doses_ml", givenField)
	if place.Plan == string(bench.Given) { // else they are left over from another plan
		root["doses_ml"] = s.words.numbers(place.Doses)
	}
	if len(place.PlanGlasses) > 0 {
		at.add("/glasses", intoField)
		root["glasses"] = place.PlanGlasses
	}
	if place.Tool != "" {
		root["tool"] = place.Tool
	}
	data, err := json.Marshal(root)
	if err != nil {
		return bench.TrialPlan{}, at, fmt.Errorf("pages: plan: %w", err)
	}
	asked, err := calc.DecodeWhole[bench.TrialPlanRequest](data)
	if err != nil {
		return bench.TrialPlan{}, at, err
	}
	p, err := s.bench.Plan(r.Context(), place.trial, asked)
	return p, at, err
}

// planKinds are the kinds of plan to choose from.
func planKinds(chosen string) []option {
	var out []option
	for _, k := range []bench.PlanKind{bench.Even, bench.Visible, bench.Given, bench.Closing} {
		out = append(out, option{Value: string(k), Chosen: string(k) == chosen})
	}
	return out
}

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

// members are those of a JSON object, numbers with their digits.
func members(text []byte) (out map[string]any, err error) {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	if err = d.Decode(&out); err != nil {
		return nil, fmt.Errorf("reading the request: %w", err)
	}
	return out, nil
}

// specs is the list.
func (p *page) specs(list []record.Spec) {
	if len(list) == 0 {
		p.linef("There is no specification yet; pourpath spec add adds one.")
		return
	}
	for _, spec := range list {
		p.linef("%s  version %d  %s%s", spec.ID, spec.Version, orWord(spec.Name, "(no name)"), after("  for ", spec.Product))
	}
}

// versions is the list of a specification's versions.
func (p *page) versions(list []record.Spec) {
	for _, v := range list {
		p.linef("version %d  holds %s%s  %s", v.Version, v.Term(), after(", approved by ", v.ApprovedBy), strings.Join(parts(v), ", "))
	}
}

// spec is all that a specification says, and what it can come to.
func (p *page) spec(spec record.Spec, outlook *calc.FeasibilityResponse, problem *calc.Problem) {
	p.linef("%s%s", spec.ID, after("  ", spec.Name))
	if spec.ArchivedAt != nil {
		p.linef("Archived: no lot is begun with it.")
	}
	p.linef("Version %d, holds %s%s%s", spec.Version, spec.Term(), after(", approved by ", spec.ApprovedBy), after(", for ", spec.Product))
	if spec.ReferenceSource != "" {
		p.linef("Reference: %s", spec.ReferenceSource)
	}
	if t := targetWords(spec.Target); t != "" {
		p.linef("Target: %s", t)
	}
	if n := len(spec.ApprovedLots); n > 0 {
		p.linef("Approved lots: %d", n)
	}
	for _, part := range parts(spec) {
		p.linef("  %s", part)
	}
	v := spec.View.Core()
	p.linef("Conditions: %v", v)
	p.linef("Rule: %s", ruleWords(spec.Spec))
	if spec.Reading == nil {
		p.linef("How lots are read is not said: pourpath spec feasibility %s --reading-method readings tells whether any could pass.", spec.ID)
		return
	}
	p.linef("Lots are read as: %s", spec.Reading.Text())
	switch {
	case problem != nil:
		p.linef("Whether any wine could pass cannot be told: %s", problem.Detail)
	case outlook != nil:
		p.outlook(*outlook)
	}
}

func ruleWords(spec calc.Spec) string {
	if spec.Rule != "guarded" {
		return "simple acceptance: values are compared, whatever their uncertainty"
	}
	risk := 0.05
	if spec.MaxRisk != nil {
		risk = *spec.MaxRisk
	}
	return fmt.Sprintf("guarded acceptance: pass where the probability of conforming is at least %g", 1-risk)
}

func targetWords(t *calc.Target) string {
	switch {
	case t == nil:
		return ""
	case t.CIELAB != nil:
		return fmt.Sprintf("L* %g, a* %g, b* %g", t.CIELAB.L, t.CIELAB.A, t.CIELAB.B)
	case t.Wine != nil:
		return "the wine" + after(" ", t.Wine.Name)
	case t.Intensity != nil && t.Tint != nil:
		return fmt.Sprintf("intensity %g, tint %g", *t.Intensity, *t.Tint)
	}
	return "a stored target"
}

// parts are the tolerances and limits of a specification, with their warning
// limits.
func parts(spec record.Spec) (out []string) {
	tolerance := func(quantity string, most, warning float64, weights *calc.DeltaEWeights) {
		if most > 0 {
			said := release.PartName(calc.CheckResult{Quantity: quantity, Weights: weights}, nil) + fmt.Sprintf(" at most %g", most)
			if warning > 0 {
				said += fmt.Sprintf(" (warning above %g)", warning)
			}
			out = append(out, said)
		}
	}
	warning := calc.SpecWarning{Tolerance: &calc.WarningTolerance{}}
	if w := spec.Warning; w != nil {
		warning.Limits = w.Limits
		if w.Tolerance != nil {
			warning.Tolerance = w.Tolerance
		}
	}
	switch t := spec.Tolerance; {
	case t != nil:
		tolerance("delta_e_00", t.DeltaE00, warning.Tolerance.DeltaE00, weightsOf(*t))
		tolerance("delta_e_ab", t.DeltaEab, warning.Tolerance.DeltaEab, nil)
	case spec.Target != nil && spec.Target.Tolerance != nil:
		tolerance("delta_e_00", spec.Target.Tolerance.DeltaE00, warning.Tolerance.DeltaE00, nil)
	}
	warned := limitsBy(warning.Limits)
	for _, q := range limitQuantities {
		limits, ok := limitsBy(spec.Limits)[q.name]
		if !ok {
			continue
		}
		said := fmt.Sprintf("%s from %g to %g", release.PartName(calc.CheckResult{Quantity: q.name}, nil), limits[0], limits[1])
		if w, ok := warned[q.name]; ok {
			said += fmt.Sprintf(" (warning outside %g to %g)", w[0], w[1])
		}
		out = append(out, said)
	}
	if e := spec.Ellipsoid; e != nil {
		confidence := 0.95
		if e.Confidence != nil {
			confidence = *e.Confidence
		}
		out = append(out, fmt.Sprintf("%s of the approved lots, confidence %g", release.PartName(calc.CheckResult{Quantity: "hotelling_t2"}, nil), confidence))
	}
	return out
}

// weightsOf are the parametric factors where they are not 1:1:1.
func weightsOf(t calc.SpecTolerance) *calc.DeltaEWeights {
	or1 := func(x *float64) float64 {
		if x == nil {
			return 1
		}
		return *x
	}
	w := calc.DeltaEWeights{KL: or1(t.KL), KC: or1(t.KC), KH: or1(t.KH)}
	if w == (calc.DeltaEWeights{KL: 1, KC: 1, KH: 1}) {
		return nil
	}
	return &w
}

// limitsBy are limits by the names of their quantities.
func limitsBy(l *calc.Limits) map[string][2]float64 {
	out := map[string][2]float64{}
	if l == nil {
		return out
	}
	for name, limits := range map[string]*[2]float64{
		"L": l.L, "a": l.A, "b": l.B, "C": l.C, "h": l.H, "intensity": l.Intensity, "tint": l.Tint,
		"yellow_percent": l.YellowPercent, "red_percent": l.RedPercent, "blue_percent": l.BluePercent,
	} {
		if limits != nil {
			out[name] = *limits
		}
	}
	return out
}

// outlook is whether any wine could pass, and what would help where none could.
func (p *page) outlook(a calc.FeasibilityResponse) {
	if a.CanNeverPass {
		p.linef("NO WINE CAN PASS, read in this way: the probability of conforming of a perfect lot is %s.", fixed(a.BestProbability, 3))
	} else {
		p.linef("A lot can pass, read in this way: the probability of conforming of a perfect one is %s.", fixed(a.BestProbability, 3))
	}
	showCauses(p, a.Causes)
	for _, r := range calc.Worthwhile(a.WouldSettle, a.BestProbability) {
		p.linef("  %-12s (probability %s) if you %s", r.Verdict, fixed(r.Probability, 3), r.What)
	}
	if a.NeededDeltaE00 != nil {
		p.linef("Read as it is, it would pass from a tolerance of ΔE00 %.2f on.", *a.NeededDeltaE00)
	}
	p.warnings(a.Warnings)
}

package pages

import (
	"fmt"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

// specLine is one thing that a specification says.
type specLine struct {
	Key  string // of its label
	Of   string // what it is about, where several have one label
	Text string
}

// specLines are what a version says, in words, in the order of the form.
func specLines(spec record.Spec) []specLine {
	var out []specLine
	add := func(key, of, text string) {
		if text != "" {
			out = append(out, specLine{key, of, text})
		}
	}
	add("name", "", spec.Name)
	add("product", "", spec.Product)
	add("reference", "", referenceWords(spec))
	add("conditions", "", viewWords(spec.View))
	toleranceLines(spec, add)
	for _, q := range limited {
		add("limit", q, pairWords(limitOf(spec.Limits, q)))
	}
	if spec.Ellipsoid != nil {
		add("region", "", fmt.Sprintf("T² region of %d approved lots at a confidence of %g", len(spec.ApprovedLots), orUsual(spec.Ellipsoid.Confidence, 0.95)))
	}
	if w := spec.Warning; w != nil {
		for _, q := range limited {
			add("warn_limit", q, pairWords(limitOf(w.Limits, q)))
		}
		if w.Ellipsoid != nil {
			add("warn_region", "", fmt.Sprintf("at a confidence of %g", w.Ellipsoid.Confidence))
		}
	}
	add("rule", "", ruleWords(spec))
	if spec.Reading != nil {
		words := spec.Reading.Text()
		if u := spec.Reading.UAbsorbance; u != nil {
			words += fmt.Sprintf(", standard uncertainty of one reading %g", *u)
		}
		add("reading", "", words)
	}
	add("state", "", release.StateWords(spec.ReferenceState))
	add("term", "", termWords(spec))
	add("approved_by", "", spec.ApprovedBy)
	return out
}

func toleranceLines(spec record.Spec, add func(key, of, text string)) {
	t, w := spec.Tolerance, &calc.WarningTolerance{}
	if spec.Warning != nil && spec.Warning.Tolerance != nil {
		w = spec.Warning.Tolerance
	}
	de00 := 0.0
	if spec.Target != nil && spec.Target.Tolerance != nil {
		de00 = spec.Target.Tolerance.DeltaE00
	}
	if t == nil {
		t = &calc.SpecTolerance{}
	}
	words := upTo(max(de00, t.DeltaE00), w.DeltaE00)
	if words != "" && (t.KL != nil || t.KC != nil || t.KH != nil) {
		words += fmt.Sprintf("; kL %g, kC %g, kH %g", orUsual(t.KL, 1), orUsual(t.KC, 1), orUsual(t.KH, 1))
	}
	add("delta_e_00", "", words)
	add("delta_e_ab", "", upTo(t.DeltaEab, w.DeltaEab))
}

// upTo is a largest difference with its warning limit.
func upTo(most, warn float64) string {
	switch {
	case most == 0:
		return ""
	case warn == 0:
		return fmt.Sprintf("at most %g", most)
	}
	return fmt.Sprintf("at most %g, warning from %g", most, warn)
}

func pairWords(p *[2]float64) string {
	if p == nil {
		return ""
	}
	return plain(p[0]) + " to " + plain(p[1])
}

func orUsual(x *float64, usual float64) float64 {
	if x == nil {
		return usual
	}
	return *x
}

// ruleWords is the decision rule as a sentence.
func ruleWords(spec record.Spec) string {
	if spec.Rule != "guarded" {
		return "Simple acceptance: within where every value is within its limits at face value"
	}
	risk := orUsual(spec.MaxRisk, calc.DefaultMaxRisk)
	return fmt.Sprintf("Guarded acceptance (JCGM 106:2012): within only where the probability of conforming to all limits together is %g or more, outside only where it is %g or less and a wine on the limit would be found so far off at most that often; else it cannot be told", 1-risk, risk)
}

func viewWords(v *calc.View) string {
	view := v.Core()
	return fmt.Sprintf("%s, %s° observer, %g mm", view.Illuminant, view.Observer, view.DepthMM)
}

// referenceWords are what a wine is compared with.
func referenceWords(spec record.Spec) string {
	var words []string
	switch t := spec.Target; {
	case t == nil && len(spec.ApprovedLots) > 0:
		if c, ok := meanApproved(spec); ok {
			words = append(words, fmt.Sprintf("mean of %d approved lots: L* %.2f, a* %.2f, b* %.2f", len(spec.ApprovedLots), c.L, c.A, c.B))
		}
	case t == nil:
	case t.CIELAB != nil:
		words = append(words, fmt.Sprintf("L* %s, a* %s, b* %s", twoAtMost(t.CIELAB.L), twoAtMost(t.CIELAB.A), twoAtMost(t.CIELAB.B)))
	case t.Wine != nil:
		words = append(words, "wine"+named(t.Wine.Name)+", "+readAs(*t.Wine))
	case t.Intensity != nil && t.Tint != nil:
		words = append(words, fmt.Sprintf("intensity %g, tint %g", *t.Intensity, *t.Tint))
	}
	if spec.ReferenceSource != "" && !strings.HasPrefix(spec.ReferenceSource, "the mean") {
		words = append(words, spec.ReferenceSource)
	}
	return strings.Join(words, "; ")
}

// twoAtMost is a value with two decimals at most.
func twoAtMost(x float64) string { return strings.TrimSuffix(strings.TrimRight(fixed(x, 2), "0"), ".") }

func named(name string) string {
	if name == "" {
		return ""
	}
	return " “" + name + "”"
}

// readAs are the readings of a wine in words.
func readAs(w calc.Wine) string {
	switch {
	case w.Readings != nil:
		words := fmt.Sprintf("A420 %g, A520 %g, A620 %g in %g mm", w.Readings.A420, w.Readings.A520, w.Readings.A620, orUsual(w.Readings.PathMM, 10))
		if d := orUsual(w.Readings.Dilution, 1); d != 1 {
			words += fmt.Sprintf(", diluted %g-fold", d)
		}
		return words
	case w.Spectrum != nil:
		nm := w.Spectrum.NM
		return fmt.Sprintf("a scan from %g to %g nm in %g mm", nm[0], nm[len(nm)-1], orUsual(w.Spectrum.PathMM, 10))
	case w.CIELAB != nil:
		return fmt.Sprintf("L* %s, a* %s, b* %s for %g mm", decimal(w.CIELAB.L), decimal(w.CIELAB.A), decimal(w.CIELAB.B), w.CIELAB.PathMM)
	}
	return ""
}

// meanApproved is the mean of the approved lots.
func meanApproved(spec record.Spec) (c calc.TargetColour, ok bool) {
	n := float64(len(spec.ApprovedLots))
	for _, lot := range spec.ApprovedLots {
		c.L, c.A, c.B = c.L+lot.L/n, c.A+lot.A/n, c.B+lot.B/n
	}
	return c, n > 0
}

// termWords are when a version holds.
func termWords(spec record.Spec) string {
	var words []string
	if begins := spec.Begins(); !begins.IsZero() {
		words = append(words, "from "+momentOf(begins).Text)
	}
	if spec.ValidTo != nil {
		words = append(words, "until "+momentOf(*spec.ValidTo).Text)
	}
	if words == nil {
		return "always"
	}
	return strings.Join(words, " ")
}

// specChange is a line that two versions differ in.
type specChange struct {
	Key, Of  string
	Was, Now string
}

// specChanges are the lines that differ; what only one of them says is empty in the
// other.
func specChanges(was, now record.Spec) []specChange {
	before, after := specLines(was), specLines(now)
	find := func(list []specLine, l specLine) string {
		for _, one := range list {
			if one.Key == l.Key && one.Of == l.Of {
				return one.Text
			}
		}
		return ""
	}
	var out []specChange
	for _, l := range after {
		if old := find(before, l); old != l.Text {
			out = append(out, specChange{l.Key, l.Of, old, l.Text})
		}
	}
	for _, l := range before {
		if find(after, l) == "" {
			out = append(out, specChange{l.Key, l.Of, l.Text, ""})
		}
	}
	return out
}

// referenceColour is the colour of the reference, where it has one.
func referenceColour(spec record.Spec) *calc.WineColour {
	var wine calc.Wine
	view := spec.View.Core()
	stated := func(c calc.TargetColour) calc.Wine {
		return calc.Wine{CIELAB: &calc.CIELAB{
			L: calc.Decimal{Value: c.L, Decimals: 6}, A: calc.Decimal{Value: c.A, Decimals: 6}, B: calc.Decimal{Value: c.B, Decimals: 6},
			PathMM: view.DepthMM, Illuminant: calc.Illuminant(view.Illuminant), Observer: calc.Observer(view.Observer),
		}}
	}
	switch t := spec.Target; {
	case t != nil && t.Wine != nil:
		wine = *t.Wine
	case t != nil && t.CIELAB != nil:
		wine = stated(*t.CIELAB)
	case t == nil:
		mean, ok := meanApproved(spec)
		if !ok {
			return nil
		}
		wine = stated(mean)
	default:
		return nil
	}
	answer, err := calc.Colour(calc.ColourRequest{Wine: wine, View: spec.View})
	if err != nil {
		return nil // no wine-like spectrum has it, so there is nothing to show
	}
	return &answer.Colour
}

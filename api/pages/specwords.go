package pages

import (
	"math"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

// specLine is one thing that a specification says.
type specLine struct {
	Key  string // of its label
	Of   string // what it is about, where several have one label
	Text said
}

// specLines are what a version says, in words, in the order of the form.
func (s *saying) specLines(spec record.Spec) []specLine {
	var out []specLine
	add := func(key, of string, text said) {
		if text != "" && text != english("") {
			out = append(out, specLine{key, of, text})
		}
	}
	add("name", "", spec.Name)
	add("product", "", spec.Product)
	add("reference", "", s.reference(spec))
	add("conditions", "", s.view(spec.View))
	s.toleranceLines(spec, add)
	for _, q := range limited {
		add("limit", q, s.pair(limitOf(spec.Limits, q)))
	}
	if spec.Ellipsoid != nil {
		add("region", "", s.say("spec_says.region", len(spec.ApprovedLots), plain(orUsual(spec.Ellipsoid.Confidence, 0.95))))
	}
	if w := spec.Warning; w != nil {
		for _, q := range limited {
			add("warn_limit", q, s.pair(limitOf(w.Limits, q)))
		}
		if w.Ellipsoid != nil {
			add("warn_region", "", s.say("spec_says.confidence", plain(w.Ellipsoid.Confidence)))
		}
	}
	add("rule", "", s.rule(spec))
	if spec.Reading != nil {
		words := said(english(spec.Reading.Text()))
		if u := spec.Reading.UAbsorbance; u != nil {
			words = s.say("spec_says.reading", words, plain(*u))
		}
		add("reading", "", words)
	}
	add("state", "", release.StateWords(spec.ReferenceState, s.documents()))
	add("term", "", s.term(spec))
	add("approved_by", "", spec.ApprovedBy)
	return out
}

func (s *saying) toleranceLines(spec record.Spec, add func(key, of string, text said)) {
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
	words := s.upTo(max(de00, t.DeltaE00), w.DeltaE00)
	if words != "" && (t.KL != nil || t.KC != nil || t.KH != nil) {
		words = s.say("spec_says.weights", words, plain(orUsual(t.KL, 1)), plain(orUsual(t.KC, 1)), plain(orUsual(t.KH, 1)))
	}
	add("delta_e_00", "", words)
	add("delta_e_ab", "", s.upTo(t.DeltaEab, w.DeltaEab))
}

// upTo is a largest difference with its warning limit.
func (s *saying) upTo(most, warn float64) said {
	switch {
	case most == 0:
		return ""
	case warn == 0:
		return s.say("spec_says.most", plain(most))
	}
	return s.say("spec_says.most_warn", plain(most), plain(warn))
}

func (s *saying) pair(p *[2]float64) said {
	if p == nil {
		return ""
	}
	return s.say("spec_says.pair", plain(p[0]), plain(p[1]))
}

func orUsual(x *float64, usual float64) float64 {
	if x == nil {
		return usual
	}
	return *x
}

// rule is the decision rule as a sentence.
func (s *saying) rule(spec record.Spec) said {
	if spec.Rule != "guarded" {
		return s.say("spec_says.simple")
	}
	risk := orUsual(spec.MaxRisk, calc.DefaultMaxRisk)
	return s.say("spec_says.guarded", plain(math.Round((1-risk)*1e9)/1e9), plain(risk))
}

func (s *saying) view(v *calc.View) said {
	view := v.Core()
	return s.say("spec_says.view", string(view.Illuminant), string(view.Observer), plain(view.DepthMM))
}

// reference is what a wine is compared with.
func (s *saying) reference(spec record.Spec) said {
	words := said("")
	switch t := spec.Target; {
	case t == nil && len(spec.ApprovedLots) > 0:
		if c, ok := meanApproved(spec); ok {
			words = s.say("spec_says.mean", len(spec.ApprovedLots), fixed(c.L, 2), fixed(c.A, 2), fixed(c.B, 2))
		}
	case t == nil:
	case t.CIELAB != nil:
		words = s.say("spec_says.lab", twoAtMost(t.CIELAB.L), twoAtMost(t.CIELAB.A), twoAtMost(t.CIELAB.B))
	case t.Wine != nil && t.Wine.Name != "":
		words = s.say("spec_says.wine_named", t.Wine.Name, s.readAs(*t.Wine))
	case t.Wine != nil:
		words = s.say("spec_says.wine", s.readAs(*t.Wine))
	case t.Intensity != nil && t.Tint != nil:
		words = s.say("spec_says.indices", plain(*t.Intensity), plain(*t.Tint))
	}
	switch source := spec.ReferenceSource; {
	case source == "" || strings.HasPrefix(source, "the mean"):
		return words
	case words == "":
		return english(source)
	default:
		return s.say("spec_says.both", words, english(source))
	}
}

// twoAtMost is a value with two decimals at most.
func twoAtMost(x float64) digits {
	return digits(strings.TrimSuffix(strings.TrimRight(string(fixed(x, 2)), "0"), "."))
}

// readAs are the readings of a wine in words.
func (s *saying) readAs(w calc.Wine) said {
	switch {
	case w.Readings != nil:
		r := w.Readings
		bands := s.say("read_as.bands", plain(r.A420), plain(r.A520), plain(r.A620))
		for _, e := range r.Extra {
			bands = s.say("read_as.further", bands, plain(e.NM), plain(e.Absorbance))
		}
		words := s.say("read_as.readings", bands, plain(orUsual(r.PathMM, 10)))
		if d := orUsual(r.Dilution, 1); d != 1 {
			return s.say("read_as.diluted", words, plain(d))
		}
		return words
	case w.Spectrum != nil:
		nm := w.Spectrum.NM
		return s.say("read_as.scan", plain(nm[0]), plain(nm[len(nm)-1]), plain(orUsual(w.Spectrum.PathMM, 10)))
	case w.CIELAB != nil:
		c := w.CIELAB
		return s.say("read_as.lab", decimal(c.L), decimal(c.A), decimal(c.B), plain(c.PathMM))
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

// term is when a version holds.
func (s *saying) term(spec record.Spec) said {
	switch begins, ends := spec.Begins(), spec.ValidTo; {
	case begins.IsZero() && ends == nil:
		return s.say("spec_says.always")
	case begins.IsZero():
		return s.say("spec_says.until", momentOf(*ends))
	case ends == nil:
		return s.say("spec_says.from", momentOf(begins))
	default:
		return s.say("spec_says.from_until", momentOf(begins), momentOf(*ends))
	}
}

// specChange is a line that two versions differ in.
type specChange struct {
	Key, Of  string
	Was, Now said
}

// specChanges are the lines that differ; what only one of them says is empty in the
// other.
func (s *saying) specChanges(was, now record.Spec) []specChange {
	before, after := s.specLines(was), s.specLines(now)
	find := func(list []specLine, l specLine) said {
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

package sheet

import (
	"encoding/hex"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"pourpath/colour/conform"
)

// maxNumber is as many characters as a number in the register has; it stands on
// every page.
const maxNumber = 100

func (s Statement) check() error {
	c := newChecker(Head{Trial: "-", Date: s.Issued, View: s.View, Conditions: s.Conditions, Version: s.Version})
	if !s.Draft {
		s.checkIssued(c)
	}
	for _, k := range [][2]string{{"version", s.Version}, {"lot: name", s.Lot.Name}, {"method", s.Method}, {"instrument: name", s.Instrument.Name}, {"specification: name", s.Spec.Name}, {"specification: version", s.Spec.Version}} {
		c.named(k[0], k[1])
	}
	c.text("words", s.Note, s.Decision)
	c.text("lot: words", s.Lot.Wine, s.Lot.Bottled, s.Lot.Sample, s.Lot.Taken, s.Lot.State)
	c.text("instrument: words", s.Instrument.Checked, s.Instrument.Due, s.Instrument.Found)
	if states := []CheckState{CheckPassed, CheckOverdue, CheckFailed, CheckUnknown}; !slices.Contains(states, s.Instrument.State) {
		c.fault("instrument: state", "%q is none: want one of %q", s.Instrument.State, states)
	}
	c.text("specification: words", s.Spec.ValidFrom, s.Spec.ValidTo, s.Spec.ApprovedBy, s.Spec.Reads)
	c.rows("readings", len(s.Readings))
	for i, r := range s.Readings {
		at := fmt.Sprintf("reading %d", i+1)
		c.named(at+": quantity", r.Quantity)
		c.text(at+": words", r.Sample, r.How, r.Note)
		c.within(at+": value", -maxOther, maxOther, r.Value)
		c.within(at+": decimals", 0, 6, float64(r.Decimals))
	}
	c.colour("result", &s.Result)
	if s.Reference != nil {
		c.named("reference: name", s.Reference.Name)
		c.colour("reference", &s.Reference.Colour)
	}
	if len(s.Parts) == 0 {
		c.fault("parts", "there is none: want the limits that the lot was held against")
	}
	named := map[string]bool{}
	for i, p := range s.Parts {
		if q := strings.TrimSpace(p.Quantity); named[q] {
			c.fault(fmt.Sprintf("part %d: quantity", i+1), "%q comes twice: want each once", q)
		} else {
			named[q] = true
		}
	}
	c.texts("what would settle it", s.Settle)
	c.texts("warning", s.Warnings)
	c.text("dominant", s.Dominant)
	s.checkVerdict(c)
	return c.err()
}

// checkIssued wants a place in the register of what was issued.
func (s Statement) checkIssued(c *checker) {
	c.named("number", s.Number)
	c.named("issued by", s.IssuedBy)
	if n := utf8.RuneCountInString(s.Number); n > maxNumber {
		c.fault("number", "%d characters: want at most %d", n, maxNumber)
	}
	if raw, err := hex.DecodeString(s.Checksum); err != nil || len(raw) != 32 {
		c.fault("checksum", "%.80q is none: want the 64 hexadecimal digits of a SHA-256", s.Checksum)
	}
}

// checkVerdict wants a verdict that its own figures bear out: a statement that
// contradicts itself is worse than none.
func (s Statement) checkVerdict(c *checker) {
	if s.Rule != conform.Simple || !math.IsNaN(s.Probability) {
		c.within("probability", 0, 1, s.Probability)
	}
	switch s.Rule {
	case conform.Guarded:
		if !(s.MaxRisk > 0 && s.MaxRisk < 0.5) {
			c.fault("max_risk", "%g: want more than 0 and less than 0.5", s.MaxRisk)
			return
		}
		passes := s.Probability >= 1-s.MaxRisk
		switch {
		case (s.Verdict == conform.Pass) != passes:
			c.fault("verdict", "%q with probability %g: guarded acceptance passes from %g on, and only then", s.Verdict, s.Probability, 1-s.MaxRisk)
		case s.Verdict == conform.Fail && s.Probability > s.MaxRisk:
			c.fault("verdict", "%q with probability %g: guarded acceptance fails at %g or less only", s.Verdict, s.Probability, s.MaxRisk)
		}
	case conform.Simple:
		within := true
		for _, p := range s.Parts {
			within = within && p.Value >= p.Lower && p.Value <= p.Upper
		}
		if (s.Verdict == conform.Pass) != within {
			c.fault("verdict", "%q: simple acceptance passes where every result is within its limits, and only then", s.Verdict)
		}
		if s.Verdict == conform.Inconclusive {
			c.fault("verdict", "%q: simple acceptance passes or fails", s.Verdict)
		}
	default:
		c.fault("rule", "%q is none: want %q or %q", s.Rule, conform.Simple, conform.Guarded)
	}
	if all := []conform.Verdict{conform.Pass, conform.Fail, conform.Inconclusive}; !slices.Contains(all, s.Verdict) {
		c.fault("verdict", "%q is none: want one of %q", s.Verdict, all)
	}
}

// probability writes one to two decimals, never as certain, with as many more as
// keep it on its side of the limits that decide.
func (t *Texts) probability(p float64, limits ...float64) string {
	switch {
	case p < 0.005:
		return t.fill(t.Statement.Below, "p", t.fixed(0.01, 2))
	case p >= 0.995:
		return t.fill(t.Statement.Above, "p", t.fixed(0.99, 2))
	}
	n := 2
	for ; n < 6; n++ {
		shown := math.Round(p*math.Pow10(n)) / math.Pow10(n)
		if !slices.ContainsFunc(limits, func(l float64) bool { return (shown >= l) != (p >= l) || (shown <= l) != (p <= l) }) {
			break
		}
	}
	return t.fixed(p, n)
}

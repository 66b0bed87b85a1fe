package conform

import (
	"fmt"
	"math"
	"slices"

	"pourpath/colour/spectrum"
)

// Action names something that makes a measurement surer.
type Action string

// The actions.
const (
	Replicates  Action = "replicates"   // read the sample and the reference four times each
	OneSession  Action = "one_session"  // read both in one session on one instrument
	ScanBoth    Action = "scan"         // scan both instead of reading at a few wavelengths
	Undiluted   Action = "undiluted"    // read without dilution
	MoreDigits  Action = "more_digits"  // state one more digit
	ReadBlend   Action = "read_blend"   // read the blend instead of computing it
	AllTogether Action = "all_together" // all of these that apply
)

// replicates is how many readings stand for one in that action.
const replicates = 4

// Remedy is something that could be done, and what would come of it if the
// colour were found where it is now.
type Remedy struct {
	Action Action
	// Probability is that of conforming then, and Verdict what it would mean.
	Probability float64
	Verdict     Verdict
}

// Settles reports whether the verdict would no longer be open.
func (r Remedy) Settles() bool { return r.Verdict != Inconclusive }

// change returns the errors that are left after an action, and whether there is
// anything in them that it changes.
func (c *judged) change(action Action, columns []column) ([]column, bool) {
	out := slices.Clone(columns)
	changed := false
	scale := func(by float64, of func(*column) bool) {
		for i := range out {
			if of(&out[i]) && out[i].effect != (state{}) {
				out[i], changed = scaled(out[i], by), true
			}
		}
	}
	caused := func(causes ...spectrum.Cause) func(*column) bool {
		return func(col *column) bool { return slices.Contains(causes, col.cause) }
	}
	switch action {
	case Replicates:
		scale(1/math.Sqrt(replicates), func(col *column) bool { return col.kind == repeat })
	case OneSession:
		if c.ref == nil || c.sameSession || !readAlike(c.sample, c.ref) {
			return columns, false
		}
		return jointColumns(c.sample, c.ref, true), true
	case ScanBoth:
		scale(0, caused(spectrum.Shape))
	case Undiluted:
		scale(0, caused(spectrum.Dilution))
	case MoreDigits:
		scale(0.1, caused(spectrum.Rounding))
	case ReadBlend:
		scale(0, caused(spectrum.Dose, spectrum.Medium, spectrum.Learned))
	}
	return out, changed
}

// remedies tries every action that changes something by itself, and then all of
// them at once where there are several.
func (c *judged) remedies() []Remedy {
	var out []Remedy
	together := c.columns
	// One session comes first, as it starts from the errors as they are.
	for _, action := range []Action{OneSession, Replicates, ScanBoth, Undiluted, MoreDigits, ReadBlend} {
		columns, ok := c.change(action, c.columns)
		if !ok {
			continue
		}
		out = append(out, c.remedy(action, columns))
		together, _ = c.change(action, together)
	}
	if len(out) > 1 {
		out = append(out, c.remedy(AllTogether, together))
	}
	return out
}

func (c *judged) remedy(action Action, columns []column) Remedy {
	then := *c
	then.columns, then.factor = columns, factorOf(columns)
	d := then.decideBy(then.factor.probability(then.parts, &then.middle, coarseDraws)) // a forecast needs no more
	return Remedy{action, d.all, d.verdict}
}

// Text is what to do, in words.
func (a Action) Text() string {
	switch a {
	case Replicates:
		return fmt.Sprintf("read %d times and give the mean, sample and reference alike", replicates)
	case OneSession:
		return "read sample and reference in one session on one instrument"
	case ScanBoth:
		return "scan from 380 to 780 nm instead of reading at a few wavelengths, sample and reference alike"
	case Undiluted:
		return "read the wine undiluted in a shorter cell"
	case MoreDigits:
		return "state L*, a* and b* with one more digit"
	case ReadBlend:
		return "read the blend itself instead of computing it from its wines"
	case AllTogether:
		return "do all of these"
	}
	return string(a)
}

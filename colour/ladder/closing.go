package ladder

import (
	"fmt"
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/volumetric"
)

// ClosingIn asks which dose to pour next on the way to a target, from what has
// been measured so far: the path that is asked is calibrated to it.
type ClosingIn struct {
	Target      blend.Target
	View        cie.View
	Largest     blend.Dose // as far as the ladder may go
	BaseML      float64    // in each glass
	Tool        volumetric.Tool
	VisibleStep float64   // ΔE00; 0 for DefaultVisibleStep
	MeasuredML  []float64 // doses that were measured, in mL into BaseML; they are not proposed again where another would do
}

// Closing is how near the target is, and what to pour next.
type Closing struct {
	Nearest blend.Nearest
	// ChosenML is the closest dose on the tool's graduation, in mL into BaseML,
	// and RoundingDeltaE00 the colour error that the rounding makes.
	ChosenML         float64
	RoundingDeltaE00 float64
	// IntervalML is the width of the closest dose's 95 % interval, in mL into
	// BaseML, and IntervalDeltaE00 the larger one of the ΔE00 from the closest dose
	// to its ends; nil when the closest dose is an end of the ladder.
	IntervalML, IntervalDeltaE00 *float64
	// Next is the rung to pour and read next; nil when that is Pointless.
	Next *NextRung
	// Pointless says that reading another rung is not worth it; Verdict names the
	// reason either way, for programs, and Why gives it in whole sentences.
	Pointless bool
	Verdict   Verdict
	Why       string
}

// Verdict is why another rung is worth reading or not.
type Verdict string

// The verdicts; all but ReadOn and ExtendLadder make measuring more pointless.
const (
	ReadOn       Verdict = "read_on"       // none of the others
	ExtendLadder Verdict = "extend_ladder" // the last dose of the ladder is closest
	OnScale      Verdict = "on_scale"      // the closest dose's interval is narrower than one graduation
	Invisible    Verdict = "invisible"     // no dose in the interval differs visibly from the closest one
	LittleGain   Verdict = "little_gain"   // one more rung would narrow the colour's uncertainty by less than a twentieth
	BaseAlone    Verdict = "base_alone"    // no dose comes nearer than base alone
)

// leastGain is the part of the colour's uncertainty that has to go for another
// rung to be worth it. A judgement, no source.
const leastGain = 0.05

// NextRung is the rung that would tell most about the colour at the closest dose.
type NextRung struct {
	DoseML float64 // into BaseML, on the tool's graduation
	Dose   blend.Dose
	Pours  []volumetric.Pour
	// Before and After are the standard uncertainties of the colour at the closest
	// dose, as of a ΔE*ab, before and after it was read: see blend.Next.
	Before, After float64
}

// Next looks for the target along the path and proposes the next rung. It says
// that measuring more is pointless when the 95 % interval of the closest dose is
// narrower than one graduation of the tool, when no dose in it differs visibly
// from the closest one, when one more rung would hardly narrow it, or when base
// alone is closest.
//
// Errors: colour.FieldErrors at "base_ml", "tool/...", "visible_step" and
// "largest"; those of blend.Path.Nearest.
func (c ClosingIn) Next(path *blend.Path) (Closing, error) {
	if err := c.Validate(); err != nil {
		return Closing{}, err
	}
	if c.VisibleStep == 0 {
		c.VisibleStep = DefaultVisibleStep
	}
	var out Closing
	var err error
	if out.Nearest, err = path.Nearest(c.Target, c.View, c.Largest); err != nil {
		return Closing{}, err
	}
	out.ChosenML = c.onScale(out.Nearest.Dose)
	if out.RoundingDeltaE00, err = apart(path, c.View, out.Nearest.Dose, c.dose(out.ChosenML)); err != nil {
		return Closing{}, err
	}
	if out.Nearest.Interval95 != nil {
		if err := c.interval(path, &out); err != nil {
			return Closing{}, err
		}
	}
	next, err := c.next(path, out.Nearest.Dose)
	if err != nil {
		return Closing{}, err
	}
	out.Verdict, out.Why = c.verdict(&out, next)
	out.Pointless = out.Verdict != ReadOn && out.Verdict != ExtendLadder
	if !out.Pointless {
		out.Next = next
	}
	return out, nil
}

func (c ClosingIn) dose(ml float64) blend.Dose { return blend.DoseOf(ml, c.BaseML) }

// onScale is a dose as mL on the tool's graduation, no further than the ladder
// goes.
func (c ClosingIn) onScale(d blend.Dose) float64 {
	ml := c.Tool.Round(float64(d) * c.BaseML / 100)
	if c.dose(ml) > c.Largest*(1+1e-9) {
		ml = tidy(ml - c.Tool.StepML())
	}
	return math.Max(ml, 0)
}

// interval fills in how wide the interval of the closest dose is.
func (c ClosingIn) interval(path *blend.Path, out *Closing) error {
	ends := out.Nearest.Interval95
	width := (ends[1] - ends[0]) * c.BaseML / 100
	var most float64
	for _, end := range ends {
		d, err := apart(path, c.View, out.Nearest.Dose, blend.Dose(end))
		if err != nil {
			return err
		}
		most = math.Max(most, d)
	}
	out.IntervalML, out.IntervalDeltaE00 = &width, &most
	return nil
}

// verdict says whether reading more is worth it, and why.
func (c ClosingIn) verdict(out *Closing, next *NextRung) (Verdict, string) {
	n := &out.Nearest
	fresh := fmt.Sprintf("Pour %.6g mL into %g mL fresh and check it.", out.ChosenML, c.BaseML)
	switch {
	case n.AtEnd && n.Dose < c.Largest/2:
		return BaseAlone, "No dose comes nearer to the target than base alone: reading more rungs cannot change that. Take another base or another target, or read the base again."
	case n.AtEnd:
		return ExtendLadder, fmt.Sprintf("The closest dose is the last of the ladder, %.4g mL per 100 mL of base: more may come nearer. Let the ladder go further once the next rung is read.", float64(n.Dose))
	case *out.IntervalML < c.Tool.StepML():
		return OnScale, fmt.Sprintf("The 95 %% interval of the closest dose is %.2g mL wide, less than one graduation of %g mL: reading more cannot change what is poured. %s",
			*out.IntervalML, c.Tool.StepML(), fresh)
	case *out.IntervalDeltaE00 < c.VisibleStep:
		return Invisible, fmt.Sprintf("All doses that may be the closest (95 %%) are within ΔE00 %.2g of it, below the visible step of %g: reading more changes nothing that is seen. %s",
			*out.IntervalDeltaE00, c.VisibleStep, fresh)
	case next.After > (1-leastGain)*next.Before:
		return LittleGain, fmt.Sprintf("The 95 %% interval of the closest dose is %.3g mL wide, up to ΔE00 %.2g from it, but another rung read at 420, 520 and 620 nm would bring the colour's uncertainty only from ΔE*ab %.2f to %.2f. What is left lies between the wavelengths and in what the tool always does: read a rung at 460 and 570 nm as well, or scan it, or take a finer tool. %s",
			*out.IntervalML, *out.IntervalDeltaE00, next.Before, next.After, fresh)
	}
	return ReadOn, fmt.Sprintf("The 95 %% interval of the closest dose is %.3g mL wide, %.2g graduations, and its ends are up to ΔE00 %.2g away, above the visible step of %g: read another rung.",
		*out.IntervalML, *out.IntervalML/c.Tool.StepML(), *out.IntervalDeltaE00, c.VisibleStep)
}

// next proposes a rung that can be poured and was not measured yet: the most
// informative one, else the closest dose, else the lines of the scale next to it.
// Where all of those were measured the most informative one is read again.
func (c ClosingIn) next(path *blend.Path, about blend.Dose) (*NextRung, error) {
	most, err := path.MeasureNext(about, c.View, c.Largest)
	if err != nil {
		return nil, err
	}
	step, closest := c.Tool.StepML(), c.onScale(about)
	best := math.Max(c.onScale(most.Dose), step)
	ml := best
	for _, candidate := range []float64{best, closest, closest + step, closest - step} {
		if candidate >= step*(1-1e-9) && c.dose(candidate) <= c.Largest*(1+1e-9) && !c.measured(candidate) {
			ml = candidate
			break
		}
	}
	pours, err := c.Tool.Fill(tidy(ml))
	if err != nil {
		return nil, fmt.Errorf("ladder: next rung: %w", err)
	}
	return &NextRung{DoseML: tidy(ml), Dose: c.dose(ml), Pours: pours, Before: most.Before, After: most.After}, nil
}

// measured says whether a rung within half a graduation was read.
func (c ClosingIn) measured(ml float64) bool {
	return slices.ContainsFunc(c.MeasuredML, func(m float64) bool { return math.Abs(m-ml) < c.Tool.StepML()/2 })
}

// Validate returns the faults of all but target and view: see Next.
func (c ClosingIn) Validate() error {
	var faults colour.FieldErrors
	checkBase(c.BaseML, &faults)
	faults.AddUnder("tool", c.Tool.Validate())
	if !(c.VisibleStep >= 0 && c.VisibleStep <= 100) {
		faults.Addf("visible_step", finite(c.VisibleStep), "the visible step is a ΔE00 above 0 and at most 100; 1 is usual side by side, 0 or left out for it")
	}
	if !(c.Largest > 0 && c.Largest <= blend.MaxDose) {
		faults.Addf("largest", finite(float64(c.Largest)), "the ladder goes up to a dose above 0 and at most %g mL per 100 mL of base", float64(blend.MaxDose))
	} else if len(faults) == 0 && c.dose(c.Tool.StepML()) > c.Largest {
		faults.Addf("tool", c.Tool.StepML(), "the least that the %v pours, %g mL, is beyond a ladder up to %g mL per 100 mL: take a finer tool or more base", c.Tool, c.Tool.StepML(), float64(c.Largest))
	}
	return faults.Err()
}

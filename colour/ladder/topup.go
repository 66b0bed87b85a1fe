package ladder

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/volumetric"
)

// MaxGlasses is how many glasses one plan may walk up a ladder.
const MaxGlasses = 50

// TopUp asks for a plan that walks a few glasses up a ladder in turn: with
// glasses B and C and rungs of 2, 4, 6 and 8 mL, B gets 2 mL, C 4, then B 4 more
// and C 4 more. A glass of base alone always stands beside them.
type TopUp struct {
	BaseML    float64         // in each glass to begin with
	DosesML   []float64       // the rungs above the base, in mL into BaseML, ascending, on the tool's graduation
	Reference string          // label of the glass that keeps base alone
	Glasses   []string        // labels of the glasses to be walked up, in their order
	Tool      volumetric.Tool // for the addition
	BaseTool  volumetric.Tool // for the base; the zero Tool where it is not stated
	// WithdrawML is taken out of a glass at every rung, the reference's too, such
	// as a cell that is filled and not poured back; 0 for none. WithdrawU is its
	// standard uncertainty in mL.
	WithdrawML, WithdrawU float64
}

// StepKind says what a step of a plan does.
type StepKind string

// The kinds of step.
const (
	PourBase     StepKind = "base"
	PourAddition StepKind = "addition"
	TakeOut      StepKind = "withdrawal"
)

// Step is one thing to do, and what the glass holds after it.
type Step struct {
	Kind         StepKind
	Glass        string            // its label
	VolumeML     float64           // to pour or take out
	Pours        []volumetric.Pour // the parts it is poured in; one, unless the tool is smaller
	TotalML      float64           // running total of the addition poured into the glass
	RungML       float64           // the rung this reaches, in mL into the base of a fresh glass; 0 for the base
	Dose         blend.Dose        // that the glass then has
	DoseU        volumetric.Uncertainty
	VolumeLeftML float64 // in the glass

	// FreshU is the standard uncertainty that the same rung would have in a fresh
	// glass, in mL per 100 mL; that of the glass itself where it is fresh.
	FreshU float64
	// FreshBetter says that a fresh glass would be better, by this rule: its dose
	// would be known better by more than a tenth, and the interval of the dose in
	// this one (±2 standard uncertainties) reaches more than half-way to the next
	// rung, so that the two can no longer be told apart by their doses.
	FreshBetter bool
	Room        float64 // how far the nearest rung is, in mL per 100 mL
}

const (
	freshGain    = 0.9 // of the top-up's uncertainty, for FreshBetter
	coverage     = 2   // standard uncertainties to about 95 %
	confusedPart = 0.5 // of the way to the next rung
)

// Steps is the plan: base into every glass, then the rungs in turn. What was
// taken out of a glass is made up for: the next top-up is what brings its dose to
// the rung, rounded to the tool's graduation.
//
// Errors: colour.FieldErrors at "base_ml", "doses_ml", "doses_ml/i", "reference",
// "glasses", "glasses/i", "tool/...", "base_tool/...", "withdraw_ml" and
// "withdraw_u_ml", all that can be found at once.
func (p TopUp) Steps() ([]Step, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	w := walk{plan: p, now: map[string]Filling{}}
	for _, label := range append([]string{p.Reference}, p.Glasses...) {
		if err := w.base(label); err != nil {
			return nil, err
		}
	}
	if err := w.takeOut(p.Reference, 0); err != nil {
		return nil, err
	}
	for i := range p.DosesML {
		if err := w.rung(i); err != nil {
			return nil, err
		}
	}
	return w.steps, nil
}

// walk is a plan on its way.
type walk struct {
	plan  TopUp
	now   map[string]Filling
	steps []Step
}

func (w *walk) base(label string) error {
	pours, err := measured(w.plan.BaseTool, w.plan.BaseML)
	if err != nil {
		return fmt.Errorf("ladder: base of glass %s: %w", label, err)
	}
	if w.now[label], err = Fill(pours...); err != nil {
		return fmt.Errorf("ladder: base of glass %s: %w", label, err)
	}
	w.add(Step{Kind: PourBase, Glass: label, VolumeML: w.plan.BaseML, Pours: pours})
	return nil
}

// rung brings the glass whose turn it is to rung i.
func (w *walk) rung(i int) error {
	p := &w.plan
	label := p.Glasses[i%len(p.Glasses)]
	f := w.now[label]
	wanted := blend.DoseOf(p.DosesML[i], p.BaseML)
	volume := p.Tool.Round(float64(wanted-f.Glass().Dose()) * f.Glass().BaseML() / 100)
	if volume <= 0 {
		return colour.FieldErrors{{Field: fmt.Sprintf("doses_ml/%d", i), Value: p.DosesML[i], Message: fmt.Sprintf(
			"glass %s is at %.4g mL per 100 mL of base: the next rung, %.4g, is less than half a graduation of the %v away; take more glasses, larger steps or a finer tool",
			label, float64(f.Glass().Dose()), float64(wanted), p.Tool)}}
	}
	pours, err := p.Tool.Fill(volume)
	if err != nil {
		return fmt.Errorf("ladder: glass %s: %w", label, err)
	}
	if w.now[label], err = f.Pour(pours...); err != nil {
		return fmt.Errorf("ladder: glass %s: %w", label, err)
	}
	s := Step{Kind: PourAddition, Glass: label, VolumeML: volume, Pours: pours, RungML: p.DosesML[i]}
	if s.FreshU, err = p.freshU(p.DosesML[i]); err != nil {
		return err
	}
	w.judge(&s, i, f.Glass().PouredML() > 0)
	w.add(s)
	return w.takeOut(label, p.DosesML[i])
}

func (w *walk) takeOut(label string, rungML float64) error {
	if w.plan.WithdrawML == 0 {
		return nil
	}
	f, err := w.now[label].Withdraw(w.plan.WithdrawML, w.plan.WithdrawU)
	if err != nil {
		return colour.FieldErrors{{Field: "withdraw_ml", Value: w.plan.WithdrawML, Message: fmt.Sprintf(
			"glass %s holds %.4g mL when it is to be read at %.4g mL: take out less, pour readings back, or take more base or more glasses", label, w.now[label].Glass().VolumeML(), rungML)}}
	}
	w.now[label] = f
	w.add(Step{Kind: TakeOut, Glass: label, VolumeML: w.plan.WithdrawML, RungML: rungML})
	return nil
}

// add appends a step with what its glass now holds.
func (w *walk) add(s Step) {
	f := w.now[s.Glass]
	s.TotalML, s.Dose, s.DoseU, s.VolumeLeftML = tidy(f.Glass().PouredML()), f.Glass().Dose(), f.DoseU(), f.Glass().VolumeML()
	w.steps = append(w.steps, s)
}

// freshU is the uncertainty of a rung in a glass of its own.
func (p TopUp) freshU(doseML float64) (float64, error) {
	base, err := measured(p.BaseTool, p.BaseML)
	if err != nil {
		return 0, err
	}
	pours, err := p.Tool.Fill(doseML)
	if err != nil {
		return 0, err
	}
	f, err := Fill(base...)
	if err != nil {
		return 0, err
	}
	if f, err = f.Pour(pours...); err != nil {
		return 0, err
	}
	return f.DoseU().Combined(), nil
}

// judge says whether a fresh glass would be better for rung i.
func (w *walk) judge(s *Step, i int, toppedUp bool) {
	s.Room = w.plan.room(i)
	s.FreshBetter = toppedUp && FreshBetter(w.now[s.Glass].DoseU().Combined(), s.Room, s.FreshU)
}

// FreshBetter is the rule of Step.FreshBetter, for a dose with the standard
// uncertainty u in a glass that was topped up and freshU in a fresh one, and room
// to the nearest rung: all in mL per 100 mL.
func FreshBetter(u, room, freshU float64) bool {
	return freshU < freshGain*u && coverage*u > confusedPart*room
}

// FreshNote is FreshBetter in a sentence for a person.
func FreshNote(u, room, freshU float64) string {
	return fmt.Sprintf("A fresh glass would be better here: topped up, the dose is known to ±%.2g mL per 100 mL (95 %%), of %.3g to the next rung; poured at once it is known to ±%.2g.",
		coverage*u, room, coverage*freshU)
}

// room is how far the nearest rung is from rung i, in mL per 100 mL.
func (p TopUp) room(i int) float64 {
	below := p.DosesML[i]
	if i > 0 {
		below -= p.DosesML[i-1]
	}
	if i+1 < len(p.DosesML) {
		below = math.Min(below, p.DosesML[i+1]-p.DosesML[i])
	}
	return float64(blend.DoseOf(below, p.BaseML))
}

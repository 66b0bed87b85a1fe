package calc

import (
	"strconv"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/ladder"
)

// LadderRequest asks for the colours of a base with rising doses of an
// addition, and for the dose that comes closest to a target.
type LadderRequest struct {
	Base     Wine       `json:"base" doc:"The wine that is dosed into, usually a white."`
	Addition Dosed      `json:"addition" doc:"The wine that is dosed, usually a red."`
	BaseML   float64    `json:"base_ml" exclusiveMinimum:"0" maximum:"100000" doc:"Base in each glass before anything is added, in mL."`
	DosesML  []float64  `json:"doses_ml,omitempty" minItems:"1" maxItems:"2000" doc:"Rungs: the total addition in each glass, in mL. Answered in this order."`
	Plan     *Plan      `json:"plan,omitempty" doc:"How to choose the rungs, instead of doses_ml."`
	View     *View      `json:"view,omitempty" doc:"Conditions to see the rungs under. D65, 10°, 10 mm where left out."`
	Target   *Target    `json:"target,omitempty" doc:"The colour to reach. The closest dose is searched continuously from 0 to the largest rung."`
	Held     []Held     `json:"held,omitempty" maxItems:"6" doc:"Further wines that are in the base before the addition is poured. Doses of the addition stay per 100 mL of base alone; its fraction is of the whole blend."`
	Measured []Measured `json:"measured,omitempty" maxItems:"100" doc:"Rungs that were read after pouring. The ladder is recalibrated to them; they add no rungs to the answer."`
}

// TransformSchema documents that exactly one kind of rungs is wanted.
func (LadderRequest) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return OneOf(s, []string{"doses_ml"}, []string{"plan"})
}

// Plan chooses rungs: every step_ml, or about equally far apart to the eye.
type Plan struct {
	FromML       float64  `json:"from_ml,omitempty" minimum:"0" doc:"First dose in mL. 0 where left out." default:"0"`
	ToML         float64  `json:"to_ml" minimum:"0" doc:"Last dose in mL."`
	StepML       *float64 `json:"step_ml,omitempty" exclusiveMinimum:"0" doc:"Equal steps, in mL."`
	VisibleStep  *float64 `json:"visible_step,omitempty" minimum:"0.01" maximum:"100" doc:"Instead of step_ml: rungs about this ΔE00 apart; 1 is just seen side by side."`
	GraduationML *float64 `json:"graduation_ml,omitempty" exclusiveMinimum:"0" doc:"With visible_step: the graduation of the measuring tool in mL; doses are multiples of it."`
}

// Held is a further wine in the base.
type Held struct {
	Wine           Wine    `json:"wine" doc:"The wine as its laboratory knows it."`
	DoseMLPer100ML float64 `json:"dose_ml_per_100ml" minimum:"0" maximum:"1000" doc:"How much of it there is, in mL per 100 mL of base."`
}

// Measured is a rung that was poured and read.
type Measured struct {
	DoseML float64 `json:"dose_ml" exclusiveMinimum:"0" doc:"The total addition in that glass, in mL."`
	Wine   Wine    `json:"wine" doc:"The blend in that glass as its laboratory knows it."`
	UDose  *UDose  `json:"u_dose,omitempty" doc:"How well that dose is known. 0.7 % in both parts where left out, for tools that nobody named."`
}

// UDose is the relative standard uncertainty (k = 1) of a dose.
type UDose struct {
	SharedPercent float64 `json:"shared_percent" minimum:"0" maximum:"50" doc:"What all measured rungs share, as they were poured with one tool, in % of the dose."`
	OwnPercent    float64 `json:"own_percent" minimum:"0" maximum:"50" doc:"What this rung has of its own, in % of the dose."`
}

// certain stands for a dose that is taken as exact: a zero would mean that
// nothing is said of it.
const certain = 1e-9

func (u *UDose) resolve() blend.DoseU {
	if u == nil {
		return blend.DoseU{}
	}
	return blend.DoseU{Shared: u.SharedPercent / 100, Own: max(u.OwnPercent/100, certain)}
}

// LadderResponse is a ladder.
type LadderResponse struct {
	Rungs       []Rung       `json:"rungs" doc:"One for each dose, in the order asked for."`
	Nearest     *Nearest     `json:"nearest,omitempty" doc:"The dose closest to the target, where there is one."`
	MeasureNext *MeasureNext `json:"measure_next,omitempty" doc:"The rung to pour and read next, so that the colour at the closest dose is known best."`
	Warnings    []Warning    `json:"warnings" doc:"What must be known about the whole ladder."`
	Provenance
}

// Rung is one glass of a ladder. Its dose is told in both conventions.
type Rung struct {
	DoseML           float64     `json:"dose_ml" doc:"Addition in the glass, in mL."`
	DoseMLPer100ML   float64     `json:"dose_ml_per_100ml" doc:"Addition per base, in mL per 100 mL."`
	AdditionFraction float64     `json:"addition_fraction" minimum:"0" maximum:"1" doc:"The addition's volume fraction of the blend."`
	Colour           WineColour  `json:"colour" doc:"The blend's colour."`
	Difference       *Difference `json:"difference,omitempty" doc:"Rung less target, where there is one."`
	FromPrevious     *float64    `json:"delta_e_00_from_previous" doc:"CIEDE2000 from the rung before in this list; null for the first."`
}

// Nearest is the dose that comes closest to a target.
type Nearest struct {
	DoseMLPer100ML   float64     `json:"dose_ml_per_100ml" doc:"Addition per base, in mL per 100 mL."`
	AdditionFraction float64     `json:"addition_fraction" minimum:"0" maximum:"1" doc:"The addition's volume fraction of the blend."`
	Colour           WineColour  `json:"colour" doc:"The blend's colour at that dose."`
	Difference       *Difference `json:"difference" doc:"That colour less the target."`
	DoseInterval95   *[2]float64 `json:"dose_interval_95" nullable:"true" doc:"Holds 95 % of the closest dose over everything uncertain, the target taken as exact; mL per 100 mL. Null at an end of the ladder."`
	AcceptableDoses  *[2]float64 `json:"acceptable_doses_ml_per_100ml" nullable:"true" doc:"The doses that are within the tolerance with a probability of at least 0.95; null where there is none, or no tolerance."`
	NominalDoses     *[2]float64 `json:"nominal_doses_ml_per_100ml" nullable:"true" doc:"The doses whose predicted colour, taken at face value, is within the tolerance; null where there is none, or no tolerance."`
	AtEndOfLadder    bool        `json:"at_end_of_ladder" doc:"True where the closest dose is 0 or the largest rung: the target may lie beyond."`
}

// MeasureNext is the rung whose reading would tell most.
type MeasureNext struct {
	DoseMLPer100ML float64 `json:"dose_ml_per_100ml" doc:"Addition per base, in mL per 100 mL."`
	Before         float64 `json:"u_delta_e_ab_before" doc:"Standard uncertainty of the colour at the closest dose as it is, as a ΔE*ab."`
	After          float64 `json:"u_delta_e_ab_after" doc:"The same after that rung was read at 420, 520 and 620 nm in a 10 mm cell."`
}

type ladderInput struct {
	predicted *blend.Path // from the two wines alone
	path      *blend.Path // recalibrated, where rungs were measured
	unread    bool        // nothing was read of the addition: predicted is of the rungs too
	measured  []blend.Measured
	baseML    float64
	dosesML   []float64
	view      cie.View
	target    *targeted
	notes     []Warning
}

func (r LadderRequest) resolve(f *Faults) (in ladderInput) {
	in.view = r.View.resolve(f)
	in.target = r.Target.resolve("/target", in.view, f)
	in.baseML = r.BaseML
	base, baseOK := r.Base.resolveForBlend("/base", f)
	if !(r.BaseML > 0) {
		f.Addf("/base_ml", r.BaseML, "the base in the glass must be above 0 mL")
	}
	in.measured = r.resolveMeasured(f)
	held, heldOK := r.resolveHeld(f)
	measuredOK := len(in.measured) == len(r.Measured)
	in.predicted, in.unread = r.Addition.pouredInto(poured{base, held, baseOK && heldOK}, rungs{in.measured, measuredOK}, f)
	in.path = in.predicted
	if in.path != nil && measuredOK {
		path, notes, err := in.predicted.Calibrate(in.measured)
		f.Add("", err)
		if err == nil {
			in.path, in.notes = path, warningsOf(path.Warnings(), notes)
		}
	}
	in.dosesML = r.resolveDoses(in, f)
	return in
}

func (r LadderRequest) resolveHeld(f *Faults) (held []blend.Held, ok bool) {
	ok = true
	for i, h := range r.Held {
		wine, sound := h.Wine.resolveForBlend("/held/"+strconv.Itoa(i)+"/wine", f)
		ok = ok && sound
		held = append(held, blend.Held{Wine: wine, Dose: blend.Dose(h.DoseMLPer100ML)})
	}
	return held, ok
}

func (r LadderRequest) resolveMeasured(f *Faults) []blend.Measured {
	var out []blend.Measured
	for i, m := range r.Measured {
		place := "/measured/" + strconv.Itoa(i)
		wine, ok := m.Wine.resolve(place+"/wine", f)
		if !(m.DoseML > 0) {
			f.Addf(place+"/dose_ml", m.DoseML, "the dose of a measured rung must be above 0 mL: the base alone is read as base")
			continue
		}
		if ok && r.BaseML > 0 {
			out = append(out, blend.Measured{Dose: blend.DoseOf(m.DoseML, r.BaseML), Wine: wine, DoseU: m.UDose.resolve()})
		}
	}
	return out
}

// resolveDoses lists the rungs' doses in mL, from the list or the plan.
func (r LadderRequest) resolveDoses(in ladderInput, f *Faults) []float64 {
	if (r.DosesML != nil) == (r.Plan != nil) {
		var given []string
		if r.Plan != nil {
			given = []string{"doses_ml", "plan"}
		}
		f.oneOf("", given, "doses_ml", "plan")
		return nil
	}
	if r.DosesML != nil {
		r.checkDoses(f)
		return r.DosesML
	}
	return r.Plan.resolve(in, f)
}

func (r LadderRequest) checkDoses(f *Faults) {
	if n := len(r.DosesML); n < 1 || n > ladder.MaxRungs {
		f.Addf("/doses_ml", nil, "a ladder has from 1 to %d rungs, not %d", ladder.MaxRungs, n)
	}
	for i, dose := range r.DosesML {
		place := "/doses_ml/" + strconv.Itoa(i)
		if !(dose >= 0) {
			f.Addf(place, dose, "a dose must be 0 mL or more")
		} else if r.BaseML > 0 && blend.DoseOf(dose, r.BaseML) > blend.MaxDose {
			f.Addf(place, dose, "more than %g mL per 100 mL of base is taken for a slip: check doses_ml and base_ml", float64(blend.MaxDose))
		}
	}
}

func (p Plan) resolve(in ladderInput, f *Faults) []float64 {
	plan := ladder.Plan{
		FromML: p.FromML, ToML: p.ToML, StepML: orDefault(p.StepML, 0),
		VisibleStep: orDefault(p.VisibleStep, 0), GraduationML: orDefault(p.GraduationML, 0),
	}
	if err := plan.Validate(); err != nil || in.path == nil || !(in.baseML > 0) {
		f.Add("", err)
		return nil
	}
	doses, err := plan.DosesML(in.path, in.baseML, in.view)
	f.Add("", err)
	return doses
}

// Check implements Request.
func (r LadderRequest) Check(f *Faults) { r.resolve(f) }

// Ladder answers with the rungs of a ladder and the dose closest to the target.
// The error is a *Problem, or a fault of this program.
func Ladder(r LadderRequest) (LadderResponse, error) {
	var f Faults
	in := r.resolve(&f)
	if err := f.Err(); err != nil {
		return LadderResponse{}, err
	}
	rungs, err := ladder.Rungs(in.path, in.baseML, in.dosesML, in.view)
	if err != nil {
		return LadderResponse{}, refused(err)
	}
	out := LadderResponse{Rungs: make([]Rung, len(rungs)), Warnings: in.notes}
	for i, rung := range rungs {
		if out.Rungs[i], err = rungOf(rung, in.target); err != nil {
			return LadderResponse{}, err
		}
	}
	if in.target == nil {
		return out, nil
	}
	out.Warnings = append(out.Warnings, warningsOf(in.target.warnings)...)
	if out.Nearest, err = in.nearest(&out); err != nil || in.largest() == 0 {
		return out, err
	}
	next, err := in.path.MeasureNext(blend.Dose(out.Nearest.DoseMLPer100ML), in.view, in.largest())
	if err != nil {
		return LadderResponse{}, refused(err)
	}
	out.MeasureNext = &MeasureNext{DoseMLPer100ML: float64(next.Dose), Before: next.Before, After: next.After}
	return out, nil
}

func rungOf(r ladder.Rung, t *targeted) (Rung, error) {
	out := Rung{
		DoseML: r.DoseML, DoseMLPer100ML: float64(r.Dose), AdditionFraction: r.Fraction,
		Colour: colourOf(r.Colour), FromPrevious: r.DeltaE00FromPrevious,
	}
	out.Colour.Budget = nil // 2,000 of them would be most of the answer
	if t == nil {
		return out, nil
	}
	var err error
	out.Difference, err = differenceOf(t.Target, r.Colour)
	return out, err
}

// largest is the largest dose among the rungs, where the search ends.
func (in ladderInput) largest() blend.Dose {
	most := 0.0
	for _, dose := range in.dosesML {
		most = max(most, dose)
	}
	return blend.DoseOf(most, in.baseML)
}

func (in ladderInput) nearest(ladder *LadderResponse) (*Nearest, error) {
	found, err := in.path.Nearest(in.target.Target, in.view, in.largest())
	if err != nil {
		return nil, refused(err)
	}
	c, err := colourIn(found.Wine, in.view)
	if err != nil {
		return nil, err
	}
	d, err := differenceOf(in.target.Target, c)
	if err != nil {
		return nil, err
	}
	ladder.Warnings = append(ladder.Warnings, warningsOf(found.Warnings)...)
	return &Nearest{
		DoseMLPer100ML: float64(found.Dose), AdditionFraction: in.path.Fraction(found.Dose),
		Colour: colourOf(c), Difference: d,
		DoseInterval95: pair(found.Interval95), AcceptableDoses: pair(found.Acceptable), NominalDoses: pair(found.Nominal),
		AtEndOfLadder: found.AtEnd,
	}, nil
}

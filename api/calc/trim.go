package calc

import (
	"errors"
	"fmt"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
)

// TrimRequest asks what a tank still needs after its first part was poured,
// mixed, sampled and read.
type TrimRequest struct {
	Base     Wine       `json:"base" doc:"The base, as it was read before."`
	Addition Dosed      `json:"addition" doc:"The addition, as it was read before."`
	BaseML   *float64   `json:"base_ml,omitempty" exclusiveMinimum:"0" maximum:"100000" doc:"Base in each measured glass of the bench, in mL. 100 where left out." default:"100"`
	Measured []Measured `json:"measured,omitempty" maxItems:"100" doc:"Rungs of the bench that were read. The path is recalibrated to them and to the samples."`
	Tank     Tank       `json:"tank" doc:"What is in the tank."`
	Top      Wine       `json:"top" doc:"The sample from the top of the tank."`
	Bottom   Wine       `json:"bottom" doc:"The sample from the bottom of the tank, read like the top."`
	Target   *Target    `json:"target" doc:"The colour to reach."`
	View     *View      `json:"view,omitempty" doc:"Conditions that the target holds for. D65, 10°, 10 mm where left out."`
}

// Tank is what was put into a tank so far, in litres.
type Tank struct {
	BaseL    float64  `json:"base_l" exclusiveMinimum:"0" doc:"Litres of base before the addition."`
	UBaseL   *float64 `json:"u_base_l,omitempty" minimum:"0" doc:"Its standard uncertainty (k = 1) in litres. 1 % of it where left out, a judgement."`
	PouredL  float64  `json:"poured_l" exclusiveMinimum:"0" doc:"Litres of addition that have arrived so far: what stays in the line is not in the tank."`
	UPouredL *float64 `json:"u_poured_l,omitempty" minimum:"0" doc:"Its standard uncertainty (k = 1) in litres. 1 % of it where left out, a judgement."`
	RoomL    *float64 `json:"room_l,omitempty" minimum:"0" doc:"Litres that still fit into the tank. A trim that does not is refused."`
}

// tankU is the relative standard uncertainty of a volume in a cellar where none
// is stated: a gauge or meter good to about 2 % (rectangular). A judgement, no
// source.
const tankU = 0.01

// TrimResponse is what a tank still needs.
type TrimResponse struct {
	Mixing       Mixing      `json:"mixing" doc:"Top against bottom."`
	NominalDose  float64     `json:"nominal_dose_ml_per_100ml" doc:"The tank's dose by its volumes alone."`
	Dose         float64     `json:"dose_ml_per_100ml" doc:"The tank's dose by its volumes and samples together."`
	UDose        float64     `json:"u_dose_ml_per_100ml" doc:"Its standard uncertainty (k = 1)."`
	Colour       WineColour  `json:"colour" doc:"The tank's colour at that dose, on the recalibrated path."`
	Difference   *Difference `json:"difference" doc:"That colour less the target."`
	Trim         *TrimPour   `json:"trim" doc:"What is still needed; null where the tank is not mixed."`
	ResultColour *WineColour `json:"result_colour,omitempty" doc:"The colour that the trim, or the base that brings it back, leads to."`
	Result       *Difference `json:"result_difference,omitempty" doc:"That colour less the target."`
	Warnings     []Warning   `json:"warnings" doc:"What must be known before pouring."`
	Provenance
}

// TransformSchema lets trim be null.
func (TrimResponse) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	orNull(s, "trim")
	return s
}

// Mixing holds the two samples against each other.
type Mixing struct {
	Mixed       bool    `json:"mixed" doc:"Whether top and bottom differ by no more than their readings explain (95 %), or by less than ΔE00 0.5."`
	TopDose     float64 `json:"top_dose_ml_per_100ml" doc:"Where the top's sample lies on the path."`
	BottomDose  float64 `json:"bottom_dose_ml_per_100ml" doc:"Where the bottom's sample lies on the path."`
	UDifference float64 `json:"u_difference_ml_per_100ml" doc:"Standard uncertainty (k = 1) of their difference, from the readings."`
	DeltaE00    float64 `json:"delta_e_00" doc:"CIEDE2000 between the two on the path."`
	LeastSeen   float64 `json:"least_seen_delta_e_00" doc:"The difference that a layer must have to be seen by these readings (95 %)."`
}

// TrimPour is the pour that brings a tank nearest to its target.
type TrimPour struct {
	TargetDose         float64     `json:"target_dose_ml_per_100ml" doc:"The dose that comes closest to the target."`
	AdditionL          float64     `json:"addition_l" doc:"Litres of addition that must still arrive; 0 where the target was passed."`
	AdditionInterval95 *[2]float64 `json:"addition_interval_95_l" nullable:"true" doc:"Holds 95 % of it over everything uncertain, the target taken as exact; an end below 0 says that the target may be passed already. Null at an end of the path."`
	Passed             bool        `json:"passed" doc:"Whether the tank has more addition than the closest dose."`
	BaseL              *float64    `json:"base_l" doc:"Where it was passed: litres of base that bring it back; null where none can or none is needed."`
	BaseInterval95     *[2]float64 `json:"base_interval_95_l" nullable:"true" doc:"Holds 95 % of that."`
	ResultL            float64     `json:"result_l" doc:"Litres in the tank afterwards."`
}

// benchBaseML is the base in a glass of the bench where none is stated.
const benchBaseML = 100

// benchRungs are the rungs that were read in glasses of so much base.
func benchRungs(list []Measured, baseML *float64, f *Faults) (rungs []blend.Measured, ok bool) {
	ml := orDefault(baseML, benchBaseML)
	if !(ml > 0) {
		f.Addf("/base_ml", ml, "the base in the glass must be above 0 mL")
		return nil, false
	}
	rungs = LadderRequest{Measured: list, BaseML: ml}.resolveMeasured(f)
	return rungs, len(rungs) == len(list)
}

type trimInput struct {
	path   *blend.Path
	tank   blend.Tank
	target *targeted
	view   cie.View
}

func (r TrimRequest) resolve(f *Faults) (in trimInput, ok bool) {
	before := len(f.list)
	in.view = r.View.resolve(f)
	in.target = r.Target.resolve("/target", in.view, f)
	if r.Target == nil {
		f.Addf("/target", nil, "the field %q is missing", "target")
	}
	base, baseOK := r.Base.resolveForBlend("/base", f)
	t := r.Tank
	in.tank = blend.Tank{
		BaseL: t.BaseL, UBaseL: orDefault(t.UBaseL, tankU*t.BaseL),
		PouredL: t.PouredL, UPouredL: orDefault(t.UPouredL, tankU*t.PouredL), RoomL: t.RoomL,
	}
	var topOK, bottomOK, rungsOK bool
	in.tank.Top, topOK = r.Top.resolve("/top", f)
	in.tank.Bottom, bottomOK = r.Bottom.resolve("/bottom", f)
	in.tank.Rungs, rungsOK = benchRungs(r.Measured, r.BaseML, f)
	f.Add("/tank", in.tank.ValidateVolumes())
	if in.path, _ = r.Addition.pouredInto(poured{base: base, sound: baseOK}, rungs{in.tank.Rungs, rungsOK}, f); in.path != nil {
		_, _, err := in.path.Calibrate(in.tank.Rungs)
		f.Add("", err)
	}
	return in, len(f.list) == before && in.path != nil && in.target != nil && topOK && bottomOK && rungsOK
}

// Check implements Request.
func (r TrimRequest) Check(f *Faults) { r.resolve(f) }

// Trim answers with what a tank still needs. The error is a *Problem, or a fault
// of this program; a trim beyond the tank's room is a Problem at /tank/room_l.
func Trim(r TrimRequest) (TrimResponse, error) {
	var f Faults
	in, ok := r.resolve(&f)
	if err := f.Err(); err != nil || !ok {
		return TrimResponse{}, err
	}
	t, err := in.path.Trim(in.tank, in.target.Target, in.view)
	if err != nil {
		return TrimResponse{}, trimRefused(err)
	}
	m := t.Mixing
	out := TrimResponse{
		Mixing:      Mixing{m.Mixed, float64(m.TopDose), float64(m.BottomDose), m.UDifference, m.DeltaE00, m.LeastSeen},
		NominalDose: float64(t.NominalDose), Dose: float64(t.Dose), UDose: t.UDose,
		Warnings: warningsOf(t.Path.Warnings(), t.Warnings, in.tank.Top.Warnings, in.tank.Bottom.Warnings, in.target.warnings),
	}
	if out.Colour, out.Difference, err = in.at(t, t.Dose); err != nil {
		return TrimResponse{}, err
	}
	if n := t.Need; n != nil {
		out.Trim = &TrimPour{
			float64(n.TargetDose), n.AdditionL, pair(n.AdditionInterval95), n.Passed, n.BaseL, pair(n.BaseInterval95), n.ResultL,
		}
		result, difference, err := in.at(t, n.TargetDose)
		if err != nil {
			return TrimResponse{}, err
		}
		out.ResultColour, out.Result = &result, difference
	}
	return out, nil
}

// at is the colour of the recalibrated path at a dose, held against the target.
func (in trimInput) at(t blend.Trim, d blend.Dose) (WineColour, *Difference, error) {
	c, err := colourIn(t.Path.At(d), in.view)
	if err != nil {
		return WineColour{}, nil, err
	}
	difference, err := differenceOf(in.target.Target, c)
	return colourOf(c), difference, err
}

// trimRefused places what was found only while the trim was computed: all of it is
// about the tank.
func trimRefused(err error) error {
	var fields colour.FieldErrors
	if !errors.As(err, &fields) {
		return fmt.Errorf("calc: trim: %w", err)
	}
	var f Faults
	f.Add("/tank", fields)
	return f.Err()
}

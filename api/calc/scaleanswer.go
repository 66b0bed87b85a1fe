package calc

import (
	"pourpath/colour/blend"
	"pourpath/colour/cie"
)

// ScaleResponse is what to pour, unrounded; rounded has what can be measured.
type ScaleResponse struct {
	BaseL             float64        `json:"base_l" doc:"Litres of base to use."`
	AdditionL         float64        `json:"addition_l" doc:"Litres of addition that must arrive, the part held back at first included."`
	BlendL            float64        `json:"blend_l" doc:"Litres of blend made, before losses."`
	Convention        string         `json:"convention" enum:"base_led,blend_led,mixed" doc:"What the size was a size of: base_led, the addition came on top; blend_led, it was part of it; mixed for vessels of both kinds."`
	OtherConvention   *Recipe        `json:"other_convention,omitempty" doc:"The same figure read the other way, so that a mistake is seen. Not what was asked for."`
	PerLBase          float64        `json:"addition_ml_per_l_base" doc:"Addition in mL for one litre of base."`
	PerLBlend         float64        `json:"addition_ml_per_l_blend" doc:"Addition in mL in one litre of finished blend."`
	AdditionPercent   float64        `json:"addition_percent_of_blend" doc:"The addition's share of the finished blend by volume, in %. Not the dose."`
	Vessels           []ScaledVessel `json:"vessels,omitempty" doc:"What goes into each of the vessels, in the order of the request."`
	LeftOverL         float64        `json:"left_over_l" doc:"Litres that this batch leaves of the stocked wines together."`
	LeftOverBaseL     float64        `json:"left_over_base_l" doc:"Of that, base."`
	LeftOverAdditionL float64        `json:"left_over_addition_l" doc:"Of that, addition."`
	LostL             float64        `json:"lost_l" doc:"Litres of blend that are lost on the way to the bottle."`
	ArrivesL          float64        `json:"arrives_l" doc:"Litres of blend that arrive."`
	FirstAdditionL    float64        `json:"first_addition_l" doc:"Litres of addition that are to arrive first, first_percent of it: mix, measure, then trim, as nothing can be taken out again (common practice)."`
	HeldBackL         float64        `json:"held_back_l" doc:"Litres of addition held back for the trim."`
	PourL             float64        `json:"pour_l" doc:"Litres of addition to measure out so that addition_l arrives: the heel of the line included."`
	MissingBaseL      float64        `json:"missing_base_l" doc:"Litres of base that the stock lacks."`
	MissingAdditionL  float64        `json:"missing_addition_l" doc:"Litres of addition that the stock lacks, for pour_l."`
	LimitedBy         string         `json:"limited_by,omitempty" enum:"base,addition" doc:"The wine that runs short."`
	LargestBlendL     *float64       `json:"largest_blend_l,omitempty" doc:"The most blend, before losses, that the stock makes at this dose."`
	Largest           *LargestBatch  `json:"largest,omitempty" doc:"That largest batch in full. Base-led, it is its base_l."`
	Stretched         *Stretched     `json:"stretched,omitempty" doc:"The asked size made with all of the addition on hand, which is not enough: a weaker dose."`
	Rounded           *RoundedRecipe `json:"rounded,omitempty" doc:"The recipe as the cellar can measure it, where a graduation is stated."`
	Delivery          *DoseDelivery  `json:"delivery,omitempty" doc:"How well the dose is met, where anything is stated about measuring."`
	Warnings          []Warning      `json:"warnings" doc:"What must be known before pouring."`
	Provenance
}

// Recipe is base and addition of one blend, in litres.
type Recipe struct {
	BaseL     float64 `json:"base_l" doc:"Litres of base."`
	AdditionL float64 `json:"addition_l" doc:"Litres of addition."`
	BlendL    float64 `json:"blend_l" doc:"Litres of blend, before losses."`
}

// ScaledVessel is what goes into one vessel.
type ScaledVessel struct {
	Name       string `json:"name,omitempty" doc:"What it is called."`
	Count      int    `json:"count" doc:"How many of them."`
	Convention string `json:"convention" enum:"base_led,blend_led" doc:"What its size was a size of."`
	Recipe
}

// LargestBatch is the largest batch that a stock makes.
type LargestBatch struct {
	Recipe
	ArrivesL          float64 `json:"arrives_l" doc:"Litres that arrive after losses."`
	Bottles           *int    `json:"bottles,omitempty" doc:"Bottles of the asked size that it fills."`
	LeftOverBaseL     float64 `json:"left_over_base_l" doc:"Litres of base that it leaves of the stock."`
	LeftOverAdditionL float64 `json:"left_over_addition_l" doc:"Litres of addition that it leaves of the stock."`
}

// Stretched is the asked size with less addition than asked.
type Stretched struct {
	Recipe
	Dose     float64  `json:"dose_ml_per_100ml" doc:"The dose that it has."`
	DeltaE00 *float64 `json:"delta_e_00,omitempty" doc:"CIEDE2000 from the asked dose, where base and addition are given."`
}

// RoundedRecipe is a recipe that can be measured.
type RoundedRecipe struct {
	Recipe
	Dose           float64  `json:"dose_ml_per_100ml" doc:"The dose that it has."`
	FirstAdditionL float64  `json:"first_addition_l" doc:"Litres of addition that are to arrive first, rounded down."`
	HeldBackL      float64  `json:"held_back_l" doc:"Litres of addition held back."`
	DeltaE00       *float64 `json:"delta_e_00,omitempty" doc:"CIEDE2000 that the rounding makes, where base and addition are given."`
}

// DoseDelivery says how well a dose is met.
type DoseDelivery struct {
	UDose         float64  `json:"u_dose_ml_per_100ml" doc:"Standard uncertainty (k = 1) of the dose from gauge, measure and graduations."`
	UDeltaE00     *float64 `json:"u_delta_e_00,omitempty" doc:"CIEDE2000 that one such uncertainty makes, where base and addition are given."`
	ShortDose     float64  `json:"short_dose_ml_per_100ml" doc:"The dose if the addition is measured out without regard to the heel."`
	ShortDeltaE00 *float64 `json:"short_delta_e_00,omitempty" doc:"CIEDE2000 of that shortfall, where base and addition are given."`
	PourL         float64  `json:"pour_l" doc:"Litres of addition to measure out instead, as rounded, the heel included."`
	FirstPourL    float64  `json:"first_pour_l" doc:"Of that, what to measure out first: the heel fills the line once."`
}

// costs tells errors of a dose as colour differences, where the path is known.
type costs struct {
	path *blend.Path
	view cie.View
}

func (c costs) of(from, to blend.Dose) (*float64, error) {
	if c.path == nil {
		return nil, nil // nobody said which wines they are
	}
	d, err := c.path.DeltaE00(from, to, c.view)
	if err != nil {
		return nil, refused(err)
	}
	return number(d), nil
}

func recipeOf(r blend.Recipe) Recipe { return Recipe{r.BaseL, r.AdditionL, r.BlendL} }

func (in scaleInput) answer() (out ScaleResponse, err error) {
	v := in.volumes
	out = ScaleResponse{
		BaseL: v.BaseL, AdditionL: v.AdditionL, BlendL: v.BlendL, Convention: string(v.Convention),
		PerLBase: 1000 * v.AdditionL / v.BaseL, PerLBlend: 1000 * v.AdditionL / v.BlendL, AdditionPercent: v.AdditionPercentOfBlend,
		LeftOverL: v.LeftOverL, LeftOverBaseL: v.LeftOverBaseL, LeftOverAdditionL: v.LeftOverAdditionL,
		LostL: v.LostL, ArrivesL: v.ArrivesL, FirstAdditionL: v.FirstAdditionL, HeldBackL: v.HeldBackL, PourL: v.PourL,
		MissingBaseL: v.MissingBaseL, MissingAdditionL: v.MissingAdditionL, LimitedBy: v.LimitedBy,
		Warnings: warningsOf(v.Warnings, in.notes),
	}
	if v.Otherwise != nil {
		other := recipeOf(*v.Otherwise)
		out.OtherConvention = &other
	}
	for _, one := range v.Vessels {
		out.Vessels = append(out.Vessels, ScaledVessel{one.Name, one.Count, string(one.Convention), recipeOf(one.Recipe)})
	}
	if l := v.Largest; l != nil {
		out.LargestBlendL = &l.BlendL
		out.Largest = &LargestBatch{recipeOf(l.Recipe), l.ArrivesL, l.Bottles, l.LeftOverBaseL, l.LeftOverAdditionL}
	}
	err = in.measured(&out)
	return out, err
}

// measured fills in what depends on how the volumes are measured.
func (in scaleInput) measured(out *ScaleResponse) (err error) {
	v, asked := in.volumes, in.dose
	if s := v.Stretched; s != nil {
		out.Stretched = &Stretched{Recipe: recipeOf(s.Recipe), Dose: float64(s.Dose)}
		if out.Stretched.DeltaE00, err = in.costs.of(asked, s.Dose); err != nil {
			return err
		}
	}
	poured := asked
	if r := v.Rounded; r != nil {
		poured = r.Dose
		out.Rounded = &RoundedRecipe{Recipe: recipeOf(r.Recipe), Dose: float64(r.Dose), FirstAdditionL: r.FirstAdditionL, HeldBackL: r.HeldBackL}
		if out.Rounded.DeltaE00, err = in.costs.of(asked, r.Dose); err != nil {
			return err
		}
	}
	d := v.Delivery
	if d.UDose == 0 && v.PourL == v.AdditionL {
		return nil // nothing was stated
	}
	out.Delivery = &DoseDelivery{UDose: d.UDose, ShortDose: float64(d.ShortDose), PourL: d.PourL, FirstPourL: d.FirstPourL}
	if out.Delivery.ShortDeltaE00, err = in.costs.of(poured, d.ShortDose); err != nil {
		return err
	}
	out.Delivery.UDeltaE00, err = in.costs.of(poured, poured+blend.Dose(d.UDose))
	return err
}

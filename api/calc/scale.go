package calc

import (
	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour/blend"
)

// ScaleRequest asks what to pour in the cellar for a dose found in the glass.
// Exactly one size is given: base_l is base-led (the addition comes on top),
// blend_l and bottles are blend-led (the addition is part of it).
type ScaleRequest struct {
	Dose        float64  `json:"dose_ml_per_100ml" exclusiveMinimum:"0" maximum:"1000" doc:"The dose, in mL of addition per 100 mL of base."`
	BaseL       *float64 `json:"base_l,omitempty" exclusiveMinimum:"0" doc:"Litres of base, all of it used; the addition comes on top."`
	BlendL      *float64 `json:"blend_l,omitempty" exclusiveMinimum:"0" doc:"Litres of finished blend wanted after losses, addition included."`
	Bottles     *Bottles `json:"bottles,omitempty" doc:"Bottles wanted after losses."`
	LossPercent float64  `json:"loss_percent,omitempty" minimum:"0" exclusiveMaximum:"100" doc:"Share of the blend that is lost on the way to the bottle, in %. 0 where left out." default:"0"`
	Stock       *Stock   `json:"stock,omitempty" doc:"What is on hand."`
}

// TransformSchema documents that exactly one size is wanted.
func (ScaleRequest) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return OneOf(s, []string{"base_l"}, []string{"blend_l"}, []string{"bottles"})
}

// Bottles is an order by the bottle.
type Bottles struct {
	Count int     `json:"count" minimum:"1" doc:"How many bottles."`
	ML    float64 `json:"ml" exclusiveMinimum:"0" doc:"Content of one, in mL."`
}

// Stock is what is on hand, in litres.
type Stock struct {
	BaseL     *float64 `json:"base_l,omitempty" minimum:"0" doc:"Litres of base on hand."`
	AdditionL *float64 `json:"addition_l,omitempty" minimum:"0" doc:"Litres of the addition on hand."`
}

// ScaleResponse is what to pour, unrounded.
type ScaleResponse struct {
	BaseL             float64   `json:"base_l" doc:"Litres of base to use."`
	AdditionL         float64   `json:"addition_l" doc:"Litres of addition to pour, the part held back at first included."`
	BlendL            float64   `json:"blend_l" doc:"Litres of blend made, before losses."`
	AdditionPercent   float64   `json:"addition_percent_of_blend" doc:"The addition's share of the finished blend by volume, in %. Not the dose."`
	LeftOverL         float64   `json:"left_over_l" doc:"Litres that this batch leaves of the stocked wines together."`
	LeftOverBaseL     float64   `json:"left_over_base_l" doc:"Of that, base."`
	LeftOverAdditionL float64   `json:"left_over_addition_l" doc:"Of that, addition."`
	LostL             float64   `json:"lost_l" doc:"Litres of blend that are lost on the way to the bottle."`
	ArrivesL          float64   `json:"arrives_l" doc:"Litres of blend that arrive."`
	FirstAdditionL    float64   `json:"first_addition_l" doc:"Litres of addition to pour first, 90 % of it: mix, measure, then trim, as nothing can be taken out again (common practice)."`
	MissingBaseL      float64   `json:"missing_base_l" doc:"Litres of base that the stock lacks."`
	MissingAdditionL  float64   `json:"missing_addition_l" doc:"Litres of addition that the stock lacks."`
	LimitedBy         string    `json:"limited_by,omitempty" enum:"base,addition" doc:"The wine that runs short."`
	LargestBlendL     *float64  `json:"largest_blend_l,omitempty" doc:"The most blend, before losses, that the stock makes at this dose."`
	Warnings          []Warning `json:"warnings" doc:"What must be known before pouring."`
}

func (r ScaleRequest) batch() blend.Batch {
	b := blend.Batch{Dose: blend.Dose(r.Dose), BaseL: r.BaseL, BlendL: r.BlendL, LossPercent: r.LossPercent}
	if r.Bottles != nil {
		b.Bottles = &blend.Bottles{Count: r.Bottles.Count, ML: r.Bottles.ML}
	}
	if r.Stock != nil {
		b.StockBaseL, b.StockAdditionL = r.Stock.BaseL, r.Stock.AdditionL
	}
	return b
}

// Check implements Request.
func (r ScaleRequest) Check(f *Faults) {
	_, err := blend.Scale(r.batch())
	f.Add("", err)
}

// Scale answers with the volumes for a batch. The error is a *Problem.
func Scale(r ScaleRequest) (ScaleResponse, error) {
	v, err := blend.Scale(r.batch())
	if err != nil {
		var f Faults
		f.Add("", err)
		return ScaleResponse{}, f.Err()
	}
	return ScaleResponse{
		BaseL: v.BaseL, AdditionL: v.AdditionL, BlendL: v.BlendL, AdditionPercent: v.AdditionPercentOfBlend,
		LeftOverL: v.LeftOverL, LeftOverBaseL: v.LeftOverBaseL, LeftOverAdditionL: v.LeftOverAdditionL,
		LostL: v.LostL, ArrivesL: v.ArrivesL, FirstAdditionL: v.FirstAdditionL,
		MissingBaseL: v.MissingBaseL, MissingAdditionL: v.MissingAdditionL,
		LimitedBy: v.LimitedBy, LargestBlendL: v.LargestBlendL, Warnings: warningsOf(v.Warnings),
	}, nil
}

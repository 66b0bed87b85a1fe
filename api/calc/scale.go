package calc

import (
	"github.com/danielgtaylor/huma/v2"

	"pourpath/colour"
	"pourpath/colour/blend"
)

// ScaleRequest asks what to pour in the cellar for a dose found in the glass.
// Exactly one size is given: base_l is base-led (the addition comes on top),
// blend_l and bottles are blend-led (the addition is part of it), and each of
// vessels says which it is.
type ScaleRequest struct {
	Dose         float64    `json:"dose_ml_per_100ml" exclusiveMinimum:"0" maximum:"1000" doc:"The dose, in mL of addition per 100 mL of base."`
	BaseL        *float64   `json:"base_l,omitempty" exclusiveMinimum:"0" doc:"Litres of base, all of it used; the addition comes on top."`
	BlendL       *float64   `json:"blend_l,omitempty" exclusiveMinimum:"0" doc:"Litres of finished blend wanted after losses, addition included."`
	Bottles      *Bottles   `json:"bottles,omitempty" doc:"Bottles wanted after losses."`
	Vessels      []Vessel   `json:"vessels,omitempty" minItems:"1" maxItems:"100" doc:"Several kinds of vessel at once; the answer lists each and adds them up."`
	LossPercent  float64    `json:"loss_percent,omitempty" minimum:"0" exclusiveMaximum:"100" doc:"Share of the blend that is lost on the way to the bottle, in %. 0 where left out." default:"0"`
	Stock        *Stock     `json:"stock,omitempty" doc:"What is on hand."`
	FirstPercent float64    `json:"first_percent,omitempty" exclusiveMinimum:"0" exclusiveMaximum:"100" doc:"Share of the addition to pour before measuring, in %. 90 where left out." default:"90"`
	Measuring    *Measuring `json:"measuring,omitempty" doc:"What the cellar measures with. With graduations the answer has a rounded recipe."`
	ScalePath
}

// ScalePath is the part of a scale request that says what an error of the dose
// costs in colour.
type ScalePath struct {
	Base     *Wine      `json:"base,omitempty" doc:"The base, given together with the addition: errors of the dose are then told as colour differences."`
	Addition *Dosed     `json:"addition,omitempty" doc:"The addition, together with the base."`
	BaseML   *float64   `json:"base_ml,omitempty" exclusiveMinimum:"0" maximum:"100000" doc:"Base in each measured glass, in mL. 100 where left out." default:"100"`
	Measured []Measured `json:"measured,omitempty" maxItems:"100" doc:"Rungs that were read after pouring."`
	View     *View      `json:"view,omitempty" doc:"Conditions of the colour differences. D65, 10°, 10 mm where left out."`
}

// TransformSchema documents that exactly one size is wanted.
func (ScaleRequest) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return OneOf(s, []string{"base_l"}, []string{"blend_l"}, []string{"bottles"}, []string{"vessels"})
}

// Bottles is an order by the bottle.
type Bottles struct {
	Count int     `json:"count" minimum:"1" doc:"How many bottles."`
	ML    float64 `json:"ml" exclusiveMinimum:"0" doc:"Content of one, in mL."`
}

// Vessel is one kind of vessel of an order.
type Vessel struct {
	Name   string   `json:"name,omitempty" maxLength:"200" doc:"What it is called, such as carboy; only repeated."`
	Count  int      `json:"count,omitempty" minimum:"1" doc:"How many of them. 1 where left out." default:"1"`
	BaseL  *float64 `json:"base_l,omitempty" exclusiveMinimum:"0" doc:"Base-led: litres of base in each; the addition comes on top."`
	BlendL *float64 `json:"blend_l,omitempty" exclusiveMinimum:"0" doc:"Blend-led: litres of finished blend in each after losses, addition included."`
}

// TransformSchema documents that exactly one size is wanted.
func (Vessel) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return OneOf(s, []string{"base_l"}, []string{"blend_l"})
}

// Stock is what is on hand, in litres.
type Stock struct {
	BaseL     *float64 `json:"base_l,omitempty" minimum:"0" doc:"Litres of base on hand."`
	AdditionL *float64 `json:"addition_l,omitempty" minimum:"0" doc:"Litres of the addition on hand."`
}

// Measuring is what a cellar measures with.
type Measuring struct {
	BaseGraduationL      float64 `json:"base_graduation_l,omitempty" minimum:"0" doc:"Least step in which the base can be measured, in litres."`
	AdditionGraduationML float64 `json:"addition_graduation_ml,omitempty" minimum:"0" doc:"Least step in which the addition can be measured, in mL."`
	BaseUPercent         float64 `json:"base_u_percent,omitempty" minimum:"0" maximum:"50" doc:"Standard uncertainty (k = 1) of the base's volume, such as a tank gauge's, in % of it; a gauge good to ±1 % has 0.6."`
	AdditionUPercent     float64 `json:"addition_u_percent,omitempty" minimum:"0" maximum:"50" doc:"The same of the addition's volume."`
	HeelL                float64 `json:"heel_l,omitempty" minimum:"0" doc:"Litres of addition that stay in hose and pump."`
}

// batch is r as the science has it.
func (r ScaleRequest) batch() blend.Batch {
	b := blend.Batch{Dose: blend.Dose(r.Dose), BaseL: r.BaseL, BlendL: r.BlendL, LossPercent: r.LossPercent, FirstPercent: r.FirstPercent}
	if r.Bottles != nil {
		b.Bottles = &blend.Bottles{Count: r.Bottles.Count, ML: r.Bottles.ML}
	}
	if r.Vessels != nil {
		b.Vessels = make([]blend.Vessel, len(r.Vessels))
	}
	for i, one := range r.Vessels {
		if one.Count == 0 {
			one.Count = 1
		}
		b.Vessels[i] = blend.Vessel{Name: one.Name, Count: one.Count, BaseL: one.BaseL, BlendL: one.BlendL}
	}
	if r.Stock != nil {
		b.StockBaseL, b.StockAdditionL = r.Stock.BaseL, r.Stock.AdditionL
	}
	if m := r.Measuring; m != nil {
		b.Measuring = blend.Measuring{
			BaseGraduationL: m.BaseGraduationL, AdditionGraduationML: m.AdditionGraduationML,
			BaseUPercent: m.BaseUPercent, AdditionUPercent: m.AdditionUPercent, HeelL: m.HeelL,
		}
	}
	return b
}

type scaleInput struct {
	dose    blend.Dose
	volumes blend.Volumes
	costs   costs
	notes   []colour.Warning
}

func (r ScaleRequest) resolve(f *Faults) (in scaleInput) {
	var err error
	in.dose = blend.Dose(r.Dose)
	in.volumes, err = blend.Scale(r.batch())
	f.Add("", err)
	in.costs, in.notes = r.ScalePath.resolve(f)
	return in
}

// resolve makes the path, where one is given.
func (p ScalePath) resolve(f *Faults) (costs, []colour.Warning) {
	c := costs{view: p.View.resolve(f)}
	switch {
	case p.Base == nil && p.Addition == nil:
		if p.Measured != nil {
			f.Addf("/measured", nil, "measured rungs need their base and addition too")
		}
		return c, nil
	case p.Base == nil:
		f.Addf("/base", nil, "base and addition go together: give the base too")
		return c, nil
	case p.Addition == nil:
		f.Addf("/addition", nil, "base and addition go together: give the addition too")
		return c, nil
	}
	base, baseOK := p.Base.resolveForBlend("/base", f)
	measured, measuredOK := benchRungs(p.Measured, p.BaseML, f)
	predicted, _ := p.Addition.pouredInto(poured{base: base, sound: baseOK}, rungs{measured, measuredOK}, f)
	if predicted == nil || !measuredOK {
		return c, nil
	}
	path, notes, err := predicted.Calibrate(measured)
	f.Add("", err)
	c.path = path
	return c, notes
}

// Check implements Request.
func (r ScaleRequest) Check(f *Faults) { r.resolve(f) }

// Scale answers with the volumes for a batch. The error is a *Problem, or a
// fault of this program.
func Scale(r ScaleRequest) (ScaleResponse, error) {
	var f Faults
	in := r.resolve(&f)
	if err := f.Err(); err != nil {
		return ScaleResponse{}, err
	}
	return in.answer()
}

package bench

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"pourpath/api/calc"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// WorkOrderRequest asks for the order to make a trial's chosen dose in the cellar.
// Exactly one size is given, as calc.ScaleRequest has it; the dose is the choice.
type WorkOrderRequest struct {
	BaseL        *float64        `json:"base_l,omitempty" exclusiveMinimum:"0" doc:"Litres of base, all of it used; the addition comes on top. Of a trial with wines held in its base, of the mixture."`
	BlendL       *float64        `json:"blend_l,omitempty" exclusiveMinimum:"0" doc:"Litres of finished blend wanted after losses, addition included."`
	Bottles      *calc.Bottles   `json:"bottles,omitempty" doc:"Bottles wanted after losses."`
	Vessels      []calc.Vessel   `json:"vessels,omitempty" minItems:"1" maxItems:"100" doc:"Several kinds of vessel at once."`
	LossPercent  float64         `json:"loss_percent,omitempty" minimum:"0" exclusiveMaximum:"100" doc:"Share of the blend that is lost on the way to the bottle, in %. 0 where left out." default:"0"`
	Stock        *calc.Stock     `json:"stock,omitempty" doc:"What is on hand."`
	FirstPercent float64         `json:"first_percent,omitempty" exclusiveMinimum:"0" exclusiveMaximum:"100" doc:"Share of the addition to pour before measuring, in %. 90 where left out." default:"90"`
	Measuring    *calc.Measuring `json:"measuring,omitempty" doc:"What the cellar measures with. With graduations the order has a recipe that can be measured."`
	Vessel       string          `json:"vessel,omitempty" maxLength:"200" doc:"What the vessel is called, such as Tank 7; with base_l, blend_l or bottles."`
	BaseLot      string          `json:"base_lot,omitempty" maxLength:"200" doc:"Lot of the base. That of the stored wine where left out."`
	AdditionLot  string          `json:"addition_lot,omitempty" maxLength:"200" doc:"Lot of the addition. That of the stored wine where left out."`
	Trim         *WorkOrderTrim  `json:"trim,omitempty" doc:"What was read of the tank after its first part: the order then says what is still to be added."`
}

// WorkOrderTrim is a tank after its first part was poured, mixed, sampled and read.
type WorkOrderTrim struct {
	Tank   calc.Tank    `json:"tank" doc:"What is in the tank."`
	Top    calc.Wine    `json:"top" doc:"The sample from the top of the tank."`
	Bottom calc.Wine    `json:"bottom" doc:"The sample from the bottom of the tank, read like the top."`
	Target *calc.Target `json:"target,omitempty" doc:"The colour to reach. Where left out it is that of the chosen dose: as the final check read it, else as its glass was read, else as it is predicted."`
}

// TransformSchema documents that exactly one size is wanted.
func (WorkOrderRequest) TransformSchema(_ huma.Registry, s *huma.Schema) *huma.Schema {
	return calc.OneOf(s, []string{"base_l"}, []string{"blend_l"}, []string{"bottles"}, []string{"vessels"})
}

// Check implements calc.Request. Sizes are looked at together with the dose, which
// is the trial's.
func (r WorkOrderRequest) Check(f *calc.Faults) {
	if r.Vessel != "" && r.Vessels != nil {
		f.Addf("/vessel", r.Vessel, "vessels have names of their own: leave vessel out")
	}
}

// WorkOrder is the order for the cellar. The error is a *calc.Problem, where no
// dose is chosen too, or record.ErrNotFound, or another of the records'.
func (b *Bench) WorkOrder(ctx context.Context, id string, ask WorkOrderRequest) (sheet.WorkOrder, error) {
	p, err := b.papers(ctx, id)
	if err != nil {
		return sheet.WorkOrder{}, err
	}
	o, err := p.orderer(ask)
	if err != nil {
		return sheet.WorkOrder{}, err
	}
	for _, step := range []func(context.Context, *Bench) error{o.wines, o.scale, o.trim} {
		if err := step(ctx, b); err != nil {
			return sheet.WorkOrder{}, err
		}
	}
	return o.out, nil
}

// orderer is the maker of an order for the choice; an error where there is none.
func (p papers) orderer(ask WorkOrderRequest) (*orderer, error) {
	c := p.progress.Choice
	switch {
	case c == nil:
		return nil, refuse("", nil, "no dose is chosen yet, and an order is for the chosen dose: choose one first (POST /v1/trials/%s/choice, with the glass or the dose, and the reasons)", p.trial.ID)
	case c.DoseMLPer100ML == 0:
		return nil, refuse("", nil, "the chosen dose is 0 (entry %d): there is nothing to add, so there is no order", c.No)
	}
	o := orderer{papers: p, ask: ask, perBase: p.trial.GlassBaseML() / p.trial.BaseML, chosen: doseOf(c.Content)}
	o.out.Head = p.head()
	return &o, nil
}

// orderer makes one order. Where wines are held in the trial's base, base is the
// mixture here, and doses are per 100 mL of that.
type orderer struct {
	papers
	ask     WorkOrderRequest
	perBase float64    // base and what is held in it, for each mL of base
	chosen  sheet.Dose // per 100 mL of base alone
	scaled  calc.ScaleResponse
	out     sheet.WorkOrder
}

func (o *orderer) dose() sheet.Dose {
	return sheet.Dose{MLPer100ML: o.chosen.MLPer100ML / o.perBase, U: o.chosen.U / o.perBase}
}

// wines are the base as it is in the cellar, and the addition.
func (o *orderer) wines(context.Context, *Bench) error {
	wines, err := o.papers.wines()
	if err != nil {
		return err
	}
	o.out.Base, o.out.Additions, o.out.Target, o.out.Blend = wines.Base, wines.Additions[:1], wines.Target, wines.Blend
	if o.ask.AdditionLot != "" {
		o.out.Additions[0].Lot = o.ask.AdditionLot
	}
	if o.answer.ChoiceOffTarget() {
		o.out.Warnings = append(o.out.Warnings, o.texts.Told.OffTarget)
	}
	if len(o.trial.Held) > 0 {
		o.out.Base = sheet.Wine{Name: o.pouredBase(), Known: o.texts.Told.Mixed}
		if o.out.Base.Colour, o.out.Base.Swatch, err = o.at(0); err != nil {
			return err
		}
		n := o.texts.Figures.Numbers
		o.out.Warnings = append(o.out.Warnings, reports.Fill(o.texts.Told.Mixture, "mixture", o.pouredBase(), "base", o.baseName(),
			"dose", n.Significant(o.chosen.MLPer100ML, 4), "mixed", n.Significant(o.dose().MLPer100ML, 4)))
	}
	if o.ask.BaseLot != "" {
		o.out.Base.Lot = o.ask.BaseLot
	}
	return nil
}

// request is the order as a question for volumes.
func (o *orderer) request() calc.ScaleRequest {
	a := o.ask
	r := calc.ScaleRequest{
		Dose: o.dose().MLPer100ML, BaseL: a.BaseL, BlendL: a.BlendL, Bottles: a.Bottles, Vessels: a.Vessels,
		LossPercent: a.LossPercent, Stock: a.Stock, FirstPercent: a.FirstPercent, Measuring: a.Measuring,
	}
	if q := o.question; q != nil && len(q.Held) == 0 {
		r.ScalePath = calc.ScalePath{Base: &q.Base, Addition: &q.Addition, BaseML: &q.BaseML, Measured: q.Measured, View: q.View}
	}
	return r
}

func (o *orderer) scale(context.Context, *Bench) error {
	var err error
	if o.scaled, err = calc.Scale(o.request()); err != nil {
		return ofDose(err)
	}
	s := o.scaled
	v := sheet.Volumes{Dose: o.dose(), LossPercent: o.ask.LossPercent, FirstPercent: o.ask.FirstPercent}
	if v.FirstPercent == 0 {
		v.FirstPercent = 100 * s.FirstAdditionL / s.AdditionL
	}
	if v.Vessels, err = o.vessels(); err != nil {
		return err
	}
	o.measuring(&v)
	if stock := o.ask.Stock; stock != nil {
		if stock.BaseL != nil {
			v.Stocks = append(v.Stocks, sheet.Stock{Wine: o.out.Base.Name, OnHandL: *stock.BaseL, NeededL: s.BaseL})
		}
		if stock.AdditionL != nil {
			v.Stocks = append(v.Stocks, sheet.Stock{Wine: o.additionName(), OnHandL: *stock.AdditionL, NeededL: s.PourL})
		}
	}
	o.out.Volumes = v
	o.out.Warnings = append(o.out.Warnings, o.sentences(s.Warnings)...)
	for _, w := range o.finalWarnings() {
		said := reports.Fill(o.texts.Told.FinalCheck, "message", o.texts.Said(w.Message))
		if !slices.Contains(o.out.Warnings, said) {
			o.out.Warnings = append(o.out.Warnings, said)
		}
	}
	for _, w := range o.answer.Warnings {
		if w.Code == "no_final_check" {
			o.out.Warnings = append(o.out.Warnings, o.sentences([]calc.Warning{w})...)
		}
	}
	return nil
}

// ofDose says of faults at the dose that it is the trial's, which the request has
// no place for.
func ofDose(err error) error {
	problem := calc.AsProblem(err)
	if problem == nil {
		return err
	}
	for i, f := range problem.Errors {
		if f.Location == "/dose_ml_per_100ml" {
			problem.Errors[i].Location, problem.Errors[i].Message = "", "the chosen dose: "+f.Message
		}
	}
	return calc.Refuse(problem.Errors...)
}

// measuring fills in how the volumes are measured.
func (o *orderer) measuring(v *sheet.Volumes) {
	m, s := o.ask.Measuring, o.scaled
	if m == nil {
		return
	}
	v.HeelL = m.HeelL
	if r := s.Rounded; r != nil {
		v.Rounded = &sheet.Rounded{
			Recipe: sheet.Recipe(r.Recipe), Dose: sheet.Dose{MLPer100ML: r.Dose}, FirstL: r.FirstAdditionL, HeldBackL: r.HeldBackL,
			BaseGraduationL: m.BaseGraduationL, AdditionGraduationL: m.AdditionGraduationML / 1000, DeltaE00: r.DeltaE00,
		}
	}
	if d := s.Delivery; d != nil && d.UDose > 0 {
		v.Gauge = &sheet.Gauge{BaseUPercent: m.BaseUPercent, AdditionUPercent: m.AdditionUPercent, DoseU: d.UDose, DeltaE00: d.UDeltaE00}
	}
}

// sizes are the vessels of the order with their names.
func (o *orderer) sizes() []calc.Vessel {
	name := o.ask.Vessel
	switch {
	case o.ask.BaseL != nil || o.ask.BlendL != nil:
		return []calc.Vessel{{Name: or(name, o.texts.Told.Vessel), Count: 1, BaseL: o.ask.BaseL, BlendL: o.ask.BlendL}}
	case o.ask.Bottles != nil:
		k := o.ask.Bottles
		litres := o.scaled.ArrivesL
		n := o.texts.Figures.Numbers
		bottles := reports.Fill(o.texts.Told.Bottles, "count", n.Plain(float64(k.Count), 0), "ml", n.Plain(k.ML, 3))
		if name != "" {
			bottles = reports.Fill(o.texts.Told.BottlesFor, "vessel", name, "bottles", bottles)
		}
		return []calc.Vessel{{Name: bottles, Count: 1, BlendL: &litres}}
	}
	list := make([]calc.Vessel, len(o.ask.Vessels))
	for i, k := range o.ask.Vessels {
		k.Name, k.Count = or(k.Name, reports.Fill(o.texts.Told.VesselNo, "no", strconv.Itoa(i+1))), max(k.Count, 1)
		list[i] = k
	}
	return list
}

// vessels are the recipes of one of each kind, each with its size read the other
// way.
func (o *orderer) vessels() ([]sheet.Vessel, error) {
	var out []sheet.Vessel
	for _, k := range o.sizes() {
		one, err := calc.Scale(calc.ScaleRequest{Dose: o.dose().MLPer100ML, BaseL: k.BaseL, BlendL: k.BlendL, LossPercent: o.ask.LossPercent})
		if err != nil {
			return nil, err
		}
		v := sheet.Vessel{Name: strings.TrimSpace(k.Name), Count: k.Count, Recipe: sheet.Recipe{BaseL: one.BaseL, AdditionL: one.AdditionL, BlendL: one.BlendL}}
		if k.BlendL != nil {
			v.SizeL, v.Convention = *k.BlendL, sheet.BlendLed
		} else {
			v.SizeL = *k.BaseL
		}
		if one.OtherConvention != nil {
			v.Otherwise = sheet.Recipe(*one.OtherConvention)
		}
		out = append(out, v)
	}
	return out, nil
}

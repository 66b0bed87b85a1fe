package blend

import (
	"fmt"

	"pourpath/colour"
)

// Bottles is an order by the bottle.
type Bottles struct {
	Count int     // bottles to fill, 1 or more
	ML    float64 // nominal volume of one, in mL, above 0
}

// Vessel is one kind of container among several: a carboy, a keg, a tank. Its
// name is only repeated. Exactly one of BaseL and BlendL is given, and means for
// one vessel what it means for a Batch.
type Vessel struct {
	Name   string
	Count  int      // how many of them, 1 or more
	BaseL  *float64 // litres of base in each; the addition comes on top
	BlendL *float64 // litres of finished blend in each, addition included
}

// Convention says what a size is a size of.
type Convention string

// The conventions. A batch of vessels may mix both.
const (
	BaseLed  Convention = "base_led"  // of the base; the addition comes on top
	BlendLed Convention = "blend_led" // of the finished blend, addition included
	MixedLed Convention = "mixed"     // vessels of both kinds
)

// Batch is a dose found in the glass, to be poured in the cellar. Exactly one
// of BaseL, BlendL, Bottles and Vessels is given; it says which convention is
// meant:
//
//   - base-led (BaseL): so much base stands in the tank, and the addition comes
//     on top. 13 mL per 100 mL is 130 mL per litre of base.
//   - blend-led (BlendL, Bottles): so much finished blend is wanted, addition
//     included. 750 mL at 13 mL per 100 mL is 663.7 mL base and 86.3 mL addition.
//   - Vessels says it of each.
type Batch struct {
	Dose    Dose     // above 0, at most MaxDose
	BaseL   *float64 // litres of base, all of it used
	BlendL  *float64 // litres of blend wanted after losses
	Bottles *Bottles // bottles wanted after losses
	Vessels []Vessel // vessels to fill, blend-led ones after losses; at most 100

	// LossPercent is the share of the finished blend, in percent, that is lost
	// on the way to the bottle: lees, filter, hoses, filler. From 0 up to but
	// not including 100. Blend-led batches are made larger by it,
	//
	//	made = wanted / (1 - loss/100)
	//
	// and of a base-led batch so much less arrives.
	LossPercent float64

	// StockBaseL and StockAdditionL are the litres on hand, 0 or more; nil
	// where not stated.
	StockBaseL, StockAdditionL *float64

	// FirstPercent is the share of the addition to pour before measuring, above
	// 0 and below 100; 0 stands for 90. Common practice, no source.
	FirstPercent float64

	// Measuring is what the volumes are measured with.
	Measuring Measuring
}

// The wine that a stock runs short of.
const (
	BaseWine     = "base"
	AdditionWine = "addition"
)

// Recipe is base and addition of one blend, in litres: BaseL + AdditionL = BlendL.
type Recipe struct{ BaseL, AdditionL, BlendL float64 }

// Volumes is what to pour, in litres, exactly; Rounded is what can be measured.
type Volumes struct {
	Recipe // AdditionL is what must arrive, the held-back part included

	// Convention is what the size was a size of, and Otherwise the same figure
	// read the other way, so that a mistake is seen; nil where Vessels were given.
	Convention Convention
	Otherwise  *Recipe
	Vessels    []VesselVolumes // of each, in the order of the batch

	AdditionPercentOfBlend float64 // by volume; not the dose
	LostL                  float64 // part of BlendL that is lost on the way
	ArrivesL               float64 // BlendL less LostL

	// FirstAdditionL is what is to arrive first, FirstPercent of AdditionL: mix,
	// measure, then trim with HeldBackL, as no wine can be taken out again.
	FirstAdditionL, HeldBackL float64

	// PourL is what to measure out so that AdditionL arrives: AdditionL and the
	// heel that stays in the line. It is what the stock must hold.
	PourL float64

	// LeftOverL is what this batch leaves of the stocked wines together. A wine
	// whose stock is not stated or runs short adds 0. LeftOverBaseL and
	// LeftOverAdditionL are its parts.
	LeftOverL, LeftOverBaseL, LeftOverAdditionL float64

	// MissingBaseL and MissingAdditionL are what the stock lacks for this
	// batch, 0 where it suffices or is not stated.
	MissingBaseL, MissingAdditionL float64
	// LimitedBy is the wine that sets the Largest batch at this dose. Empty
	// when nothing is missing, and Largest nil.
	LimitedBy string
	Largest   *Largest
	// Stretched is the asked size made with all of the addition on hand, which
	// is not enough: a weaker dose. Nil unless the addition alone is missing.
	Stretched *Stretched

	// Rounded is nil where no graduation is stated.
	Rounded *Rounded
	// Delivery is how well the dose is met.
	Delivery Delivery

	// Warnings have the codes stock_short, addition_below_graduation,
	// nothing_held_back, heel and heel_holds_all.
	Warnings []colour.Warning
}

// VesselVolumes is what goes into each of one kind of vessel, losses included.
type VesselVolumes struct {
	Name       string
	Count      int
	Convention Convention
	Recipe
}

// firstPercent is the part of the addition to pour before measuring.
const firstPercent = 90

// Scale returns the volumes of base and addition for a batch.
//
// Errors: colour.FieldErrors, all faults at once, at dose_ml_per_100ml, base_l,
// blend_l, bottles/count, bottles/ml, vessels, vessels/i/..., loss_percent,
// first_percent, stock/base_l, stock/addition_l and measuring/...; with no field
// when not exactly one of the sizes is given.
func Scale(b Batch) (Volumes, error) {
	if err := b.validate(); err != nil {
		return Volumes{}, err
	}
	var v Volumes
	v.size(b)
	v.AdditionPercentOfBlend = 100 * b.Dose.Fraction()
	v.LostL = v.BlendL * b.LossPercent / 100
	v.ArrivesL = v.BlendL - v.LostL
	v.FirstAdditionL = b.first() * v.AdditionL
	v.HeldBackL = v.AdditionL - v.FirstAdditionL
	v.PourL = v.AdditionL + b.Measuring.HeelL
	v.holdAgainstStock(b)
	if err := v.round(b); err != nil {
		return Volumes{}, err
	}
	v.deliver(b)
	return v, nil
}

func (b Batch) first() float64 {
	if b.FirstPercent == 0 {
		return firstPercent / 100.0
	}
	return b.FirstPercent / 100
}

// kept is the share of the blend that is not lost.
func (b Batch) kept() float64 { return 1 - b.LossPercent/100 }

// onto is the recipe for so much base.
func (d Dose) onto(baseL float64) Recipe {
	r := Recipe{BaseL: baseL, AdditionL: baseL * float64(d) / 100}
	r.BlendL = r.BaseL + r.AdditionL
	return r
}

// within is the recipe for so much blend.
func (d Dose) within(blendL float64) Recipe {
	r := Recipe{AdditionL: d.Fraction() * blendL, BlendL: blendL}
	r.BaseL = r.BlendL - r.AdditionL
	return r
}

// size fills in what the batch's size asks for.
func (v *Volumes) size(b Batch) {
	switch {
	case b.BaseL != nil:
		other := b.Dose.within(*b.BaseL / b.kept())
		v.Recipe, v.Convention, v.Otherwise = b.Dose.onto(*b.BaseL), BaseLed, &other
	case b.Vessels == nil:
		other := b.Dose.onto(b.wantedL())
		v.Recipe, v.Convention, v.Otherwise = b.Dose.within(b.wantedL()/b.kept()), BlendLed, &other
	}
	for _, one := range b.Vessels {
		r, convention := Recipe{}, BaseLed
		if one.BaseL != nil {
			r = b.Dose.onto(*one.BaseL)
		} else {
			r, convention = b.Dose.within(*one.BlendL/b.kept()), BlendLed
		}
		v.Vessels = append(v.Vessels, VesselVolumes{one.Name, one.Count, convention, r})
		n := float64(one.Count)
		v.Recipe = Recipe{v.BaseL + n*r.BaseL, v.AdditionL + n*r.AdditionL, v.BlendL + n*r.BlendL}
		if v.Convention != "" && v.Convention != convention {
			convention = MixedLed
		}
		v.Convention = convention
	}
}

// wantedL is the blend that a blend-led batch asks for, in litres.
func (b Batch) wantedL() float64 {
	if b.Bottles != nil {
		return float64(b.Bottles.Count) * b.Bottles.ML / 1000
	}
	return *b.BlendL
}

// Limits of what is taken for a batch.
const (
	maxBatchL  = 1e9 // 1 000 000 m³: more is a slip of units
	maxBottles = 1e9
	maxVessels = 100
)

func (b Batch) validate() error {
	var faults colour.FieldErrors
	b.Dose.validate("dose_ml_per_100ml", &faults)
	b.validateSizes(&faults)
	if !(b.LossPercent >= 0 && b.LossPercent < 100) {
		faults.Addf("loss_percent", given(b.LossPercent), "the loss is the share of the finished blend that is lost on the way, in percent: from 0 to below 100")
	}
	if !(b.FirstPercent >= 0 && b.FirstPercent < 100) {
		faults.Addf("first_percent", given(b.FirstPercent), "the part to pour first is above 0 and below 100 percent of the addition; 90 is usual")
	}
	for _, stock := range []struct {
		field string
		l     *float64
	}{{"stock/base_l", b.StockBaseL}, {"stock/addition_l", b.StockAdditionL}} {
		if stock.l != nil && !(*stock.l >= 0 && *stock.l <= maxBatchL) {
			faults.Addf(stock.field, given(*stock.l), "the stock must be 0 or more and at most %g L", maxBatchL)
		}
	}
	b.Measuring.validate(&faults)
	return faults.Err()
}

func (b Batch) validateSizes(faults *colour.FieldErrors) {
	sizes := validateLitres(b.BaseL, b.BlendL, faults)
	if b.Bottles != nil {
		sizes++
		if b.Bottles.Count < 1 || b.Bottles.Count > maxBottles {
			faults.Addf("bottles/count", b.Bottles.Count, "the number of bottles must be from 1 to %g", maxBottles)
		}
		if !(b.Bottles.ML >= 1 && b.Bottles.ML <= 100_000) {
			faults.Addf("bottles/ml", given(b.Bottles.ML), "the volume of a bottle must be from 1 to 100000 mL; 750 mL is usual")
		}
	}
	if b.Vessels != nil {
		sizes++
		b.validateVessels(faults)
	}
	if sizes != 1 {
		faults.Addf("", nil, "%d sizes are given: give exactly one of base_l (litres of base), blend_l (litres of finished blend), bottles and vessels", sizes)
	}
}

func (b Batch) validateVessels(faults *colour.FieldErrors) {
	if n := len(b.Vessels); n < 1 || n > maxVessels {
		faults.Addf("vessels", nil, "there may be from 1 to %d kinds of vessel, not %d", maxVessels, n)
		return
	}
	for i, one := range b.Vessels {
		var own colour.FieldErrors
		if one.Count < 1 || one.Count > maxBottles {
			own.Addf("count", one.Count, "the number of vessels must be from 1 to %g", maxBottles)
		}
		if validateLitres(one.BaseL, one.BlendL, &own) != 1 {
			own.Addf("", nil, "give exactly one of base_l (litres of base in each) and blend_l (litres of finished blend in each)")
		}
		faults.AddUnder(fmt.Sprintf("vessels/%d", i), own.Err())
	}
}

// validateLitres counts the sizes that are given.
func validateLitres(baseL, blendL *float64, faults *colour.FieldErrors) (sizes int) {
	for _, size := range []struct {
		field string
		l     *float64
	}{{"base_l", baseL}, {"blend_l", blendL}} {
		if size.l == nil {
			continue
		}
		sizes++
		if !(*size.l > 0 && *size.l <= maxBatchL) {
			faults.Addf(size.field, given(*size.l), "the volume must be above 0 and at most %g L", maxBatchL)
		}
	}
	return sizes
}

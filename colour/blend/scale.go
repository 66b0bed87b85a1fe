package blend

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// Bottles is an order by the bottle.
type Bottles struct {
	Count int     // bottles to fill, 1 or more
	ML    float64 // nominal volume of one, in mL, above 0
}

// Batch is a dose found in the glass, to be poured in the cellar. Exactly one
// of BaseL, BlendL and Bottles is given; it says which convention is meant:
//
//   - base-led (BaseL): so much base stands in the tank, and the addition comes
//     on top. 13 mL per 100 mL is 130 mL per litre of base.
//   - blend-led (BlendL, Bottles): so much finished blend is wanted, addition
//     included. 750 mL at 13 mL per 100 mL is 663.7 mL base and 86.3 mL addition.
type Batch struct {
	Dose    Dose     // above 0, at most MaxDose
	BaseL   *float64 // litres of base, all of it used
	BlendL  *float64 // litres of blend wanted after losses
	Bottles *Bottles // bottles wanted after losses

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
}

// The wine that a stock runs short of.
const (
	BaseWine     = "base"
	AdditionWine = "addition"
)

// Volumes is what to pour. All volumes are litres; BaseL + AdditionL = BlendL.
type Volumes struct {
	BaseL     float64 // base to use
	AdditionL float64 // addition to pour, the held-back part included
	BlendL    float64 // blend made, before losses

	AdditionPercentOfBlend float64 // by volume; not the dose
	LostL                  float64 // part of BlendL that is lost on the way
	ArrivesL               float64 // BlendL less LostL

	// FirstAdditionL is what to pour first, 90 % of AdditionL: mix, measure,
	// then trim with what was held back, as no wine can be taken out again.
	// Common practice, no source.
	FirstAdditionL float64

	// LeftOverL is what this batch leaves of the stocked wines together. A wine
	// whose stock is not stated or runs short adds 0. LeftOverBaseL and
	// LeftOverAdditionL are its parts.
	LeftOverL, LeftOverBaseL, LeftOverAdditionL float64

	// MissingBaseL and MissingAdditionL are what the stock lacks for this
	// batch, 0 where it suffices or is not stated.
	MissingBaseL, MissingAdditionL float64
	// LimitedBy is the wine that sets LargestBlendL, the most blend at this
	// dose, before losses, that the stock can make. Empty and nil when nothing
	// is missing.
	LimitedBy     string
	LargestBlendL *float64

	// Warnings has the code stock_short when a stock does not suffice.
	Warnings []colour.Warning
}

// firstShare is the part of the addition to pour before measuring.
const firstShare = 0.9

const (
	maxBatchL  = 1e9 // 1 000 000 m³: more is a slip of units
	maxBottles = 1e9
)

// Scale returns the volumes of base and addition for a batch. They are exact;
// rounding to what can be measured is for the sheet that is printed.
//
// Errors: colour.FieldErrors, all faults at once, at dose_ml_per_100ml, base_l,
// blend_l, bottles/count, bottles/ml, loss_percent, stock/base_l and
// stock/addition_l; with no field when not exactly one of the three sizes is
// given.
func Scale(b Batch) (Volumes, error) {
	if err := b.validate(); err != nil {
		return Volumes{}, err
	}
	f := b.Dose.Fraction()
	kept := 1 - b.LossPercent/100
	var v Volumes
	if b.BaseL != nil {
		v.BaseL = *b.BaseL
		v.AdditionL = v.BaseL * float64(b.Dose) / 100
		v.BlendL = v.BaseL + v.AdditionL
	} else {
		v.BlendL = b.wantedL() / kept
		v.AdditionL = f * v.BlendL
		v.BaseL = v.BlendL - v.AdditionL
	}
	v.AdditionPercentOfBlend = 100 * f
	v.LostL = v.BlendL * b.LossPercent / 100
	v.ArrivesL = v.BlendL - v.LostL
	v.FirstAdditionL = firstShare * v.AdditionL
	v.holdAgainstStock(b)
	return v, nil
}

// wantedL is the blend that a blend-led batch asks for, in litres.
func (b Batch) wantedL() float64 {
	if b.Bottles != nil {
		return float64(b.Bottles.Count) * b.Bottles.ML / 1000
	}
	return *b.BlendL
}

// stockSlack keeps a stock that is exactly enough from falling short by a
// rounding of the arithmetic.
const stockSlack = 1e-12

// holdAgainstStock fills in what is left over and what is missing.
func (v *Volumes) holdAgainstStock(b Batch) {
	leftAndMissing := func(stock *float64, needed float64) (left, missing float64) {
		switch {
		case stock == nil:
			return 0, 0
		case *stock < needed*(1-stockSlack):
			return 0, needed - *stock
		}
		return math.Max(0, *stock-needed), 0
	}
	v.LeftOverBaseL, v.MissingBaseL = leftAndMissing(b.StockBaseL, v.BaseL)
	v.LeftOverAdditionL, v.MissingAdditionL = leftAndMissing(b.StockAdditionL, v.AdditionL)
	v.LeftOverL = v.LeftOverBaseL + v.LeftOverAdditionL
	if v.MissingBaseL == 0 && v.MissingAdditionL == 0 {
		return
	}

	f := b.Dose.Fraction()
	largest := math.Inf(1)
	if b.StockBaseL != nil {
		largest, v.LimitedBy = *b.StockBaseL/(1-f), BaseWine
	}
	if b.StockAdditionL != nil && *b.StockAdditionL/f < largest {
		largest, v.LimitedBy = *b.StockAdditionL/f, AdditionWine
	}
	v.LargestBlendL = &largest
	v.Warnings = append(v.Warnings, v.shortage(b))
}

// shortage says in words what the stock lacks and what it can make.
func (v *Volumes) shortage(b Batch) colour.Warning {
	lacks := ""
	if v.MissingBaseL > 0 {
		lacks = fmt.Sprintf("The stock of base is %.4g L short: %.4g L needed, %.4g L on hand. ", v.MissingBaseL, v.BaseL, *b.StockBaseL)
	}
	if v.MissingAdditionL > 0 {
		lacks += fmt.Sprintf("The stock of the addition is %.4g L short: %.4g L needed, %.4g L on hand. ", v.MissingAdditionL, v.AdditionL, *b.StockAdditionL)
	}
	makes := fmt.Sprintf("The most that can be made at this dose is %.4g L of blend, limited by the %s", *v.LargestBlendL, v.LimitedBy)
	if b.Bottles != nil {
		arrives := *v.LargestBlendL * (1 - b.LossPercent/100)
		makes += fmt.Sprintf(", enough for %.0f bottles of %g mL", math.Floor(arrives*1000/b.Bottles.ML*(1+stockSlack)), b.Bottles.ML)
	}
	return colour.Warning{Code: "stock_short", Message: lacks + makes + "."}
}

func (b Batch) validate() error {
	var faults colour.FieldErrors
	b.Dose.validate("dose_ml_per_100ml", &faults)

	sizes := 0
	for _, size := range []struct {
		field string
		l     *float64
	}{{"base_l", b.BaseL}, {"blend_l", b.BlendL}} {
		if size.l == nil {
			continue
		}
		sizes++
		if !(*size.l > 0 && *size.l <= maxBatchL) {
			faults.Addf(size.field, given(*size.l), "the volume must be above 0 and at most %g L", maxBatchL)
		}
	}
	if b.Bottles != nil {
		sizes++
		if b.Bottles.Count < 1 || b.Bottles.Count > maxBottles {
			faults.Addf("bottles/count", b.Bottles.Count, "the number of bottles must be from 1 to %g", maxBottles)
		}
		if !(b.Bottles.ML >= 1 && b.Bottles.ML <= 100_000) {
			faults.Addf("bottles/ml", given(b.Bottles.ML), "the volume of a bottle must be from 1 to 100000 mL; 750 mL is usual")
		}
	}
	if sizes != 1 {
		faults.Addf("", nil, "%d sizes are given: give exactly one of base_l (litres of base), blend_l (litres of finished blend) and bottles", sizes)
	}
	if !(b.LossPercent >= 0 && b.LossPercent < 100) {
		faults.Addf("loss_percent", given(b.LossPercent), "the loss is the share of the finished blend that is lost on the way, in percent: from 0 to below 100")
	}
	for _, stock := range []struct {
		field string
		l     *float64
	}{{"stock/base_l", b.StockBaseL}, {"stock/addition_l", b.StockAdditionL}} {
		if stock.l != nil && !(*stock.l >= 0 && *stock.l <= maxBatchL) {
			faults.Addf(stock.field, given(*stock.l), "the stock must be 0 or more and at most %g L", maxBatchL)
		}
	}
	return faults.Err()
}

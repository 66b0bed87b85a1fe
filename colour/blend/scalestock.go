package blend

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// Largest is the largest batch of the asked dose that a stock makes.
type Largest struct {
	Recipe
	ArrivesL float64 // after losses
	// Bottles is how many bottles of the asked size it fills; nil where the
	// batch was not asked for in bottles.
	Bottles *int
	// LeftOverBaseL and LeftOverAdditionL are what it leaves; 0 where the stock
	// is not stated. The heel is not left over: it is in the line.
	LeftOverBaseL, LeftOverAdditionL float64
}

// Stretched is a batch of the asked size with less addition than asked.
type Stretched struct {
	Recipe
	Dose Dose
}

// stockSlack keeps a stock that is exactly enough from falling short by a
// rounding of the arithmetic.
const stockSlack = 1e-12

// leftAndMissing holds what is needed against a stock.
func leftAndMissing(stock *float64, needed float64) (left, missing float64) {
	switch {
	case stock == nil:
		return 0, 0
	case *stock < needed*(1-stockSlack):
		return 0, needed - *stock
	}
	return math.Max(0, *stock-needed), 0
}

// holdAgainstStock fills in what is left over and what is missing, and where
// something is, what can be made instead.
func (v *Volumes) holdAgainstStock(b Batch) {
	v.LeftOverBaseL, v.MissingBaseL = leftAndMissing(b.StockBaseL, v.BaseL)
	v.LeftOverAdditionL, v.MissingAdditionL = leftAndMissing(b.StockAdditionL, v.PourL)
	v.LeftOverL = v.LeftOverBaseL + v.LeftOverAdditionL
	if v.MissingBaseL == 0 && v.MissingAdditionL == 0 {
		return
	}
	f := b.Dose.Fraction()
	largest := math.Inf(1)
	if b.StockBaseL != nil {
		largest, v.LimitedBy = *b.StockBaseL/(1-f), BaseWine
	}
	if addition := b.additionOnHand(); addition/f < largest {
		largest, v.LimitedBy = addition/f, AdditionWine
	}
	l := Largest{Recipe: b.Dose.within(largest), ArrivesL: largest * b.kept()}
	l.LeftOverBaseL, _ = leftAndMissing(b.StockBaseL, l.BaseL)
	if b.StockAdditionL != nil {
		l.LeftOverAdditionL = math.Max(0, b.additionOnHand()-l.AdditionL)
	}
	if b.Bottles != nil {
		n := int(math.Floor(l.ArrivesL * 1000 / b.Bottles.ML * (1 + stockSlack)))
		l.Bottles = &n
	}
	v.Largest = &l
	if v.MissingBaseL == 0 {
		v.stretch(b)
	}
	v.Warnings = append(v.Warnings, v.shortage(b))
}

// additionOnHand is what can arrive of the addition in stock, once the line is
// filled.
func (b Batch) additionOnHand() float64 {
	if b.StockAdditionL == nil {
		return math.Inf(1)
	}
	return math.Max(0, *b.StockAdditionL-b.Measuring.HeelL)
}

// stretch makes the asked size with what there is of the addition, where the
// stock of base allows that and the size has one meaning.
func (v *Volumes) stretch(b Batch) {
	s := Stretched{Recipe: Recipe{BaseL: v.BaseL, AdditionL: b.additionOnHand()}}
	switch v.Convention {
	case BlendLed:
		s.BlendL = v.BlendL
		s.BaseL = s.BlendL - s.AdditionL
	case BaseLed:
		s.BlendL = s.BaseL + s.AdditionL
	default:
		return
	}
	if _, missing := leftAndMissing(b.StockBaseL, s.BaseL); missing > 0 || s.AdditionL == 0 {
		return
	}
	s.Dose = DoseOf(s.AdditionL, s.BaseL)
	v.Stretched = &s
}

// shortage says in words what the stock lacks and what can be done.
func (v *Volumes) shortage(b Batch) colour.Warning {
	lacks := ""
	if v.MissingBaseL > 0 {
		lacks = fmt.Sprintf("The stock of base is %.4g L short: %.4g L needed, %.4g L on hand. ", v.MissingBaseL, v.BaseL, *b.StockBaseL)
	}
	if v.MissingAdditionL > 0 {
		lacks += fmt.Sprintf("The stock of the addition is %.4g L short: %.4g L needed, %.4g L on hand. ", v.MissingAdditionL, v.PourL, *b.StockAdditionL)
	}
	l := v.Largest
	does := fmt.Sprintf("The most that can be made at this dose is %.4g L of blend, limited by the %s: %.4g L of base and %.4g L of the addition.", l.BlendL, v.LimitedBy, l.BaseL, l.AdditionL)
	if l.Bottles != nil {
		does = fmt.Sprintf("The most that can be made at this dose is %.4g L of blend, limited by the %s: %.4g L of base and %.4g L of the addition, enough for %d bottles of %g mL.",
			l.BlendL, v.LimitedBy, l.BaseL, l.AdditionL, *l.Bottles, b.Bottles.ML)
	}
	if s := v.Stretched; s != nil {
		does += fmt.Sprintf(" The whole size with all of the addition on hand would have a dose of %.4g instead of %.4g mL per 100 mL, which is paler: look at that glass first.", float64(s.Dose), float64(b.Dose))
	}
	return colour.Warning{Code: "stock_short", Message: lacks + does}
}

package blend

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// Dose is how much of the addition is poured, in mL per 100 mL of base. It may
// be above 100. A dose is not a percentage of the blend: see Fraction.
type Dose float64

// MaxDose is the largest dose that is taken for one: at 1000 mL per 100 mL of
// base the base is 9 % of the blend, and the names of the two wines have been
// exchanged, or the unit has.
const MaxDose Dose = 1000

// DoseOf returns the dose of doseML millilitres poured into baseML millilitres
// of base. baseML must be above 0 and both finite; anything else gives what
// the division gives, which Validate refuses.
func DoseOf(doseML, baseML float64) Dose {
	return Dose(100 * doseML / baseML)
}

// Fraction returns the addition's share of the finished blend by volume, from
// 0 up to but not including 1:
//
//	f = d / (100 + d)
//
// Wines mix without a change of volume that matters here: 10 % of a wine of
// 14 % alcohol in one of 11 % contracts by less than 0.01 % (from memory).
func (d Dose) Fraction() float64 {
	return float64(d) / (100 + float64(d))
}

// validate adds a fault at field unless d is above 0 and at most MaxDose.
func (d Dose) validate(field string, faults *colour.FieldErrors) {
	if !(d > 0 && d <= MaxDose) {
		faults.Addf(field, given(float64(d)), "the dose must be above 0 and at most %g mL per 100 mL of base; 13 mL per 100 mL is 130 mL per litre of base", float64(MaxDose))
	}
}

// fractionSlack is how far a sum of fractions may be from 1: fractions printed
// to seven digits still add up.
const fractionSlack = 1e-6

// FractionsOf returns the volume fractions of wines poured together, in the
// same order; they sum to 1. The volumes may be in any one unit, but their
// faults are named after the millilitres of a request.
//
// Errors: colour.FieldErrors at "volumes_ml" and "volumes_ml/i" when there is
// no volume, when one is negative or not finite, and when all are 0.
func FractionsOf(volumesML []float64) ([]float64, error) {
	var faults colour.FieldErrors
	var total float64
	for i, v := range volumesML {
		if !(v >= 0) || math.IsInf(v, 0) {
			faults.Addf(fmt.Sprintf("volumes_ml/%d", i), given(v), "a volume must be a number of millilitres, 0 or more")
		}
		total += v
	}
	if len(faults) == 0 && !(total > 0 && !math.IsInf(total, 0)) {
		faults.Addf("volumes_ml", nil, "the volumes add up to %.6g mL: pour more than 0 mL of at least one wine", total)
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	fractions := make([]float64, len(volumesML))
	for i, v := range volumesML {
		fractions[i] = v / total
	}
	return fractions, nil
}

// CheckFractions returns nil when every fraction is from 0 to 1 and they sum
// to 1 within 1e-6. Nothing is made to fit: fractions that do not add up are a
// slip of the pen, and only their writer knows which.
//
// Errors: colour.FieldErrors at "fractions" and "fractions/i".
func CheckFractions(fractions []float64) error {
	var faults colour.FieldErrors
	var sum float64
	for i, f := range fractions {
		if !(f >= 0 && f <= 1) {
			faults.Addf(fmt.Sprintf("fractions/%d", i), given(f), "a volume fraction is from 0 to 1; 12 %% is 0.12")
		}
		sum += f
	}
	if len(faults) == 0 && math.Abs(sum-1) > fractionSlack {
		faults.Addf("fractions", fractions, "the fractions sum to %.9g: they must sum to 1 within %g; give volumes_ml instead where volumes are what is known", sum, fractionSlack)
	}
	return faults.Err()
}

// given is v as a fault may carry it: JSON has no NaN and no infinity.
func given(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return v
}

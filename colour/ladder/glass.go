package ladder

import (
	"math"

	"pourpath/colour"
	"pourpath/colour/blend"
)

// Glass is what one glass of a trial holds: base that was put in first, the
// additions poured into it, and the blend that was taken out of it. What is
// taken out has the composition of the whole, so a withdrawal changes how much
// is in the glass and not its dose, and a later pour counts for more:
//
//	100 mL of base + 8 mL, 15 mL sipped, + 2 mL: 10.32 mL per 100 mL, not 10
//
// A Glass is a value: its methods leave it as it is and return the next one.
// The zero Glass holds nothing and takes nothing; NewGlass makes one.
type Glass struct {
	// base and addition are what there was in mL after the last pour, and left
	// is the part of it that is there still, 0 to 1.
	base, addition, left float64
	poured               float64 // all additions, whatever was taken out since
}

// drop is the part of a glass's volume below which a difference is the
// rounding of sums of decimal volumes and no wine.
const drop = 1e-9

// NewGlass returns a glass with baseML millilitres of base and nothing else.
//
// Errors: colour.FieldErrors on "base_ml" unless it is above 0 and at most
// 100000.
func NewGlass(baseML float64) (Glass, error) {
	var faults colour.FieldErrors
	checkBase(baseML, &faults)
	if err := faults.Err(); err != nil {
		return Glass{}, err
	}
	return Glass{base: baseML, left: 1}, nil
}

// Pour returns the glass after volumeML millilitres of the addition were poured
// into it.
//
// Errors: colour.FieldErrors on "volume_ml" unless it is above 0, there is base
// left to dose, and the dose stays at most blend.MaxDose.
func (g Glass) Pour(volumeML float64) (Glass, error) {
	var faults colour.FieldErrors
	next := g.with(volumeML)
	switch {
	case !isVolume(volumeML):
		faults.Addf("volume_ml", finite(volumeML), "a pour is a volume above 0 mL")
	case !(next.base > 0):
		faults.Addf("volume_ml", volumeML, "the glass is empty: there is no base left in it to dose")
	case next.Dose() > blend.MaxDose:
		faults.Addf("volume_ml", volumeML, "%g mL more in %.4g mL of base would be %.4g mL per 100 mL; at most %g is taken for a dose: is the volume in mL, and are base and addition exchanged?",
			volumeML, next.base, float64(next.Dose()), float64(blend.MaxDose))
	}
	if err := faults.Err(); err != nil {
		return g, err
	}
	return next, nil
}

// Withdraw returns the glass after volumeML millilitres of the blend were taken
// out of it: a sip, a cell filled for a reading. Taking all of it leaves an
// empty glass, whose dose remains that of what was last in it.
//
// Errors: colour.FieldErrors on "volume_ml" unless it is above 0 and at most
// what is in the glass.
func (g Glass) Withdraw(volumeML float64) (Glass, error) {
	var faults colour.FieldErrors
	there := g.VolumeML()
	switch {
	case !isVolume(volumeML):
		faults.Addf("volume_ml", finite(volumeML), "what is taken out is a volume above 0 mL")
	case volumeML > there*(1+drop):
		faults.Addf("volume_ml", volumeML, "there are %.6g mL in the glass: no more can be taken out", there)
	}
	if err := faults.Err(); err != nil {
		return g, err
	}
	return g.without(volumeML), nil
}

// with is the glass after a pour that was found to be one.
func (g Glass) with(volumeML float64) Glass {
	return Glass{base: g.BaseML(), addition: g.AdditionML() + volumeML, left: 1, poured: g.poured + volumeML}
}

// without is the glass after a withdrawal that was found to be one.
func (g Glass) without(volumeML float64) Glass {
	part := 1 - volumeML/g.VolumeML()
	if part < drop {
		part = 0
	}
	g.left *= part
	return g
}

// BaseML is the base that is in the glass, in mL.
func (g Glass) BaseML() float64 { return g.base * g.left }

// AdditionML is the addition that is in the glass, in mL.
func (g Glass) AdditionML() float64 { return g.addition * g.left }

// VolumeML is all that is in the glass, in mL.
func (g Glass) VolumeML() float64 { return (g.base + g.addition) * g.left }

// PouredML is the sum of all additions that were poured into the glass, in mL,
// taken out again or not.
func (g Glass) PouredML() float64 { return g.poured }

// Dose is the addition per base in the glass, in mL per 100 mL; for an empty
// glass, of what was last in it.
func (g Glass) Dose() blend.Dose { return blend.DoseOf(g.addition, g.base) }

// Fraction is the addition's share of the blend in the glass by volume, 0 up to
// but not including 1; for an empty glass, of what was last in it.
func (g Glass) Fraction() float64 { return g.addition / (g.base + g.addition) }

func isVolume(ml float64) bool { return ml > 0 && !math.IsInf(ml, 1) }

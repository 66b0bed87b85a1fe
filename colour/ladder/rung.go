package ladder

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

// MaxRungs is how many rungs one ladder may have.
const MaxRungs = 2000

// Rung is one glass of a ladder.
type Rung struct {
	DoseML   float64    // the addition in the glass, in mL
	Dose     blend.Dose // the same in mL per 100 mL of base
	Fraction float64    // of the addition in the blend, by volume
	Colour   spectrum.Colour
	// DeltaE00FromPrevious is ΔE00 from the rung before; nil for the first.
	DeltaE00FromPrevious *float64
}

// Rungs computes the rungs of a path at doses of dosesML millilitres, each
// poured into baseML millilitres of base, in the order given.
//
// Errors: colour.FieldErrors on "base_ml", "doses_ml" and "doses_ml/i": no
// rung or more than MaxRungs, a negative or absurd dose, no base; those of the
// view.
func Rungs(path *blend.Path, baseML float64, dosesML []float64, v cie.View) ([]Rung, error) {
	if err := validate(baseML, dosesML); err != nil {
		return nil, err
	}
	rungs := make([]Rung, len(dosesML))
	doses := make([]blend.Dose, len(dosesML))
	for i, ml := range dosesML {
		doses[i] = blend.DoseOf(ml, baseML)
	}
	colours, err := path.Colours(doses, v)
	if err != nil {
		return nil, fmt.Errorf("ladder: %w", err)
	}
	for i, ml := range dosesML {
		rungs[i] = Rung{DoseML: ml, Dose: doses[i], Fraction: path.Fraction(doses[i]), Colour: colours[i]}
		if i > 0 {
			d, err := difference.CIEDE2000(colours[i-1].Lab, colours[i].Lab)
			if err != nil {
				return nil, fmt.Errorf("ladder: %w", err)
			}
			rungs[i].DeltaE00FromPrevious = &d
		}
	}
	return rungs, nil
}

// BaseML checks the base in each glass: above 0 and at most 100 L.
func checkBase(baseML float64, faults *colour.FieldErrors) {
	if !(baseML > 0 && baseML <= 100000) {
		faults.Addf("base_ml", finite(baseML), "the base in each glass must be above 0 and at most 100000 mL; 100 mL is usual")
	}
}

func validate(baseML float64, dosesML []float64) error {
	var faults colour.FieldErrors
	checkBase(baseML, &faults)
	if len(dosesML) < 1 || len(dosesML) > MaxRungs {
		faults.Addf("doses_ml", len(dosesML), "a ladder has 1 to %d rungs, this one has %d", MaxRungs, len(dosesML))
		return faults
	}
	for i, ml := range dosesML {
		if !(ml >= 0 && !math.IsInf(ml, 0)) {
			faults.Addf(fmt.Sprintf("doses_ml/%d", i), finite(ml), "a dose is a number of millilitres, 0 or more")
		} else if baseML > 0 && blend.DoseOf(ml, baseML) > blend.MaxDose {
			faults.Addf(fmt.Sprintf("doses_ml/%d", i), ml, "%.6g mL in %g mL of base is %.4g mL per 100 mL; at most %g is taken for a dose: are base and addition exchanged?", ml, baseML, float64(blend.DoseOf(ml, baseML)), float64(blend.MaxDose))
		}
	}
	return faults.Err()
}

func finite(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return v
}

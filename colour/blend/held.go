package blend

import (
	"fmt"

	"pourpath/colour"
	"pourpath/colour/spectrum"
)

// Held is a further wine that is in the base before the addition is poured, at a
// dose in mL per 100 mL of the base alone. A dose of 0 is none of it.
type Held struct {
	Wine spectrum.Wine
	Dose Dose
}

// NewPathWith is NewPath into a base that further wines are held in. Doses of
// the addition stay in mL per 100 mL of the base alone, so that 100 mL of base
// with 5 mL held and 10 mL added is 8.7 % of the blend. Without held wines it is
// NewPath. What is uncertain about the held wines and their volumes is part of
// the path: see Mix.
//
// Errors: colour.FieldErrors on "held/i/dose_ml_per_100ml" for a dose below 0 or
// above MaxDose.
func NewPathWith(base spectrum.Wine, held []Held, addition spectrum.Wine) (*Path, error) {
	host, volume, err := holding(base, held)
	if err != nil {
		return nil, err
	}
	return newPath(host, addition, volume), nil
}

// holding is the base with what is held in it, and the volume that 100 mL of base
// alone then have, in mL.
func holding(base spectrum.Wine, held []Held) (spectrum.Wine, float64, error) {
	wines, volumes := []spectrum.Wine{base}, []float64{100}
	total := 100.0
	var faults colour.FieldErrors
	for i, h := range held {
		if !(h.Dose >= 0 && h.Dose <= MaxDose) {
			faults.Addf(fmt.Sprintf("held/%d/dose_ml_per_100ml", i), given(float64(h.Dose)), "the dose of a held wine must be from 0 to %g mL per 100 mL of base", float64(MaxDose))
			continue
		}
		if h.Dose > 0 {
			wines, volumes = append(wines, h.Wine), append(volumes, float64(h.Dose))
			total += float64(h.Dose)
		}
	}
	if err := faults.Err(); err != nil {
		return spectrum.Wine{}, 0, err
	}
	if len(wines) == 1 {
		return base, total, nil
	}
	fractions, err := FractionsOf(volumes)
	if err != nil {
		return spectrum.Wine{}, 0, err
	}
	mixed, err := Mix(wines, fractions, VolumeU)
	return mixed, total, err
}

package volumetric

import (
	"slices"

	"pourpath/colour"
)

// Unit is a unit of volume.
type Unit string

// The units that volumes are given in. Which gallon is meant is always said.
const (
	Millilitre         Unit = "mL"
	Litre              Unit = "L"
	Hectolitre         Unit = "hL"
	USFluidOunce       Unit = "us_fl_oz"
	USCup              Unit = "us_cup"
	USGallon           Unit = "us_gal"
	ImperialFluidOunce Unit = "imp_fl_oz"
	ImperialGallon     Unit = "imp_gal"
)

// The customary units in mL, exactly.
const (
	cubicInchML = 2.54 * 2.54 * 2.54
	// USGallonML is 231 cubic inches, 3785.411784 mL; the fluid ounce is 1/128 of
	// it and the cup 8 fluid ounces. Sources: HB44, appendix C; the inch of
	// 25.4 mm is that of 24 FR 5348 (1959), from memory.
	USGallonML     = 231 * cubicInchML
	USFluidOunceML = USGallonML / 128
	USCupML        = 8 * USFluidOunceML
	// ImperialGallonML is the gallon of the United Kingdom; the fluid ounce is
	// 1/160 of it. Source: Units of Measurement Regulations 1995 (SI 1995/1804),
	// schedule; the figure from memory.
	ImperialGallonML     = 4546.09
	ImperialFluidOunceML = ImperialGallonML / 160
)

// Units returns all units. The caller owns the slice.
func Units() []Unit {
	return []Unit{Millilitre, Litre, Hectolitre, USFluidOunce, USCup, USGallon, ImperialFluidOunce, ImperialGallon}
}

// ML is one such unit in mL, 0 for a unit that there is none of.
func (u Unit) ML() float64 {
	switch u {
	case Millilitre:
		return 1
	case Litre:
		return 1e3
	case Hectolitre:
		return 1e5
	case USFluidOunce:
		return USFluidOunceML
	case USCup:
		return USCupML
	case USGallon:
		return USGallonML
	case ImperialFluidOunce:
		return ImperialFluidOunceML
	case ImperialGallon:
		return ImperialGallonML
	}
	return 0
}

// Validate returns colour.FieldErrors at "unit" for a unit that there is none of,
// or nil.
func (u Unit) Validate() error {
	var faults colour.FieldErrors
	if !slices.Contains(Units(), u) {
		faults.Addf("unit", string(u), "a unit of volume is one of %s", list(Units()))
	}
	return faults.Err()
}

package labfile

import (
	"strconv"
	"strings"
)

// unit is the unit that a header states.
type unit int

const (
	noUnit unit = iota
	unitAU
	unitMilliAU
	unitPercent
	unitFraction
	unitMM
	unitCM
	unitNM
	unitMinute
	unitHour
	unitSecond
	unitCelsius
	unitFahrenheit
	unitLitre
	unitHectolitre
	unitArbitrary
	unitOther
)

// units are the spellings of units, without blanks and in lower case.
var units = map[string]unit{
	"au": unitAU, "abs": unitAU, "absorbance": unitAU, "a": unitAU, "od": unitAU, "do": unitAU, "ua": unitAU, "u.a.": unitAU, "-": unitAU, "1": unitAU, "e": unitAU,
	"mau": unitMilliAU, "mabs": unitMilliAU,
	"%": unitPercent, "%t": unitPercent, "percent": unitPercent, "prozent": unitPercent,
	"0-1": unitFraction, "0..1": unitFraction, "0…1": unitFraction, "0–1": unitFraction,
	"mm": unitMM, "cm": unitCM, "nm": unitNM,
	"min": unitMinute, "minutes": unitMinute, "minuten": unitMinute, "h": unitHour, "s": unitSecond,
	"°c": unitCelsius, "ºc": unitCelsius, "c": unitCelsius, "degc": unitCelsius, "°f": unitFahrenheit, "ºf": unitFahrenheit, "f": unitFahrenheit,
	"l": unitLitre, "litre": unitLitre, "litres": unitLitre, "liter": unitLitre, "hl": unitHectolitre,
	"arb.units": unitArbitrary, "arbitraryunits": unitArbitrary, "arb.u.": unitArbitrary, "arbitrary": unitArbitrary, "%max": unitArbitrary, "%ofmax": unitArbitrary, "rel.": unitArbitrary, "rel": unitArbitrary, "relative": unitArbitrary, "norm.": unitArbitrary, "normalised": unitArbitrary, "normalized": unitArbitrary,
}

// unitOf reads what stands in brackets in a header. A length such as "1 cm" with
// an absorbance is the cell's path, which is given in mm then.
func unitOf(text string) (u unit, pathMM float64) {
	bare := strings.Join(strings.Fields(text), "")
	// "a.u." is what programs write for arbitrary units; "AU" is absorbance.
	if bare == "a.u." {
		return unitArbitrary, 0
	}
	key := strings.ToLower(bare)
	if key == "a.u." {
		return unitAU, 0
	}
	if u, ok := units[key]; ok {
		return u, 0
	}
	if mm, ok := length(key); ok {
		return noUnit, mm
	}
	if key == "" {
		return noUnit, 0
	}
	return unitOther, 0
}

// length reads "10mm", "1 cm" or "0,5cm", in mm.
func length(text string) (mm float64, ok bool) {
	if !strings.HasSuffix(text, "m") && !strings.HasSuffix(text, "M") {
		return 0, false
	}
	text = strings.ToLower(strings.Join(strings.Fields(text), ""))
	scale := 1.0
	number, ok := strings.CutSuffix(text, "mm")
	if !ok {
		if number, ok = strings.CutSuffix(text, "cm"); !ok {
			return 0, false
		}
		scale = 10
	}
	x, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
	if err != nil {
		return 0, false
	}
	return x * scale, true
}

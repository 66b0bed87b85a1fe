package blend

import (
	"math"

	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// Absorbance adds by volume, but pigment does not keep its colour when it is
// poured into another wine: copigments are diluted (up to half of a young red's
// colour), the pH changes, and free SO2 bleaches. Until a blend is measured
// this is the largest error of all, and every prediction carries it as errors
// of the medium: a common factor on the pigment's colour, a shift of its band,
// a change of its shoulder, of its yellow and of its shape.
//
// The sizes are judgements on what is published, no source gives them. Factor,
// shoulder and shift are the standard uncertainties of rectangular distributions
// (JCGM 100:2008, 4.3.7): a factor of 0.5 to 1.8 (copigmentation up to half of the
// colour: abstracts; pH 3.7 to 3.1 about 1.8 times: a fit to 45 published reds), a
// third of the shoulder, 5 nm. The curvature is twice what copigments that come
// apart by mass action would bend the path beyond its own law. The ripples stand
// for what these leave out: wider ones would take up what a few readings say of
// shoulder and shift.
const (
	factorSpread    = 0.37  // of ln factor
	curvatureSpread = 0.08  // of ln factor, for a threefold change of dose
	shoulderSpread  = 0.20  // of the absorbance around 600 nm
	yellowSpread    = 0.08  // of the absorbance below 460 nm
	shiftSpreadNM   = 3.0   // of the band
	rippleSpread    = 0.007 // of the pigment's A520, 30 nm wide each
)

// mediumErrors are the errors of the medium of one wine whose pigment is wholly
// diluted, besides the common factor: standard deviations of absorbance per
// 10 mm of the wine. pigment is the part of its absorbance that the common
// factor multiplies.
func mediumErrors(w *spectrum.Wine) (errors []cie.Curve, pigment cie.Curve) {
	var shoulder, yellow, shift cie.Curve
	amount := w.Pigment()
	// A wine without pigment has nothing that the medium could change.
	present := amount / (amount + 0.05)
	for i, a := range w.Absorbance {
		nm := cie.Wavelength(i)
		share := 0.35 + 0.65/(1+math.Exp(-(nm-460)/12)) // of pigment in the absorbance
		pigment[i] = present * share * a
		shoulder[i] = present * shoulderSpread * a * bell(nm, 600, 30)
		yellow[i] = present * yellowSpread * a * (1 - share)
		before, after := w.Absorbance[max(i-1, 0)], w.Absorbance[min(i+1, cie.Points-1)]
		shift[i] = present * share * shiftSpreadNM * (before - after) / (2 * cie.StepNM)
	}
	errors = []cie.Curve{shoulder, yellow, shift}
	for centre := 440.0; centre <= 640; centre += 50 {
		var ripple cie.Curve
		for i := range ripple {
			ripple[i] = rippleSpread * amount * bell(cie.FirstNM+cie.StepNM*float64(i), centre, 30)
		}
		errors = append(errors, ripple)
	}
	return errors, pigment
}

// diluted says how far the pigment of a wine is diluted in a blend, 0 (not at
// all) to 1: what counts is pigment, so that a wine blended with its like is
// not diluted.
func diluted(wine, blend float64) float64 {
	if wine <= 0 {
		return 0
	}
	return math.Max(0, 1-blend/wine)
}

func bell(nm, centre, width float64) float64 {
	d := (nm - centre) / width
	return math.Exp(-d * d / 2)
}

package drift

import (
	"fmt"

	"pourpath/colour/cie"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// wineOf estimates the spectrum of a wine that reads a per 10 mm.
func wineOf(a [bands]float64) (spectrum.Wine, error) {
	w, err := spectrum.FromReadings(reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1},
		A420: a[0], A520: a[1], A620: a[2], UAbsorbance: reading.DefaultU})
	if err != nil {
		return w, fmt.Errorf("drift: the drifted readings %.3g, %.3g and %.3g: %w", a[0], a[1], a[2], err)
	}
	return w, nil
}

// labOf is the colour of that wine.
func labOf(a [bands]float64, w *cie.Weighting, v cie.View) ([3]float64, error) {
	wine, err := wineOf(a)
	if err != nil {
		return [3]float64{}, err
	}
	l, aa, bb := w.AbsorbanceLab(&wine.Absorbance, v.DepthMM)
	return [3]float64{l, aa, bb}, nil
}

// weightingOf is that of a view that was validated here.
func weightingOf(v cie.View) (*cie.Weighting, error) {
	if err := v.Validate(); err != nil {
		return nil, fmt.Errorf("drift: %w", err)
	}
	w, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		return nil, fmt.Errorf("drift: %w", err)
	}
	return w, nil
}

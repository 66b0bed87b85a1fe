package calc

import (
	"math"

	"pourpath/colour/cie"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
	"pourpath/reports"
)

// Seen is a wine whose spectrum was found, to be looked at in several ways: under
// several lights, at several depths, as a picture.
type Seen struct {
	wine     Wine
	spectrum spectrum.Wine
}

// See finds the spectrum of a wine that has its data with it. The error is a
// *Problem.
func See(w Wine) (Seen, error) {
	var f Faults
	s := Seen{wine: w}
	s.spectrum, _ = w.resolve("/wine", &f)
	return s, f.Err()
}

// Colour is the colour of the wine under a view, as Colour answers it. The error is a
// *Problem, or a fault of this program.
func (s Seen) Colour(v View) (WineColour, error) {
	var f Faults
	view := v.resolve(&f)
	if err := f.Err(); err != nil {
		return WineColour{}, err
	}
	return s.colour(view)
}

func (s Seen) colour(view cie.View) (WineColour, error) {
	c, err := colourIn(s.spectrum, view)
	if err != nil {
		return WineColour{}, err
	}
	if s.wine.statedIn(view) {
		var f Faults
		c.Lab = s.wine.CIELAB.stated("", &f).Lab // as given, not to the last bit of a search
	}
	return colourOf(c), nil
}

// SpectrumFigure is the absorbance of the wine against wavelength, with its band of
// uncertainty and what was read. version names the program in the footer; texts are
// the figure's words, nil for English.
func (s Seen) SpectrumFigure(version string, texts *reports.Texts) reports.SpectrumFigure {
	out := reports.SpectrumFigure{Name: s.wine.Name, Source: string(s.spectrum.Source), Version: "Pourpath " + version, Texts: texts}
	for i, a := range s.spectrum.Absorbance {
		variance := 0.0
		for t := range s.spectrum.Terms {
			variance += s.spectrum.Terms[t].Effect[i] * s.spectrum.Terms[t].Effect[i]
		}
		out.Curve = append(out.Curve, reports.SpectrumPoint{NM: cie.Wavelength(i), A: a, U: math.Sqrt(variance)})
	}
	out.Read = s.read()
	return out
}

// read is what was read from 380 to 780 nm, per 10 mm of undiluted wine; nothing for
// a colour.
func (s Seen) read() (out []reports.SpectrumPoint) {
	switch {
	case s.wine.Readings != nil:
		core := s.wine.Readings.Core()
		scale := core.Cell.Per10MM()
		for _, r := range core.All() {
			out = append(out, reports.SpectrumPoint{NM: r.NM, A: scale * r.Absorbance, U: scale * reading.Uncertainty(r.Absorbance, core.UAbsorbance)})
		}
	case s.wine.Spectrum != nil:
		var f Faults // none, or there would be no spectrum
		scan := s.wine.Spectrum.core("", &f)
		scale := scan.Cell.Per10MM()
		for i, nm := range scan.NM {
			if a := scan.Absorbance[i]; nm >= cie.FirstNM && nm <= cie.LastNM {
				out = append(out, reports.SpectrumPoint{NM: nm, A: scale * a, U: scale * reading.Uncertainty(a, scan.UAbsorbance)})
			}
		}
	}
	return out
}

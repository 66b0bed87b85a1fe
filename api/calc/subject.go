package calc

import (
	"errors"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// subject is a wine to be judged: its spectrum, or where there is none the
// colour as it was given.
type subject struct {
	wine   *spectrum.Wine
	stated *spectrum.Stated // set where the colour is stated in the view itself
	notes  []colour.Warning
}

// resolveSubject resolves a wine that is compared as given where it can be.
func (w Wine) resolveSubject(pointer string, view cie.View, f *Faults) (s subject) {
	if !w.statedIn(view) {
		if wine, ok := w.resolve(pointer, f); ok {
			s.wine = &wine
		}
		return s
	}
	stated := w.CIELAB.stated(pointer+"/cielab", f)
	if err := stated.Validate(); err != nil {
		f.Add(pointer+"/cielab", err)
		return s
	}
	s.stated = &stated
	wine, err := w.fromLab(stated)
	switch {
	case err == nil:
		s.wine = &wine
	case errors.Is(err, spectrum.ErrNoSpectrum):
		s.notes = append(s.notes, colour.Warning{
			Code:    "no_spectrum",
			Message: "No wine-like spectrum has this colour, so it is judged as given and only L*, a*, b* are known of it: " + err.Error() + ".",
		})
	default:
		f.Add(pointer+"/cielab", err)
	}
	return s
}

// statedIn reports whether w is a colour that is stated in exactly that view.
func (w Wine) statedIn(view cie.View) bool {
	if w.CIELAB == nil || w.Readings != nil || w.Spectrum != nil || w.ID != nil && !w.stored {
		return false
	}
	var known Faults
	stated := w.CIELAB.stated("", &known)
	return len(known.list) == 0 && stated.Lab.View == view
}

// colour is the colour of what is judged. As given it is exactly that, with the
// rounding of its digits; what else is shown of it comes from its spectrum.
func (s subject) colour(view cie.View) (WineColour, error) {
	if s.wine == nil {
		return s.bareColour()
	}
	c, err := colourIn(*s.wine, view)
	if err != nil {
		return WineColour{}, err
	}
	if s.stated != nil {
		c.Lab = s.stated.Lab
	}
	return colourOf(c), nil
}

// bareColour is a colour of which no spectrum is known. A rounded digit is
// uniform within its half step, so its standard deviation is that over √3
// (JCGM 100, 4.3.7).
func (s subject) bareColour() (WineColour, error) {
	ab := number(s.stated.HalfStepAB / math.Sqrt(3))
	out := WineColour{
		CIELAB: valuesOf(s.stated.Lab), Conditions: conditionsOf(s.stated.Lab.View),
		Uncertainty: Uncertainty{L: number(s.stated.HalfStepL / math.Sqrt(3)), A: ab, B: ab},
		Source:      string(spectrum.CIELAB), Warnings: warningsOf(s.notes),
	}
	screen, err := cie.LabScreen(s.stated.Lab)
	if err != nil {
		return out, refused(err)
	}
	out.show(screen)
	return out, nil
}

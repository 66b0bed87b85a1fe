package spectrum

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
)

// Colour is how a wine looks in a view, with its indices for 10 mm and what is
// uncertain about them.
type Colour struct {
	Lab         cie.Lab
	Indices     Indices
	Screen      cie.Screen
	Uncertainty Uncertainty
	// Budget splits the uncertainty of L*, a* and b* by cause; causes that add
	// nothing are left out.
	Budget   []BudgetPart
	Source   Source
	Warnings []colour.Warning
}

// Uncertainty holds standard uncertainties (k = 1): absorbances per 10 mm,
// intensity, tint (NaN where the tint is) and CIELAB in the colour's view.
type Uncertainty struct{ A420, A520, A620, Intensity, Tint, L, A, B float64 }

// BudgetPart is the share of one cause in the standard uncertainties of L*, a*
// and b*; the parts add in quadrature.
type BudgetPart struct {
	Cause   Cause
	L, A, B float64
}

// Colour computes the colour of w in a view. Uncertainties are first order
// (JCGM 100:2008, 5.1.2).
//
// Errors: those of View.Validate.
func (w Wine) Colour(v cie.View) (Colour, error) {
	if err := v.Validate(); err != nil {
		return Colour{}, fmt.Errorf("spectrum: %w", err)
	}
	weighting, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		return Colour{}, fmt.Errorf("spectrum: %w", err)
	}
	c := Colour{Indices: w.Indices(), Source: w.Source, Warnings: w.Warnings}
	c.Lab.View = v
	c.Lab.L, c.Lab.A, c.Lab.B = weighting.AbsorbanceLab(&w.Absorbance, v.DepthMM)
	if c.Screen, err = cie.ScreenColour(&w.Absorbance, v.Illuminant, v.DepthMM); err != nil {
		return Colour{}, fmt.Errorf("spectrum: %w", err)
	}
	if len(w.Terms) > 0 {
		_, jac := weighting.AbsorbanceJacobian(&w.Absorbance, v.DepthMM)
		c.Uncertainty, c.Budget = w.uncertainty(&jac)
	}
	return c, nil
}

func (w *Wine) uncertainty(jac *[3]cie.Curve) (Uncertainty, []BudgetPart) {
	var u2 Uncertainty
	byCause := map[Cause]*[3]float64{}
	ix := w.Indices()
	for i := range w.Terms {
		t := &w.Terms[i]
		lab, a := t.PerTerm(jac)
		u2.A420 += a[0] * a[0]
		u2.A520 += a[1] * a[1]
		u2.A620 += a[2] * a[2]
		intensity := a[0] + a[1] + a[2]
		u2.Intensity += intensity * intensity
		tint := (a[0] - ix.Tint*a[1]) / ix.A520
		u2.Tint += tint * tint
		part := byCause[t.Cause]
		if part == nil {
			part = new([3]float64)
			byCause[t.Cause] = part
		}
		for c := range 3 {
			part[c] += lab[c] * lab[c]
		}
	}
	var budget []BudgetPart
	for _, cause := range Causes() {
		if p := byCause[cause]; p != nil {
			budget = append(budget, BudgetPart{cause, math.Sqrt(p[0]), math.Sqrt(p[1]), math.Sqrt(p[2])})
			u2.L, u2.A, u2.B = u2.L+p[0], u2.A+p[1], u2.B+p[2]
		}
	}
	return Uncertainty{math.Sqrt(u2.A420), math.Sqrt(u2.A520), math.Sqrt(u2.A620), math.Sqrt(u2.Intensity), math.Sqrt(u2.Tint),
		math.Sqrt(u2.L), math.Sqrt(u2.A), math.Sqrt(u2.B)}, budget
}

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
// intensity, tint (NaN where the tint is), and CIELAB in the colour's view: L*,
// a*, b*, chroma C, and hue H in degrees (NaN at chroma 0). RAB is the
// correlation of a* and b*, from -1 to 1; 0 where one of them is certain.
type Uncertainty struct{ A420, A520, A620, Intensity, Tint, L, A, B, C, H, RAB float64 }

// WithPolar returns u with the uncertainties of chroma and hue that those of a*
// and b* and their correlation make at colour l (JCGM 100:2008, 5.2.2):
//
//	u²(C) = (a²u²(a) + b²u²(b) + 2ab r u(a)u(b)) / C²
//	u²(h) = (b²u²(a) + a²u²(b) - 2ab r u(a)u(b)) / C⁴
//
// At chroma 0, where every change adds chroma, u(C) is that of the mean
// direction and H is NaN. The first order holds while u(C) is well below C.
func (u Uncertainty) WithPolar(l cie.Lab) Uncertainty {
	aa, bb, ab := u.A*u.A, u.B*u.B, u.RAB*u.A*u.B
	c := l.Chroma()
	if c == 0 {
		u.C, u.H = math.Sqrt((aa+bb)/2), math.NaN()
		return u
	}
	a, b := l.A/c, l.B/c
	u.C = math.Sqrt(max(a*a*aa+b*b*bb+2*a*b*ab, 0))
	u.H = math.Sqrt(max(b*b*aa+a*a*bb-2*a*b*ab, 0)) / c * 180 / math.Pi
	return u
}

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
		c.Uncertainty = c.Uncertainty.WithPolar(c.Lab)
	}
	return c, nil
}

func (w *Wine) uncertainty(jac *[3]cie.Curve) (Uncertainty, []BudgetPart) {
	var u2 Uncertainty
	covariance := 0.0
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
		covariance += lab[1] * lab[2]
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
	u := Uncertainty{
		A420: math.Sqrt(u2.A420), A520: math.Sqrt(u2.A520), A620: math.Sqrt(u2.A620),
		Intensity: math.Sqrt(u2.Intensity), Tint: math.Sqrt(u2.Tint),
		L: math.Sqrt(u2.L), A: math.Sqrt(u2.A), B: math.Sqrt(u2.B),
	}
	if u.A > 0 && u.B > 0 {
		u.RAB = covariance / (u.A * u.B)
	}
	return u, budget
}

package blend

import (
	"fmt"
	"math"

	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

const (
	// manyDoses is from how many doses on the uncertainties are interpolated.
	manyDoses = 64
	nodes     = 17
)

// Colours computes the colour at each dose. Colours are computed each by
// itself; for more than 64 doses their uncertainties, which are smooth along
// the path, are interpolated between 17 doses (cubic in the root of the
// fraction, within 1 % of the value).
//
// Errors: those of the view.
func (p *Path) Colours(doses []Dose, v cie.View) ([]spectrum.Colour, error) {
	out := make([]spectrum.Colour, len(doses))
	if len(doses) <= manyDoses {
		for i, d := range doses {
			c, err := p.At(d).Colour(v)
			if err != nil {
				return nil, fmt.Errorf("blend: at %g mL per 100 mL: %w", float64(d), err)
			}
			out[i] = c
		}
		return out, nil
	}
	between, err := p.uncertainties(doses, v)
	if err != nil {
		return nil, err
	}
	w := spectrum.Wine{Source: spectrum.Blend, Method: string(spectrum.Blend)}
	for i, d := range doses {
		p.centre.at(p.Fraction(d), &w.Absorbance)
		if out[i], err = w.Colour(v); err != nil {
			return nil, fmt.Errorf("blend: at %g mL per 100 mL: %w", float64(d), err)
		}
		out[i].Uncertainty = between.at(p.Fraction(d)).WithPolar(out[i].Lab)
	}
	return out, nil
}

// table holds uncertainties at evenly spaced roots of the fraction: they change
// fastest where doses are small.
type table struct {
	first, step float64
	values      [nodes]spectrum.Uncertainty
}

func (p *Path) uncertainties(doses []Dose, v cie.View) (*table, error) {
	lo, hi := 1.0, 0.0
	for _, d := range doses {
		root := math.Sqrt(p.Fraction(d))
		lo, hi = math.Min(lo, root), math.Max(hi, root)
	}
	t := &table{first: lo, step: math.Max((hi-lo)/(nodes-1), 1e-9)}
	for i := range t.values {
		root := math.Min(t.first+float64(i)*t.step, 1-1e-6)
		f := root * root
		c, err := p.At(Dose(p.volume * f / (1 - f))).Colour(v)
		if err != nil {
			return nil, fmt.Errorf("blend: %w", err)
		}
		t.values[i] = c.Uncertainty
	}
	return t, nil
}

// at interpolates with the cubic through the four nearest nodes.
func (t *table) at(f float64) spectrum.Uncertainty {
	x := (math.Sqrt(f) - t.first) / t.step
	i := min(max(int(x)-1, 0), nodes-4)
	x -= float64(i)
	weight := [4]float64{
		-(x - 1) * (x - 2) * (x - 3) / 6, x * (x - 2) * (x - 3) / 2,
		-x * (x - 1) * (x - 3) / 2, x * (x - 1) * (x - 2) / 6,
	}
	var u spectrum.Uncertainty
	covariance := 0.0
	for k, w := range weight {
		n := &t.values[i+k]
		u.A420 += w * n.A420
		u.A520 += w * n.A520
		u.A620 += w * n.A620
		u.Intensity += w * n.Intensity
		u.Tint += w * n.Tint
		u.L += w * n.L
		u.A += w * n.A
		u.B += w * n.B
		covariance += w * n.RAB * n.A * n.B
	}
	if u.A > 0 && u.B > 0 {
		u.RAB = min(max(covariance/(u.A*u.B), -1), 1)
	}
	return u
}

package blend

import (
	"pourpath/colour/cie"
	"pourpath/colour/difference"
)

// place is what a blend is judged by: L*, a*, b*, or for a target of intensity
// and tint their relative misfits and 0.
type place [3]float64

// slopes are the derivatives of a place by each wine's fraction.
type slopes [3]fractionVec

// aim turns fractions into a place and a place into a misfit. Neither method
// allocates.
type aim interface {
	// at returns the place of a blend, and its slopes when s is not nil.
	at(f *fractionVec, s *slopes) place
	// square is the misfit squared: 0 on target, smooth about it.
	square(p place) float64
}

// colourAim is a wanted L*a*b*; the misfit is ΔE00.
type colourAim struct {
	curves    []cie.Curve
	weighting *cie.Weighting
	depthMM   float64
	target    cie.Lab
}

func (c *colourAim) at(f *fractionVec, s *slopes) place {
	mixed := mixCurves(c.curves, f)
	if s == nil {
		L, a, b := c.weighting.AbsorbanceLab(&mixed, c.depthMM)
		return place{L, a, b}
	}
	lab, j := c.weighting.AbsorbanceJacobian(&mixed, c.depthMM)
	for i := range c.curves {
		for k := range j {
			var sum float64
			for nm, v := range &c.curves[i] {
				sum += j[k][nm] * v
			}
			s[k][i] = sum
		}
	}
	return place(lab)
}

func (c *colourAim) square(p place) float64 {
	d := difference.DeltaE00(c.target.L, c.target.A, c.target.B, p[0], p[1], p[2])
	return d * d
}

// mixCurves adds absorbances by volume fraction (Beer-Lambert).
func mixCurves(curves []cie.Curve, f *fractionVec) (mixed cie.Curve) {
	for i := range curves {
		share := f[i]
		if share == 0 {
			continue
		}
		for nm, v := range &curves[i] {
			mixed[nm] += share * v
		}
	}
	return mixed
}

// indexAim is a wanted intensity and tint; the misfit is
//
//	√((I/I₀ - 1)² + (N/N₀ - 1)²)
//
// with I the intensity and N the tint.
type indexAim struct {
	a420, a520, a620 fractionVec // of each wine, per 10 mm
	n                int
	intensity, tint  float64
}

func newIndexAim(curves []cie.Curve, intensity, tint float64) *indexAim {
	x := &indexAim{n: len(curves), intensity: intensity, tint: tint}
	for i := range curves {
		x.a420[i] = curves[i][cie.Index(420)]
		x.a520[i] = curves[i][cie.Index(520)]
		x.a620[i] = curves[i][cie.Index(620)]
	}
	return x
}

// leastA520 keeps the tint finite: water has none. It is a tenth of the last
// digit that an instrument shows.
const leastA520 = 1e-4

func (x *indexAim) at(f *fractionVec, s *slopes) place {
	var a420, a520, a620 float64
	for i := range x.n {
		a420 += f[i] * x.a420[i]
		a520 += f[i] * x.a520[i]
		a620 += f[i] * x.a620[i]
	}
	below := a520 < leastA520
	a520 = max(a520, leastA520)
	if s != nil {
		for i := range x.n {
			s[0][i] = (x.a420[i] + x.a520[i] + x.a620[i]) / x.intensity
			s[1][i] = x.a420[i] / a520 / x.tint
			if !below {
				s[1][i] -= a420 * x.a520[i] / (a520 * a520) / x.tint
			}
			s[2][i] = 0
		}
	}
	return place{(a420+a520+a620)/x.intensity - 1, a420/a520/x.tint - 1, 0}
}

func (x *indexAim) square(p place) float64 {
	return p[0]*p[0] + p[1]*p[1]
}

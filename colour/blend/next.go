package blend

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"pourpath/colour/cie"
	"pourpath/colour/reading"
)

// Next is the rung whose reading would tell most about the colour at a dose.
type Next struct {
	Dose Dose // to pour and read
	// Before and After are the standard uncertainties of that colour as the
	// root of the summed variances of L*, a* and b* (of a ΔE*ab), before and
	// after such a rung was read at 420, 520 and 620 nm.
	Before, After float64
}

// MeasureNext proposes which rung to pour and read next so that the colour at
// dose about is known best: the one of 24 doses up to largest that leaves the
// least variance, a reading being uncertain by reading.DefaultU in a 10 mm cell.
//
// Errors: those of the view.
func (p *Path) MeasureNext(about Dose, v cie.View, largest Dose) (Next, error) {
	if err := v.Validate(); err != nil {
		return Next{}, fmt.Errorf("blend: %w", err)
	}
	weighting, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		return Next{}, fmt.Errorf("blend: %w", err)
	}
	var a cie.Curve
	p.centre.at(p.Fraction(about), &a)
	_, jac := weighting.AbsorbanceJacobian(&a, v.DepthMM)
	effects := p.independent(p.Fraction(about))
	aim := mat.NewDense(3, len(effects), nil)
	for c := range 3 {
		for k := range effects {
			aim.Set(c, k, jac[c].Dot(&effects[k]))
		}
	}
	before := math.Sqrt(frobenius2(aim))
	best := Next{Dose: about, Before: before, After: math.Inf(1)}
	const candidates = 24
	for i := 1; i <= candidates; i++ {
		d := Dose(float64(largest) * float64(i) / candidates)
		if after := p.left(aim, d); after < best.After {
			best.Dose, best.After = d, after
		}
	}
	return best, nil
}

// independent gives the effects of the path's errors at fraction f as
// independent columns.
func (p *Path) independent(f float64) []cie.Curve {
	columns := p.columns(f)
	if p.learned {
		return p.correlated(columns)
	}
	return columns
}

// left is what remains of the variance of the aim once a rung at dose d is read.
func (p *Path) left(aim *mat.Dense, d Dose) float64 {
	effects := p.independent(p.Fraction(d))
	own := p.poured(p.Fraction(d))
	at := []int{cie.Index(420), cie.Index(520), cie.Index(620)}
	h := mat.NewDense(len(at), len(effects), nil)
	noise := mat.NewSymDense(len(at), nil)
	for i, x := range at {
		for k := range effects {
			h.Set(i, k, effects[k][x])
		}
		for j, y := range at {
			noise.SetSym(i, j, own[x]*own[y])
		}
		noise.SetSym(i, i, noise.At(i, i)+reading.DefaultU*reading.DefaultU)
	}
	var s mat.SymDense
	s.SymOuterK(1, h)
	s.AddSym(&s, noise)
	var chol mat.Cholesky
	if !chol.Factorize(&s) {
		return math.Inf(1)
	}
	var cross, gained mat.Dense
	cross.Mul(h, aim.T()) // observations × colour
	if err := chol.SolveTo(&gained, &cross); err != nil {
		return math.Inf(1)
	}
	var product mat.Dense
	product.Mul(cross.T(), &gained)
	return math.Sqrt(math.Max(0, frobenius2(aim)-mat.Trace(&product)))
}

func frobenius2(m *mat.Dense) float64 {
	n := mat.Norm(m, 2)
	return n * n
}

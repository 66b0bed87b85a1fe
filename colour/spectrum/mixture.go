package spectrum

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pourpath/colour/cie"
)

// estimated is the distribution before and after the readings: before as one
// Gaussian, whose gains carry the errors of the readings.
type estimated struct{ prior, posterior gaussian }

// explanation is how one family explains observations: its distribution before
// them, and what they change of it when they are taken as known without error.
type explanation struct {
	family        *family
	matter        matter
	before, after cie.Curve   // means
	gains         []cie.Curve // K: the covariance left is C - K (C Hᵀ)ᵀ
	observed      []cie.Curve // C Hᵀ
	logWeight     float64
}

// explain conditions the distribution g of family f, found by m, on observations
// h that miss its mean by misfit, each blurred by its own blur for how likely that
// is. ok is false when two observations tell the same.
func explain(g *gaussian, m matter, f *weighted, h []cie.Curve, misfit, blur []float64) (e explanation, ok bool) {
	e = explanation{family: &f.family, matter: m, before: g.mean, after: g.mean}
	var s *mat.SymDense
	if e.gains, e.observed, s, ok = g.gains(h); !ok {
		return e, false
	}
	for a := range h {
		for i := range e.after {
			e.after[i] += e.gains[a][i] * misfit[a]
		}
	}
	e.logWeight = math.Log(f.weight) + logLikelihood(s, misfit, blur)
	return e, true
}

// mixture joins explanations with white and a family each into the distributions
// before and after that have their mean and their variance, within and between.
func mixture(white *family, parts []explanation) estimated {
	w := shares(parts)
	out := estimated{gaussian{cov: new(covariance)}, gaussian{cov: new(covariance)}}
	prior, posterior := &out.prior, &out.posterior
	var amount, level float64
	for k, p := range parts {
		for i := range prior.mean {
			prior.mean[i] += w[k] * p.before[i]
			posterior.mean[i] += w[k] * p.after[i]
		}
		amount += w[k] * p.matter.whiteScale * p.matter.whiteScale
		level += w[k] * p.matter.whiteSpread * p.matter.whiteSpread
	}
	for i := range prior.cov {
		row := prior.cov[i][:i+1]
		addTo(row, amount, &white.spread[i], level, &white.level[i])
		for k := range parts {
			addTo(row, w[k]*parts[k].matter.redScale*parts[k].matter.redScale, &parts[k].family.spread[i], 0, nil)
		}
		copy(posterior.cov[i][:], row)
	}
	for k := range parts {
		p := &parts[k]
		var before, after cie.Curve
		for i := range before {
			before[i], after[i] = p.before[i]-prior.mean[i], p.after[i]-posterior.mean[i]
		}
		prior.cov.addProduct(w[k], &before, &before)
		posterior.cov.addProduct(w[k], &after, &after)
		for a := range p.gains {
			posterior.cov.addProduct(-w[k], &p.gains[a], &p.observed[a])
		}
	}
	prior.cov.mirror()
	posterior.cov.mirror()
	return out
}

// shares are the weights of the parts, with the sum 1.
func shares(parts []explanation) []float64 {
	top := math.Inf(-1)
	for _, p := range parts {
		top = math.Max(top, p.logWeight)
	}
	w, sum := make([]float64, len(parts)), 0.0
	for k, p := range parts {
		w[k] = math.Exp(p.logWeight - top)
		sum += w[k]
	}
	for k := range w {
		w[k] /= sum
	}
	return w
}

// addTo adds a x, and b y where there is a y, to the beginnings of rows.
func addTo(row []float64, a float64, x *cie.Curve, b float64, y *cie.Curve) {
	xs := x[:len(row)]
	if y == nil {
		for j, v := range xs {
			row[j] += a * v
		}
		return
	}
	ys := y[:len(row)]
	for j, v := range xs {
		row[j] += a*v + b*ys[j]
	}
}

// addProduct adds s x yᵀ to the lower triangle of c.
func (c *covariance) addProduct(s float64, x, y *cie.Curve) {
	for i := range c {
		a, row := s*x[i], c[i][:i+1]
		ys := y[:len(row)]
		for j, v := range ys {
			row[j] += a * v
		}
	}
}

// mirror copies the lower triangle of c to the upper one.
func (c *covariance) mirror() {
	for i := range c {
		for j := range i {
			c[j][i] = c[i][j]
		}
	}
}

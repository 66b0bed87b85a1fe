package spectrum

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/mat"

	"pourpath/colour/cie"
)

// gaussian is a normal distribution of absorbance spectra per 10 mm.
type gaussian struct {
	mean cie.Curve
	cov  *covariance
}

// covariance is symmetric, in absorbance squared, between grid wavelengths.
type covariance [cie.Points]cie.Curve

// whiteMatter is the usual absorbance at 420 nm of the white part of a wine,
// per 10 mm, and its least spread. Common practice for whites (0.05 to 0.2),
// no source.
const (
	whiteMatter       = 0.10
	whiteMatterSpread = 0.08
)

// matter is how much white and red matter a wine holds: the absorbance per
// 10 mm of the one at 420 nm and of the other at 520 nm, and how far the first
// is uncertain.
type matter struct {
	white, red           float64 // the mean
	whiteSpread          float64 // of the amount of white
	whiteScale, redScale float64 // what shapes vary with; never 0
}

// matterOf splits the absorbances per 10 mm at 420 and 520 nm into white and
// red matter of family f. In a deep red the yellow is its own; in a pale rosé
// what exceeds the red's share is the white's: each explanation counts by its
// variance.
func matterOf(white, f *family, a420, a520 float64) matter {
	i420, i520 := cie.Index(420), cie.Index(520)
	spread := math.Max(whiteMatterSpread, 0.5*math.Min(a420, 1))
	var v float64
	for _, c := range f.components {
		v += c[i420] * c[i420]
	}
	v *= a520 * a520
	excess := a420 - f.mean[i420]*a520
	m := matter{whiteSpread: spread}
	// A wine that absorbs nothing is left no matter at all: clear water.
	level := math.Max(math.Abs(a420), math.Abs(a520))
	white0 := (whiteMatter*v + excess*spread*spread) / (v + spread*spread)
	m.white = math.Max(math.Min(0.02, level), white0)
	m.red = math.Max(math.Min(0.003, level), a520-m.white*white.mean[i520])
	m.whiteScale, m.redScale = math.Max(m.white, 0.02), math.Max(m.red, 0.003)
	return m
}

// before is the distribution of spectra with that matter of white and family
// f before conditioning on readings; both amounts stay uncertain. Its covariance
// is written into cov.
func (m matter) before(white, f *family, cov *covariance) gaussian {
	g := gaussian{cov: cov}
	for i := range g.mean {
		g.mean[i] = m.white*white.mean[i] + m.red*f.mean[i]
	}
	w, l, r := m.whiteScale*m.whiteScale, m.whiteSpread*m.whiteSpread, m.redScale*m.redScale
	for i := range cov {
		a, b, c, row := &white.spread[i], &white.level[i], &f.spread[i], &cov[i]
		for j := range row {
			row[j] = w*a[j] + l*b[j] + r*c[j]
		}
	}
	return g
}

// gains solves for the matrix K (a Curve for each observation) that maps a
// misfit of the observations h to a change of the spectrum, K = C Hᵀ (H C Hᵀ)⁻¹,
// and gives C Hᵀ and the covariance S of the observations. ok is false when two
// observations tell the same.
func (g *gaussian) gains(h []cie.Curve) (k, ch []cie.Curve, s *mat.SymDense, ok bool) {
	n := len(h)
	ch = g.cov.times(h)
	s = mat.NewSymDense(n, nil)
	for a := range h {
		for b := a; b < n; b++ {
			s.SetSym(a, b, h[a].Dot(&ch[b]))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(s) {
		return nil, nil, nil, false
	}
	var inv mat.SymDense
	if err := chol.InverseTo(&inv); err != nil {
		return nil, nil, nil, false
	}
	k = make([]cie.Curve, n)
	for a := range k {
		for b := range ch {
			w := inv.At(a, b)
			for i := range k[a] {
				k[a][i] += w * ch[b][i]
			}
		}
	}
	return k, ch, s, true
}

// logLikelihood is the log density (without its constant) of a misfit of
// observations with covariance s, each blurred by its own blur.
func logLikelihood(s *mat.SymDense, misfit, blur []float64) float64 {
	n := len(misfit)
	wide := mat.NewSymDense(n, nil)
	wide.CopySym(s)
	for i := range n {
		wide.SetSym(i, i, s.At(i, i)+blur[i]*blur[i])
	}
	var chol mat.Cholesky
	if !chol.Factorize(wide) {
		return math.Inf(-1)
	}
	v := mat.NewVecDense(n, append([]float64(nil), misfit...))
	var x mat.VecDense
	if err := chol.SolveVecTo(&x, v); err != nil {
		return math.Inf(-1)
	}
	return -0.5*mat.Dot(v, &x) - 0.5*chol.LogDet()
}

// shapeTerms is how many terms stand for the spread of a spectrum that was not
// scanned. Eight hold over 99.9 % of the variance of a blend's colour.
const shapeTerms = 8

// terms gives the leading error terms of the distribution, ordered by what they
// do to colour: wavelengths count by the eye's sensitivity. Their signs mean
// nothing.
func (g *gaussian) terms() []Term {
	weight := visibility()
	var scaled covariance
	for i := range cie.Points {
		for j := range i + 1 {
			scaled[i][j] = weight[i] * weight[j] * g.cov[i][j]
		}
	}
	pairs, ok := leading(&scaled, shapeTerms)
	if !ok {
		return g.wholeTerms()
	}
	var out []Term
	for k := range pairs {
		if pairs[k].value <= leastVariance {
			break
		}
		out = append(out, shapeTerm(pairs[k].value, &pairs[k].vector))
	}
	return out
}

// leastVariance of a term that is worth one.
const leastVariance = 1e-14

// shapeTerm is a term from an eigenvalue of the scaled covariance and its vector.
func shapeTerm(value float64, vector *cie.Curve) Term {
	t, sd, weight := Term{Cause: Shape}, math.Sqrt(value), visibility()
	for i := range t.Effect {
		t.Effect[i] = sd * vector[i] / weight[i]
	}
	return t
}

// wholeTerms are the terms by a whole decomposition, which is slow and whose
// signs are those that figures of earlier versions were found by.
func (g *gaussian) wholeTerms() []Term {
	weight := visibility()
	scaled := mat.NewSymDense(cie.Points, nil)
	for i := range cie.Points {
		for j := i; j < cie.Points; j++ {
			scaled.SetSym(i, j, weight[i]*weight[j]*g.cov[i][j])
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(scaled, true) {
		return nil
	}
	values := eig.Values(nil) // ascending
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	var out []Term
	for k := cie.Points - 1; k >= cie.Points-shapeTerms && values[k] > leastVariance; k-- {
		var v cie.Curve
		for i := range v {
			v[i] = vectors.At(i, k)
		}
		out = append(out, shapeTerm(values[k], &v))
	}
	return out
}

// visibility weighs wavelengths for terms by how far an absorbance there moves
// the colour of a pale wine under D65 and the 10° observer, with a floor so that
// none is lost.
var visibility = sync.OnceValue(func() *cie.Curve {
	v := cie.OIV()
	w, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		panic(err) // the OIV's own conditions have a table
	}
	var water, weight cie.Curve
	_, j := w.AbsorbanceJacobian(&water, v.DepthMM)
	var top float64
	for i := range weight {
		weight[i] = math.Hypot(j[0][i], math.Hypot(j[1][i], j[2][i]))
		top = math.Max(top, weight[i])
	}
	for i := range weight {
		weight[i] = math.Max(weight[i]/top, 0.01)
	}
	return &weight
})

// times is the covariance between every wavelength and each observation h.
func (c *covariance) times(h []cie.Curve) []cie.Curve {
	out := make([]cie.Curve, len(h))
	for a := range h {
		for j, x := range h[a] {
			if x == 0 {
				continue
			}
			for i := range out[a] {
				out[a][i] += c[j][i] * x
			}
		}
	}
	return out
}

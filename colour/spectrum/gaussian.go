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
// f before conditioning on readings; both amounts stay uncertain.
func (m matter) before(white, f *family) gaussian {
	var g gaussian
	columns := make([]cie.Curve, 0, len(white.components)+len(f.components)+2)
	add := func(c *cie.Curve, scale float64) {
		var s cie.Curve
		for i := range s {
			s[i] = scale * c[i]
		}
		columns = append(columns, s)
	}
	for i := range white.components {
		add(&white.components[i], m.whiteScale)
	}
	for i := range f.components {
		add(&f.components[i], m.redScale)
	}
	add(&white.mean, m.whiteSpread)
	add(&f.mean, 0.5*m.redScale)
	g.cov = new(covariance)
	for i := range g.mean {
		g.mean[i] = m.white*white.mean[i] + m.red*f.mean[i]
		row := g.cov[i][i:]
		for k := 0; k+1 < len(columns); k += 2 { // two at a time, one after the other
			by, column := columns[k][i], columns[k][i:]
			by2, column2 := columns[k+1][i], columns[k+1][i:]
			for j := range row {
				row[j] = row[j] + by*column[j] + by2*column2[j]
			}
		}
		if k := len(columns) - 1; k%2 == 0 {
			by, column := columns[k][i], columns[k][i:]
			for j := range row {
				row[j] += by * column[j]
			}
		}
		row[0] += m.whiteScale*m.whiteScale*white.rest[i] + m.redScale*m.redScale*f.rest[i]
	}
	g.cov.mirror()
	return g
}

// mirror copies the upper triangle of c to the lower one.
func (c *covariance) mirror() {
	for i := range c {
		for j := range i {
			c[i][j] = c[j][i]
		}
	}
}

// gains solves for the matrix K (a Curve for each observation) that maps a
// misfit of the observations h to a change of the spectrum, K = C Hᵀ (H C Hᵀ)⁻¹,
// and gives the covariance S of the observations. ok is false when two
// observations tell the same.
func (g *gaussian) gains(h []cie.Curve) (k []cie.Curve, s *mat.SymDense, ok bool) {
	n := len(h)
	ch := g.cov.times(h)
	s = mat.NewSymDense(n, nil)
	for a := range h {
		for b := a; b < n; b++ {
			s.SetSym(a, b, h[a].Dot(&ch[b]))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(s) {
		return nil, nil, false
	}
	var inv mat.SymDense
	if err := chol.InverseTo(&inv); err != nil {
		return nil, nil, false
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
	return k, s, true
}

// after is the distribution once the observations h with gains k are known
// without error: the covariance left, with the mean moved by the misfit.
func (g *gaussian) after(h, k []cie.Curve, misfit []float64) gaussian {
	out := gaussian{mean: g.mean, cov: new(covariance)}
	hc := g.cov.times(h)
	for a := range h {
		for i := range out.mean {
			out.mean[i] += k[a][i] * misfit[a]
		}
	}
	for i := range out.cov {
		row := out.cov[i][i:]
		copy(row, g.cov[i][i:])
		for a := range k {
			by, observed := k[a][i], hc[a][i:]
			for j := range row {
				row[j] -= by * observed[j]
			}
		}
	}
	out.cov.mirror()
	return out
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

// mixture joins distributions with log weights into the one that has their
// mean and their variance, within and between.
func mixture(parts []gaussian, logWeight []float64) gaussian {
	top := math.Inf(-1)
	for _, l := range logWeight {
		top = math.Max(top, l)
	}
	w := make([]float64, len(parts))
	var sum float64
	for i, l := range logWeight {
		w[i] = math.Exp(l - top)
		sum += w[i]
	}
	out := gaussian{cov: new(covariance)}
	for k := range parts {
		w[k] /= sum
		for i := range out.mean {
			out.mean[i] += w[k] * parts[k].mean[i]
		}
	}
	for k := range parts {
		var off cie.Curve
		for i := range off {
			off[i] = parts[k].mean[i] - out.mean[i]
		}
		for i := range out.cov {
			row, of, by, offs := out.cov[i][i:], parts[k].cov[i][i:], off[i], off[i:]
			for j := range row {
				row[j] += w[k] * (of[j] + by*offs[j])
			}
		}
	}
	out.cov.mirror()
	return out
}

// shapeTerms is how many terms stand for the spread of a spectrum that was not
// scanned. Eight hold over 99.9 % of the variance of a blend's colour.
const shapeTerms = 8

// terms gives the leading error terms of the distribution, ordered by what they
// do to colour: wavelengths count by the eye's sensitivity.
func (g *gaussian) terms() []Term {
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

// quickTerms are the terms to the last few bits, but for their signs, in a
// quarter of the time.
func (g *gaussian) quickTerms() []Term {
	weight := visibility()
	var scaled covariance
	for i := range cie.Points {
		for j := range i + 1 {
			scaled[i][j] = weight[i] * weight[j] * g.cov[i][j]
		}
	}
	pairs, ok := leading(&scaled, shapeTerms)
	if !ok {
		return g.terms()
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

// leastVariance is that of a term that is worth one.
const leastVariance = 1e-14

// shapeTerm is a term from an eigenvalue of the scaled covariance and its vector.
func shapeTerm(value float64, vector *cie.Curve) Term {
	t, sd, weight := Term{Cause: Shape}, math.Sqrt(value), visibility()
	for i := range t.Effect {
		t.Effect[i] = sd * vector[i] / weight[i]
	}
	return t
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

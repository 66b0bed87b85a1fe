package cie

import (
	"errors"
	"math"
	"sync"
)

// Weighting holds the products of an illuminant and an observer on the grid,
// scaled so that Y of the white is 100. It is read-only and safe for concurrent
// use; get one from WeightingFor.
type Weighting struct {
	x, y, z Curve
	white   XYZ
}

type weightingKey struct {
	illuminant Illuminant
	observer   Observer
}

// weightings builds all of them at the first call: 22 of them, in about 2 ms.
var weightings = sync.OnceValue(func() map[weightingKey]*Weighting {
	all := make(map[weightingKey]*Weighting)
	for _, o := range Observers() {
		file := "observer_" + string(o) + "deg.csv"
		xBar, yBar, zBar := column(file, "x_bar"), column(file, "y_bar"), column(file, "z_bar")
		for _, i := range Illuminants() {
			all[weightingKey{i, o}] = weigh(column("illuminants.csv", string(i)), xBar, yBar, zBar)
		}
	}
	return all
})

func weigh(s, xBar, yBar, zBar *Curve) *Weighting {
	var sum float64
	for i := range s {
		sum += s[i] * yBar[i]
	}
	k := 100 / sum
	w := &Weighting{}
	var clear Curve
	for i := range s {
		w.x[i], w.y[i], w.z[i] = k*s[i]*xBar[i], k*s[i]*yBar[i], k*s[i]*zBar[i]
		clear[i] = 1
	}
	w.white = w.XYZ(&clear)
	return w
}

// WeightingFor returns the weighting of that light and observer. It is built
// once and shared.
//
// Errors: ErrIlluminant, ErrObserver, or both.
func WeightingFor(illuminant Illuminant, observer Observer) (*Weighting, error) {
	if err := errors.Join(checkIlluminant(illuminant), checkObserver(observer)); err != nil {
		return nil, err
	}
	return weightings()[weightingKey{illuminant, observer}], nil
}

// White returns XYZ of clear water, the white that L*a*b* refers to: Y is 100
// within rounding. It is the sum over the same table and step as any sample's.
func (w *Weighting) White() XYZ {
	return w.white
}

// XYZ returns the tristimulus values of a liquid that passes the fraction t
// (0-1) of the light at each wavelength. A NaN in t makes the result NaN.
//
// Source: CIE015, 7.1.
func (w *Weighting) XYZ(t *Curve) XYZ {
	var x, y, z float64
	for i, v := range t {
		x += w.x[i] * v
		y += w.y[i] * v
		z += w.z[i] * v
	}
	return XYZ{x, y, z}
}

// AbsorbanceLab returns L*, a* and b*, under the white of w, of a liquid whose
// absorbance for a 10 mm path is a, seen at depthMM millimetres. It allocates
// nothing. NaN in a makes all three NaN; the depth is not checked here, as
// View.Validate does that once for many calls.
//
//	T(λ) = 10^(-a(λ) depthMM/10)
//
// Source: Beer-Lambert; CIE015, 7.1 and 8.2.1.
func (w *Weighting) AbsorbanceLab(a *Curve, depthMM float64) (L, A, B float64) {
	var t Curve
	Transmit(&t, a, depthMM)
	return labOf(w.XYZ(&t), w.white)
}

// AbsorbanceJacobian returns what AbsorbanceLab does and its derivatives:
// j[0][i], j[1][i] and j[2][i] are the changes of L*, a* and b* per unit of
// absorbance (for 10 mm) at wavelength i. It allocates nothing.
//
//	d(L,a,b)/dA(λ) = -ln10 depthMM/10 · T(λ) · d(L,a,b)/d(X,Y,Z) · w(λ)
func (w *Weighting) AbsorbanceJacobian(a *Curve, depthMM float64) (lab [3]float64, j [3]Curve) {
	var t Curve
	Transmit(&t, a, depthMM)
	xyz := w.XYZ(&t)
	lab[0], lab[1], lab[2] = labOf(xyz, w.white)
	d := LabJacobian(xyz, w.white)
	perAbsorbance := -math.Ln10 * depthMM / 10
	for i, v := range t {
		v *= perAbsorbance
		x, y, z := v*w.x[i], v*w.y[i], v*w.z[i]
		j[0][i] = d[0][0]*x + d[0][1]*y + d[0][2]*z
		j[1][i] = d[1][0]*x + d[1][1]*y + d[1][2]*z
		j[2][i] = d[2][0]*x + d[2][1]*y + d[2][2]*z
	}
	return lab, j
}

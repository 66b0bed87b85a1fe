package drift

import "math"

// fit is the movement that lots of one class have in common at one wavelength:
//
//	y = level of the lot + h(t; s + deviation of the lot, k) + noise · u · error
//
// to first order in the deviation, whose standard deviation between lots is
// between. Levels are free; errors count less the larger they are (tune).
//
// Method: generalised least squares by Gauss-Newton steps on s and k, together with
// reweighting and with noise and between re-estimated after every step.
type fit struct {
	*sample
	tune    tune
	free    bool // k is estimated; else it stays
	pooled  bool // between is held at 0
	motion  motion
	noise   float64
	between float64
	weights []float64 // of each point, from 0 to 1
	e, x, z []float64 // y - h, and the derivatives of h by s and k
	sums    []lotSums
}

// lotSums are the weighted means of one lot, and its sums of squares and products
// about them in units of the noise.
type lotSums struct {
	w, e, x, z                 float64
	xx, xz, zz, xe, ze, ee     float64
	delta, shrink              float64 // deviation as estimated; 1/(xx + 1/between²)
	scoreS, scoreK             float64 // of the lot, its deviation taken out
	infoSS, infoSK, infoKK, ss float64
}

func newFit(s *sample, t tune, pooled bool) *fit {
	n := len(s.points)
	f := &fit{sample: s, tune: t, pooled: pooled, motion: motion{scale: s.scale}, weights: make([]float64, n),
		e: make([]float64, n), x: make([]float64, n), z: make([]float64, n), sums: make([]lotSums, s.lots())}
	for i := range f.weights {
		f.weights[i] = 1
	}
	return f
}

// copyOf starts a fit where another ended.
func copyOf(f *fit) *fit {
	c := newFit(f.sample, f.tune, f.pooled)
	c.motion, c.noise, c.between = f.motion, f.noise, f.between
	copy(c.weights, f.weights)
	return c
}

// evaluate sets residuals and derivatives at the present motion.
func (f *fit) evaluate() {
	for i := range f.points {
		p := &f.points[i]
		h, hs, hk := f.motion.at(p.t)
		f.e[i], f.x[i], f.z[i] = p.y-h, hs, hk
	}
}

// gather sums up each lot with the present weights.
func (f *fit) gather() {
	n2 := f.noise * f.noise
	for l := range f.sums {
		var q lotSums
		for i := f.starts[l]; i < f.starts[l+1]; i++ {
			u := f.points[i].u
			w := f.weights[i] / (u * u * n2)
			q.w += w
			q.e += w * f.e[i]
			q.x += w * f.x[i]
			q.z += w * f.z[i]
		}
		q.e, q.x, q.z = q.e/q.w, q.x/q.w, q.z/q.w
		for i := f.starts[l]; i < f.starts[l+1]; i++ {
			u := f.points[i].u
			w := f.weights[i] / (u * u * n2)
			e, x, z := f.e[i]-q.e, f.x[i]-q.x, f.z[i]-q.z
			q.xx += w * x * x
			q.xz += w * x * z
			q.zz += w * z * z
			q.xe += w * x * e
			q.ze += w * z * e
			q.ee += w * e * e
		}
		f.sums[l] = q
	}
}

// absorb takes the deviation of each lot out of its sums.
func (f *fit) absorb() {
	for l := range f.sums {
		q := &f.sums[l]
		q.shrink = 0
		if f.between > 0 {
			q.shrink = 1 / (q.xx + 1/(f.between*f.between))
		}
		q.delta = q.xe * q.shrink
		q.scoreS = q.xe - q.xx*q.delta
		q.scoreK = q.ze - q.xz*q.delta
		q.infoSS = q.xx - q.xx*q.xx*q.shrink
		q.infoSK = q.xz - q.xz*q.xx*q.shrink
		q.infoKK = q.zz - q.xz*q.xz*q.shrink
		q.ss = q.ee - q.xe*q.delta
	}
}

// misfit is the sum of squares that fixed weights leave, in units of the noise.
func (f *fit) misfit() (sum float64) {
	for l := range f.sums {
		sum += f.sums[l].ss
	}
	return sum
}

func (f *fit) parameters() float64 {
	if f.free {
		return 2
	}
	return 1
}

// standardised is the residual of point i of lot l in standard deviations, and the
// share of its own error that it keeps. It is about the lot's own line where the lot
// has readings enough (ownLine), so that its deviation from the others does not count
// as an error of its readings; else about a line drawn to the common one.
func (f *fit) standardised(l, i int) (z, kept float64) {
	q := &f.sums[l]
	delta, shrink := q.delta, q.shrink
	if f.starts[l+1]-f.starts[l] >= ownLine && q.xx > 0 && !f.pooled {
		delta, shrink = q.xe/q.xx, 1/q.xx
	}
	u := f.points[i].u * f.noise
	x := f.x[i] - q.x
	kept = max(1-f.weights[i]/(u*u)*(1/q.w+x*x*shrink), 0.01)
	return (f.e[i] - q.e - delta*x) / (u * math.Sqrt(kept)), kept
}

// leastNoise is the smallest scatter that is believed, as a part of the stated
// uncertainties: less is a matter of rounded digits.
const leastNoise = 0.01

// reweigh sets weights and noise from the residuals, and returns by what part the
// noise changed.
func (f *fit) reweigh() (change float64) {
	var sum, freedom float64
	for l := range f.sums {
		for i := f.starts[l]; i < f.starts[l+1]; i++ {
			z, kept := f.standardised(l, i)
			f.weights[i] = max(f.tune.weight(z), leastWeight)
			sum += kept * min(z*z, f.tune.bound*f.tune.bound)
			freedom += kept
		}
	}
	freedom -= f.parameters()
	if freedom < 0.5 {
		return 0
	}
	next := max(f.noise*math.Sqrt(sum/(f.tune.consistency()*freedom)), leastNoise)
	change = math.Abs(next/f.noise - 1)
	f.noise = next
	return change
}

// solve is the Gauss-Newton step.
func (f *fit) solve() (ds, dk float64) {
	var bs, bk float64
	for l := range f.sums {
		bs += f.sums[l].scoreS
		bk += f.sums[l].scoreK
	}
	a := f.information()
	if !f.free {
		return bs / a[0], 0
	}
	det := a[0]*a[2] - a[1]*a[1]
	if !(det > 1e-12*a[0]*a[2]) {
		return bs / a[0], 0
	}
	return (a[2]*bs - a[1]*bk) / det, (a[0]*bk - a[1]*bs) / det
}

// information of s, of both, and of k.
func (f *fit) information() (a [3]float64) {
	for l := range f.sums {
		q := &f.sums[l]
		a[0] += q.infoSS
		a[1] += q.infoSK
		a[2] += q.infoKK
	}
	return a
}

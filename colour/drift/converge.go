package drift

import "math"

// Settling that is faster than fastest/last is over before it can be seen.
const fastest = 20

const (
	// maxSteps is rarely neared: about 20 suffice unless scatter of readings and
	// differences of lots are hard to tell apart.
	maxSteps = 3000
	// settled is how small the last step is, in standard errors.
	settled = 2e-3
	// steady is by what part noise and between may still move.
	steady = 1e-4
)

// start sets slope, noise and weights by medians. ok is false where no lot has two
// days.
func (f *fit) start() (ok bool) {
	perDay, ok := slope(f.sample, 0, f.lots())
	if !ok {
		return false
	}
	f.motion.s = perDay
	for !f.motion.allowed(f.last()) {
		f.motion.s /= 2
	}
	scatter := make([]float64, 0, len(f.points))
	for l := range f.lots() {
		scatter = append(scatter, f.rough(l, perDay)...)
	}
	f.noise = max(spread(append([]float64(nil), scatter...)), leastNoise)
	for i := range f.weights {
		f.weights[i] = max(f.tune.weight(scatter[i]/f.noise), leastWeight)
	}
	return true
}

// ownLine is how many readings a lot needs for a line of its own from the start: fewer
// cannot tell which of them is off.
const ownLine = 5

// rough are the residuals of a lot about its line by medians, in stated uncertainties;
// about a line with the common slope where it has few readings.
func (f *fit) rough(l int, common float64) []float64 {
	lot := f.lot(l)
	used := 1.0
	if len(lot) >= ownLine {
		if own, ok := slope(f.sample, l, l+1); ok {
			common, used = own, 2
		}
	}
	out := make([]float64, len(lot))
	for i, p := range lot {
		out[i] = p.y - common*p.t
	}
	level := median(append([]float64(nil), out...))
	share := math.Sqrt(float64(len(lot)) / math.Max(float64(len(lot))-used, 1))
	for i, p := range lot {
		out[i] = (out[i] - level) / p.u * share
	}
	return out
}

// converge steps until nothing moves; false where it does not come to that.
func (f *fit) converge() bool {
	last := f.last()
	for range maxSteps {
		f.evaluate()
		f.gather()
		was := f.between
		f.between = f.betweenLots()
		f.absorb()
		change := f.reweigh()
		ds, dk := f.solve()
		a := f.information()
		f.move(ds, dk, last)
		small := math.Abs(ds)*math.Sqrt(a[0]) < settled &&
			(!f.free || math.Abs(dk)*math.Sqrt(a[2]) < settled || f.motion.k == 0 && dk <= 0 || f.motion.k >= fastest/last && dk >= 0)
		if small && change < steady && math.Abs(f.between-was) <= 1e-3*(was+1/math.Sqrt(a[0])) {
			f.evaluate()
			f.gather()
			f.absorb()
			return true
		}
	}
	return false
}

// move goes a step, not further than is safe: k changes by half of itself at most.
func (f *fit) move(ds, dk, last float64) {
	if reach := 0.5 * math.Max(f.motion.k, 0.2/last); math.Abs(dk) > reach {
		shrink := reach / math.Abs(dk)
		ds, dk = ds*shrink, dk*shrink
	}
	next := f.motion
	next.k = math.Min(math.Max(f.motion.k+dk, 0), fastest/last)
	for range 60 {
		next.s = f.motion.s + ds
		if next.allowed(last) {
			f.motion = next
			return
		}
		ds /= 2
	}
}

// at refits s alone for another k, all weights as they are, and returns the misfit.
func (f *fit) at(k float64) (trial *fit, misfit float64) {
	trial = copyOf(f)
	trial.free = false
	trial.motion.k = k
	last := f.last()
	for range 4 {
		trial.evaluate()
		trial.gather()
		trial.absorb()
		ds, _ := trial.solve()
		a := trial.information()
		trial.move(ds, 0, last)
		if math.Abs(ds)*math.Sqrt(a[0]) < 1e-3 {
			break
		}
	}
	trial.evaluate()
	trial.gather()
	trial.absorb()
	misfit = trial.misfit()
	return trial, misfit
}

// betweenLots is the standard deviation of s between lots.
//
// Source: Paule and Mandel, J. Res. Natl. Bur. Stand. 87 (1982) 377, by Newton steps,
// which never pass the root as the excess falls ever more slowly; from memory.
func (f *fit) betweenLots() float64 {
	if f.pooled {
		return 0
	}
	var v float64
	for range 50 {
		excess, slope := f.excess(v)
		if excess <= 0 || !(slope > 0) {
			break
		}
		step := excess / slope
		v += step
		if step < 1e-6*v {
			break
		}
	}
	return math.Sqrt(v)
}

// excess of the lots' scatter over its expectation if s has variance v between them,
// and how fast it falls with v.
func (f *fit) excess(v float64) (excess, slope float64) {
	var sum, mean, n float64
	for l := range f.sums {
		if q := &f.sums[l]; q.xx > 0 {
			w := 1 / (v*q.xx + 1) // times xx: the weight of the lot's slope xe/xx
			sum += w * q.xx
			mean += w * q.xe
			n++
		}
	}
	mean /= sum
	for l := range f.sums {
		if q := &f.sums[l]; q.xx > 0 {
			d := q.xe/q.xx - mean
			w := q.xx / (v*q.xx + 1)
			excess += d * d * w
			slope += d * d * w * w
		}
	}
	return excess - (n - 1), slope
}

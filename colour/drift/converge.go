package drift

import "math"

// Settling that is faster than fastest/last is over before it can be seen.
const fastest = 20

const (
	maxSteps = 200
	// settled is how small the last step is, in standard errors.
	settled = 1e-4
)

// start sets slope, noise and weights by the median of slopes. ok is false where no
// lot has two days.
func (f *fit) start() (ok bool) {
	perDay, ok := f.slope()
	if !ok {
		return false
	}
	f.motion.s = perDay
	for !f.motion.allowed(f.last()) {
		f.motion.s /= 2
	}
	f.evaluate()
	var scatter []float64
	level := make([]float64, 0, 16)
	for l := range f.lots() {
		from, to := f.starts[l], f.starts[l+1]
		level = append(level[:0], f.e[from:to]...)
		m := median(level)
		share := math.Sqrt(float64(to-from) / math.Max(float64(to-from-1), 1))
		for i := from; i < to; i++ {
			scatter = append(scatter, (f.e[i]-m)/f.points[i].u*share)
		}
		f.sums[l].intercept = m
	}
	f.noise = max(spread(scatter), leastNoise)
	for l := range f.lots() {
		for i := f.starts[l]; i < f.starts[l+1]; i++ {
			f.weights[i] = weight((f.e[i]-f.sums[l].intercept)/(f.points[i].u*f.noise), f.clip)
		}
	}
	return true
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
		if small && change < settled && math.Abs(f.between-was) <= 1e-3*(was+1/math.Sqrt(a[0])) {
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
	return trial, trial.misfit()
}

// betweenLots is the standard deviation of s between lots.
//
// Source: Paule and Mandel, J. Res. Natl. Bur. Stand. 87 (1982) 377, from memory.
func (f *fit) betweenLots() float64 {
	if f.pooled {
		return 0
	}
	// excess of the lots' scatter over its expectation for a variance.
	excess := func(v float64) float64 {
		var sum, mean, scatter, n float64
		for l := range f.sums {
			if q := &f.sums[l]; q.xx > 0 {
				w := 1 / (v + 1/q.xx)
				sum += w
				mean += w * q.xe / q.xx
				n++
			}
		}
		mean /= sum
		for l := range f.sums {
			if q := &f.sums[l]; q.xx > 0 {
				d := q.xe/q.xx - mean
				scatter += d * d / (v + 1/q.xx)
			}
		}
		return scatter - (n - 1)
	}
	if excess(0) <= 0 {
		return 0
	}
	hi := 1.0 / f.information0()
	for excess(hi) > 0 {
		hi *= 4
	}
	lo := 0.0
	for range 40 {
		if mid := (lo + hi) / 2; excess(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Sqrt((lo + hi) / 2)
}

// information0 of s where lots do not differ.
func (f *fit) information0() (a float64) {
	for l := range f.sums {
		a += f.sums[l].xx
	}
	return a
}

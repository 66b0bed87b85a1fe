package conform

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"pourpath/colour"
	"pourpath/colour/cie"
)

const (
	// MinLots is the least number of approved lots that an ellipsoid is taken
	// from. With three quantities four would do for arithmetic; at eight the
	// region's axes are already 1.8 times as long as they would be if the
	// scatter were known, and below that they grow without bound. A judgement.
	MinLots = 8
	// fewLots is where the axes are still 1.2 times as long at 95 %.
	fewLots = 20
	// quantities are L*, a* and b*.
	quantities = 3
)

// Ellipsoid is the region in L*a*b* in which one new lot of the same making is
// found with the stated confidence: Hotelling's T² prediction region from
// approved lots,
//
//	T² = (x-m)ᵀ S⁻¹ (x-m) ≤ p(n+1)(n-1)/(n(n-p)) F(confidence; p, n-p), p = 3
//
// with their mean m and covariance S. It holds lots as they were measured: the
// scatter of the measurements is part of S. It takes the lots for a sample of
// independent normal ones.
//
// Source: Hotelling, in: Techniques of statistical analysis, McGraw-Hill, 1947,
// 111; for one new observation, Tracy1992 (both from memory).
type Ellipsoid struct {
	// Mean is the mean colour of the lots in the view that all of them hold for.
	Mean cie.Lab
	// Covariance is that of L*, a*, b* over the lots, in their units squared,
	// with n - 1 in the denominator.
	Covariance [quantities][quantities]float64
	// Lots is their number n, MinLots or more.
	Lots int
	// Confidence is the probability that the next lot falls inside, from 0.5 to
	// 0.9999.
	Confidence float64
}

// EllipsoidOf estimates the region from the colours of approved lots.
//
// Errors: colour.FieldErrors at "lots" for fewer than MinLots and where they lie
// in a plane, so that no volume is left; at "lots/3" for one that is not a
// finite number or holds for another view than the first; at "confidence".
func EllipsoidOf(lots []cie.Lab, confidence float64) (Ellipsoid, error) {
	var faults colour.FieldErrors
	e := Ellipsoid{Lots: len(lots), Confidence: confidence}
	for i, lot := range lots {
		switch field := fmt.Sprintf("lots/%d", i); {
		case !finite(lot.L, lot.A, lot.B):
			faults.Addf(field, nil, "L*, a* and b* must be finite numbers")
		case lot.View != lots[0].View:
			faults.Addf(field, nil, "this lot holds for %v and the first for %v: give all for one view", lot.View, lots[0].View)
		}
	}
	if len(faults) > 0 {
		return e, faults
	}
	if len(lots) >= MinLots {
		e.Mean, e.Covariance = moments(lots)
	}
	e.validate("", &faults)
	return e, faults.Err()
}

// MeanOf is the mean colour of approved lots.
//
// Errors: colour.FieldErrors as EllipsoidOf gives them, and at "lots" for none.
func MeanOf(lots []cie.Lab) (cie.Lab, error) {
	var faults colour.FieldErrors
	if len(lots) == 0 {
		faults.Addf("lots", nil, "there is no lot to take the mean of")
		return cie.Lab{}, faults
	}
	for i, lot := range lots {
		if !finite(lot.L, lot.A, lot.B) || lot.View != lots[0].View {
			faults.Addf(fmt.Sprintf("lots/%d", i), nil, "each lot must have finite values and hold for the first one's view, %v", lots[0].View)
		}
	}
	mean, _ := moments(lots)
	return mean, faults.Err()
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// moments are the mean and the covariance, of two lots or more.
func moments(lots []cie.Lab) (cie.Lab, [quantities][quantities]float64) {
	var mean [quantities]float64
	at := func(l cie.Lab) [quantities]float64 { return [quantities]float64{l.L, l.A, l.B} }
	n := float64(len(lots))
	for _, lot := range lots {
		for i, v := range at(lot) {
			mean[i] += v / n
		}
	}
	var s [quantities][quantities]float64
	for _, lot := range lots {
		x := at(lot)
		for i := range s {
			for j := range s {
				s[i][j] += (x[i] - mean[i]) * (x[j] - mean[j]) / (n - 1)
			}
		}
	}
	return cie.Lab{L: mean[0], A: mean[1], B: mean[2], View: lots[0].View}, s
}

// Limit is the largest T² inside the region at a confidence.
func (e *Ellipsoid) limit(confidence float64) float64 {
	const p = quantities
	n := float64(e.Lots)
	f := distuv.F{D1: p, D2: n - p}.Quantile(confidence)
	return p * (n + 1) * (n - 1) / (n * (n - p)) * f
}

// Limit is the largest T² inside the region, without unit.
func (e Ellipsoid) Limit() float64 { return e.limit(e.Confidence) }

// T2 is Hotelling's T² of a colour in the region's view, 0 or more, without unit.
//
// Errors: those of an Ellipsoid that EllipsoidOf would not give.
func (e Ellipsoid) T2(l cie.Lab) (float64, error) {
	var faults colour.FieldErrors
	e.validate("", &faults)
	if err := faults.Err(); err != nil {
		return math.NaN(), err
	}
	r, _ := e.region()
	return r.t2(l.L, l.A, l.B), nil
}

// region is an ellipsoid ready for many colours: the rows of the inverse of the
// Cholesky factor of its covariance.
type region struct {
	mean    [quantities]float64
	inverse [quantities][quantities]float64
}

// region fails where the covariance is not positive definite, as far as binary
// numbers tell.
func (e *Ellipsoid) region() (*region, bool) {
	r := &region{mean: [quantities]float64{e.Mean.L, e.Mean.A, e.Mean.B}}
	s := mat.NewSymDense(quantities, nil)
	for i := range quantities {
		for j := i; j < quantities; j++ {
			// Scaled to a correlation, so that the units play no part.
			s.SetSym(i, j, e.Covariance[i][j]/math.Sqrt(e.Covariance[i][i]*e.Covariance[j][j]))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(s) || chol.Cond() > 1e8 {
		return nil, false
	}
	var lower mat.TriDense
	chol.LTo(&lower)
	var inverse mat.TriDense
	if err := inverse.InverseTri(&lower); err != nil {
		return nil, false
	}
	for i := range quantities {
		for j := range i + 1 {
			r.inverse[i][j] = inverse.At(i, j) / math.Sqrt(e.Covariance[j][j])
		}
	}
	return r, true
}

func (r *region) t2(l, a, b float64) float64 {
	d := [quantities]float64{l - r.mean[0], a - r.mean[1], b - r.mean[2]}
	var sum float64
	for i := range r.inverse {
		var z float64
		for j := range i + 1 {
			z += r.inverse[i][j] * d[j]
		}
		sum += z * z
	}
	return sum
}

// validate adds the faults of e, which may be nil.
func (e *Ellipsoid) validate(field string, faults *colour.FieldErrors) {
	if e == nil {
		return
	}
	var own colour.FieldErrors
	validateConfidence(e.Confidence, "confidence", &own)
	if e.Lots < MinLots {
		own.Addf("lots", e.Lots, "an ellipsoid in L*, a*, b* needs at least %d approved lots, %d more than these %d; until then give limits or a tolerance", MinLots, MinLots-e.Lots, e.Lots)
	} else if !e.shaped() {
		own.Addf("lots", e.Lots, "the approved lots do not scatter in all of L*, a* and b* (they lie in a plane, on a line or on one another), so they enclose no volume: give lots with more digits, or more lots, or limits instead")
	}
	if field == "" {
		*faults = append(*faults, own...)
		return
	}
	faults.AddUnder(field, own.Err())
}

// shaped reports whether mean and covariance are finite and span a volume.
func (e *Ellipsoid) shaped() bool {
	if !finite(e.Mean.L, e.Mean.A, e.Mean.B) {
		return false
	}
	for i := range e.Covariance {
		if !finite(e.Covariance[i][:]...) || !(e.Covariance[i][i] > 0) {
			return false
		}
		for j := range i {
			if math.Abs(e.Covariance[i][j]-e.Covariance[j][i]) > 1e-9*math.Sqrt(e.Covariance[i][i]*e.Covariance[j][j]) {
				return false
			}
		}
	}
	_, ok := e.region()
	return ok
}

func validateConfidence(c float64, field string, faults *colour.FieldErrors) {
	if !(c >= 0.5 && c <= 0.9999) {
		faults.Addf(field, given(c), "the confidence is a probability from 0.5 to 0.9999; 0.95 or 0.99 is usual")
	}
}

package reports

import (
	"math"

	"pourpath/colour/cie"
	"pourpath/colour/difference"

	"gonum.org/v1/plot/vg/draw"
)

// Region is what a specification allows in the a*b* plane: one or more of its
// parts, all of which hold together.
type Region struct {
	// DeltaE00 is the tolerance about Reference, above 0; 0 for none. Weights are
	// its parametric factors, the zero value 1:1:1.
	DeltaE00  float64
	Weights   difference.Weights
	Reference *cie.Lab // of DeltaE00
	// A and B are the limits of a* and b*, lower first, infinite on an open side;
	// nil for none.
	A, B *[2]float64
	// Ellipsoid is that of the approved lots; nil for none.
	Ellipsoid *EllipsoidRegion
}

// EllipsoidRegion are the colours whose T² from Mean is at most Limit.
type EllipsoidRegion struct {
	Mean       cie.Lab
	Covariance [3][3]float64 // of L*, a*, b*
	Limit      float64       // of T², above 0
}

// outlined is one part of a region on the plane; where it has no points, why says
// so.
type outlined struct {
	words  string
	points [][2]float64
	style  draw.LineStyle
	why    string
}

var (
	boxStyle     = specStyle
	ellipseStyle = dashed(ink, medium, 1.2, 1.6)
)

// outlines are the parts at a lot's own L*, so that it is inside each as it meets
// it.
func (r *Region) outlines(lot cie.Lab, t *Texts) []outlined {
	if r == nil {
		return nil
	}
	var out []outlined
	if r.DeltaE00 > 0 {
		k := r.weights()
		words := Fill(t.Plane.DeltaE, "de", t.plain(r.DeltaE00))
		if !k.Reference() {
			words = Fill(t.Plane.Weights, "part", words, "l", t.plain(k.KL), "c", t.plain(k.KC), "h", t.plain(k.KH))
		}
		c, why := r.Reference, t.Plane.NoReach
		if difference.DeltaE00Weighted(c.L, c.A, c.B, lot.L, c.A, c.B, k) > r.DeltaE00 {
			why = t.Plane.NoMeet
		}
		out = append(out, outlined{words, difference.LocusWeighted(*c, lot.L, r.DeltaE00, locusPoints, k), toleranceStyle, why})
	}
	if r.A != nil || r.B != nil {
		a, b := open, open
		words := t.Plane.LimitsAB
		switch {
		case r.B == nil:
			a, words = *r.A, t.Plane.LimitsA
		case r.A == nil:
			b, words = *r.B, t.Plane.LimitsB
		default:
			a, b = *r.A, *r.B
		}
		out = append(out, outlined{words, [][2]float64{{a[0], b[0]}, {a[1], b[0]}, {a[1], b[1]}, {a[0], b[1]}}, boxStyle, ""})
	}
	if r.Ellipsoid != nil {
		out = append(out, outlined{t.Plane.Ellipsoid, r.Ellipsoid.section(lot.L), ellipseStyle, t.Plane.NoMeet})
	}
	return out
}

var open = [2]float64{math.Inf(-1), math.Inf(1)}

func (r *Region) weights() difference.Weights {
	if r == nil || r.Weights == (difference.Weights{}) {
		return difference.Weights{KL: 1, KC: 1, KH: 1}
	}
	return r.Weights
}

// section is the ellipse in which the plane at an L* meets the ellipsoid; nil
// where it does not. Given L*, a* and b* have the mean and covariance of the
// normal distribution's condition, and what L* uses of T² is no longer theirs.
func (e EllipsoidRegion) section(lightness float64) [][2]float64 {
	s := e.Covariance
	d := lightness - e.Mean.L
	left := e.Limit - d*d/s[0][0]
	if !(left >= 0) {
		return nil
	}
	a, b := e.Mean.A+s[1][0]/s[0][0]*d, e.Mean.B+s[2][0]/s[0][0]*d
	saa := s[1][1] - s[1][0]*s[1][0]/s[0][0]
	sab := s[1][2] - s[1][0]*s[2][0]/s[0][0]
	sbb := s[2][2] - s[2][0]*s[2][0]/s[0][0]
	// The Cholesky factor of that covariance maps a circle to the ellipse.
	p := math.Sqrt(saa)
	q := sab / p
	w := math.Sqrt(math.Max(0, sbb-q*q))
	points := make([][2]float64, locusPoints)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / locusPoints)
		r := math.Sqrt(left)
		points[i] = [2]float64{a + r*p*cos, b + r*(q*cos+w*sin)}
	}
	return points
}

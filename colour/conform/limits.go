package conform

import (
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/cie"
)

func (s Spec) validateLimits(faults *colour.FieldErrors) {
	before := len(*faults)
	validateLimits(s.Limits, "limits/", faults)
	if len(*faults) == before {
		s.validateTogether(faults)
	}
}

func validateLimits(limits map[Quantity][2]float64, under string, faults *colour.FieldErrors) {
	known := Quantities()
	var unknown []Quantity
	for q := range limits {
		if !slices.Contains(known, q) {
			unknown = append(unknown, q)
		}
	}
	slices.Sort(unknown) // a map has no order of its own
	for _, q := range unknown {
		faults.Addf(under+string(q), nil, "unknown quantity: limits may be on %v", known)
	}
	for _, q := range known {
		pair, ok := limits[q]
		if !ok {
			continue
		}
		field, lower, upper := under+string(q), pair[0], pair[1]
		least, most := q.possible()
		switch {
		case math.IsNaN(lower) || math.IsNaN(upper):
			faults.Addf(field, nil, "a limit is not a number")
		case q == Hue && !(lower >= 0 && lower <= 360 && upper >= 0 && upper <= 360):
			faults.Addf(field, givenPair(pair), "hue limits are degrees from 0 to 360; [350, 20] runs through 0")
		case q == Hue:
		case lower > upper:
			faults.Addf(field, givenPair(pair), "the limits contradict each other: the least, %g, is above the most, %g", lower, upper)
		case lower > most || upper < least:
			faults.Addf(field, givenPair(pair), "no wine can meet these limits: %s lies between %g and %g", q, least, most)
		}
	}
}

// validateTogether finds limits that no wine meets together: a chroma that the
// limits on a* and b* leave no room for, and shares that cannot add up to 100 %.
func (s Spec) validateTogether(faults *colour.FieldErrors) {
	if c, ok := s.Limits[Chroma]; ok {
		nearA, farA := distances(s.Limits, A)
		nearB, farB := distances(s.Limits, B)
		least, most := cie.Lab{A: nearA, B: nearB}.Chroma(), cie.Lab{A: farA, B: farB}.Chroma()
		if c[1] < least-edge || c[0] > most+edge {
			faults.Addf("limits/C", givenPair(c), "no wine can meet these limits with those on a* and b*, which make a chroma from %.4g to %.4g", least, most)
		}
	}
	var least, most float64
	for _, q := range []Quantity{Yellow, Red, Blue} {
		pair, ok := s.Limits[q]
		if !ok {
			return
		}
		least, most = least+pair[0], most+pair[1]
	}
	if least > 100+edge || most < 100-edge {
		faults.Addf("limits", nil, "no wine can meet the limits on the shares together: yellow, red and blue add up to 100 %%, and these allow from %.4g to %.4g %%", least, most)
	}
}

// distances are the least and the most of |q| that its limits allow.
func distances(limits map[Quantity][2]float64, q Quantity) (near, far float64) {
	pair, ok := limits[q]
	if !ok {
		return 0, math.Inf(1)
	}
	if pair[0] <= 0 && pair[1] >= 0 {
		return 0, max(-pair[0], pair[1])
	}
	return min(math.Abs(pair[0]), math.Abs(pair[1])), max(math.Abs(pair[0]), math.Abs(pair[1]))
}

package conform

import (
	"fmt"
	"strings"

	"pourpath/colour"
	"pourpath/colour/spectrum"
)

// remedies says what makes an error smaller.
var remedies = map[spectrum.Cause]string{
	spectrum.Reading:  "read more replicates, or in a longer cell so that the absorbances are from 0.3 to 0.7",
	spectrum.Dilution: "read the wine undiluted in a shorter cell",
	spectrum.Shape:    "add readings at 460 and 560 nm, or a scan, to sample and reference alike",
	spectrum.Rounding: "state one more digit",
	spectrum.Dose:     "measure the blend itself instead of computing it from what was poured",
	spectrum.Medium:   "measure the blend itself instead of computing it from its wines",
	spectrum.Learned:  "measure the blend itself instead of computing it from its wines and rungs",
}

func (c *judged) warnings(j *Judgement) []colour.Warning {
	var out []colour.Warning
	if j.CanNeverPass {
		out = append(out, c.neverPasses(j))
	}
	if outside := c.referenceOutside(); len(outside) > 0 {
		out = append(out, colour.Warning{
			Code: "reference_outside_limits",
			Message: fmt.Sprintf("The reference does not meet the specification's own limits: %s. "+
				"A lot that equals the reference would fail; correct one of them.", strings.Join(outside, ", ")),
		})
	}
	if w, ok := c.methodsDiffer(); ok {
		out = append(out, w)
	}
	return out
}

func (c *judged) neverPasses(j *Judgement) colour.Warning {
	message := fmt.Sprintf("No lot measured like this one could pass: even at the best place in the specification the probability of conforming is %.2g, and %.4g is asked for. ",
		j.BestProbability, 1-c.spec.MaxRisk)
	if remedy, ok := remedies[j.DominantCause]; ok {
		message += fmt.Sprintf("Most of the uncertainty is from %s: %s. Otherwise widen the tolerance or the limits, or accept a larger risk.", j.DominantCause, remedy)
	} else {
		message += "Nothing is uncertain here: the parts contradict each other."
	}
	return colour.Warning{Code: "can_never_pass", Message: message}
}

// referenceOutside lists the limits that the reference itself misses.
func (c *judged) referenceOutside() []string {
	r := c.spec.Reference
	if r == nil {
		return nil
	}
	values := map[Quantity]float64{}
	if c.ref != nil {
		var x state
		x[0], x[1], x[2] = c.ref.lab.L, c.ref.lab.A, c.ref.lab.B
		for _, q := range []Quantity{L, A, B, Chroma, Hue} {
			values[q] = q.value(&x)
		}
	}
	switch {
	case r.Intensity != nil:
		values[Intensity], values[Tint] = *r.Intensity, *r.Tint
	case r.Wine != nil:
		ix := r.Wine.Indices()
		values[Intensity], values[Tint] = ix.Intensity, ix.Tint
	}
	var out []string
	for _, p := range c.parts {
		if value, ok := values[p.quantity]; ok && p.quantity != DeltaE00 && !p.met(value) {
			out = append(out, fmt.Sprintf("%s is %.4g, limits %g to %g", p.quantity, value, p.lower, p.upper))
		}
	}
	return out
}

// methodsDiffer warns where a difference is taken between wines read in
// different ways. A colour that was written down as the target is no reading.
func (c *judged) methodsDiffer() (colour.Warning, bool) {
	if c.ref == nil || c.ref.wine == nil || c.spec.Tolerance == 0 {
		return colour.Warning{}, false
	}
	method := func(s *side) (spectrum.Source, string) {
		if s.wine == nil {
			return spectrum.CIELAB, string(spectrum.CIELAB)
		}
		return s.wine.Source, s.wine.Method
	}
	refSource, refMethod := method(c.ref)
	source, own := method(c.sample)
	if refSource == source && refMethod == own {
		return colour.Warning{}, false
	}
	return colour.Warning{
		Code: "methods_differ",
		Message: fmt.Sprintf("The reference was read by %s and the sample by %s, so their errors do not cancel: "+
			"a scanned reference against a lot known by three readings is off by ΔE00 0.5 to 1.4 as a rule and by 1.2 to 3.8 in one case of ten. Read both in the same way.", named(refMethod, refSource), named(own, source)),
	}, true
}

// named is a method in words, its source where it has no name.
func named(method string, source spectrum.Source) string {
	if method == "" {
		return string(source)
	}
	return method
}

package conform

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"pourpath/colour"
	"pourpath/colour/spectrum"
)

// cures say what makes an error smaller.
var cures = map[spectrum.Cause]string{
	spectrum.Reading:  "read more replicates, or in a longer cell so that the absorbances are from 0.3 to 0.7",
	spectrum.Dilution: "read the wine undiluted in a shorter cell",
	spectrum.Shape:    "add readings at 460 and 570 nm, or a scan, to sample and reference alike",
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
	if w, ok := beyondWarning(j.Results); ok {
		out = append(out, w)
	}
	if w, ok := c.notAsExpected(); ok {
		out = append(out, w)
	}
	if w, ok := c.methodsDiffer(); ok {
		out = append(out, w)
	}
	out = append(out, c.converted()...)
	if e := c.spec.Ellipsoid; e != nil && e.Lots < fewLots {
		out = append(out, e.few())
	}
	if w, ok := c.noRemedy(j); ok {
		out = append(out, w)
	}
	return out
}

func beyondWarning(results []Result) (colour.Warning, bool) {
	var beyond []string
	for _, r := range results {
		if r.BeyondWarning {
			beyond = append(beyond, fmt.Sprintf("%s is %.4g, warning limits %g to %g", r.Quantity, r.Value, r.Warning[0], r.Warning[1]))
		}
	}
	return colour.Warning{
		Code:    "beyond_warning",
		Message: "Beyond a warning limit, at face value: " + strings.Join(beyond, "; ") + ". The verdict is by the specification's own limits; look for the cause before a lot misses them.",
	}, len(beyond) > 0
}

// converted tells of a colour that was stated for other conditions than those
// of the judgement.
func (c *judged) converted() []colour.Warning {
	var out []colour.Warning
	for _, s := range []struct {
		name string
		*side
	}{{"sample", c.sample}, {"reference", c.ref}} {
		if s.side == nil || s.stated != nil || s.wine == nil || s.wine.Source != spectrum.CIELAB {
			continue
		}
		out = append(out, colour.Warning{
			Code: "conditions_converted",
			Message: fmt.Sprintf("The L*, a*, b* of the %s are stated for other conditions than the specification's, %v. They were converted through a wine-like spectrum that has them; "+
				"what that leaves open is in the uncertainty. State them for the specification's conditions, or give readings.", s.name, s.lab.View),
		})
	}
	return out
}

// few tells how much the region is widened for want of lots.
func (e *Ellipsoid) few() colour.Warning {
	wide := math.Sqrt(e.Limit() / distuv.ChiSquared{K: quantities}.Quantile(e.Confidence))
	return colour.Warning{
		Code: "few_lots",
		Message: fmt.Sprintf("The region of the approved lots comes from %d of them, so its axes are %.2f times as long as they would be if the scatter were known. "+
			"%d or more make it firm; until then it lets through what a firm one would not.", e.Lots, wide, fewLots),
	}
}

// noRemedy tells that nothing that could be done to the readings would settle an
// open verdict.
func (c *judged) noRemedy(j *Judgement) (colour.Warning, bool) {
	if j.Verdict != Inconclusive || j.CanNeverPass || slices.ContainsFunc(j.Remedies, Remedy.Settles) {
		return colour.Warning{}, false
	}
	return colour.Warning{
		Code: "no_remedy",
		Message: "Nothing that could be done to these readings would settle the verdict if the colour stays where it was found: it lies too near a limit. " +
			"Another sample of the lot, a larger accepted risk or a wider limit can; which of them is right is not a matter of measuring.",
	}, true
}

func (c *judged) neverPasses(j *Judgement) colour.Warning {
	message := fmt.Sprintf("No lot measured like this one could pass: even at the best place in the specification the probability of conforming is %.2g, and %.4g is asked for. ",
		j.BestProbability, 1-c.spec.MaxRisk)
	if remedy, ok := cures[j.DominantCause]; ok {
		message += fmt.Sprintf("Most of the uncertainty is from %s: %s. Otherwise widen the tolerance or the limits, or accept a larger risk.", j.DominantCause, remedy)
	} else {
		message += "Nothing is uncertain here: the parts contradict each other."
	}
	return colour.Warning{Code: "can_never_pass", Message: message}
}

// notAsExpected warns of a lot that was not read as the specification says.
func (c *judged) notAsExpected() (colour.Warning, bool) {
	if c.spec.Setup == nil {
		return colour.Warning{}, false
	}
	own := string(spectrum.CIELAB)
	if w := c.sample.wine; w != nil && c.sample.stated == nil {
		own = named(w.Method, w.Source)
	}
	want := c.spec.Setup.method()
	return colour.Warning{
		Code:    "method_not_expected",
		Message: fmt.Sprintf("The specification expects lots to be read by %s, and this one was read by %s. It is judged with the errors of its own method; read it as the specification says.", want, own),
	}, own != want
}

// methodsDiffer warns where a difference is taken between wines read in
// different ways. A colour that was written down as the target is no reading.
func (c *judged) methodsDiffer() (colour.Warning, bool) {
	if c.ref == nil || c.ref.wine == nil || c.spec.Tolerance == 0 && c.spec.ToleranceAB == 0 {
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

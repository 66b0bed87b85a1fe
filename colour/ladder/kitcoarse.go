package ladder

import (
	"fmt"
	"math"
	"strings"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
)

// tooCoarse says why no option fits, by how much the best one misses, and what
// would do: colour errors go nearly with the volume's error over the base.
func (k Kit) tooCoarse(path *blend.Path, v cie.View, options []Option) (colour.Warning, error) {
	w := colour.Warning{Code: "kit_too_coarse"}
	if len(options) == 0 {
		w.Message = fmt.Sprintf("No tool at hand can pour a first rung of %.3g and a last one of %.3g mL per 100 mL of base into any of the sample volumes: take a tool with a finer scale or a larger capacity, or more base.",
			float64(k.Smallest), float64(k.Largest))
		return w, nil
	}
	o := options[0]
	factor := o.worst() / k.VisibleStep
	var helps []string
	more := roundUp(1.05 * factor * o.BaseML)
	if larger, ok, err := k.option(path, v, o.Tool, more); err != nil {
		return w, err
	} else if ok && larger.Fits {
		helps = append(helps, fmt.Sprintf("%.4g mL of base per glass", more))
	}
	if o.GraduationDeltaE00 >= k.VisibleStep {
		helps = append(helps, fmt.Sprintf("a graduation of %.4g mL or finer", roundDown(o.Tool.StepML()*k.VisibleStep/o.GraduationDeltaE00)))
	}
	if o.LimitDeltaE00 >= k.VisibleStep {
		helps = append(helps, fmt.Sprintf("a tool that is within ±%.2g %% at %.4g mL", o.LimitPercent*k.VisibleStep/o.LimitDeltaE00, o.SmallestML))
	}
	w.Message = fmt.Sprintf("The kit cannot keep its errors below the visible step of ΔE00 %g. Best is the %v into %.4g mL of base: one graduation of %g mL changes the colour by up to ΔE00 %.2g; %.4g mL poured with it is ±%.2g %%, and its permissible error makes up to ΔE00 %.2g. That is %.2g times the step. What would do: %s.",
		k.VisibleStep, o.Tool, o.BaseML, o.Tool.StepML(), o.GraduationDeltaE00, o.SmallestML, o.LimitPercent, o.LimitDeltaE00, factor, strings.Join(helps, ", or "))
	return w, nil
}

// roundUp rounds to two digits upwards.
func roundUp(v float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(v))-1)
	return math.Ceil(v/unit-1e-9) * unit
}

// roundDown rounds to one digit downwards.
func roundDown(v float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(v)))
	return math.Floor(v/unit+1e-9) * unit
}

// Validate returns every fault of the kit at once: see Propose.
func (k Kit) Validate() error {
	var faults colour.FieldErrors
	if len(k.Tools) == 0 {
		faults.Addf("tools", nil, "say which measuring tools are at hand, one at least")
	}
	for i, t := range k.Tools {
		faults.AddUnder(fmt.Sprintf("tools/%d", i), t.Validate())
	}
	if len(k.BaseML) == 0 {
		faults.Addf("base_ml", nil, "say which volumes of base per glass would do, one at least; 100 mL is usual")
	}
	for i, ml := range k.BaseML {
		if !(ml > 0 && ml <= 100000) {
			faults.Addf(fmt.Sprintf("base_ml/%d", i), finite(ml), "the base in each glass must be above 0 and at most 100000 mL; 100 mL is usual")
		}
	}
	if !(k.Smallest > 0 && k.Smallest <= blend.MaxDose) {
		faults.Addf("smallest", finite(float64(k.Smallest)), "the first rung is a dose above 0 and at most %g mL per 100 mL of base", float64(blend.MaxDose))
	}
	if !(k.Largest > 0 && k.Largest <= blend.MaxDose) {
		faults.Addf("largest", finite(float64(k.Largest)), "the last rung is a dose above 0 and at most %g mL per 100 mL of base", float64(blend.MaxDose))
	} else if k.Largest < k.Smallest {
		faults.Addf("largest", float64(k.Largest), "the last rung is below the first (%g mL per 100 mL)", float64(k.Smallest))
	}
	if !(k.VisibleStep >= 0 && k.VisibleStep <= 100) {
		faults.Addf("visible_step", finite(k.VisibleStep), "the visible step is a ΔE00 above 0 and at most 100; 1 is usual side by side, 0 or left out for it")
	}
	return faults.Err()
}

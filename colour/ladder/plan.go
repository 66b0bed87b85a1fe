package ladder

import (
	"math"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
)

// Plan asks for a ladder without naming its doses: either even steps (StepML)
// or equally visible ones (VisibleStep with GraduationML). Unused fields are 0.
type Plan struct {
	FromML, ToML float64 // the first and last dose in a glass, in mL
	StepML       float64 // between rungs
	VisibleStep  float64 // ΔE00 between rungs
	GraduationML float64 // of the measuring tool: doses are multiples of it
}

// Validate returns colour.FieldErrors on "plan/..." and "plan", or nil.
func (p Plan) Validate() error {
	var faults colour.FieldErrors
	positive := func(field string, v float64) bool {
		if v != 0 && !(v > 0 && v < math.Inf(1)) {
			faults.Addf(field, finite(v), "it must be above 0")
			return false
		}
		return true
	}
	if !(p.FromML >= 0 && p.FromML < math.Inf(1)) {
		faults.Addf("plan/from_ml", finite(p.FromML), "the first dose is 0 mL or more")
	}
	if !(p.ToML > 0 && p.ToML < math.Inf(1)) {
		faults.Addf("plan/to_ml", finite(p.ToML), "the last dose, in mL in a glass, must be above 0")
	} else if p.ToML < p.FromML {
		faults.Addf("plan/to_ml", p.ToML, "the last dose is below the first (%g mL)", p.FromML)
	}
	ok := positive("plan/step_ml", p.StepML) && positive("plan/visible_step", p.VisibleStep) && positive("plan/graduation_ml", p.GraduationML)
	if ok {
		p.validateKind(&faults)
	}
	if len(faults) == 0 {
		unit, field := p.StepML, "plan/step_ml"
		if unit == 0 {
			unit, field = p.GraduationML, "plan/graduation_ml"
		}
		if (p.ToML-p.FromML)/unit >= MaxRungs {
			faults.Addf(field, unit, "from %g to %g mL in steps of %g mL is more than %d rungs", p.FromML, p.ToML, unit, MaxRungs)
		}
	}
	return faults.Err()
}

// DosesML lists the doses of the plan, ascending, in mL into baseML of base.
// Visible steps are counted along the path of colours in view v, rounded to the
// tool's graduation: steps are within half a graduation of equal, and where one
// graduation is more visible than the step every graduation is a rung. The base
// (or the first dose) is always the first rung and the last dose the last.
//
// Errors: colour.FieldErrors as Validate, and on "base_ml".
func (p Plan) DosesML(path *blend.Path, baseML float64, v cie.View) ([]float64, error) {
	var faults colour.FieldErrors
	checkBase(baseML, &faults)
	if len(faults) > 0 {
		return nil, faults
	}
	if err := p.Validate(); err != nil {
		return nil, err
	}
	if p.StepML > 0 {
		return p.even(), nil
	}
	return p.visible(path, baseML, v)
}

// validateKind finds out whether even or visible steps are meant.
func (p Plan) validateKind(faults *colour.FieldErrors) {
	switch {
	case p.StepML > 0 && (p.VisibleStep > 0 || p.GraduationML > 0):
		faults.Addf("plan", nil, "give either step_ml, or visible_step with graduation_ml")
	case p.StepML == 0 && p.VisibleStep == 0:
		faults.Addf("plan", nil, "give step_ml for even steps, or visible_step (a ΔE00, such as 1.0) with graduation_ml for equally visible ones")
	case p.VisibleStep > 0 && p.GraduationML == 0:
		faults.Addf("plan/graduation_ml", nil, "visible steps need the graduation of the measuring tool in mL, such as 0.5")
	}
}

func (p Plan) even() []float64 {
	n := int(math.Floor((p.ToML-p.FromML)/p.StepML + 1e-9))
	out := make([]float64, 0, n+2)
	for i := 0; i <= n; i++ {
		out = append(out, tidy(p.FromML+float64(i)*p.StepML))
	}
	if p.ToML-out[n] > 1e-9*p.ToML {
		out = append(out, p.ToML)
	}
	return out
}

// tidy takes the last binary digits off a decimal dose: 0.30000000000000004.
func tidy(ml float64) float64 { return math.Round(ml*1e9) / 1e9 }

func (p Plan) visible(path *blend.Path, baseML float64, v cie.View) ([]float64, error) {
	first := math.Max(math.Ceil(p.FromML/p.GraduationML-1e-9), 0) // never -0
	last := math.Floor(p.ToML/p.GraduationML + 1e-9)
	if last <= first {
		return []float64{tidy(first * p.GraduationML)}, nil
	}
	doses := make([]blend.Dose, int(last-first)+1)
	for i := range doses {
		doses[i] = blend.DoseOf((first+float64(i))*p.GraduationML, baseML)
	}
	colours, err := path.Colours(doses, v)
	if err != nil {
		return nil, err
	}
	// Along the path the visible length is summed graduation by graduation.
	length := make([]float64, len(doses))
	for i := 1; i < len(doses); i++ {
		d, err := difference.CIEDE2000(colours[i-1].Lab, colours[i].Lab)
		if err != nil {
			return nil, err
		}
		length[i] = length[i-1] + d
	}
	total := length[len(length)-1]
	// More steps than graduations are never wanted, however fine the eye.
	steps := int(math.Min(math.Max(math.Round(total/p.VisibleStep), 1), float64(20*len(length))))
	out := []float64{tidy(first * p.GraduationML)}
	at := 0
	for k := 1; k <= steps; k++ {
		want := total * float64(k) / float64(steps)
		i := at
		for i < len(length)-1 && math.Abs(length[i+1]-want) <= math.Abs(length[i]-want) {
			i++
		}
		if i > at {
			out = append(out, tidy((first+float64(i))*p.GraduationML))
			at = i
		}
	}
	return out, nil
}

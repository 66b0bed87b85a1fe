package volumetric

import (
	"fmt"
	"math"
	"strings"

	"pourpath/colour"
)

// slack is the part of a graduation by which a volume may be off a line before
// it counts as between two: the rounding of decimal fractions.
const slack = 1e-6

// How far off the level of a full kitchen measure may be, as a part of its
// capacity: about 1 mm over its mouth. A judgement, no source.
const (
	spoonLevel = 0.10
	cupLevel   = 0.03
)

// Pour is one volume that was measured with a tool, with standard uncertainties
// (k = 1) in mL.
type Pour struct {
	Tool     Tool
	VolumeML float64
	BiasU    float64 // of the tool's own error, which all pours with the tool share
	ReadingU float64 // of the reading, which is this pour's own
}

// U is the standard uncertainty of the pour by itself, in mL.
func (p Pour) U() float64 { return math.Hypot(p.BiasU, p.ReadingU) }

// Pour measures volumeML with the tool in one go.
//
// Errors: colour.FieldErrors as Validate, and at "volume_ml" for a volume that is
// not above 0, larger than the tool, below its first graduation or between two,
// with what would be right.
func (t Tool) Pour(volumeML float64) (Pour, error) {
	if err := t.Validate(); err != nil {
		return Pour{}, err
	}
	if volumeML > t.CapacityML*(1+slack) && !math.IsInf(volumeML, 1) {
		return Pour{}, volumeFault(volumeML, "the %s holds %g mL, not %g: pour it in %d parts, or take a tool of %g mL or more",
			t, t.CapacityML, volumeML, t.fills(volumeML), volumeML)
	}
	if err := t.checkStep(volumeML); err != nil {
		return Pour{}, err
	}
	return Pour{Tool: t, VolumeML: volumeML, BiasU: t.biasU(volumeML), ReadingU: t.readingU()}, nil
}

// Fill measures volumeML with the tool in as few pours as it takes: full ones
// and the rest. 13 mL with a 10 mL syringe is 10 and 3 mL.
//
// Errors: as Pour, but a volume may be larger than the tool, up to 20 times.
func (t Tool) Fill(volumeML float64) ([]Pour, error) {
	const most = 20
	if err := t.Validate(); err != nil {
		return nil, err
	}
	if err := t.checkStep(volumeML); err != nil {
		return nil, err
	}
	full := t.largestOnStep()
	if volumeML > most*full*(1+slack) {
		return nil, volumeFault(volumeML, "%.6g mL would take more than %d pours of the %s: take a tool of %.4g mL or more", volumeML, most, t, volumeML/most)
	}
	var out []Pour
	for rest := volumeML; len(out) == 0 || rest > slack*t.StepML(); {
		p, err := t.Pour(tidy(math.Min(rest, full)))
		if err != nil {
			return nil, err
		}
		out = append(out, p)
		rest -= p.VolumeML
	}
	return out, nil
}

// Round is volumeML rounded to the tool's graduation, in mL; halves go up. It may
// be 0, and more than the tool holds. Where the tool has but one mark it is a
// whole number of fills.
func (t Tool) Round(volumeML float64) float64 {
	return tidy(math.Floor(volumeML/t.StepML()+0.5+slack) * t.StepML())
}

// checkStep returns a fault unless the volume lies on the tool's scale, however
// often the scale would have to be filled.
func (t Tool) checkStep(volumeML float64) error {
	step := t.StepML()
	switch {
	case !(volumeML > 0 && !math.IsInf(volumeML, 1)):
		return volumeFault(volumeML, "a pour is a volume above 0 mL")
	case t.onStep(volumeML):
		return nil
	case t.GraduationML == 0:
		return volumeFault(volumeML, "the %s measures %g mL and no part of it: take a tool with a scale for %.6g mL", t, t.CapacityML, volumeML)
	case volumeML < step:
		return volumeFault(volumeML, "%.6g mL is below the first graduation of the %s: pour %g mL or more, take a finer tool, or take more base", volumeML, t, step)
	}
	low := math.Floor(volumeML / step)
	return volumeFault(volumeML, "%.6g mL is between two graduations of the %s: pour %g or %g mL", volumeML, t, tidy(low*step), tidy((low+1)*step))
}

func volumeFault(volumeML float64, format string, args ...any) error {
	var faults colour.FieldErrors
	faults.Addf("volume_ml", finite(volumeML), format, args...)
	return faults
}

func (t Tool) onStep(volumeML float64) bool {
	n := math.Round(volumeML / t.StepML())
	return n >= 1 && math.Abs(volumeML/t.StepML()-n) <= slack*math.Max(1, n)
}

// largestOnStep is the last line of the scale.
func (t Tool) largestOnStep() float64 {
	return tidy(math.Floor(t.CapacityML/t.StepML()*(1+slack)) * t.StepML())
}

func (t Tool) fills(volumeML float64) int {
	return int(math.Ceil(volumeML / t.largestOnStep() * (1 - slack)))
}

// biasU is a/√6 for glass of a class, else a/√3: see the package's comment.
func (t Tool) biasU(volumeML float64) float64 {
	if t.Class == NoClass {
		return t.LimitML(volumeML) / math.Sqrt(3)
	}
	return t.LimitML(volumeML) / math.Sqrt(6)
}

// readingU is g/√12. For a pipette with one mark the meniscus is taken to be set
// within the limit of class A, near the line more likely than at the limit: a/√6,
// a judgement, no source.
func (t Tool) readingU() float64 {
	switch t.Kind {
	case Spoon:
		return spoonLevel * t.CapacityML / math.Sqrt(3)
	case Cup:
		return cupLevel * t.CapacityML / math.Sqrt(3)
	case VolumetricPipette:
		row, _ := t.row(ClassA)
		return row.limitML / math.Sqrt(6)
	}
	return t.GraduationML / math.Sqrt(12)
}

// Spell lists the volumes of pours for a person: "10 + 3 mL".
func Spell(pours []Pour) string {
	parts := make([]string, len(pours))
	for i, p := range pours {
		parts[i] = fmt.Sprintf("%.6g", p.VolumeML)
	}
	return strings.Join(parts, " + ") + " mL"
}

// tidy takes the last binary digits off a decimal volume: 0.30000000000000004.
func tidy(ml float64) float64 { return math.Round(ml*1e9) / 1e9 }

package volumetric

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pourpath/colour"
)

// Kind is the sort of a measuring tool.
type Kind string

// The kinds of tool that there are limits for.
const (
	Cylinder          Kind = "cylinder"           // measuring cylinder
	GraduatedPipette  Kind = "graduated_pipette"  // with a scale
	VolumetricPipette Kind = "volumetric_pipette" // with one mark
	Syringe           Kind = "syringe"            // with a scale, no needle needed
	Spoon             Kind = "spoon"              // kitchen measure, filled level
	Cup               Kind = "cup"                // kitchen measure, filled level or to a mark
)

// Kinds returns all kinds. The caller owns the slice.
func Kinds() []Kind {
	return []Kind{Cylinder, GraduatedPipette, VolumetricPipette, Syringe, Spoon, Cup}
}

// words is how a kind is called in a sentence.
func (k Kind) words() string { return strings.ReplaceAll(string(k), "_", " ") }

// graduated says whether tools of the kind must have a scale.
func (k Kind) graduated() bool { return k == Cylinder || k == GraduatedPipette || k == Syringe }

// classed says whether standards put tools of the kind into classes.
func (k Kind) classed() bool {
	return k == Cylinder || k == GraduatedPipette || k == VolumetricPipette
}

// Class is the accuracy class that a piece of glass is made to.
type Class string

// The classes. A tool that has none printed on it has NoClass.
const (
	ClassA  Class = "A" // also AS, which drains faster with the same limits
	ClassB  Class = "B"
	NoClass Class = ""
)

// Tool is one measuring tool. It is comparable: pours with equal tools share the
// tool's error, so two syringes of one make are told apart by their names, or
// counted as one, which is the cautious way. The zero Tool stands for a tool that
// is not stated.
type Tool struct {
	Name         string  // what it is called at this bench; may be empty
	Kind         Kind    //
	CapacityML   float64 // nominal capacity, above 0
	GraduationML float64 // between two lines of the scale; 0 where there is but one mark or the brim
	Class        Class   // of glass; NoClass for all else
}

// The largest capacities, in mL, of kinds whose limits come from a formula.
const (
	largestSyringe = 100
	largestSpoon   = 50
	largestCup     = 1000
)

// maxGraduations is more lines than any scale has: above it the graduation is
// in another unit than the capacity.
const maxGraduations = 1000

// Validate returns every fault of t at once, as colour.FieldErrors at "kind",
// "capacity_ml", "graduation_ml" and "class", or nil.
func (t Tool) Validate() error {
	var faults colour.FieldErrors
	if !slices.Contains(Kinds(), t.Kind) {
		faults.Addf("kind", string(t.Kind), "a tool is one of %s", list(Kinds()))
		return faults
	}
	largest := t.Kind.largestML()
	capacityOK := t.CapacityML > 0 && t.CapacityML <= largest
	if !capacityOK {
		faults.Addf("capacity_ml", finite(t.CapacityML), "the capacity of a %s is above 0 and at most %g mL", t.Kind.words(), largest)
	}
	t.checkGraduation(capacityOK, &faults)
	switch {
	case t.Class != ClassA && t.Class != ClassB && t.Class != NoClass:
		faults.Addf("class", string(t.Class), "the class is A (AS too) or B, or is left out where none is printed on the tool")
	case t.Class != NoClass && !t.Kind.classed():
		faults.Addf("class", string(t.Class), "a %s has no class: leave it out", t.Kind.words())
	}
	return faults.Err()
}

func (t Tool) checkGraduation(capacityOK bool, faults *colour.FieldErrors) {
	g := t.GraduationML
	switch {
	case !t.Kind.graduated() && t.Kind != Cup:
		if g != 0 {
			faults.Addf("graduation_ml", finite(g), "a %s has no scale: leave the graduation out", t.Kind.words())
		}
	case g == 0 && t.Kind == Cup:
	case !(g > 0 && !math.IsInf(g, 1)):
		faults.Addf("graduation_ml", finite(g), "a %s needs its graduation, the volume between two lines of its scale, above 0 mL%s", t.Kind.words(), t.usual())
	case !capacityOK:
	case t.CapacityML < 2*g*(1-slack):
		faults.Addf("graduation_ml", g, "a scale of %g mL in steps of %g mL has no line but the last%s", t.CapacityML, g, t.usual())
	case t.CapacityML > maxGraduations*g:
		faults.Addf("graduation_ml", g, "a scale of %g mL in steps of %g mL has more than %d lines: is the graduation in mL too%s", t.CapacityML, g, maxGraduations, t.usual())
	}
}

// usual names the graduations that the tables have for such a tool.
func (t Tool) usual() string {
	if row, ok := t.row(ClassB); ok && len(row.graduations) > 0 {
		return fmt.Sprintf("; %s mL is usual for %g mL", strings.Join(row.graduations, " or "), row.capacityML)
	}
	return ""
}

// String describes the tool: by its name, else such as "10 mL class B cylinder".
func (t Tool) String() string {
	switch {
	case t.Name != "":
		return t.Name
	case t.Kind == "":
		return "tool that is not stated"
	case t.Class == NoClass:
		return fmt.Sprintf("%.4g mL %s", t.CapacityML, t.Kind.words())
	}
	return fmt.Sprintf("%.4g mL class %s %s", t.CapacityML, t.Class, t.Kind.words())
}

// StepML is the least volume by which two pours with the tool can differ, in mL:
// its graduation, or where it has but one mark its capacity. It is also the
// smallest volume that the tool measures.
func (t Tool) StepML() float64 {
	if t.GraduationML > 0 {
		return t.GraduationML
	}
	return t.CapacityML
}

func list[T ~string](all []T) string {
	out := make([]string, len(all))
	for i, one := range all {
		out[i] = string(one)
	}
	return strings.Join(out, ", ")
}

// finite is v as a fault may carry it: JSON has no NaN and no infinity.
func finite(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return v
}

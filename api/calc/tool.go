package calc

import (
	"fmt"
	"strings"

	"pourpath/colour/volumetric"
)

// Tool is a measuring tool at the bench: glass or a syringe by its kind, capacity
// and graduation, or a kitchen measure by its name and country.
type Tool struct {
	Name         string  `json:"name,omitempty" maxLength:"100" doc:"What it is called at this bench, which is how a pour names it. Where left out it is called by what it is, such as 10 mL class B cylinder. Two tools of one kind need names of their own."`
	Kind         string  `json:"kind,omitempty" enum:"cylinder,graduated_pipette,volumetric_pipette,syringe,spoon,cup" doc:"What it is. Left out for a kitchen measure that is given by its name."`
	CapacityML   float64 `json:"capacity_ml,omitempty" exclusiveMinimum:"0" maximum:"100000" doc:"What it holds, in mL."`
	GraduationML float64 `json:"graduation_ml,omitempty" exclusiveMinimum:"0" maximum:"100000" doc:"Volume between two lines of its scale, in mL; left out where it has but one mark or the brim."`
	Class        string  `json:"class,omitempty" enum:"A,B" doc:"Accuracy class of glass, where one is printed on it (AS counts as A)."`
	Measure      string  `json:"measure,omitempty" maxLength:"100" doc:"Instead of kind and capacity: a kitchen measure (teaspoon, tablespoon, cup, fifth of a cup), filled level. A tool with a name alone is taken for the measure of that name."`
	Country      string  `json:"country,omitempty" maxLength:"2" doc:"With a kitchen measure: the country's two letters (ISO 3166), where its measures differ: AU, US."`
}

// Whole returns the tool with all that is known of it: a kitchen measure has its
// kind and capacity, and every tool a name. Faults are named below pointer.
func (t Tool) Whole(pointer string, f *Faults) (Tool, bool) {
	out := t
	out.Name = strings.TrimSpace(t.Name)
	if t.Kind == "" && t.Measure == "" {
		out.Measure = out.Name
	}
	if out.Measure != "" {
		m, err := volumetric.KitchenMeasure(out.Measure, t.Country)
		if err != nil {
			if t.Measure == "" {
				f.Addf(pointer+"/kind", nil, "say what the tool is: kind and capacity_ml, or the measure and country of a kitchen measure")
				return out, false
			}
			f.Add(pointer, err)
			return out, false
		}
		if !t.agrees(m) {
			f.Addf(pointer+"/measure", t.Measure, "a %s is a %s of %g mL: leave out kind, capacity_ml, graduation_ml and class, or leave out the measure", m.Name, m.Kind, m.ML)
			return out, false
		}
		out.Kind, out.CapacityML = string(m.Kind), m.ML
		if out.Name == "" {
			out.Name = m.Tool().Name
		}
	} else if t.Country != "" {
		f.Addf(pointer+"/country", t.Country, "a country goes with a kitchen measure: give the measure, or leave it out")
		return out, false
	}
	core := out.Core()
	if err := core.Validate(); err != nil {
		f.Add(pointer, err)
		return out, false
	}
	out.Name = core.String()
	return out, true
}

// agrees says whether what else is told of a kitchen measure is what it is.
func (t Tool) agrees(m volumetric.Measure) bool {
	return (t.Kind == "" || t.Kind == string(m.Kind)) && (t.CapacityML == 0 || t.CapacityML == m.ML) && t.GraduationML == 0 && t.Class == ""
}

// Core is the tool as the science has it. The tool must be whole.
func (t Tool) Core() volumetric.Tool {
	return volumetric.Tool{
		Name: t.Name, Kind: volumetric.Kind(t.Kind), CapacityML: t.CapacityML, GraduationML: t.GraduationML, Class: volumetric.Class(t.Class),
	}
}

// Warnings says where the tool may be another than it is taken for.
func (t Tool) Warnings() []Warning {
	if t.Measure == "" {
		return nil
	}
	m, err := volumetric.KitchenMeasure(t.Measure, t.Country)
	if err != nil {
		return nil // whoever takes tools in says what is wrong with them
	}
	return warningsOf(m.Warnings)
}

// WholeTools returns tools with all that is known of them, and the faults of
// those that are none, below pointer.
func WholeTools(pointer string, list []Tool, f *Faults) []Tool {
	out := make([]Tool, 0, len(list))
	seen := map[string]int{}
	for i, t := range list {
		place := fmt.Sprintf("%s/%d", pointer, i)
		whole, ok := t.Whole(place, f)
		if !ok {
			continue
		}
		name := strings.ToLower(whole.Name)
		if first, twice := seen[name]; twice {
			f.Addf(place+"/name", t.Name, "the tools %d and %d are both called %q: give each a name of its own, as each has its own error", first+1, i+1, whole.Name)
			continue
		}
		seen[name] = i
		out = append(out, whole)
	}
	return out
}

// ToolNamed finds a tool by its name, whatever the case; ok is false where there
// is none, or no name.
func ToolNamed(list []Tool, name string) (t Tool, ok bool) {
	name = strings.TrimSpace(name)
	for _, known := range list {
		if name != "" && strings.EqualFold(known.Name, name) {
			return known, true
		}
	}
	return t, false
}

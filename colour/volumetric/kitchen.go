package volumetric

import (
	"fmt"
	"slices"
	"strings"

	"pourpath/colour"
)

// Measure is a kitchen measure as a country has it, filled level.
type Measure struct {
	Name    string  // "tablespoon"
	Country string  // ISO 3166 code of the country it holds for, or empty for the rest of the world
	Kind    Kind    // Spoon or Cup
	ML      float64 // what it holds
	// Warnings has the code measure_differs where no country was named and one
	// has another measure of that name.
	Warnings []colour.Warning
}

var kitchen = readKitchen()

// Measures returns all kitchen measures, without warnings. The caller owns the
// slice.
//
// Sources: tables/kitchen.csv.
func Measures() []Measure { return slices.Clone(kitchen) }

// KitchenMeasure finds a measure by its name, whatever its case, for a country (ISO 3166, two
// letters): that country's own, else the one of the rest of the world, which an
// empty country asks for.
//
// Errors: colour.FieldErrors at "measure" and "country".
func KitchenMeasure(name, country string) (Measure, error) {
	var faults colour.FieldErrors
	if len(country) != 0 && (len(country) != 2 || strings.ToUpper(country) != country) {
		faults.Addf("country", country, "a country is its two letters, such as AU or US, or is left out")
	}
	var found *Measure
	var others []string
	var names []string
	for i, m := range kitchen {
		if m.Country == "" {
			names = append(names, m.Name)
		}
		if !strings.EqualFold(m.Name, strings.TrimSpace(name)) {
			continue
		}
		if m.Country == country || (m.Country == "" && found == nil) {
			found = &kitchen[i]
		}
		if m.Country != "" {
			others = append(others, fmt.Sprintf("%.3g mL in %s", m.ML, m.Country))
		}
	}
	if found == nil {
		faults.Addf("measure", name, "a kitchen measure is one of %s", strings.Join(names, ", "))
	}
	if err := faults.Err(); err != nil {
		return Measure{}, err
	}
	m := *found
	if country == "" && len(others) > 0 {
		m.Warnings = []colour.Warning{{Code: "measure_differs", Message: fmt.Sprintf(
			"A %s is taken to hold %g mL; it is %s. Say the country, or measure what yours holds.", m.Name, m.ML, strings.Join(others, " and "))}}
	}
	return m, nil
}

// Tool is the measure as a tool that is filled level.
func (m Measure) Tool() Tool {
	name := m.Name
	if m.Country != "" {
		name += " (" + m.Country + ")"
	}
	return Tool{Name: name, Kind: m.Kind, CapacityML: m.ML}
}

func readKitchen() []Measure {
	var out []Measure
	for _, r := range rows("kitchen.csv") {
		m := Measure{Name: r[0], Country: r[1], Kind: Kind(r[2])}
		if over, under, ok := strings.Cut(r[4], "/"); ok {
			m.ML = USFluidOunceML * number(over) / number(under)
		} else {
			m.ML = number(r[3])
		}
		out = append(out, m)
	}
	return out
}

package record

import (
	"fmt"
	"math"
	"strings"

	"pourpath/api/calc"
)

// State is the state of a wine that its colour depends on and no spectrum shows.
// It is recorded; no colour is computed with it.
type State struct {
	FreeSO2      *float64 `json:"free_so2_mg_per_l,omitempty" minimum:"0" maximum:"1000" doc:"Free sulphur dioxide in mg/L. It bleaches part of the pigment, reversibly."`
	TotalSO2     *float64 `json:"total_so2_mg_per_l,omitempty" minimum:"0" maximum:"1000" doc:"Total sulphur dioxide in mg/L."`
	Filtered     *bool    `json:"filtered,omitempty" doc:"Whether it was filtered: haze reads as absorbance at every wavelength."`
	CO2          *float64 `json:"co2_mg_per_l,omitempty" minimum:"0" maximum:"20000" doc:"Dissolved carbon dioxide in mg/L. Bubbles in the cell read as absorbance."`
	Temperature  *float64 `json:"wine_temperature_c,omitempty" minimum:"-10" maximum:"60" doc:"Temperature of the wine when it was drawn, in °C."`
	Acetaldehyde *bool    `json:"acetaldehyde_added,omitempty" doc:"Whether excess acetaldehyde was added before reading, so that sulphur dioxide bleaches nothing: such readings compare pigment where the sulphur dioxide differs, not the colour in the bottle."`
}

func (s *State) check(place string, f *calc.Faults) {
	if s == nil || s.FreeSO2 == nil || s.TotalSO2 == nil || *s.FreeSO2 <= *s.TotalSO2 {
		return
	}
	f.Addf(place+"/free_so2_mg_per_l", *s.FreeSO2, "the free sulphur dioxide is above the total of %g mg/L: the free is part of the total", *s.TotalSO2)
}

// The differences of state that may show in a rosé's colour. Judgements of the
// trade, no source.
const (
	so2ThatShows = 5   // mg/L of free SO2
	co2ThatShows = 200 // mg/L
)

// StateWarnings tell how the state of a sample differs from that of the
// specification's reference, where both were recorded: what such a difference
// does to the colour is no fault of the blend, and no part of its uncertainty.
// Acetaldehyde that nothing is recorded of was not added.
func StateWarnings(sample, reference *State) []calc.Warning {
	var out []calc.Warning
	if sample == nil {
		sample = new(State)
	}
	if reference == nil {
		reference = new(State)
	}
	if a, b := said(sample.Acetaldehyde), said(reference.Acetaldehyde); a != b {
		which := map[bool]string{true: "with", false: "without"}
		out = append(out, calc.Warning{Code: "acetaldehyde_differs", Message: fmt.Sprintf(
			"The sample was read %s excess acetaldehyde and the reference %s, as far as is recorded: one shows the pigment, the other the colour in the bottle. Read both in the same way.", which[a], which[b])})
	} else if d, both := apart(sample.FreeSO2, reference.FreeSO2); both && math.Abs(d) >= so2ThatShows && !a {
		out = append(out, calc.Warning{Code: "so2_differs", Message: fmt.Sprintf(
			"The sample has %g mg/L of free SO2 and the reference %g: sulphur dioxide bleaches pigment, reversibly, so part of the difference is its doing. To compare pigment, read both with excess acetaldehyde.", *sample.FreeSO2, *reference.FreeSO2)})
	}
	var differ []string
	if a, b := sample.Filtered, reference.Filtered; a != nil && b != nil && *a != *b {
		differ = append(differ, "one of the two was filtered and the other not")
	}
	if d, both := apart(sample.CO2, reference.CO2); both && math.Abs(d) >= co2ThatShows {
		differ = append(differ, fmt.Sprintf("their carbon dioxide differs (%g and %g mg/L)", *sample.CO2, *reference.CO2))
	}
	if differ != nil {
		out = append(out, calc.Warning{Code: "state_differs", Message: "Sample and reference are not in one state: " + strings.Join(differ, "; ") +
			". Haze and bubbles read as absorbance: filter and degas both before they are read."})
	}
	return out
}

func said(b *bool) bool { return b != nil && *b }

func apart(a, b *float64) (difference float64, both bool) {
	if a == nil || b == nil {
		return 0, false
	}
	return *a - *b, true
}

package pages

import (
	"fmt"
	"strings"

	"pourpath/api/calc"
	"pourpath/colour/blend"
)

// matched is the blend of all the wines that comes closest to the target, where
// there are more than two.
type matched struct {
	Doses    []matchedDose
	DeltaE00 digits // empty for an intensity and tint
	Address  string // the page at it
	Warnings []english
}

// matchedDose is the dose of one addition.
type matchedDose struct {
	Slot, Name string
	Dose       digits
}

// match looks for the closest blend of all the wines. It has no doses where there
// are two wines only, or no target, or where hardly any base is left in it.
func (c *choice) match() (matched, error) {
	var out matched
	if len(c.dosed) < 2 || c.request.Target == nil {
		return out, nil
	}
	asked := calc.MatchRequest{Wines: []calc.Wine{c.request.Base, c.request.Addition.Wine}, Target: c.request.Target, View: c.request.View}
	for _, h := range c.request.Held {
		asked.Wines = append(asked.Wines, h.Wine)
	}
	answer, err := calc.Match(asked)
	if err != nil {
		return out, fmt.Errorf("pages: closest blend: %w", err)
	}
	change := map[string]string{}
	for i, at := range c.dosed {
		dose := blend.DoseOf(answer.Fractions[i+1], answer.Fractions[0])
		if !(dose <= blend.MaxDose) {
			return matched{}, nil
		}
		text := fixed(float64(dose), 2)
		out.Doses = append(out.Doses, matchedDose{at.name, c.picked[at.name].name, text})
		change[at.slot.dose()] = string(text)
	}
	if d := answer.Difference; d.DeltaE00 != nil {
		out.DeltaE00 = fixed(*d.DeltaE00, 1)
	}
	for _, w := range answer.Warnings {
		out.Warnings = append(out.Warnings, english(strings.TrimSpace(w.Message)))
	}
	out.Address = "/?" + c.address(change)
	return out, nil
}

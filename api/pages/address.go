package pages

import (
	"net/url"
	"slices"
)

// address is the query that opens the page on the same choice, with changes.
// What is as usual is left out, and so is what was typed for another kind than
// the one chosen.
func (c *choice) address(change map[string]string) string {
	values := url.Values{}
	set := func(f field) {
		text := c.typed[f.name]
		if text != f.usual {
			values.Set(f.name, text)
		}
	}
	for _, at := range slots() {
		now := c.picked[at.name]
		switch {
		case now.id != "":
			values.Set(at.name, now.id)
		case now.chosen(), at.name == targetSlot.name, at.name == rungSlot.name && now.kind == leftOut:
			values.Set(at.name, string(now.kind))
		}
		for _, p := range at.parts() {
			if now.id == "" && at.takes(p, now.kind) {
				set(at.field(p))
			}
		}
		if slices.ContainsFunc(additionSlots(), func(s slot) bool { return s.name == at.name }) && now.chosen() {
			set(field{name: at.dose()})
		}
	}
	if c.picked[targetSlot.name].chosen() {
		set(field{name: toleranceField})
	}
	if c.picked[rungSlot.name].chosen() {
		set(field{name: rungMLField})
	}
	set(field{name: lampField, usual: usualLamp})
	for _, g := range groups {
		for _, f := range g.fields {
			set(f)
		}
	}
	for name, text := range change {
		values.Set(name, text)
	}
	return values.Encode()
}

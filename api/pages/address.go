package pages

import (
	"net/url"
	"slices"
	"strings"
)

// address is the query that opens the page on the same choice, with changes.
// What is as usual is left out, and so is what was typed for another kind than
// the one chosen. Numbers have decimal points, as the address may be opened in another
// language.
func (c *choice) address(change map[string]string) string {
	values := url.Values{}
	set := func(f field) {
		text := c.typed[f.name]
		switch {
		case f.shape == tall:
		case isList(f.name):
			text = c.site.words.portableIn(f.name, text)
		default:
			text = c.site.words.pointed(text)
		}
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

// isList says whether a field of an address holds a list of numbers.
func isList(name string) bool {
	return name == dosesField || name == givenField || strings.HasSuffix(name, "_extra")
}

// isNumber says whether a field of an address of the preview or the bench holds one
// number.
func isNumber(name string) bool {
	return name == toField || name == stepField || slices.Contains(orderFields(), name) ||
		slices.ContainsFunc(fields(), func(f field) bool { return f.name == name && f.shape == short && f.name != lampField })
}

// portableIn is what such a field holds, for every language.
func (c *catalogue) portableIn(name, text string) string {
	if strings.HasSuffix(name, "_extra") {
		return c.portableExtra(text)
	}
	return c.portable(text)
}

// portableAddress is an address of this site, typed in this language, for another.
func (c *catalogue) portableAddress(address string) string {
	to, err := url.Parse(address)
	if err != nil {
		return address
	}
	query, changed := to.Query(), false
	for name, values := range query {
		for i, text := range values {
			switch {
			case isList(name):
				values[i] = c.portableIn(name, text)
			case isNumber(name):
				values[i] = c.pointed(strings.TrimSpace(text))
			}
			changed = changed || values[i] != text
		}
	}
	if changed {
		to.RawQuery = query.Encode()
	}
	return to.String()
}

package pages

import (
	"fmt"
	"slices"
	"strings"
)

// term is a quantity where it stands: what it is called there, the paragraph of
// /method that explains it, and in a sentence what it means.
type term struct{ ID, Label, Meaning string }

// methodLists begin the names of the lists that /method shows.
const methodLists = "method_"

// term looks a quantity up by its ID. The first sentence of its paragraph is what
// it means. One that is not explained is an error, as a text that is missing.
func (c *catalogue) term(id, label string) (term, error) {
	for name, list := range c.Lists {
		i := slices.IndexFunc(list, func(r remark) bool { return r.ID == id })
		if i >= 0 && strings.HasPrefix(name, methodLists) {
			first, _, more := strings.Cut(list[i].Text, ". ")
			if more {
				first += "."
			}
			return term{ID: id, Label: label, Meaning: first}, nil
		}
	}
	return term{}, fmt.Errorf("pages: catalogue: nothing explains %q", id)
}

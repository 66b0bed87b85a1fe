package pages

import (
	"strings"

	"pourpath/api/calc"
)

// places tell which field of the form each part of a request came from, as the
// request is put together.
type places []place

type place struct{ pointer, field string }

func (p *places) add(pointer, field string) { *p = append(*p, place{pointer, field}) }

// below reports whether a fault's place is the pointer or lies under it.
func below(location, pointer string) bool {
	return location == pointer || strings.HasPrefix(location, pointer+"/")
}

// field returns the name of the field that a fault is about: the one whose value
// it is, with the longest pointer, else the first one of the object it is about,
// else none.
func (p places) field(location string) string {
	best := place{}
	for _, at := range p {
		if below(location, at.pointer) && len(at.pointer) > len(best.pointer) {
			best = at
		}
	}
	if best.field != "" || location == "" {
		return best.field
	}
	for _, at := range p {
		if below(at.pointer, location) {
			return at.field
		}
	}
	return ""
}

func anyBelow(list []calc.Fault, pointer string) bool {
	for _, f := range list {
		if below(f.Location, pointer) {
			return true
		}
	}
	return false
}

package pages

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"pourpath/api/calc"
)

// field is one thing that can be typed: its name in the address, and its place
// in the request for a ladder as a JSON Pointer (RFC 6901).
type field struct {
	name, pointer string
	usual         string // stands in the field at first
}

// group is a part of the form. A part that is optional and left as it was found
// is left out of the request.
type group struct {
	key      string
	optional bool
	fields   []field
}

// groups are the form for readings of one's own, in its order.
var groups = []group{
	{"base", false, []field{
		{"base_a420", "/base/readings/a420", ""},
		{"base_a520", "/base/readings/a520", ""},
		{"base_a620", "/base/readings/a620", ""},
		{"base_path_mm", "/base/readings/path_mm", "10"},
	}},
	{"red", false, []field{
		{"red_a420", "/addition/readings/a420", ""},
		{"red_a520", "/addition/readings/a520", ""},
		{"red_a620", "/addition/readings/a620", ""},
		{"red_path_mm", "/addition/readings/path_mm", "1"},
	}},
	{"glass", false, []field{
		{"base_ml", "/base_ml", "100"},
		{"doses", dosesPointer, "0 2 4 6 8 10 12 15 20"},
	}},
	{"aim", true, []field{
		{"target_L", "/target/cielab/L", ""},
		{"target_a", "/target/cielab/a", ""},
		{"target_b", "/target/cielab/b", ""},
		{"tolerance", "/target/tolerance/delta_e_00", ""},
	}},
	{"rung", true, []field{
		{"rung_ml", "/measured/0/dose_ml", ""},
		{"rung_a420", "/measured/0/wine/readings/a420", ""},
		{"rung_a520", "/measured/0/wine/readings/a520", ""},
		{"rung_a620", "/measured/0/wine/readings/a620", ""},
		{"rung_path_mm", "/measured/0/wine/readings/path_mm", "10"},
	}},
}

const dosesPointer = "/doses_ml"

// ownFields lists the fields of all groups.
func ownFields() []field {
	var all []field
	for _, g := range groups {
		all = append(all, g.fields...)
	}
	return all
}

// touched reports whether anything was typed into the group.
func (g group) touched(typed map[string]string) bool {
	for _, f := range g.fields {
		if text := typed[f.name]; text != "" && text != f.usual {
			return true
		}
	}
	return false
}

// assemble makes the request of what was typed. What is no number goes in as
// text, so that the request's own check names it.
func assemble(typed map[string]string) map[string]any {
	root := map[string]any{}
	for _, g := range groups {
		if g.optional && !g.touched(typed) {
			continue
		}
		for _, f := range g.fields {
			text := typed[f.name]
			switch {
			case f.pointer == dosesPointer:
				put(root, f.pointer, numbers(text))
			case text != "":
				put(root, f.pointer, number(text))
			}
		}
	}
	if rungs, ok := root["measured"].(map[string]any); ok {
		root["measured"] = []any{rungs["0"]}
	}
	return root
}

// put sets the value at a pointer, with the objects on the way to it.
func put(root map[string]any, pointer string, value any) {
	tokens := strings.Split(pointer[1:], "/")
	last := len(tokens) - 1
	for _, token := range tokens[:last] {
		next, ok := root[token].(map[string]any)
		if !ok {
			next = map[string]any{}
			root[token] = next
		}
		root = next
	}
	root[tokens[last]] = value
}

// number reads what people type for a number; anything else stays text.
func number(text string) any {
	if json.Valid([]byte(text)) {
		if _, err := strconv.ParseFloat(text, 64); err == nil {
			return json.Number(text) // with the digits as typed
		}
	}
	// .5, 5. and +0.5 are numbers to people, though not in JSON.
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) || strings.ContainsAny(text, "xX_") {
		return text
	}
	return x
}

// numbers reads a list parted by blanks, commas or semicolons.
func numbers(text string) []any {
	list := []any{} // an empty list, not null, when nothing is typed
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \t\r\n,;", r) }) {
		list = append(list, number(part))
	}
	return list
}

// below reports whether a fault's place is the pointer or lies under it.
func below(place, pointer string) bool {
	return place == pointer || strings.HasPrefix(place, pointer+"/")
}

// fieldAt returns the name of the field that a fault is about: the one whose
// value it is, else the first one of the object it is about, else none.
func fieldAt(place string) string {
	for _, f := range ownFields() {
		if below(place, f.pointer) {
			return f.name
		}
	}
	for _, f := range ownFields() {
		if below(f.pointer, place) && place != "" {
			return f.name
		}
	}
	return ""
}

// salvage takes out of a request what its faults are about where the rest can
// stand without it, and returns the names of what it took.
func salvage(root map[string]any, list []calc.Fault) []string {
	var taken []string
	for _, part := range []string{"target", "measured"} {
		if _, there := root[part]; there && anyBelow(list, "/"+part) {
			delete(root, part)
			taken = append(taken, part)
		}
	}
	doses, _ := root["doses_ml"].([]any) // assemble has put it there
	kept := []any{}
	for i, dose := range doses {
		if !anyBelow(list, dosesPointer+"/"+strconv.Itoa(i)) {
			kept = append(kept, dose)
		}
	}
	if len(kept) > 0 && len(kept) < len(doses) {
		root["doses_ml"] = kept
		taken = append(taken, "doses")
	}
	return taken
}

func anyBelow(list []calc.Fault, pointer string) bool {
	for _, f := range list {
		if below(f.Location, pointer) {
			return true
		}
	}
	return false
}

// groupOf returns the key of the group that has the field, or none.
func groupOf(name string) string {
	for _, g := range groups {
		for _, f := range g.fields {
			if f.name == name {
				return g.key
			}
		}
	}
	return ""
}

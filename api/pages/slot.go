package pages

import "slices"

// slot is a place of the preview's form where a wine, a target or a rung that
// was read can be given: picked from the cellar, or typed.
type slot struct {
	name     string // of its choice in the address; its fields have it in front
	kinds    []kind // that can be typed
	optional bool
	pathMM   string // the usual optical path, in mm
}

// kind is what is typed into a slot: the value of its choice where that is no
// wine of the cellar.
type kind string

const (
	nothing       kind = ""
	typedReadings kind = "readings"
	pastedScan    kind = "scan"
	typedLab      kind = "lab"
	typedIndices  kind = "indices"
	leftOut       kind = "none"
)

var wineKinds = []kind{typedReadings, pastedScan, typedLab}

// The slots of the form, in its order. The wines are the base and up to three
// that are dosed into it.
var (
	baseSlot   = slot{name: "base", kinds: wineKinds, pathMM: "10"}
	redSlot    = slot{name: "red", kinds: wineKinds, pathMM: "1"}
	thirdSlot  = slot{name: "third", kinds: wineKinds, optional: true, pathMM: "1"}
	fourthSlot = slot{name: "fourth", kinds: wineKinds, optional: true, pathMM: "1"}
	targetSlot = slot{name: "target", kinds: []kind{typedLab, typedReadings, pastedScan, typedIndices}, optional: true, pathMM: "10"}
	rungSlot   = slot{name: "rung", kinds: wineKinds, optional: true, pathMM: "10"}
)

func slots() []slot {
	return []slot{baseSlot, redSlot, thirdSlot, fourthSlot, targetSlot, rungSlot}
}

// additionSlots are the wines that are dosed into the base.
func additionSlots() []slot { return []slot{redSlot, thirdSlot, fourthSlot} }

// field is one thing that can be typed, by its name in the address.
type field struct {
	name  string
	usual string // stands in the field at first
	shape shape
}

// shape is what a field looks like.
type shape int

const (
	short shape = iota // a number
	wide               // a list of numbers
	tall               // lines
)

// part is one field of a slot: the end of its name, and where its value stands
// in the wine of a request, as a JSON Pointer (RFC 6901).
type part struct {
	end, pointer string
	kinds        []kind
	shape        shape
}

var parts = []part{
	{"a420", "/readings/a420", []kind{typedReadings}, short},
	{"a520", "/readings/a520", []kind{typedReadings}, short},
	{"a620", "/readings/a620", []kind{typedReadings}, short},
	{"extra", "/readings/extra", []kind{typedReadings}, wide},
	{"scan", "", []kind{pastedScan}, tall},
	{"L", "/cielab/L", []kind{typedLab}, short},
	{"a", "/cielab/a", []kind{typedLab}, short},
	{"b", "/cielab/b", []kind{typedLab}, short},
	{"intensity", "/intensity", []kind{typedIndices}, short},
	{"tint", "/tint", []kind{typedIndices}, short},
	{"path_mm", "/path_mm", []kind{typedReadings, pastedScan, typedLab}, short},
	{"dilution", "/dilution", []kind{typedReadings, pastedScan}, short},
}

// parts are the fields of the slot that can be typed for one of its kinds. A
// target's L*a*b* holds at the depth that is looked at, so it has no path.
func (s slot) parts() []part {
	var out []part
	for _, p := range parts {
		if slices.ContainsFunc(p.kinds, func(k kind) bool { return slices.Contains(s.kinds, k) }) {
			out = append(out, p)
		}
	}
	return out
}

// takes reports whether the part is typed for a kind of the slot.
func (s slot) takes(p part, k kind) bool {
	if s.name == targetSlot.name && k == typedLab && p.end == "path_mm" {
		return false
	}
	return slices.Contains(p.kinds, k)
}

func (s slot) field(p part) field {
	f := field{name: s.name + "_" + p.end, shape: p.shape}
	if p.end == "path_mm" {
		f.usual = s.pathMM
	}
	return f
}

func (s slot) dose() string { return s.name + "_dose" }

// The fields beside the slots.
const (
	toleranceField  = "tolerance"
	rungMLField     = "rung_ml"
	lampField       = "lamp"
	depthField      = "depth_mm"
	baseMLField     = "base_ml"
	dosesField      = "doses"
	graduationField = "graduation_ml"
	tankField       = "tank_l"
	bottlesField    = "bottles"
	bottleField     = "bottle_ml"
	lossField       = "loss_percent"
)

// groups are the parts of the form beside the slots, by the key of their texts.
var groups = []struct {
	key    string
	fields []field
}{
	{"view", []field{{name: depthField, usual: usualDepth}}},
	{"glass", []field{{name: baseMLField, usual: "100"}, {name: graduationField, usual: "0.1"}, {name: dosesField, usual: "0 2 4 6 8 10 12 15 20", shape: wide}}},
	{"scale", []field{{name: tankField, usual: "1000"}, {name: bottlesField, usual: "600"}, {name: bottleField, usual: "750"}, {name: lossField, usual: "2"}}},
}

// usualLamp is the light of the wine method (OIV-MA-AS2-11).
const usualLamp = "D65"

// usualDepth is that of the standard cell, in mm.
const usualDepth = "10"

// fields are all that an address may have, in the order of the form.
func fields() []field {
	var all []field
	for _, s := range slots() {
		all = append(all, field{name: s.name})
		for _, p := range s.parts() {
			all = append(all, s.field(p))
		}
		switch s.name {
		case targetSlot.name:
			all = append(all, field{name: toleranceField})
		case rungSlot.name:
			all = append(all, field{name: rungMLField})
		case baseSlot.name:
		default:
			all = append(all, field{name: s.dose()})
		}
	}
	all = append(all, field{name: lampField, usual: usualLamp})
	for _, g := range groups {
		all = append(all, g.fields...)
	}
	return all
}

package pages

import (
	"slices"

	"pourpath/colour/cie"
)

// form is what can be chosen and typed on the preview, as it was.
type form struct {
	Slots  []slotForm
	Lamps  []option
	Lamp   input // the choice of the lamp
	Groups []fieldset
	Faulty bool // something in it is at fault
}

// slotForm is one slot of the form.
type slotForm struct {
	Name   string
	Choice []optionGroup
	Faults []said
	Fields []input
	Beside []input // what is told beside a wine: a dose or a tolerance
}

// fieldset is a part of the form that is no slot.
type fieldset struct {
	Key    string
	Fields []input
}

// input is one field as it was typed, with what is wrong about it.
type input struct {
	Name, Label string
	Text        said   // entered, where it is of numbers
	Kinds       []kind // that it is typed for; all where there is none
	Wide, Tall  bool
	Faults      []said
}

func (c *choice) form() form {
	var out form
	faults := func(name string) (list []said) {
		for _, n := range c.notes {
			if n.Field == name && name != "" {
				list = append(list, n.Message)
				out.Faulty = true
			}
		}
		return list
	}
	typed := func(f field, label string) input {
		text := said(entered(c.typed[f.name]))
		if f.shape == tall {
			text = c.typed[f.name]
		}
		return input{Name: f.name, Label: label, Text: text, Wide: f.shape == wide, Tall: f.shape == tall, Faults: faults(f.name)}
	}
	for _, at := range slots() {
		s := slotForm{Name: at.name, Choice: c.lists.options(at, c.picked[at.name]), Faults: faults(at.name)}
		for _, p := range at.parts() {
			in := typed(at.field(p), "part."+p.end)
			for _, k := range at.kinds {
				if at.takes(p, k) {
					in.Kinds = append(in.Kinds, k)
				}
			}
			s.Fields = append(s.Fields, in)
		}
		switch at.name {
		case targetSlot.name:
			s.Beside = append(s.Beside, typed(field{name: toleranceField}, "field."+toleranceField))
		case redSlot.name, thirdSlot.name, fourthSlot.name:
			if !c.slides(at) {
				s.Beside = append(s.Beside, typed(field{name: at.dose()}, "field.dose"))
			}
		case rungSlot.name:
			s.Beside = append(s.Beside, typed(field{name: rungMLField}, "field."+rungMLField))
		}
		out.Slots = append(out.Slots, s)
	}
	out.Lamp = typed(field{name: lampField}, "field."+lampField)
	for _, lamp := range cie.Illuminants() {
		out.Lamps = append(out.Lamps, option{string(lamp), "", c.typed[lampField] == string(lamp)})
	}
	for _, g := range groups {
		fs := fieldset{Key: g.key}
		for _, f := range g.fields {
			fs.Fields = append(fs.Fields, typed(f, "field."+f.name))
		}
		out.Groups = append(out.Groups, fs)
	}
	return out
}

// slides reports whether the slot has a slider, which then has its dose.
func (c *choice) slides(at slot) bool {
	return slices.ContainsFunc(c.dosed, func(d dosed) bool { return d.name == at.name })
}

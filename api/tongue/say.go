package tongue

import (
	"regexp"
	"slices"
	"strings"
)

// What one message may take: how far values within values are looked into, how long
// it is in bytes, and how many formats are tried. What goes beyond stays English: no
// message of the interface does, but what people type is in some.
const (
	deepest   = 4
	longest   = 4000
	mostTries = 20000
)

// attempt is the saying of one message.
type attempt struct {
	*Tongue
	left  int               // of the tries
	found map[string]answer // of parts: many are looked at more than once
}

type answer struct {
	text string
	ok   bool
}

// Say is what the interface says in English, in the language; ok is false where it is
// not known, and then it stays English.
func (t *Tongue) Say(english string) (text string, ok bool) {
	if strings.TrimSpace(english) == "" {
		return english, true
	}
	if len(english) > longest {
		return "", false
	}
	a := attempt{t, mostTries, map[string]answer{}}
	return a.say(english, sentences, 0)
}

// say is a text, whole or in its parts.
func (a *attempt) say(english string, glue []joint, depth int) (string, bool) {
	if depth > deepest {
		return "", false
	}
	if text, ok := a.one(english, depth); ok {
		return text, true
	}
	if place := pointed.FindString(english); place != "" {
		text, ok := a.say(english[len(place):], glue, depth)
		return place + text, ok
	}
	return a.parts(english, glue, depth)
}

// pointed is the place of a fault in a request, before what is wrong there: it stays
// as it is.
var pointed = regexp.MustCompile(`^(?:/\S+ |[a-z0-9_]+(?:/[a-z0-9_]+)*: )`)

// one is a text of one format, the most specific that it is of, or a moment.
func (a *attempt) one(english string, depth int) (string, bool) {
	if text, ok := a.whole[english]; ok {
		return text, true
	}
	if text, ok := a.Writing.moment(english); ok {
		return text, true
	}
	if found, ok := a.found[english]; ok {
		return found.text, found.ok
	}
	text, ok := a.formatted(english, depth)
	a.found[english] = answer{text, ok}
	return text, ok
}

// formatted is a text of the most specific format that it is of.
func (a *attempt) formatted(english string, depth int) (string, bool) {
	best, text := -1, ""
	try := func(formats []*format) {
		for _, f := range formats {
			if f.letters <= best || a.left == 0 {
				continue
			}
			a.left--
			values, ok := f.match(english)
			if !ok {
				continue
			}
			if said, ok := a.put(f, values, depth); ok {
				best, text = f.letters, said
			}
		}
	}
	tried := map[string]bool{}
	for _, word := range wordsOf(english) {
		if formats := a.by[word]; formats != nil && !tried[word] {
			tried[word] = true
			try(formats)
		}
	}
	try(a.wordless)
	return text, best >= 0
}

// put puts values into the translation of a format.
func (a *attempt) put(f *format, values []string, depth int) (string, bool) {
	var out strings.Builder
	for _, p := range f.said {
		if p.value == 0 {
			out.WriteString(p.text)
			continue
		}
		text, ok := a.value(values[p.value-1], f, p.value-1, depth)
		if !ok {
			return "", false
		}
		out.WriteString(text)
	}
	return out.String(), true
}

// few letters make a format that much else might be of.
const few = 20

// value is a value as it stands in a translation; ok is false where it has to be known
// and is not: sentences have to, and for a format of few letters parts of one too, even
// as a name.
func (a *attempt) value(text string, f *format, i, depth int) (string, bool) {
	if f.values[i] == number {
		return a.Writing.Number(text), true
	}
	m := f.manners[i]
	if names, ok := namesOf(text); ok && m == known && len(names) == 1 { // a word of the interface, in quotation marks
		return a.known(names[0], depth+1)
	}
	if text, ok := a.Writing.names(text); ok {
		return text, true
	}
	if m != named {
		if said, ok := a.known(text, depth+1); ok {
			return said, true
		}
	}
	ends := ".?"
	switch {
	case m == named && f.letters < few:
		ends = "?:;" // a name may be A. B.
	case m == named:
		ends = "?" // else the last name of a question would take in the next sentence
	case f.letters < few:
		ends = ".?:;"
	}
	return text, m != known && !slices.ContainsFunc(strings.Split(ends, ""), func(end string) bool { return strings.Contains(text, end+" ") })
}

// known is a text, a list of texts, or a number.
func (a *attempt) known(english string, depth int) (string, bool) {
	if text, ok := a.Writing.names(english); ok {
		return text, true
	}
	if text, ok := a.Writing.moment(english); ok {
		return text, true
	}
	if numbers(english) {
		return a.Writing.Number(english), true
	}
	if strings.Contains(english, ", ") { // rather each of a list than one with all the others in it
		if text, ok := a.parts(english, lists, depth); ok {
			return text, true
		}
	}
	return a.say(english, lists, depth)
}

// joint is what joins parts of a text. What ends a part may belong to it.
type joint struct {
	text string
	ends bool // the mark belongs to the part before it
	as   func(Writing) string
}

func asItIs(text string) func(Writing) string { return func(Writing) string { return text } }

var (
	sentences = []joint{
		{". ", true, asItIs(" ")}, {"? ", true, asItIs(" ")}, {": ", false, func(w Writing) string { return w.colon() }}, {"; ", false, func(w Writing) string { return w.Semi + " " }},
	}
	lists = append([]joint{
		{", or ", false, func(w Writing) string { return ", " + w.Or + " " }}, {", and ", false, func(w Writing) string { return ", " + w.And + " " }},
		{"; and ", false, func(w Writing) string { return w.Semi + " " + w.And + " " }},
		{" and ", false, func(w Writing) string { return " " + w.And + " " }}, {" or ", false, func(w Writing) string { return " " + w.Or + " " }},
		{", ", false, asItIs(", ")},
	}, sentences...)
)

// cut is a place at which a text may be in two parts.
type cut struct {
	end, next int // of the part before, and where the part after begins
	joint     joint
}

// parts is a text of several known ones, as few as there can be.
func (a *attempt) parts(english string, glue []joint, depth int) (string, bool) {
	cuts := a.cuts(english, glue)
	if len(cuts) == 0 || len(cuts) > 60 {
		return "", false
	}
	failed := map[int]bool{}
	var from func(at int) (string, bool)
	from = func(at int) (string, bool) {
		if failed[at] {
			return "", false
		}
		if text, ok := a.part(english[at:], depth); ok && at > 0 {
			return text, true
		}
		for i := len(cuts) - 1; i >= 0; i-- {
			c := cuts[i]
			if c.end <= at || c.next >= len(english) {
				continue
			}
			text, ok := a.part(english[at:c.end], depth)
			if !ok {
				continue
			}
			if rest, ok := from(c.next); ok {
				return text + c.joint.as(a.Writing) + rest, true
			}
		}
		failed[at] = true
		return "", false
	}
	return from(0)
}

// part is one of several: a text, with or without the mark that ends it, or what
// stands between lists: a name in quotation marks or a number.
func (a *attempt) part(english string, depth int) (string, bool) {
	if text, ok := a.Writing.names(english); ok {
		return text, true
	}
	if text, ok := a.one(english, depth); ok {
		return text, true
	}
	if numbers(english) {
		return a.Writing.Number(english), true
	}
	if place := pointed.FindString(english); place != "" {
		text, ok := a.part(english[len(place):], depth)
		return place + text, ok
	}
	for _, mark := range []string{".", "?"} {
		if bare, ends := strings.CutSuffix(english, mark); ends {
			if text, ok := a.one(bare, depth); ok {
				return text + mark, true
			}
		}
	}
	return "", false
}

// cuts are the places at which a text may be in parts, in their order.
func (t *Tongue) cuts(english string, glue []joint) []cut {
	var all []cut
	for i := range len(english) {
		for _, j := range glue {
			if strings.HasPrefix(english[i:], j.text) {
				end := i
				if j.ends {
					end++
				}
				all = append(all, cut{end, i + len(j.text), j})
			}
		}
		for _, f := range t.tails {
			if i > 0 && strings.HasPrefix(english[i:], f.between[0]) {
				all = append(all, cut{i, i, joint{as: asItIs("")}})
				break
			}
		}
	}
	return all
}

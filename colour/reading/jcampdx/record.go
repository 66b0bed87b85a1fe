package jcampdx

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// dataRecord splits a line that starts a labelled data record, ##LABEL= value.
// The label comes back as labels are compared: in capitals, without blanks,
// dashes, slashes and underscores. found is whether the line starts with ##,
// complete whether it has the equals sign too.
func dataRecord(line []byte) (label string, value []byte, found, complete bool) {
	rest, found := bytes.CutPrefix(bytes.TrimLeft(line, " \t"), []byte("##"))
	if !found {
		return "", nil, false, false
	}
	name, value, complete := bytes.Cut(rest, []byte("="))
	if !complete {
		return "", nil, true, false
	}
	const longest = 80 // of all that are known, with room
	if len(name) > longest {
		name = name[:longest]
	}
	return normal(string(name)), bytes.TrimSpace(value), true, true
}

var dropped = strings.NewReplacer(" ", "", "\t", "", "-", "", "/", "", "_", "")

// normal is the form in which labels are compared.
func normal(label string) string { return strings.ToUpper(dropped.Replace(label)) }

// withoutComment cuts the line at $$, which starts a comment anywhere.
func withoutComment(line []byte) []byte {
	if i := bytes.Index(line, []byte("$$")); i >= 0 {
		line = line[:i]
	}
	return bytes.TrimRight(line, " \t")
}

// asText turns a value of the file into text. The standard knows ASCII only;
// what is no UTF-8 is taken as Latin-1, and control characters become blanks.
func asText(value []byte) string {
	latin := !utf8.Valid(value)
	var b strings.Builder
	put := func(r rune) {
		switch {
		case r == '\n':
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			b.WriteByte(' ')
		case r >= 0x80 && r < 0xa0:
			b.WriteRune(utf8.RuneError)
		default:
			b.WriteRune(r)
		}
	}
	if latin {
		for _, c := range value {
			put(rune(c))
		}
	} else {
		for _, r := range string(value) {
			put(r)
		}
	}
	return strings.TrimSpace(b.String())
}

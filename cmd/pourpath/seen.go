package main

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf16"

	"pourpath/api/record"
)

// Names and notes come by files and forms, and may have what controls a terminal: all
// text that is printed for people goes through harmless.

// drawn is a text that may control the terminal, such as a patch of colour.
type drawn string

// harmless are values for fmt whose texts cannot control a terminal.
func harmless(args []any) []any {
	out := make([]any, len(args))
	for i, arg := range args {
		switch x := arg.(type) {
		case drawn:
			out[i] = string(x)
		case error:
			out[i] = message(x.Error())
		default:
			out[i] = arg
			if v := reflect.ValueOf(arg); v.Kind() == reflect.String {
				out[i] = told(v.String())
			}
		}
	}
	return out
}

// told is a text that is put out as it is seen.
type told string

// Format implements fmt.Formatter. %q writes out by itself what is not seen.
func (t told) Format(f fmt.State, verb rune) {
	text := string(t)
	if verb != 'q' {
		text = seen(text)
	}
	_, _ = fmt.Fprintf(f, fmt.FormatString(f, verb), text) // f keeps its own error
}

// message is what an error says, whose lines stay lines.
type message string

// Format implements fmt.Formatter.
func (m message) Format(f fmt.State, verb rune) {
	_, _ = fmt.Fprintf(f, fmt.FormatString(f, verb), strings.Join(seenAll(strings.Split(string(m), "\n")), "\n"))
}

// seen is text with what controls a terminal, or is not seen on it, written out, such as
// \u202e.
func seen(text string) string {
	if _, unseen := record.UnseenIn(text); !unseen {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		if _, unseen := record.UnseenIn(string(r)); unseen {
			b.WriteString(strings.Trim(strconv.QuoteRuneToASCII(r), "'"))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// seenJSON is JSON that means the same, without what controls a terminal. What is below
// U+0080 the encoder has written out; the rest stands in texts alone.
func seenJSON(text string) string {
	var b strings.Builder
	for _, r := range text {
		if _, unseen := record.UnseenIn(string(r)); !unseen || r < 0x7f {
			b.WriteRune(r)
			continue
		}
		for _, half := range utf16.Encode([]rune{r}) {
			fmt.Fprintf(&b, "\\u%04x", half)
		}
	}
	return b.String()
}

func seenAll(texts []string) []string {
	out := make([]string, len(texts))
	for i, text := range texts {
		out[i] = seen(text)
	}
	return out
}

// Package sheettest looks for English in documents of other languages.
package sheettest

import (
	"reflect"
	"strings"
	"unicode"

	"pourpath/reports/sheet"
)

// English are the words of a page that English documents and pictures have and those of
// texts do not. Words that the page was given, such as names, are left out.
func English(page string, texts sheet.Texts, given ...string) []string {
	english, own := wordsOf(sheet.English()), wordsOf(texts)
	for _, one := range given {
		for _, w := range words(one) {
			own[w] = true
		}
	}
	var found []string
	for _, w := range words(page) {
		if english[w] && !own[w] {
			found = append(found, w)
		}
	}
	return found
}

// words are those of three letters or more, in small letters. What has digits too is
// none: the identifier of a record may well have "3dec7" in it.
func words(text string) []string {
	var out []string
	for _, w := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if len([]rune(w)) > 2 && !strings.ContainsFunc(w, unicode.IsDigit) {
			out = append(out, w)
		}
	}
	return out
}

// wordsOf are the words of all texts, but the names of their places.
func wordsOf(texts sheet.Texts) map[string]bool {
	out := map[string]bool{}
	var walk func(reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Map:
			for _, key := range v.MapKeys() {
				walk(v.MapIndex(key))
			}
		case reflect.String:
			text := v.String()
			for {
				before, rest, found := strings.Cut(text, "{")
				for _, w := range words(before) {
					out[w] = true
				}
				if !found {
					return
				}
				_, text, _ = strings.Cut(rest, "}")
			}
		}
	}
	walk(reflect.ValueOf(texts))
	return out
}

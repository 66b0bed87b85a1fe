package record

import "unicode"

// UnseenIn is the first character of a name that nobody sees, such as one that controls a
// terminal or turns the direction of what follows; ok is false where it has none. Blanks of
// any width are seen, ends of lines and tabs are not.
func UnseenIn(name string) (r rune, ok bool) {
	for _, r := range name {
		if !unicode.IsPrint(r) && !unicode.Is(unicode.Zs, r) {
			return r, true
		}
	}
	return 0, false
}

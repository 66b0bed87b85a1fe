// Package celltext guards texts in files for spreadsheets: a cell that begins
// like a formula must not be run as one by whoever opens the file.
package celltext

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Guard is a text for a cell of a CSV file: an apostrophe is put where a
// spreadsheet would take what follows for a formula. Taking off each apostrophe
// that stands at such a place gives the text back, as apostrophes that were
// there before are passed over in looking for one and get another.
//
// Source: OWASP, CSV Injection.
func Guard(s string) string {
	if !strings.ContainsFunc(s, func(r rune) bool { return beginsFormula(r) || beginsCell(r) }) {
		return s
	}
	var b strings.Builder
	for begin, rest := true, s; rest != ""; {
		if begin && isRisky(rest, len(rest) == len(s)) {
			b.WriteByte('\'')
		}
		r, size := utf8.DecodeRuneInString(rest)
		b.WriteString(rest[:size])
		begin, rest = beginsCell(r), rest[size:]
	}
	return b.String()
}

// isRisky reports whether a cell that begins with text may be taken for a
// formula; first says that it is the beginning of the whole text.
func isRisky(text string, first bool) bool {
	if first {
		if bare := strings.TrimLeft(text, "'"); bare != "" && bare[0] < ' ' && beginsCell(rune(bare[0])) {
			return true
		}
	}
	bare := strings.TrimLeftFunc(text, isPassedOver)
	r, _ := utf8.DecodeRuneInString(bare)
	return beginsFormula(r)
}

// isPassedOver reports whether a spreadsheet may pass over r at the beginning of
// a cell: blanks, characters that show nothing, and marks of quotation.
func isPassedOver(r rune) bool {
	return r == '\'' || r == '"' || unicode.IsSpace(r) || unicode.IsControl(r) || unicode.Is(unicode.Cf, r)
}

// beginsFormula reports whether r is one of = + - @, also full-width or small.
func beginsFormula(r rune) bool { return strings.ContainsRune("=+-@＝＋－＠﹦﹢﹣﹫", r) }

// beginsCell reports whether a spreadsheet may begin a new cell after r, even
// within quotation marks that it does not take for such.
func beginsCell(r rune) bool { return r == ';' || r == '\t' || r == '\n' || r == '\r' }

// Bare takes the apostrophes of Guard off: Bare(Guard(s)) is s.
func Bare(s string) string {
	var b strings.Builder
	for begin, rest := true, s; rest != ""; {
		if begin && rest[0] == '\'' && isRisky(rest[1:], len(rest) == len(s)) {
			rest = rest[1:]
		}
		r, size := utf8.DecodeRuneInString(rest)
		b.WriteString(rest[:size])
		begin, rest = beginsCell(r), rest[size:]
	}
	return b.String()
}

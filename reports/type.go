package reports

import (
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansitalic"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// fontFamily is the one typeface of every figure. Its widths are those of Arial
// and Helvetica, so an SVG shown without it keeps its layout.
const fontFamily = "Liberation Sans"

// cut is one cut of the typeface.
type cut int

const (
	regular cut = iota
	bold
	italic // for the symbols of quantities
)

// cuts are parsed once and shared; the fonts are part of the program.
var cuts = sync.OnceValue(func() [3]*opentype.Font {
	var parsed [3]*opentype.Font
	for i, raw := range [3][]byte{liberationsansregular.TTF, liberationsansbold.TTF, liberationsansitalic.TTF} {
		f, err := opentype.Parse(raw)
		if err != nil {
			panic("reports: an embedded font is broken: " + err.Error())
		}
		parsed[i] = f
	}
	return parsed
})

// face returns a cut at a size in points.
func face(c cut, size vg.Length) font.Face {
	f := font.Font{Typeface: "Liberation", Variant: "Sans", Size: size}
	switch c {
	case bold:
		f.Weight = xfont.WeightBold
	case italic:
		f.Style = xfont.StyleItalic
	}
	return font.Face{Font: f, Face: cuts()[c]}
}

// The sizes of type, in points: a journal sets figures at 6 to 8.
const (
	titleSize  vg.Length = 10
	bodySize   vg.Length = 7.5
	tickSize   vg.Length = 7
	footerSize vg.Length = 6.25
	capHeight            = 0.73 // of the size, for centring digits and capitals
)

// clean makes a caller's text safe to set: valid UTF-8 of the basic plane, no
// control characters, which neither XML nor a font can show.
func clean(s string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r):
			return ' '
		case r > 0xFFFD: // outside the basic plane, or not a character
			return unicode.ReplacementChar
		}
		return r
	}, strings.ToValidUTF8(s, string(unicode.ReplacementChar))))
}

// wrap breaks text into lines at most width wide, at blanks, or inside a word that is
// wider than a line. Spaces that do not break keep what is beside them together.
func wrap(text string, f font.Face, width vg.Length) []string {
	var lines []string
	line := ""
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' }) {
		for {
			joined := word
			if line != "" {
				joined = line + " " + word
			}
			if textWidth(f, joined) <= width {
				line = joined
				break
			}
			if line != "" {
				lines, line = append(lines, line), ""
				continue
			}
			head, tail := splitWord(word, f, width)
			lines, word = append(lines, head), tail
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// splitWord cuts the longest beginning of a word that fits, at least one rune.
func splitWord(word string, f font.Face, width vg.Length) (head, tail string) {
	for i := range word {
		if i == 0 {
			continue
		}
		if head != "" && textWidth(f, word[:i]) > width {
			break
		}
		head = word[:i]
	}
	if head == "" {
		return word, ""
	}
	return head, word[len(head):]
}

func textWidth(f font.Face, s string) vg.Length { return f.Width(s) }

// shortTo cuts a line to a width.
func shortTo(s string, size, width vg.Length) string {
	f := face(regular, size)
	if textWidth(f, s) <= width {
		return s
	}
	head, _ := splitWord(s, f, width-textWidth(f, "…"))
	return head + "…"
}

package sheet

import (
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansitalic"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"

	"pourpath/reports"
)

// cut is one cut of the typeface, by its name in the PDF.
type cut string

const (
	regular cut = ""
	bold    cut = "B"
	italic  cut = "I" // for the symbols of quantities
)

// fonts are parsed once and shared; they are part of the program.
var fonts = sync.OnceValue(func() map[cut]*sfnt.Font {
	parsed := map[cut]*sfnt.Font{}
	for c, raw := range map[cut][]byte{regular: liberationsansregular.TTF, bold: liberationsansbold.TTF, italic: liberationsansitalic.TTF} {
		f, err := sfnt.Parse(raw)
		if err != nil {
			panic("sheet: an embedded font is broken: " + err.Error())
		}
		parsed[c] = f
	}
	return parsed
})

// metrics measures text for one document. It keeps what it has looked up.
type metrics struct {
	buffer   sfnt.Buffer
	advances map[cut]map[rune]float64 // in sizes of the font
}

func newMetrics() *metrics {
	return &metrics{advances: map[cut]map[rune]float64{regular: {}, bold: {}, italic: {}}}
}

// advance is the width of a character, in sizes of the font; 0 for one that the
// font lacks.
func (m *metrics) advance(c cut, r rune) float64 {
	if w, ok := m.advances[c][r]; ok {
		return w
	}
	f := fonts()[c]
	w := 0.0
	if i, err := f.GlyphIndex(&m.buffer, r); err == nil && i != 0 {
		em := fixed.I(int(f.UnitsPerEm()))
		if a, err := f.GlyphAdvance(&m.buffer, i, em, font.HintingNone); err == nil {
			w = float64(a) / float64(em)
		}
	}
	m.advances[c][r] = w
	return w
}

// width is that of a line in points.
func (m *metrics) width(s string, c cut, size float64) float64 {
	w := 0.0
	for _, p := range reports.Pieces(s) {
		k, scale := c, 1.0
		switch {
		case p.Italic && c == regular:
			k = italic
		case p.Lowered:
			scale = reports.LoweredSize
		}
		for _, r := range p.Text {
			w += scale * m.advance(k, r)
		}
	}
	return w * size
}

// missing stands for a character that the font lacks.
const missing = '□'

// Spaces that keep what is beside them on one line, as before a unit, or before a
// colon in French.
const (
	noBreak       = '\u00a0'
	narrowNoBreak = '\u202f'
)

// words are the parts of a printable text that stay whole where lines are broken.
func words(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' })
}

// printable makes a text safe to set: valid, composed, without controls, and
// with a square for each character that the font lacks. Line breaks stay, and
// spaces at which no line is broken.
func (m *metrics) printable(s string) string {
	s = norm.NFC.String(strings.ToValidUTF8(s, string(missing)))
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n', r == noBreak, r == narrowNoBreak:
			return r
		case unicode.IsControl(r) || unicode.IsSpace(r) || r == '\u2028' || r == '\u2029':
			return ' '
		case unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r):
			return -1 // shown by nothing
		case r > 0xFFFD || m.advance(regular, r) == 0 && !unicode.Is(unicode.Mn, r):
			return missing
		}
		return r
	}, s)
}

// wrap breaks text into lines at most width points wide, at spaces, or inside a
// word that is wider than a line.
func (m *metrics) wrap(text string, c cut, size, width float64) []string {
	var lines []string
	space := m.advance(c, ' ') * size
	for paragraph := range strings.Lines(m.printable(text)) {
		line, used := "", 0.0
		for _, word := range words(paragraph) {
			w := m.width(word, c, size)
			if line != "" && used+space+w <= width {
				line, used = line+" "+word, used+space+w
				continue
			}
			if line != "" {
				lines = append(lines, line)
			}
			for w > width {
				head, tail := m.split(word, c, size, width)
				if tail == "" {
					break
				}
				lines, word = append(lines, head), tail
				w -= m.width(head, c, size)
			}
			line, used = word, w
		}
		if line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// split cuts the longest beginning of a word that fits, at least one character,
// and no mark from its letter.
func (m *metrics) split(word string, c cut, size, width float64) (head, tail string) {
	used := 0.0
	for i, r := range word {
		used += m.advance(c, r) * size
		if i > 0 && used > width && !unicode.Is(unicode.Mn, r) {
			return word[:i], word[i:]
		}
	}
	return word, ""
}

// fit shortens a line to a width, with an ellipsis.
func (m *metrics) fit(s string, c cut, size, width float64) string {
	s = strings.Join(words(m.printable(s)), " ")
	if m.width(s, c, size) <= width {
		return s
	}
	const ellipsis = "…"
	head, _ := m.split(s, c, size, width-m.width(ellipsis, c, size))
	return strings.TrimSpace(head) + ellipsis
}

// visual orders a line as it is seen: what runs from right to left is turned
// round, numbers in it excepted, as a PDF sets all from the left.
func visual(line string) string {
	if !strings.ContainsFunc(line, rightToLeft) {
		return line
	}
	var p bidi.Paragraph
	if _, err := p.SetString(line); err != nil {
		return line
	}
	order, err := p.Order()
	if err != nil {
		return line
	}
	var seen, turned []string // turned are the runs of a part that goes from right to left
	flush := func() {
		slices.Reverse(turned)
		seen, turned = append(seen, strings.Join(turned, "")), nil
	}
	for i := range order.NumRuns() {
		run := order.Run(i)
		s := run.String()
		if run.Direction() == bidi.RightToLeft {
			turned = append(turned, bidi.ReverseString(s))
			continue
		}
		if len(turned) > 0 { // a number after Hebrew or Arabic belongs to it
			number := numberFirst.FindString(s)
			s = s[len(number):]
			if number != "" {
				turned = append(turned, number)
			}
		}
		if s != "" {
			flush()
			seen = append(seen, s)
		}
	}
	flush()
	if first, _ := bidi.LookupString(line); first.Class() == bidi.R || first.Class() == bidi.AL {
		slices.Reverse(seen)
	}
	return strings.Join(seen, "")
}

var numberFirst = regexp.MustCompile(`^\d+([.,:/]\d+)*`)

func rightToLeft(r rune) bool {
	p, _ := bidi.LookupRune(r)
	return p.Class() == bidi.R || p.Class() == bidi.AL
}

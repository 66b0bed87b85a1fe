package sheet_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"pourpath/reports/sheet"
)

// odd are texts that people paste: other scripts and directions, pictures,
// controls, markup, and too much of everything.
func odd() []string {
	return []string{
		"רוזה של הטרסה 3", "نبيذ وردي", "abc רוזה 12 def", "Rosé 🍷🇫🇷👩‍🌾 x", "e\u0301 a\u0308 ﬁ", "日本のワイン",
		"\u202egnihtemos", "\x00\x07\x1b[31m", "\xff\xfe", "<script>alert(1)</script>", `" onload="x" '`, "{{.}} {no} {count}", "a\r\nb\tc\u2028d",
		"(\\) Tj ET Q", strings.Repeat("W", 10000), strings.Repeat("long names wrap ", 625), strings.Repeat("\n", 10000), strings.Repeat("\u0301", 10000),
		strings.Repeat("ש", 10000), "ΔE00 L* a*b* C*", "\ufeff\u200b\u00ad",
	}
}

// oddly puts one text wherever a document takes one.
func oddly(t testing.TB, s string) map[string]printable {
	name := "x" + s // names may not be blank
	b, r, o := bench(t), trial(t), vessels(t)
	for _, h := range []*sheet.Head{&b.Head, &r.Head, &o.Head} {
		h.Trial, h.Date = name, name
		h.Conditions, h.Version = shortened(s), shortened(s)
	}
	for _, w := range []*sheet.Wines{&b.Wines, &r.Wines, &o.Wines} {
		w.Base.Name, w.Base.Lot, w.Base.Known, w.Target.Name = name, s, s, name
	}
	b.Tools[0].Name, b.Tools[0].Note, b.Warnings = name, s, []string{s}
	b.Plan[1].Glass, b.Plan[1].Wine, b.Plan[1].Tool, b.Plan[1].Note = name, s, s, s
	r.Log[1].Time, r.Log[1].Glass, r.Log[1].Wine, r.Log[1].Note, r.Log[1].Who = s, name, s, s, s
	r.Measured[0].Glass, r.Notes[0].Note, r.Choice.Reasons, r.Final.Seen = name, s, []string{s}, s
	r.Figure.Title, r.Figure.Base = shortened(s), shortened(s)
	o.Volumes.Vessels[1].Name, o.Warnings = name, []string{s}
	k := undecided(t)
	k.Issued, k.IssuedBy, k.Lot.Name, k.Method, k.Instrument.Name, k.Spec.Name, k.Spec.Version = name, name, name, name, name, name, name
	k.Conditions, k.Version, k.Number = shortened(s), shortened(name), shortenedTo(name, 100)
	k.Lot.State, k.Dominant, k.Settle, k.Warnings, k.Spec.Reads, k.Instrument.Found = s, s, []string{s}, []string{s}, s, s
	k.Parts[2].Quantity, k.Reference.Name = shortened(name), name
	return map[string]printable{"bench": b, "trial": r, "order": o, "statement": k}
}

// oddPanel is oddly for a panel's documents.
func oddPanel(t testing.TB, s string) map[string]printable {
	name := "x" + s
	people := []sheet.PanelJudge{{Name: name, Codes: []string{"412", "938"}}, {Name: name, Codes: []string{"938", "412"}}}
	l, j, p, r := labels(), judgeSheets(), pouring(), judged(t)
	l.Title, l.Judges = name, people
	j.Question, j.Judges = name, people
	p.Title, p.Question, p.Judges, p.Glasses[0].Glass = name, name, people, name
	of := &r.Panels[0]
	of.Question, of.Without, of.Warnings, of.First, of.Differ, of.Glasses[0].Glass = name, []string{name}, []string{s}, []string{name}, [][2]string{{name, "C"}}, name
	return map[string]printable{"labels": l, "judges' sheets": j, "pouring list": p, "report of a panel": r}
}

func shortened(s string) string {
	if utf8.RuneCountInString(s) > 400 {
		return string([]rune(s)[:400])
	}
	return s
}

// feet are in the footers of the documents.
var feet = []string{"is no colour reference", "expanded uncertainty: k = 2", "Codes are drawn by chance", "NOT FOR JUDGES"}

// checkOdd looks at documents that have s in them.
func checkOdd(t *testing.T, s string, documents map[string]printable) {
	for name, p := range documents {
		var b bytes.Buffer
		if err := p.WritePDF(&b, nil); err != nil {
			if b.Len() > 0 {
				t.Errorf("%s: PDF: written in spite of %v", name, err)
			}
			if utf8.RuneCountInString(s) < 9999 { // 10,000 characters and one are refused as a name
				t.Errorf("%s: PDF: %v", name, err)
			}
			continue
		}
		pages := pagesOf(t, b.Bytes())
		if last := pages[len(pages)-1]; !slices.ContainsFunc(feet, func(foot string) bool { return strings.Contains(last, foot) }) {
			t.Errorf("%s: the last page has no footer", name)
		}
		if words := letters(s); words != "" && !strings.Contains(letters(strings.Join(pages, "")), words[:min(len(words), 20)]) {
			t.Errorf("%s: the PDF has lost %.40q", name, s)
		}
		page := textOf(t, htmlOf(t, p))
		if words := letters(s); !strings.Contains(letters(page), words) {
			t.Errorf("%s: the page of HTML has lost %.40q", name, s)
		}
	}
}

// letters are the plain letters of a text, which every font has.
func letters(s string) string {
	return strings.Map(func(r rune) rune {
		if r < 128 && unicode.IsLetter(r) {
			return r
		}
		return -1
	}, s)
}

func TestOddTexts(t *testing.T) {
	for _, s := range odd() {
		s = shortenedTo(s, 9999)
		checkOdd(t, s, oddly(t, s))
	}
}

// TestOddPanelTexts: a panel's names and question have 500 characters at most.
func TestOddPanelTexts(t *testing.T) {
	for _, s := range odd() {
		s = shortenedTo(s, 499)
		checkOdd(t, s, oddPanel(t, s))
	}
}

func shortenedTo(s string, n int) string {
	if utf8.RuneCountInString(s) > n {
		return string([]rune(s)[:n])
	}
	return s
}

// FuzzLines breaks any text into lines: each fits its column, but for one letter
// that is wider, and no plain letter is lost.
func FuzzLines(f *testing.F) {
	for _, s := range odd() {
		f.Add(shortenedTo(s, 300))
	}
	f.Fuzz(func(t *testing.T, s string) {
		const width = 40 // points
		var all strings.Builder
		for line, wide := range sheet.Lines(s, width) {
			if wide > width+1e-6 && len(letters(line)) > 1 {
				t.Errorf("%q is %g points wide: want at most %d", line, wide, width)
			}
			if !utf8.ValidString(line) || strings.ContainsFunc(line, unicode.IsControl) {
				t.Errorf("%q cannot be set", line)
			}
			if letters(sheet.Visual(line)) == "" && letters(line) != "" {
				t.Errorf("%q is lost when it is turned", line)
			}
			all.WriteString(line)
		}
		if letters(all.String()) != letters(norm.NFC.String(s)) { // an accent is set on its letter
			t.Errorf("%q became %q", s, all.String())
		}
	})
}

// A line is set as it is seen. The wanted orders follow the Unicode Bidirectional
// Algorithm (UAX #9), worked by hand: letters of Hebrew run to the left, numbers
// and Latin to the right, each part in the direction of the line's first letter.
func TestVisual(t *testing.T) {
	for _, c := range [][2]string{
		{"tank 12, white", "tank 12, white"},
		{"אבג", "גבא"},
		{"אבג 12", "12 גבא"},
		{"abc אבג 12 def", "abc 12 גבא def"},
		{"abc אבג def", "abc גבא def"},
		{"אבג def דהו", "והד def גבא"},
	} {
		if got := sheet.Visual(c[0]); got != c[1] {
			t.Errorf("%q is set as %q: want %q", c[0], got, c[1])
		}
	}
}

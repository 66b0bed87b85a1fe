package tongue

import (
	"fmt"
	"iter"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// kind is what a verb of fmt puts in.
type kind byte

// The kinds of values.
const (
	anything kind = iota // %s, %v
	number               // %d, %g, %.2f
	quoted               // %q: a text in quotation marks, or a list of them in brackets
)

// manner is how a value stands in a translation.
type manner byte

const (
	said  manner = iota // {1}: said where it is known, else as it is
	named               // {=1}: as it is
	known               // {!1}: said; the format is not matched where it is not known
)

// format is one in English with its translation.
type format struct {
	between []string // what stands before, between and after the values
	values  []kind
	manners []manner
	said    []piece // the translation
	letters int     // of what is not put in: the most specific format has the most
}

// piece of a translation is a text, or else a value, counted from 1.
type piece struct {
	text  string
	value int
}

var (
	verb  = regexp.MustCompile(`%[-+#0]*\d*(?:\.\d+)?([sdgqvfewxT])|%%`)
	place = regexp.MustCompile(`\{([=!]?)([1-9]\d?)\}`)
)

// compile reads a format and its translation.
func compile(english, own string) (*format, error) {
	f := &format{}
	from, text := 0, ""
	for _, at := range verb.FindAllStringSubmatchIndex(english, -1) {
		text += english[from:at[0]]
		from = at[1]
		if at[2] < 0 {
			text += "%"
			continue
		}
		f.between, text = append(f.between, text), ""
		switch english[at[2]] {
		case 'd', 'g', 'f', 'e', 'x':
			f.values = append(f.values, number)
		case 'q':
			f.values = append(f.values, quoted)
		default:
			f.values = append(f.values, anything)
		}
	}
	f.between = append(f.between, text+english[from:])
	for _, one := range f.between {
		f.letters += utf8.RuneCountInString(one)
	}
	f.manners = make([]manner, len(f.values))
	err := f.translate(own)
	return f, err
}

// translate reads the translation.
func (f *format) translate(own string) error {
	from, has := 0, make([]bool, len(f.values))
	for _, at := range place.FindAllStringSubmatchIndex(own, -1) {
		n, err := strconv.Atoi(own[at[4]:at[5]])
		if err != nil || n > len(f.values) {
			return fmt.Errorf("there is no value %s", own[at[0]:at[1]])
		}
		switch own[at[2]:at[3]] {
		case "=":
			f.manners[n-1] = named
		case "!":
			f.manners[n-1] = known
		}
		has[n-1] = true
		f.said = append(f.said, piece{text: own[from:at[0]]}, piece{value: n})
		from = at[1]
	}
	f.said = append(f.said, piece{text: own[from:]})
	for i, is := range has {
		if !is {
			return fmt.Errorf("the translation leaves out {%d}", i+1)
		}
	}
	return nil
}

// tail reports whether the format goes on from another text.
func (f *format) tail() bool {
	first := f.between[0]
	return len(first) > 1 && strings.ContainsRune(" ,;:.(", rune(first[0]))
}

// words are the whole words that every text of the format has.
func (f *format) words() iter.Seq[string] {
	return func(yield func(string) bool) {
		for i, text := range f.between {
			for from, word := range wordsOf(text) {
				cut := from == 0 && i > 0 || from+len(word) == len(text) && i < len(f.values)
				if !cut && !yield(word) {
					return
				}
			}
		}
	}
}

// wordsOf are the runs of letters of a text, with where they begin.
func wordsOf(text string) iter.Seq2[int, string] {
	return func(yield func(int, string) bool) {
		from := -1
		for i, r := range text {
			switch {
			case unicode.IsLetter(r):
				if from < 0 {
					from = i
				}
			case from >= 0:
				if !yield(from, text[from:i]) {
					return
				}
				from = -1
			}
		}
		if from >= 0 {
			yield(from, text[from:])
		}
	}
}

// match takes out of a text what was put into the format.
func (f *format) match(text string) (values []string, ok bool) {
	first, last := f.between[0], f.between[len(f.values)]
	if len(text) < len(first)+len(last) || !strings.HasPrefix(text, first) || !strings.HasSuffix(text, last) {
		return nil, false
	}
	m := matching{f: f, text: text[len(first) : len(text)-len(last)], values: make([]string, len(f.values))}
	return m.values, m.from(0, 0)
}

// matching is one attempt, between the first and the last text.
type matching struct {
	f      *format
	text   string
	values []string
	failed map[[2]int]bool // by value and place: so that no text takes long
}

func (m *matching) from(value, at int) bool {
	rest := m.text[at:]
	if value == len(m.values)-1 {
		m.values[value] = rest
		return m.f.values[value].is(rest)
	}
	if m.failed[[2]int{value, at}] {
		return false
	}
	for next, end := m.f.between[value+1], 0; ; end++ {
		found := strings.Index(rest[end:], next)
		if found < 0 {
			break
		}
		end += found
		if m.f.values[value].is(rest[:end]) && m.from(value+1, at+end+len(next)) {
			m.values[value] = rest[:end]
			return true
		}
		if end == len(rest) {
			break
		}
	}
	if m.failed == nil {
		m.failed = map[[2]int]bool{}
	}
	m.failed[[2]int{value, at}] = true
	return false
}

// is reports whether a text may be of the kind.
func (k kind) is(text string) bool {
	switch k {
	case number:
		if text == "" || len(text) > 40 {
			return false
		}
		if _, err := strconv.ParseFloat(text, 64); err == nil {
			return true
		}
		_, err := strconv.ParseUint(text, 16, 64)
		return err == nil
	case quoted:
		_, ok := namesOf(text)
		return ok
	case anything:
	}
	return true
}

// namesOf are the names of a text as %q writes it: one, a list in brackets, or several
// with commas between.
func namesOf(text string) (names []string, ok bool) {
	list, bracketed := strings.CutPrefix(text, "[")
	if bracketed {
		if list, ok = strings.CutSuffix(list, "]"); !ok {
			return nil, false
		}
	}
	for list != "" {
		one, err := strconv.QuotedPrefix(list)
		if err != nil {
			return nil, false
		}
		name, err := strconv.Unquote(one)
		if err != nil {
			return nil, false
		}
		names = append(names, name)
		if list = list[len(one):]; list == "" {
			break
		}
		between := ", "
		if bracketed {
			between = " "
		}
		if list, ok = strings.CutPrefix(list, between); !ok || list == "" {
			return nil, false
		}
	}
	return names, bracketed || len(names) > 0
}

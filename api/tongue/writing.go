package tongue

import (
	"regexp"
	"strconv"
	"strings"
	"time"
)

var (
	point     = regexp.MustCompile(`(\d)\.(\d)`)
	wholePart = regexp.MustCompile(`(^|[^\d.])(\d{5,})`)
	hyphened  = regexp.MustCompile(`(^|[^\p{L}\p{N}.,])-(\d)`)
	powerOf10 = regexp.MustCompile(`\d(?:\.\d+)?e[+-]\d+`)
	ofNumbers = regexp.MustCompile(`^[-+±]?\d[\d.,;:/×+±%°\s-]*$|^$`)
)

// numbers reports whether a text is of numbers and marks alone.
func numbers(text string) bool { return ofNumbers.MatchString(text) }

// Number is a number in English, or a text of numbers, with the language's marks and a true minus.
func (w Writing) Number(english string) string {
	english = powerOf10.ReplaceAllStringFunc(english, func(one string) string {
		x, err := strconv.ParseFloat(one, 64)
		if err != nil || x >= 1e15 || x < 1e-9 {
			return one
		}
		return strconv.FormatFloat(x, 'f', -1, 64)
	})
	grouped := wholePart.ReplaceAllStringFunc(english, func(whole string) string {
		before := strings.IndexFunc(whole, func(r rune) bool { return r >= '0' && r <= '9' })
		for at := len(whole) - 3; at > before; at -= 3 {
			whole = whole[:at] + w.Group + whole[at:]
		}
		return whole
	})
	signed := hyphened.ReplaceAllString(grouped, "${1}−${2}")
	return point.ReplaceAllString(signed, "${1}"+w.Decimal+"${2}")
}

// momentLayouts are how the interface writes a day or a time of UTC.
var momentLayouts = []struct {
	layout string
	day    bool
}{
	{"2006-01-02T15:04:05.000000Z", false}, {"2006-01-02 15:04 UTC", false}, {"2 January 2006, 15:04 UTC", false}, {time.RFC3339, false},
	{"2006-01-02", true}, {"2 January 2006", true},
}

// moment is a day or a time of the interface as the language writes it; ok is false
// for anything else. Midnight stands for a day.
func (w Writing) moment(english string) (string, bool) {
	if len(english) < len("2006-01-02") || len(english) > 40 || english[0] < '0' || english[0] > '9' {
		return "", false
	}
	for _, l := range momentLayouts {
		at, err := time.Parse(l.layout, english)
		if err != nil {
			continue
		}
		at = at.UTC()
		if l.day || at.Equal(at.Truncate(24*time.Hour)) {
			return at.Format(w.Day), true
		}
		return at.Format(w.Time), true
	}
	return "", false
}

// names are names in quotation marks, with those of the language.
func (w Writing) names(english string) (string, bool) {
	names, ok := namesOf(english)
	if !ok {
		return "", false
	}
	for i, name := range names {
		names[i] = w.Quotes[0] + name + w.Quotes[1]
	}
	return strings.Join(names, ", "), true
}

// colon is that of the language, with its spaces.
func (w Writing) colon() string { return strings.Replace(w.Semi, ";", ":", 1) + " " }

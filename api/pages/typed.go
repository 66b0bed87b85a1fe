package pages

import (
	"encoding/json"
	"math"
	"regexp"
	"strconv"
	"strings"

	"pourpath/api/calc"
)

// What is typed for a number is read alike in every language but for one thing: a
// comma before three digits and after one to three, 1,234, is the decimal mark where
// the language has that, and elsewhere may mean thousands, so that it is not read at
// all. A point is always the decimal mark, as the addresses of pages have it.

var (
	likeThousands = regexp.MustCompile(`^[+-]?[1-9]\d{0,2},\d{3}$`)
	oneComma      = regexp.MustCompile(`^[+-]?\d*,\d*$`)
	spaced        = regexp.MustCompile(`^[+-]?\d{1,3}([\x{a0}\x{2009}\x{202f}]\d{3})+([.,]\d*)?$`)
)

var blanksInside = strings.NewReplacer("\u00a0", "", "\u2009", "", "\u202f", "")

// pointed is a number with a decimal point, as far as it can be told how it is meant;
// other text stays.
func (c *catalogue) pointed(text string) string {
	bare := strings.Replace(text, "−", "-", 1)
	if spaced.MatchString(bare) {
		bare = blanksInside.Replace(bare)
	}
	switch {
	case !oneComma.MatchString(bare):
		if strings.Contains(bare, ",") {
			return text
		}
		return bare
	case c.Writing.Decimal != "," && likeThousands.MatchString(bare):
		return text
	}
	return strings.Replace(bare, ",", ".", 1)
}

// number reads what people type for a number; anything else stays text.
func (c *catalogue) number(text string) any {
	bare := c.pointed(text)
	if json.Valid([]byte(bare)) {
		if _, err := strconv.ParseFloat(bare, 64); err == nil {
			return json.Number(bare) // with the digits as typed
		}
	}
	// .5, 5. and +0.5 are numbers to people, though not in JSON.
	x, err := strconv.ParseFloat(bare, 64)
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) || strings.ContainsAny(bare, "xX_") {
		return text
	}
	return x
}

// pointThousands may be thousands to whoever writes decimal commas.
var pointThousands = regexp.MustCompile(`^[1-9]\d{0,2}(\.\d{3})+$`)

// volume is number for what is often above a thousand, of which 1.000 is not read
// where the decimal mark is a comma: it could be one tank or a thousandth of it.
func (c *catalogue) volume(text string) any {
	if c.Writing.Decimal == "," && pointThousands.MatchString(text) {
		return text
	}
	return c.number(text)
}

// marksAlone is text of digits and marks alone.
var marksAlone = regexp.MustCompile(`^[+\-−]?[\d.,\s]*\d[.,\s]+[\d.,\s]*$`)

// refused is what is wrong with a value, and how to write it where its marks can be
// meant in two ways.
func (c *catalogue) refused(f calc.Fault, message english) (said, error) {
	if text, ok := f.Value.(string); ok && marksAlone.MatchString(text) {
		return c.marked("note.marks", message, digits("1234.5"))
	}
	return message, nil
}

// float is a number as it was typed, where it is one.
func (c *catalogue) float(text string) (x float64, ok bool) {
	x, err := strconv.ParseFloat(c.pointed(text), 64)
	return x, err == nil
}

// numbers reads a list parted by blanks or semicolons, or by commas where they are
// not the decimal marks of its numbers.
func (c *catalogue) numbers(text string) []any {
	list := []any{} // an empty list, not null, when nothing is typed
	for _, part := range c.partedNumbers(text) {
		list = append(list, c.number(part))
	}
	return list
}

var (
	commaInside = regexp.MustCompile(`\d,\d`)
	commaBeside = regexp.MustCompile(`,(\D|$)`)
)

// partedNumbers tells decimal commas from those that part numbers: where the
// language writes decimal commas, one between two digits is; elsewhere, where blanks
// or semicolons part the numbers and no comma does.
func (c *catalogue) partedNumbers(text string) []string {
	text = strings.TrimSpace(text)
	decimal := c.Writing.Decimal == "," || strings.ContainsAny(text, " \t\r\n;") && !commaBeside.MatchString(text)
	if !decimal || !commaInside.MatchString(text) {
		return parted(text)
	}
	var list []string
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \t\r\n;", r) }) {
		if part = strings.Trim(part, ","); part != "" {
			list = append(list, part)
		}
	}
	return list
}

// portable is a list of numbers with decimal points and blanks between, which is read
// alike in every language and by the interface; what is no number stays.
func (c *catalogue) portable(text string) string {
	if !strings.ContainsAny(text, ",−") {
		return text
	}
	list := c.partedNumbers(text)
	for i, part := range list {
		list[i] = c.pointed(part)
	}
	return strings.Join(list, " ")
}

// portableExtra is portable for further readings.
func (c *catalogue) portableExtra(text string) string {
	if !strings.ContainsAny(text, ",−") {
		return text
	}
	return c.portable(betweenPairs.Replace(text))
}

// betweenPairs are the marks between a wavelength and its absorbance.
var betweenPairs = strings.NewReplacer(":", " ", "=", " ")

func parted(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \t\r\n,;", r) })
}

// extra reads further readings, each a wavelength and an absorbance with a
// colon, an equals sign or a blank between.
func (c *catalogue) extra(text string) []any {
	words := c.partedNumbers(betweenPairs.Replace(text))
	var list []any
	for i := 0; i < len(words); i += 2 {
		one := map[string]any{"nm": c.number(words[i])}
		if i+1 < len(words) {
			one["absorbance"] = c.number(words[i+1])
		}
		list = append(list, one)
	}
	return list
}

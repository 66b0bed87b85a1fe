package labfile

import (
	"math"
	"strconv"
	"strings"
)

// decimalSign is how the numbers of a column are written.
type decimalSign int

const (
	point decimalSign = iota
	comma
	// either: each cell tells for itself, as in a workbook, where a number has a
	// point and only text can have a comma.
	either
)

// parseNumber reads a number. The second result says what is wrong and what
// would be right; it is "" for a number.
func parseNumber(s string, sign decimalSign) (float64, string) {
	s = strings.TrimSpace(s)
	if sign != comma && strings.IndexByte(s, ',') < 0 || sign == comma && strings.IndexByte(s, '.') < 0 {
		text := s
		if sign == comma {
			text = strings.Replace(s, ",", ".", 1)
		}
		if x, err := strconv.ParseFloat(text, 64); err == nil && isPlain(text) {
			return x, ""
		}
	}
	return parseOddNumber(s, sign)
}

// isPlain refuses what strconv takes and no laboratory means: inf, nan and
// hexadecimals.
func isPlain(s string) bool {
	for i := range len(s) {
		if c := s[i]; c >= 'f' || c >= 'F' && c <= 'Z' || c == '_' {
			return false
		}
	}
	return true
}

// parseOddNumber reads what parseNumber does not at once, or says why it is no
// number.
func parseOddNumber(s string, sign decimalSign) (float64, string) {
	text := strings.NewReplacer("\u2212", "-", "\u00A0", " ", "\u202F", " ").Replace(s)
	text = strings.TrimSpace(text)
	commas, points := strings.Count(text, ","), strings.Count(text, ".")
	digits := strings.Trim(text, "0123456789.,'’ +-") == "" && text != ""
	switch {
	case digits && (commas+points > 1 || strings.ContainsAny(strings.Trim(text, " "), " '’")):
		return 0, "this looks like a number with thousands separators: write it without them, with one decimal sign"
	case digits && sign == point && commas == 1:
		return 0, "the decimal sign of this column is a point, so that the comma could separate thousands: write the number with a point and without thousands separators"
	case digits && sign == comma && points == 1:
		return 0, "the decimal sign of this column is a comma, so that the point could separate thousands: write the number with a comma and without thousands separators"
	}
	if x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64); err == nil && isPlain(text) && !math.IsInf(x, 0) {
		return x, ""
	}
	return 0, "this is not a number: a number such as 0.142 is expected here"
}

// decimalIn tells the decimal sign of a cell: 0 where it shows none.
func decimalIn(s string) byte {
	var sign byte
	digits := 0
	for i := range len(s) {
		switch c := s[i]; {
		case c >= '0' && c <= '9':
			digits++
		case c == '.' || c == ',':
			if sign != 0 {
				return 0
			}
			sign = c
		case (c == '-' || c == '+') && i == 0:
		case (c == 'e' || c == 'E' || c == '-' || c == '+') && digits > 0:
		default:
			return 0
		}
	}
	if digits == 0 {
		return 0
	}
	return sign
}

// signsOf tells each column's decimal sign from its values in rows; a column
// that shows none has that of the file.
func signsOf(rows []row, columns int) []decimalSign {
	commas, points := make([]int, columns), make([]int, columns)
	allCommas, allPoints := 0, 0
	for _, r := range rows {
		for i, cell := range r.cells[:min(len(r.cells), columns)] {
			switch decimalIn(strings.TrimSpace(cell)) {
			case ',':
				commas[i]++
				allCommas++
			case '.':
				points[i]++
				allPoints++
			}
		}
	}
	signs := make([]decimalSign, columns)
	for i := range signs {
		c, p := commas[i], points[i]
		if c == 0 && p == 0 {
			c, p = allCommas, allPoints
		}
		if c > p {
			signs[i] = comma
		}
	}
	return signs
}

// isBlank says whether a cell says that there is nothing.
func isBlank(s string) bool {
	if s == "" {
		return true
	}
	if len(s) > 5 || s[0] >= '0' && s[0] <= '9' {
		return false
	}
	switch strings.ToLower(s) {
	case "-", "–", "—", "n/a", "na", "nan", "n.d.", "nd", "n.a.", "null", "#n/a":
		return true
	}
	return false
}

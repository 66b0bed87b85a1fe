package reports

import (
	"math"
	"strconv"
	"strings"
)

// Numbers is how a language writes numbers. All that a figure or a document writes
// goes through it.
type Numbers struct {
	DecimalMark string // "." or ","
	// GroupMark stands between thousands of a number of five digits or more before
	// its decimal mark; empty for none.
	GroupMark string
}

// Fixed writes a number with a count of decimals, a true minus and never −0.
func (n Numbers) Fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return n.marked(s)
}

// Plain writes a number as it was meant, to at most so many decimals: 9.5, not
// 9.500.
func (n Numbers) Plain(v float64, most int) string {
	s := strconv.FormatFloat(v, 'f', most, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return n.marked(s)
}

// Significant writes a number with at most so many significant digits: 0.125, 12.5.
func (n Numbers) Significant(v float64, most int) string {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return n.Plain(v, 0)
	}
	decimals := most - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	if decimals < 0 {
		unit := math.Pow10(-decimals)
		return n.Plain(math.Round(v/unit)*unit, 0)
	}
	return n.Plain(v, decimals)
}

// Probability writes a probability to two decimals; it is never written as
// certain, 0.00 or 1.00.
func (n Numbers) Probability(p float64) string {
	switch {
	case p < 0.005:
		return "< " + n.Fixed(0.01, 2)
	case p >= 0.995:
		return "> " + n.Fixed(0.99, 2)
	}
	return n.Fixed(p, 2)
}

// marked puts the language's marks into a number of strconv's.
func (n Numbers) marked(s string) string {
	s, negative := strings.CutPrefix(s, "-")
	whole, decimals, has := strings.Cut(s, ".")
	if n.GroupMark != "" && len(whole) > 4 {
		for at := len(whole) - 3; at > 0; at -= 3 {
			whole = whole[:at] + n.GroupMark + whole[at:]
		}
	}
	if has {
		whole += n.DecimalMark + decimals
	}
	if negative {
		return "−" + whole
	}
	return whole
}

// plain writes a number as it was meant, to at most three decimals.
func (n Numbers) plain(v float64) string { return n.Plain(v, 3) }

// number writes v with as many decimals as a step needs.
func (n Numbers) number(v, by float64) string {
	return n.Fixed(v, max(0, -int(math.Floor(math.Log10(by)+1e-9))))
}

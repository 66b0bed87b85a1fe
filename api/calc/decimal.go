package calc

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// exactDecimals is from how many decimals on a number counts as computed rather
// than copied from a report: no laboratory prints a colour to a millionth.
const exactDecimals = 6

// Decimal is a JSON number that remembers how many decimals were typed: they
// say how finely the value was rounded. 71.2 has one, 71.20 has two.
type Decimal struct {
	Value    float64
	Decimals int // negative when typed as 7e1
}

// HalfStep is half of the last printed digit, 0.5 · 10^-Decimals: the largest
// error that rounding made. It is 0 from six decimals on.
func (d Decimal) HalfStep() float64 {
	if d.Decimals >= exactDecimals {
		return 0
	}
	return 0.5 * math.Pow10(-d.Decimals)
}

// UnmarshalJSON reads a number and counts its decimals.
func (d *Decimal) UnmarshalJSON(data []byte) error {
	text := string(bytes.TrimSpace(data))
	// The schema has named what is no number; leaving the value out lets the
	// rest of the request be looked at too.
	if value, err := strconv.ParseFloat(text, 64); err == nil {
		*d = Decimal{Value: value, Decimals: decimalsOf(text)}
	}
	return nil
}

// MarshalJSON writes the number with the decimals it was typed with.
func (d Decimal) MarshalJSON() ([]byte, error) {
	if d.Decimals < 0 || d.Decimals >= exactDecimals {
		return json.Marshal(d.Value)
	}
	return strconv.AppendFloat(nil, d.Value, 'f', d.Decimals, 64), nil
}

// Schema makes a Decimal a plain number in the interface's description.
func (Decimal) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeNumber, Format: "double"}
}

// decimalsOf counts the decimals of a JSON number: 7.12e1 has one.
func decimalsOf(text string) int {
	mantissa, exponent, found := strings.Cut(strings.ToLower(text), "e")
	decimals := 0
	if _, fraction, ok := strings.Cut(mantissa, "."); ok {
		decimals = len(fraction)
	}
	if found {
		power, err := strconv.Atoi(exponent)
		if err != nil { // an exponent beyond int: the value is 0 or was refused
			return exactDecimals
		}
		decimals -= power
	}
	return max(-3, min(decimals, exactDecimals))
}

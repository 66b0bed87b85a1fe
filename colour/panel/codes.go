package panel

import (
	"fmt"
	"strconv"

	"pourpath/colour"
)

// The codes are the numbers of three digits that have no leading nought.
const (
	firstCode = 100
	allCodes  = 900
)

// Codes gives n different codes of three digits, 100 to 999, the first for
// glass 0. They are as hard to foresee as draw, which gives a whole number from
// 0 to n-1, each equally likely; whoever wants codes that nobody can derive
// draws from a cryptographic source.
//
// Errors: colour.FieldErrors at n, and at draw where it gives a number out of
// its range.
func Codes(n int, draw func(n int) int) ([]string, error) {
	var faults colour.FieldErrors
	if n < 1 || n > allCodes {
		faults.Addf("n", n, "codes are for 1 to %d glasses", allCodes)
	}
	if draw == nil {
		faults.Addf("draw", nil, "a source of random numbers is needed")
	}
	if err := faults.Err(); err != nil {
		return nil, fmt.Errorf("panel: %w", err)
	}
	d := drawer{draw: draw}
	codes := make([]string, n)
	for i, c := range d.permutation(allCodes)[:n] {
		codes[i] = strconv.Itoa(firstCode + c)
	}
	if err := d.faults.Err(); err != nil {
		return nil, fmt.Errorf("panel: %w", err)
	}
	return codes, nil
}

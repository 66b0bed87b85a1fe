package panel

import "pourpath/colour"

// drawer draws by a function that the caller gives, and remembers when it gave
// a number out of its range.
type drawer struct {
	draw   func(n int) int
	faults colour.FieldErrors
}

// below is a number from 0 to n-1.
func (d *drawer) below(n int) int {
	if len(d.faults) > 0 {
		return 0
	}
	v := d.draw(n)
	if v < 0 || v >= n {
		d.faults.Addf("draw", v, "a draw below %d must be from 0 to %d", n, n-1)
		return 0
	}
	return v
}

// permutation is 0 to n-1 in an order of which all are equally likely.
func (d *drawer) permutation(n int) []int {
	p := identity(n)
	shuffle(d, p)
	return p
}

// shuffle puts s in an order of which all are equally likely.
func shuffle[T any](d *drawer, s []T) {
	for i := len(s) - 1; i > 0; i-- {
		j := d.below(i + 1)
		s[i], s[j] = s[j], s[i]
	}
}

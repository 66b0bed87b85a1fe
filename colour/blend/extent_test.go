package blend

import (
	"math"
	"testing"

	"pourpath/colour/cie"
)

// TestNearestWhateverTheExtent: how far a ladder goes says where a dose is looked for, and
// must not change what is known of it: the interval is not cut at the last dose.
func TestNearestWhateverTheExtent(t *testing.T) {
	t.Parallel()
	p := NewPath(paleWhite(t), youngRed(t))
	lab := labAt(t, p, 6)
	target := Target{Lab: &lab, Tolerance: 12}
	long, err := p.Nearest(target, cie.OIV(), 40)
	if err != nil {
		t.Fatal(err)
	}
	if long.Interval95 == nil || long.Interval95[1] < 7 || long.Acceptable == nil || long.Acceptable[1] > 7 {
		t.Fatalf("the interval is %v, acceptable are %v: nothing to cut, or too much", long.Interval95, long.Acceptable)
	}
	for _, largest := range []Dose{7, 12, 20} {
		n, err := p.Nearest(target, cie.OIV(), largest)
		if err != nil {
			t.Fatal(err)
		}
		for i := range 2 {
			if got, want := n.Interval95[i], long.Interval95[i]; math.Abs(got-want) > 0.02 {
				t.Errorf("up to %g: end %d of the interval is %.4f, want %.4f as up to 40", float64(largest), i, got, want)
			}
			if got, want := n.Acceptable[i], long.Acceptable[i]; math.Abs(got-want) > 0.005 {
				t.Errorf("up to %g: end %d of the acceptable doses is %.4f, want %.4f as up to 40", float64(largest), i, got, want)
			}
		}
	}
}

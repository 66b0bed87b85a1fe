package panel_test

import (
	"math"
	"slices"
	"testing"

	"pourpath/colour/panel"
)

func TestCodes(t *testing.T) {
	for _, n := range []int{1, 5, 24, 900} {
		codes, err := panel.Codes(n, seeded(uint64(n)))
		if err != nil || len(codes) != n {
			t.Fatalf("%d codes for %d: %v", len(codes), n, err)
		}
		for _, c := range codes {
			if len(c) != 3 || c < "100" || c > "999" {
				t.Errorf("code %q, want three digits, 100 to 999", c)
			}
		}
		slices.Sort(codes)
		if len(slices.Compact(codes)) != n {
			t.Errorf("%d glasses share codes", n)
		}
	}
}

// TestCodesTellNothing: over many draws every code is as likely for each glass,
// and a glass's place says nothing about how high its code is.
func TestCodesTellNothing(t *testing.T) {
	const draws, glasses = 20_000, 5
	draw := seeded(7)
	seen, rising := map[string]int{}, 0
	var first, last float64
	for range draws {
		codes, err := panel.Codes(glasses, draw)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range codes {
			seen[c]++
		}
		if codes[0] < codes[glasses-1] {
			rising++
		}
		first, last = first+float64(codes[0][0]), last+float64(codes[glasses-1][0])
	}
	if got := float64(rising) / draws; math.Abs(got-0.5) > 4*0.5/math.Sqrt(draws) {
		t.Errorf("the last glass has the higher code in %.4f of draws, want 0.5", got)
	}
	// Each code is expected draws·glasses/900 = 111 times; chi-square over 900.
	want, chi := float64(draws*glasses)/900, 0.0
	for c := 100; c < 1000; c++ {
		d := float64(seen[itoa(c)]) - want
		chi += d * d / want
	}
	if z := (chi - 899) / math.Sqrt(2*899); math.Abs(z) > 4 {
		t.Errorf("codes are not equally likely: chi-square %.0f over 899 degrees", chi)
	}
	if d := (last - first) / draws; math.Abs(d) > 4*2.6*math.Sqrt2/math.Sqrt(draws) {
		t.Errorf("first digits of first and last glass differ by %.4f on average", d)
	}
}

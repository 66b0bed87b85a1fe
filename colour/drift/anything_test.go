package drift

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// TestAnything: whatever may be typed gives a reason, or finite figures in order.
func TestAnything(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 11))
	known, unknown := 0, map[string]int{}
	for range 3000 {
		var obs []Observation
		exact, flat, faint := r.IntN(4) == 0, r.IntN(4) == 0, r.IntN(3) == 0
		for l := range r.IntN(8) {
			s := -0.003 * r.Float64()
			if flat {
				s = 0
			}
			for range 1 + r.IntN(9) {
				d := math.Floor(math.Exp(8 * r.Float64()))
				a := 0.5 * math.Exp(s*d)
				if !exact {
					a += 0.05 * r.Float64() * r.NormFloat64()
				}
				o := Observation{fmt.Sprint(l), "", d, Reading{a, a, a, 0.002, 0.002, 0.002}}
				if faint {
					o.A620 = 0.004 * r.NormFloat64()
				}
				obs = append(obs, o)
			}
		}
		m, err := Learn(obs)
		if err != nil {
			t.Fatal(err)
		}
		for i := range m.Classes {
			c := &m.Classes[i]
			if c.Unknown != "" {
				unknown[c.Unknown[:14]]++
				continue
			}
			known++
			f, err := c.After(Reading{0.5, 0.5, 0.01, 0.002, 0.002, 0.002}, c.FirstDay, c.LastDay)
			if err != nil {
				t.Fatal(err)
			}
			for b, e := range f.A {
				if !(e.Lower <= e.Value && e.Value <= e.Upper) || math.IsInf(e.Lower, 0) || math.IsInf(e.Upper, 0) {
					t.Fatalf("%+v from %+v of %+v", e, c.Bands[b], obs)
				}
			}
		}
	}
	t.Logf("known %d, unknown %v", known, unknown)
	if known < 300 {
		t.Errorf("only %d were known: the check shows little", known)
	}
}

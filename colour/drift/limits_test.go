package drift

import (
	"math"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
)

// TestExcess: how far outside each kind of limit a colour is. The shares are those
// of OIV-AS2-07B; ΔE00 with kL = 2 is less than without where lightness differs.
func TestExcess(t *testing.T) {
	a := [bands]float64{0.2, 0.25, 0.05}
	lab := [bands]float64{80, 30, 40} // C* 50, h 53.13°
	ref := cie.Lab{L: 84, A: 30, B: 43, View: cie.OIV()}
	ones := difference.Weights{KL: 1, KC: 1, KH: 1}
	for _, tt := range []struct {
		q            Quantity
		lower, upper float64
		want         float64
	}{
		{Intensity, 0, 0.4, 0.1}, {Tint, 0.9, 1, 0.1}, {Yellow, 30, 50, -10}, {Red, 0, 45, 5}, {Blue, 20, 30, 10},
		{Chroma, 0, 48, 2}, {DeltaEab, math.Inf(-1), 4, 1},
		{Hue, 60, 80, 60 - 53.130102354}, {Hue, 350, 20, 33.130102354}, {Hue, 40, 53.130102354, 0}, {Hue, -10, 60, -6.869897646},
	} {
		if got := (part{tt.q, tt.lower, tt.upper, ones}).excess(a, lab, &ref); math.Abs(got-tt.want) > 1e-8 {
			t.Errorf("%s from %g to %g: %g, want %g", tt.q, tt.lower, tt.upper, got, tt.want)
		}
	}
	plain := (part{DeltaE00, math.Inf(-1), 2, ones}).excess(a, lab, &ref)
	halved := (part{DeltaE00, math.Inf(-1), 2, difference.Weights{KL: 2, KC: 1, KH: 1}}).excess(a, lab, &ref)
	if want := difference.DeltaE00(84, 30, 43, 80, 30, 40) - 2; math.Abs(plain-want) > 1e-12 || !(halved < plain) {
		t.Errorf("ΔE00 is off by %g, want %g; with kL = 2 by %g", plain, want, halved)
	}
	for q, in := range map[Quantity][2]float64{Hue: {20, 20}, Chroma: {5, 4}} {
		if err := (Limits{Within: map[Quantity][2]float64{q: in}, View: cie.OIV()}).Validate(); err == nil {
			t.Errorf("%s within %v is no fault", q, in)
		}
	}
	if err := (Limits{Within: map[Quantity][2]float64{DeltaEab: {math.Inf(-1), 4}}, View: cie.OIV()}).Validate(); err == nil {
		t.Error("ΔE*ab without a reference is no fault")
	}
}

// TestAimColour: a lot that looks like the aim today looks like the target on the
// day of release.
func TestAimColour(t *testing.T) {
	c := learnt(t, 0.008)
	target, err := wineOf([bands]float64{0.45, 0.6, 0.25})
	if err != nil {
		t.Fatal(err)
	}
	seen, err := target.Colour(cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	aim, err := c.AimColour(target, seen.Lab, 10, 200)
	if err != nil {
		t.Fatal(err)
	}
	then, err := c.After(certain([bands]float64{aim.A[0].Value, aim.A[1].Value, aim.A[2].Value}), 10, 200)
	if err != nil {
		t.Fatal(err)
	}
	back, err := wineOf([bands]float64{then.A[0].Value, then.A[1].Value, then.A[2].Value})
	if err != nil {
		t.Fatal(err)
	}
	again, err := back.Colour(cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	if d, err := difference.CIEDE2000(seen.Lab, again.Lab); err != nil || d > 1e-6 {
		t.Errorf("the aim comes back ΔE00 %g off the target, %v", d, err)
	}
	if !(aim.Lab.A > seen.Lab.A) {
		t.Errorf("a* %g to aim at, target %g: A520 falls, so aim redder", aim.Lab.A, seen.Lab.A)
	}
	for k, v := range []float64{aim.Lab.L, aim.Lab.A, aim.Lab.B} {
		if in := aim.Interval95[k]; !(in[0] < v && v < in[1]) {
			t.Errorf("interval %d: %v about %g", k, in, v)
		}
	}
	if _, err := c.AimColour(target, seen.Lab, 10, 9000); err == nil {
		t.Error("far beyond the data is no fault")
	}
}

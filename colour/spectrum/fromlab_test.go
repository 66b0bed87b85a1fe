package spectrum

import (
	"errors"
	"math"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/difference"
)

// TestPublishedLab inverts the colours of 37 wines, some nearly black, some
// read against a blank darker than the wine: each comes back to its own colour
// within 0.01, or is refused or warned of with a reason.
//
// Source: testdata/wine/published_lab.csv.
func TestPublishedLab(t *testing.T) {
	rows := colourtest.Rows(t, "wine/published_lab.csv")
	if len(rows) != 37 {
		t.Fatalf("%d rows, want 37 wines", len(rows))
	}
	inverted := 0
	for _, row := range rows {
		lab := cie.Lab{L: colourtest.Number(t, row[1]), A: colourtest.Number(t, row[2]), B: colourtest.Number(t, row[3]), View: cie.OIV()}
		w, err := FromLab(Stated{Lab: lab, HalfStepL: 0.005, HalfStepAB: 0.005})
		if err != nil {
			if !errors.Is(err, ErrNoSpectrum) {
				t.Errorf("%s: %v, want ErrNoSpectrum", row[0], err)
			}
			t.Logf("%s refused: %v", row[0], err)
			continue
		}
		inverted++
		c, err := w.Colour(cie.OIV())
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Hypot(c.Lab.L-lab.L, math.Hypot(c.Lab.A-lab.A, c.Lab.B-lab.B)); !(d <= 0.01) {
			t.Errorf("%s: comes back as %.3f %.3f %.3f, off by %.3f, want within 0.01", row[0], c.Lab.L, c.Lab.A, c.Lab.B, d)
		}
		if (lab.L < darkL || lab.L > 100) && len(w.Warnings) == 0 {
			t.Errorf("%s (L* %g): no warning", row[0], lab.L)
		}
		t.Logf("%s: A420 %.3f A520 %.3f A620 %.3f, uL %.2f ua %.2f ub %.2f, %v", row[0], c.Indices.A420, c.Indices.A520, c.Indices.A620, c.Uncertainty.L, c.Uncertainty.A, c.Uncertainty.B, w.Warnings)
	}
	t.Logf("%d of %d inverted", inverted, len(rows))
}

// TestLabPredictsBlends predicts blends from the unrounded L*a*b* of the base
// wines, the red stated for 1 mm.
func TestLabPredictsBlends(t *testing.T) {
	truth := published(t)
	var reds, whites []Wine
	one := func(c *cie.Curve, depth float64) Wine {
		v := cie.OIV()
		v.DepthMM = depth
		weighting, _ := cie.WeightingFor(v.Illuminant, v.Observer)
		l, a, b := weighting.AbsorbanceLab(c, depth)
		w, err := FromLab(Stated{Lab: cie.Lab{L: l, A: a, B: b, View: v}})
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	for i := range truth.reds {
		reds = append(reds, one(&truth.reds[i], 1))
	}
	for i := range truth.whites {
		whites = append(whites, one(&truth.whites[i], 10))
	}
	m := blendMisses(t, truth, reds, whites)
	t.Logf("from L*a*b*: %s", m)
	if got := m.quantile(0.5); !(got <= 0.15) {
		t.Errorf("median ΔE00 = %.3f, want at most 0.15", got)
	}
}

// TestRoundedLabOfDarkReds measures what the digits of a report carry of a red
// that is stated for 10 mm: the darker, the less a blend can be predicted from
// them. It is why such values are warned of below L* 50 and refused for
// blending below 25.
func TestRoundedLabOfDarkReds(t *testing.T) {
	truth := published(t)
	weighting, err := cie.WeightingFor("D65", "10")
	if err != nil {
		t.Fatal(err)
	}
	white := truth.whites[0]
	bands := []struct{ low, high float64 }{{10, 20}, {20, 30}, {30, 40}, {40, 50}}
	miss := make([]misses, len(bands))
	refused := 0
	for i := 0; i < len(truth.reds); i += 3 {
		for _, a520 := range []float64{1.5, 2.2, 3, 4.5, 6, 9, 13} {
			red := truth.reds[i].Times(a520 / 5)
			l, a, b := weighting.AbsorbanceLab(&red, 10)
			stated := Stated{Lab: cie.Lab{L: math.Round(10*l) / 10, A: math.Round(100*a) / 100, B: math.Round(100*b) / 100, View: cie.OIV()}, HalfStepL: 0.05, HalfStepAB: 0.005}
			w, err := FromLab(stated)
			if err != nil {
				refused++
				continue
			}
			for k, band := range bands {
				if l < band.low || l >= band.high {
					continue
				}
				f := 0.35 / a520 // of a rosé
				var want, got cie.Curve
				want, got = white.Times(1-f), white.Times(1-f)
				want.Add(f, &red)
				got.Add(f, &w.Absorbance)
				l1, a1, b1 := weighting.AbsorbanceLab(&want, 10)
				l2, a2, b2 := weighting.AbsorbanceLab(&got, 10)
				miss[k].deltaE00 = append(miss[k].deltaE00, difference.DeltaE00(l1, a1, b1, l2, a2, b2))
			}
		}
	}
	for k, band := range bands {
		if len(miss[k].deltaE00) == 0 {
			t.Logf("L* %g-%g: all refused", band.low, band.high)
			continue
		}
		t.Logf("L* %g-%g: median ΔE00 %.2f, 90th percentile %.2f of %d; %d refused in all", band.low, band.high, miss[k].quantile(0.5), miss[k].quantile(0.9), len(miss[k].deltaE00), refused)
	}
	if got := miss[3].quantile(0.5); !(got < 1) {
		t.Errorf("at L* 40-50 a blend misses by a median ΔE00 %.2f, want less than 1", got)
	}
}

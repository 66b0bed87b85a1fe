package cie

import (
	"errors"
	"math"
	"testing"

	"github.com/lucasb-eyer/go-colorful"

	"pourpath/colour/colourtest"
)

func TestClearWaterIsExactlyWhite(t *testing.T) {
	for _, i := range Illuminants() {
		for _, o := range Observers() {
			for _, depth := range []float64{0.5, 10, 65} {
				if L, a, b := weighting(t, i, o).AbsorbanceLab(&Curve{}, depth); L != 100 || a != 0 || b != 0 {
					t.Errorf("clear water under %s/%s = %g %g %g, want exactly 100 0 0", i, o, L, a, b)
				}
			}
		}
	}
}

// TestLabAgainstLibrary compares with go-colorful's conversion, which scales
// L*a*b* to a hundredth and takes any white.
func TestLabAgainstLibrary(t *testing.T) {
	for _, i := range Illuminants() {
		w := weighting(t, i, "10")
		white := w.White()
		ref := [3]float64{white.X / 100, white.Y / 100, white.Z / 100}
		for _, strength := range []float64{0, 0.05, 0.3, 1, 3, 8} {
			var transmittance Curve
			Transmit(&transmittance, closedForm(strength), 10)
			x := w.XYZ(&transmittance)
			got := x.Lab(white, OIV())
			L, a, b := colorful.XyzToLabWhiteRef(x.X/100, x.Y/100, x.Z/100, ref)
			if !colourtest.Near(got.L, 100*L, 1e-11, 0) || !colourtest.Near(got.A, 100*a, 1e-11, 0) || !colourtest.Near(got.B, 100*b, 1e-11, 0) {
				t.Errorf("Lab of %v under %s = %v, want %g %g %g ± 1e-11", x, i, got, 100*L, 100*a, 100*b)
			}
			X, Y, Z := colorful.LabToXyzWhiteRef(L, a, b, ref)
			if back := got.XYZ(white); !colourtest.Near(back.X, 100*X, 1e-11, 0) || !colourtest.Near(back.Y, 100*Y, 1e-11, 0) || !colourtest.Near(back.Z, 100*Z, 1e-11, 0) {
				t.Errorf("XYZ of %v under %s = %v, want %g %g %g ± 1e-11", got, i, back, 100*X, 100*Y, 100*Z)
			}
		}
	}
}

func TestLabRoundTrip(t *testing.T) {
	white := weighting(t, "D65", "10").White()
	for _, c := range []struct {
		name    string
		x, y, z float64 // fractions of the white
	}{
		{"white", 1, 1, 1},
		{"above white", 1.2, 1.1, 1.3},
		{"middle", 0.4, 0.3, 0.15},
		{"just above the join", joint * (1 + 1e-9), joint * (1 + 1e-9), joint * (1 + 1e-9)},
		{"at the join", joint, joint, joint},
		{"just below the join", joint * (1 - 1e-9), joint * (1 - 1e-9), joint * (1 - 1e-9)},
		{"either side", joint * 1.5, joint, joint * 0.5},
		{"black", 0, 0, 0},
		{"below black", -0.001, -0.001, -0.001},
	} {
		x := XYZ{c.x * white.X, c.y * white.Y, c.z * white.Z}
		checkXYZ(t, c.name, x.Lab(white, OIV()).XYZ(white), x, 1e-12)
	}
}

// TestJoin: value and slope agree on both sides of (6/29)³, where L* is 8
// (CIE015, 8.2.1).
func TestJoin(t *testing.T) {
	const step = 1e-12
	if below, above := cubeRoot(joint), cubeRoot(joint+step); !colourtest.Near(below, 6.0/29, 1e-16, 0) || !colourtest.Near(above-below, slope*step, 1e-16, 0) {
		t.Errorf("f at the join = %.17g and %.17g, want 6/29 and a step of %g", below, above, slope*step)
	}
	if below, above := cubeRootSlope(joint), cubeRootSlope(joint+step); !colourtest.Near(above, below, 0, 1e-9) {
		t.Errorf("slope at the join = %g below and %g above, want equal", below, above)
	}
	white := weighting(t, "D65", "10").White()
	if got := (XYZ{Y: joint * white.Y}).Lab(white, OIV()).L; !colourtest.Near(got, 8, 1e-13, 0) {
		t.Errorf("L* at the join = %.15g, want 8", got)
	}
}

func TestLabNaN(t *testing.T) {
	a := closedForm(1)
	a[40] = math.NaN()
	if L, A, B := weighting(t, "D65", "10").AbsorbanceLab(a, 10); !math.IsNaN(L) || !math.IsNaN(A) || !math.IsNaN(B) {
		t.Errorf("AbsorbanceLab with a NaN = %g %g %g, want NaN in all three", L, A, B)
	}
}

func TestHueEdges(t *testing.T) {
	negative := math.Copysign(0, -1)
	for _, c := range []struct {
		name       string
		a, b, want float64
	}{
		{"red", 1, 0, 0},
		{"red, negative zero", 1, negative, 0},
		{"a hair below red", 1, -1e-300, 0},
		{"just below red", 1, -1e-3, 360 - 180/math.Pi*1e-3},
		{"yellow", 0, 1, 90},
		{"green", -1, 0, 180},
		{"green, negative zero", -1, negative, 180},
		{"blue", 0, -1, 270},
		{"neutral", 0, 0, 0},
		{"neutral, negative zeros", negative, negative, 0},
	} {
		got := Lab{A: c.a, B: c.b}.Hue()
		if !colourtest.Near(got, c.want, 1e-7, 0) || got < 0 || got >= 360 || math.Signbit(got) && got != 0 {
			t.Errorf("%s: Hue(%g, %g) = %g, want %g", c.name, c.a, c.b, got, c.want)
		}
	}
	if got := (Lab{A: 3, B: -4}).Chroma(); got != 5 {
		t.Errorf("Chroma(3, -4) = %g, want 5", got)
	}
}

// TestJacobians compares both derivatives with central differences.
func TestJacobians(t *testing.T) {
	for _, c := range []struct {
		name     string
		strength float64
		depthMM  float64
	}{
		{"pale", 0.1, 10}, {"rosé", 0.3, 10}, {"red", 2, 10}, {"below the join", 12, 10}, {"thin", 2, 1}, {"deep glass", 0.2, 65},
	} {
		w := weighting(t, "D65", "10")
		a := closedForm(c.strength)
		lab, j := w.AbsorbanceJacobian(a, c.depthMM)
		if L, A, B := w.AbsorbanceLab(a, c.depthMM); lab != [3]float64{L, A, B} {
			t.Errorf("%s: AbsorbanceJacobian gives %v, AbsorbanceLab %v", c.name, lab, [3]float64{L, A, B})
		}
		const h = 1e-5
		for i := range a {
			up, down := *a, *a
			up[i] += h
			down[i] -= h
			uL, uA, uB := w.AbsorbanceLab(&up, c.depthMM)
			dL, dA, dB := w.AbsorbanceLab(&down, c.depthMM)
			for k, want := range [3]float64{(uL - dL) / (2 * h), (uA - dA) / (2 * h), (uB - dB) / (2 * h)} {
				if !colourtest.Near(j[k][i], want, 1e-7, 1e-6) {
					t.Errorf("%s: derivative %d at %g nm = %g, finite difference %g", c.name, k, FirstNM+StepNM*float64(i), j[k][i], want)
				}
			}
		}
	}
}

func TestLabJacobian(t *testing.T) {
	white := weighting(t, "D65", "10").White()
	const h = 1e-5
	for _, x := range []XYZ{{95, 100, 107}, {40, 28, 15}, {0.5, 1.5, 0.2}} {
		got := LabJacobian(x, white)
		for col, d := range []XYZ{{h, 0, 0}, {0, h, 0}, {0, 0, h}} {
			up := XYZ{x.X + d.X, x.Y + d.Y, x.Z + d.Z}.Lab(white, OIV())
			down := XYZ{x.X - d.X, x.Y - d.Y, x.Z - d.Z}.Lab(white, OIV())
			for row, want := range [3]float64{(up.L - down.L) / (2 * h), (up.A - down.A) / (2 * h), (up.B - down.B) / (2 * h)} {
				if !colourtest.Near(got[row][col], want, 1e-8, 1e-7) {
					t.Errorf("LabJacobian(%v)[%d][%d] = %g, finite difference %g", x, row, col, got[row][col], want)
				}
			}
		}
	}
}

func TestViewValidate(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name string
		view View
		want []error
	}{
		{"wine method", OIV(), nil},
		{"deepest", View{"LED-B5", "2", 1000}, nil},
		{"thinnest", View{"A", "2", 1e-9}, nil},
		{"light", View{"D55", "10", 10}, []error{ErrIlluminant}},
		{"lower case", View{"d65", "10", 10}, []error{ErrIlluminant}},
		{"observer", View{"D65", "4", 10}, []error{ErrObserver}},
		{"no depth", View{"D65", "10", 0}, []error{ErrDepth}},
		{"negative", View{"D65", "10", -1}, []error{ErrDepth}},
		{"too deep", View{"D65", "10", 1000.1}, []error{ErrDepth}},
		{"NaN", View{"D65", "10", nan}, []error{ErrDepth}},
		{"infinite", View{"D65", "10", inf}, []error{ErrDepth}},
		{"zero view", View{}, []error{ErrIlluminant, ErrObserver, ErrDepth}},
	} {
		err := c.view.Validate()
		if (err == nil) != (c.want == nil) {
			t.Errorf("%s: Validate(%v) = %v, want %v", c.name, c.view, err, c.want)
		}
		for _, want := range c.want {
			if !errors.Is(err, want) {
				t.Errorf("%s: Validate(%v) = %v, want %v in it", c.name, c.view, err, want)
			}
		}
	}
	if _, err := WeightingFor("D55", "4"); !errors.Is(err, ErrIlluminant) || !errors.Is(err, ErrObserver) {
		t.Errorf("WeightingFor(D55, 4) = %v, want both faults", err)
	}
}

func TestEveryViewHasAWeighting(t *testing.T) {
	if n := len(weightings()); n != len(Illuminants())*len(Observers()) || n != 22 {
		t.Errorf("%d weightings, want 22", n)
	}
	for _, i := range Illuminants() {
		for _, o := range Observers() {
			first, again := weighting(t, i, o), weighting(t, i, o)
			if first == nil || first != again {
				t.Errorf("WeightingFor(%s, %s) is not shared", i, o)
			}
		}
	}
	Illuminants()[0] = "changed"
	Observers()[0] = "changed"
	if Illuminants()[0] != "D65" || Observers()[0] != "2" {
		t.Error("a caller can change the list of illuminants or observers")
	}
}

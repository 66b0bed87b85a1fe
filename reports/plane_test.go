package reports

import (
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/difference"

	"gonum.org/v1/plot/vg"
)

// randomFigure has a target, a curve and rungs anywhere among the colours.
func randomFigure(r *rand.Rand) *LadderFigure {
	v := cie.OIV()
	size := math.Pow(10, 2*r.Float64()-0.5)
	a0, b0 := 80*r.Float64()-40, 80*r.Float64()-40
	lab := func(t float64) cie.Lab { return cie.Lab{L: 90 - 10*t, A: a0 + size*t, B: b0 + size*t*t/3, View: v} }
	f := &LadderFigure{Texts: english(), View: v, Target: &TargetMark{Lab: lab(0.5), Tolerance: 3 * r.Float64()}}
	for i := range 101 {
		t := float64(i) / 100
		f.Curve = append(f.Curve, PathPoint{DoseMLPer100ML: 20 * t, Lab: lab(t)})
		if i%10 == 0 {
			f.Rungs = append(f.Rungs, RungMark{DoseML: 20 * t, DoseMLPer100ML: 20 * t, Lab: lab(t)})
		}
	}
	return f
}

var testBox = vg.Rectangle{Max: vg.Point{X: planeWide, Y: panelsHigh}}

// One unit of a* is as long on the page as one of b*, and every rung is inside.
func TestPlaneHasEqualAxes(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		f := randomFigure(r)
		pl := newPlane(f, testBox, newLocus(f))
		zero, a, b := pl.at(0, 0), pl.at(1, 0), pl.at(0, 1)
		across, up := float64(a.X-zero.X), float64(b.Y-zero.Y)
		if math.Abs(across-up) > 1e-9*across {
			t.Fatalf("a* is %g points a unit, b* %g", across, up)
		}
		for _, g := range f.Rungs {
			if !pl.holds(pl.at(g.Lab.A, g.Lab.B)) {
				t.Fatalf("rung at %v is outside x %v y %v", g.Lab, pl.x, pl.y)
			}
		}
	}
}

// Every point of the outline is as far from the target as the tolerance says,
// at the L* that the caption gives.
func TestToleranceOutlineIsTrue(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		f := randomFigure(r)
		f.Nearest = &NearestMark{Lab: f.Curve[55].Lab}
		l := newLocus(f)
		if l == nil {
			t.Fatalf("no outline of tolerance %g", f.Target.Tolerance)
		}
		for _, pt := range l.points {
			at := cie.Lab{L: l.lightness, A: pt[0], B: pt[1], View: f.View}
			d, err := difference.CIEDE2000(f.Target.Lab, at)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(d-f.Target.Tolerance) > 1e-6 {
				t.Fatalf("ΔE00 at %v is %g, want %g", at, d, f.Target.Tolerance)
			}
		}
	}
}

func TestLocusFallsBackOnTheTargetsLightness(t *testing.T) {
	f := randomFigure(rand.New(rand.NewPCG(5, 6)))
	f.Target.Tolerance = 1
	f.Nearest = &NearestMark{Lab: f.Target.Lab}
	f.Nearest.Lab.L -= 30
	if l := newLocus(f); l == nil || l.lightness != f.Target.Lab.L {
		t.Errorf("outline is %+v, want one at the target's L* %g", l, f.Target.Lab.L)
	}
}

// No two labels of the plane touch, and none leaves it.
func TestLabelsKeepApart(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 100 {
		f := randomFigure(r)
		pl := newPlane(f, testBox, newLocus(f))
		l := pl.obstacles()
		marks := len(l.taken)
		points := make([]vg.Point, len(pl.shown))
		for i, k := range pl.shown {
			points[i] = pl.project(PathPoint{Lab: f.Rungs[k].Lab})
		}
		for i, n := range normals(points) {
			l.place(english().plain(f.Rungs[pl.shown[i]].DoseML), points[i], n, pl.radii)
		}
		for i := marks; i < len(l.taken); i++ {
			box := l.taken[i]
			if box.Min.X < 0 || box.Max.X > planeWide || box.Min.Y < 0 || box.Max.Y > panelsHigh {
				t.Fatalf("a label at %v leaves the plane", box)
			}
			for _, other := range l.taken[:i] {
				if box.Min.X < other.Max.X && other.Min.X < box.Max.X && box.Min.Y < other.Max.Y && other.Min.Y < box.Max.Y {
					t.Fatalf("a label at %v touches %v", box, other)
				}
			}
		}
	}
}

func TestStepsAreRound(t *testing.T) {
	for _, tt := range []struct {
		size float64
		n    int
		want float64
	}{{10, 5, 2}, {10.1, 5, 5}, {1, 5, 0.2}, {0.3, 5, 0.1}, {2000, 7, 500}, {5, 5, 1}} {
		if got := step(tt.size, tt.n); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("step(%g, %d) is %g, want %g", tt.size, tt.n, got, tt.want)
		}
	}
}

func TestNumbersForReaders(t *testing.T) {
	en := english()
	for _, tt := range []struct{ got, want string }{
		{en.number(-10, 5), "−10"}, {en.number(-0.0000001, 0.5), "0.0"}, {en.number(0.25, 0.05), "0.25"},
		{en.plain(9.5), "9.5"}, {en.plain(20), "20"}, {en.plain(0.125), "0.125"}, {en.plain(100), "100"}, {en.plain(0), "0"},
		{(&LadderFigure{Texts: en}).percent(0), "0 %"}, {(&LadderFigure{Texts: en}).percent(9.5), "8.7 %"}, // 9.5 / 109.5 = 0.08676
		{(&LadderFigure{Texts: en, HeldMLPer100ML: 20}).percent(10), "7.7 %"}, // 10 / 130 = 0.0769
	} {
		if tt.got != tt.want {
			t.Errorf("written %q, want %q", tt.got, tt.want)
		}
	}
	for _, tt := range []struct {
		half float64
		want int
	}{{3, 1}, {0.45, 1}, {0.05, 2}, {0.0001, 3}, {0, 1}} {
		if got := doseDecimals(&[2]float64{5 - tt.half, 5 + tt.half}); got != tt.want {
			t.Errorf("%d decimals for ± %g, want %d", got, tt.half, tt.want)
		}
	}
}

// A part of a path starts and ends exactly at its doses.
func TestPartIsCutAtItsDoses(t *testing.T) {
	f := randomFigure(rand.New(rand.NewPCG(9, 10)))
	for _, r := range [][2]float64{{1.03, 7.77}, {0, 20}, {3.31, 3.35}, {4, 4}, {25, 30}} {
		piece := part(f.Curve, r[0], r[1])
		if r[0] > 20 {
			if len(piece) != 0 {
				t.Errorf("part %v beyond the path has %d points", r, len(piece))
			}
			continue
		}
		first, last := piece[0].DoseMLPer100ML, piece[len(piece)-1].DoseMLPer100ML
		if first != r[0] || last != r[1] {
			t.Errorf("part %v runs from %g to %g", r, first, last)
		}
	}
}

func FuzzParseHex(f *testing.F) {
	for _, s := range []string{"#e8b4b8", "#E8B4B8", "#fff", "", "#", "e8b4b8#", "#+12345", "#gggggg", "# 1 2 3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		want := len(s) == 7 && s[0] == '#'
		for _, c := range s[min(1, len(s)):] {
			want = want && (c >= '0' && c <= '9' || c >= 'a' && c <= 'f' || c >= 'A' && c <= 'F')
		}
		if _, err := parseHex(s); (err == nil) != want {
			t.Errorf("%q: error %v", s, err)
		}
	})
}

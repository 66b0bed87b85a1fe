package reports_test

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"pourpath/reports"

	"gonum.org/v1/plot/cmpimg"
)

var glasses = []struct {
	name    string
	drawing func() reports.GlassDrawing
	lean    float64 // clockwise
}{
	{"standing", reports.StandingGlass, 0},
	{"tilted", reports.TiltedGlass, math.Pi / 4},
}

// righted puts places of a drawn glass into the glass itself: x from its axis, y
// up from its foot.
func righted(outline []point, lean float64) func(point) point {
	sin, cos := math.Sincos(lean)
	turned := func(p point) point { return point{p.x*cos + p.y*sin, p.x*sin - p.y*cos} }
	left, right, low := math.Inf(1), math.Inf(-1), math.Inf(1)
	for _, p := range outline {
		p = turned(p)
		left, right, low = min(left, p.x), max(right, p.x), min(low, p.y)
	}
	return func(p point) point {
		p = turned(p)
		return point{p.x - (left+right)/2, p.y - low}
	}
}

// wall is the left half of the inner wall from the bottom up: the last part of the
// outline.
func wall(outline []point, lean float64) []point {
	right := righted(outline, lean)
	var half []point
	for _, p := range slices.Backward(outline) {
		p = right(p)
		if n := len(half); p.x > 0 || n > 0 && p.y >= half[n-1].y {
			break
		}
		half = append(half, p)
	}
	slices.Reverse(half)
	return half
}

// radiusAt is the inner radius at a height above the foot, 0 outside the bowl.
func radiusAt(wall []point, z float64) float64 {
	i, _ := slices.BinarySearchFunc(wall, z, func(p point, z float64) int { return cmp.Compare(p.y, z) })
	if i == 0 || i == len(wall) {
		return 0
	}
	a, b := wall[i-1], wall[i]
	return -(a.x + (b.x-a.x)*(z-a.y)/(b.y-a.y))
}

// The dimensions and tolerances of ISO 3591:1977 are from memory.
func TestGlassHasTheStandardsDimensions(t *testing.T) {
	for _, tt := range glasses {
		t.Run(tt.name, func(t *testing.T) {
			outline := flattened(t, tt.drawing().Outline)
			right := righted(outline, tt.lean)
			var high, cup, foot, stem float64
			stem = math.Inf(1)
			for _, p := range outline {
				switch p = right(p); {
				case p.y < 5:
					foot = max(foot, 2*p.x)
				case p.y < 50 && p.x > 0:
					stem = min(stem, 2*p.x)
				case p.y > 60:
					cup = max(cup, 2*p.x)
				}
				high = max(high, p.y)
			}
			inner := wall(outline, tt.lean)
			brim := inner[len(inner)-1]
			millilitres := 0.0 // in frusta of cones
			for i := 1; i < len(inner); i++ {
				a, b := inner[i-1], inner[i]
				millilitres += math.Pi / 3 * (b.y - a.y) * (a.x*a.x + a.x*b.x + b.x*b.x) / 1000
			}
			for _, d := range []struct {
				what              string
				got, want, within float64
			}{
				{"height", high, 155, 5},
				{"cup, at its widest", cup, 65, 2},
				{"rim, outside", 2 * right(outline[0]).x * -1, 46, 2},
				{"wall at the rim", brim.x - right(outline[0]).x, 0.8, 0.1},
				{"stem", stem, 9, 1},
				{"foot", foot, 65, 5},
				{"brimful in mL", millilitres, 215, 10},
			} {
				t.Logf("%s: %.2f", d.what, d.got)
				if !(math.Abs(d.got-d.want) <= d.within) {
					t.Errorf("%s is %.3f, want %g ± %g", d.what, d.got, d.want, d.within)
				}
			}
		})
	}
}

// Random places about the drawn wine lie inside the turned wall of the drawn glass
// as often as 50 mL want it: a check that shares no slices and no formula with the
// drawing's making.
func TestGlassHolds50MLOfWine(t *testing.T) {
	const n, wide = 2_000_000, 33.0
	for _, tt := range glasses {
		t.Run(tt.name, func(t *testing.T) {
			g := tt.drawing()
			outline := flattened(t, g.Outline)
			inner, right := wall(outline, tt.lean), righted(outline, tt.lean)
			surface := flattened(t, g.Wine)[0].y
			x0, x1, y1 := g.GradientX1-2, g.GradientX2+2, surface+g.DeepestMM+2
			random := rand.New(rand.NewPCG(3591, 50))
			hits := 0
			for range n {
				p := right(point{x0 + (x1-x0)*random.Float64(), surface + (y1-surface)*random.Float64()})
				if math.Hypot(p.x, wide*(2*random.Float64()-1)) < radiusAt(inner, p.y) {
					hits++
				}
			}
			box := (x1 - x0) * (y1 - surface) * 2 * wide / 1000
			share := float64(hits) / n
			got, sd := box*share, box*math.Sqrt(share*(1-share)/n)
			t.Logf("%.3f mL, standard deviation %.3f", got, sd)
			if math.Abs(got-50) > 4*sd {
				t.Errorf("%.3f mL of wine, want 50 within %.3f", got, 4*sd)
			}
		})
	}
}

// Shells about the axis, from the stops alone: what a reader of the gradient makes
// of it.
func TestStandingStopsHold50ML(t *testing.T) {
	g, levels := reports.StandingGlass(), reports.GlassLevelsMM()
	width := g.GradientX2 - g.GradientX1
	millilitres := 0.0
	for i := 1; i < len(g.Stops); i++ {
		a, b := g.Stops[i-1], g.Stops[i]
		r := math.Abs((a.Offset+b.Offset)/2-0.5) * width
		millilitres += math.Pi * r * (b.Offset - a.Offset) * width * (levels[a.Level] + levels[b.Level]) / 2 / 1000
	}
	t.Logf("%.2f mL", millilitres)
	if math.Abs(millilitres-50) > 0.5 {
		t.Errorf("%.2f mL, want 50 within a hundredth", millilitres)
	}
}

// depthAt is how far a polygon reaches down from y at x.
func depthAt(polygon []point, x, y float64) float64 {
	depth := 0.0
	for i, b := range polygon {
		a := polygon[(i+len(polygon)-1)%len(polygon)]
		if (a.x-x)*(b.x-x) <= 0 && a.x != b.x {
			depth = max(depth, a.y+(b.y-a.y)*(x-a.x)/(b.x-a.x)-y)
		}
	}
	return depth
}

func TestStopsLieWhereTheWineIsThatDeep(t *testing.T) {
	levels := reports.GlassLevelsMM()
	for _, tt := range glasses {
		t.Run(tt.name, func(t *testing.T) {
			g := tt.drawing()
			wine := flattened(t, g.Wine)
			surface := wine[0].y
			var deepest, deepestX float64
			for _, p := range wine {
				if p.y-surface > deepest {
					deepest, deepestX = p.y-surface, p.x
				}
				if p.y < surface || p.x < g.GradientX1 || p.x > g.GradientX2 {
					t.Fatalf("wine at %v, outside its rims at %g and %g or above its surface at %g",
						p, g.GradientX1, g.GradientX2, surface)
				}
			}
			if last := wine[len(wine)-1]; last.y != surface || wine[0].x != g.GradientX1 || last.x != g.GradientX2 {
				t.Errorf("rims of the wine %v and %v, want them level at the ends of the gradient", wine[0], last)
			}
			if math.Abs(deepest-g.DeepestMM) > 0.01 {
				t.Errorf("deepest %.3f mm, drawn %.3f", g.DeepestMM, deepest)
			}
			core := 0
			for i, s := range g.Stops {
				if s.Level > g.Stops[core].Level {
					core = i
				}
				// The wall is steep at the rims: 0.01 mm across are up to 0.06 down.
				x := g.GradientX1 + s.Offset*(g.GradientX2-g.GradientX1)
				if got := depthAt(wine, x, surface); math.Abs(got-levels[s.Level]) > 0.08 {
					t.Errorf("stop %d at %.2f: wine %.3f mm deep, level %.3f", i, x, got, levels[s.Level])
				}
			}
			if x := g.GradientX1 + g.Stops[core].Offset*(g.GradientX2-g.GradientX1); math.Abs(x-deepestX) > 0.1 {
				t.Errorf("core at %.3f, the wine is deepest at %.3f", x, deepestX)
			}
			if levels[g.Stops[core].Level] != g.DeepestMM {
				t.Errorf("level of the core %g, deepest %g", levels[g.Stops[core].Level], g.DeepestMM)
			}
			if len(g.Stops) != 2*core+1 || g.Stops[0].Offset != 0 || g.Stops[2*core].Offset != 1 {
				t.Fatalf("core at stop %d of %d, from %g to %g", core, len(g.Stops), g.Stops[0].Offset, g.Stops[len(g.Stops)-1].Offset)
			}
			for i, s := range g.Stops {
				if want := min(i, 2*core-i); s.Level != want {
					t.Errorf("stop %d has level %d, want %d", i, s.Level, want)
				}
				if i > 0 && s.Offset <= g.Stops[i-1].Offset {
					t.Errorf("stop %d at %g is not right of the one before", i, s.Offset)
				}
			}
		})
	}
}

func TestStandingWineIsSymmetricAndTiltedIsNot(t *testing.T) {
	g := reports.StandingGlass()
	for i, s := range g.Stops {
		if other := g.Stops[len(g.Stops)-1-i]; math.Abs(s.Offset+other.Offset-1) > 1e-12 {
			t.Errorf("stop %d at %g, its twin at %g", i, s.Offset, other.Offset)
		}
	}
	// From a steep wall on the left to a shallow one on the right.
	tilted := reports.TiltedGlass()
	if middle := tilted.Stops[len(tilted.Stops)/2].Offset; middle >= 0.5 {
		t.Errorf("core of the tilted wine at %g, want it left of the middle", middle)
	}
}

func TestGlassLevels(t *testing.T) {
	levels := reports.GlassLevelsMM()
	standing, tilted := reports.StandingGlass().DeepestMM, reports.TiltedGlass().DeepestMM
	t.Logf("deepest %.3f mm standing, %.3f mm tilted", standing, tilted)
	if len(levels) != 24 || levels[0] != 0 || levels[23] != max(standing, tilted) {
		t.Errorf("%d levels from %g to %g, want 24 from 0 to %g", len(levels), levels[0], levels[len(levels)-1], max(standing, tilted))
	}
	if !slices.Contains(levels, min(standing, tilted)) {
		t.Errorf("the less deep core, %g, is no level", min(standing, tilted))
	}
	for i := 1; i < len(levels); i++ {
		if step := levels[i] - levels[i-1]; !(step > 0 && step < 2) {
			t.Errorf("level %d is %g mm beyond the one before", i, step)
		}
	}
}

func TestGlassesFitTheirPages(t *testing.T) {
	for _, tt := range glasses {
		t.Run(tt.name, func(t *testing.T) {
			g := tt.drawing()
			if !reflect.DeepEqual(g, tt.drawing()) {
				t.Error("two calls differ")
			}
			if g.HeightMM != reports.StandingGlass().HeightMM {
				t.Errorf("height %g, not that of the standing glass", g.HeightMM)
			}
			for _, path := range []string{g.Outline, g.Wine} {
				if len(path) >= 600 {
					t.Errorf("path of %d characters", len(path))
				}
				for _, p := range flattened(t, path) {
					if p.x < 0.5 || p.x > g.WidthMM-0.5 || p.y < 0.5 || p.y > g.HeightMM-0.5 {
						t.Fatalf("%v is too near the edge of %g × %g", p, g.WidthMM, g.HeightMM)
					}
				}
			}
		})
	}
}

// glassSVG is the drawing as a page shows it, with a pink that darkens as
// light fades in wine, by the law of Bouguer, Lambert and Beer.
func glassSVG(g reports.GlassDrawing) []byte {
	levels := reports.GlassLevelsMM()
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%gmm" height="%gmm">
<linearGradient id="wine" gradientUnits="userSpaceOnUse" x1="%g" x2="%g" y1="0" y2="0">
`, g.WidthMM, g.HeightMM, g.WidthMM, g.HeightMM, g.GradientX1, g.GradientX2)
	for _, s := range g.Stops {
		fmt.Fprintf(&b, `<stop offset="%.2f%%" stop-color="#`, 100*s.Offset)
		for _, perMM := range []float64{0.001, 0.02, 0.013} {
			fmt.Fprintf(&b, "%02x", int(math.Round(255*math.Pow(10, -perMM*levels[s.Level]/2.2))))
		}
		fmt.Fprintln(&b, `"/>`)
	}
	fmt.Fprintf(&b, `</linearGradient>
<path d="%s" fill="url(#wine)"/>
<path d="%s" fill="none" stroke="#22262b" stroke-width=".5" stroke-linejoin="round"/>
</svg>
`, g.Wine, g.Outline)
	return b.Bytes()
}

// The drawings in testdata were looked at by eye.
func TestGoldenGlass(t *testing.T) {
	for _, tt := range glasses {
		t.Run(tt.name, func(t *testing.T) {
			got := glassSVG(tt.drawing())
			file := filepath.Join("testdata", "glass_"+tt.name+".svg")
			if *update {
				if err := os.WriteFile(file, got, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatalf("%v (run with -update to write it)", err)
			}
			same, err := cmpimg.Equal("svg", got, want)
			if err != nil {
				t.Fatal(err)
			}
			if !same {
				t.Errorf("differs from %s", file)
			}
		})
	}
}

func ExampleTiltedGlass() {
	g := reports.TiltedGlass()
	fmt.Printf("50 mL of wine, %.1f mm deep at the core\n", g.DeepestMM)
	fmt.Printf("%d stops across %.1f mm\n", len(g.Stops), g.GradientX2-g.GradientX1)
	// Output:
	// 50 mL of wine, 26.2 mm deep at the core
	// 43 stops across 66.5 mm
}

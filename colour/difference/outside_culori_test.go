//go:build outside

package difference_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
)

// outsideDir holds the scripts of the outside checks and their packages.
const outsideDir = "../../testdata/outside"

// culoriTolerance is the largest difference allowed between two programs that
// compute one formula in float64. Where the mean hue passes through a cosine
// or the pair is close to equal, some ten digits are lost at worst; both are
// far below 1e-9 unless the hues are opposite, which labPairs keeps away from:
// there the formula jumps, and rounding alone decides on which side of the
// jump a program lands (Sharma, Wu and Dalal, Color Res. Appl. 30 (2005) 21,
// section on discontinuities).
const culoriTolerance = 1e-9

// TestOutsideCulori holds CIEDE2000 and CIE76 against culori, a library of
// another hand in another language.
func TestOutsideCulori(t *testing.T) {
	pairs := labPairs(rand.New(rand.NewPCG(2000, 76)))
	want := runCulori(t, pairs)
	var worst, largest float64
	for i, p := range pairs {
		reference := cie.Lab{L: p[0], A: p[1], B: p[2], View: cie.OIV()}
		sample := cie.Lab{L: p[3], A: p[4], B: p[5], View: cie.OIV()}
		ciede2000, err := difference.CIEDE2000(reference, sample)
		if err != nil {
			t.Fatal(err)
		}
		cie76, err := difference.CIE76(reference, sample)
		if err != nil {
			t.Fatal(err)
		}
		bare := difference.DeltaE00(p[0], p[1], p[2], p[3], p[4], p[5])
		weighted := difference.DeltaE00Weighted(p[0], p[1], p[2], p[3], p[4], p[5], difference.Weights{KL: p[6], KC: p[7], KH: p[8]})
		gap := max(math.Abs(ciede2000-want[i][0]), math.Abs(bare-want[i][0]), math.Abs(cie76-want[i][1]), math.Abs(weighted-want[i][2]))
		if !(gap <= culoriTolerance) { // also catches NaN
			t.Errorf("pair %d %v: CIEDE2000 %.12f (bare %.12f), CIE76 %.12f, weighted %.12f; culori %.12f, %.12f, %.12f",
				i, p, ciede2000, bare, cie76, weighted, want[i][0], want[i][1], want[i][2])
		}
		worst, largest = max(worst, gap), max(largest, want[i][0])
	}
	t.Logf("%d pairs, ΔE00 up to %.1f: largest difference %.2g, allowed %.0g", len(pairs), largest, worst, culoriTolerance)
}

// labPairs gives colours far apart anywhere in L*a*b*, rosés close together,
// near-neutrals (where hues turn fast), blues (where the rotation term acts)
// and pairs with one or both colours grey. Pairs whose hues are opposite to
// within 1e-6 degrees are left out.
//
// Each pair has parametric factors kL, kC, kH with it, from 0.5 to 2.
func labPairs(random *rand.Rand) [][9]float64 {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*random.Float64() }
	anywhere := func() [3]float64 {
		return [3]float64{between(0, 100), between(-120, 120), between(-120, 120)}
	}
	near := func(x [3]float64, d float64) [3]float64 {
		return [3]float64{x[0] + between(-d, d), x[1] + between(-d, d), x[2] + between(-d, d)}
	}
	var pairs [][9]float64
	add := func(x, y [3]float64) {
		if !opposite(x, y) {
			pairs = append(pairs, [9]float64{x[0], x[1], x[2], y[0], y[1], y[2], between(0.5, 2), between(0.5, 2), between(0.5, 2)})
		}
	}
	for range 1000 {
		add(anywhere(), anywhere())
		rose := [3]float64{between(60, 98), between(-2, 45), between(-5, 30)}
		add(rose, near(rose, 3))
		neutral := [3]float64{between(0, 100), between(-1, 1), between(-1, 1)}
		add(neutral, near(neutral, 1))
		blue := [3]float64{between(10, 60), between(0, 60), between(-110, -40)}
		add(blue, near(blue, 10))
		grey := [3]float64{between(0, 100), 0, 0}
		add(grey, anywhere())
		add(anywhere(), grey)
	}
	add([3]float64{50, 0, 0}, [3]float64{60, 0, 0})
	add([3]float64{50, 20, 10}, [3]float64{50, 20, 10})
	return pairs
}

// opposite tells whether the hues of two colours that have one are 180°
// apart. The formula stretches a* before it takes the hue, both colours' by
// the same factor; opposite directions stay opposite under that.
func opposite(x, y [3]float64) bool {
	cross, dot := x[1]*y[2]-x[2]*y[1], x[1]*y[1]+x[2]*y[2]
	return dot < 0 && math.Abs(cross) <= -dot*1e-6*math.Pi/180
}

// runCulori answers culori's CIEDE2000, CIE76 and weighted CIEDE2000 for each
// pair, in order.
func runCulori(t *testing.T, pairs [][9]float64) [][3]float64 {
	t.Helper()
	node, err := exec.LookPath("node")
	if err != nil {
		t.Fatal("node is missing: install Debian's packages nodejs and npm (apt-get install nodejs npm)")
	}
	if _, err := os.Stat(filepath.Join(outsideDir, "node_modules", "culori")); errors.Is(err, fs.ErrNotExist) {
		t.Fatal("culori is missing: run `npm ci` in testdata/outside")
	}
	request, err := json.Marshal(pairs)
	if err != nil {
		t.Fatal(err)
	}
	run := exec.Command(node, "delta_e_00.mjs")
	run.Dir = outsideDir
	run.Stdin = bytes.NewReader(request)
	var failure bytes.Buffer
	run.Stderr = &failure
	out, err := run.Output()
	if err != nil {
		t.Fatalf("culori: %v\n%s", err, failure.Bytes())
	}
	var answers [][3]float64
	if err := json.Unmarshal(out, &answers); err != nil {
		t.Fatalf("culori: %v in %.200s", err, out)
	}
	if len(answers) != len(pairs) {
		t.Fatalf("culori answered %d of %d pairs", len(answers), len(pairs))
	}
	return answers
}

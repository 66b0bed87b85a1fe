//go:build outside

package cie

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// Tolerances in L*, a* or b* when Argyll's spec2cie is the judge. Both
// programs sum over 380-780 nm, Argyll at 1 nm and this package at 5 nm.
const (
	// conversionTolerance is for XYZ to L*a*b* alone: Argyll prints six
	// digits, so X may be off by 5e-6 of itself and a* by 500/3 times that.
	conversionTolerance = 0.002
	// sameStepTolerance is for the two sums with their steps made equal (see
	// bentLamp): what is left are six printed digits and the digits of two
	// sets of tables. The largest difference met is 0.0036.
	sameStepTolerance = 0.005
	// fiveNMTolerance is for the colour as this package gives it. The step
	// itself shows here: it moves the white of D65 and the 10° observer from
	// Z = 107.304 (ASTM E308, 1 nm) to 107.324 (CIE 015:2018), and a colour
	// by up to 0.04, less than one part in twenty of a visible difference.
	fiveNMTolerance = 0.05
)

// TestOutsideArgyll holds the colour of some hundred smooth transmittance
// curves against Argyll, a program of another hand with its own tables of the
// observers and the lamps.
func TestOutsideArgyll(t *testing.T) {
	const each = 150
	random := rand.New(rand.NewPCG(420, 520))
	curves := []func(nm float64) float64{func(float64) float64 { return 1 }} // the white comes first
	for range each {
		curves = append(curves, wineCurve(random), anyCurve(random))
	}
	file := writeArgyllSpectra(t, curves)
	for _, illuminant := range []Illuminant{"D65", "D50", "A", "C"} {
		for _, observer := range Observers() {
			t.Run(fmt.Sprintf("%s, %s degrees", illuminant, observer), func(t *testing.T) {
				view := View{Illuminant: illuminant, Observer: observer, DepthMM: 10}
				compareWithArgyll(t, view, curves, runSpec2cie(t, view, file))
			})
		}
	}
}

// compareWithArgyll fails where a colour is further from Argyll's than the
// tolerances allow.
func compareWithArgyll(t *testing.T, view View, curves []func(float64) float64, argyll argyllAnswer) {
	t.Helper()
	weighting, err := WeightingFor(view.Illuminant, view.Observer)
	if err != nil {
		t.Fatal(err)
	}
	bent := bentLamp(view)
	white := argyll.rows[0].xyz
	conversion := gauge{what: "conversion of XYZ", allowed: conversionTolerance}
	sameStep := gauge{what: "sum at the same step", allowed: sameStepTolerance}
	fiveNM := gauge{what: "colour at 5 nm", allowed: fiveNMTolerance}
	dark, light := math.Inf(1), math.Inf(-1)
	for i, curve := range curves {
		row := argyll.rows[i]
		if row.hasLab {
			conversion.hold(t, i, row.xyz.Lab(argyll.lampWhite, view), row.lab)
		}
		want := row.xyz.Lab(white, view)
		transmittance, absorbance := sampled(curve)
		sameStep.hold(t, i, bent.XYZ(transmittance).Lab(bent.White(), view), want)
		fiveNM.hold(t, i, weighting.XYZ(transmittance).Lab(weighting.White(), view), want)
		L, a, b := weighting.AbsorbanceLab(absorbance, view.DepthMM)
		fiveNM.hold(t, i, Lab{L: L, A: a, B: b, View: view}, want)
		dark, light = min(dark, want.L), max(light, want.L)
	}
	t.Logf("%d curves, L* %.1f to %.1f", len(curves), dark, light)
	for _, g := range []gauge{conversion, sameStep, fiveNM} {
		if g.count > 0 {
			t.Logf("%s: largest difference in L*, a* or b* %.4f over %d, allowed %.3f", g.what, g.worst, g.count, g.allowed)
		}
	}
}

// gauge keeps the largest difference of one kind.
type gauge struct {
	what           string
	allowed, worst float64 // in L*, a* or b*
	count          int
}

func (g *gauge) hold(t *testing.T, curve int, got, want Lab) {
	t.Helper()
	gap := max(math.Abs(got.L-want.L), math.Abs(got.A-want.A), math.Abs(got.B-want.B))
	if !(gap <= g.allowed) { // also catches NaN
		t.Errorf("%s, curve %d: %.5f %.5f %.5f, Argyll %.5f %.5f %.5f: differ by %.5f, allowed %.3f",
			g.what, curve, got.L, got.A, got.B, want.L, want.A, want.B, gap, g.allowed)
	}
	g.worst = max(g.worst, gap)
	g.count++
}

// bentLamp gives the weighting whose sum at 5 nm equals the sum at 1 nm, the
// lamp being straight between its tabulated wavelengths and all else smooth.
// By the Euler-Maclaurin formula the trapezoidal sum at step h exceeds the
// integral by h²/12 times the change of the product's slope over each smooth
// piece; added up, only the bends of the lamp at its nodes are left, and the
// integral is the sum over S + δ²S/12 with δ² the second difference at 5 nm. A
// step of 1 nm keeps 1/25 of the excess. Both sums count their first and last
// value whole, where the trapezoidal sum takes half: an excess of 1/2 step,
// of which 1 nm keeps 1/5. The slope at the ends is left out, as small.
// Source: M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions,
// 23.1.30 (from memory).
func bentLamp(view View) *Weighting {
	lamp := column("illuminants.csv", string(view.Illuminant))
	bent := *lamp
	for k := 1; k < Points-1; k++ {
		bent[k] += (1 - 1/(StepNM*StepNM)) / 12 * (lamp[k-1] - 2*lamp[k] + lamp[k+1])
	}
	for _, end := range []int{0, Points - 1} {
		bent[end] -= (1 - 1/StepNM) / 2 * lamp[end]
	}
	file := "observer_" + string(view.Observer) + "deg.csv"
	return weigh(&bent, column(file, "x_bar"), column(file, "y_bar"), column(file, "z_bar"))
}

func sampled(curve func(nm float64) float64) (transmittance, absorbance *Curve) {
	transmittance, absorbance = new(Curve), new(Curve)
	for k := range transmittance {
		transmittance[k] = curve(FirstNM + StepNM*float64(k))
		absorbance[k] = -math.Log10(transmittance[k])
	}
	return transmittance, absorbance
}

// wineCurve gives the transmittance of a wine-like absorbance, from a pale
// white to a red: a yellow-brown exponential, a broad band near 520 nm and a
// shoulder near 590 nm. Every band has a standard deviation of 20 nm or more,
// so that samples 5 nm apart miss nothing of it.
func wineCurve(random *rand.Rand) func(nm float64) float64 {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*random.Float64() }
	strength := math.Pow(10, between(-1.5, 0.3)) // A520 from 0.03 to 2
	yellow, decayNM := between(0.05, 1.2), between(45, 90)
	peakNM, widthNM := between(510, 540), between(30, 50)
	shoulder, shoulderNM, shoulderWidthNM := between(0, 0.35), between(580, 605), between(20, 30)
	haze := between(0, 0.02)
	return func(nm float64) float64 {
		bands := yellow*math.Exp(-(nm-420)/decayNM) +
			bell(nm, peakNM, widthNM) + shoulder*bell(nm, shoulderNM, shoulderWidthNM)
		return math.Pow(10, -(haze + strength*bands))
	}
}

// anyCurve gives a transmittance of no particular substance: random waves of
// a period of 100 nm or more, brought between 0 and 1 by the logistic curve.
func anyCurve(random *rand.Rand) func(nm float64) float64 {
	const waves = 4
	var amplitude, phase [waves]float64
	level := 4*random.Float64() - 2
	for k := range waves {
		amplitude[k] = random.NormFloat64()
		phase[k] = 2 * math.Pi * random.Float64()
	}
	return func(nm float64) float64 {
		x := level
		for k := range waves {
			x += amplitude[k] * math.Cos(2*math.Pi*float64(k+1)*(nm-FirstNM)/(LastNM-FirstNM)+phase[k])
		}
		return 1 / (1 + math.Exp(-x))
	}
}

func bell(nm, centreNM, sdNM float64) float64 {
	z := (nm - centreNM) / sdNM
	return math.Exp(-z * z / 2)
}

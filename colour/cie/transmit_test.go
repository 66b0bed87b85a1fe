package cie

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"pourpath/colour/colourtest"
)

// tenTo is 10^x at 256 bits: a Taylor series after halving, then squaring.
func tenTo(x *big.Float) *big.Float {
	const bits, halvings = 256, 24
	// ln 10 to 60 digits. Source: OEIS A002392.
	ln10, _, err := big.ParseFloat("2.302585092994045684017991454684364207601101488628772976033328", 10, bits, big.ToNearestEven)
	if err != nil {
		panic(err)
	}
	u := new(big.Float).SetPrec(bits).Mul(x, ln10)
	u.SetMantExp(u, -halvings)
	sum, term := big.NewFloat(1).SetPrec(bits), big.NewFloat(1).SetPrec(bits)
	for n := 1; n < 30; n++ {
		term.Mul(term, u)
		term.Quo(term, big.NewFloat(float64(n)).SetPrec(bits))
		sum.Add(sum, term)
	}
	for range halvings {
		sum.Mul(sum, sum)
	}
	return sum
}

// relativeError is |got/10^x - 1|.
func relativeError(got float64, x *big.Float) float64 {
	q := new(big.Float).SetPrec(256).SetFloat64(got)
	q.Quo(q, tenTo(x))
	q.Sub(q, big.NewFloat(1))
	e, _ := q.Float64()
	return math.Abs(e)
}

func TestTenTo(t *testing.T) {
	if got := relativeError(100, big.NewFloat(2)); got > 1e-40 {
		t.Errorf("reference 10^2 is off by %g", got)
	}
	if got := relativeError(1e-22, big.NewFloat(-22)); got > 1e-16 {
		t.Errorf("reference 10^-22 is off by %g", got)
	}
}

// TestTransmitAccuracy holds the documented 1e-14 against arithmetic at 256
// bits, over the whole range and with the seams of the table included.
func TestTransmitAccuracy(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	var worst float64
	for round := range 60 {
		var a, got Curve
		for i := range a {
			switch {
			case round < 20:
				a[i] = 4 * r.Float64() // wine
			case round < 40:
				a[i] = -300 + 600*r.Float64() // everything
			default: // halfway between two table entries, where the remainder is largest
				a[i] = (float64(r.IntN(4000)) + 0.5) / kPerDecade
			}
		}
		Transmit(&got, &a, 10)
		for i := range a {
			worst = math.Max(worst, relativeError(got[i], big.NewFloat(-a[i])))
		}
	}
	t.Logf("worst relative error of the power %.2g", worst)
	if worst > 1e-14 {
		t.Errorf("worst relative error of the power = %g, want at most 1e-14", worst)
	}
}

// TestTransmitDepth takes depth into the reference exactly, rounding included.
func TestTransmitDepth(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	var worst float64
	for _, depth := range []float64{0.1, 1, 2, 7.3, 10, 33.3, 65} {
		var a, got Curve
		for i := range a {
			a[i] = 20 * r.Float64() / (depth / 10)
		}
		Transmit(&got, &a, depth)
		for i := range a {
			x := new(big.Float).SetPrec(256).Mul(big.NewFloat(-a[i]).SetPrec(256), big.NewFloat(depth).SetPrec(256))
			worst = math.Max(worst, relativeError(got[i], x.Quo(x, big.NewFloat(10))))
		}
	}
	t.Logf("worst relative error up to 20 decades %.2g", worst)
	if worst > 1e-14 {
		t.Errorf("worst relative error up to 20 decades = %g, want at most 1e-14", worst)
	}
}

func TestTransmitEdges(t *testing.T) {
	for _, c := range []struct {
		name             string
		absorbance, want float64
	}{
		{"clear", 0, 1},
		{"negative zero", math.Copysign(0, -1), 1},
		{"one decade", 1, 0.1},
		{"two decades", 2, 0.01},
		{"noise below the blank", -0.001, math.Pow(10, 0.001)},
		{"far below the blank", -2, 100},
		{"dark", 299, 1e-299},
		{"opaque", 301, 0},
		{"infinite", math.Inf(1), 0},
		{"beyond range", -301, math.Inf(1)},
		{"negative infinite", math.Inf(-1), math.Inf(1)},
	} {
		var got Curve
		Transmit(&got, &Curve{c.absorbance}, 10)
		if !colourtest.Near(got[0], c.want, 0, 1e-14) {
			t.Errorf("%s: 10^-%g = %g, want %g", c.name, c.absorbance, got[0], c.want)
		}
	}
	var got Curve
	Transmit(&got, &Curve{math.NaN()}, 10)
	if !math.IsNaN(got[0]) || got[1] != 1 {
		t.Errorf("Transmit of NaN then 0 = %g, %g, want NaN, 1", got[0], got[1])
	}
}

func TestTransmitInPlace(t *testing.T) {
	a := closedForm(1)
	var want Curve
	Transmit(&want, a, 25)
	if Transmit(a, a, 25); *a != want {
		t.Error("Transmit in place differs from Transmit to another curve")
	}
}

// TestAdvance walks 2000 even steps and arrives where one call of Transmit does.
func TestAdvance(t *testing.T) {
	const steps = 2000
	var step, walked, want Curve
	Transmit(&step, closedForm(1), 10.0/steps)
	Transmit(&walked, &Curve{}, 10)
	for range steps {
		Advance(&walked, &step)
	}
	Transmit(&want, closedForm(1), 10)
	for i := range want {
		if !colourtest.Near(walked[i], want[i], 0, 1e-12) {
			t.Errorf("after %d steps value %d = %g, want %g", steps, i, walked[i], want[i])
		}
	}
}

func TestHotPathAllocatesNothing(t *testing.T) {
	w, a := weighting(t, "D65", "10"), closedForm(1)
	if n := testing.AllocsPerRun(100, func() { w.AbsorbanceLab(a, 10); w.AbsorbanceJacobian(a, 10) }); n != 0 {
		t.Errorf("%g allocations, want 0", n)
	}
}

package cie

import "math"

// Ten to a power by table and polynomial. With n = 128,
//
//	10^x = 2^(k/n) · 10^r,  k = round(x n log2(10)),  |r| ≤ log10(2)/(2n)
//
// 2^(k/n) is a table entry with k>>7 added to its exponent, and 10^r = e^u with
// |u| ≤ 0.00271 needs four terms: the next, u⁵/120, is below 1.3e-15. The
// remainder r is taken with log10(2)/n split in two so that k times the first
// part is exact (CodyWaite). This is several times faster than math.Exp because
// nothing in the loop is called and nothing depends on the value before.
const (
	tableSize  = 128
	kPerDecade = tableSize * math.Ln10 / math.Ln2
	decadeHigh = 0x1.34413509p-2 / tableSize // first 33 bits of log10(2)
	decadeLow  = (math.Ln2/math.Ln10 - 0x1.34413509p-2) / tableSize

	// Adding and subtracting 1.5·2^52 rounds to a whole number, and leaves it
	// in the low bits of the sum.
	roundShift = 0x1.8p52

	// Beyond 300 decades the exponent of a float64 is nearly used up.
	maxDecades = 300
)

var exp2Table = func() (t [tableSize]float64) {
	for i := range t {
		t[i] = math.Exp2(float64(i) / tableSize)
	}
	return t
}()

// Transmit sets dst to the transmittance, 0-1, of a liquid whose absorbance for
// a 10 mm path is given, at depthMM millimetres:
//
//	dst = 10^(-absorbance · depthMM/10)
//
// The power has a relative error below 1e-14, and the transmittance too while
// absorbance · depthMM/10 stays below 20 (rounding of that product adds 2.6e-16
// for each unit of it). Negative absorbance, which noise about the blank gives,
// passes more than 1. Less than 1e-300 becomes 0, more than 1e300 +Inf, and NaN
// stays NaN. dst and absorbance may be the same. It allocates nothing.
//
// Source: Beer-Lambert.
func Transmit(dst, absorbance *Curve, depthMM float64) {
	scale := -depthMM / 10
	for i, a := range absorbance {
		x := a * scale
		if !(x >= -maxDecades && x <= maxDecades) {
			dst[i] = extremePower(x)
			continue
		}
		shifted := x*kPerDecade + roundShift
		whole := shifted - roundShift
		k := int32(math.Float64bits(shifted))
		u := ((x - whole*decadeHigh) - whole*decadeLow) * math.Ln10
		s := math.Float64frombits(math.Float64bits(exp2Table[k&(tableSize-1)]) + uint64(int64(k>>7))<<52)
		dst[i] = s + s*(u+u*u*(1.0/2+u*(1.0/6+u*(1.0/24))))
	}
}

// extremePower is 10^x where x is beyond ±300 or not a number.
func extremePower(x float64) float64 {
	switch {
	case x < 0:
		return 0
	case x > 0:
		return math.Inf(1)
	}
	return math.NaN()
}

// Advance multiplies t by step, value by value. Equal steps of absorbance are
// equal factors of transmittance, so a row of evenly spaced fractions of one
// wine in another, or of depths of one liquid, needs two calls of Transmit and
// then one Advance each. Every call adds one rounding, 1.1e-16 at most.
func Advance(t, step *Curve) {
	for i, v := range step {
		t[i] *= v
	}
}

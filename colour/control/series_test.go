package control_test

import (
	"math"
	"math/rand/v2"

	"pourpath/colour/control"
)

// normals gives n normal values with mean shift and standard deviation 1, the
// same ones for the same seed.
func normals(r *rand.Rand, n int, shift float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = shift + r.NormFloat64()
	}
	return out
}

func seeded(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 7870)) }

// eventful gives three columns of 1200 lots, the first rounded so that there
// are ties, in which every rule finds something.
func eventful() []control.Column {
	const n = 1200
	r := seeded(1)
	x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		v := r.NormFloat64()
		switch {
		case i >= 500 && i < 560: // alternating
			v = 0.8*math.Copysign(1, float64(i%2)-0.5) + 0.1*v
		case i >= 600 && i < 660: // close
			v *= 0.3
		case i >= 700 && i < 760: // of two kinds
			v = math.Copysign(1.8, v) + 0.2*v
		case i >= 800 && i < 830: // rising
			v = float64(i-815)/5 + 0.1*v
		case i >= 860 && i < 890: // falling
			v = float64(875-i)/5 + 0.1*v
		case i >= 950 && i < 1000:
			v += 1.5
		case i >= 1050 && i < 1100:
			v -= 1.5
		}
		x[i] = math.Round(v*20) / 20
		y[i] = 0.6*x[i] + 0.8*r.NormFloat64()
		z[i] = 70 + 0.3*y[i] + r.NormFloat64()
	}
	return []control.Column{{Name: "a*", Values: x}, {Name: "b*", Values: y}, {Name: "L*", Values: z}}
}

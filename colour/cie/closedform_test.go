package cie

import "math"

// closedFormAt is the absorbance of a made-up red in closed form, for which
// other programs were run (see testdata/README.md):
//
//	A = 0.9 exp(-((λ-520)/45)²/2) + 0.7 exp(-((λ-420)/40)²/2) + 0.05
func closedFormAt(nm float64) float64 {
	band := func(at, width float64) float64 {
		d := (nm - at) / width
		return math.Exp(-d * d / 2)
	}
	return 0.9*band(520, 45) + 0.7*band(420, 40) + 0.05
}

// closedForm is that red on the grid, diluted by the factor given.
func closedForm(factor float64) *Curve {
	var a Curve
	for i := range a {
		a[i] = factor * closedFormAt(FirstNM+StepNM*float64(i))
	}
	return &a
}

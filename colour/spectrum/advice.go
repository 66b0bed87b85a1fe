package spectrum

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/reading"
)

// adviceNM are the wavelengths that further readings are proposed at: between
// the usual three, where filters and instruments can go.
var adviceNM = []float64{440, 450, 460, 470, 480, 490, 500, 540, 550, 560, 570, 580, 590, 600}

// usualNM are the two that are advised wherever nothing is known of a wine: of all pairs
// those with which blends of the wines that were measured are predicted best
// (TestUsualPair). They are advised here too, unless another pair would leave less by
// more than a factor of nearlyBest.
var usualNM = [2]float64{460, 570}

const nearlyBest = 1.2

// warnOfShape tells when the spectrum between the readings is what a colour
// hangs on, and what two more readings would buy.
func (w *Wine) warnOfShape(g *gaussian, r reading.Readings) {
	now := w.cost(Shape)
	if now <= worthTelling {
		return
	}
	first, second, left, ok := bestPair(g, paleDepth(g.mean[cie.Index(520)]), r)
	if !ok || left > 0.6 {
		return
	}
	w.Warnings = append(w.Warnings, colour.Warning{Code: "few_readings", Message: fmt.Sprintf(
		"%d readings leave the colour of this wine, or of a rosé made with it, uncertain by about ΔE00 %.1f. Readings at %g and %g nm as well would leave about %.1f.", 3+len(r.Extra), now, first, second, now*left)})
}

// bestPair finds the two wavelengths whose readings would leave least of the
// variance of the colour at a depth, the usual two where they leave nearly as little,
// and the share of its root that is left.
func bestPair(g *gaussian, depthMM float64, r reading.Readings) (first, second, left float64, ok bool) {
	v := cie.OIV()
	weighting, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		return 0, 0, 0, false
	}
	_, jac := weighting.AbsorbanceJacobian(&g.mean, depthMM)
	aim := g.cov.times(jac[:]) // covariance of L*, a*, b* with every wavelength
	var before float64
	for c := range 3 {
		before += jac[c].Dot(&aim[c])
	}
	noise := r.UAbsorbance * r.Per10MM()
	after := func(nm1, nm2 float64) (variance float64, ok bool) {
		a, b := cie.Index(nm1), cie.Index(nm2)
		s11, s22, s12 := g.cov[a][a]+noise*noise, g.cov[b][b]+noise*noise, g.cov[a][b]
		det := s11*s22 - s12*s12
		if det <= 0 {
			return 0, false
		}
		variance = before
		for c := range 3 {
			x, y := aim[c][a], aim[c][b]
			variance -= (x*x*s22 - 2*x*y*s12 + y*y*s11) / det
		}
		return variance, true
	}
	best := before
	for i, nm1 := range adviceNM {
		for _, nm2 := range adviceNM[i+1:] {
			if v, found := after(nm1, nm2); found && v < best {
				best, first, second, ok = v, nm1, nm2, true
			}
		}
	}
	if v, found := after(usualNM[0], usualNM[1]); found && v <= nearlyBest*nearlyBest*best {
		best, first, second = v, usualNM[0], usualNM[1]
	}
	return first, second, math.Sqrt(math.Max(best, 0) / before), ok
}

package labfile

import (
	"fmt"
	"math"
)

const (
	// saturationNear is where stray light and noise of a common instrument grow
	// to some per cent of a reading. Common practice, no source.
	saturationNear = 2
	// A clear wine hardly absorbs at 700 nm and above; what is read there is
	// light scattered by turbidity, or a wrong blank. The limit is 0.03 in the
	// cell, more than a blank drifts, and a tenth of A520, which the tail of a
	// dense red's band stays below. Common practice, no source.
	baselineFrom, baselineLimit, baselineShare = 700, 0.03, 0.1
	// visibleFrom leaves out the violet end, where every wine absorbs strongly
	// and little is seen.
	visibleFrom, visibleTo = 400, 780
)

// cells are the optical paths that laboratories have, in mm.
var cells = [...]float64{1, 2, 5, 10, 20}

// suspect warns of what may be right but should be looked at.
func (d *draft) suspect(q quantity) {
	at := func(i int) float64 {
		if q == transmittance {
			return 2 - math.Log10(d.y[i])
		}
		return d.y[i]
	}
	var top, topNM, base float64
	based := 0
	a520, a620 := math.NaN(), math.NaN()
	for i, nm := range d.nm {
		a := at(i)
		if nm >= visibleFrom && nm <= visibleTo && a > top {
			top, topNM = a, nm
		}
		if nm >= baselineFrom && nm <= visibleTo {
			base += a
			based++
		}
		switch {
		case nm <= 520 || a520 != a520:
			a520 = a
		case nm <= 620 || a620 != a620:
			a620 = a
		}
	}
	d.suspectTop(top, topNM)
	if a620 > a520 && a620 > 0.05 {
		d.warnf("blue_above_red", "A620 is above A520, which no sound red, white or rosé has. Look for turbidity, the wrong cell or swapped columns.")
	}
	if based > 0 {
		if base /= float64(based); base > max(baselineLimit, baselineShare*a520) {
			d.warnf("raised_baseline", "At 700 nm and above the absorbance is still %.3f, where a clear wine has hardly any: the wine is turbid or the blank was wrong. Clarify it (centrifuge, or filter at 0.45 µm) and read again. Common practice, no source.", base)
		}
	}
}

// suspectTop warns of a reading near saturation and names the cell to use.
func (d *draft) suspectTop(top, nm float64) {
	if top <= saturationNear {
		return
	}
	path, _ := d.Cell()
	advice := "dilute it and say with what"
	if best := bestCell(top, path); best < path {
		advice = fmt.Sprintf("read it in a %g mm cell", best)
	}
	d.warnf("near_saturation", "The absorbance of %.2f at %g nm in the %g mm cell is near saturation, where stray light makes it too low: %s (common practice, no source).", top, nm, path, advice)
}

// bestCell is the cell in which the highest reading comes nearest to the middle
// of 0.3 to 0.7 (OIV-MA-AS2-07B).
func bestCell(top, path float64) float64 {
	best, miss := path, math.Inf(1)
	for _, c := range cells {
		if d := math.Abs(math.Log(top * c / path / 0.5)); d < miss {
			best, miss = c, d
		}
	}
	return best
}

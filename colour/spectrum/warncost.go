package spectrum

import (
	"math"

	"pourpath/colour/reading"
)

// MayCost reports whether the errors of reading r may cost so much colour that
// FromReadings warns of it (reading_window). It needs no estimate and a small
// part of its time: where it is false there is no such warning; where it is true
// there may be one, and the estimate tells. r is one that Validate passes.
//
// The cost is the root of the sum of squares of what each reading's error does
// to the colour, in ΔE00, at the depth that the wine is judged at. It is at most
// a leverage times the largest of these errors there. The leverage was found by
// search, for 420, 520 and 620 nm alone or with the 460 and 560 nm that many
// read besides, in readings such as wines and clear liquids give; in 10,000 cases at
// the edge it was at least 2 % above the need. For any other readings MayCost is
// true.
func MayCost(r reading.Readings) bool {
	at := r.Per10MM() / 10 * paleDepth(r.A520*r.Per10MM()) // from the cell to the depth
	x := [3]float64{r.A420 * at, r.A520 * at, r.A620 * at}
	most := leverage3
	switch {
	case !likely(x):
		return true
	case len(r.Extra) == 0:
	case likelyPair(x, r.Extra, at):
		most = leverage5
	default:
		return true
	}
	largest := math.Max(r.A420, math.Max(r.A520, r.A620))
	for _, e := range r.Extra {
		largest = math.Max(largest, e.Absorbance)
	}
	s := reading.Uncertainty(largest, r.UAbsorbance) * at
	return !((most-leverageFalls*x[1])*s <= worthTelling)
}

// The leverage of three and of five readings in a clear liquid, and how it falls
// with the absorbance at 520 nm at the depth that the wine is judged at: the
// darker it is, the less an error is seen.
const (
	leverage3     = 245.
	leverage5     = 249.
	leverageFalls = 160.
)

// likely says whether the absorbances at 420, 520 and 620 nm at the depth judged
// are among those that were searched.
func likely(x [3]float64) bool {
	return x[0] >= -0.05 && x[1] >= -0.05 && x[2] >= -0.05 && x[0] <= 1 && x[2] <= 0.5
}

// nearNM is how far off the further readings may be.
const nearNM = 1

// The shares of the straight line between its neighbours that a reading at 460
// and at 560 nm may be, and pale, the absorbance by which it may be off besides.
// All published and synthetic wine spectra in the tests are within.
var share460, share560 = [2]float64{0.65, 1.1}, [2]float64{0.65, 1.5}

const pale = 0.01

// likelyPair says whether extra holds readings near 460 and 560 nm that fit x;
// depth takes them from the cell to where x holds.
func likelyPair(x [3]float64, extra []reading.At, depth float64) bool {
	if len(extra) != 2 {
		return false
	}
	low, high := extra[0], extra[1]
	if low.NM > high.NM {
		low, high = high, low
	}
	return fits(low, 460, x[0], x[1], share460, depth) && fits(high, 560, x[1], x[2], share560, depth)
}

// fits says whether a reading near nm lies about on the line from left to right,
// which hold 40 nm below and 60 nm above it.
func fits(e reading.At, nm, left, right float64, share [2]float64, depth float64) bool {
	line := left + (e.NM-nm+40)/100*(right-left)
	a := e.Absorbance * depth
	return math.Abs(e.NM-nm) <= nearNM && a >= share[0]*line-pale && a <= share[1]*line+pale
}

package drift

import (
	"math"
	"slices"
)

// manyPoints is the size of a lot from which only as many pairs are taken as it
// has half its points (Theil's incomplete method), so that time stays
// proportional to the number of readings.
const manyPoints = 24

// slope is the median of the slopes between two points of one lot, over the lots given,
// each weighted by the days between them: a start that holds while fewer than
// about 29 % of the points are wrong. ok is false where no lot has two days.
//
// Source: Theil, Proc. Kon. Ned. Akad. Wetensch. A 53 (1950) 386; Sen, J. Am.
// Stat. Assoc. 63 (1968) 1379; weights after Jaeckel, Ann. Math. Stat. 43 (1972)
// 1449. All from memory.
func slope(s *sample, fromLot, toLot int) (perDay float64, ok bool) {
	type pair struct{ slope, weight float64 }
	var pairs []pair
	add := func(p, q point) {
		if dt := q.t - p.t; dt > 0 {
			pairs = append(pairs, pair{(q.y - p.y) / dt, dt})
		}
	}
	for l := fromLot; l < toLot; l++ {
		lot := s.lot(l)
		if half := (len(lot) + 1) / 2; len(lot) >= manyPoints {
			for i := range len(lot) - half {
				add(lot[i], lot[i+half])
			}
			continue
		}
		for i := range lot {
			for j := i + 1; j < len(lot); j++ {
				add(lot[i], lot[j])
			}
		}
	}
	if len(pairs) == 0 {
		return 0, false
	}
	slices.SortFunc(pairs, func(a, b pair) int {
		switch {
		case a.slope < b.slope:
			return -1
		case a.slope > b.slope:
			return 1
		}
		return 0
	})
	var total, sum float64
	for _, p := range pairs {
		total += p.weight
	}
	for _, p := range pairs {
		if sum += p.weight; sum >= total/2 {
			return p.slope, true
		}
	}
	return pairs[len(pairs)-1].slope, true
}

// spread is 1.4826 times the median of |x|, the standard deviation of normal
// numbers about 0 (Hampel, J. Am. Stat. Assoc. 69 (1974) 383, from memory). x is
// reordered.
func spread(x []float64) float64 {
	for i := range x {
		x[i] = math.Abs(x[i])
	}
	slices.Sort(x)
	n := len(x)
	return 1.4826 * (x[(n-1)/2] + x[n/2]) / 2
}

// median of x, which is reordered.
func median(x []float64) float64 {
	slices.Sort(x)
	n := len(x)
	return (x[(n-1)/2] + x[n/2]) / 2
}

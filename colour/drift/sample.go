package drift

import (
	"cmp"
	"slices"
)

// point is one reading at one wavelength, as it is fitted.
type point struct {
	t, y, u float64
	from    int // index of the observation
}

// sample is what one fit goes by: the points of each lot together, by day.
type sample struct {
	scale  Scale
	points []point
	starts []int // where each lot begins, and at last the number of points
}

func (s *sample) lots() int { return len(s.starts) - 1 }

func (s *sample) lot(l int) []point { return s.points[s.starts[l]:s.starts[l+1]] }

// last is the latest day of any point.
func (s *sample) last() (t float64) {
	for _, p := range s.points {
		t = max(t, p.t)
	}
	return t
}

// class are the observations of one class of storage, by lot and day.
type class struct {
	storage string
	indices []int
	starts  []int
	lots    []string
}

// classify sorts observations by storage, lot and day.
func classify(all []Observation) []class {
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &all[i], &all[j]
		return cmp.Or(cmp.Compare(a.Storage, b.Storage), cmp.Compare(a.Lot, b.Lot), cmp.Compare(a.Days, b.Days))
	})
	var out []class
	for _, i := range order {
		o := &all[i]
		if len(out) == 0 || out[len(out)-1].storage != o.Storage {
			out = append(out, class{storage: o.Storage})
		}
		c := &out[len(out)-1]
		if len(c.lots) == 0 || c.lots[len(c.lots)-1] != o.Lot {
			c.lots = append(c.lots, o.Lot)
			c.starts = append(c.starts, len(c.indices))
		}
		c.indices = append(c.indices, i)
	}
	for i := range out {
		out[i].starts = append(out[i].starts, len(out[i].indices))
	}
	return out
}

// sampleOf takes band b of a class, on the relative scale where every reading is
// well above its uncertainty.
func (c *class) sampleOf(all []Observation, b int) sample {
	s := sample{scale: Relative, starts: c.starts, points: make([]point, len(c.indices))}
	for _, i := range c.indices {
		if a, u := all[i].values(); a[b] < leastRelative*u[b] {
			s.scale = Absolute
			break
		}
	}
	for n, i := range c.indices {
		a, u := all[i].values()
		y, uy := s.scale.fitted(a[b], u[b])
		s.points[n] = point{all[i].Days, y, uy, i}
	}
	return s
}

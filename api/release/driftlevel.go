package release

import (
	"fmt"
	"slices"

	"pourpath/api/store"
	"pourpath/colour/drift"
)

// keyOf is the key of a class of storage.
func (l *learned) keyOf(storage string) string { return store.SameName(storage) }

// levels are what the lots of a class would read on its first day, by the median of
// their readings brought back to it, in the order of drift.NMs.
func (l *learned) levels(c *drift.Class) (map[string][3]float64, error) {
	back := map[string][3][]float64{}
	for _, o := range l.observations {
		if o.Storage != c.Storage || o.Days > driftReach*c.LastDay {
			continue
		}
		a, err := l.broughtBack(c, o)
		if err != nil {
			return nil, err
		}
		of := back[o.Lot]
		for b := range of {
			of[b] = append(of[b], a[b])
		}
		back[o.Lot] = of
	}
	out := make(map[string][3]float64, len(back))
	for lot, of := range back {
		var level [3]float64
		for b := range level {
			level[b] = median(of[b])
		}
		out[lot] = level
	}
	return out, nil
}

// driftReach is how far past the last day observed the science predicts.
const driftReach = 1.5

// broughtBack is what an observation's lot would have read on the first day.
func (l *learned) broughtBack(c *drift.Class, o drift.Observation) (a [3]float64, err error) {
	f, err := c.After(exact([3]float64{1, 1, 1}), c.FirstDay, max(o.Days, c.FirstDay))
	if err != nil {
		return a, fmt.Errorf("release: %w", err)
	}
	for b, read := range [3]float64{o.A420, o.A520, o.A620} {
		if c.Bands[b].Scale == drift.Relative {
			a[b] = read / f.A[b].Value
		} else {
			a[b] = read - (f.A[b].Value - 1)
		}
	}
	return a, nil
}

// typical is the median of the lots' levels.
func (l *learned) typical(c *drift.Class) (drift.Reading, error) {
	levels, err := l.levels(c)
	if err != nil {
		return drift.Reading{}, err
	}
	var each [3][]float64
	for _, level := range levels {
		for b := range each {
			each[b] = append(each[b], level[b])
		}
	}
	return exact([3]float64{median(each[0]), median(each[1]), median(each[2])}), nil
}

// median of one value or more.
func median(list []float64) float64 {
	slices.Sort(list)
	n := len(list)
	return (list[(n-1)/2] + list[n/2]) / 2
}

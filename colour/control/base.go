package control

import (
	"fmt"
	"math"

	"pourpath/colour"
)

const (
	// MinBase is the fewest points of a base period that limits are computed
	// from. Common practice, no source; with 10 the limits are rough, see
	// FirmBase.
	MinBase = 10
	// FirmBase is the number of points of a base period from which limits are
	// taken to stand: the 25 subgroups with which ISO7870-2 has a chart begun
	// (from memory). Below it a chart carries the warning few_base.
	FirmBase = 25
)

// Level is what a steady process does: where its values lie and how they
// scatter.
type Level struct {
	// Centre is the mean, in the unit of the values.
	Centre float64
	// Sigma is the standard deviation from lot to lot, in the unit of the
	// values, above 0.
	Sigma float64
}

// Base says which points tell the usual level. The zero Base takes all.
type Base struct {
	// First is how many points, from the beginning of the series and with those
	// of Without counted, make the base period; 0 means all.
	First int
	// Without are the places, from 0, of points with a cause that is known and
	// was dealt with. They are left out of everything, as though they had not
	// been made: their neighbours follow each other.
	Without []int
	// Known, where given, is used instead of an estimate from the series: the
	// level of an earlier period, kept. First is then 0. NewT2 refuses it.
	Known *Level
}

// kept is a series without what the caller left out.
type kept struct {
	at   []int // places in the series that was given
	base int   // how many of them, from the first, are of the base period
}

// keep applies b to a series of n points, and adds to faults what is wrong
// with b. need is the fewest points of the base period.
func (b Base) keep(n, need int, faults *colour.FieldErrors) kept {
	first := b.First
	switch {
	case first < 0 || first > n:
		faults.Addf("first", b.First, "must be from 0 (all points) to %d, the number of points", n)
		first = n
	case first == 0:
		first = n
	case b.Known != nil:
		faults.Addf("first", b.First, "must be 0 where the level is given: nothing is estimated then")
	}
	without := make([]bool, n)
	for i, at := range b.Without {
		field := fmt.Sprintf("without/%d", i)
		switch {
		case at < 0 || at >= n:
			faults.Addf(field, at, "must be the place of a point, from 0 to %d", n-1)
		case without[at]:
			faults.Addf(field, at, "names point %d twice; once is enough", at)
		default:
			without[at] = true
		}
	}
	k := kept{at: make([]int, 0, n)}
	for at := range n {
		if without[at] {
			continue
		}
		k.at = append(k.at, at)
		if at < first {
			k.base++
		}
	}
	switch {
	case b.Known == nil && k.base < need:
		faults.Addf("values", k.base, "the base period has %s; limits need %d or more, and %d to stand firm",
			points(k.base), need, FirmBase)
	case len(k.at) == 0:
		faults.Addf("values", 0, "there is no point to chart; give one or more")
	}
	return k
}

// checkKnown adds to faults what is wrong with a level that was given.
func (b Base) checkKnown(faults *colour.FieldErrors) {
	if b.Known == nil {
		return
	}
	if !finite(b.Known.Centre) {
		faults.Addf("known/centre", b.Known.Centre, "must be a finite number")
	}
	if !finite(b.Known.Sigma) || b.Known.Sigma <= 0 {
		faults.Addf("known/sigma", b.Known.Sigma, "must be a finite number above 0")
	}
}

// series checks values and base, and gives the values that are kept.
func series(values []float64, base Base) (kept, []float64, error) {
	var faults colour.FieldErrors
	checkFinite("values", values, &faults)
	base.checkKnown(&faults)
	k := base.keep(len(values), MinBase, &faults)
	if err := faults.Err(); err != nil {
		return kept{}, nil, fmt.Errorf("control: %w", err)
	}
	return k, k.pick(values), nil
}

func (k kept) pick(values []float64) []float64 {
	out := make([]float64, len(k.at))
	for i, at := range k.at {
		out[i] = values[at]
	}
	return out
}

// maxFaults keeps a column of nothing but blanks from filling a page.
const maxFaults = 20

func checkFinite(field string, values []float64, faults *colour.FieldErrors) {
	bad := 0
	for i, v := range values {
		if finite(v) {
			continue
		}
		if bad++; bad <= maxFaults {
			faults.Addf(fmt.Sprintf("%s/%d", field, i), v, "must be a finite number; leave a lot without a value out of the series")
		}
	}
	if bad > maxFaults {
		faults.Addf(field, nil, "%d more values are no finite numbers", bad-maxFaults)
	}
}

// baseWarnings says where limits rest on few points.
func (b Base) warnings(n int) []colour.Warning {
	if b.Known != nil || n >= FirmBase {
		return nil
	}
	return []colour.Warning{{Code: "few_base", Message: fmt.Sprintf(
		"The limits rest on %s only and may be off by a fifth or more. Compute them anew once there are %d.", points(n), FirmBase)}}
}

func points(n int) string {
	if n == 1 {
		return "1 point"
	}
	return fmt.Sprintf("%d points", n)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

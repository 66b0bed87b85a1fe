package drift

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"pourpath/colour"
)

// What a class must have before anything is said. A judgement, no source: a line
// needs three days to be held against, and a month to move by more than a reading
// is uncertain.
const (
	minLots  = 2
	minTimes = 3
	minSpan  = 30 // days
)

// ErrUnknown means that the data do not say how lots of a class drift; the text
// that wraps it says why and what is missing.
var ErrUnknown = errors.New("the drift is not known")

// Model is what was learned, a Class for each class of storage, sorted by its key.
type Model struct{ Classes []Class }

// Class is how lots of one class of storage drift.
type Class struct {
	Storage string
	// Lots and Observations are those that tell about drift; LotsLeftOut were read
	// on one day only.
	Lots, Observations, LotsLeftOut int
	// FirstDay is the earliest day that was read, LastDay the latest that at least
	// two lots reached. Predictions hold between them; they are warned of beyond
	// and refused beyond 1.5 times LastDay.
	FirstDay, LastDay float64
	// Unknown says why nothing is known; empty where Bands are.
	Unknown string
	Bands   [3]Band // in the order of NMs
	// Outliers are readings far from what their lots do otherwise, with the weight
	// that each still has.
	Outliers []Outlier
	Warnings []colour.Warning

	choices     [bands]choice
	correlation [bands][bands]float64 // of the lots' deviations
	freedom     float64               // for one lot more, the least of the bands
}

// Band is how one absorbance moves.
type Band struct {
	NM    int
	Scale Scale
	Law   Law
	// ToldApart says that the data tell the laws apart (see choose): that they
	// show settling (p below 0.01), or exclude that half of the way to a level was
	// gone by the last day. Otherwise the linear law stands as the simpler, and
	// intervals take in what either says.
	ToldApart bool
	// PLinear is the probability of as much curvature by chance if the movement
	// were linear.
	PLinear float64
	// RatePerDay is the rate at day 0: the share of the level of day 0 that is
	// gained (above 0) or lost in a day, or on the absolute scale absorbance per
	// 10 mm. The interval holds the mean of all lots with 95 %.
	RatePerDay           float64
	RatePerDayInterval95 [2]float64
	// SettlingPerDay is k, 0 for the linear law; HalfLifeDays is ln 2 / k, the
	// time in which half of the way to the level is gone, infinite for the linear
	// law.
	SettlingPerDay, HalfLifeDays float64
	// BetweenLots is the standard deviation of RatePerDay between lots; NaN where
	// fewer than three lots tell.
	BetweenLots float64
	// Scatter is the standard deviation of readings about their lots' curves, in
	// units of their stated uncertainties: well above 1, readings of different
	// days agree less than was stated.
	Scatter float64
}

// Outlier is a reading more than 3.5 standard deviations from its lot's curve.
type Outlier struct {
	Index     int // of the observation, from 0
	NM        int
	A         float64 // as read, per 10 mm
	Expected  float64 // by the other readings of the lot and of all lots
	Deviation float64 // in standard deviations, with its sign
	Weight    float64 // from 0 to 1, with which it still counts
}

// Learn learns the drift of each class of storage from observations in any order.
// A class with too few data is in the answer with its reason.
//
// Errors: colour.FieldErrors at "observations/i/..." for what is no observation (the
// first hundred faults).
func Learn(observations []Observation) (Model, error) {
	if err := validateAll(observations); err != nil {
		return Model{}, err
	}
	var m Model
	for _, c := range classify(observations) {
		m.Classes = append(m.Classes, c.learn(observations, standard))
	}
	return m, nil
}

// Class is the one with the key storage.
//
// Errors: colour.FieldErrors at "storage" with the keys there are.
func (m Model) Class(storage string) (Class, error) {
	keys := make([]string, len(m.Classes))
	for i, c := range m.Classes {
		if c.Storage == storage {
			return c, nil
		}
		keys[i] = c.Storage
	}
	return Class{}, colour.FieldErrors{{Field: "storage", Value: storage, Message: fmt.Sprintf("no lot of this storage was observed: there is %q", keys)}}
}

func (c *class) learn(all []Observation, t tune) Class {
	out := Class{Storage: c.storage}
	out.LotsLeftOut = c.dropSingles(all)
	out.Lots, out.Observations = len(c.lots), len(c.indices)
	useful := c.survey(all, &out)
	if useful < minLots {
		out.Unknown = fmt.Sprintf("too few data: %d %s read on at least %d days over at least %d days; %d are needed", useful, plural(useful, "lot was", "lots were"), minTimes, minSpan, minLots)
		return out
	}
	pooled := useful < 3
	for b, nm := range NMs() {
		s := c.sampleOf(all, b)
		out.choices[b] = choose(&s, t, pooled)
		if why := out.choices[b].why; why != "" {
			out.Unknown = fmt.Sprintf("at %d nm %s", nm, why)
			return out
		}
	}
	if out.Unknown = out.tooWide(all, c); out.Unknown != "" {
		return out
	}
	out.describe(all, pooled)
	return out
}

// dropSingles leaves out lots that were read on one day, and counts them.
func (c *class) dropSingles(all []Observation) (dropped int) {
	var indices, starts []int
	var lots []string
	for l, name := range c.lots {
		own := c.indices[c.starts[l]:c.starts[l+1]]
		if all[own[0]].Days == all[own[len(own)-1]].Days {
			dropped++
			continue
		}
		starts = append(starts, len(indices))
		indices = append(indices, own...)
		lots = append(lots, name)
	}
	starts = append(starts, len(indices))
	c.indices, c.lots, c.starts = indices, lots, starts
	return dropped
}

// survey sets the days that were covered and counts the lots that tell enough.
func (c *class) survey(all []Observation, out *Class) (useful int) {
	var lasts []float64
	out.FirstDay = math.Inf(1)
	for l := range c.lots {
		own := c.indices[c.starts[l]:c.starts[l+1]]
		first, last := all[own[0]].Days, all[own[len(own)-1]].Days
		out.FirstDay = min(out.FirstDay, first)
		lasts = append(lasts, last)
		times := 1
		for i := 1; i < len(own); i++ {
			if all[own[i]].Days > all[own[i-1]].Days {
				times++
			}
		}
		if times >= minTimes && last-first >= minSpan {
			useful++
		}
	}
	if len(lasts) < minLots {
		out.FirstDay = 0
		return useful
	}
	slices.SortFunc(lasts, func(a, b float64) int { return cmp.Compare(b, a) })
	out.LastDay = lasts[1]
	return useful
}

// widest is how far apart the ends of an interval may be before it says nothing:
// one end four times the other, or, on the absolute scale, as far as the wine is deep
// at the band where it is deepest. A judgement, no source.
var widest = math.Log(4)

func (c *Class) tooWide(all []Observation, of *class) string {
	var deepest float64
	for b := range bands {
		levels := make([]float64, len(of.indices))
		for n, i := range of.indices {
			a, _ := all[i].values()
			levels[n] = a[b]
		}
		deepest = max(deepest, median(levels))
	}
	for b, nm := range NMs() {
		limit := deepest
		if c.choices[b].curve.motion.scale == Relative {
			limit = widest
		}
		if lo, hi := c.choices[b].interval(c.FirstDay, c.LastDay, 0); !(hi-lo < limit) {
			return fmt.Sprintf("too few data: at %d nm the 95 %% interval of the change by day %.4g is so wide that it says nothing; more lots, or more readings of them, are needed", nm, c.LastDay)
		}
	}
	return ""
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

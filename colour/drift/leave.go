package drift

import (
	"math"
	"math/rand/v2"
	"slices"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// Lot is a lot as it was read now.
type Lot struct {
	Reading
	Days float64 // since blending or bottling, as in the observations
	// Lab is its colour now where that is known better than three readings tell it,
	// as from a scan, in the view of the limits. Nil: it is estimated from the
	// readings, and what they leave open is part of the interval.
	Lab *cie.Lab
	// From is what Lab was estimated from where further readings than three were
	// taken: what they leave open is part of the interval. Nil for a Lab that is known.
	From *spectrum.Wine
}

// Leaving says when a lot is expected to leave its limits. Times are in days from
// now, 0 for now; nil where the lot stays within them as long as can be said.
type Leaving struct {
	// OutsideNow are the quantities that are outside now, at face value.
	OutsideNow []Quantity
	// Earliest and Latest hold 95 % of the day (2.5 % before, 2.5 % after); Median
	// is as likely to be too early as too late.
	Earliest, Median, Latest *float64
	// Leaves is the probability that it leaves within HorizonDays from now, which
	// is as far as the observations reach (1.5 times the longest).
	Leaves, HorizonDays float64
	// First is the limit that is most often left first; empty where none is.
	First    Quantity
	Warnings []colour.Warning
}

const (
	leavingDraws = 2000
	leavingTimes = 61
)

// LeavingLimits says when a lot leaves its limits, from draws of all that is
// uncertain (JCGM101): the reading, the mean drift, how lots differ, which of two
// laws holds where the data do not tell (half of the draws each), and for a colour
// what the readings leave open. The seed is fixed: the same question has the same
// answer. The lot counts as one that was not observed before.
//
// Errors: ErrUnknown (errors.Is); colour.FieldErrors at "from_days" (lot.Days), those of Limits.Validate
// and Reading.Validate, at "lab" for a colour in another view; those of
// spectrum.FromReadings for a lot that drifts out of what can be a wine.
func (c *Class) LeavingLimits(lot Lot, limits Limits) (Leaving, error) {
	s, err := c.leaving(lot, limits)
	if err != nil {
		return Leaving{}, err
	}
	out := Leaving{HorizonDays: s.days[leavingTimes-1] - lot.Days, Warnings: c.Warnings}
	a, lab := s.face(0)
	for _, p := range s.parts {
		if p.excess(a, lab, limits.Reference) > 0 {
			out.OutsideNow = append(out.OutsideNow, p.quantity)
		}
	}
	left := map[Quantity]int{}
	times := make([]float64, leavingDraws)
	r := rand.New(rand.NewPCG(20261125, 5)) // any fixed seed
	for i := range times {
		day, by := s.one(r, i%2)
		times[i] = day - lot.Days
		if by != "" {
			left[by]++
			out.Leaves += 1.0 / leavingDraws
		}
	}
	slices.Sort(times)
	out.Earliest, out.Median, out.Latest = at(times, 0.025), at(times, 0.5), at(times, 0.975)
	for _, q := range Quantities() {
		if left[q] > left[out.First] {
			out.First = q
		}
	}
	return out, nil
}

// at is the share p of sorted times; nil where it is not reached.
func at(times []float64, p float64) *float64 {
	t := times[min(int(p*float64(len(times))), len(times)-1)]
	if math.IsInf(t, 1) {
		return nil
	}
	return &t
}

// leaver holds what the draws share.
type leaver struct {
	class     *Class
	parts     []part
	reference *cie.Lab
	days      [leavingTimes]float64
	y, u      [bands]float64
	mean, sd  [2][leavingTimes][bands]float64 // by law
	root      [bands][bands]float64           // of the correlation
	colours   *colourTrack                    // nil where no limit is on a colour
}

func (c *Class) leaving(lot Lot, limits Limits) (*leaver, error) {
	if err := limits.Validate(); err != nil {
		return nil, err
	}
	horizon := beyond * c.LastDay
	if _, err := c.reach(lot.Days, math.Max(lot.Days, horizon)); err != nil {
		return nil, err
	}
	s := leaver{class: c, reference: limits.Reference}
	var err error
	if s.y, s.u, err = c.fitted(lot.Reading); err != nil {
		return nil, err
	}
	for i := range s.days {
		s.days[i] = lot.Days + (horizon-lot.Days)*float64(i)/(leavingTimes-1)
		for b := range bands {
			ch := &c.choices[b]
			for law, v := range []*curve{&ch.curve, ch.other} {
				if v == nil {
					v = &ch.curve
				}
				s.mean[law][i][b], _, s.sd[law][i][b] = v.change(lot.Days, s.days[i])
			}
		}
	}
	s.root = rootOf(c.correlation)
	coloured := false
	if s.parts, coloured = limits.parts(); coloured {
		s.colours, err = s.track(lot, limits.View)
	}
	return &s, err
}

// rootOf is a triangle whose product with its mirror is the correlation; a column
// that depends on the others is 0.
func rootOf(r [bands][bands]float64) (root [bands][bands]float64) {
	for j := range bands {
		d := r[j][j]
		for k := range j {
			d -= root[j][k] * root[j][k]
		}
		if d < 1e-9 {
			continue
		}
		root[j][j] = math.Sqrt(d)
		for i := j + 1; i < bands; i++ {
			v := r[i][j]
			for k := range j {
				v -= root[i][k] * root[j][k]
			}
			root[i][j] = v / root[j][j]
		}
	}
	return root
}

// read takes what is fitted back to absorbances.
func (s *leaver) read(y [bands]float64) (a [bands]float64) {
	for b := range bands {
		a[b] = s.class.choices[b].curve.motion.scale.read(y[b])
	}
	return a
}

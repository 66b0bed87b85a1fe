package drift

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// Estimate is a value with its 95 % interval.
type Estimate struct{ Value, Lower, Upper float64 }

// Forecast holds absorbances per 10 mm in the order of NMs.
type Forecast struct {
	A        [3]Estimate
	Warnings []colour.Warning
}

// beyond is how far past what was observed a prediction may go, as a factor on the
// longest time. A judgement, no source.
const beyond = 1.5

// interval holds the change of what is fitted between two days for one lot more
// with 95 %, with a further standard uncertainty u added in quadrature.
func (ch *choice) interval(from, to, u float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, c := range []*curve{&ch.curve, ch.other} {
		if c == nil {
			continue
		}
		mean, _, uLot := c.change(from, to)
		margin := math.Hypot(c.lot95*uLot, 1.959964*u)
		lo, hi = min(lo, mean-margin), max(hi, mean+margin)
	}
	return lo, hi
}

// reach says whether a class may be asked about the days.
func (c *Class) reach(from, to float64) ([]colour.Warning, error) {
	if c.Unknown != "" {
		return nil, fmt.Errorf("drift: %w for storage %q: %s", ErrUnknown, c.Storage, c.Unknown)
	}
	var faults colour.FieldErrors
	validateDays("from_days", from, &faults)
	validateDays("to_days", to, &faults)
	switch { // whole days, of which each is within what is known
	case len(faults) > 0:
	case to < from:
		faults.Addf("to_days", to, "the later day must not be before the earlier one, day %.4g", from)
	case to > beyond*c.LastDay:
		faults.Addf("to_days", to, "lots were observed until day %.4g: a prediction is made until day %.4g at most", math.Floor(c.LastDay), math.Floor(beyond*c.LastDay))
	case from < c.FirstDay-(beyond-1)*c.LastDay:
		faults.Addf("from_days", from, "no lot was read before day %.4g, and the first days are often the fastest: a prediction can start on day %.4g at the earliest", math.Floor(c.FirstDay), math.Ceil(c.FirstDay-(beyond-1)*c.LastDay))
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	warnings := append([]colour.Warning(nil), c.Warnings...)
	if to > c.LastDay {
		warnings = append(warnings, colour.Warning{Code: "drift_extrapolated", Message: fmt.Sprintf("Day %.4g is beyond day %.4g, the last that two lots of this storage reached: nothing there was ever checked.", to, c.LastDay)})
	}
	if from < c.FirstDay {
		warnings = append(warnings, colour.Warning{Code: "drift_before_first", Message: fmt.Sprintf("Day %.4g is before day %.4g, the first that was read: the first days are often the fastest.", from, c.FirstDay)})
	}
	return warnings, nil
}

// After predicts what a lot will read on day to that reads now on day from, both
// counted from blending or bottling as in the observations. The intervals hold one
// lot more with 95 %: the uncertainty of the reading, of the mean drift, and how
// lots differ in it.
//
// Errors: ErrUnknown (errors.Is); colour.FieldErrors at from_days and to_days, and at
// a420 and so on for a reading that is none, or is not above 0 where shares of it
// are lost.
func (c *Class) After(now Reading, from, to float64) (Forecast, error) {
	warnings, err := c.reach(from, to)
	if err != nil {
		return Forecast{}, err
	}
	y, u, err := c.fitted(now)
	if err != nil {
		return Forecast{}, err
	}
	out := Forecast{Warnings: warnings}
	for b := range bands {
		ch := &c.choices[b]
		mean, _, _ := ch.curve.change(from, to)
		lo, hi := ch.interval(from, to, u[b])
		sc := ch.curve.motion.scale
		out.A[b] = Estimate{sc.read(y[b] + mean), sc.read(y[b] + lo), sc.read(y[b] + hi)}
	}
	return out, nil
}

// Aim is what a lot should read on day today so that it reads target on day release:
// A520 falls, so it is 'this much redder'. The intervals hold what one lot more would
// have to read, with 95 %; the uncertainties of target are part of them.
//
// Errors: as After.
func (c *Class) Aim(target Reading, today, release float64) (Forecast, error) {
	warnings, err := c.reach(today, release)
	if err != nil {
		return Forecast{}, err
	}
	y, u, err := c.fitted(target)
	if err != nil {
		return Forecast{}, err
	}
	out := Forecast{Warnings: warnings}
	for b := range bands {
		ch := &c.choices[b]
		mean, _, _ := ch.curve.change(today, release)
		lo, hi := ch.interval(today, release, u[b])
		sc := ch.curve.motion.scale
		out.A[b] = Estimate{sc.read(y[b] - mean), sc.read(y[b] - hi), sc.read(y[b] - lo)}
	}
	return out, nil
}

// fitted takes a reading to what is fitted at each band.
func (c *Class) fitted(r Reading) (y, uy [bands]float64, err error) {
	if err := r.Validate(); err != nil {
		return y, uy, err
	}
	var faults colour.FieldErrors
	a, u := r.values()
	for b, nm := range NMs() {
		sc := c.choices[b].curve.motion.scale
		if sc == Relative && !(a[b] > 0) {
			faults.Addf(fmt.Sprintf("a%d", nm), a[b], "A%d must be above 0: these lots change by a share of it", nm)
			continue
		}
		y[b], uy[b] = sc.fitted(a[b], u[b])
	}
	return y, uy, faults.Err()
}

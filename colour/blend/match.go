package blend

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

// Limit keeps one wine's volume fraction between two values, both included.
type Limit struct {
	Wine                     int     // index into the wines, from 0
	MinFraction, MaxFraction float64 // 0 ≤ min ≤ max ≤ 1; 0 and 1 where only one is meant
}

// Match is the blend that comes closest to a target.
type Match struct {
	Fractions []float64     // volume fractions, in the order of the wines; they sum to 1
	Wine      spectrum.Wine // the blend, its volumes taken as exact
	// Misfit is ΔE00 from the target; for a target of intensity I₀ and tint N₀
	// it is √((I/I₀ - 1)² + (N/N₀ - 1)²), with no unit.
	Misfit float64
	// Reachable is true when Misfit is within the target's tolerance; where
	// none is given, within ΔE00 0.1, or for intensity and tint within 0.01.
	Reachable bool
	// Warnings: target_not_reached says which way the blend misses and what
	// would help; tolerance_not_used that a ΔE00 was given for an intensity and
	// tint. Those of the wines are in Wine.
	Warnings []colour.Warning
}

// MatchTarget finds the volume fractions of 2 to 8 wines whose blend is nearest
// to t under v: by ΔE00 for a colour, else by intensity and tint (see Misfit).
// A wine without a limit may have any fraction; a limit is never exceeded by
// more than rounding.
//
// Often the answer is not unique, as three numbers make a colour: with five
// wines or more, or two that are alike, many blends have the same one. Of
// blends of the same colour the one with the most of the first wine is given,
// among those the one with the most of the second, and so on: put the base
// first, and the cheapest additions before the dear ones. Of separate blends
// whose misfits are within 0.001 of the least the same rule chooses. So the
// answer depends on the order of the wines and on nothing else; its misfit does
// not depend on that order by more than 0.001.
//
// The search follows the misfit down from the best of a coarse, even set of
// blends; that it finds the least of all is checked against fine grids in the
// tests, not proved.
//
// Errors: colour.FieldErrors at "wines", "limits", "limits/i", "limits/i/wine",
// "limits/i/min_fraction", "limits/i/max_fraction", and those of
// Target.Validate under "target"; difference.ErrViewsDiffer when the target
// holds under another view than v; those of cie.View.Validate.
func MatchTarget(wines []spectrum.Wine, t Target, limits []Limit, v cie.View) (Match, error) {
	set, err := checkMatch(len(wines), t, limits)
	if err != nil {
		return Match{}, err
	}
	curves := make([]cie.Curve, len(wines))
	for i, w := range wines {
		curves[i] = w.Absorbance
	}
	aim, err := aimAt(curves, t, v)
	if err != nil {
		return Match{}, err
	}
	best := (&search{aim: aim, set: set}).best()

	m := Match{Fractions: best.f[:len(wines)], Misfit: best.misfit, Reachable: best.misfit <= t.reached()}
	if m.Wine, err = Mix(wines, m.Fractions, 0); err != nil {
		return Match{}, err
	}
	if t.Lab == nil && t.Tolerance > 0 {
		m.Warnings = append(m.Warnings, colour.Warning{
			Code: "tolerance_not_used",
			Message: fmt.Sprintf("The tolerance of ΔE00 %g cannot be held against an intensity and tint, which do not fix a colour; "+
				"reached means within %g %% of both together.", t.Tolerance, 100*reachedMisfit),
		})
	}
	if !m.Reachable {
		open := limited{n: len(wines), high: everything()}
		freed := len(limits) > 0 && (&search{aim: aim, set: open}).best().misfit <= t.reached()
		m.Warnings = append(m.Warnings, missed(t, aim, best, len(wines), freed))
	}
	return m, nil
}

// everything is the upper limit that is none.
func everything() (high fractionVec) {
	for i := range high {
		high[i] = 1
	}
	return high
}

func aimAt(curves []cie.Curve, t Target, v cie.View) (aim, error) {
	if err := v.Validate(); err != nil {
		return nil, err
	}
	if t.Lab == nil {
		return newIndexAim(curves, *t.Intensity, *t.Tint), nil
	}
	if t.Lab.View != v {
		return nil, fmt.Errorf("blend: target under %v, search under %v: %w", t.Lab.View, v, difference.ErrViewsDiffer)
	}
	w, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		return nil, err
	}
	return &colourAim{curves: curves, weighting: w, depthMM: v.DepthMM, target: *t.Lab}, nil
}

// limitSlack lets minima that sum to 1 on paper sum to 1 here.
const limitSlack = 1e-9

// checkMatch gathers the faults of a request and turns its limits into a set.
func checkMatch(wines int, t Target, limits []Limit) (limited, error) {
	var faults colour.FieldErrors
	if wines < 2 || wines > maxWines {
		faults.Addf("wines", wines, "%d wines are given: a blend is searched over 2 to %d", wines, maxWines)
	}
	faults.AddUnder("target", t.Validate())
	set := limited{n: wines, high: everything()}
	var limitFaults colour.FieldErrors
	seen := map[int]int{}
	for i, l := range limits {
		l.validate(fmt.Sprintf("limits/%d", i), wines, &limitFaults)
		if first, twice := seen[l.Wine]; twice {
			limitFaults.Addf(fmt.Sprintf("limits/%d/wine", i), l.Wine, "wine %d already has its limits in limits/%d: give both of its limits there", l.Wine, first)
		}
		seen[l.Wine] = i
		if l.Wine >= 0 && l.Wine < min(wines, maxWines) {
			set.low[l.Wine], set.high[l.Wine] = l.MinFraction, l.MaxFraction
		}
	}
	if len(limitFaults) == 0 && len(faults) == 0 {
		set.validate(&limitFaults)
	}
	return set, append(faults, limitFaults...).Err()
}

func (l Limit) validate(field string, wines int, faults *colour.FieldErrors) {
	if l.Wine < 0 || l.Wine >= wines {
		faults.Addf(field+"/wine", l.Wine, "there is no wine %d: the index counts from 0 to %d", l.Wine, wines-1)
	}
	inRange := true
	for _, bound := range []struct {
		field string
		value float64
	}{{field + "/min_fraction", l.MinFraction}, {field + "/max_fraction", l.MaxFraction}} {
		if !(bound.value >= 0 && bound.value <= 1) {
			inRange = false
			faults.Addf(bound.field, given(bound.value), "a volume fraction is from 0 to 1; 12 %% is 0.12")
		}
	}
	if inRange && l.MinFraction > l.MaxFraction {
		faults.Addf(field, nil, "wine %d is to be at least %g and at most %g: the least must not be above the most", l.Wine, l.MinFraction, l.MaxFraction)
	}
}

// validate reports limits that no blend can keep.
func (s *limited) validate(faults *colour.FieldErrors) {
	var low, high float64
	for i := range s.n {
		low += s.low[i]
		high += s.high[i]
	}
	switch {
	case math.Abs(low-1) <= limitSlack: // one blend only
		s.low = s.project(s.low)
		s.high = s.low
	case math.Abs(high-1) <= limitSlack:
		s.high = s.project(s.high)
		s.low = s.high
	case low > 1:
		faults.Addf("limits", nil, "the least fractions sum to %.6g: more than the whole blend; lower one of them", low)
	case high < 1:
		faults.Addf("limits", nil, "the most of all wines together is %.6g of the blend: less than the whole; raise one of them", high)
	}
}
